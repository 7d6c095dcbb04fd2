"""What stands before the pages: this machine alone, or a password; no other site, nothing too large."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest

from jounce.conventions.errors import InputError
from jounce.web.security.guard import HEADERS, LARGEST
from jounce.web.security.passwords import hashed, matches, read_hash, write_hash
from jounce.web.security.sessions import IDLE, LONGEST, PAUSE, TRIES, Sessions
from jounce.web.serving import is_local, listen, serve
from tests.workbench import Workbench, asked, demo_book, serving

PASSWORD = "three long words"  # noqa: S105


def test_every_answer_carries_the_safe_headers(workbench: Workbench) -> None:
    for path in ("/", "/static/style.css", "/no-such-page", f"/jobs/{workbench.job}/sheet.pdf"):
        answer = asked(workbench.port, path)

        assert {name: answer.headers.get(name) for name in HEADERS} == dict(HEADERS), path
        assert "server" not in answer.headers


def test_a_name_of_another_site_that_leads_here_is_refused(workbench: Workbench) -> None:
    assert asked(workbench.port, "/", headers={"Host": "elsewhere.example"}).status == 421
    assert asked(workbench.port, "/", headers={"Host": f"localhost:{workbench.port}"}).status == 200


@pytest.mark.parametrize("headers", [{"Origin": "http://elsewhere.example"}, {"Sec-Fetch-Site": "cross-site"}])
def test_a_form_of_another_site_is_refused(workbench: Workbench, headers: dict[str, str]) -> None:
    before = workbench.book.entries("customer")
    answer = asked(workbench.port, "/customers", {"name": "Nobody"}, headers)

    assert answer.status == 403
    assert workbench.book.entries("customer") == before


def test_what_is_too_large_is_refused_whether_it_says_so_or_not(workbench: Workbench) -> None:
    assert asked(workbench.port, "/customers", body=b"name=" + b"x" * LARGEST).status == 413
    with socket.create_connection(("127.0.0.1", workbench.port), 30) as raw:
        head = "POST /shelf HTTP/1.1\r\nHost: localhost\r\nContent-Type: multipart/form-data; boundary=cut\r\n"
        raw.sendall(f"{head}Transfer-Encoding: chunked\r\n\r\n".encode())
        part = b'--cut\r\nContent-Disposition: form-data; name="file"; filename="x"\r\n\r\n'
        raw.sendall(f"{len(part):x}\r\n".encode() + part + b"\r\n")
        chunk = b"10000\r\n" + b"x" * 0x10000 + b"\r\n"
        try:
            for _ in range(LARGEST // 0x10000 + 2):
                raw.sendall(chunk)
        except (BrokenPipeError, ConnectionResetError):
            pass
        assert b" 413 " in raw.recv(200)


@pytest.mark.parametrize("name", ["../site.py", "..%2fsite.py", "%2e%2e%2fsite.py", "/etc/hostname", "jounce.js%00"])
def test_no_address_opens_a_file_of_its_choice(workbench: Workbench, name: str) -> None:
    assert asked(workbench.port, f"/static/{name}").status == 404
    assert asked(workbench.port, f"/files/{name}").status in {404, 422}


def test_nothing_is_shown_without_the_password_and_no_socket_opens(tmp_path: Path) -> None:
    book, car, job = demo_book(tmp_path / "shop.db")
    with serving(book, hashed(PASSWORD)) as port:
        for path in ("/", f"/cars/{car}", f"/jobs/{job}/frames.json", "/shelf", "/no-such-page"):
            answer = asked(port, path)
            assert (answer.status, answer.headers["location"]) == (303, "/sign-in")
            assert "Brisk" not in answer.text
        upgrade = {"Connection": "Upgrade", "Upgrade": "websocket", "Sec-WebSocket-Version": "13"}
        answer = asked(port, "/", headers={**upgrade, "Sec-WebSocket-Key": "dGhlIHNhbXBsZSBub25jZQ=="})
        assert answer.status == 303
        assert asked(port, "/sign-in", {"password": "not this one"}).status == 403
        cookie = asked(port, "/sign-in", {"password": PASSWORD}).headers["set-cookie"]
        assert "HttpOnly" in cookie
        assert "SameSite=strict" in cookie
        signed_in = {"Cookie": cookie.partition(";")[0]}
        assert "Brisk 14" in asked(port, "/", headers=signed_in).text
        asked(port, "/sign-out", {"out": "1"}, signed_in)
        assert asked(port, "/", headers=signed_in).status == 303
    book.close()


def test_a_websocket_is_closed_before_anything_else() -> None:
    import asyncio
    from concurrent.futures import ThreadPoolExecutor

    from jounce.web.security.guard import Guard

    sent: list[dict[str, object]] = []

    async def app(*_: object) -> None:
        raise AssertionError("it came through")

    async def receive() -> dict[str, object]:
        return {"type": "websocket.connect"}

    async def send(message: dict[str, object]) -> None:
        sent.append(message)

    async def connect() -> None:
        await Guard(app, None)({"type": "websocket", "path": "/"}, receive, send)  # type: ignore[arg-type]

    with ThreadPoolExecutor(1) as aside:  # this thread may have an event loop of its own, a browser's
        aside.submit(lambda: asyncio.run(connect())).result()

    assert sent == [{"type": "websocket.close", "code": 1008}]


def test_wrong_passwords_have_to_wait_and_a_right_one_too() -> None:
    now = [0.0]
    sessions = Sessions(hashed(PASSWORD), lambda: now[0])
    for _ in range(TRIES):
        assert sessions.sign_in("here", "wrong") is None

    assert sessions.sign_in("here", PASSWORD) is None
    assert sessions.waits("here") > 0
    assert sessions.sign_in("elsewhere", PASSWORD) is not None
    now[0] = PAUSE + 1
    assert sessions.sign_in("here", PASSWORD) is not None


def test_sessions_end() -> None:
    now = [0.0]
    sessions = Sessions(hashed(PASSWORD), lambda: now[0])
    idle = sessions.sign_in("here", PASSWORD)
    assert idle is not None
    now[0] = IDLE - 1
    assert sessions.knows(idle)
    now[0] += IDLE - 1
    assert sessions.knows(idle)
    now[0] += IDLE + 1
    assert not sessions.knows(idle)
    busy = sessions.sign_in("here", PASSWORD)
    assert busy is not None
    begun = now[0]
    while now[0] < begun + LONGEST - IDLE / 2:
        now[0] += IDLE / 2
        assert sessions.knows(busy) == (now[0] < begun + LONGEST)
    now[0] = begun + LONGEST
    assert not sessions.knows(busy)
    assert not sessions.knows("made up")


def test_passwords_are_kept_as_salted_hashes_that_only_the_owner_reads(tmp_path: Path) -> None:
    path, kept = tmp_path / "password", hashed(PASSWORD)
    write_hash(path, kept)

    assert PASSWORD not in path.read_text()
    assert path.stat().st_mode & 0o077 == 0
    assert read_hash(path) == kept != hashed(PASSWORD)
    assert matches(PASSWORD, kept)
    assert not matches(PASSWORD + " ", kept)
    with pytest.raises(InputError, match="too short"):
        hashed("short")
    with pytest.raises(InputError, match="of this name already"):
        write_hash(path, kept)
    path.write_text("scrypt$12$34")
    with pytest.raises(InputError, match="no password file"):
        read_hash(path)


@pytest.mark.parametrize(
    ("host", "local"), [("127.0.0.1", True), ("::1", True), ("localhost", True), ("192.0.2.7", False)]
)
def test_what_is_local(host: str, local: bool) -> None:  # noqa: FBT001
    assert is_local(host) is local


def test_beyond_this_machine_only_with_a_password(tmp_path: Path) -> None:
    book, _, _ = demo_book(tmp_path / "shop.db")
    with pytest.raises(InputError, match="needs a password"):
        serve(book, ("0.0.0.0", 0), None, print)  # noqa: S104
    book.close()


def test_a_port_that_is_taken_is_told(workbench: Workbench) -> None:
    with pytest.raises(InputError, match="cannot listen there"):
        listen("127.0.0.1", workbench.port)
