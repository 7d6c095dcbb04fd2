"""What to measure for how low, which teeth and when a wheel lifts: what is promised is what comes of it."""

from __future__ import annotations

from functools import cache

import pytest

from jounce.car.file.inputs import all_inputs
from jounce.car.file.reading import parse_car
from jounce.car.file.rewriting import rewritten
from jounce.case.case import Case, case_of_file
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.conventions.errors import Impossible
from jounce.conventions.units import Kind, unit_of
from jounce.fit.car_values import CarValues
from jounce.fit.planning import FileNumber, NextReading
from jounce.fit.readings import GarageReading
from jounce.fit.unknowns import known_of, unknowns
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.next_reading import planning_of
from jounce.questions.question import Asked
from tests.house.places import ROOT
from tests.questions.test_fit import as_file

DEMO = ROOT / "src" / "jounce" / "demo"
STATED = {
    "front.bump_stop.gap": ("value", "24 mm", "3 mm"),
    "front.clearance.tyre_to_arch": ("value", "70 mm", "5 mm"),
    "front.wheel.tyre_rate": ("value", "180 N/mm", "20 N/mm"),
    "rear.wheel.tyre_rate": ("value", "180 N/mm", "20 N/mm"),
}
"""Numbers of the demo car that its file has without a ±."""


@cache
def unsure() -> Case:
    """The demo car with a ± at what decides how low it goes and when it lifts."""
    return Case(parse_car(written(STATED), "unsure"))


def written(stated):
    told = {key: {"value": value, "plus_minus": wide} for key, (_, value, wide) in stated.items()}
    return rewritten((DEMO / "brisk-14.toml").read_text("utf-8"), told)


@cache
def job() -> Case:
    return case_of_file(DEMO / "brisk-14-lower.toml")


def number_of(planning, piece):
    return next(k for k, one in enumerate(planning.answers) if piece in one.name)


@pytest.mark.parametrize(
    ("piece", "path", "stated"),
    [("bump_rubber_touches", "front.bump_stop.gap", 3e-3), ("tyre_meets_arch", "front.clearance.tyre_to_arch", 5e-3)],
)
def test_how_low_is_known_by_what_is_measured_of_the_stop(piece, path, stated) -> None:
    """By hand: the way to the arch is what was measured; a strut goes in by nearly as much as its wheel goes up."""
    planning = planning_of(unsure(), ())
    number = number_of(planning, piece)
    (first, *_) = planning.steps(number, 3)

    assert isinstance(first.place, FileNumber)
    assert first.place.path == path
    assert planning.bands[number] == pytest.approx(SHOWN_PER_TYPED * stated, rel=0.1)
    assert planning.idle(number) > 0.8 * len(planning.may_be_read)


def test_the_bands_of_what_is_sought_are_those_of_the_car() -> None:
    """The same numbers by the car's own bands, which the pages show."""
    planning, case = planning_of(job(), ()), job()
    first = len(planning.fit.answers)
    every = case.planned.bands
    told = [(k, every[one.name]) for k, one in enumerate(planning.more, first) if one.name in every]

    assert len(told) > 8
    for k, band in told:
        assert planning.bands[k] == pytest.approx(band.plus_minus, rel=1e-6), planning.answers[k].name
    lift = number_of(planning, "lift.left.rear_lift")

    assert planning.bands[lift] == pytest.approx(case.planned.feel.left.bands["rear_lift"], rel=1e-6)


@pytest.mark.sweep(2)
@pytest.mark.parametrize("piece", ["front.left.bar_turn", "low.front", "lift.left.rear_lift", "rear.left.height"])
def test_what_is_promised_for_a_job_is_what_measuring_again_brings(piece) -> None:
    """Each reading is read as expected, or its number measured once more, and all worked out anew: within a tenth."""
    case = job()
    planning = planning_of(case, ())
    number = number_of(planning, piece)
    name, before = planning.answers[number].name, planning.bands[number]
    (step,) = planning.steps(number, 1)
    again = planning_of(*measured_again(case, step))
    then = again.bands[[one.name for one in again.answers].index(name)]

    assert step.band < 0.99 * before
    assert before - step.band == pytest.approx(before - then, rel=0.1)


def measured_again(case: Case, step: NextReading) -> tuple[Case, tuple[tuple[str, str], ...]]:
    """The car with the number measured once more and both taken together, or with a readings file."""
    if not isinstance(step.place, FileNumber):
        inputs = unknowns(case.car, {})
        (value,) = CarValues(case.car, inputs, [step.place])(known_of(inputs).values).values
        return case, (("read", as_file([GarageReading(step.place, float(value), step.plus_minus)], {})),)
    known = {one.path: one for one in all_inputs(case.car)}[step.place.path]
    both, unit = (known.plus_minus**-2 + step.plus_minus**-2) ** -0.5, unit_of(known.kind)
    wide, value = (f"{number / unit.factor:.9g} {unit.symbol}" for number in (both, known.value))
    told = {step.place.path: {"value": value, "plus_minus": wide}}
    text = rewritten((DEMO / "brisk-14.toml").read_text("utf-8"), told)
    return Case(parse_car(text, "again"), case.job, case.rules), ()


def asked(case, answer):
    question = QUESTIONS["next-reading"]
    return question.answer(Asked(question.filled({"answer": answer}), "metric", case))


@pytest.mark.parametrize(
    ("words", "first"),
    [
        ("How low can it go?", "how low the "),
        ("which teeth", "front left torsion bar: which teeth"),
        ("When does the inside rear wheel lift?", "lift of the inside rear wheel, left turn"),
        ("rear left height", None),
    ],
)
def test_asked_as_people_ask_each_row_leads_to_its_field(words, first) -> None:
    if first is None:
        with pytest.raises(Exception, match="no such answer"):
            asked(job(), words)
        return
    tables = asked(job(), words)

    assert first in tables[0].question
    for table in tables:
        assert table.rows
        for row in table.rows:
            assert row.form.get("number") or row.form["what"]
        assert any("do not matter to it" in said for said in table.remarks)
        assert any("sure to ±" in said for said in table.remarks)


def test_a_bar_is_told_in_teeth_and_no_reading_three_times() -> None:
    (left, _) = asked(job(), "which teeth")
    names = [row.name.partition(". ")[2] for row in left.rows]

    assert left.rows[0].kind is Kind.ANGLE
    assert any(" teeth of " in said for said in left.remarks)
    assert max(names.count(name) for name in names) <= 2


def test_what_a_car_does_not_do_is_said() -> None:
    """A car of coils has no teeth."""
    (told,) = asked(Case(parse_car((DEMO / "sedge-13.toml").read_text("utf-8"), "sedge")), "which teeth")

    assert not told.rows
    assert told.remarks == (
        "It has no torsion bars, so there are no teeth: ask for the turns of a job's spring seats.",
    )


def test_what_cannot_be_worked_out_says_why_and_leaves_what_the_fit_tells(monkeypatch) -> None:
    def no_rest(*_asked):
        raise Impossible("The car finds no rest.")

    monkeypatch.setattr("jounce.questions.next_reading.sought_answers", no_rest)
    case = Case(unsure().car)
    (told,) = asked(case, "how low")

    assert told.remarks == ("This cannot be worked out: The car finds no rest.",)
    assert asked(case, "front bump steer")[0].question
