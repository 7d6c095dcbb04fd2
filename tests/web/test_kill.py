"""The workbench may be killed at any moment of saving, by a form or by a program: what it acknowledged is there."""

from __future__ import annotations

import http.client
import json
import os
import random
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlencode

import pytest

from jounce.book import open_book

# It imports once; each workbench is a process of its own, begun within milliseconds.
FORKING = """
import os, signal, sys
from jounce.book import open_book
from jounce.web.serving import serve
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
print("ready", flush=True)
for line in sys.stdin:
    if os.fork() == 0:
        book = open_book(line.strip(), "Ann")
        serve(book, ("127.0.0.1", 0), None, lambda address: print(os.getpid(), address, flush=True))
        os._exit(0)
"""


@pytest.fixture(scope="module")
def forking() -> Iterator[subprocess.Popen[str]]:
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE}
    with subprocess.Popen([sys.executable, "-c", FORKING], text=True, **pipes) as process:  # type: ignore[call-overload]  # noqa: S603
        assert process.stdout.readline() == "ready\n"
        yield process


class Saver(threading.Thread):
    """Saves as fast as it is answered, until nobody answers; remembers what was acknowledged."""

    def __init__(self, port: int) -> None:
        super().__init__()
        self.port = port
        self.acknowledged: list[str] = []

    def run(self) -> None:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        try:
            while True:
                self.save(connection)
        except (OSError, http.client.HTTPException):
            connection.close()

    def save(self, connection: http.client.HTTPConnection) -> None:
        raise NotImplementedError


class ByForm(Saver):
    """A browser's form: a new customer each time."""

    def save(self, connection: http.client.HTTPConnection) -> None:
        name = f"form {random.getrandbits(64):x}"
        kind = {"Content-Type": "application/x-www-form-urlencoded"}
        connection.request("POST", "/customers", urlencode({"name": name}), kind)
        answer = connection.getresponse()
        answer.read()
        assert answer.status == 303
        self.acknowledged.append(name)


class ByProgram(Saver):
    """The interface for programs: the next version of one entry each time."""

    def __init__(self, port: int, entry: str, number: int) -> None:
        super().__init__(port)
        self.entry, self.number = entry, number

    def save(self, connection: http.client.HTTPConnection) -> None:
        content = f"{random.getrandbits(64):x}" + "x" * 3000
        body = json.dumps({"number": self.number, "content": content})
        connection.request("PUT", f"/api/v1/entries/{self.entry}", body, {"Content-Type": "application/json"})
        answer = connection.getresponse()
        told = json.loads(answer.read())
        assert answer.status == 200, told
        self.number = told["number"]
        self.acknowledged.append(content)


@pytest.mark.parametrize("kills", [12, pytest.param(1000, marks=pytest.mark.endurance)])
def test_what_was_acknowledged_is_there_after_every_kill(
    forking: subprocess.Popen[str], tmp_path: Path, kills: int
) -> None:
    assert forking.stdin is not None
    assert forking.stdout is not None
    path = tmp_path / "shop.db"
    book = open_book(path, "Ann", make=True)
    entry = book.add("customer", "saved by a program", "").id
    chance = random.Random(7)  # noqa: S311
    names: set[str] = set()
    contents: list[str] = []
    for _ in range(kills):
        forking.stdin.write(f"{path}\n")
        forking.stdin.flush()
        process, address = forking.stdout.readline().split()
        port = int(address.rsplit(":", 1)[1].strip("/"))
        savers: list[Saver] = [ByForm(port), ByProgram(port, entry, book.entry(entry).number)]
        for saver in savers:
            saver.start()
        until = time.monotonic() + 30
        while not all(saver.acknowledged for saver in savers) and time.monotonic() < until:
            time.sleep(0.002)
        time.sleep(chance.uniform(0, 0.08))
        os.kill(int(process), signal.SIGKILL)
        for saver in savers:
            saver.join(30)
        names.update(savers[0].acknowledged)
        contents += savers[1].acknowledged

        assert all(saver.acknowledged for saver in savers)
        last = book.entry(entry)
        assert last.number >= len(contents) + 1
        assert any(version.entry.content == contents[-1] for version in book.versions(entry)[-2:])
    kept = {version.entry.content for version in book.versions(entry)}
    numbers = [version.entry.number for version in book.versions(entry)]
    book.close()
    again = open_book(path, "Ann")  # which looks through the whole file

    assert names <= {one.name for one in again.entries("customer")}
    assert set(contents) <= kept
    assert numbers == list(range(1, len(numbers) + 1))
    print(f"{kills} kills, {len(names)} forms and {len(contents)} saves of a program acknowledged, none lost")  # noqa: T201
    again.close()
