"""The power may fail at any moment: what was acknowledged is on the disk by then, and so is the folder that names it."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys

import pytest

from jounce.book import open_book

SAVER = """
import os, sys
from jounce.book import open_book
book = open_book(sys.argv[1], "Ann")
os.write(1, b"open\\n")
book.add("car", "Brisk", "x" * 5000)
os.write(1, b"acknowledged\\n")
"""
EXTRA = 3  # of SQLite's "synchronous": the folder is written to the disk too once the journal is gone


def test_every_connection_waits_for_the_disk(book):
    with book._reading() as reading:
        assert reading.exec_driver_sql("PRAGMA synchronous").scalar() == EXTRA
        assert reading.exec_driver_sql("PRAGMA journal_mode").scalar() == "delete"
        assert reading.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
    with book._writing() as writing:
        assert writing.exec_driver_sql("PRAGMA synchronous").scalar() == EXTRA


@pytest.mark.skipif(shutil.which("strace") is None, reason="there is no tracer of system calls here")
def test_a_save_is_acknowledged_only_after_file_and_folder_were_written_to_the_disk(tmp_path):
    folder = tmp_path / "books"
    folder.mkdir()
    place = folder / "shop.db"
    open_book(place, "Ann", make=True).close()
    trace = tmp_path / "trace"
    calls = "trace=fsync,fdatasync,unlink,unlinkat,write,pwrite64"
    command = ["strace", "-f", "-y", "-s", "20", "-e", calls, "-o", str(trace), sys.executable, "-c", SAVER, str(place)]
    if subprocess.run(command, check=False, timeout=120).returncode != 0:  # noqa: S603
        pytest.skip("processes may not be traced here")
    lines = trace.read_text().splitlines()
    begun = next(k for k, line in enumerate(lines) if '"open\\n"' in line)
    told = next(k for k, line in enumerate(lines) if '"acknowledged\\n"' in line)
    saving = lines[begun:told]

    def last(pattern):
        return max((k for k, line in enumerate(saving) if re.search(pattern, line)), default=-1)

    book_written, book_synced = last(r"pwrite64\(\d+<\S+shop\.db>"), last(r"f(data)?sync\(\d+<\S+shop\.db>")
    journal_gone, folder_synced = last(r'unlink\(".*shop\.db-journal"'), last(rf"f(data)?sync\(\d+<{folder}>")
    assert 0 <= book_written < book_synced < journal_gone < folder_synced, "\n".join(saving)
