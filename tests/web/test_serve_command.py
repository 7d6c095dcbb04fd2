"""The command as a person starts and ends it."""

from __future__ import annotations

import http.client
import re
import signal
import subprocess
import sys
from pathlib import Path

from tests.workbench import demo_book

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
