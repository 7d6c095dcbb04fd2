"""The demo job, proved by nature: what the plan promises holds when the settings are put into the car."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_of
from jounce.checks import Verdict, run_checks
from jounce.conventions.errors import Impossible, InputProblems
from jounce.conventions.units import Kind
from jounce.job.apply import planned_document, wishes_of
from jounce.job.comparison import ComparedRow, compare, near_rubbers
from jounce.job.file import read_job
from jounce.job.index.marks import index_setting
from jounce.job.loads import wanted_loads
from jounce.job.plan import make_plan, value_of
from tests.job.changed_jobs import worked

JOB = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml")))


@cache
def demo():
    job, car = read_job(JOB)
    planned = planned_document(car, job)
    return job, car, planned, make_plan(car, planned, wishes_of(car, job))


def test_heights_come_out_as_wanted_to_what_a_tooth_is_worth():
    """One step of a 40/44 pair is 0.82 degrees: with a 0.3 m lever half of it is 2.1 mm of height; seats turn finer."""
    _, _, _, plan = demo()

    assert plan.planned.sits.travel["front", "left"] == pytest.approx(0.035, abs=0.0025)
    assert plan.planned.sits.travel["rear", "right"] == pytest.approx(0.035, abs=0.0015)


def test_loads_stay_those_of_the_car():
    """The weight stays, and the left share stays: springs cannot change it."""
    _, _, _, plan = demo()
    found, planned = plan.found.sits.load, plan.planned.sits.load

    assert sum(planned.values()) == pytest.approx(sum(found.values()), abs=1e-4)
    left = [load["front", "left"] + load["rear", "left"] for load in (found, planned)]
    assert left[1] == pytest.approx(left[0], rel=2e-3)  # the body leans a little, and its weight with it


def test_camber_toe_and_axle_are_where_they_were_wanted():
    _, _, _, plan = demo()
    front, rear = plan.planned.geometry["front"], plan.planned.geometry["rear"]

    for side in ("left", "right"):
        assert math.degrees(value_of(front, f"{side}_camber")) == pytest.approx(-1.0, abs=1e-6)
        assert value_of(front, f"{side}_toe") == pytest.approx(0.0, abs=1e-6)
    # A quarter turn of the 1.5 mm thread is 0.375 mm, so the axle is centred to half of it.
    assert abs(value_of(rear, "axle_shift")) <= 0.19e-3


def test_centring_length_centres_and_the_old_length_does_not():
    _, _, _, plan = demo()
    model, travel = plan.planned.models[1], plan.planned.sits.travel
    at = {"left": travel["rear", "left"], "right": travel["rear", "right"]}
    for length, shift in (
        (plan.settings["rear"].rod.centring_length, 0.0),
        (plan.settings["rear"].rod.found_length, plan.settings["rear"].rod.shift_if_left),
    ):
        placed = place_axle(model.stand, "rear", AxleStates(**at, settings={"rear.panhard": length}))

        assert model.stand.taken(["rear.shift"]).values(placed.pose)[0, 0] == pytest.approx(shift, abs=1e-12)


def test_a_thicker_bar_needs_new_marks_even_at_the_same_height():
    """It winds up less under the same load: the free angle has to be taken back."""
    job, car = read_job(JOB)
    same = job.model_copy(update={"wanted": job.wanted.model_copy(update={"front": type(job.wanted.front)()})})
    plan = make_plan(car, planned_document(car, same), wishes_of(car, same))
    old = plan.found.axles["front"].wheels["left"].wound_up

    # rate goes with the fourth power of the diameter, so the wind-up under the same torque falls with it
    assert plan.settings["front"].bars["left"].index.wanted == pytest.approx(old * ((21 / 23.5) ** 4 - 1), abs=0.004)


def test_index_is_the_best_of_all_pairs():
    for wanted in (-0.31, 0.05, 0.2):
        setting = index_setting(wanted, 40, 44)
        step = 2 * math.pi
        best = min(abs(step * (a / 40 + b / 44) - wanted) for a in range(-12, 13) for b in range(-12, 13))

        assert abs(setting.reached - wanted) <= best + math.radians(0.05)
        assert setting.reached == pytest.approx(step * (setting.arm_teeth / 40 + setting.anchor_teeth / 44))


def test_wanted_loads_keep_the_sums_and_set_the_cross_weight():
    found = {("front", "left"): 290.0, ("front", "right"): 284.0, ("rear", "left"): 183.0, ("rear", "right"): 180.0}
    loads = wanted_loads(found, 0.5)

    assert loads["front", "left"] + loads["front", "right"] == pytest.approx(574)
    assert loads["front", "left"] + loads["rear", "left"] == pytest.approx(473)
    assert (loads["front", "right"] + loads["rear", "left"]) / 937 == pytest.approx(0.5)


def test_checks_answer_and_a_long_damper_fails_the_droop_check():
    job, car, planned, plan = demo()
    verdicts = {check.code: check.verdict for check in run_checks(job, planned, plan)}

    assert verdicts["BAR-01"] is Verdict.PASS
    assert verdicts["SPR-01"] is Verdict.PASS
    assert verdicts["HOS-01"] is Verdict.UNKNOWN  # nobody measured the rear hose

    rear = job.change.rear
    long_damper = rear.damper.model_copy(update={"open_length": type(rear.damper.open_length)(0.500)})
    longer = job.model_copy(
        update={"change": job.change.model_copy(update={"rear": rear.model_copy(update={"damper": long_damper})})}
    )
    document = planned_document(car, longer)
    again = run_checks(longer, document, make_plan(car, document, wishes_of(car, longer)))
    assert {c.verdict for c in again if c.code == "SPR-01"} == {Verdict.FAIL}


def test_comparison_has_no_empty_difference_where_both_are_known():
    _, car, _, plan = demo()
    rows = compare(car, plan)

    assert len({row.key for row in rows}) == len(rows)
    assert all(row.difference is not None for row in rows if row.found is not None and row.planned is not None)


def test_problems_of_a_job_file_come_with_place_and_suggestion(tmp_path):
    text = JOB.read_text("utf-8").replace("[change.front.torsion_bar]\ndiameter", "[change.front.torsion_bar]\ndiametr")
    (tmp_path / "job.toml").write_text(text.replace('"50 %"', '"70 %"'), "utf-8")
    with pytest.raises(InputProblems) as caught:
        read_job(tmp_path / "job.toml")

    message = str(caught.value)
    assert "diametr" in message
    assert "diameter" in message
    assert "cross_weight" in message
    assert "line" in message


def test_a_height_beyond_the_stops_is_refused_with_what_ends_it():
    job, car = read_job(JOB)
    low = job.wanted.front.model_copy(update={"lower": type(job.wanted.front.lower)(0.140)})
    far = job.model_copy(update={"wanted": job.wanted.model_copy(update={"front": low})})
    with pytest.raises(Impossible, match=r"wanted.front: The front cannot be lowered by 140.0 mm.*bump rubber solid"):
        make_plan(car, planned_document(car, far), wishes_of(car, far))


def test_a_new_offset_without_the_old_one_is_unknown_and_with_it_moves_the_wheel(tmp_path):
    car = JOB.with_name("brisk-14.toml").read_text("utf-8")
    (tmp_path / "job.toml").write_text(
        '[job]\nname = "wheels"\ncar = "car.toml"\n[change.front.wheel]\noffset = 25\n', "utf-8"
    )
    verdicts = []
    known = car.replace("loaded_radius = 265", "loaded_radius = 265\noffset = 35", 1)
    for text in (car, known, known.replace("full_lock_gap", "# ", 1)):
        (tmp_path / "car.toml").write_text(text, "utf-8")
        job, document = read_job(tmp_path / "job.toml")
        planned = planned_document(document, job)
        plan = make_plan(document, planned, wishes_of(document, job))
        check = next(c for c in run_checks(job, planned, plan) if c.code == "WHL-01")
        verdicts.append((check.verdict, check.value))

    assert verdicts[0] == verdicts[2] == (Verdict.UNKNOWN, None)  # no offset; no reading at full lock
    # Ten outward on its own axis: at lock that is forward or back by the sine of the steer.
    assert verdicts[1] == (Verdict.PASS, pytest.approx(0.0115, abs=2e-4))


def test_a_plate_beyond_its_slots_and_an_unknown_damper_are_told():
    job, car, _, _ = demo()
    front = job.change.front
    plate = front.top_plate.model_copy(
        update={"rearward": type(front.top_plate.rearward)(0.012), "reach_rear": type(front.top_plate.rearward)(0.010)}
    )
    bare = front.damper.model_copy(update={"open_length": None})
    moved = front.model_copy(update={"top_plate": plate, "damper": bare})
    other = job.model_copy(update={"change": job.change.model_copy(update={"front": moved})})
    document = planned_document(car, other)
    plan = make_plan(car, document, wishes_of(car, other))
    checks = run_checks(other, document, plan)
    caster = [value_of(state.geometry["front"], "left_caster") for state in (plan.found, plan.planned)]

    assert next(c.verdict for c in checks if c.code == "PLT-02") is Verdict.FAIL
    # Only the bare linkage would end the droop: that says nothing of the car, so it is to be measured.
    assert {c.verdict for c in checks if c.code == "BAR-02"} == {Verdict.UNKNOWN}
    assert caster[1] > caster[0] + math.radians(0.8)  # the top of a 0.6 m strut 12 mm to the rear is 1.1 degrees


REAR_SPRING = "[change.rear.spring]\nrate = { value = 25"
FREE = "free_length = 262\nsolid_length = 110"
PERCH = "lowest = -10\nhighest = 40"
REAR_LOWER = "[wanted.rear]\nlower = 35"


def assert_on_the_road_as_planned(job):
    """The car on its road, which knows nothing of the plan and starts from as found, comes to rest where the plan says."""
    settings = {name: value for state in job.plan.planned.states.values() for name, value in state.settings.items()}
    rest = at_rest(car_of(job.planned, *job.plan.planned.models, settings), steady())

    assert rest.reached.all()
    assert rest.travel[0].ravel() == pytest.approx(list(job.plan.planned.sits.travel.values()), abs=1e-8)


@pytest.mark.sweep
@pytest.mark.parametrize(
    ("rate", "free", "lower"),
    [
        (14, 305, 35),
        (45, 236, 35),
        (50, 232, 35),
        (60, 222, 35),
        (70, 218, 35),
        (90, 216, 35),
        (90, 238, 10),
        (90, 266, -20),
    ],
)
def test_rear_springs_of_any_rate_are_planned_to_the_height_wanted(rate, free, lower):
    """From 60 N/mm on the new coil hangs loose between its seats at the height as found: that is no reason to refuse."""
    job = worked(
        (
            (REAR_SPRING, REAR_SPRING.replace("25", str(rate))),
            (FREE, f"free_length = {free}\nsolid_length = 60"),
            (PERCH, "lowest = -40\nhighest = 40"),
            (REAR_LOWER, REAR_LOWER.replace("35", str(lower))),
        )
    )
    plan = job.plan

    for side in ("left", "right"):
        assert plan.planned.sits.travel["rear", side] == pytest.approx(lower / 1e3, abs=0.0025)
        assert plan.planned.axles["rear"].wheels[side].spring_force > 1000
    assert_on_the_road_as_planned(job)


@pytest.mark.sweep
@pytest.mark.parametrize(("diameter", "lower"), [(18, 35), (28, 35), (28, 60), (28, -30), (32, 50)])
def test_front_bars_of_any_diameter_are_planned_to_the_height_wanted(diameter, lower):
    plan = worked(
        (('"23.5 mm"', f'"{diameter} mm"'), ("[wanted.front]\nlower = 35", f"[wanted.front]\nlower = {lower}"))
    ).plan

    for side in ("left", "right"):
        assert plan.planned.sits.travel["front", side] == pytest.approx(lower / 1e3, abs=0.0025)


def test_a_coil_too_short_for_its_seats_leaves_the_car_on_its_rubbers_and_the_plan_says_so():
    """By hand: the seats' highest place would have to be some 60 mm higher, so the car stands far too low."""
    job = worked(((FREE, "free_length = 160\nsolid_length = 60"),))
    rubber = next(m for m in job.plan.planned.stops["rear"] if m.name == "bump rubber touches")

    assert job.plan.planned.sits.travel["rear", "left"] > 0.070
    assert_on_the_road_as_planned(job)
    assert rubber.travel == 0
    assert {check.verdict for check in job.checks("PER-01")} == {Verdict.FAIL}


def test_a_car_that_nothing_holds_up_is_refused_for_that_reason():
    """A coil shorter than the room between its seats wherever the linkage goes, and no rubber: the messages name them."""
    loose = (FREE, "free_length = 30\nsolid_length = 20")
    bare = ("[change.rear.bump_stop]\nfree_height = 45\ncurve = [[0, 0], [20, 400], [35, 2000]]\n", "")
    car = ("[rear.bump_stop]\ngap = 25\ncurve = [[0, 0], [20, 400], [40, 2000]]\n", "")

    with pytest.raises(Impossible, match=r"springs carry nothing at the .*rear left, rear right.*bump rubber"):
        worked((loose, bare), (car,))


def test_a_damper_too_short_for_the_height_wanted_is_named_though_the_car_is_lowered():
    """By Pythagoras the rear damper is 407 mm long as found; one of 395 mm hangs on its end until the car is low enough."""
    damper = ("closed_length = 285\nopen_length = 435", "closed_length = 245\nopen_length = 395")
    with pytest.raises(
        Impossible, match=r"cannot be lowered by 5.0 mm.*\(damper open\) when it is lowered by 1\d\.\d mm"
    ):
        worked((damper, (REAR_LOWER, REAR_LOWER.replace("35", "5"))))


UNEVEN = (
    ("[wanted.front]\nlower = 35", "[wanted.front]\nleft_height = 317\nright_height = 305"),
    (REAR_LOWER, "[wanted.rear]\nleft_height = 312\nright_height = 300"),
)
FRONT_ONLY = (
    ("[wanted.front]\nlower = 35", "[wanted.front]\nlower = 25\ncaster = 3.5"),
    (REAR_LOWER, "[wanted.rear]\nlower = 0"),
    (PERCH, "lowest = -10\nhighest = 80"),
)


def on_level_ground(plan, axle, side):
    """Camber and toe of a wheel by turning its axis with the body: pitch about y, then roll about the body's own x."""
    model, sits = plan.planned.models[0 if axle == "front" else 1], plan.planned.sits
    placed = place_axle(model.stand, axle, replace(plan.planned.states[axle], attitude=(0.0, 0.0)))
    x, y, z = model.stand.direction(placed.pose, model.linkage.wheels[side].axis)[0]
    y, z = math.cos(sits.roll) * y - math.sin(sits.roll) * z, math.sin(sits.roll) * y + math.cos(sits.roll) * z
    x, z = math.cos(sits.pitch) * x + math.sin(sits.pitch) * z, math.cos(sits.pitch) * z - math.sin(sits.pitch) * x
    out = 1 if side == "left" else -1
    return -out * math.asin(z), out * math.atan2(x, y)


@pytest.mark.parametrize("job", [(), UNEVEN, FRONT_ONLY], ids=["demo", "uneven", "front only"])
def test_planned_angles_are_those_that_a_gauge_on_level_ground_reads(job):
    plan = worked(job).plan

    for axle, geometry in plan.planned.geometry.items():
        for side in ("left", "right"):
            camber, toe = on_level_ground(plan, axle, side)
            assert value_of(geometry, f"{side}_camber") == pytest.approx(camber, abs=1e-9)
            assert value_of(geometry, f"{side}_toe") == pytest.approx(toe, abs=1e-9)


@pytest.mark.parametrize("job", [UNEVEN, FRONT_ONLY], ids=["uneven", "front only"])
def test_a_rigid_beam_keeps_the_angle_between_its_wheels_however_the_body_leans(job):
    """The hubs were measured at -0.75 degrees each: on a car that leans the wheels still stand -1.50 to one another."""
    plan = worked(job).plan
    left, right = (
        math.degrees(value_of(plan.planned.geometry["rear"], f"{side}_camber")) for side in ("left", "right")
    )

    assert left + right == pytest.approx(-1.5, abs=0.03)  # the turning side's hub turns with its arm by a little
    assert abs(left - right) < 0.05  # the tyres are alike, so the beam lies as level as the road
    if job is UNEVEN:
        assert abs(math.degrees(plan.planned.sits.roll)) > 0.4


def test_caster_wanted_is_caster_to_the_road_though_the_body_stands_nose_down():
    """To the body it has to be more by the pitch, by hand the 25 mm over the wheelbase of 2380 mm: 0.60 degrees."""
    job = worked(FRONT_ONLY)
    front, sits = job.plan.planned.geometry["front"], job.plan.planned.sits

    assert math.degrees(sits.pitch) == pytest.approx(math.degrees(math.atan(25 / 2380)), abs=0.06)
    for side in ("left", "right"):
        assert math.degrees(value_of(front, f"{side}_caster")) == pytest.approx(3.5, abs=1e-6)
    assert {check.verdict for check in job.checks("ALN-01")} == {Verdict.PASS}


@pytest.mark.parametrize("job", [(), UNEVEN, FRONT_ONLY], ids=["demo", "uneven", "front only"])
def test_planned_wheel_loads_add_up_to_the_car_and_agree_with_its_cross_weight(job):
    """Two ways to the loads: the whole car at rest on its tyres, and virtual work at each axle over its tilted road."""
    plan = worked(job).plan
    load = {(axle, side): wheel.load for axle, a in plan.planned.axles.items() for side, wheel in a.wheels.items()}
    total = sum(load.values())

    assert total == pytest.approx((290 + 284 + 183 + 180) * 9.80665, abs=1e-3)
    assert load == pytest.approx(plan.planned.sits.load, abs=1e-4)
    assert (load["front", "right"] + load["rear", "left"]) / total == pytest.approx(
        plan.planned.sits.cross_share, abs=1e-7
    )


def test_a_wheel_that_may_touch_its_rubber_within_the_band_is_named():
    far = ComparedRow("front.left.rubber_at", "free travel", Kind.LENGTH, 0.020, 0.012, 0.002, 0.0119)
    near = replace(far, key="rear.right.rubber_at", planned_band=0.0121)
    pressed = replace(far, key="rear.left.rubber_at", found=0.0)

    assert near_rubbers([far]) == []
    (told,) = near_rubbers([far, near])
    assert told.startswith("The rear right wheel as planned touches its bump rubber within the ±")
    (told,) = near_rubbers([pressed])
    assert told.startswith("The rear left wheel as found touches")
