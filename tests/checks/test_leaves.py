"""Bending stress of leaf springs: published leaves, and a planned car's by forces about its seat."""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.checks.leaves import leaf_checks
from jounce.checks.limits import CheckLimits
from jounce.conventions.axes import End
from jounce.elements.springs.leaf_stress import leaf_bending_stress
from jounce.job.document import JobDocument

CAR = Path(str(files("jounce.demo").joinpath("bracken-16.toml")))
SIZES = "leaf_count = 5\nwidth = 50\nthickness = 6\n"


@pytest.mark.parametrize(
    ("force", "half", "leaves", "width", "thickness", "stress"),
    [(75e3, 0.5, 18, 9 * 0.011556021, 0.011556021, 450e6), (30e3, 0.6, 12, 0.060, 0.0111803, 600e6)],
)
def test_published_leaves(force, half, leaves, width, thickness, stress):
    """Bhandari, Design of Machine Elements, Examples 10.24 and 10.25; the thickness before it is rounded up.

    The first thickness was read in a public transcription of the results; the second is what the example's formula gives
    there, ``sqrt(125) mm``, of which the transcription has the 12 mm that it is rounded up to.
    """
    assert leaf_bending_stress(force, (half, half), leaves, width, thickness) == pytest.approx(stress, rel=1e-5)


@cache
def worked(sizes: str = SIZES, seat: str = "[-2490, 510, 240]"):
    text = CAR.read_text("utf-8").replace(SIZES, sizes).replace("leaf_seat = [-2490, 510, 240]", f"leaf_seat = {seat}")
    written = {"job": {"name": "x", "car": "x"}, "wanted": {"rear": {"lower": 10}}}
    return Case(parse_car(text, ""), JobDocument.model_validate(written))


def checks_of(case):
    return [one for one in case.checks if one.code == "LEF-01"]


def test_the_leaves_bend_by_the_moment_of_the_seat_between_the_eyes():
    """A seat that is not in the middle, as no demo car has it: reactions of the eyes by hand, then ``M / (n w t² / 6)``."""
    case = worked(seat="[-2460, 512, 238]")
    left = checks_of(case)[0]
    front, rear = (math.dist((-2460, 512, 238), eye) / 1e3 for eye in ((-1960, 515, 265), (-3080, 505, 275)))
    planned = case.plan.planned.axles["rear"].wheels["left"]
    standing = float(left.sentence.split(", ")[1].split(" MPa")[0])
    at_front_eye = planned.spring_force * rear / (front + rear)

    assert standing == pytest.approx(at_front_eye * front / (5 * 0.05 * 0.006**2 / 6) / 1e6, abs=0.51)
    assert left.value / 1e6 > standing + 50
    assert left.verdict is Verdict.PASS


def test_thick_leaves_at_the_same_force_are_stressed_by_their_thickness_squared_and_stopped_where_too_thin():
    value = {t: checks_of(worked(SIZES.replace("thickness = 6", f"thickness = {t}")))[0] for t in (4, 6, 8)}

    assert value[8].value == pytest.approx(value[6].value * 36 / 64, rel=1e-9)
    assert [one.verdict for one in value.values()] == [Verdict.FAIL, Verdict.PASS, Verdict.PASS]


@pytest.mark.parametrize("lacks", ["leaf_count", "width", "thickness"])
def test_a_size_that_is_not_told_is_asked_for(lacks):
    left = "".join(line for line in SIZES.splitlines(keepends=True) if not line.startswith(lacks))
    check = checks_of(worked(left))[0]

    assert (check.verdict, check.asks) == (Verdict.UNKNOWN, f"rear.leaf.{lacks}")


def test_the_limit_of_the_table_passes_just_inside_and_fails_just_outside():
    case = worked()
    value = checks_of(case)[0].value
    for share, verdict in ((1 + 1e-6, Verdict.PASS), (1 - 1e-6, Verdict.FAIL)):
        limits = CheckLimits({"most_leaf_stress": (value * share, "a test")})
        model, section = case.plan.planned.models[1], case.planned.document.axle(End.REAR)
        assert next(leaf_checks(model, section, case.plan, limits)).verdict is verdict
