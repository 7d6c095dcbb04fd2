"""Bent bars: a general space-frame library and closed forms beside them, and what must hold of any bar by its nature."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from Pynite import FEModel3D

from jounce.elements.bars.anti_roll_bar import StraightArmBar
from jounce.elements.bars.bent_bar import BentBar
from jounce.elements.bars.bent_bar_stress import bar_stress
from jounce.elements.bars.centre_line import CentreLine, rounded
from jounce.elements.bars.round_section import RoundSection
from jounce.numerics.curves import Arc
from jounce.numerics.rotations import rotation_matrix
from jounce.numerics.space_frame import BeamSection, member_flexibility, section_loads

MM = 1e-3
UP = np.array([0.0, 0.0, 1.0])


class Slender(RoundSection):
    """A section that does not give to transverse shear, as the library takes it."""

    @property
    def resists(self) -> BeamSection:
        return replace(RoundSection.resists.fget(self), shear=np.inf)


def both_halves(half):
    return [*half, *((x, -y, z) for x, y, z in reversed(half))]


# points [mm], bend radius, bush to middle, diameter, bore
SHAPES = {
    "straight arms, sharp": (both_halves([(250, 540, 0), (0, 460, 0)]), 0, 400, 20, 0),
    "straight arms": (both_halves([(250, 540, 0), (0, 460, 0)]), 50, 400, 20, 0),
    "dropped middle": (both_halves([(260, 560, 30), (0, 500, 0), (0, 250, 0), (0, 200, -70)]), 40, 400, 22, 0),
    "cranked arms, tube": (
        both_halves([(300, 600, 60), (180, 560, 20), (90, 520, 45), (0, 480, 0)]), 45, 380, 25, 19
    ),
    "snake": (
        both_halves(
            [
                *((240, 580, 0), (170, 520, 40), (110, 560, -40), (50, 520, 30), (0, 470, 0), (0, 300, 0)),
                *((60, 250, 0), (60, 190, 0), (0, 140, 0), (0, 80, 0), (-50, 40, 0)),
            ]
        ),
        28, 400, 20, 0,
    ),
    "halves that differ": (
        [(250, 540, 0), (120, 500, 50), (0, 450, 0), (0, -430, 0), (90, -480, -30), (230, -560, 20)], 35, 390, 21, 0
    ),
    "folded arm": (
        both_halves([(200, 560, 0), (60, 540, 0), (60, 480, 0), (140, 470, 0), (140, 430, 0), (0, 420, 0)]),
        18, 330, 16, 0,
    ),
}  # fmt: skip
BENT = [name for name in SHAPES if SHAPES[name][1]]


def bar_of(name, section=Slender, **bushes):
    points, radius, bush, outer, bore = SHAPES[name]
    line = rounded([np.array(point) * MM for point in points], [radius * MM] * (len(points) - 2))
    left, right = np.array([0, bush, 0]) * MM, np.array([0, -bush, 0]) * MM
    return BentBar(line, section(outer * MM, bore * MM), left, right, **bushes)


def in_chords(bar, chords):
    return replace(bar, line=bar.line.in_chords(chords))


class LibraryFrame:
    """The same bar in the library: chords for arcs, bushes that hold x and z, the turn held at the left bush."""

    def __init__(self, bar, left, right, chords):
        line, (one, other) = bar.line.in_chords(chords), (0, 0)
        line, (one, other) = line.cut([line.nearest(bar.left_bush), line.nearest(bar.right_bush)])
        nodes = [*(piece.start for piece in line.pieces), line.end]
        self.section, self.model, self.last = bar.section, FEModel3D(), f"n{len(nodes) - 1}"
        young, shear, area, second = (
            float(getattr(bar.section, key)) for key in ("youngs_modulus", "shear_modulus", "area", "second_moment")
        )
        self.model.add_material("steel", young, shear, 0.3, 7850)
        self.model.add_section("round", area, second, second, 2 * second)
        for number, node in enumerate(nodes):
            self.model.add_node(f"n{number}", *map(float, node))
        for number in range(len(nodes) - 1):
            self.model.add_member(f"m{number}", f"n{number}", f"n{number + 1}", "steel", "round")
        self.model.def_support(f"n{one}", support_DX=True, support_DY=True, support_DZ=True, support_RY=True)
        self.model.def_support(f"n{other}", support_DX=True, support_DZ=True)
        for node, force in (("n0", left), (self.last, right)):
            for axis, value in zip(("FX", "FY", "FZ"), force, strict=True):
                self.model.add_node_load(node, axis, float(value))
        self.model.analyze_linear()

    def moved(self):
        return [
            np.array([getattr(self.model.nodes[node], axis)["Combo 1"] for axis in ("DX", "DY", "DZ")])
            for node in ("n0", self.last)
        ]

    def peak_stress(self):
        outer, second, area = (float(v) for v in (self.section.diameter, self.section.second_moment, self.section.area))
        found = []
        for member in self.model.members.values():
            load = member.f("Combo 1").ravel().reshape(2, 6)
            bending = np.hypot(load[:, 4], load[:, 5]) * outer / 2 / second + np.abs(load[:, 0]) / area
            torsion = np.abs(load[:, 3]) * outer / 4 / second
            found.append(np.sqrt(bending**2 + 3 * torsion**2).max())
        return max(found)


@pytest.mark.parametrize("name", SHAPES)
def test_rate_and_peak_stress_against_a_general_frame_library(name):
    """Sixteen chords for each arc leave the library's own mesh error, five parts in a hundred thousand at most."""
    bar = bar_of(name)
    left, right = bar.end_forces(UP, UP)
    library = LibraryFrame(bar, left, right, 16)
    one, two = library.moved()

    assert bar.twist_compliance(UP, UP) == pytest.approx(left @ one + right @ two, rel=6e-5)
    assert bar_stress(bar, left, right).von_mises.max() == pytest.approx(library.peak_stress(), rel=1e-6)


@pytest.mark.parametrize("name", SHAPES)
def test_ends_against_a_general_frame_library_in_the_same_chords(name):
    """Loads in any direction, in balance along and about the bushes; both in chords: only rounding is left."""
    bar = in_chords(bar_of(name), 8)
    rng = np.random.default_rng(7)
    left, right = rng.normal(size=(2, 3)) * 300
    right[1] = -left[1]
    ends = [bar.line.start, bar.line.end]
    moment = sum(
        np.cross(end - bar.left_bush, force) @ bar.axis for end, force in zip(ends, (left, right), strict=True)
    )
    lever = np.cross(bar.axis, ends[1] - bar.left_bush)
    right = right - moment * lever / (lever @ lever)
    library = LibraryFrame(bar_of(name), left, right, 8).moved()
    ours = bar.compliance() @ np.concatenate((left, right))
    turn = np.cross(bar.axis, ends[0] - bar.left_bush), np.cross(bar.axis, ends[1] - bar.left_bush)
    # Both hold the turn and the slide of the whole bar at other places: that much may lie between them.
    free = np.stack([np.concatenate(turn), np.concatenate((bar.axis, bar.axis))], axis=1)
    apart = ours - np.concatenate(library)
    left_over = apart - free @ np.linalg.lstsq(free, apart, rcond=None)[0]

    assert np.abs(left_over).max() < 1e-6 * np.abs(ours).max()


@pytest.mark.parametrize("name", BENT)
def test_chords_come_to_the_curved_members_with_the_square_of_their_length(name):
    bar = bar_of(name)
    counts = np.array([2, 4, 8, 16, 32])
    errors = [float(in_chords(bar, int(n)).twist_rate(UP, UP) / bar.twist_rate(UP, UP) - 1) for n in counts]
    order = -np.diff(np.log(np.abs(errors))) / np.log(2)

    assert order == pytest.approx([2.0] * 4, abs=0.05)


def test_quarter_circle_against_its_closed_forms():
    """Castigliano: load square to the plane ``P R³ (pi/4 / EI + (3 pi/4 - 2) / GJ)``, load in it ``P R³ pi/4 / EI``."""
    radius, section = 0.3, Slender(0.02).resists
    arc = Arc(np.array([radius, 0, 0]), np.zeros(3), UP, np.array(np.pi / 2))
    give = member_flexibility([arc], replace(section, axial=np.inf))

    out = np.pi / 4 / section.bending + (3 * np.pi / 4 - 2) / section.torsion
    assert give[2, 2] == pytest.approx(radius**3 * out, rel=1e-12)
    assert give[0, 0] == pytest.approx(radius**3 * (3 * np.pi / 4 - 2) / section.bending, rel=1e-12)
    assert give[1, 1] == pytest.approx(radius**3 * np.pi / 4 / section.bending, rel=1e-12)


def test_cantilever_with_shear_against_its_closed_form():
    """Timoshenko: ``L³ / 3EI + L / GA_s`` across, ``L / EA`` along, and nothing between them."""
    section = RoundSection(0.03, 0.01).resists
    line = rounded([np.zeros(3), np.array([0.0, 0.2, 0.0])], [])
    give = member_flexibility(line.pieces, section)

    assert give[0, 0] == pytest.approx(0.2**3 / (3 * section.bending) + 0.2 / section.shear, rel=1e-13)
    assert give[1, 1] == pytest.approx(0.2 / section.axial, rel=1e-13)
    assert give[1, 0] == pytest.approx(0, abs=1e-20)
    assert give[4, 4] == pytest.approx(0.2 / section.torsion, rel=1e-13)


@settings(max_examples=40, deadline=None)
@given(
    st.floats(0.012, 0.032),
    st.floats(0.1, 0.4),
    st.floats(-0.03, 0.15),
    st.floats(0.041, 0.15),
    st.floats(0.2, 0.6),
    st.floats(0.0, 0.8),
)
def test_sharp_straight_arms_without_shear_are_the_formula(diameter, lever, across, to_bush, to_middle, bore):
    straight = StraightArmBar(diameter, lever, across, to_bush, to_middle, bore * diameter)
    bend = to_bush + to_middle
    points = [np.array(p) for p in [(lever, bend + across, 0), (0, bend, 0), (0, -bend, 0), (lever, -bend - across, 0)]]
    bushes = np.array([0.0, to_middle, 0]), np.array([0.0, -to_middle, 0])
    bar = BentBar(rounded(points, [0.0, 0.0]), Slender(diameter, bore * diameter), *bushes)

    assert bar.end_rate(UP, UP) == pytest.approx(straight.end_rate, rel=1e-8)
    assert bar.twist_rate(UP, UP) == pytest.approx(straight.twist_rate, rel=1e-8)
    force = 700.0
    stress = bar_stress(bar, force * UP, -force * UP)
    assert stress.von_mises.max() == pytest.approx(straight.peak_von_mises_stress(force), rel=1e-8)
    assert stress.torsion.max() == pytest.approx(straight.shaft_shear_stress(force), rel=1e-8)


@pytest.mark.parametrize("name", SHAPES)
def test_ends_move_each_other_alike(name):
    """Maxwell and Betti: what a force at one end moves at the other does not depend on which is which."""
    give = bar_of(name, RoundSection, bush_rate=4e6).compliance()

    assert np.abs(give - give.T).max() < 1e-9 * np.abs(give).max()
    assert np.linalg.eigvalsh((give + give.T) / 2).min() > -1e-9 * np.abs(give).max()


@pytest.mark.parametrize("name", [name for name in SHAPES if name != "halves that differ"])
def test_heave_is_free_and_one_end_alone_is_half_of_both_against_each_other(name):
    bar = bar_of(name, RoundSection, bush_rate=4e6)
    rate = bar.stiffness_of_ends(UP, UP)
    one, two = bar.levers(UP, UP)

    assert np.abs(rate @ np.ones(2)).max() < 1e-9 * rate[0, 0]
    assert rate[0, 0] == pytest.approx(bar.twist_rate(UP, UP) / one**2, rel=1e-12)
    assert bar.end_rate(UP, UP) == pytest.approx(2 * rate[0, 0], rel=1e-9)
    assert one == pytest.approx(two, rel=1e-12)
    against = (bar.compliance()[np.ix_([2, 5], [2, 5])] @ [1.0, -1.0]) * bar.end_rate(UP, UP)
    assert against == pytest.approx([1.0, -1.0], rel=1e-6)


@pytest.mark.parametrize("name", ["snake", "halves that differ"])
def test_a_bar_turned_and_moved_in_space_is_the_same_bar(name):
    bar = bar_of(name, RoundSection, bush_rate=4e6, bush_axial_rate=1e6)
    turn, shift = rotation_matrix(np.array([0.4, -0.7, 1.1])), np.array([0.3, -0.2, 0.5])
    points, radius, *_ = SHAPES[name]
    line = rounded([turn @ (np.array(p) * MM) + shift for p in points], [radius * MM] * (len(points) - 2))
    moved = replace(bar, line=line, left_bush=turn @ bar.left_bush + shift, right_bush=turn @ bar.right_bush + shift)
    six = np.kron(np.eye(2), turn)

    assert moved.twist_rate(turn @ UP, turn @ UP) == pytest.approx(bar.twist_rate(UP, UP), rel=1e-8)
    assert np.abs(six.T @ moved.compliance() @ six - bar.compliance()).max() < 1e-8 * np.abs(bar.compliance()).max()


def test_soft_bushes_give_by_the_lever_of_the_shaft():
    """Each bush carries the end force times ``(half width) / (bush to middle)``: so much squared over its rate."""
    firm, soft = (bar_of("straight arms, sharp", bush_rate=rate) for rate in (np.inf, 2e6))
    half, bush = 0.540, 0.400

    more = 1 / soft.end_rate(UP, UP) - 1 / firm.end_rate(UP, UP)
    assert more == pytest.approx((half / bush) ** 2 / 2e6, rel=1e-8)


@pytest.mark.parametrize("name", SHAPES)
def test_supports_and_sections_hold_the_loads(name):
    """Reactions and end loads are in balance; the section loads grow out of the end load, piece by piece."""
    bar = bar_of(name, RoundSection)
    left, right = (np.array(force) for force in ((100.0, 40.0, 500.0), (-60.0, 10.0, -420.0)))
    frame = bar.frame()
    state = bar.loaded(left[None], right[None])
    held = sum(
        reaction * np.array(weights)
        for support, reaction in zip(frame.supports, state.reaction[0], strict=True)
        for weights in support.weights.values()
    )
    assert held[:3] + left + right == pytest.approx(np.zeros(3), abs=1e-6)
    force, moment = section_loads(frame.members[0], state, 0, np.linspace(0, 1, 5))
    here = frame.members[0].line[0].points(np.linspace(0, 1, 5))
    assert force[0] == pytest.approx(np.tile(-left, (5, 1)), abs=1e-6)
    assert moment[0] == pytest.approx(np.cross(here - bar.line.start, left), abs=1e-6)


def test_bend_factor_is_the_integral_over_the_section():
    """Winkler's neutral line from the section cut in strips, solid and hollow."""
    for bore, radius in ((0.0, 0.03), (0.012, 0.045)):
        section = RoundSection(0.02, bore)
        angle = (np.arange(200_000) + 0.5) * np.pi / 200_000
        area, over = 0.0, 0.0
        for edge, sign in ((0.01, 1), (bore / 2, -1)):
            strip = sign * 2 * (edge * np.sin(angle)) ** 2 * np.pi / 200_000
            area, over = area + np.sum(strip), over + np.sum(strip / (radius - edge * np.cos(angle)))
        neutral = area / over
        inside = radius - 0.01
        curved = (neutral - inside) / (area * (radius - neutral) * inside)

        assert section.bend_factor(radius) == pytest.approx(curved * float(section.second_moment) / 0.01, rel=1e-6)
        assert section.bend_factor(50.0) == pytest.approx(1, abs=1e-3)


def test_stress_inside_a_bend_is_the_bend_factor():
    """A quarter bend pulled open in its plane: bending alone, at the inside, and the pull."""
    section, radius = RoundSection(0.02), 0.05
    points = [np.array(p) for p in [(0.3, 0.4, 0), (0, 0.4, 0), (0, -0.4, 0), (0.3, -0.4, 0)]]
    bar = BentBar(rounded(points, [radius, radius]), section, np.array([0, 0.3, 0.0]), np.array([0, -0.3, 0.0]))
    pull = 800.0
    stress = bar_stress(bar, np.array([0, pull, 0]), np.array([0, -pull, 0]))
    moment = pull * (0.3 - radius)  # where the arm ends and the bend begins
    place = int(np.argmin(np.abs(stress.distance - (0.3 - radius))))
    straight = moment * 0.01 / float(section.second_moment)

    assert stress.bending[place] == pytest.approx(straight, rel=1e-9)
    inside = [value for value, at in zip(stress.inside_bend, stress.distance, strict=True)
              if abs(at - stress.distance[place]) < 1e-9]  # fmt: skip
    assert max(inside) == pytest.approx(straight * float(section.bend_factor(radius)), rel=1e-9)


def test_line_of_arcs_is_smooth_and_as_long_as_its_parts():
    line = bar_of("snake").line
    for before, after in zip(line.pieces, line.pieces[1:], strict=False):
        assert before.end == pytest.approx(after.start, abs=1e-12)
        one, two = before.tangents(np.ones(1)), after.tangents(np.zeros(1))
        assert one == pytest.approx(two, abs=1e-9)
    chords = CentreLine(line.in_chords(200).pieces)
    assert chords.length == pytest.approx(line.length, rel=1e-5)
