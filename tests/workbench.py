"""A workbench that really listens, on a book with the demo cars, for the tests of its pages."""

from __future__ import annotations

import http.client
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from urllib.parse import urlencode

from jounce.book import Book, open_book
from jounce.web.security.certificate import Certificate
from jounce.web.serving import listen, server_of


@dataclass(frozen=True)
class Workbench:
    """Where it listens, and the entries of its book by what they are."""

    port: int
    car: str
    job: str
    book: Book

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"


@dataclass(frozen=True)
class Answer:
    status: int
    headers: Mapping[str, str]
    text: str


def demo_text(name: str) -> str:
    return files("jounce.demo").joinpath(name).read_text("utf-8")


def demo_book(path: Path) -> tuple[Book, str, str]:
    """A new book with a customer, two cars and the demo job; ids of car and job."""
    book = open_book(path, "tester", make=True)
    owner = book.add("customer", "A. Example", "")
    car = book.add("car", "Brisk 14", demo_text("brisk-14.toml"), owner.id)
    book.add("car", "Sedge 13", demo_text("sedge-13.toml"))
    job = book.add("job", "Road and club days, 35 mm lower", demo_text("brisk-14-lower.toml"), car.id)
    return book, car.id, job.id


@contextmanager
def serving(
    book: Book, kept: str | None = None, port: int = 0, certificate: Certificate | None = None
) -> Iterator[int]:
    """A server in a thread, as `jounce serve` runs it; gives its port."""
    opened = listen("127.0.0.1", port)
    server = server_of(book, kept, certificate)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [opened]}, daemon=True)
    thread.start()
    until = time.monotonic() + 20
    while not server.started:
        assert time.monotonic() < until, "the server does not start"
        time.sleep(0.02)
    try:
        yield opened.getsockname()[1]
    finally:
        server.should_exit = True
        thread.join(20)
        opened.close()


def asked(
    port: int,
    path: str,
    form: Mapping[str, str] | None = None,
    headers: Mapping[str, str] | None = None,
    body: bytes | None = None,
) -> Answer:
    """One request without a browser."""
    connection = http.client.HTTPConnection(
        "127.0.0.1", port, timeout=240
    )  # the first page of a job may compile the mechanics
    given = dict(headers or {})
    if form is not None:
        body = urlencode(form).encode()
        given.setdefault("Content-Type", "application/x-www-form-urlencoded")
    try:
        connection.request("GET" if body is None else "POST", path, body, given)
        answer = connection.getresponse()
        text = answer.read().decode("utf-8", "replace")
        return Answer(answer.status, {name.lower(): value for name, value in answer.getheaders()}, text)
    finally:
        connection.close()
