"""Links that set caster and camber of five-link axles: by a second method, on their threads, at their ends, in words."""

from __future__ import annotations

import math
import re
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import root
from scipy.spatial.transform import Rotation

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.conventions.errors import Impossible, InputProblems
from jounce.conventions.units import DEG, MM
from jounce.job.bay_table import bay_rows
from jounce.job.file import parse_job, read_job
from jounce.job.plan import value_of
from jounce.job.round_words import round_steps
from jounce.job.setting_bands import settings_needed
from jounce.job.wording import settings_of
from jounce.questions.effects import effects_of

JOB = Path(str(files("jounce.demo").joinpath("comfrey-20-lower.toml")))
CASTER = '[change.rear.caster_link]\nlink = "link_1"\n'
CAMBER = '[change.rear.camber_link]\nlink = "link_3"\n'
THREAD = "longer = 12\nshorter = 12\nthread_pitch = 1.5\n"
SHORT = "longer = 2\nshorter = 2\nthread_pitch = 1.5\n"
BOTH = "caster = -3\ncamber = -1.5\n"


@cache
def planned(wanted: str = BOTH, links: str = CASTER + CAMBER) -> Case:
    text = JOB.read_text("utf-8").replace("toe = 0.1\n", f"toe = 0.1\n{wanted}")
    return Case(read_job(JOB)[1], parse_job(f"{text}\n{links}", ""))


def angle(case: Case, side: str, name: str) -> float:
    return value_of(case.plan.planned.geometry["rear"], f"{side}_{name}")


def caster_of_rods(case: Case, side: str) -> float:
    """Caster as a knuckle on five rods and its spring gives it: six lengths, solved without the product's mechanics.

    The axis is that of the turn between two places, the tie rod a little longer and a little shorter, the spring held.
    """
    model, states = case.plan.planned.models[1], case.plan.planned.states["rear"]
    pivots = getattr(case.planned.document.rear, side).pivots
    names = [*(f"link_{n}" for n in range(1, 5)), "tie_rod"]
    at = lambda name: np.array([(p := getattr(pivots, name)).x, p.y, p.z])  # noqa: E731
    inner = np.array([*(at(f"{name}_inner") for name in names), at("spring_upper")])
    outer = np.array([*(at(f"{name}_outer") for name in names), at("spring_lower")])
    settings = states.settings or {}
    joints = [f"rear.{side}.{name}" for name in names]
    found = np.array([settings.get(joint, model.stand.reference_values([joint])[0, 0]) for joint in joints])
    centre = at("wheel_centre")

    def moved(place, points):
        return Rotation.from_rotvec(place[3:]).apply(points - centre) + centre + place[:3]

    travel = getattr(states, side)
    lengths = lambda place: np.linalg.norm(moved(place, outer) - inner, axis=1)  # noqa: E731
    start = root(lambda p: [*(lengths(p)[:5] - found), p[2] - travel], np.array([0, 0, travel, 0, 0, 0]), tol=1e-13).x
    spring = lengths(start)[5]
    way = 1e-5

    def turned(more):
        aim = np.array([*found[:4], found[4] + more, spring])
        return Rotation.from_rotvec(root(lambda p: lengths(p) - aim, start, tol=1e-13).x[3:])

    axis = (turned(way) * turned(-way).inv()).as_rotvec()
    axis = axis if axis[2] > 0 else -axis
    # A body that pitches nose down leans its steering axes forward by as much.
    return math.atan2(-axis[0], axis[2]) - states.attitude[0]


@pytest.mark.parametrize("side", ["left", "right"])
def test_the_caster_is_that_of_a_knuckle_on_rods_of_these_lengths(side):
    case = planned()
    assert angle(case, side, "caster") == pytest.approx(-3 * DEG, abs=1e-9)
    assert angle(case, side, "camber") == pytest.approx(-1.5 * DEG, abs=1e-9)
    assert angle(case, side, "toe") == pytest.approx(0.1 * DEG, abs=1e-9)
    # The travel here counts square to the body, there square to the road, which is tilted by 0.001 degrees.
    assert caster_of_rods(case, side) == pytest.approx(-3 * DEG, abs=1e-4 * DEG)


def test_a_link_alone_sets_its_angle_and_the_other_comes_as_it_comes():
    case, as_it_was = planned("caster = -3\n", CASTER), planned("", "")
    for side in ("left", "right"):
        link = case.plan.settings["rear"].wheels[side].links
        assert list(link) == ["caster"]
        assert link["caster"].longer == link["caster"].needed
        # 0.3 degrees for 1 mm, as the links lie 0.185 m over one another: the knuckle turns by 1 mm over that.
        change = angle(case, side, "caster") - angle(as_it_was, side, "caster")
        assert change == pytest.approx(-link["caster"].longer / 0.185, rel=0.15)
        assert angle(case, side, "camber") == pytest.approx(angle(as_it_was, side, "camber"), abs=0.1 * DEG)


def test_a_thread_is_set_in_quarter_turns_and_toe_and_camber_are_met_all_the_same():
    case, exact = planned(links=CASTER + THREAD + CAMBER), planned()
    for side in ("left", "right"):
        link = case.plan.settings["rear"].wheels[side].links["caster"]
        assert link.turns * 4 == round(link.turns * 4)
        assert link.longer == pytest.approx(link.turns * 1.5 * MM, abs=1e-12)
        assert abs(link.longer - exact.plan.settings["rear"].wheels[side].links["caster"].longer) < 0.2 * MM
        assert angle(case, side, "caster") == pytest.approx(-3 * DEG, abs=0.06 * DEG)
        assert angle(case, side, "camber") == pytest.approx(-1.5 * DEG, abs=1e-9)
        assert angle(case, side, "toe") == pytest.approx(0.1 * DEG, abs=1e-9)
    assert {check.verdict for check in case.checks if check.code in {"LNK-01", "ALN-01"}} <= {
        Verdict.PASS,
        Verdict.UNKNOWN,
    }


def test_where_the_thread_ends_what_would_be_needed_is_told():
    case, exact = planned(links=CASTER + SHORT + CAMBER), planned()
    lacks = {lack.side: lack for lack in case.plan.short}
    for side in ("left", "right"):
        link = case.plan.settings["rear"].wheels[side].links["caster"]
        assert link.longer == pytest.approx(-1.875 * MM)  # five quarter turns of 1.5 mm are the most that 2 mm leave
        assert link.needed == pytest.approx(
            exact.plan.settings["rear"].wheels[side].links["caster"].needed, abs=0.05 * MM
        )
        assert (lacks[side].wish, lacks[side].needed) == ("caster", link.needed)
        assert angle(case, side, "camber") == pytest.approx(-1.5 * DEG, abs=1e-9)
    assert "the link 1 ends at 1.9 mm shorter than found" in " ".join(settings_of(case.plan, "metric"))
    found = [check.verdict for check in case.checks if check.code == "LNK-01" and "caster" in check.question]
    assert found == [Verdict.FAIL] * 2


def test_bands_rest_on_the_same_lengths():
    case = planned()
    needed = settings_needed(case.planned.varies, case.plan.planned.models[1])
    for side in ("left", "right"):
        for aim, link in case.plan.settings["rear"].wheels[side].links.items():
            assert float(needed[f"rear.{side}.{aim}_link"][0].real) == pytest.approx(link.longer, abs=0.05 * MM)
    bands = case.planned.bands
    assert 0.2 * MM < bands["rear.left.caster_link"].plus_minus < 3 * MM
    assert "rear.left.plate_inward" not in bands


def test_bay_rounds_and_effects_tell_them():
    case, other = planned(links=CASTER + THREAD + CAMBER), planned(links=CASTER + SHORT + CAMBER)
    rows = {row.what: row for row in bay_rows(case.car, case.plan, "metric") if row.axle == "rear"}
    assert "turns" in rows["link 1, for caster"].cells["left"].words
    assert list(rows).index("link 1, for caster") < list(rows).index("tie rod")
    steps = [step for step in round_steps(other.plan, case.plan, "metric") if "link 1" in step.what]
    assert [step.what for step in steps] == ["link 1, for caster"] * 2
    told = effects_of(case.planned.document, case.planned.car, "x", case.change_list.change)
    effect = next(one for one in told.effects if one.adjuster.group == "rear link 1: turn longer")
    changes = dict(zip((one.name for one in told.stands), effect.changes, strict=True))
    assert changes[f"rear {effect.adjuster.name} caster"] == pytest.approx(-1.5 * MM / 0.185, rel=0.15)


@pytest.mark.parametrize(
    ("wanted", "links", "words"),
    [
        ("caster = -3\n", "", "No link of this car's rear axle is told whose length sets its caster"),
        ("", CASTER.replace("link_1", "link_9"), "has no such link"),
        ("", CASTER + CAMBER.replace("link_3", "link_1"), "One link of the rear axle"),
        ("", CASTER.replace("rear", "front"), "has no caster link to exchange"),
    ],
)
def test_what_an_axle_has_not_is_refused(wanted, links, words):
    with pytest.raises(InputProblems, match=words):
        _ = planned(wanted, links).plan


def test_a_link_that_does_not_move_the_caster_is_told():
    with pytest.raises(Impossible, match=r"hardly moves the caster|gives the caster"):
        _ = planned("caster = 10\n", CASTER.replace("link_1", "link_4")).plan


def camber_by_rods(car, link: str, longer: float) -> float:
    """Camber of the left wheel with one rod longer, its centre held in height: five lengths, solved without the product."""
    pivots = car.rear.left.pivots
    names = [*(f"link_{n}" for n in range(1, 5)), "tie_rod"]
    at = lambda name: np.array([(p := getattr(pivots, name)).x, p.y, p.z])  # noqa: E731
    inner, outer = (np.array([at(f"{name}_{end}") for name in names]) for end in ("inner", "outer"))
    centre = at("wheel_centre")
    lengths = np.linalg.norm(outer - inner, axis=1) + longer * (np.array(names) == link)

    def missed(place):
        moved = Rotation.from_rotvec(place[3:]).apply(outer - centre) + centre + place[:3]
        return [*(np.linalg.norm(moved - inner, axis=1) - lengths), place[2]]

    camber, toe = (-1.0 * DEG, 0.1 * DEG)  # as the car's file says
    axis = np.array([math.sin(toe) * math.cos(camber), math.cos(toe) * math.cos(camber), -math.sin(camber)])
    turned = Rotation.from_rotvec(root(missed, np.zeros(6), tol=1e-13).x[3:]).apply(axis)
    return -math.asin(turned[2])


def test_who_names_no_link_is_told_what_each_moves():
    text = files("jounce.demo").joinpath("comfrey-20.toml").read_text("utf-8")
    text = re.sub(r"(?m)^(camber|caster)_link = .*\n", "", text).replace("[-2190, 590, 272]", "[-2205, 583, 268]")
    car = parse_car(text, "")
    job = JOB.read_text("utf-8").replace("toe = 0.1\n", "toe = 0.1\ncamber = -1.5\n")
    with pytest.raises(InputProblems) as refused:
        _ = Case(car, parse_job(job, "")).plan
    told = re.findall(r"1 mm more of (link_\d) moves camber by ([-+.\d]+) deg, caster by", str(refused.value))

    assert told[0][0] == "link_3"
    assert {link for link, _ in told} == {f"link_{n}" for n in range(1, 5)}
    for link, slope in told:
        more, less = (camber_by_rods(car, link, way) for way in (MM, -MM))
        assert float(slope) == pytest.approx((more - less) / 2 / DEG, abs=0.0055), link  # told to a hundredth
