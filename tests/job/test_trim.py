"""The seats' last turn: the cross weight comes to what was asked, as far as quarter turns allow."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.car.parts import Perch
from jounce.elements.law import OneSided, Shifted
from jounce.job.apply import planned_document, wishes_of
from jounce.job.corner_weighting import Seats, trimmed
from jounce.job.file import read_job
from jounce.job.plan import make_plan
from jounce.job.settings import PerchSetting
from jounce.linkage.balance import Element

JOB = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml")))
THREAD = Perch.model_validate({"lowest": -10, "highest": 40, "pitch": 2})


@cache
def demo(cross_weight):
    job, car = read_job(JOB)
    wanted = job.wanted.model_copy(update={"cross_weight": type(job.wanted.cross_weight)(cross_weight)})
    job = job.model_copy(update={"wanted": wanted})
    planned = planned_document(car, job)
    return make_plan(car, planned, wishes_of(car, job))


@pytest.mark.parametrize("wanted", [0.495, 0.5, 0.505])
def test_the_cross_weight_comes_to_what_was_asked(wanted):
    """A quarter turn of the 2 mm thread is 0.5 mm; what is left of it, half of that at most, moves 0.065 %."""
    plan = demo(wanted)

    assert plan.planned.sits.cross_share == pytest.approx(wanted, abs=6.5e-4)


def test_seats_are_whole_quarter_turns_and_stand_where_they_are_told():
    plan = demo(0.5)
    for setting in plan.settings["rear"].seats.values():
        assert (setting.turns * 4) == pytest.approx(round(setting.turns * 4), abs=1e-12)
        assert setting.seat == pytest.approx(-0.010 + 0.002 * setting.turns, abs=1e-12)
        assert abs(setting.seat - setting.wanted) < 0.5e-3


def test_the_mean_height_stays():
    """Turned against one another the seats leave the axle's mean height, up to what whole quarters are worth."""
    travel = [demo(wanted).planned.sits.travel for wanted in (0.495, 0.505)]
    mean = [sum(t["rear", side] for side in ("left", "right")) / 2 for t in travel]

    assert mean[1] == pytest.approx(mean[0], abs=0.5e-3)
    seat = [demo(wanted).settings["rear"].seats["left"].seat for wanted in (0.495, 0.505)]
    assert seat[1] > seat[0] + 0.002  # and it was turned


def seats(left, right):
    element = Element("spring", Shifted(OneSided(25e3), 0.05), -1.0, 0.3)
    told = {
        side: PerchSetting(at, round(at, 4), None, adjustable=True) for side, at in (("left", left), ("right", right))
    }
    return Seats(told, {"left": element, "right": element})


def share(springs):
    """0.26 % for each millimetre of the left against the right."""
    off = (float(springs["left"].law.by) - float(springs["right"].law.by)) / 2
    return 0.5 + 2.6 * off


TURNED = -0.01 / 2.6
"""What the share made up above asks the seats to be turned against one another, by its own slope [m]."""


def test_a_thread_that_ends_is_not_turned_beyond_and_what_would_be_needed_is_told():
    out = trimmed(seats(-0.0095, 0.0), {"left": THREAD, "right": THREAD}, share, 0.49)

    assert out.settings["left"].seat == pytest.approx(-0.010)
    assert out.settings["right"].seat == pytest.approx(0.0005)
    assert out.settings["left"].wanted == pytest.approx(-0.0095 + TURNED)
    assert out.settings["right"].wanted == pytest.approx(-TURNED)


def test_a_seat_beyond_its_thread_stays_at_its_end():
    out = trimmed(seats(-0.014, 0.0), {"left": THREAD, "right": THREAD}, share, 0.49)

    assert out.settings["left"].seat == pytest.approx(-0.010)
    assert out.settings["right"].seat == pytest.approx(0.0)
    assert out.settings["left"].wanted == pytest.approx(-0.014 + TURNED)


@pytest.mark.parametrize("threads", [{"left": None, "right": THREAD}, {"left": None, "right": None}])
def test_without_threads_nothing_is_turned(threads):
    before = seats(0.001, 0.0)

    assert trimmed(before, threads, share, 0.45) is before
