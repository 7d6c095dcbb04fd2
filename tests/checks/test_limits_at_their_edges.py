"""Each limit of the table passes just inside and fails just outside, and is the number that the trade uses."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from types import SimpleNamespace

import pytest

from jounce.checks import Verdict, run_checks
from jounce.checks.driven import driven
from jounce.checks.ends_of_travel import loose_check
from jounce.checks.limits import LIMITS, CheckLimits
from jounce.checks.links import link_checks
from jounce.checks.panhard import _centring_check
from jounce.checks.perches import perch_checks
from jounce.checks.set_up import _bump_check
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import DEG, MM, MPA
from jounce.job.link_lengths import LinkLength, LinkRange
from jounce.job.settings import PerchSetting
from tests.job.changed_jobs import with_named_points, worked

EDITS = (
    ("closed_length = 330", "closed_length = 330\nrod_diameter = 20"),
    ("thread_pitch = 1.5", "thread_pitch = 1.5\ndiameter = 22\nthread_diameter = 14\nthread_engaged = 45"),
)
HAIR = 1e-6  # of the limit: what lies between just inside and just outside

# Common practice, no source; an angle is what the screen of an aligner shows.
NUMBERS = {
    "least_free_bump": 10 * MM,
    "least_bump": 45 * MM,
    "least_kept": 2 / 3,
    "least_bump_kept": 0.5,
    "least_rebound": 40 * MM,
    "least_damping": 0.2,
    "most_damping": 0.7,
    "brisk": 0.6 * GRAVITY,
    "rear_reserve": 0.01,
    "tipping_safety": 1.1,
    "least_rubber_turn": 0.3 * GRAVITY,
    "front_locks_first_to": 0.8 * GRAVITY,  # UN Regulation 13-H, annex 5
    "least_free_laden": 1 * MM,
    "least_lock_gap": 5 * MM,
    "least_tyre_gap": 5 * MM,
    "least_hose_slack": 15 * MM,
    "least_laden_clearance": 80 * MM,
    "least_laden_arch": 20 * MM,
    "buckling_safety": 3.0,
    "least_engaged": 1.5,
    "most_off_centre": 5 * MM,
    "most_seat_off": 3 * MM,
    "most_bar_stress": 700 * MPA,
    "most_leaf_stress": 900 * MPA,
    "most_bending": 400 * MPA,
    "tape": 1 * MM,
    "most_uneven": 5 * MM,
    "most_cross": 0.005,
    "most_angle": 0.02 * DEG,
    "most_off_height": 0.1 * MM,
    "most_aim": 0.005,
}
LEAST = {name for name in NUMBERS if name.startswith("least_")} | {
    "buckling_safety",
    "rear_reserve",
    "tipping_safety",
    "front_locks_first_to",
}
# Limits that a check does not hold its own value against, but something made of both: where that passes its edge.
MADE_OF = {
    "tipping_safety": lambda check, limit: limit * check.value / check.limit,
    "buckling_safety": lambda check, limit: limit * check.limit / check.value,
    "least_engaged": lambda check, limit: limit * check.value / check.limit,
    "tape": lambda check, limit: limit + check.value - check.limit,
}
APART = {  # told below, in test_leaves, or no limit of a value
    *("brisk", "most_leaf_stress", "most_off_centre", "most_off_height", "most_seat_off"),
}


@cache
def checks_with(name="", value=0.0):
    job = worked(EDITS)
    return run_checks(
        job.job,
        with_named_points(job.planned),
        job.plan,
        CheckLimits({name: (value, "a test")} if name else {}),
        on_road(),
    )


@cache
def on_road():
    job = worked(EDITS)
    return driven(job.planned, job.plan, LIMITS["brisk"].value)


def test_each_limit_is_the_number_that_is_written_down():
    assert {name: limit.value for name, limit in LIMITS.items()} == pytest.approx(NUMBERS)


@pytest.mark.parametrize("name", sorted(set(NUMBERS) - APART))
def test_a_limit_passes_just_inside_and_fails_just_outside(name):
    limit = LIMITS[name]
    usual = checks_with()
    for number, check in enumerate(usual):
        if check.code != limit.code:
            continue
        assert check.verdict is Verdict.PASS, check.sentence
        edge = MADE_OF[name](check, limit.value) if name in MADE_OF else check.value
        inside, outside = edge - HAIR * abs(edge), edge + HAIR * abs(edge)
        if name not in LEAST:
            inside, outside = outside, inside
        assert checks_with(name, inside)[number].verdict is Verdict.PASS
        beyond = Verdict.UNKNOWN if name == "most_aim" else Verdict.FAIL  # lamps are measured, not judged
        assert checks_with(name, outside)[number].verdict is beyond
    assert any(check.code == limit.code for check in usual)


@pytest.mark.parametrize("off", [5 * MM, -5 * MM])
def test_a_rod_of_one_length_leaves_the_axle_less_than_the_limit_beside_the_middle(off):
    rod = SimpleNamespace(shortest=None, longest=None)
    for share, verdict in ((1 - HAIR, Verdict.PASS), (1 + HAIR, Verdict.FAIL)):
        setting = SimpleNamespace(shift_if_left=off * share)
        assert _centring_check(rod, setting, LIMITS["most_off_centre"]).verdict is verdict


@pytest.mark.parametrize("off", [3 * MM, -3 * MM])
def test_a_seat_without_a_thread_is_less_than_the_limit_from_where_it_is_wanted(off):
    section = SimpleNamespace(side=lambda _: SimpleNamespace(perch=None))
    for share, verdict in ((1 - HAIR, Verdict.PASS), (1 + HAIR, Verdict.FAIL)):
        perch = PerchSetting(wanted=off * share, seat=0.0, turns=None, adjustable=False)
        plan = SimpleNamespace(settings={"rear": SimpleNamespace(seats={"left": perch, "right": perch})})
        assert {check.verdict for check in perch_checks("rear", section, plan, CheckLimits())} == {verdict}


@pytest.mark.parametrize("step", [0.0, 1.5 * MM])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_bump_steer_is_missed_by_less_than_half_a_shim_is_worth(sign, step):
    slope = 12.0  # of the bump steer with the height [rad/m for 1 m]
    most = max(LIMITS["most_off_height"].value, step / 2)
    for share, verdict in ((1 - HAIR, Verdict.PASS), (1 + HAIR, Verdict.FAIL)):
        setting = SimpleNamespace(reached=0.02 + sign * slope * most * share, wanted=0.02, slope=slope, step=step)
        plan = SimpleNamespace(settings={"front": SimpleNamespace(bump_steer=setting)}, short=())
        (check,) = _bump_check("front", plan, LIMITS["most_off_height"])

        assert check.verdict is verdict


@pytest.mark.parametrize(("longer", "given"), [(0.004, "longer"), (-0.004, "shorter")])
def test_a_link_goes_as_far_as_its_thread_and_no_further(longer, given):
    """Beyond its end by less than 0.05 mm it reads as at it."""
    for short, verdict in ((0.0, Verdict.PASS), (0.049 * MM, Verdict.PASS), (0.051 * MM, Verdict.FAIL)):
        links = {"caster": LinkRange("link_1", **{given: abs(longer) - short})}
        wheel = SimpleNamespace(links={"caster": LinkLength("link 1", longer, longer, None)})
        plan = SimpleNamespace(settings={"rear": SimpleNamespace(wheels={"left": wheel}, link_ranges=links)}, short=())
        (check,) = link_checks("rear", plan)

        assert check.verdict is verdict
        assert check.limit == pytest.approx(abs(longer) - short)


@pytest.mark.parametrize(("axle", "code"), [("front", "BAR-02"), ("rear", "SPR-01")])
@pytest.mark.parametrize("side", ["left", "right"])
def test_a_spring_is_loaded_to_the_very_end_of_its_droop(axle, code, side):
    plan = worked(EDITS).plan
    (end, *_) = {c.limit for c in checks_with() if c.code == code}
    for spare, verdict in ((0.1 * MM, Verdict.PASS), (-0.1 * MM, Verdict.FAIL), (-3 * MM, Verdict.FAIL)):
        sits = plan.planned.axles[axle]
        wheels = {**sits.wheels, side: replace(sits.wheels[side], loose_at=end + spare)}
        slack = replace(plan.planned, axles={**plan.planned.axles, axle: replace(sits, wheels=wheels)})
        check = loose_check(code, "?", axle, side, replace(plan, planned=slack))

        assert check.verdict is verdict
        assert math.isclose(check.limit, end)
