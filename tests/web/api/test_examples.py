"""The examples of the manual's page for programs are run as they stand."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.workbench import demo_book, serving

PAGE = Path(__file__).resolve().parents[3] / "docs" / "manual" / "programs.md"


def test_the_examples_do_what_the_page_says(tmp_path: Path) -> None:
    missing = [name for name in ("curl", "jq") if shutil.which(name) is None]
    if missing:
        pytest.skip(f"not on this machine: {', '.join(missing)}")
    script = "\n".join(re.findall(r"^```sh\n(.*?)^```$", PAGE.read_text("utf-8"), re.DOTALL | re.MULTILINE))
    book, car, _ = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        done = subprocess.run(  # noqa: S603
            ["bash", "-euo", "pipefail", "-c", script.replace(":8421/", f":{port}/")],  # noqa: S607
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
            cwd=tmp_path,
        )
    name, number = book.entry(car).name, book.entry(car).number
    book.close()

    assert done.returncode == 0, done.stderr
    assert (name, number) == ("Brisk 14 of A. Example", 2)
    for told in (
        "/api/v1/entries/{entry}",
        '[2,"R. Example","named"]',
        '"sound": true',
        '"plus_minus":',
        '["left_camber","rad",[',
        '["inside rear wheel lifts at","m/s²",[',
        '["cross_weight","1",',
        "left front torsion bar:",
        '"allowed":"front, rear"',
    ):
        assert told in done.stdout, told
    for file in ("set-up.pdf", "hall.pdf"):
        assert (tmp_path / file).read_bytes().startswith(b"%PDF-"), file
