"""German is whole: every text of the pages and sheets of a demo job has its line, and no line loses a number."""

from __future__ import annotations

import re
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.book import open_book
from jounce.sheets.catalogue import SHEETS, sheet
from jounce.sheets.job_sheet import job_sheet
from jounce.sheets.notice import despite_of
from jounce.sheets.paperwork import Paperwork, Printout
from jounce.web.case_cache import case_of
from jounce.web.language import Heard, Listening, program_phrases, unspoken
from jounce.words.family import PLACE
from jounce.words.phrases import Phrases, language_phrases, parse_phrases, read_phrases
from jounce.words.shipped import LANGUAGES, shipped_lines, shipped_text
from tests.workbench import Workbench, asked, demo_text, serving

GERMAN = language_phrases("de")
_NAME = re.compile(
    r"Brisk|Sedge|Road and club|Example|Wrenmoor|Larkfield|tester|^[\W\d_]*[A-Z]{1,4}\b"
    r"|[A-Z]\w+ (Bars|Rods|Coils|Dampers|Rubber)|^[a-z_]+(\.[a-z_0-9{}]+)+$"
)
"""Names of the demo's cars, makers, customers and jobs, codes and keys of files: nobody's language."""


def test_every_line_says_all_numbers_and_words_of_its_text() -> None:
    for code in LANGUAGES:
        house = parse_phrases(shipped_text(code), code)  # refuses a line whose places do not come back once each

        assert house.language == code
        assert len(house.phrases) > 3000
        assert not [text for text, said in house.phrases.items() if not said.strip()]


def test_lines_are_german() -> None:
    same = [
        text
        for text, said in shipped_lines("de").items()
        if text == said and re.search(r"[a-z]{3}", PLACE.sub("", text))
    ]

    assert len(same) < 150, same


def test_no_text_of_the_templates_and_scripts_is_without_its_line() -> None:
    assert {lacking for text in program_phrases() for lacking in GERMAN.missing(text)} == set()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Does the left front torsion bar stand full bump?", "Hält der Drehstab vorn links volles Einfedern aus?"),
        ("front left tyre 165/70 R13", "Reifen 165/70 R13 vorn links"),
        ("wheel load", "Radlast"),
        ("as planned", "wie geplant"),
    ],
)
def test_words_of_the_trade(text: str, said: str) -> None:
    assert GERMAN.said(text) == said


def test_the_house_speaks_before_the_language() -> None:
    house = Phrases(language="de", decimal=",", phrases={"wheel load": "Last am Rad"})

    assert house.said("wheel load") == "Last am Rad"
    assert house.said("as planned") == "wie geplant"
    assert read_phrases("de").said("as planned") == "wie geplant"


PAGES = ("/", "/board", "/book", "/desk", "/shop", "/shelf", "/ledger", "/asked", "/shop/phrases", "/cars/new")
OF_THE_CAR = ("", "/measure", "/measure/round", "/readings", "/photographs", "/sheets", "/ask", "/jobs")
OF_THE_JOB = (
    "/found",
    "/aim",
    "/changes",
    "/consequences",
    "/fits",
    "/settings",
    "/bay",
    "/sheets",
    "/rounds",
    "/state",
    "/corner",
    "/live",
    "/why/lower",
)
DEMO = sorted(file.name.removesuffix("-lower.toml") for file in files("jounce.demo").iterdir() if "-lower" in file.name)


def test_pages_say_nothing_without_its_line(workbench: Workbench) -> None:
    assert _lacking(workbench.port, workbench.car, workbench.job, PAGES) == {}


def test_sheets_say_nothing_without_its_line() -> None:
    assert _unsaid_on_sheets(demo_text("brisk-14.toml"), demo_text("brisk-14-lower.toml")) == set()


@pytest.mark.validation_long
@pytest.mark.parametrize("stem", DEMO)
def test_no_demo_job_says_anything_without_its_line(stem: str, tmp_path: Path) -> None:
    car, job = demo_text(f"{stem}.toml"), demo_text(f"{stem}-lower.toml")
    names = {
        name for text in (car, job) for name in re.findall(r'^(?:name|maker|customer) = "(.*)"$', text, re.MULTILINE)
    }
    own = re.compile("|".join(re.sub(r"\d+", r"\\{\\d\\}", name) for name in names))
    book = open_book(tmp_path / "shop.db", "tester", make=True)
    of_car = book.add("car", "Example", car)
    of_job = book.add("job", "Example", job, of_car.id)
    with serving(book) as port:
        pages = _lacking(port, of_car.id, of_job.id)
    book.close()
    pages["sheets"] = _unsaid_on_sheets(car, job)

    assert {text for texts in pages.values() for text in texts if not own.search(text)} == set()


def _lacking(port: int, car: str, job: str, others: Sequence[str] = ()) -> dict[str, set[str]]:
    """What pages say for which there is no line, by address."""
    addresses = [
        *others,
        *(f"/cars/{car}{page}" for page in OF_THE_CAR),
        *(f"/jobs/{job}{page}" for page in OF_THE_JOB),
    ]
    told = {address: unspoken(asked(port, address).text, GERMAN) for address in addresses}
    lacking = {address: {text for text in texts if not _NAME.search(text)} for address, texts in told.items()}
    return {address: texts for address, texts in lacking.items() if texts}


def _unsaid_on_sheets(car: str, job: str) -> set[str]:
    heard, planned = Heard(), case_of(job, car)
    look = Paperwork(speaks=Listening(GERMAN, heard), despite=despite_of("because", "tester"))
    for word, kind in SHEETS.items():
        if not kind.priced and (not kind.of_bars or any(axle.bars for axle in planned.plan.settings.values())):
            sheet(word, Printout(planned, look))
    job_sheet(Printout(planned, look))
    return {text for text in heard.all() if not _NAME.search(text)}
