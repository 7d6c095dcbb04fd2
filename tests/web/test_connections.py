"""Slow, half-sent and many connections: whoever asks plainly is served meanwhile."""

from __future__ import annotations

import re
import resource
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from jounce.web.security import connections
from tests.workbench import Workbench, asked, demo_book, serving

HALF_SENT = {
    "nothing": b"",
    "a part of the head": b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ",
    "a part of the body": b"POST /customers HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1000\r\n"
    b"Content-Type: application/x-www-form-urlencoded\r\n\r\nname=A",
    "a part of a file": b"POST /cars/from-file HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 100000\r\n"
    b"Content-Type: multipart/form-data; boundary=cut\r\n\r\n--cut\r\nContent-Disposition: form-data; name=",
}
SERVE = """
import resource, sys
resource.setrlimit(resource.RLIMIT_NOFILE, (1024, 1024))
from jounce.__main__ import main
sys.argv = ["jounce", "serve", sys.argv[1], "--port", "0"]
main()
"""


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    """Port of a workbench in a process that may open a thousand files, as is usual."""
    path = tmp_path_factory.mktemp("book") / "shop.db"
    demo_book(path)[0].close()
    command = [sys.executable, "-c", SERVE, str(path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:  # noqa: S603
        assert running.stdout is not None
        said = re.search(r"http://127\.0\.0\.1:(\d+)/", running.stdout.readline())
        assert said is not None
        yield int(said[1])
        running.terminate()
        assert running.stderr is not None
        assert "Traceback" not in running.stderr.read()


@pytest.mark.sweep(2)
@pytest.mark.parametrize("sent", HALF_SENT)
def test_1100_half_sent_requests_stop_nobody(served: int, sent: str) -> None:
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if hard != resource.RLIM_INFINITY and hard < 2000:
        pytest.skip("this test may not open so many connections")
    resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, 2000), hard))
    with ExitStack() as ending:
        for number in range(1100):
            line = ending.enter_context(socket.create_connection(("127.0.0.1", served), timeout=20))
            line.sendall(HALF_SENT[sent])
            if number % 100 == 99:
                begun = time.monotonic()
                answer = asked(served, "/")
                assert (answer.status, "Brisk 14" in answer.text) == (200, True), number
                assert time.monotonic() - begun < 10, number
    assert asked(served, "/customers", {"name": "after it"}).status == 303


@pytest.fixture
def hasty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Workbench]:
    """A workbench that waits for two seconds in place of minutes."""
    monkeypatch.setattr(connections, "HEAD_TIME", 2.0)
    monkeypatch.setattr(connections, "WHOLE_TIME", 3.0)
    monkeypatch.setattr(connections, "_LOOK_EVERY", 0.2)
    book, car, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


@pytest.mark.sweep(2)
@pytest.mark.parametrize("sent", HALF_SENT)
def test_what_comes_drop_by_drop_is_cut_off(hasty: Workbench, sent: str) -> None:
    with socket.create_connection(("127.0.0.1", hasty.port), timeout=20) as line:
        line.sendall(HALF_SENT[sent])
        begun = time.monotonic()
        cut = False
        while not cut and time.monotonic() - begun < 15:
            time.sleep(0.3)
            try:
                if HALF_SENT[sent]:
                    line.sendall(b"x")
                line.settimeout(0.1)
                cut = line.recv(100) == b""
            except TimeoutError:
                continue
            except OSError:
                cut = True
        took = time.monotonic() - begun

    assert cut
    assert (2.0 if "body" not in sent and "file" not in sent else 3.0) <= took < 8
    assert asked(hasty.port, "/").status == 200


def test_an_answer_that_nobody_takes_is_given_up(hasty: Workbench) -> None:
    photo = hasty.book.attach(hasty.car, "a.jpg", "image/jpeg", b"x" * 20_000_000)
    with socket.socket() as line:
        line.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        line.connect(("127.0.0.1", hasty.port))
        line.sendall(b"GET /photos/%b HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n" % photo.id.encode())
        time.sleep(6)
        line.settimeout(20)
        came = 0
        try:
            while part := line.recv(2**20):
                came += len(part)
        except OSError:
            pass
    assert 0 < came < 20_000_000


def test_a_slow_answer_is_waited_for(hasty: Workbench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connections, "MOST", 3)
    with socket.create_connection(("127.0.0.1", hasty.port), timeout=60) as line:
        monkeypatch.setattr("jounce.web.pages.book.page", lambda *_, **__: time.sleep(5) or _Plain("slow, and there"))
        line.sendall(b"GET /book HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
        with ExitStack() as ending:
            for _ in range(10):  # crowded meanwhile: those that wait go, not this one
                time.sleep(0.3)
                ending.enter_context(socket.create_connection(("127.0.0.1", hasty.port), timeout=20))
            got = b""
            while b"slow, and there" not in got:
                part = line.recv(4096)
                assert part, got
                got += part


def _Plain(text: str) -> object:  # noqa: N802
    from starlette.responses import PlainTextResponse

    return PlainTextResponse(text)
