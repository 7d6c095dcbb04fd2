"""German is whole: every text of the pages and sheets of a demo job has its line, and no line loses a number."""

from __future__ import annotations

import ast
import csv
import io
import re
from collections.abc import Sequence
from dataclasses import replace
from html import unescape
from importlib.resources import files
from itertools import product
from pathlib import Path

import pytest
from typer.testing import CliRunner

import jounce
from jounce.book import open_book
from jounce.car.file.rewriting import rewritten
from jounce.cli.app import commands
from jounce.conventions.axes import End
from jounce.conventions.errors import InputError
from jounce.conventions.unit_table import UNITS
from jounce.live.figures import every_figure
from jounce.live.levers import levers_of
from jounce.live.moved import movable
from jounce.measuring.beginning import axles_like, begun_like
from jounce.measuring.walk import steps_of
from jounce.questions.titles import OF_CARS, OF_JOBS
from jounce.search.goals import METRICS, Goal
from jounce.search.run import NoChoice
from jounce.sheets.catalogue import SHEETS, sheet
from jounce.sheets.job_sheet import job_sheet
from jounce.sheets.notice import despite_of
from jounce.sheets.paperwork import Paperwork, Printout
from jounce.shelf.book_entries import documents_of
from jounce.shelf.toml import parse_toml
from jounce.wanted.counter.found import _PLAIN, missed_words, nothing_fits_words
from jounce.wanted.counter.job import wish_words
from jounce.wanted.counter.verdict import TellVerdict
from jounce.wanted.counter.wish import CORNERS, FEELS, USES, CounterWish
from jounce.web.case_cache import case_of
from jounce.web.language import MissingPhrases, NotingTranslator, program_phrases, unspoken
from jounce.web.take_away.content import TakeAwayWish
from jounce.web.take_away.file import take_away
from jounce.words.family import PLACE
from jounce.words.phrases import Phrases, language_phrases, parse_phrases, phrase_of, read_phrases
from jounce.words.shipped import LANGUAGES, shipped_lines, shipped_text
from tests.sheets.cases import REASON, case_for
from tests.workbench import Workbench, asked, demo_book, demo_text, serving

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


def test_no_words_around_what_templates_put_in_are_without_a_line() -> None:
    """Whole texts are known only when a page shows them; what stands in them as it is must be in some line."""
    lines = re.sub(r"\{\w\}", "0", "\n".join(GERMAN.lines)).casefold()
    lacking = set()
    for file in files("jounce.web").joinpath("templates").iterdir():
        bare = re.sub(r"\{%.*?%\}|\{\{.*?\}\}|\{#.*?#\}", "\x00", file.read_text("utf-8"), flags=re.DOTALL)
        text = unescape(re.sub(r"<(pre|code)\b.*?</\1>|<[^>]*>", "\x00", bare, flags=re.DOTALL))
        for piece in text.split("\x00"):
            for part in re.split(r"(?<=[.?!])\s", re.sub(r"\d+(\.\d+)?", "0", " ".join(piece.split()))):
                words = part.strip(" .,:;").casefold()
                if (
                    len(re.findall("[a-z]{2,}", words)) > 1
                    and words not in lines
                    and "aria-" not in part
                    and GERMAN.missing(part)
                ):
                    lacking.add((file.name, part))

    assert lacking == set()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Does the left front torsion bar stand full bump?", "Hält der Drehstab vorn links volles Einfedern aus?"),
        ("front left tyre 165/70 R13", "Reifen 165/70 R13 vorn links"),
        ("wheel load", "Radlast"),
        ("as planned", "wie geplant"),
        ("wheel load, as planned", "Radlast, wie geplant"),
        (
            "damper closed left 86.2 mm, tyre meets arch right 90 mm",
            "Dämpfer eingefahren links bei 86,2 mm, Reifen berührt Radlauf rechts bei 90 mm",
        ),
        ("left front drive shaft outer", "Antriebswelle außen vorn links"),
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
WRITTEN = Path(__file__).parents[1] / "written_cars"
BEGUN = {
    "Example Teal": ("comfrey-20.toml/front", "teasel-15.toml/rear"),
    "Example Olive": ("burnet-17.toml/front", "bracken-16.toml/rear"),
    "Example Plum": ("yarrow-12.toml/front", "mallow-18.toml/rear"),
}
"""New cars of which nothing was measured: a front axle and a rear one that no demo car has together."""
DOWN = """
[job]
name = "Example"
car = "Example"

[wanted.front]
lower = 25

[wanted.rear]
lower = 20
"""
DEMO = sorted(file.name.removesuffix("-lower.toml") for file in files("jounce.demo").iterdir() if "-lower" in file.name)


def test_pages_say_nothing_without_its_line(workbench: Workbench) -> None:
    assert _lacking(workbench.port, workbench.car, workbench.job, PAGES) == {}


REFUSED = (
    ("/cars/{car}/measure/scales", {"mass.front_left": "?"}),
    ("/cars/{car}/measure/scales", {"mass.front_left": "-5"}),
    ("/cars/{car}/measure/wheels", {"front.alignment.camber": "45"}),
    ("/cars/{car}/measure/wheels", {"front.wheel.tyre_rate": "12 ?"}),
    ("/cars/{car}/readings", {"what": "", "value": "3"}),
    ("/entries/{car}/words", {"content": "[car"}),
    ("/jobs/{job}/aim", {"wanted.front.lower": "500"}),
    ("/jobs/{job}/aim", {"wanted.front.lower": "140"}),
    ("/jobs/{job}/aim", {"wanted.front.lower": "1,250"}),
    ("/jobs/{job}/changes", {"change.rear.bump_stop.free_height": "900"}),
    ("/jobs/{job}/rounds", {"front.left.height": "350"}),
    ("/jobs/{job}/state", {"state": "asked", "since": "?"}),
    ("/jobs/{job}/details", {"name": ""}),
    ("/jobs/{job}/search", {"front_frequency.low": "3 kg", "begin": "1"}),
    ("/", {"lower": "30"}),
    ("/shelf/new/coil", {"code": "F1", "name": "F1", "free_length": "100", "solid_length": "200"}),
    ("/shelf/new/coil", {"code": "", "name": "F1"}),
    ("/entries/{car}/words", {"content": '[car]\nname "Example"\n', "note": ""}),
    ("/entries/{car}/words", {"content": '[car]\nname = "Example\n', "note": ""}),
    ("/entries/{car}/words", {"content": '[car]\nname = "Example"\nname = "Example"\n', "note": ""}),
    ("/jobs/{job}/ask/ride?speed=900", None),
    ("/ask/bar?length=0", None),
    ("/ask/coil?wire=10", None),
    ("/long-work/0", None),
)
"""Forms and addresses with something that cannot be used."""


def test_refusals_say_nothing_without_their_line(workbench: Workbench) -> None:
    lacking = set()
    for address, sent in REFUSED:
        form = None if sent is None else sent | {"number": "1"}
        answer = asked(workbench.port, address.format(car=workbench.car, job=workbench.job), form)

        assert answer.status == 422, address
        lacking |= {text for text in unspoken(answer.text, GERMAN) if not _NAME.search(text)}

    units = {one.symbol for kind in UNITS.values() for one in kind}  # are written so in any language
    assert {text for text in lacking if {*re.findall(r"[^\s\d\"',.;{}]+", text)} - units} == set()


@pytest.mark.validation_slow
def test_what_fits_where_says_nothing_without_its_line(tmp_path: Path) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    shelf = parse_toml(demo_text("shelf.toml"), "shelf.toml").whole("shelf.toml")
    for code, document in documents_of(shelf).items():
        book.add("part", code, document)
    with serving(book) as port:
        names = re.findall(r'/place\?name=([^"]+)"', asked(port, f"/jobs/{job}/changes").text)
        pages = [asked(port, f"/jobs/{job}/place?name={name}").text for name in sorted({*names})[::4]]
    book.close()
    own = {phrase_of(text)[0] for part in shelf.parts for text in (part.name, part.values.get("maker", "")) if text}
    lacking = {text for page in pages for text in unspoken(page, GERMAN)}

    keys = re.compile(r"[a-z]+(_[a-z]+)*(, [a-z]+(_[a-z]+)*)*")  # of a part's file, which are to be measured
    assert len(pages) > 3
    assert {text for text in lacking if text not in own and not (_NAME.search(text) or keys.fullmatch(text))} == set()


def test_what_follows_the_hand_says_nothing_without_its_line() -> None:
    car, job = demo_text("brisk-14.toml"), demo_text("brisk-14-lower.toml")
    moved = movable(case_of(job, car))
    labels = {one.label for one in (*every_figure(moved), *levers_of(moved, job, car))}

    assert {lacking for label in labels for lacking in GERMAN.missing(label)} == set()


def test_sheets_say_nothing_without_its_line() -> None:
    assert _unsaid_on_sheets(demo_text("brisk-14.toml"), demo_text("brisk-14-lower.toml")) == set()


@pytest.mark.validation_slow
@pytest.mark.parametrize("word", [word for word, kind in SHEETS.items() if kind.priced])
def test_what_is_quoted_and_ordered_is_said_whole(word: str) -> None:
    heard, out = MissingPhrases(), case_for(word)
    sheet(word, replace(out, look=replace(out.look, speaks=NotingTranslator(GERMAN, heard))))

    typed = {"good", "better", REASON.reason, REASON.by}
    assert {text.rstrip(".") for text in heard.all() if not _NAME.search(text)} <= typed


@pytest.mark.validation_long
@pytest.mark.parametrize("name", [*DEMO, *sorted(BEGUN), "burdock", "rampion", "sainfoin"])
def test_no_car_says_anything_without_its_line(name: str, tmp_path: Path) -> None:
    car, job = _texts(name)
    own = re.compile("|".join(re.escape(said) for said in _own_words(car, job)))
    book = open_book(tmp_path / "shop.db", "tester", make=True)
    of_car = book.add("car", "Example", car)
    of_job = book.add("job", "Example", job, of_car.id)
    document = case_of(job, car).car
    more = [f"/cars/{of_car.id}/measure/{step.word}" for step in steps_of(document)]
    more += [f"/cars/{of_car.id}/ask/{word}" for word in OF_CARS]
    more += [f"/jobs/{of_job.id}/ask/{word}" for word in OF_CARS | OF_JOBS]
    with serving(book) as port:
        pages = _lacking(port, of_car.id, of_job.id, more)
    book.close()
    pages["sheets"] = _unsaid_on_sheets(car, job)

    assert {text for texts in pages.values() for text in texts if not own.search(text)} == set()


def _texts(name: str) -> tuple[str, str]:
    """A car and a job on it: a demo car's, one written by somebody else, or one that was only begun."""
    if name in BEGUN:
        front, rear = (axles_like(end)[key] for end, key in zip(End, BEGUN[name], strict=True))
        return rewritten(begun_like(front, rear), {"car.name": name}), DOWN
    if name in DEMO:
        return demo_text(f"{name}.toml"), demo_text(f"{name}-lower.toml")
    return tuple((WRITTEN / f"{name}{part}.toml").read_text("utf-8") for part in ("", "-job"))  # type: ignore[return-value]


def _own_words(*texts: str) -> set[str]:
    """What people called their cars, makers and customers, its numbers as a line has them."""
    named = {
        one for text in texts for one in re.findall(r'(?m)^(?:name|maker|customer) = "(.*)"$|, as (\w+ \d+)"', text)
    }
    return {phrase_of(one)[0].split("{")[0].strip() or one for pair in named for one in pair if one}


def test_the_counter_says_nothing_without_its_line() -> None:
    """Its answers come from long work, which no page of a fresh book shows."""
    broken = {axle: dict.fromkeys(_PLAIN, 1) for axle in ("front", "rear")}
    why, helps = nothing_fits_words(NoChoice("none", broken, (), {"front": 1, "rear": 3}))
    wishes = [
        wish_words(CounterWish(lower, feel, corner, use, laden=laden))
        for lower, feel, corner, use, laden in product((0.0, 0.019), FEELS, CORNERS, USES, (False, True))
    ]
    reason = f"travel for {USES['club']}, laden"
    goals = [Goal(name, 90 * metric.scale, 99 * metric.scale, 1.0, reason) for name, metric in METRICS.items()]
    missed = missed_words(dict.fromkeys(METRICS, 0.0), goals)
    told = [TellVerdict((), (), 67).told, f"Three answers: {wishes[0]}", "10.0 mm lower is what fits, not 19.0 mm."]

    assert len(missed) == len(METRICS)
    assert {lacking for text in (*why, *helps, *wishes, *missed, *told) for lacking in GERMAN.missing(text)} == set()


def test_the_file_that_is_taken_away_says_nothing_without_its_line() -> None:
    heard, case = MissingPhrases(), case_of(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml"))
    look = Paperwork(speaks=NotingTranslator(GERMAN, heard), despite=despite_of("because of the road", ""))
    page = take_away(case, look, TakeAwayWish()).decode()

    assert {text for text in heard.all() if not _NAME.search(text)} == set()
    assert "Vorn links: Radmitte bis Radlauf [mm]" in page
    height = case.row("front.left.height").planned or 0.0
    assert f'"{GERMAN.number(f"{1e3 * height:.1f}")} ± ' in page


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
    heard, planned = MissingPhrases(), case_of(job, car)
    look = Paperwork(speaks=NotingTranslator(GERMAN, heard), despite=despite_of("because", "tester"))
    for word, kind in SHEETS.items():
        if not kind.priced and (not kind.of_bars or any(axle.bars for axle in planned.plan.settings.values())):
            sheet(word, Printout(planned, look))
    job_sheet(Printout(planned, look))
    return {text for text in heard.all() if not _NAME.search(text)}


SHOWN_REFUSALS = ("car/file", "car/parts", "elements", "fit", "photographs", "shelf")
"""Folders whose refusals pages show: files that are sent, fields of cars and parts, readings."""


def _told_so(node: ast.expr) -> str:
    """The whole text where nothing is put into it; else nothing."""
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


@pytest.mark.parametrize("folder", SHOWN_REFUSALS)
def test_what_is_wrong_with_what_was_sent_and_what_to_do_is_said_in_german(folder: str) -> None:
    told = set()
    for file in sorted((Path(jounce.__file__).parent / folder).rglob("*.py")):
        for call in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "InputError":
                told |= {_told_so(call.args[0])} if call.args else set()
                told |= {_told_so(one.value) for one in call.keywords if one.arg == "todo"}

    assert len(told) > 20
    assert {lacking for text in told for lacking in GERMAN.missing(text)} == set()


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (
            InputError("This cell is no number", found='"x"', todo="Correct the line or leave it out."),
            "Diese Zelle ist keine Zahl; gefunden „x“. Berichtigen Sie die Zeile, oder lassen Sie sie weg.",
        ),
        (
            InputError('The key "rate" is missing', place="front.spring"),
            "front.spring: Der Schlüssel „rate“ fehlt",
        ),
        (
            InputError("This is no number", place="front.spring.rate (line 48)"),
            "front.spring.rate (Zeile 48): Das ist keine Zahl",
        ),
    ],
)
def test_a_refusal_is_said_with_its_place_what_was_found_and_what_to_do(error: InputError, said: str) -> None:
    assert GERMAN.said(str(error)).replace('"', "„", 1).replace('"', "“") == said


def test_what_a_part_is_told_by_is_said_in_german() -> None:
    """Rows of the question which part gives what."""
    demo, rows = Path(str(files("jounce.demo"))), set()
    for car, axle, wish, amount in (
        ("brisk-14", "front", "lift", "0.8 g"),
        ("brisk-14", "front", "bump", "60 mm"),
        ("brisk-14", "rear", "seated", "5 mm"),
        ("bracken-16", "rear", "frequency", "1.6 Hz"),
    ):
        words = ["part-for", f"{demo / car}.toml", "--axle", axle, f"--{wish}", amount, "--csv", "-"]
        told = CliRunner().invoke(commands, words).stdout
        rows |= {row["quantity"] for row in csv.DictReader(io.StringIO(told))}

    assert len(rows) > 20
    assert {lacking for row in rows for lacking in GERMAN.missing(row)} == set()
