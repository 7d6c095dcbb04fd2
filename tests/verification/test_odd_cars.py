"""Cars whose axles no demo car joins, and one hardly measured, all the way: plan, checks, words, sheets, search."""

from __future__ import annotations

import io
import re
from importlib.resources import files

import numpy as np
import pypdf
import pytest

from jounce.asked.answer import answered
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.weigh import on_scales, slopes_of_settings, with_settings
from jounce.conventions.axes import CORNERS
from jounce.job.wording import settings_of
from jounce.questions.catalogue import QUESTIONS as ASKED
from jounce.questions.question import Asked
from jounce.search.build import search_space
from jounce.search.goals import usual_goals
from jounce.search.result import SearchWishes
from jounce.search.run import NoChoice, search
from jounce.search.slots import Choosy, slot_named
from jounce.sheets.catalogue import sheet, sheets_of
from jounce.sheets.paperwork import Paperwork, Printout
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml
from tests.odd_cars import AT_ODDS, BARS_EVERYWHERE, ODD_CARS, RAISED, STEERED_LINKS, WRITTEN_CARS, odd_case
from tests.sheets.cases import REASON

WORST = "wishbones, beam on a Watt linkage"
BARE = "hardly measured, no bars"
NO_WORD = re.compile(r"\bnan\b|\bNone\b|\binf\b|\b[a-z]+_[a-z_]+\b")
"""What a person never reads: no number, or a key of a file."""
HAS_NOT = {
    WORST: ("orsion bar", "anhard", "op plate", "leaf spring", "hackle", "trut"),
    BARE: ("anhard", "leaf spring", "ishbone", "nti-roll bar stand"),
    BARS_EVERYWHERE: (
        "pring seat",
        "oil spring",
        "beam axle",
        "top plate",
        "late inward",
        "anhard",
        "nside a tube",
        "bolt showing",
    ),
    RAISED: ("anhard", "leaf spring", "hackle", "ishbone", "pper joint"),
    AT_ODDS: (
        "orsion bar",
        "nchor",
        "pline",
        "eam axle",
        "anhard",
        "leaf spring",
        "hackle",
        "ishbone",
        "Watt",
        "ub shim",
    ),
    STEERED_LINKS: ("orsion bar", "nchor", "beam axle", "pline", "late inward", "trut", "anhard", "nside a tube"),
}
"""Words, their first letters left out, that belong on nothing of a car."""
QUESTIONS = ("how low can it go", "what do I set in which order", "what happens with four people aboard")


def words_of(car: str) -> list[str]:
    """All that is said of a job beside its sheets."""
    case = odd_case(car)
    told = [check.sentence for check in case.every_check] + [effect.sentence() for effect in case.side_effects]
    return told + settings_of(case.plan, "metric", case.planned.bands)


def sheet_text(car: str, word: str) -> str:
    pdf = sheet(word, Printout(odd_case(car), Paperwork(despite=REASON)))
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())


def found(car: str, places: tuple[str, ...], codes: tuple[str, ...]):
    stock = parse_toml(files("jounce.demo").joinpath("shelf.toml").read_text("utf-8"), "shelf.toml").whole("shelf.toml")
    case = odd_case(car)
    shelf = Shelf(tuple(stock.part(code) for code in codes))
    space = search_space(case.car, case.change_list, shelf, [slot_named(name) for name in places], Choosy(unsure=True))
    return search(space, SearchWishes(usual_goals(), proofs=1))


def test_wishbones_with_a_watt_linkage_go_all_the_way():
    case = odd_case(WORST)
    settings = case.plan.settings["front"], case.plan.settings["rear"]
    told = [*words_of(WORST), sheet_text(WORST, "job-card")]
    result = found(WORST, ("front stops", "front drop links"), ("BS-F35", "BS-F52", "L-50-80"))

    assert not [text for text in told if NO_WORD.search(text)]
    assert [thing for thing in HAS_NOT[WORST] if any(thing in text for text in told)] == []
    assert 0.001 < abs(settings[0].wheels["left"].inward_needed) < 0.006
    assert abs(settings[0].wheels["left"].rearward_needed) < 0.005  # caster wanted is all but that which it has
    assert settings[1].bracket is not None
    assert settings[0].links
    assert settings[1].trailing is not None
    assert result.told()
    for number in result.told():
        values = result.numbers(number).values()
        assert all(value is None or np.isfinite(value) for value in values)


def test_bands_of_a_car_whose_springs_alone_are_uncertain_keep_what_springs_do():
    """Of a car weighed and taped without a ±, only its springs carry one; a warning of lost parts is an error here."""
    assert odd_case(BARE).found.bands
    assert not [text for text in words_of(BARE) if NO_WORD.search(text)]


@pytest.mark.validation_long
@pytest.mark.parametrize("car", ODD_CARS)
def test_every_sheet_and_answer_of_an_odd_car_speaks_of_that_car(car):
    case = odd_case(car)
    told = {word: sheet_text(car, word) for word, kind in sheets_of(case.car).items() if not kind.priced}
    told |= {text: " ".join((answer := answered(text, case)).steps + answer.rests + answer.surer) for text in QUESTIONS}
    told |= dict(enumerate(words_of(car)))

    assert {name: NO_WORD.search(text)[0] for name, text in told.items() if NO_WORD.search(text)} == {}
    assert all(len(told[word]) > 400 for word in sheets_of(case.car) if word in told)
    assert [thing for thing in HAS_NOT.get(car, ()) if any(thing in text for text in told.values())] == []


@pytest.mark.validation_long
@pytest.mark.parametrize("car", ODD_CARS)
def test_packages_of_an_odd_car_are_told_with_numbers(car):
    """Where no choice keeps the limits, that is told in words of what is broken."""
    codes = ("BS-F35", "BS-F52", "L-40-60", "RS-6")
    why = ""
    try:
        result = found(car, ("front stops", "front drop links", "rack shims"), codes)
    except NoChoice as problem:
        why = str(problem)
    if why:
        assert re.search("these break: |only one breaks: ", why)
        assert not NO_WORD.search(why)
        return

    assert result.told() or result.proof.left_out
    for number in result.told():
        assert all(value is None or np.isfinite(value) for value in result.numbers(number).values())


def test_bars_at_both_ends_are_all_indexed_and_called_by_their_axle():
    case = odd_case(BARS_EVERYWHERE)
    card, sheet_of_job = sheet_text(BARS_EVERYWHERE, "index"), sheet_text(BARS_EVERYWHERE, "job-card")

    assert list(case.bar_indices) == list(CORNERS)
    for corner, one in case.bar_indices.items():
        assert one.chosen == case.plan.settings[corner[0]].bars[corner[1]].index
    for axle in ("Front", "Rear"):
        assert f"{axle} left bar with this index" in card
        assert f"{axle} right: + is " in card
    assert "middle of the upper ball joint or wheel centre over" in card
    assert "Smallest step, rear, teeth on" in card
    assert "rear left arm: " in sheet_of_job
    index = ASKED["index"]
    asked = Asked({**index.as_first(), "axle": "rear"}, "metric", case)
    assert index.values(asked)["axle"] == "rear"
    assert index.values(asked)["sides"]["left"]["expected_height"] == case.bar_indices["rear", "left"].expected_height


@pytest.mark.validation_slow
@pytest.mark.parametrize("car", WRITTEN_CARS)
def test_a_setting_of_each_spring_does_what_whole_cars_put_to_rest_differ_by(car):
    """Slopes of heights and cross weight, which the plan is solved with, against differences of whole calculations."""
    case = odd_case(car)
    planned = case.plan.planned
    joints = {joint: value for state in planned.states.values() for joint, value in (state.settings or {}).items()}
    whole = car_of(case.planned.document, *planned.models, joints)
    slopes = slopes_of_settings(whole, planned.sits.freedoms)

    for k, (axle, side) in enumerate(CORNERS):
        bars = planned.models[k // 2].main[side].kind == "torsion bar"
        step = np.zeros((2, 2))
        step[k // 2, k % 2] = 1e-3 if bars else 1e-4  # [rad] of a bar, [m] of a seat
        both = [on_scales(with_settings(whole, sign * step)) for sign in (1, -1)]
        told = [np.append(stands.travel.ravel(), stands.cross_share) for stands in both]
        by_difference = (told[0] - told[1]) / (2 * step.max())
        assert slopes[:, k] == pytest.approx(by_difference, rel=1e-3, abs=1e-5), (axle, side)
        assert slopes[k, k] < 0  # wound up or set higher, its own corner stands higher


def test_angles_of_links_that_both_come_in_quarter_turns_are_held_to_what_these_are_worth():
    """Set one after the other they put a caster off by 0.021 degrees, as near as their threads come."""
    case = odd_case(STEERED_LINKS)
    links = [link for wheel in case.plan.settings["front"].wheels.values() for link in wheel.links.values()]

    assert all(link.turns * 4 == round(link.turns * 4) for link in links)
    angles = [check for check in case.checks if check.code == "ALN-01"]
    assert {check.verdict.value for check in angles} == {"pass"}
