"""New leaves and shackles told by what the shelf has of them: where they hold the car, by hand and by differences."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.plausible import result_remarks
from jounce.car.file.reading import read_car
from jounce.car.parts import LeafSpring
from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.conventions.axes import Side
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import MM
from jounce.job.document import JobDocument
from jounce.job.file import parse_job

CAR = Path(str(files("jounce.demo").joinpath("bracken-16.toml")))
FOUND = 30.0
"""Of the car: height of the middle of the eyes above the seat where it stands [mm]."""


@cache
def bracken():
    return read_car(CAR)


def worked(change, lower=0.0, car=None):
    written = {"job": {"name": "x", "car": "x"}, "wanted": {"rear": {"lower": lower}}, "change": {"rear": change}}
    return Case(car or bracken(), JobDocument.model_validate(written))


def carried():
    """What a leaf carries where the car stands, mean of both [N]."""
    return float(np.mean([wheel.spring_force for wheel in worked({}).plan.found.axles["rear"].wheels.values()]))


def mean_travel(case):
    return float(np.mean([case.plan.planned.sits.travel["rear", side] for side in ("left", "right")]))


def leaf(rate, camber):
    return {"leaf": {"rate": rate, "free_camber": f"{camber} mm"}}


@pytest.mark.parametrize(("rate", "lower"), [(18, 0.0), (23, 0.0), (23, 26.0)])
def test_a_leaf_of_the_camber_that_its_load_takes_up_holds_the_car_where_it_is_wanted(rate, lower):
    """By hand: it gives way by its load over its rate, and what is left of its camber is where the car stands."""
    camber = FOUND - lower + carried() / rate
    one = worked(leaf(rate, camber), lower)
    seats = one.plan.settings["rear"].seats.values()

    assert np.mean([seat.wanted for seat in seats]) == pytest.approx(
        0.0, abs=0.3 * MM
    )  # the car pitches, the load moves
    assert mean_travel(one) == pytest.approx(lower * MM, abs=0.3 * MM)


def test_a_leaf_of_more_camber_asks_for_a_seat_that_much_lower_and_half_of_it_in_the_shackle():
    taller = FOUND + carried() / 20 + 12
    bare = worked(leaf(20, taller))
    shackled = worked(leaf(20, taller) | {"shackle": {"shortest": 55, "longest": 115}})

    seats = bare.plan.settings["rear"].seats.values()
    shackles = [seat.shackle for seat in shackled.plan.settings["rear"].seats.values()]
    assert np.mean([seat.wanted for seat in seats]) == pytest.approx(-12 * MM, abs=0.1 * MM)
    assert np.mean(shackles) == pytest.approx(-24 * MM, abs=0.2 * MM)
    (left, _) = [check for check in bare.checks if check.code == "PER-01" and "rear" in check.question]
    assert left.verdict is Verdict.FAIL


def test_a_leaf_of_unknown_camber_says_what_to_measure():
    checks = [check for check in worked({"leaf": {"rate": 20}}).checks if check.code in {"PER-01", "HGT-01"}]
    asked = {check.asks for check in checks if check.verdict is Verdict.UNKNOWN}

    assert asked == {"change.rear.leaf.free_camber"}


def test_a_leaf_bent_more_holds_the_body_as_much_higher_and_as_unsure():
    """By two whole plans; by derivatives a camber counts in the height as the place of the leaf's seat does."""
    camber = FOUND + carried() / 20
    heights = [mean_travel(worked(leaf(20, camber + off))) for off in (-1.0, 1.0)]
    banded = worked({"leaf": {"rate": 20, "free_camber": f"{camber} mm ± 3 mm"}})
    causes = dict(banded.planned.bands["rear.left.height"].causes)

    assert (heights[1] - heights[0]) / (2 * MM) == pytest.approx(-1.0, abs=0.02)
    assert causes["change.rear.leaf.free_camber"] / 3 == pytest.approx(causes["rear.pivots.leaf_seat.z"] / 2, rel=0.01)


@pytest.mark.parametrize("lower", [-9.0, 0.0, 4.0, 30.0])
def test_shackles_by_their_own_length_are_those_by_what_they_differ(lower):
    """Those in the car are 85 mm between their bolts."""
    by_length = worked({"shackle": {"shortest": 65, "longest": 105, "step": 10}}, lower)
    by_more = worked({"shackle": {"longer": 20, "shorter": 20, "step": 10}}, lower)
    seats = [case.plan.settings["rear"].seats for case in (by_length, by_more)]

    for side in ("left", "right"):
        assert seats[0][side].shackle == pytest.approx(seats[1][side].shackle, abs=1e-9)
    assert len(by_length.plan.short) == len(by_more.plan.short) == (2 if lower == 30.0 else 0)


def test_holes_count_from_the_shortest_length():
    """From 62 mm in steps of 9: 80 and 89 mm lie about the 85 mm of those in the car."""
    seats = worked({"shackle": {"shortest": 62, "longest": 107, "step": 9}}).plan.settings["rear"].seats

    assert {round(seat.shackle / MM, 6) for seat in seats.values()} <= {-5.0, 4.0}


def test_a_shackle_of_one_length_holds_the_body_by_half_of_what_it_is_longer():
    one = worked({"shackle": {"shortest": 105, "longest": 105}}, -10.0)
    other = worked({"shackle": {"shortest": 65, "longest": 65}}, 13.5)

    for case, lower in ((one, -10.0), (other, 10.0)):
        assert case.plan.planned.sits.travel["rear", "left"] == pytest.approx(lower * MM, abs=0.3 * MM)
        assert not case.plan.short
    verdicts = [{check.verdict for check in case.checks if check.code == "PER-01"} for case in (one, other)]
    assert Verdict.PASS in verdicts[0]
    assert Verdict.FAIL in verdicts[1]


@pytest.mark.parametrize(
    ("shackle", "place"),
    [
        ({"shortest": 65}, "change.rear.shackle.longest"),
        ({"shortest": 65, "longest": 105, "longer": 5}, "change.rear.shackle.longer"),
        ({"shortest": 105, "longest": 65}, "change.rear.shackle.longest"),
    ],
)
def test_a_length_told_by_half_twice_or_the_wrong_way_round_is_refused(shackle, place):
    told = "\n".join(f"{key} = {value}" for key, value in shackle.items())
    with pytest.raises(InputProblems) as refused:
        parse_job(f'[job]\nname = "x"\ncar = "x"\n\n[change.rear.shackle]\n{told}\n', "job")
    assert [problem.place.partition(" ")[0] for problem in refused.value.problems] == [place]


def test_shackles_by_their_length_ask_for_that_of_those_in_the_car():
    rear = bracken().interfaces.rear.model_copy(update={"shackle_length": None})
    car = bracken().model_copy(update={"interfaces": bracken().interfaces.model_copy(update={"rear": rear})})
    with pytest.raises(InputProblems) as refused:
        _ = worked({"shackle": {"shortest": 65, "longest": 105}}, car=car).plan
    assert "interfaces.rear" in str(refused.value)


def test_a_camber_that_the_scales_contradict_is_remarked_upon():
    """Those in the car carry what their own camber makes of them, within a third: by the weights it is 131.5 mm."""
    own = FOUND + carried() / 18
    for camber, said in ((own, 0), (own + 20, 0), (own + 40, 2)):
        leaf = LeafSpring.model_validate({"rate": 18, "free_camber": f"{camber} mm"})
        rear = bracken().rear
        sides = {side: rear.side(Side(side)).model_copy(update={"leaf": leaf}) for side in ("left", "right")}
        car = bracken().model_copy(update={"rear": rear.model_copy(update=sides)})
        remarks = [one for one in result_remarks(car) if "from its seat to its eyes" in one.text]

        assert len(remarks) == said
        assert all(one.contradicts for one in remarks)
