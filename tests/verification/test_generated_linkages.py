"""Every layout by nature, on axles drawn at random: mirror, turned space, work, joint loads, no silent failure."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.layouts.axle import road_body
from jounce.layouts.catalogue import LAYOUTS
from jounce.layouts.naming import SIDES
from jounce.linkage.balance import Element, balance
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.place import place
from jounce.linkage.tree import Body, Freedom, Point
from tests.demo_axles import WATT, layout_axle, layout_given, metres, wheels
from tests.verification.generated_linkages import axles, mirrored, travels, turned

FEW, MANY = 6, 60
"""Axles of each layout drawn in the quick and in the slow suite."""

by_layout = pytest.mark.parametrize("layout", list(LAYOUTS.values()), ids=lambda layout: layout.name)
how_many = pytest.mark.parametrize(
    "examples", [FEW, pytest.param(MANY, marks=pytest.mark.validation_slow)], ids=["few", "many"]
)


def drawn(examples, check, *strategies):
    """Check as many drawn examples as asked for; one that fails is shown as drawn, since shrinking takes minutes."""
    quiet = [HealthCheck.too_slow, HealthCheck.filter_too_much]
    once = [Phase.explicit, Phase.generate]
    settings(max_examples=examples, phases=once, suppress_health_check=quiet)(given(*strategies)(check))()


def gear(axle, share):
    """The steering gear's way for a share of it; what an axle does not have is not asked for."""
    return {"rack": {"rack": 0.05 * share}, "box": {"pitman": 0.3 * share}}.get(axle.choices["steering"], {})


def states(axle, state):
    left, right, share = state
    return AxleStates(left=left, right=right, **gear(axle, share))


KEPT = ("travel", "camber", "toe", "contact_x", "contact_z", "wheel_x", "wheel_z", "caster", "kingpin_inclination")
KEPT += ("damper", "spring", "torsion_bar", "arm_angle", "lower_arm_angle", "upper_arm_angle")
TURNED_OVER = ("steer", "contact_y", "wheel_y")


def behind_the_mirror(stand, placed, turning_side):
    """Every measure that a mirror keeps or turns over, as the axle behind it must have it."""
    names, mirror_names, signs = [], [], []
    for side, other in (SIDES, SIDES[::-1]):
        for things, sign in ((KEPT, 1.0), (TURNED_OVER, -1.0)):
            found = [t for t in things if all(f"axle.{each}.{t}" in stand.measures for each in SIDES)]
            names += [f"axle.{side}.{thing}" for thing in found]
            mirror_names += [f"axle.{other}.{thing}" for thing in found]
            signs += [sign] * len(found)
    # The twist counts the turning arm against the other, or right against left where both or the tube turns.
    twist = 1.0 if turning_side in ("left", "right") else -1.0
    for thing, sign in (("shift", -1.0), ("axle_steer", -1.0), ("inner_bar_twist", twist)):
        if f"axle.{thing}" in stand.measures:
            names, mirror_names, signs = [*names, f"axle.{thing}"], [*mirror_names, f"axle.{thing}"], [*signs, sign]
    return mirror_names, np.array(signs) * stand.taken(names).values(placed.pose)[0]


@pytest.mark.sweep(4)
@by_layout
@how_many
def test_an_axle_behind_the_mirror_moves_as_the_mirror_shows(layout, examples):
    def check(axle, state):
        stand, mirror = (layout_axle(layout, each)[1] for each in (axle, mirrored(axle)))
        left, right, share = state
        one = place_axle(stand, "axle", states(axle, state))
        two = place_axle(mirror, "axle", states(axle, (right, left, -share)))

        assert one.reached[0] == two.reached[0]
        assert one.share == pytest.approx(two.share, abs=1e-3)
        assume(one.reached[0])
        names, expected = behind_the_mirror(stand, one, axle.choices.get("turning_side"))
        assert mirror.taken(names).values(two.pose)[0] == pytest.approx(expected, abs=1e-9)

    drawn(examples, check, axles(layout), travels())


def test_a_rocker_in_the_middle_of_a_tube_that_twists_favours_no_side():
    layout = LAYOUTS["beam-watt"]
    watt = {name: metres(at) for name, at in WATT.items()}
    aside = watt["rocker_pivot"] * [0.0, 1.0, 0.0]
    watt |= {name: watt[name] - aside for name in ("rocker_pivot", "left_rocker_end", "right_rocker_end")}
    axle = layout_given(layout, axle_pivots={"watt": watt}, turning_side="neither", rocker_on="axle")
    axle = replace(axle, wheels=wheels(camber=-0.7, toe=0.1, loaded_radius=0.27), anti_roll_bars={})
    one, two = (layout_axle(layout, each)[1] for each in (axle, mirrored(axle)))
    contact = one.taken(["axle.left.contact_y"]).values(
        place_axle(one, "axle", AxleStates(left=0.05, right=-0.05)).pose
    )
    mirror = two.taken(["axle.right.contact_y"]).values(
        place_axle(two, "axle", AxleStates(left=-0.05, right=0.05)).pose
    )

    assert contact == pytest.approx(-mirror, abs=1e-9)


def in_space(linkage, rotation, shift):
    """The axle on a level road, turned and shifted with everything that it is measured against."""
    road = Body(road_body("axle"), Freedom.FIXED, np.zeros(3))
    bodies = [turned(body, rotation, shift) for body in (road, *linkage.bodies)]
    measures = (
        {name: turned(measure, rotation, shift) for name, measure in each.items()}
        for each in (linkage.joints, linkage.measures)
    )
    return Mechanism(bodies, *measures)


@pytest.mark.sweep(4)
@by_layout
@how_many
def test_nothing_depends_on_where_the_car_stands_in_space(layout, examples):
    vector = st.lists(st.integers(-30, 30), min_size=3, max_size=3).map(lambda parts: 0.1 * np.array(parts))

    def check(axle, state, turn, shift):
        linkage, _ = layout_axle(layout, axle)
        rotation = Rotation.from_rotvec(turn).as_matrix()
        plain, moved = in_space(linkage, np.eye(3), np.zeros(3)), in_space(linkage, rotation, shift)
        left, right, share = state
        drives = {"axle.left.travel": left, "axle.right.travel": right}
        drives |= {f"axle.{name}": value for name, value in gear(axle, share).items()}
        one, two = place(plain, drives), place(moved, drives)

        assert one.reached[0] == two.reached[0]
        assume(one.reached[0])
        names = list(linkage.measures)
        before, after = (m.taken(names).values(p.pose) for m, p in ((plain, one), (moved, two)))
        assert after == pytest.approx(before, abs=1e-9)
        for side in SIDES:
            centre = linkage.wheels[side].centre
            now = plain.position(one.pose, centre)[0]
            there = moved.position(two.pose, Point(centre.body, rotation @ centre.at + shift))[0]
            assert there == pytest.approx(rotation @ now + shift, abs=1e-9)

    drawn(examples, check, axles(layout), travels(), vector, vector)


NODES, WEIGHTS = np.polynomial.legendre.leggauss(24)


@pytest.mark.sweep(4)
@by_layout
@how_many
def test_springs_and_wheels_do_the_same_work(layout, examples):
    """The wheels' force, from exact rates, integrated along a path is the springs' energy between its ends."""

    def check(axle, start, end):
        linkage, stand = layout_axle(layout, axle)
        names = [*linkage.springs.values(), "axle.left.damper", "axle.right.contact_y"]
        names = [name for name in names if name in stand.measures]
        ends = np.array([start[:2], end[:2]])
        way = ends[1] - ends[0]
        path = np.vstack((ends, ends[0] + 0.5 * (NODES[:, None] + 1) * way))
        placed = place_axle(stand, "axle", AxleStates(left=path[:, 0], right=path[:, 1], **gear(axle, start[2])))
        assume(placed.reached.all())
        motions = wheel_motions(placed, "axle")
        line = stand.taken(names).linearised(placed.pose)
        stretch = line.value - stand.reference_values(names) + 0.05
        power = np.einsum("nm,nmw,w->nm", stretch, motions.first(line), way)
        work = 0.5 * WEIGHTS @ power[2:]
        energy = 0.5 * (stretch[1] ** 2 - stretch[0] ** 2)

        assert work == pytest.approx(energy, abs=1e-10)

    drawn(examples, check, axles(layout), travels(60), travels(60))


@dataclass(frozen=True)
class Spring:
    """A linear law with a force at rest."""

    rate: float
    preload: float

    def energy(self, displacement):
        return 0.5 * self.rate * displacement**2 + self.preload * displacement

    def force(self, displacement):
        return self.rate * displacement + self.preload

    def stiffness(self, displacement):
        return np.full_like(displacement, self.rate)


STEP = 2e-5  # change of a joint's value for the difference of energies [m]


@pytest.mark.sweep(4)
@by_layout
@how_many
def test_the_load_of_a_joint_is_what_the_energy_falls_by_as_it_gives(layout, examples):
    """Of every rod, ball and line: energy at rest with the joint a little longer and a little shorter."""

    def check(axle, joint):
        linkage, stand = layout_axle(layout, axle, jointed=True)
        elements = {}
        for side, push in (("left", 2000.0), ("right", 2600.0)):
            travel, across = (f"axle.{side}.{thing}" for thing in ("travel", "contact_y"))
            along = f"axle.{side}.contact_x"
            found = stand.reference_values([travel, across, along])[0]
            # A wheel on soft tyres, pushed up, sideways and rearwards; the rates make the energy a bowl.
            forces = {travel: -push, across: 0.4 * push, along: 0.2 * push}
            for (name, force), zero in zip(forces.items(), found, strict=True):
                elements[name] = Element(name, Spring(2e5, force), zero=zero)
        rows = [row for site in linkage.sites.values() for row in site.rows]
        row = rows[joint % len(rows)]
        zero = stand.reference_values([row])[0, 0]
        rest = balance(stand, elements)
        assume(rest.reached.all())
        energies = []
        for steps in (-2, -1, 1, 2):
            near = balance(stand, elements, {row: zero + steps * STEP}, start=rest.pose)
            assert near.reached.all()
            values = stand.taken(list(elements)).values(near.pose)[0]
            energies.append(
                sum(e.law.energy(e.displacement(v)) for e, v in zip(elements.values(), values, strict=True))
            )
        slope = (8 * (energies[2] - energies[1]) - (energies[3] - energies[0])) / (12 * STEP)
        assert rest.joint_loads[row][0] == pytest.approx(-slope, rel=1e-5, abs=0.02)

    drawn(examples, check, axles(layout), st.integers(0, 1000))


ALWAYS = ("travel", "camber", "toe", "steer", "camber_to_body", "damper_length", "spring_length", "track", "axle_shift")
ALWAYS += tuple(f"{point}_{letter}" for point in ("contact", "wheel_centre") for letter in "xyz")
"""Columns that exist wherever the axle can stand; a centre or a ratio may lie nowhere."""


@pytest.mark.sweep(4)
@by_layout
@how_many
def test_any_travel_is_reached_exactly_or_refused_plainly(layout, examples):
    """However far: no exception, no missing number; a state that is not reached says how far it came."""
    far = travels(500)

    def check(axle, state):
        left, right, share = state
        linkage, stand = layout_axle(layout, axle)
        wanted = {"axle.left.travel": left, "axle.right.travel": right}
        placed = place_axle(stand, "axle", states(axle, (left, right, 4 * share)))
        shares = placed.share[0]
        found = stand.taken(list(wanted)).values(placed.pose)[0]
        kept = [joint for joint in stand.joints if not joint.endswith((".rack", ".pitman"))]
        gap = stand.taken(kept).values(placed.pose) - stand.reference_values(kept)

        assert (shares == 1.0) == placed.reached[0]
        assert 0.0 <= shares <= 1.0
        assert found == pytest.approx(shares * np.array(list(wanted.values())), abs=1e-12)
        assert np.abs(gap).max() < 1e-12
        assert np.isfinite(stand.taken(list(stand.measures)).values(placed.pose)).all()
        columns = column_map(states_table(stand, linkage, states(axle, (left, right, 4 * share)), (1.0, 1.0)))
        for name, values in columns.items():
            if not placed.reached[0]:
                assert np.isnan(values).all(), name
            elif name.removeprefix("left_").removeprefix("right_") in ALWAYS:
                assert np.isfinite(values).all(), name

    drawn(examples, check, axles(layout), far)
