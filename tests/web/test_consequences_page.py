"""The consequences without a browser: the verdict first, seven numbers with their ±, and why each is what it is."""

from __future__ import annotations

import html
import re
from pathlib import Path

from jounce.checks import Verdict
from jounce.conventions.units import Kind, show
from jounce.web.case_cache import case_of
from tests.web.test_counter_page import counter_book
from tests.workbench import Workbench, asked, demo_book, demo_text, serving

KEYS = ("lower", "firmer", "swings", "lean", "bump", "ground", "price")


def plain(text: str) -> str:
    """What a person reads."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


def test_verdict_and_seven_numbers_come_first_and_are_the_jobs_own(workbench: Workbench) -> None:
    text = asked(workbench.port, f"/jobs/{workbench.job}/consequences").text
    case = case_of(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml"))
    head = plain(text.partition('<details class="chapter"')[0])

    fails = sum(check.verdict is Verdict.FAIL for check in case.every_check)
    lacks = sum(check.verdict is Verdict.UNKNOWN for check in case.every_check)
    assert ("Does not fit" in head) == bool(fails)
    assert f"{lacks} of {len(case.every_check)} checks lack a measurement" in head or fails
    assert head.count("Why?") == len(KEYS)
    for axle, where in (("front", "in front"), ("rear", "behind")):
        rows = [case.row(f"{axle}.{side}.ride_frequency") for side in ("left", "right")]
        swings = show(sum(row.planned or 0 for row in rows) / 2, Kind.FREQUENCY)
        band = show(max(row.planned_band for row in rows), Kind.FREQUENCY).removesuffix(" Hz")
        assert f"{swings} ± {band} {where}" in head
    assert text.count('<details class="chapter"') == 5
    for name in ("Curves over travel", "Every number"):
        assert name in text


def test_what_lacks_a_measurement_leads_to_where_it_is_entered(workbench: Workbench) -> None:
    text = asked(workbench.port, f"/jobs/{workbench.job}/consequences").text
    lacking = text.partition('class="lacking"')[2].partition("</ul>")[0]

    assert lacking.count("<li>") == lacking.count("<a href=")
    for address in set(re.findall(r'href="([^"]+)"', lacking)):
        assert asked(workbench.port, address.partition("#")[0]).status == 200
        place = address.partition("#")[2]
        assert not place or f'"{place}"' in asked(workbench.port, address.partition("#")[0]).text


def test_a_job_that_does_not_fit_says_why_and_what_mends_it(workbench: Workbench) -> None:
    text = demo_text("brisk-14-lower.toml").replace("stress_limit = { value = 900", "stress_limit = { value = 500")
    job = workbench.book.add("job", "Bars too soft", text, workbench.car)
    head = plain(asked(workbench.port, f"/jobs/{job.id}/consequences").text.partition("Seven numbers")[0])

    assert "Does not fit" in head
    assert "Lives depend on it." in head
    assert "Mended by:" in head


def test_each_number_tells_why(tmp_path: Path) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    counter_book(book)
    with serving(book) as port:
        for key in KEYS:
            answer = asked(port, f"/jobs/{job}/why/{key}")
            said = plain(answer.text)
            assert answer.status == 200, key
            assert f"/jobs/{job}/consequences" in answer.text
            assert re.findall(r"\bnan\b|None|\w_\w", said.partition("Why:")[2]) == [], key
            if key != "price":
                assert "What moves it" in said
                assert "How sure it is" in said
        assert asked(port, f"/jobs/{job}/why/colour").status == 422
    book.close()
