"""A real Chromium, the machine's own, that may reach the workbench and nothing else."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, Request, expect, sync_playwright

from tests.workbench import Workbench, demo_book, serving

QUIET = (
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-gpu",  # a machine without one draws quicker when it does not play one
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",  # no other machine has an address
)
SIZES = {"desktop": (1280, 900), "phone": (390, 800)}
Opened = Callable[..., Page]
expect.set_options(timeout=120_000)  # the first page of a job may compile the mechanics


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """The browser; without one these tests are skipped, where one is promised they fail."""
    path = shutil.which("chromium")
    if path is None:
        missing = "no chromium on this machine: apt-get install chromium"
        if os.environ.get("JOUNCE_BROWSER") == "required":
            pytest.fail(missing)
        pytest.skip(missing)
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=QUIET)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def workbench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    """A workbench for the tests of a module."""
    book, car, job = demo_book(tmp_path_factory.mktemp("book") / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


@pytest.fixture
def opened(chromium: Browser) -> Iterator[Opened]:
    """Opens browsers of their own; at the end nothing went wrong in one and nothing was asked of another machine."""
    contexts, away, wrong = [], [], []

    def look(request: Request) -> None:
        found = urlsplit(request.url)
        if found.scheme not in ("blob", "data") and found.hostname != "127.0.0.1":
            away.append(request.url)

    def new(size: str = "desktop", **options: Any) -> Page:
        wide, high = SIZES[size]
        context = chromium.new_context(viewport={"width": wide, "height": high}, has_touch=size == "phone", **options)
        context.on("request", look)  # only looked at: who stands between keeps a browser from keeping files
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("console", lambda said: wrong.append(said.text) if "Content Security" in said.text else None)
        page.set_default_timeout(120_000)
        return page

    yield new
    for context in contexts:
        context.close()
    assert away == []
    assert wrong == []
