"""Tie-rod ends for a bump steer: against a general multibody library, and the files read anew."""

from __future__ import annotations

from dataclasses import astuple, replace

import numpy as np
import pytest

from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.file.reading import parse_car
from jounce.car.file.rewriting import rewritten
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.layout_input import axle_given
from jounce.case.case import Case
from jounce.conventions.axes import End
from jounce.conventions.errors import Impossible
from jounce.conventions.units import DEG_PER_MM
from jounce.job.file import parse_job
from jounce.layouts.axle_input import WheelInput
from jounce.layouts.naming import SIDES
from jounce.wanted.stood import stand
from jounce.wanted.tie_rods import bump_steer, raised_tie_rods
from jounce.wanted.work_car import WorkCar
from tests.verification.layout_twins import twin_of
from tests.wanted.demo_work import DEMO, found, text_of, today, work_of

STEERED = [
    ("brisk-14", "front"),
    ("bracken-16", "front"),
    ("burnet-17", "front"),
    ("comfrey-20", "rear"),
    ("campion-22", "rear"),
]


def moved(car, axle, end, more):
    """The car's file with one end of the tie rods higher."""
    section = work_of(car).section(axle)
    rod = next(adjuster for adjuster in section.as_layout().adjusters if adjuster.sets == "toe")
    pivot = f"{rod.ends}_{end}"
    point = getattr(section.left.pivots, pivot)
    at = [float(point.x) * 1e3, float(point.y) * 1e3, (float(point.z) + more) * 1e3]
    return rewritten(text_of(car), {f"{axle}.pivots.{pivot}": at})


def toes(document, axle, stood, travel):
    """Mean toe of both wheels at travels from where a car stands, by the joints of the other library [rad]."""
    section = document.axle(End(axle))
    given = axle_given(section, axle)
    wheels = {
        side: WheelInput(*(float(np.ravel(number)[0]) for number in astuple(one))) for side, one in given.wheels.items()
    }
    twin = twin_of(section.layout, replace(given, wheels=wheels))
    told = []
    for way in travel:
        twin.model.solve({side: stood.sits.travel[axle, side] + way for side in SIDES})
        told.append(np.mean([float(np.ravel(twin.readings[f"{side}.toe"]())[0]) for side in SIDES]))
    return np.array(told)


def level(stood, axle):
    """Our own bump steer where a car stands, its road taken as level to the body [rad/m]."""
    model = stood.car.axles[("front", "rear").index(axle)].axle
    states = replace(stood.states(axle), attitude=(0.0, 0.0))
    table = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0)))
    return np.mean([table[f"{side}_bump_steer"][0] for side in SIDES])


@pytest.mark.parametrize("end", ["outer", "inner"])
@pytest.mark.parametrize(("car", "axle"), STEERED)
def test_no_bump_steer_in_the_other_library_either(car, axle, end):
    """Slope of its toe over 2 mm each way and 4 mm each way, freed of what goes with the cube (Richardson).

    Each is taken where the car stands: on the old springs some hundredths of a millimetre from as found. By that the body
    is inclined to its road by some 1e-5 rad; what this makes of toe is left out of both.
    """
    answer = found(raised_tie_rods(work_of(car), axle, end, today(car)), bump_steer(axle), 0.0)
    ways = np.array([-4e-3, -2e-3, 2e-3, 4e-3])
    slopes = []
    for stood, more in ((today(car), 0.0), (answer.stood, answer.value)):
        toe = toes(parse_car(moved(car, axle, end, more), car), axle, stood, ways)
        slopes.append((4 * (toe[2] - toe[1]) / 4e-3 - (toe[3] - toe[0]) / 8e-3) / 3)

    assert slopes[0] == pytest.approx(bump_steer(axle)(today(car)), abs=1e-8)
    assert slopes[1] == pytest.approx(level(answer.stood, axle), abs=1e-8)
    assert abs(slopes[1]) < 1e-5
    assert abs(slopes[0]) > 1e-3


@pytest.mark.parametrize(("car", "axle"), STEERED)
@pytest.mark.parametrize("wanted", [0.0, 0.004 * DEG_PER_MM])
def test_file_with_the_end_moved_read_anew_has_the_bump_steer(car, axle, wanted):
    """Looked at where the answer stands: on the old springs that is some hundredths of a millimetre from as found."""
    answer = found(raised_tie_rods(work_of(car), axle, "outer", today(car)), bump_steer(axle), wanted)
    document = parse_car(moved(car, axle, "outer", answer.value), car)
    model = axle_model(document, axle)
    states = replace(answer.stood.states(axle), settings=None)
    table = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0)))
    slope = np.mean([table[f"{side}_bump_steer"][0] for side in SIDES])
    toe = today(car).geometry(axle, ("wheel angles",))["left_toe"]

    assert slope == pytest.approx(wanted, abs=1e-9)
    assert answer.stood.geometry(axle, ("wheel angles",))["left_toe"] == pytest.approx(toe, abs=1e-5)
    assert bump_steer(axle)(stand(Case(document).found.car)) == pytest.approx(wanted, abs=1e-4)


@pytest.mark.parametrize(("car", "axle"), STEERED)
def test_todays_for_todays_and_the_more_the_more(car, axle):
    part, now = raised_tie_rods(work_of(car), axle, "outer", today(car)), bump_steer(axle)(today(car))
    wishes = now + np.array([-0.002, -0.001, 0.0, 0.001, 0.002]) * DEG_PER_MM
    answers = [found(part, bump_steer(axle), wish) for wish in wishes]
    ways = np.diff([one.value for one in answers])

    assert answers[2].value == pytest.approx(0.0, abs=1e-10)
    assert np.all(ways > 0) or np.all(ways < 0)
    assert answers[2].slope == pytest.approx((wishes[3] - wishes[1]) / (answers[3].value - answers[1].value), rel=1e-3)


def test_of_a_planned_car_the_toe_that_was_set_stays():
    """The rods, which the plan has set, are set anew: toe to the road as planned, on the lowered and leaning car."""
    planned = Case(
        parse_car(text_of("brisk-14"), "car"), parse_job((DEMO / "brisk-14-lower.toml").read_text("utf-8"), "job")
    ).planned
    work = WorkCar(planned.document, planned.car)
    stood = stand(work.car)
    answer = found(raised_tie_rods(work, "front", "outer", stood), bump_steer("front"), 0.0)
    before, after = (one.geometry("front", ("wheel angles",)) for one in (stood, answer.stood))

    for side in SIDES:
        assert after[f"{side}_toe"] == pytest.approx(before[f"{side}_toe"], abs=1e-6)
    assert abs(bump_steer("front")(stood)) > 1e-3


def test_an_axle_without_tie_rods_is_told():
    with pytest.raises(Impossible, match="no tie rods"):
        raised_tie_rods(work_of("brisk-14"), "rear", "outer", today("brisk-14"))
