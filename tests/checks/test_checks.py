"""Each check of a planned car passes, fails and is unknown where it should, and its number is that of the hand."""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.axle.load_cases import common_cases, forces_of
from jounce.behaviour.axle.loads import axle_loads
from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.car.mechanics.bushes import jointed_axle
from jounce.checks import CRITICAL, Check, Verdict, check_values, run_checks, worst
from jounce.checks.gathered import gathered
from jounce.checks.limits import OF_PARTS, OF_WISHES
from jounce.checks.rule_quantities import QUANTITIES
from jounce.checks.travel import travel_kept
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import Kind
from jounce.job.plan import value_of
from jounce.job.sentence import acceleration, say
from tests.job.changed_jobs import worked

PAGE = Path(__file__).parents[2] / "docs" / "checks.md"
ROD = ("thread_pitch = 1.5", "thread_pitch = 1.5\ndiameter = {d}\nthread_diameter = 14\nthread_engaged = {t}")


def rod(diameter: float, thread: float):
    return ((ROD[0], ROD[1].format(d=diameter, t=thread)),)


def verdicts(code, job=(), car=()):
    return {check.verdict for check in worked(job, car).checks(code)}


def test_a_margin_counts_inwards_from_either_side_of_a_limit():
    low = Check("GND-01", "?", Verdict.PASS, "", Kind.LENGTH, 0.03, 0.02, bound="at least")
    high = Check("GND-01", "?", Verdict.FAIL, "", Kind.LENGTH, 0.03, 0.02, bound="at most")
    none = Check("GND-01", "?", Verdict.UNKNOWN, "", Kind.LENGTH, 0.03)

    assert low.margin == pytest.approx(0.01)
    assert high.margin == pytest.approx(-0.01)
    assert none.margin is None
    assert worst([low, none]) is Verdict.UNKNOWN
    assert worst([low, none, high]) is Verdict.FAIL
    assert worst([low]) is Verdict.PASS


def test_every_check_with_a_limit_says_where_it_comes_from_and_agrees_with_its_margin():
    demo = worked()
    checks = run_checks(demo.job, demo.planned, demo.plan)

    assert {c.code for c in checks} >= {"BAR-03", "PAN-02", "STR-01", "SHF-01", "ARB-01", "TRV-05", "DMP-01", "LSV-01"}
    for check in checks:
        assert check.sentence.endswith(".")
        assert ("unknown" in check.sentence) == (check.verdict is Verdict.UNKNOWN)
        if check.margin is not None:
            assert check.source
            assert check.reason
            assert check.todo
            if check.code != "ALN-02":
                assert (check.margin >= 0) == (check.verdict is Verdict.PASS)


def test_a_check_that_fails_by_little_tells_value_and_limit_apart():
    low = say("from {}, {} wanted.", acceleration(0.2997 * GRAVITY), acceleration(0.3 * GRAVITY))

    def told(verdict: Verdict, units: str) -> str:
        return Check(
            "RUB-01", "?", verdict, low, Kind.ACCELERATION, 0.2997 * GRAVITY, 0.3 * GRAVITY, bound="at least"
        ).said(units)

    assert told(Verdict.FAIL, "metric") == "from 0.2997 g, 0.3000 g wanted."
    assert told(Verdict.PASS, "metric") == "from 0.30 g, 0.30 g wanted."


def test_every_check_stands_on_the_page():
    demo, page = worked(), PAGE.read_text("utf-8")
    codes = {check.code for check in run_checks(demo.job, demo.planned, demo.plan)}

    assert {code for code in codes if f"`{code}`" not in page} == set()


def test_the_page_marks_as_critical_what_a_check_tells_as_such():
    demo = worked()
    checks = run_checks(demo.job, demo.planned, demo.plan)
    marked = set(re.findall(r"`([A-Z]{3}-\d\d)` †", PAGE.read_text("utf-8")))

    assert marked == CRITICAL
    assert {"BAR-01", "BAR-02", "SPR-01", "STR-01"} <= {check.code for check in checks if check.critical}
    assert {check_values(check)["critical"] for check in checks if check.code not in marked} == {False}


def test_every_check_says_whether_parts_or_wishes_decide_it():
    """A search leaves packages out by the one and tells the other; a code in neither list cannot be made at all."""
    coded = set(re.findall(r"`([A-Z]{3}-\d\d)`", PAGE.read_text("utf-8")))

    assert coded == OF_PARTS | OF_WISHES
    assert not OF_PARTS & OF_WISHES
    with pytest.raises(LookupError, match="NEW-01"):
        Check("NEW-01", "?", Verdict.PASS, "", Kind.LENGTH)


def test_every_quantity_of_a_rule_stands_on_the_page():
    page = PAGE.read_text("utf-8")

    assert [word for word, one in QUANTITIES.items() if f"| `{word}` |" not in page] == []


def test_gathered_rows_tell_failures_in_full_and_each_code_once():
    rows = gathered(
        worked(rod(10, 40)).checks("PAN-02") + worked().checks("SHF-01") + worked().checks("BAR-01"), "metric"
    )

    assert [row[:2] for row in rows] == [("FAIL", "PAN-02"), ("unknown", "SHF-01"), ("pass", "")]
    assert "And 3 more of this kind." in rows[1][2]
    least = min(check.margin for check in worked().checks("BAR-01"))
    assert f"BAR-01 (+{least / 1e6:.0f} MPa)" in rows[2][2]


def test_a_torsion_bar_is_stressed_less_the_further_it_hangs():
    demo = worked()
    bump, rest = (demo.checks(code)[0].value for code in ("BAR-01", "BAR-03"))
    side = demo.plan.planned.axles["front"].wheels["left"]

    assert bump > rest > 0
    # 16 T / (pi d³) of what the bar carries where the car stands
    assert rest == pytest.approx(16 * side.spring_force / (math.pi * 0.0235**3), rel=1e-9)


def test_the_panhard_rod_is_pressed_by_the_axle_s_whole_side_force():
    """At the limit of a left turn the table puts 0.4 and 1.6 of the static loads sideways on the wheels."""
    thick, thin = worked(rod(22, 45)), worked(rod(10, 45))
    check = thick.checks("PAN-02")[0]
    static = {side: float(thick.plan.planned.models[1].corner_load[side][0]) for side in ("left", "right")}

    assert check.value == pytest.approx(
        0.4 * static["left"] + 1.6 * static["right"], rel=0.03
    )  # the rod slopes a little
    assert check.verdict is Verdict.PASS
    assert thin.checks("PAN-02")[0].verdict is Verdict.FAIL
    assert verdicts("PAN-02") == {Verdict.UNKNOWN}


def test_thread_screwed_out_is_counted_from_the_shortest_length():
    check = worked(rod(22, 45)).checks("PAN-03")[0]
    length = worked(rod(22, 45)).plan.settings["rear"].rod.set_length

    assert check.value == pytest.approx(0.045 - (length - 0.825))
    assert check.limit == pytest.approx(0.021)
    assert check.verdict is Verdict.PASS
    assert verdicts("PAN-03", rod(22, 40)) == {Verdict.FAIL}
    assert verdicts("PAN-03") == {Verdict.UNKNOWN}


def test_a_strut_rod_bends_over_what_of_it_is_outside():
    edits = (("closed_length = 330", "closed_length = 330\nrod_diameter = 20"),)
    thin = (("closed_length = 330", "closed_length = 330\nrod_diameter = 14"),)
    check, slim = worked(edits).checks("STR-01")[0], worked(thin).checks("STR-01")[0]

    assert check.verdict is Verdict.PASS
    assert slim.verdict is Verdict.FAIL
    assert slim.value / check.value == pytest.approx((20 / 14) ** 3)
    assert verdicts("STR-01") == {Verdict.UNKNOWN}

    # what is left of the force when its part along the strut is taken out, by Pythagoras, in the worst of all cases
    done = worked(edits)
    model = done.plan.planned.models[0]
    linkage = jointed_axle(done.planned, "front", rigid=True).linkage
    found = axle_loads(model, linkage, forces_of(common_cases(), model), done.plan.planned.states["front"])
    one = done.planned.front.left
    along = np.subtract(one.pivots.strut_top.xyz, one.pivots.strut_foot.xyz)
    force = found.sites["front.left.top_mount"].force[0]
    across = np.sqrt(np.sum(force**2, axis=1) - (force @ along) ** 2 / (along @ along))
    lever = (
        value_of(done.plan.planned.geometry["front"], "left_damper_length") - 0.330 + one.bump_stop.free_height.value
    )
    assert check.value == pytest.approx(32 * across.max() * lever / (math.pi * 0.020**3), rel=1e-9)
    assert found.cases[int(across.argmax())] in check.sentence


def test_drive_shaft_limits_are_held_joint_by_joint_over_the_whole_travel_and_at_both_locks():
    given = (
        "[front.drive_shaft]\nmax_angle = {a}\ninner_max_angle = {i}\nplunge_in = 5\nplunge_out = 5\n\n[front.steering]"
    )
    wide, narrow, inner = ((("[front.steering]", given.format(a=a, i=i)),) for a, i in ((45, 22), (30, 12), (45, 12)))
    check = worked((), wide).checks("SHF-01")[0]
    only_ahead = worked((), (("[front.steering]\nrack_travel = 65", ""),)).checks("SHF-01")[0]
    at_rest = worked((), wide).plan.planned.geometry["front"]
    resting = next(float(c.values[0]) for c in at_rest.columns if c.name == "left_drive_shaft_outer_angle")

    assert check.verdict is Verdict.PASS
    assert math.degrees(check.value) > 30 > math.degrees(only_ahead.value) > math.degrees(resting)
    assert "both locks" in check.sentence
    assert "straight ahead only" in only_ahead.sentence
    assert verdicts("SHF-01", (), narrow) == {Verdict.FAIL}
    told = {one.question: one.verdict for one in worked((), inner).checks("SHF-01")}
    assert told["Can the left front outer drive-shaft joint follow the whole travel?"] is Verdict.PASS
    assert told["Can the left front inner drive-shaft joint follow the whole travel?"] is Verdict.FAIL
    assert verdicts("SHF-02", (), wide) == {Verdict.PASS}
    assert verdicts("SHF-01") == verdicts("SHF-02") == {Verdict.UNKNOWN}


def test_the_wire_of_a_coil_is_stressed_by_the_force_at_full_bump():
    edits = (("free_length = 262", "free_length = 262\nwire = {w}\nmean_diameter = 96\nactive_turns = 7.6"),)
    thick, thin = (((edits[0][0], edits[0][1].format(w=wire)),) for wire in (12, 10))
    check = worked(thick).checks("SPR-04")[0]
    rest = worked(thick).plan.planned.axles["rear"].wheels["left"]
    bind = worked(thick).checks("SPR-02")[0]
    found = worked(thick).plan.planned.geometry["rear"]
    length = next(float(c.values[0]) for c in found.columns if c.name == "left_spring_length")
    seat = worked(thick).plan.settings["rear"].seats["left"].seat
    force = rest.spring_force + 25e3 * (length - seat - bind.value)

    assert check.value == pytest.approx(8 * force * 0.096 / (math.pi * 0.012**3), rel=1e-9)
    assert check.verdict is Verdict.PASS
    assert worked(thin).checks("SPR-04")[0].value > check.value
    assert verdicts("SPR-04") == {Verdict.UNKNOWN}


def test_an_anti_roll_bar_at_full_roll_carries_the_stress_of_its_twist():
    """The equivalent stress of a bent bar is at least that of plain torsion under its torque."""
    demo = worked()
    check = demo.checks("ARB-01")[0]
    model, states = demo.plan.planned.models[0], demo.plan.planned.states["front"]
    bump, droop = (
        next(m.travel for m in demo.plan.planned.stops["front"] if m.at == at and m.hard) for at in ("bump", "droop")
    )
    placed = place_axle(
        model.stand, "front", AxleStates(left=states.left + bump, right=states.right - droop, settings=states.settings)
    )
    twist = model.stand.taken(["front.roll_bar_twist"]).values(placed.pose)[:, 0]
    element = model.elements["front.roll_bar_twist"]
    torque = abs(float(element.law.force(element.displacement(twist))[0]))
    torsion = math.sqrt(3) * 16 * torque / (math.pi * 0.018**3)

    assert torsion < check.value < 2 * torsion
    thicker = (("diameter = 15\narm_end", "diameter = 26\narm_end"),)
    assert worked(thicker).checks("ARB-01")[1].verdict is Verdict.FAIL


def test_a_short_damper_keeps_too_little_of_the_travel():
    short = (("closed_length = 285\nopen_length = 435", "closed_length = 330\nopen_length = 400"),)
    demo, less = worked(), worked(short)

    assert travel_kept(demo.plan, "rear") > 2 / 3 > travel_kept(less.plan, "rear")
    assert [check.verdict for check in less.checks("TRV-03")] == [Verdict.PASS, Verdict.FAIL]
    assert [check.verdict for check in less.checks("TRV-04")] == [Verdict.PASS, Verdict.FAIL]


def test_metal_before_rubber_fails():
    car = (("gap = 25\ncurve = [[0, 0], [20, 400], [40, 2000]]", "gap = 200\ncurve = [[0, 0], [20, 400], [40, 2000]]"),)
    job = (("[change.rear.bump_stop]\nfree_height = 45\ncurve = [[0, 0], [20, 400], [35, 2000]]\n", ""),)
    order = {check.question: check.verdict for check in worked(job, car).checks("TRV-05")}

    assert order["What stops the rear wheels first?"] is Verdict.FAIL
    assert order["What stops the front wheels first?"] is Verdict.PASS


def test_dampers_that_are_far_too_soft_fail():
    soft = (("curve = [[0.052, 40, 80], [0.13, 95, 190]", "curve = [[0.052, 10, 20], [0.13, 24, 48]"),)

    assert [check.verdict for check in worked().checks("DMP-01")] == [Verdict.PASS, Verdict.PASS]
    assert [check.verdict for check in worked(soft).checks("DMP-01")] == [Verdict.PASS, Verdict.FAIL]


def test_rear_tyres_of_less_grip_give_first():
    told = 'lateral = "example 1987"\ngrip = { value = 0.95, from = "estimate: an example tyre stands for this one" }'
    worse = told.replace("value = 0.95", "value = 0.8")
    check = worked((), ((f"{told}\n\n[rear.panhard]", f"{worse}\n\n[rear.panhard]"),)).checks("GRP-01")[0]
    before = worked().checks("GRP-01")[0]

    assert before.verdict is Verdict.PASS
    assert check.verdict is Verdict.FAIL
    # The front uses 67 % either way; the rear's share of its grip grows by what its grip shrinks.
    front = 0.67
    assert front - check.value == pytest.approx((front - before.value) * 0.95 / 0.8, abs=0.005)
    assert verdicts("GRP-01", (), (('lateral = "example 1987"', ""),)) == {Verdict.UNKNOWN}


def test_lamps_and_valve_are_told_by_what_the_body_does():
    nose = (
        ("[wanted.front]\nlower = 35", "[wanted.front]\nlower = 45"),
        ("[wanted.rear]\nlower = 35", "[wanted.rear]\nlower = 15"),
    )
    level, down = worked(), worked(nose)
    check = down.checks("LMP-01")[0]

    assert check.verdict is Verdict.UNKNOWN
    assert check.value == pytest.approx(0.030 / 2.380, rel=0.1)  # 30 mm of rake on the wheelbase
    assert level.checks("LMP-01")[0].verdict is Verdict.PASS
    assert level.checks("LSV-01")[0].verdict is Verdict.UNKNOWN
    assert level.checks("LSV-01")[0].value == pytest.approx(0.035, abs=0.001)


def test_all_settings_come_out_together_and_a_short_perch_is_told():
    demo = worked()
    short = worked((("highest = 40", "highest = -9"),))

    for code in ("HGT-01", "HGT-02", "XWT-01", "ALN-01", "AXS-01"):
        assert {check.verdict for check in demo.checks(code)} == {Verdict.PASS}, code
    assert Verdict.FAIL in {check.verdict for check in short.checks("HGT-01")}


NO_PERCH = (("[change.rear.perch]\nlowest = -10\nhighest = 40\npitch = 2\n", ""), ('perch = "P-97"\n', ""))
NO_SPLINES = (("splines_arm = 40\nsplines_anchor = 44\nstress", "stress"),)
LOWER_45 = tuple((f"[wanted.{end}]\nlower = 35", f"[wanted.{end}]\nlower = 45") for end in ("front", "rear"))


def test_a_height_that_is_missed_fails_whatever_else_is_not_known():
    """45 mm lower on springs without threaded seats: the rear stands centimetres off, be the teeth known or not."""
    for known in (LOWER_45 + NO_PERCH, LOWER_45 + NO_PERCH + NO_SPLINES):
        rear = worked(known).checks("HGT-01")[1]
        assert rear.verdict is Verdict.FAIL
        assert rear.value > 0.010
        assert "splines" not in rear.sentence


def test_a_height_without_a_threaded_seat_is_held_to_what_the_teeth_are_worth():
    with_seats, without = worked().checks("HGT-01")[0], worked(NO_PERCH).checks("HGT-01")[0]
    assert 0.001 < without.limit < with_seats.limit
    assert without.verdict is not Verdict.UNKNOWN


def test_a_height_that_only_unknown_teeth_could_miss_is_unknown():
    assert {check.verdict for check in worked(NO_SPLINES).checks("HGT-01")} == {Verdict.UNKNOWN}
    assert all("count the splines of the bars" in check.sentence for check in worked(NO_SPLINES).checks("HGT-01"))


RUBBERS_STAY = (
    ("[change.front.bump_stop]\nfree_height = 52\ncurve = [[0, 0], [15, 400], [30, 1500], [40, 4000]]\n", ""),
    ("[change.rear.bump_stop]\nfree_height = 45\ncurve = [[0, 0], [20, 400], [35, 2000]]\n", ""),
)


def test_a_rubber_measured_by_its_gap_goes_with_the_damper_it_sits_on():
    """The demo's dampers close to 330 and 285 in place of 370 and 320 mm: that much more damper travel to the rubber."""
    short = worked(RUBBERS_STAY)
    for axle, by in (("front", 0.040), ("rear", 0.035)):
        travels = {}
        for state in (short.plan.found, short.plan.planned):
            table = {column.name: float(column.values[0]) for column in state.geometry[axle].columns}
            model = next(model for model in state.models if model.name == axle)
            touch = next(stop.limit for stop in model.stops if stop.name == "bump rubber touches")
            travels[id(state)] = float(np.ravel(touch)[0]), table["left_damper_length"]
        (before, _), (after, now) = travels.values()
        assert after == pytest.approx(before - by)
        rubber = next(met for met in short.plan.planned.stops[axle] if met.name == "bump rubber touches")
        assert rubber.travel == pytest.approx(
            now - after, rel={"front": 0.05, "rear": 0.25}[axle]
        )  # the rear damper leans
        assert rubber.travel > 0.010


def test_a_rubber_measured_by_its_gap_is_unknown_on_a_damper_of_unknown_length():
    unknown = worked((*RUBBERS_STAY, ("closed_length = 330\n", "")))
    assert unknown.checks("TRV-01")[0].verdict is Verdict.UNKNOWN


@pytest.mark.parametrize(("front", "rear"), [(40, 0), (0, 40), (20, 20)])
def test_wheel_loads_at_wanted_heights_are_those_of_the_car_that_stands_there(front, rear):
    """With bars of any index and fine seats the car stands where it was wanted, nose down or up: the loads were right."""
    heights = (
        ("[wanted.front]\nlower = 35", f"[wanted.front]\nlower = {front}"),
        ("[wanted.rear]\nlower = 35", f"[wanted.rear]\nlower = {rear}"),
        ("splines_arm = 40\nsplines_anchor = 44\nstress", "stress"),
        ("lowest = -10\nhighest = 40\npitch = 2", "lowest = -60\nhighest = 80\npitch = 0.3"),
    )
    travel = worked(heights).plan.planned.sits.travel
    missed = [
        travel[axle, side] - lower * 1e-3
        for axle, lower in (("front", front), ("rear", rear))
        for side in ("left", "right")
    ]

    assert np.abs(missed).max() < 0.0002  # what a quarter turn of 0.3 mm and the body's lean are worth


@pytest.mark.parametrize(("units", "others"), [("metric", r"\d (in|lbf|psi|lb)\b"), ("inch", r"\d (mm|N|MPa|kg)\b")])
def test_every_check_is_told_in_the_units_asked_for_alone(units, others):
    demo = worked()
    checks = [*run_checks(demo.job, demo.planned, demo.plan), *worked(rod(10, 40)).checks("PAN-02")]
    told = [check.said(units) for check in checks]

    assert [text for text in told if re.search(others, text)] == []
    assert sum(bool(re.search(r"\d (mm|in)\b", text)) for text in told) > 20


def test_a_check_tells_one_value_in_all_units():
    check = worked().checks("TRV-02")[0]

    assert f"{check.value * 1e3:.0f} mm until" in check.said("metric")
    assert f"{check.value / 0.0254:.2f} in until" in check.said("inch")
    assert check.said("metric") == check.sentence
