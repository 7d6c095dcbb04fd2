"""The bay's page without a browser: what is not reached stands on top, each of it once."""

from __future__ import annotations

import html
import re
from pathlib import Path

from tests.workbench import asked, demo_book, demo_text, serving

LEANING = (
    "[wanted.front]\nlower = 35\ncamber = -1.0",
    "[wanted.front]\nleft_height = 314\nright_height = 308\ncamber = -3.0",
)
"""A front that is to lean under a rear that is not, and more camber than the plates give."""


def test_what_is_not_reached_is_told_once_each(tmp_path: Path) -> None:
    book, car, _ = demo_book(tmp_path / "shop.db")
    written = demo_text("brisk-14-lower.toml")
    assert LEANING[0] in written
    job = book.add("job", "Leaning", written.replace(*LEANING), belongs_to=car)
    with serving(book) as port:
        text = asked(port, f"/jobs/{job.id}/bay").text
    book.close()
    notice = text.partition("Not all that was wanted is reached:")[2].partition("</ul>")[0]
    lines = [html.unescape(line) for line in re.findall(r"<li>(.*?)</li>", notice)]

    assert sum("no plane" in line for line in lines) == 1
    assert sum("inward would be needed" in line for line in lines) == 2  # left and right
    assert len(lines) == len(set(lines))
