"""The fit as a question, what to read next, and the new car file: simulated cars of several layouts."""

from __future__ import annotations

import re
from functools import cache

import numpy as np
import pytest
from typer.testing import CliRunner

from jounce.car.file.inputs import all_inputs
from jounce.car.file.reading import parse_car, read_car
from jounce.case.case import Case
from jounce.cli.app import commands
from jounce.conventions.certainty import DEVIATIONS_SHOWN
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.units import Kind, to_display, unit_of
from jounce.fit.car_fit import fit_car
from jounce.fit.car_values import CarValues
from jounce.fit.fitted_file import FITTED, fitted_before, fitted_text
from jounce.fit.planning import Planning
from jounce.fit.readings import GarageReading, ReadingPlace
from jounce.fit.unknowns import known_of, unknowns
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Asked
from tests.fit.simulated import EVERY, FIVE, NOT_KNOWN, document, garage, plus_minus_of, read
from tests.house.places import ROOT

DEMO = ROOT / "src" / "jounce" / "demo"


def as_file(readings, wider):
    """Readings as a garage would write them."""
    lines = ["[plus_minus]", *(f'"{place}" = "{wide}"' for place, wide in wider.items())]
    for one in readings:
        unit = unit_of(one.at.kind.kind).symbol
        value, wide = (to_display(number, one.at.kind.kind) for number in (one.value, one.plus_minus))
        lines += ["[[reading]]", f'what = "{one.at.what}"', f'at = "{one.at.axle} {one.at.side or ""}"']
        lines += [f'value = "{value:.9g} {unit} ± {wide:.6g} {unit}"']
        lines += [f"bump = {1e3 * one.at.bump:g}"] if one.at.bump else []
        lines += [f"load = {one.at.load:g}"] if one.at.load else []
    return "\n".join(lines)


@cache
def demo_readings(gross=0.0):
    told = garage(document(), NOT_KNOWN, EVERY, [], 1, 41)
    errors = np.random.default_rng(42).standard_normal(25)
    return read(EVERY, told.readings[:, 0], errors, gross * np.eye(25)[5])


def answered(word, name="brisk-14", readings="", **given):
    question = QUESTIONS[word]
    files = {"readings": (("read.toml", readings),)} if readings else {}
    return question.answer(Asked(question.filled({**files, **given}), "metric", Case(document(name))))


def test_each_reading_stands_beside_the_model_and_each_answer_is_surer() -> None:
    read_on, known = answered("fit", readings=as_file(demo_readings(), NOT_KNOWN))
    rows = {row.name: row for row in known.rows}
    rate = rows["front torsion bar rate"]

    assert len(read_on.rows) == 25
    assert read_on.rows[0].values[0] == pytest.approx(demo_readings()[0].value, rel=1e-6)
    assert rate.kind is Kind.TORSIONAL_RATE
    assert rate.band(0) / rate.band(1) > 5
    assert rate.values[2] == f"{rate.band(0) / rate.band(1):.1f} times"
    assert any("cannot tell apart" in said for said in known.remarks)
    assert not [said for said in known.remarks if re.search(r"\b(?:front|rear)\.\w", said)]  # no key of a file
    assert any(said.startswith("Read next: front") for said in known.remarks)
    assert any("Take this one twice: an error in front left tyre rate" in said for said in read_on.remarks)


def test_a_gross_error_is_named_and_left_out() -> None:
    read_on, _ = answered("fit", readings=as_file(demo_readings(gross=12.0), NOT_KNOWN))

    assert str(read_on.rows[5].values[3]).endswith("left out")
    assert any(said.startswith(f"Read again: {demo_readings()[5].at.words()} misses") for said in read_on.remarks)


def test_readings_of_another_car_are_answered_by_no_answer() -> None:
    seen = CarValues(document(), unknowns(document(), {}), FIVE[:2])(known_of(unknowns(document(), {})).values).values
    wrong = as_file(
        [GarageReading(FIVE[0], seen[0] + 0.05, 0.001), GarageReading(FIVE[1], seen[1] - 0.05, 0.001)], NOT_KNOWN
    )
    (read_on,) = answered("fit", readings=wrong)

    assert any("does not belong to this car" in said for said in read_on.remarks)
    with pytest.raises(InputError, match="do not belong"):
        answered("next-reading", readings=wrong)


def test_without_readings_it_says_how_sure_the_file_is_and_what_to_read() -> None:
    (told,) = answered("fit")

    assert told.columns == ("by its file",)
    assert {row.name.split()[0] for row in told.rows} == {"front", "rear", "roll"}
    assert "An error that readings share is not found" in told.remarks[1]
    assert "Read next:" in told.remarks[2]


@pytest.mark.parametrize("word", ["fit", "next-reading"])
def test_heights_that_no_tape_can_tell_so_well_are_named(word) -> None:
    """The one car's file states ± of its heights, the other's none."""
    (stated,), (bare,) = answered(word), answered(word, "teasel-15")
    (said,) = [line for line in bare.remarks if line.startswith("Taken as exact")]

    assert "wheel to arch, front left; wheel to arch, front right" in said
    assert not any(line.startswith("Taken as exact") for line in stated.remarks)


@pytest.mark.parametrize("word", ["settle", "influence", "next-reading"])
def test_people_are_told_words_and_programs_the_keys_of_the_file(word) -> None:
    key = re.compile(r"\b(?:front|rear|heights|mass)\.[a-z]")
    tables = answered(word, "yarrow-12")
    names = [row["name"] for table in tables for row in table.as_json()["rows"]]

    for table in tables:
        assert not [said for said in table.remarks if key.search(said)]
        assert not [row.name for row in table.rows if key.search(row.name)]
    assert any(key.search(name) for name in names) is (word != "settle"), "what programs read stays"


CARS = {
    "brisk-14": ({"rear.spring.rate": "15 %", "front.alignment.camber": "0.5 deg"}, "rear"),
    "comfrey-20": ({"front.spring.rate": "15 %", "front.alignment.toe": "0.3 deg"}, "front"),
    "teasel-15": ({"rear.spring.rate": "15 %", "front.spring.rate": "15 %"}, "rear"),
}


@pytest.mark.parametrize("name", CARS)
def test_a_coil_that_nobody_measured_is_found_on_several_layouts(name) -> None:
    """Read on a true car with 8 % more: what was wide is narrow, and the true rate lies within it."""
    wider, axle = CARS[name]
    car = document(name)
    inputs = unknowns(car, wider)
    number = [one.path for one in inputs].index(f"{axle}.spring.rate")
    truth = known_of(inputs).values.copy()
    truth[number] *= 1.08
    places = (
        ReadingPlace("sink", axle, load=80.0),
        ReadingPlace("spring-frequency", axle),
        ReadingPlace("coil-compressed", axle, "left"),
        ReadingPlace("toe", axle, "right", bump=0.02),
    )
    seen = CarValues(car, inputs, places)(truth).values
    _, known = answered("fit", name, as_file(read(places, seen, np.zeros(4)), wider))
    rate = {row.name: row for row in known.rows}[f"{axle} spring rate"]

    assert rate.band(0) / rate.band(1) > 2
    assert abs(rate.values[1] - truth[number]) < rate.band(1)


def test_what_is_promised_of_the_next_reading_is_what_it_brings() -> None:
    """Read it as the fit expects it, and fit again: the band shrinks by what was promised, within a tenth."""
    readings = demo_readings()[:5]
    fit = fit_car(document(), readings, NOT_KNOWN)
    planning = Planning(fit)
    names = [one.name for one in fit.answers]
    for name in ("front.bump_steer", "front.main_rate", "front.roll_stiffness", "front.roll_centre_height"):
        number = names.index(name)
        (step,) = planning.steps(number, 1)
        value = CarValues(document(), fit.inputs, [step.place])(fit.used.values).values[0]
        more = GarageReading(step.place, float(value), float(plus_minus_of(step.place, value)))
        again = fit_car(document(), [*readings, more], NOT_KNOWN)
        now, then = fit.sure_after.plus_minus[number], again.sure_after.plus_minus[number]

        assert now - step.band == pytest.approx(now - then, rel=0.1), name


def test_several_readings_are_named_in_order_and_the_idle_ones_counted() -> None:
    (told,) = answered(
        "next-reading", readings=as_file(demo_readings()[:5], NOT_KNOWN), answer="front bump steer", count=3
    )
    bands = [row.values[1] for row in told.rows]

    assert len(bands) == 3
    assert bands == sorted(bands, reverse=True)
    assert "toe" in told.rows[0].name
    assert "do not matter to it" in told.remarks[1]
    with pytest.raises(InputError, match=r'Did you mean "front\.bump_steer"'):
        answered("next-reading", answer="front.bump_ster")


def test_for_every_answer_a_next_reading_is_told() -> None:
    (told,) = answered("next-reading", "comfrey-20")
    for row in told.rows:
        assert row.values[1] <= row.values[0] * (1 + 1e-12)
    assert told.remarks[0].startswith("For everything together read next: ")


def test_a_new_car_file_says_what_was_fitted_and_what_was_measured() -> None:
    text = (DEMO / "brisk-14.toml").read_text("utf-8")
    fit = fit_car(document(), demo_readings(), NOT_KNOWN)
    new = parse_car(fitted_text(text, fit), "new")
    told = {one.path: one for one in all_inputs(new)}
    again = CarValues(new, fit.inputs, [one.figure for one in fit.answers])(
        np.array([told[one.path].value for one in fit.inputs])
    )

    bar = told["front.torsion_bar.diameter"]
    assert bar.origin.startswith(f"{FITTED}; before 21 ± 1.5 mm")
    assert bar.value == pytest.approx(fit.used.values[[one.path for one in fit.inputs].index(bar.path)], rel=1e-7)
    assert "tape and plumb line" in told["front.pivots.ball_joint.z"].origin
    assert np.abs(again.values - fit.after.values).max() < 0.02 * fit.sure_after.plus_minus.max()
    assert (np.abs(again.values - fit.after.values) < 0.05 * fit.sure_after.plus_minus).all()
    assert all(told[place].origin.startswith(FITTED) for place in NOT_KNOWN if place in told)
    assert fitted_before(new) > 0
    left = np.array([told[one.path].plus_minus for one in fit.inputs]) / 2
    independent = DEVIATIONS_SHOWN * np.linalg.norm(fit.after.slopes * left, axis=1)
    assert (independent > 0.95 * fit.sure_after.plus_minus).all()
    assert independent[0] < fit.sure_before.plus_minus[0] / 4
    assert fitted_before(document()) == 0


def test_the_command_writes_a_new_file_and_never_replaces_one(tmp_path) -> None:
    readings, new = tmp_path / "read.toml", tmp_path / "new.toml"
    readings.write_text(as_file(demo_readings(), NOT_KNOWN), "utf-8")
    words = ["fitted", str(DEMO / "brisk-14.toml"), str(readings), str(new)]
    first, second = CliRunner().invoke(commands, words), CliRunner().invoke(commands, words)

    assert first.exit_code == 0, first.output
    assert "fitted together" in first.output
    assert read_car(new).car.name == "Brisk 14"
    assert isinstance(second.exception, InputError)
    assert "already" in str(second.exception)


def test_nothing_is_taken_over_from_readings_that_do_not_belong() -> None:
    wrong = [GarageReading(FIVE[0], 0.2, 0.001), GarageReading(FIVE[1], -0.2, 0.001)]
    fit = fit_car(document(), wrong, NOT_KNOWN)
    with pytest.raises(Impossible, match="do not belong together"):
        fitted_text((DEMO / "brisk-14.toml").read_text("utf-8"), fit)
