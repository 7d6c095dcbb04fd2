"""Every layout, with every choice, against a general multibody library: places, angles, lengths over the whole travel.

The axles are uneven from side to side, so that nothing can hide behind symmetry. Source of the second method: exudyn
(J. Gerstmayr), static solution of a fully constrained system of rigid bodies in Euler parameters.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.layouts.catalogue import LAYOUTS
from jounce.linkage.tree import Point
from tests.demo_axles import layout_axle, layout_given
from tests.verification.layout_twins import SIDES, Z, twin_of

POSITION = 1e-9
"""Agreement asked for [m]: a millionth of a millimetre."""

ANGLE = np.radians(1e-6)
"""Agreement asked for [rad]."""

TRAVEL = np.array([-0.07, 0.07])
ROLL = np.radians([-4.0, 4.0])
PITMAN = np.radians([-20.0, 20.0])
RACK = np.array([-0.05, 0.05])

_ANGLES = ("camber", "toe", "steer", "caster", "kingpin_inclination", "axle_steer", "torsion_bar", "_angle", "_twist")


@dataclass(frozen=True)
class Case:
    """A layout with words chosen, the kind of spring and what carries the far ends of the roll bar's links."""

    layout: str
    spring: str
    link_on: str
    words: tuple

    def __str__(self):
        return "-".join((self.layout, self.spring.replace(" ", "_"), *(word for _, word in self.words)))

    def given(self):
        """The invented axle."""
        more = {"spring": self.spring, "link_on": self.link_on, "uneven": 3.0}
        return layout_given(LAYOUTS[self.layout], **more, **dict(self.words))


def cases():
    """Every word of every choice that moves the linkage with every other, each with all words that move nothing.

    Those beyond what shows every word once are for the slow suite.
    """
    for layout in LAYOUTS.values():
        moving = {"steering": ("rack", "box", "none") if layout.steered else ("none",)}
        moving |= {c.name: c.words for c in layout.choices if c.name in ("turning_side", "rocker_on")}
        idle = {c.name: c.words for c in layout.choices if c.name not in moving}
        ways = list(product(*moving.values()))
        turns = max(len(layout.springs), len(layout.link_on), *map(len, idle.values()), 1)
        step = min(len(ways), turns)
        for i, turn in product(range(len(ways)), range(turns)):
            hung = tuple((name, words[turn % len(words)]) for name, words in idle.items())
            spring, link_on = (list(found)[turn % len(found)] for found in (layout.springs, layout.link_on))
            case = Case(layout.name, spring, link_on, (*zip(moving, ways[i], strict=True), *hung))
            marks = [] if turn % step == i % step else [pytest.mark.validation_slow]
            yield pytest.param(case, id=str(case), marks=marks)


def motions(given):
    """States to compare, by name."""
    found = {
        "heave": AxleStates(left=TRAVEL, right=TRAVEL),
        "opposite": AxleStates(left=TRAVEL, right=-TRAVEL),
        "one wheel": AxleStates(left=TRAVEL, right=0.01),
        "body roll": AxleStates(roll=ROLL),
        "body roll in bump": AxleStates(roll=ROLL, heave=0.03),
    }
    gear = {"rack": {"rack": RACK}, "box": {"pitman": PITMAN}}.get(given.choices["steering"])
    if gear:
        found["steered"] = AxleStates(**gear)
        found["steered in roll"] = AxleStates(left=-0.05, right=0.04, **gear)
    return found


def disagreements(stand, twin, states):
    """Largest disagreement in places and lengths [m] and in angles [rad], with the name of the worst of each."""
    placed = place_axle(stand, "axle", states)
    assert placed.reached.all()
    gear = np.broadcast_to(np.add(states.rack, states.pitman), len(placed.reached))  # one of them is zero
    settings = states.settings or {}
    readings = {f"axle.{name}": read for name, read in twin.readings.items()}
    ours = stand.taken(list(readings)).values(placed.pose)
    travels = stand.taken([f"axle.{side}.travel" for side in SIDES]).values(placed.pose)
    found = dict(zip(stand.joints, stand.reference_values(stand.joints)[0], strict=True))
    worst = {"place": (0.0, ""), "angle": (0.0, "")}

    def note(kind, error, name):
        worst[kind] = max(worst[kind], (float(error), name))

    for i in range(len(travels)):
        roll = 0.0 if states.roll is None else states.roll[i]
        twin.roll_body(roll)
        wanted = {name.removeprefix("axle."): value - found[name] for name, value in settings.items()}
        wanted |= dict(zip(SIDES, travels[i], strict=True))
        wanted |= {"gear": twin.gear_offset(gear[i])} if "gear" in twin.model.driven else {}
        twin.model.solve(wanted)
        for body, at in twin.points:
            place = stand.position(placed.pose, Point(f"axle.{body}", at))[i]
            note("place", np.linalg.norm(twin.model.position(body, at) - place), f"{body} {at}")
        for (name, read), value in zip(readings.items(), ours[i], strict=True):
            note("angle" if name.endswith(_ANGLES) else "place", abs(read() - value), name)
        if states.roll is not None:
            note("place", abs(_levelness(twin, roll)), "level")
            note("place", abs(travels[i].mean() - states.heave), "heave")
    return worst


def _levelness(twin, roll):
    """How far the left wheel centre has come from where it stood above the right one, square to the road [m]."""
    centres = [twin.at(side, "wheel_centre") for side in SIDES]
    now = [twin.model.position(twin.carriers[side], at) for side, at in zip(SIDES, centres, strict=True)]
    return (now[0] - now[1]) @ np.array([0.0, np.sin(roll), np.cos(roll)]) - (centres[0] - centres[1])[2]


def worst_of(found):
    """The worst of several disagreements in places [m] and in angles [rad], with their names."""
    every = list(found)
    return max(each["place"] for each in every), max(each["angle"] for each in every)


by_layout = pytest.mark.parametrize("layout", list(LAYOUTS.values()), ids=lambda layout: layout.name)


@pytest.mark.sweep(6)
@pytest.mark.parametrize("case", list(cases()))
def test_layout_stands_where_the_multibody_library_puts_it(case):
    given = case.given()
    stand = layout_axle(LAYOUTS[case.layout], given)[1]
    twin = twin_of(case.layout, given)
    place, angle = worst_of(disagreements(stand, twin, states) for states in motions(given).values())

    assert place < (POSITION, "")
    assert angle < (ANGLE, "")


RODS = {
    "strut-torsion-bar": ("left.tie_rod", "left.top_plate_x", "right.top_plate_y"),
    "strut-coil": ("right.tie_rod", "right.top_plate_x", "left.top_plate_y"),
    "strut-lateral-links": ("left.rear_lateral_link", "right.trailing_link", "left.top_plate_y"),
    "double-wishbone": ("left.tie_rod",),
    "five-link": ("left.tie_rod", "left.link_1", "right.link_4"),
    "beam-panhard": ("panhard",),
    "beam-watt": ("watt_rod_left", "watt_rod_right"),
    "beam-four-link": ("panhard", "left.upper_link"),
    "beam-leaf": ("left.leaf_front",),
}
"""Rods and top plates of each layout that has some."""


@pytest.mark.sweep
@pytest.mark.parametrize("name", RODS)
def test_adjusted_rods_and_plates_move_the_axle_as_the_multibody_library_says(name):
    layout = LAYOUTS[name]
    given = layout_given(layout, uneven=3.0)
    stand, twin = layout_axle(layout, given)[1], twin_of(name, given)
    found = dict(zip(stand.joints, stand.reference_values(stand.joints)[0], strict=True))
    settings = {f"axle.{rod}": found[f"axle.{rod}"] + 0.004 for rod in RODS[name]}
    motion = [AxleStates(settings=settings), AxleStates(left=TRAVEL, right=-TRAVEL, settings=settings)]
    place, angle = worst_of(disagreements(stand, twin, states) for states in motion)

    assert place < (POSITION, "")
    assert angle < (ANGLE, "")


@pytest.mark.sweep
@by_layout
def test_arms_with_joints_of_their_own_move_as_hinged_ones(layout):
    given = layout_given(layout, uneven=3.0)
    hinged, jointed = (layout_axle(layout, given, jointed=jointed)[1] for jointed in (False, True))
    names = [name for name in hinged.measures if name not in hinged.joints]
    for states in motions(given).values():
        values = [stand.taken(names).values(place_axle(stand, "axle", states).pose) for stand in (hinged, jointed)]

        assert np.abs(values[1] - values[0]).max() < 1e-11


def moved_pivots():
    """Every pivot that leads a layout, moved on the left by a hundredth of a millimetre."""
    hung = ("spring_upper", "spring_lower", "damper_upper", "damper_lower")
    for layout in LAYOUTS.values():
        for pivot in layout.pivots:
            if not pivot.optional and pivot.name not in hung:
                yield pytest.param(layout, pivot.name, id=f"{layout.name}-{pivot.name}")


@pytest.mark.sweep(6)
@pytest.mark.parametrize(("layout", "pivot"), list(moved_pivots()))
def test_a_pivot_a_hundredth_of_a_millimetre_off_is_seen(layout, pivot):
    given = layout_given(layout, uneven=3.0)
    off = {**given.pivots["left"], pivot: given.pivots["left"][pivot] + np.array([6e-6, 5e-6, 6e-6])}
    stand, twin = layout_axle(layout, given)[1], twin_of(layout.name, given)
    twin_off = twin_of(layout.name, replace(given, pivots={**given.pivots, "left": off}))
    # Both twins are asked for the same points, so that a pivot is not seen merely because it was asked for elsewhere.
    twin_off.points = twin.points
    states = AxleStates(left=TRAVEL, right=-TRAVEL)
    place, angle = worst_of([disagreements(stand, twin_off, states)])

    assert max(place[0] / POSITION, angle[0] / ANGLE) > 10


@pytest.mark.parametrize("name", ["strut-coil", "double-wishbone", "five-link"])
def test_a_relay_rod_that_does_not_lie_level_carries_tie_rods_on_its_line(name):
    """Its spin about its own line is nobody's; tie rods that end on that line do not feel it."""
    layout = LAYOUTS[name]
    given = layout_given(layout, steering="box", uneven=3.0)
    box = {end: at + (0.012 * Z if end == "idler_end" else 0) for end, at in given.axle_pivots["steering_box"].items()}
    rod = box["idler_end"] - box["pitman_end"]
    inner = {"left": box["pitman_end"] + 0.05 * rod, "right": box["pitman_end"] + 0.93 * rod}
    pivots = {side: {**given.pivots[side], "tie_rod_inner": inner[side]} for side in SIDES}
    given = replace(given, pivots=pivots, axle_pivots={"steering_box": box})
    stand, twin = layout_axle(layout, given)[1], twin_of(name, given)
    place, angle = worst_of(disagreements(stand, twin, states) for states in motions(given).values())

    assert place < (POSITION, "")
    assert angle < (ANGLE, "")
