"""The command as a person starts and ends it."""

from __future__ import annotations

import http.client
import re
import signal
import ssl
import subprocess
import sys
from pathlib import Path

from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.web.security.certificate import Certificate, certificate_of
from jounce.web.security.passwords import hashed
from tests.workbench import demo_book, serving

JOUNCE = (sys.executable, "-m", "jounce", "serve")


def test_it_says_where_it_is_and_ends_quietly(tmp_path: Path) -> None:
    demo_book(tmp_path / "shop.db")[0].close()
    command = [*JOUNCE, str(tmp_path / "shop.db"), "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:  # noqa: S603
        assert running.stdout is not None
        assert running.stderr is not None
        said = re.search(r"http://127\.0\.0\.1:(\d+)/", running.stdout.readline())
        assert said is not None
        connection = http.client.HTTPConnection("127.0.0.1", int(said[1]), timeout=60)
        connection.request("GET", "/")
        assert b"Brisk 14" in connection.getresponse().read()
        connection.close()
        running.send_signal(signal.SIGINT)
        assert running.wait(30) == 0
        assert [line.partition(".")[0] for line in running.stderr] == ["Making the workbench ready"]


def test_beyond_this_machine_it_asks_for_a_password_file_before_it_looks_for_the_book(tmp_path: Path) -> None:
    command = [*JOUNCE, str(tmp_path / "none.db"), "--host", "192.0.2.7"]
    ended = subprocess.run(command, capture_output=True, text=True, check=False)  # noqa: S603

    assert ended.returncode == 2
    assert ended.stderr.startswith("Listening beyond this machine needs a password; found 192.0.2.7.")
    assert len(ended.stderr.splitlines()) == 1


def certificate(folder: Path) -> tuple[Path, Path]:
    """One that vouches for itself, for this machine."""
    file, key = folder / "own.pem", folder / "own.key"
    made = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=localhost"]
    names = ["-addext", "subjectAltName=IP:127.0.0.1", "-keyout", str(key), "-out", str(file)]
    subprocess.run([*made, *names], check=True, capture_output=True)  # noqa: S603
    return file, key


def test_over_https_it_answers_under_its_certificate_and_keeps_the_session_there(tmp_path: Path) -> None:
    file, key = certificate(tmp_path)
    book, *_ = demo_book(tmp_path / "shop.db")
    with serving(book, hashed("long enough"), certificate=certificate_of(file, key)) as port:
        trusting = ssl.create_default_context(cafile=file)
        asking = http.client.HTTPSConnection("127.0.0.1", port, timeout=60, context=trusting)
        form = {"Content-Type": "application/x-www-form-urlencoded"}
        asking.request("POST", "/sign-in", "password=long+enough", form)
        answer = asking.getresponse()
        answer.read()
        cookie = answer.headers["set-cookie"]
        asking.request("GET", "/", headers={"Cookie": cookie.partition(";")[0]})
        seen = asking.getresponse().read()
        asking.close()
    book.close()

    assert (answer.status, "Secure" in cookie, "HttpOnly" in cookie) == (303, True, True)
    assert b"Brisk 14" in seen


def test_a_certificate_that_cannot_be_used_is_refused_before_the_book_is_looked_for(tmp_path: Path) -> None:
    file, key = certificate(tmp_path)
    wrong = {
        "Give both --certificate and --key": ["--certificate", str(file)],
        "cannot be read (No such file or directory)": ["--certificate", str(file), "--key", str(tmp_path / "none")],
        "This certificate and this key cannot be used together": ["--certificate", str(file), "--key", str(file)],
    }
    for told, given in wrong.items():
        ended = CliRunner().invoke(commands, ["serve", str(tmp_path / "none.db"), *given])
        assert told in str(ended.exception)
    assert certificate_of(None, None) is None
    assert certificate_of(file, key) == Certificate(file, key)
