"""The file that is taken away: the job's own numbers, nobody else's names, nothing that could run or ask."""

from __future__ import annotations

import base64
import gzip
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from jounce.case.case import Case
from jounce.cli import take_away as command
from jounce.cli.app import commands
from jounce.conventions.errors import InputError
from jounce.conventions.units import show
from jounce.quote.shop import parse_shop
from jounce.sheets.notice import critical_failures, despite_of
from jounce.sheets.paperwork import Paperwork
from jounce.web.case_cache import case_of
from jounce.web.take_away.content import NUMBERS, TakeAwayWish
from jounce.web.take_away.file import POLICY, take_away
from jounce.words.signs import true_minus
from tests.workbench import Workbench, asked, demo_text

MOST = 300_000
"""Bytes of a file."""


@cache
def case(car: str = "brisk-14") -> Case:
    return case_of(demo_text(f"{car}-lower.toml"), demo_text(f"{car}.toml"))


def look(reason: str = "") -> Paperwork:
    return Paperwork(shop=parse_shop(demo_text("shop.toml"), "the shop"), despite=despite_of(reason, "A. Tester"))


@cache
def made(car: str = "brisk-14") -> str:
    return take_away(case(car), look("made for a test"), TakeAwayWish()).decode()


def told(page: str) -> Any:
    found = re.search(r'<script type="application/json" id="content">(.*?)</script>', page, re.DOTALL)
    assert found is not None
    return json.loads(found[1])


def packed(page: str) -> str:
    found = re.search(r'<script type="text/plain" id="frames">(.*?)</script>', page, re.DOTALL)
    assert found is not None
    return found[1]


def frames(page: str) -> Any:
    return json.loads(gzip.decompress(base64.b64decode(packed(page))))


def test_its_numbers_are_the_jobs_with_their_bands() -> None:
    rows = told(made())["numbers"]["rows"]

    assert len(rows) == 7
    for (key, label), (name, *shown) in zip(NUMBERS, rows, strict=True):
        row = case().row(key)
        assert name.startswith(label)
        for text, value, band in zip(shown, (row.found, row.planned), (row.found_band, row.planned_band), strict=True):
            number, _, width = text.partition(" ± ")
            assert number == true_minus(show(value or 0.0, row.kind).partition(" ")[0])
            assert (width or "0") == (show(band, row.kind).partition(" ")[0] if width else "0")


def test_whose_car_it_is_stands_in_it_only_where_that_was_ticked() -> None:
    marked = demo_text("brisk-14.toml").replace('body = "', 'chassis = "CHASSIS-77"\nnote = "NOTE-78"\nbody = "')
    job = demo_text("brisk-14-lower.toml").replace('revision = "1"', 'revision = "1"\nnote = "NOTE-79"')
    marked_case = case_of(job, marked)
    plain, ticked = (
        take_away(marked_case, look("made for a test"), TakeAwayWish("My car", customer=customer)).decode()
        for customer in (False, True)
    )
    for page, there in ((plain, False), (ticked, True)):
        whole = page.replace(packed(page), "") + json.dumps(frames(page))
        assert ("A. Example" in whole) == there
        for word in ("CHASSIS-77", "NOTE-78", "NOTE-79", "Road and club days", "72.00", "EUR"):
            assert word not in whole
        assert told(page)["title"] == "My car"


def test_a_text_is_never_markup() -> None:
    wicked = 'X</script><script>alert(1)</script><!-- "&'
    page = take_away(case(), look("made for a test"), TakeAwayWish(wicked)).decode()

    assert told(page)["title"] == wicked
    assert page.count("<script") == made().count("<script")
    assert page.count("</script") == made().count("</script")
    assert "<!--" not in page


def test_it_asks_nobody_and_is_small_and_the_same_again() -> None:
    page = made()

    assert f'content="{POLICY}"' in page
    assert "default-src 'none'" in POLICY
    named = page.replace("http://www.w3.org/2000/svg", "")  # the name of what is saved as SVG; nothing is fetched there
    assert not re.search(
        r'(?:src|href)="|url\(|@import|https?://|fetch\(|XMLHttpRequest|^import |^export ', named, re.MULTILINE
    )
    assert len(page.encode()) < MOST
    assert take_away(case(), look("made for a test"), TakeAwayWish()).decode() == page


def test_its_frames_are_the_pictures_own_where_the_car_stands() -> None:
    data = frames(made())

    assert set(data["motions"]) == {"travel", "roll", "front bump", "rear bump", "corner"}
    for name, motion in data["motions"].items():
        assert abs(motion["values"][motion["start"]]) < 1e-9, name
    at = data["motions"]["travel"]["start"]
    planned = data["states"][1]
    pose = planned["poses"]["travel"][at]
    row = case().row("front.left.height")
    assert -pose[0] == pytest.approx(((row.found or 0) - (row.planned or 0)) * 1e4, abs=20)
    assert not any(name for state in data["states"] for axle in state["axles"] for name in axle["names"])


def test_a_check_on_which_lives_depend_asks_for_a_reason() -> None:
    broken = demo_text("brisk-14-lower.toml").replace("lower = 35\ncamber", "lower = 90\ncamber")
    failing = case_of(broken, demo_text("brisk-14.toml"))
    assert critical_failures(failing.every_check)

    with pytest.raises(InputError, match="lives depend"):
        take_away(failing, look(), TakeAwayWish())
    assert (
        "because I was asked"
        in told(take_away(failing, look("because I was asked"), TakeAwayWish()).decode())["stop"]["despite"]
    )


def test_the_page_of_the_sheets_hands_it_out_and_programs_get_the_same(workbench: Workbench) -> None:
    page = asked(workbench.port, f"/jobs/{workbench.job}/sheets").text
    assert f'action="/jobs/{workbench.job}/take-away.html"' in page
    answer = asked(workbench.port, f"/jobs/{workbench.job}/take-away.html?title=For%20you")
    assert answer.headers["content-disposition"] == 'attachment; filename="For you, before and after.html"'
    for_programs = asked(workbench.port, f"/api/v1/jobs/{workbench.job}/take-away?title=For%20you")
    assert for_programs.status == answer.status == 200
    assert for_programs.text == answer.text
    assert told(answer.text)["title"] == "For you"


def test_the_command_writes_the_same_file_and_refuses_a_car(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The demo's job is the one above: the command's work is its options and the writing."""
    read = {"brisk-14-lower.toml": case(), "brisk-14.toml": Case(case().car)}
    monkeypatch.setattr(command, "case_of_file", lambda path, _: read[path.name])
    (tmp_path / "shop.toml").write_text(demo_text("shop.toml"), "utf-8")
    out = tmp_path / "x.html"
    words = ["--out", str(out), "--shop", str(tmp_path / "shop.toml")]
    words += ["--despite", "made for a test", "--by", "A. Tester"]
    result = CliRunner().invoke(commands, ["take-away", "brisk-14-lower.toml", *words])
    assert result.exit_code == 0, result.output
    assert out.read_text("utf-8") == made()
    refused = CliRunner().invoke(commands, ["take-away", "brisk-14.toml", "--out", str(tmp_path / "y.html")])
    assert isinstance(refused.exception, InputError)
    assert not (tmp_path / "y.html").exists()
