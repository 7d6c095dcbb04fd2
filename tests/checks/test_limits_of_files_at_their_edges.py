"""Each limit that a car or part file tells passes just inside and fails just outside; no check is left without its edge."""

from __future__ import annotations

from dataclasses import replace

import pytest
from scipy.optimize import brentq

from jounce.car.file.quantity import Measured
from jounce.checks import Verdict
from jounce.checks.coils import coil_checks
from jounce.checks.driven import driven
from jounce.checks.ends_of_travel import end_of_travel
from jounce.checks.joint_swing import joint_swing_checks
from jounce.checks.limits import LIMITS, OF_PARTS, OF_WISHES, USUAL, CheckLimits
from jounce.checks.low_points import low_point_checks
from jounce.checks.panhard import _centring_check
from jounce.checks.plates import plate_checks
from jounce.checks.room import clearance_check, room_checks
from jounce.checks.set_up import _centred_check
from jounce.checks.shafts import shaft_checks
from jounce.checks.shims import shim_checks
from jounce.checks.torsion_bars import bar_checks
from jounce.checks.travel import _order_check
from jounce.conventions.units import MM
from jounce.layouts.adjusters import TOP_PLATE
from tests.job.changed_jobs import with_named_points, worked

HAIR = 1e-6  # of the limit: what lies between just inside and just outside
FORWARD = (("reach_outward = 10", "reach_outward = 10\nrearward = 3"),)
BACKWARD = (("reach_outward = 10", "reach_outward = 10\nrearward = -3"),)
OUTWARD = (("camber = -1.0", "camber = 0.3"),)


def given(section, path, value):
    """A copy of a section of a document with one number in it, its checks not run again."""
    name, _, rest = path.partition(".")
    new = given(getattr(section, name), rest, value) if rest else Measured(value)
    return section.model_copy(update={name: new})


def of(checks, code, words=""):
    return next(check for check in checks if check.code == code and words in check.question)


def bars(path, code):
    def check(value, side):
        one = worked()
        section = given(one.planned.front, f"{side}.{path}", value)
        return of(bar_checks(one.plan.planned.models[0], section, one.plan), code, side)

    return check


def shafts(path, code, words):
    def check(value, side):
        one = worked()
        section = given(one.planned.front, f"{side}.drive_shaft.{path}", value)
        return of(shaft_checks(one.plan.planned.models[0], section, one.plan), code, words.format(side))

    return check


def plates(reach, code, edits=()):
    def check(value, side):
        one = worked(edits)
        change = given(one.job.change.front, f"top_plate.{reach}", value)
        return of(plate_checks("front", TOP_PLATE[0], change, one.plan), code, side)

    return check


def solid(value, side):
    one = worked()
    section = given(one.planned.rear, f"{side}.spring.solid_length", value)
    return of(coil_checks(one.plan.planned.models[1], section, one.plan), "SPR-02", side)


def ground(value, _):
    one = worked()
    return clearance_check(given(one.planned, "limits.minimum_ground_clearance", value), one.plan)


SHIMMED = (
    ("[wanted.rear]\nlower = 35", "[wanted.rear]\nlower = 35\ncamber = -1.2"),
    ("[change.rear.perch]", "[change.rear.shims]\nflange = 95\nthickest = 10\n\n[change.rear.perch]"),
)


def shims(value, side):
    one = worked(SHIMMED)
    rear = one.plan.settings["rear"]
    thin = replace(rear, shims=replace(rear.shims, thickest=value))
    return of(shim_checks("rear", replace(one.plan, settings={**one.plan.settings, "rear": thin})), "SHM-01", side)


def joint(value, side):
    one = worked()
    named = with_named_points(one.planned)
    limit = named.joint["lower_ball"].model_copy(update={"max_angle": Measured(value)})
    document = named.model_copy(update={"joint": {"lower_ball": limit}})
    return of(joint_swing_checks(document, one.plan), "JNT-01", side)


def low(value, _):
    one = worked()
    document = given(with_named_points(one.planned), "limits.minimum_ground_clearance", value)
    return of(low_point_checks(document, one.plan, driven(document, one.plan, 6.0), USUAL), "GND-02")


def rod(end):
    def check(value, _):
        one = worked()
        far = {"shortest": 0.5, "longest": 1.5} | {end: value}
        section = given(given(one.planned.rear, "panhard.shortest", far["shortest"]), "panhard.longest", far["longest"])
        return _centring_check(section.panhard, one.plan.settings["rear"].rod, LIMITS["most_off_centre"])

    return check


# Code, what is told in the file, its check, and whether the value has to lie below it.
TOLD = {
    "BAR-01": ("torsion_bar.stress_limit", bars("torsion_bar.stress_limit", "BAR-01"), True),
    "BAR-03": ("torsion_bar.stress_limit", bars("torsion_bar.stress_limit", "BAR-03"), True),
    "SHF-01": ("max_angle", shafts("max_angle", "SHF-01", "{} front outer"), True),
    "SHF-01 inner": ("inner_max_angle", shafts("inner_max_angle", "SHF-01", "{} front inner"), True),
    "SHF-02": ("plunge_in", shafts("plunge_in", "SHF-02", "{} front drive shaft room to plunge in"), True),
    "SHF-02 out": ("plunge_out", shafts("plunge_out", "SHF-02", "{} front drive shaft room to plunge out"), True),
    "PLT-01": ("reach_inward", plates("reach_inward", "PLT-01"), True),
    "PLT-01 outward": ("reach_outward", plates("reach_outward", "PLT-01", OUTWARD), True),
    "PLT-02": ("reach_rear", plates("reach_rear", "PLT-02", FORWARD), True),
    "PLT-02 forward": ("reach_fore", plates("reach_fore", "PLT-02", BACKWARD), True),
    "SHM-01": ("thickest", shims, True),
    "PAN-01": ("longest", rod("longest"), True),
    "PAN-01 short": ("shortest", rod("shortest"), False),
    "SPR-02": ("solid_length", solid, False),
    "GND-01": ("minimum_ground_clearance", ground, False),
    "GND-02": ("minimum_ground_clearance", low, False),
    "JNT-01": ("max_angle", joint, True),
}


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("name", TOLD)
def test_a_limit_of_a_file_passes_just_inside_and_fails_just_outside(name, side):
    _, check, below = TOLD[name]
    value = check(0.1, side).value
    inside, outside = value * (1 + HAIR), value * (1 - HAIR)
    if not below:
        inside, outside = outside, inside

    assert check(inside, side).verdict is Verdict.PASS
    assert check(outside, side).verdict is Verdict.FAIL
    assert check(outside, side).limit == pytest.approx(outside)


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize(
    ("code", "axle", "at", "name"),
    [("ARC-01", "front", "bump", "tyre meets arch"), ("ARC-01", "rear", "bump", "tyre meets arch"),
     ("HOS-01", "front", "droop", "brake hose tight")],
)  # fmt: skip
def test_tyre_and_hose_are_met_beyond_the_end_of_travel(code, axle, at, name, side):
    one = worked()
    end = end_of_travel(one.plan.planned, axle, at).travel
    document = one.planned
    for way, verdict in ((end * (1 + HAIR), Verdict.PASS), (end * (1 - HAIR), Verdict.FAIL)):
        others = [met for met in one.plan.planned.stops[axle] if met.name != name]
        met = next(replace(met, side=side, travel=way) for met in one.plan.planned.stops[axle] if met.name == name)
        stops = tuple(sorted((*others, met), key=lambda one: one.travel))
        planned = replace(one.plan.planned, stops={**one.plan.planned.stops, axle: stops})

        assert of(room_checks(axle, document, replace(one.plan, planned=planned)), code).verdict is verdict


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("axle", ["front", "rear"])
def test_the_rubber_is_met_before_metal(axle, side):
    one = worked()
    rubber = min(met.travel for met in one.plan.planned.stops[axle] if "rubber touches" in met.name)
    for way, verdict in ((rubber * (1 + HAIR), Verdict.PASS), (rubber * (1 - HAIR), Verdict.FAIL)):
        stops = tuple(
            replace(met, travel=rubber if "rubber touches" in met.name else way)
            if met.side == side and met.name in {"damper closed", "bump rubber touches"}
            else met
            for met in one.plan.planned.stops[axle]
        )
        planned = replace(one.plan.planned, stops={**one.plan.planned.stops, axle: stops})

        assert _order_check(axle, replace(one.plan, planned=planned)).verdict is verdict


def test_a_coils_wire_is_as_thick_as_its_stress_asks():
    one = worked()

    def check(wire):
        section = given(given(one.planned.rear, "left.spring.wire", wire), "left.spring.mean_diameter", 170 * MM)
        return of(coil_checks(one.plan.planned.models[1], section, one.plan), "SPR-04", "left")

    edge = brentq(lambda wire: check(wire).margin, 10.01 * MM, 20 * MM, xtol=1e-12)
    assert check(edge * (1 + HAIR)).verdict is Verdict.PASS
    assert check(edge * (1 - HAIR)).verdict is Verdict.FAIL


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("pitch", [None, 1.5 * MM])
def test_an_axle_stands_less_beside_the_middle_than_a_quarter_turn_of_its_rod(pitch, sign):
    one = worked()
    limit = LIMITS["most_off_centre"].value if pitch is None else pitch / 4
    rear = one.planned.rear
    panhard = rear.panhard.model_copy(update={"thread_pitch": None if pitch is None else Measured(pitch)})
    document = one.planned.model_copy(update={"rear": rear.model_copy(update={"panhard": panhard})})
    for share, verdict in ((1 - HAIR, Verdict.PASS), (1 + HAIR, Verdict.FAIL)):
        table = one.plan.planned.geometry["rear"]
        columns = tuple(
            replace(column, values=column.values * 0 + sign * limit * share) if column.name == "axle_shift" else column
            for column in table.columns
        )
        geometry = {**one.plan.planned.geometry, "rear": replace(table, columns=columns)}
        plan = replace(one.plan, planned=replace(one.plan.planned, geometry=geometry))

        (check,) = _centred_check(document, plan, "rear", LIMITS["most_off_centre"])
        assert check.verdict is verdict


def test_a_laden_low_point_is_held_to_the_laden_limit():
    one = worked()
    document = with_named_points(one.planned)
    drive = driven(document, one.plan, 6.0)

    def check(limits):
        return of(low_point_checks(document, one.plan, drive, limits), "GND-03")

    left = check(USUAL).value
    for share, verdict in ((1 - HAIR, Verdict.PASS), (1 + HAIR, Verdict.FAIL)):
        assert check(CheckLimits({"least_laden_clearance": (left * share, "a test")})).verdict is verdict


HERE = {name.split()[0] for name in TOLD} | {
    *("ARC-01", "HOS-01", "TRV-05", "SPR-04", "AXS-01", "GND-03"),
}
ELSEWHERE = {
    "BAR-02": "its edge is the end of droop: test_a_spring_is_loaded_to_the_very_end_of_its_droop",
    "SPR-01": "its edge is the end of droop: test_a_spring_is_loaded_to_the_very_end_of_its_droop",
    "SPR-03": "open or solid, no number: test_spring_stacks",
    "LNK-01": "the thread of a link: test_a_link_goes_as_far_as_its_thread_and_no_further",
    "ALN-02": "its edge is the rim of a region: test_reach_map",
    "LSV-01": "never passes and never fails: the valve is looked at on the car",
}
"""Checks whose edge is tested elsewhere or which have none, and why."""


def test_every_check_has_its_edge_tested():
    of_table = {limit.code for limit in LIMITS.values()}

    assert of_table | HERE | set(ELSEWHERE) == OF_WISHES | OF_PARTS
    assert not set(ELSEWHERE) & (of_table | HERE)
