"""The workbench in a browser: how quickly its pages come, how the moving picture follows a hand, what memory it takes.

Server and browser run as they do at work, each in processes of its own, on all processors. These are wall times.
"""

from __future__ import annotations

import http.client
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright
from tests.workbench import demo_book

SERVER = """
import sys
from jounce.book import open_book
from jounce.web.serving import serve
serve(open_book(sys.argv[1], "bench"), "127.0.0.1", 0, None, lambda address: print(address, flush=True))
"""
ARGUMENTS = (
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-gpu",
    "--enable-precise-memory-info",
)
PAGES = {
    "the book": "/",
    "a car": "/cars/{car}",
    "the walk with the tape": "/cars/{car}/measure",
    "a job as found": "/jobs/{job}",
    "its changes": "/jobs/{job}/changes",
    "its consequences": "/jobs/{job}/consequences",
    "whether it fits": "/jobs/{job}/fits",
    "its settings": "/jobs/{job}/settings",
    "its sheets": "/jobs/{job}/sheets",
    "its search": "/jobs/{job}/search",
    "the shelf": "/shelf",
    "the interface for programs": "/api/",
}
AGAIN = 7
DRAGS = 500
DRAG = """async (seconds) => {
    const range = document.querySelector("#drag"), canvas = document.querySelector(".picture canvas");
    const before = Number(canvas.dataset.drawn), begun = performance.now(), waits = [];
    let last = begun;
    for (let k = 0; performance.now() - begun < seconds * 1000; k++) {
        range.value = String(Math.round(30 + 30 * Math.sin(k / 12)));
        range.dispatchEvent(new Event("input"));
        await new Promise(requestAnimationFrame);
        waits.push(performance.now() - last);
        last = performance.now();
    }
    waits.sort((a, b) => a - b);
    return {
        rate: (Number(canvas.dataset.drawn) - before) / (performance.now() - begun) * 1000,
        late: waits[Math.floor(0.95 * waits.length)],
    };
}"""
TIMES = """() => {
    const [load] = performance.getEntriesByType("navigation");
    const paint = performance.getEntriesByName("first-contentful-paint")[0];
    return { loaded: load.loadEventEnd, painted: paint ? paint.startTime : null, bytes: load.transferSize };
}"""


@dataclass(frozen=True)
class Served:
    """A workbench in a process of its own."""

    port: int
    process: int
    car: str
    job: str

    def address(self, path: str) -> str:
        """Where a page stands."""
        return f"http://127.0.0.1:{self.port}{path.format(car=self.car, job=self.job)}"

    def answered(self, path: str) -> float:
        """Time from the question to the last byte of the answer [s]."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=300)
        begun = time.perf_counter()
        connection.request("GET", path.format(car=self.car, job=self.job))
        answer = connection.getresponse()
        answer.read()
        took = time.perf_counter() - begun
        connection.close()
        if answer.status != 200:
            raise RuntimeError(f"{path} answers {answer.status}")
        return took

    def memory(self) -> float:
        """What the server's process holds [MB]."""
        told = Path(f"/proc/{self.process}/status").read_text("utf-8")
        return int(told.partition("VmRSS:")[2].split()[0]) / 1024


@contextmanager
def served() -> Iterator[Served]:
    """A workbench on a book with the demo cars."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "shop.db"
        book, car, job = demo_book(path)
        book.close()
        command = [sys.executable, "-c", SERVER, str(path)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, encoding="utf-8") as server:  # noqa: S603
            if server.stdout is None:
                raise RuntimeError("the server tells nothing")
            port = int(server.stdout.readline().rstrip("/\n").rpartition(":")[2])
            try:
                yield Served(port, server.pid, car, job)
            finally:
                server.terminate()


def pages_table() -> str:
    """The third table, as Markdown; it says so where there is no Chromium."""
    path = shutil.which("chromium")
    with served() as there:
        first = {name: there.answered(page) for name, page in PAGES.items()}
        again = {name: statistics.median(there.answered(page) for _ in range(AGAIN)) for name, page in PAGES.items()}
        head = ["| page | server, first time [ms] | server, again [ms] | painted [ms] | loaded [ms] | came [kB] |"]
        if path is None:
            rows = [f"| {name} | {first[name] * 1e3:.0f} | {again[name] * 1e3:.1f} | – | – | – |" for name in PAGES]
            note = "No Chromium on this machine: what a browser takes was not measured (apt-get install chromium)."
            return "\n".join([*head, "| --- |" + " --- |" * 5, *rows, "", note])
        with sync_playwright() as driver:
            browser = driver.chromium.launch(executable_path=path, args=list(ARGUMENTS))
            page = browser.new_page(viewport={"width": 1280, "height": 900}, bypass_csp=True)  # to wait by a script
            page.set_default_timeout(120_000)
            rows = [_page_row(page, there, name, (first[name], again[name])) for name in PAGES]
            moving = list(_moving(page, there))
            browser.close()
    return "\n".join([*head, "| --- |" + " --- |" * 5, *rows, "", "| at work | |", "| --- | --- |", *moving])


def _page_row(page: Page, there: Served, name: str, server: tuple[float, float]) -> str:
    told: list[dict[str, Any]] = []
    for _ in range(AGAIN):
        page.goto(there.address(PAGES[name]), wait_until="load")
        page.wait_for_function("performance.getEntriesByType('navigation')[0].loadEventEnd > 0")
        told.append(page.evaluate(TIMES))
    loaded, came = (statistics.median(one[key] for one in told) for key in ("loaded", "bytes"))
    seen = [
        one["painted"] for one in told if one["painted"] is not None
    ]  # a quick page may be read before it is painted
    painted = f"{statistics.median(seen):.0f}" if seen else "–"
    return f"| {name} | {server[0] * 1e3:.0f} | {server[1] * 1e3:.1f} | {painted} | {loaded:.0f} | {came / 1e3:.0f} |"


def _moving(page: Page, there: Served) -> Iterator[str]:
    """How the picture follows a hand, then what memory many moves and many loaded pages take."""
    page.goto(there.address(PAGES["its consequences"]))
    page.wait_for_function("Number(document.querySelector('.picture canvas')?.dataset.drawn) > 0")
    best = max((page.evaluate(DRAG, 2.0) for _ in range(3)), key=lambda one: one["rate"])
    yield f"| moving picture: pictures a second while a hand drags | {best['rate']:.0f} |"
    yield f"| longest wait of 19 in 20 of them [ms] | {best['late']:.0f} |"
    before, server = _heap(page), there.memory()
    for k in range(DRAGS):
        page.locator("#drag").evaluate(
            "(range, k) => { range.value = String(k % 61); range.dispatchEvent(new Event('input')); }", k
        )
    after = _heap(page)
    yield f"| page: memory of its script before and after {DRAGS} moves [MB] | {before:.1f}, {after:.1f} |"
    for k in range(DRAGS):
        there.answered(list(PAGES.values())[k % len(PAGES)])
    yield f"| server: memory before and after {DRAGS} pages [MB] | {server:.0f}, {there.memory():.0f} |"


def _heap(page: Page) -> float:
    """What the page's script holds after a tidying up [MB]."""
    session = page.context.new_cdp_session(page)
    session.send("HeapProfiler.collectGarbage")
    used = session.send("Runtime.getHeapUsage")["usedSize"]
    session.detach()
    return float(used) / 1e6
