"""Ctrl-C, with a real signal to a real process: plain words and code 130, never a traceback."""

from __future__ import annotations

import os
import pty
import signal
import subprocess
import sys
import time
from importlib.resources import files
from pathlib import Path

import pytest

DEMO = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml"))).parent
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs a terminal of its own and POSIX signals")


def interrupted(times, tmp_path):
    """A search that is interrupted when its progress first shows: code, what it said to the screen and to the terminal."""
    screen, terminal = pty.openpty()
    words = ["search", str(DEMO / "brisk-14-lower.toml"), "--shelf", str(DEMO / "shelf.toml")]
    with (tmp_path / "said").open("wb") as said:
        process = subprocess.Popen(  # noqa: S603  # our own command
            [sys.executable, "-m", "jounce", *words], stdout=said, stderr=terminal, stdin=subprocess.DEVNULL
        )
    os.close(terminal)
    heard, sent, deadline = b"", 0, time.monotonic() + 100
    while time.monotonic() < deadline:
        try:
            heard += os.read(screen, 4096)
        except OSError:  # the other end is closed: the process has ended
            break
        marks = (b"judging packages", b"once more")
        while sent < times and marks[sent] in heard:
            process.send_signal(signal.SIGINT)
            sent += 1
    code = process.wait(timeout=30)
    os.close(screen)
    assert sent == times
    return code, (tmp_path / "said").read_text("utf-8"), heard.decode("utf-8")


def test_one_ctrl_c_ends_politely_and_tells_what_there_is(tmp_path):
    code, said, heard = interrupted(1, tmp_path)

    assert code == 130
    assert "Traceback" not in said + heard
    assert "Stopping; once more stops at once." in heard
    if "before any package could be judged" not in heard:
        assert "Stopped before the end: how the body rolls was worked out for" in said
        assert "Three packages" in said


@pytest.mark.validation_long
def test_two_end_at_once(tmp_path):
    code, said, heard = interrupted(2, tmp_path)

    assert code == 130
    assert "Traceback" not in said + heard
    assert "stopped at once" in heard or "before any package" in heard or "Stopped before the end" in said
