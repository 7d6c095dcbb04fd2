"""The process may be killed at any moment: nothing that was acknowledged is lost, nothing is half there."""

from __future__ import annotations

import signal
import subprocess
import sys
import time

import pytest

from jounce.book import open_book

WRITER = """
import sys
from dataclasses import replace
from jounce.book import open_book
book = open_book(sys.argv[1], "writer")
entry = book.entry(sys.argv[2])
while True:
    entry = book.save(replace(entry, content="x" * 5000 + str(entry.number + 1)))
    print(entry.number, flush=True)
"""


FILLER = """
import sys
from jounce.book import open_book
book = open_book(sys.argv[1], "filler")
for turn in range(1000):
    print(turn, flush=True)
    book.fill("part", {f"P-{k}": f"{turn}" + "x" * 500 for k in range(400)})
"""


@pytest.mark.sweep
@pytest.mark.parametrize("wait", [0.005, 0.02, 0.06, 0.15, 0.31])
def test_a_shelf_is_filled_as_a_whole_or_not_at_all_when_killed(book, wait):
    command = [sys.executable, "-c", FILLER, book.place]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, encoding="utf-8") as filler:  # noqa: S603
        assert filler.stdout is not None
        filler.stdout.readline()
        time.sleep(wait)
        filler.send_signal(signal.SIGKILL)

    again = open_book(book.place, "Ann")
    parts = again.entries("part")
    assert len(parts) in {0, 400}
    assert len({(part.content, part.number) for part in parts}) <= 1
    again.close()


@pytest.mark.sweep(2)
@pytest.mark.parametrize("wait", [0.03, 0.11, 0.23, 0.37])
def test_what_was_acknowledged_is_there_after_a_kill(book, wait):
    car = book.add("car", "Brisk", "1")
    command = [sys.executable, "-c", WRITER, book.place, car.id]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, encoding="utf-8") as writer:  # noqa: S603
        assert writer.stdout is not None
        first = writer.stdout.readline() + writer.stdout.readline()  # it is under way
        time.sleep(wait)
        writer.send_signal(signal.SIGKILL)
        rest = writer.stdout.read()
    acknowledged = [int(line) for line in (first + rest).split("\n")[:-1]]

    again = open_book(book.place, "Ann")
    versions = again.versions(car.id)
    numbers = [version.entry.number for version in versions]
    assert len(acknowledged) > 1
    assert numbers == list(range(1, len(numbers) + 1))
    assert acknowledged[-1] <= numbers[-1] <= acknowledged[-1] + 1
    assert versions[-1].entry.content.endswith(str(numbers[-1]))
    assert again.entry(car.id).number == numbers[-1]
    again.close()
