"""Compliance: closed forms, the unit-load method, a finite force by another way, and the signs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.behaviour.axle.compliance import CASES, compliance
from jounce.behaviour.axle.compliant import bushed_axle, standing, tangent
from jounce.behaviour.axle.contact import contact_state
from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.road_forces import act_name, road_forces
from jounce.conventions.compliance_quantities import COMPLIANCE_QUANTITIES, FORCES, kind_under
from jounce.conventions.errors import InputError
from jounce.elements.law import Linear
from jounce.layouts.axle_input import WheelInput
from jounce.layouts.five_link import FIVE_LINK
from jounce.layouts.trailing_arm import TRAILING_ARM
from jounce.layouts.twist_beam import TWIST_BEAM
from jounce.linkage.balance import Element, balance
from jounce.linkage.mechanism import Mechanism
from tests.bushed_axles import BUSHES, bare_bushed, demo_bushed, demo_pair
from tests.demo_axles import FIVE_LINKS, TRAILING, both, layout_given, metres

STATES = {"as found": None, "bump and droop": AxleStates(left=np.array([0.02]), right=np.array([-0.03]))}
LINEAR = BUSHES.replace("radial_curve = [[0, 0], [0.5, 1200], [1, 4000]]", 'radial = "2500 N/mm"')
LEVEL_ARM = {**TRAILING, "arm_inner": (-1980, 350, 275), "arm_outer": (-1980, 620, 275)}
ROD_RATES = {"link_1": 9e6, "link_2": 12e6, "link_3": 7e6, "link_4": 10e6, "tie_rod": 5e6}
UPRIGHT = dict.fromkeys(("left", "right"), WheelInput(0.0, 0.0, 0.275))


def bare_given(layout):
    """An invented axle with upright wheels, without anti-roll bar."""
    return replace(layout_given(layout), wheels=UPRIGHT, anti_roll_bars={})


class TestTrailingArmByHand:
    """One arm on two bushes a side, no spring: a rigid body on two points, in closed form.

    Bushes of radial rate k stand b apart across the car, as high as the wheel centre, h above the road; it stands a
    behind and e outboard of the middle. Axially the inner bush alone holds, with rate c.
    """

    K, C = 8e6, 1.5e6

    @pytest.fixture
    def found(self):
        rates = {"arm_front": {"radial": self.K, "axial": self.C}, "arm_rear": {"radial": self.K}}
        given = replace(bare_given(TRAILING_ARM), pivots=both(LEVEL_ARM))
        return compliance(bare_bushed(TRAILING_ARM, given, rates))

    @pytest.fixture
    def size(self):
        inner, outer, wheel = (metres(LEVEL_ARM[name]) for name in ("arm_inner", "arm_outer", "wheel_centre"))
        middle = 0.5 * (inner + outer)
        return {
            "a": middle[0] - wheel[0],
            "b": outer[1] - inner[1],
            "e": wheel[1] - middle[1],
            "h": middle[2] - (wheel[2] - 0.275),
        }

    def test_toe_under_side_force(self, found, size):
        """The force's moment F a about the upright is a couple of the bushes' fore-and-aft forces."""
        toe_in = 2 * size["a"] / (self.K * size["b"] ** 2)

        assert found.of("lateral", "left")["left_toe"] == pytest.approx(toe_in, rel=1e-9)
        assert found.of("lateral", "left")["right_toe"] == pytest.approx(0, abs=1e-18)

    def test_toe_under_aligning_torque(self, found, size):
        """A torque to the left steers the left wheel to the left, which is toe-out."""
        assert found.of("aligning", "left")["left_toe"] == pytest.approx(-2 / (self.K * size["b"] ** 2), rel=1e-9)

    def test_toe_and_recession_under_drive_at_the_centre(self, found, size):
        """A force along the car e outboard turns the arm and shifts it on both bushes."""
        turn = -2 * size["e"] / (self.K * size["b"] ** 2)
        drive = found.of("drive", "left")

        assert -drive["left_toe"] == pytest.approx(turn, rel=1e-9)
        assert drive["left_wheel_x"] == pytest.approx(1 / (2 * self.K) - turn * size["e"], rel=1e-9)

    def test_camber_under_side_force(self, found, size):
        """The moment F h about the line along the car is the upright couple of the bushes.

        The arm swings freely about its pivots, so the height held under the wheel asks for no force.
        """
        top_inward = -2 * size["h"] / (self.K * size["b"] ** 2)

        assert found.of("lateral", "left")["left_camber"] == pytest.approx(top_inward, rel=1e-9)

    def test_load_is_not_changed_by_a_side_force(self, found):
        assert found.of("lateral", "left")["left_load"] == pytest.approx(0, abs=1e-12)

    def test_side_shift_of_the_wheel_centre(self, found, size):
        """Axial shift, and yaw times the wheel's lever behind the pivots, which stand as high as the wheel centre."""
        shift = 1 / self.C + 2 * size["a"] ** 2 / (self.K * size["b"] ** 2)

        assert found.of("lateral", "left")["left_wheel_y"] == pytest.approx(shift, rel=1e-9)


class TestUnitLoads:
    """Five rods that give along their length hold a knuckle: the unit-load method, statics written out here.

    Source: Maxwell-Mohr unit-load method (Gere & Timoshenko, Mechanics of Materials): sum of N n / k over the rods.
    """

    @pytest.fixture
    def found(self):
        rates = {name: {"axial": rate} for name, rate in ROD_RATES.items()}
        return compliance(bare_bushed(FIVE_LINK, bare_given(FIVE_LINK), rates))

    def tensions(self, force, at, moment=(0.0, 0.0, 0.0)):
        """Five rod tensions and the wheel load that hold a force and a moment on the left knuckle at its height."""
        ends = [(metres(FIVE_LINKS[f"{rod}_inner"]), metres(FIVE_LINKS[f"{rod}_outer"])) for rod in ROD_RATES]
        columns = []
        for inner, outer in ends:
            pull = (inner - outer) / np.linalg.norm(inner - outer)
            columns.append(np.concatenate((pull, np.cross(outer, pull))))
        foot = metres(FIVE_LINKS["wheel_centre"]) - [0, 0, 0.275]
        columns.append(np.concatenate(([0, 0, 1], np.cross(foot, [0, 0, 1]))))
        load = np.concatenate((force, np.cross(at, force) + np.asarray(moment)))
        return np.linalg.solve(np.array(columns).T, -load)

    @pytest.mark.parametrize(
        ("name", "force", "moment"),
        [
            ("left_wheel_x", (1, 0, 0), (0, 0, 0)),
            ("left_wheel_y", (0, 1, 0), (0, 0, 0)),
            ("left_wheel_z", (0, 0, 1), (0, 0, 0)),
            ("left_toe", (0, 0, 0), (0, 0, -1)),
            ("left_camber", (0, 0, 0), (-1, 0, 0)),
            ("left_wind_up", (0, 0, 0), (0, -1, 0)),
        ],
    )
    @pytest.mark.parametrize(
        ("load", "push", "twist", "at_the_ground"),
        [
            ("lateral", (0, 1, 0), (0, 0, 0), True),
            ("brake", (-1, 0, 0), (0, 0, 0), True),
            ("drive", (1, 0, 0), (0, 0, 0), False),
            ("aligning", (0, 0, 0), (0, 0, 1), False),
        ],
    )
    def test_knuckle_on_five_rods(self, found, name, force, moment, load, push, twist, at_the_ground):
        centre = metres(FIVE_LINKS["wheel_centre"])
        where = centre - [0, 0, 0.275 * at_the_ground]
        under_load = self.tensions(np.array(push, float), where, twist)
        under_unit = self.tensions(np.array(force, float), centre, moment)
        wanted = np.sum(under_load[:5] * under_unit[:5] / np.array(list(ROD_RATES.values())))

        assert found.of(load, "left")["left_load"] == pytest.approx(under_load[5], rel=1e-9, abs=1e-12)
        assert found.of(load, "left")[name] == pytest.approx(wanted, rel=1e-9, abs=1e-16)


def forced(bushed, pose, side, act, force):
    """Rest of an axle under one constant force at a wheel."""
    roads = road_forces(bushed.linkage, bushed.stand, pose)
    name = act_name(bushed.name, side, act)
    measures = {n: m for n, m in bushed.stand.measures.items() if n not in bushed.stand.joints}
    joints = {n: bushed.stand.measures[n] for n in bushed.stand.joints}
    stand = Mechanism(bushed.stand.tree.bodies[1:], joints, {**measures, name: roads.measures[name]})
    held = bushed.stand.taken(bushed.stand.joints).values(pose)
    values = {n: held[:, i] for i, n in enumerate(bushed.stand.joints)}
    pull = Element(name, Linear(0.0, preload=-force))
    rest = balance(stand, {**bushed.elements, "force": pull}, values, pose)
    assert rest.reached.all()
    return rest.pose


@pytest.mark.parametrize("axle", ["front", "rear"])
@pytest.mark.parametrize("states", STATES.values(), ids=STATES)
@pytest.mark.parametrize(
    ("force", "act", "sense"), [("lateral", "y", 1), ("brake", "x", -1), ("drive", "hub", 1), ("aligning", "turn", 1)]
)
def test_a_finite_force_leaves_a_remainder_of_second_order(axle, states, force, act, sense):
    """The rest under a real force, by Newton's iteration, against the linear answer: the gap falls with its square."""
    bushed = demo_bushed(axle, bushes=LINEAR)
    pose = standing(bushed, states)
    names = [f"{axle}.left.toe", f"{axle}.left.camber", f"{axle}.left.wheel_x", f"{axle}.right.wheel_y"]
    measured = bushed.stand.taken(names)
    found = compliance(bushed, states).of(force, "left")
    slope = np.array([found[name.removeprefix(f"{axle}.").replace(".", "_")][0] for name in names])
    gaps = []
    for size in (400.0, 200.0, 100.0):
        moved = measured.values(forced(bushed, pose, "left", act, sense * size)) - measured.values(pose)
        gaps.append(np.abs(moved[0] - size * slope).max())

    assert np.abs(slope).max() > 1e-9
    assert np.log2(gaps[0] / gaps[1]) == pytest.approx(2, abs=0.1)
    assert np.log2(gaps[1] / gaps[2]) == pytest.approx(2, abs=0.1)


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_as_found_is_at_rest_and_every_bush_carries_its_joint(axle):
    bushed = demo_bushed(axle)
    about = tangent(bushed, standing(bushed))
    released = [about.rows.index(name) for name in bushed.linkage.released]

    assert len(released) > 0
    assert about.multipliers[:, released] == pytest.approx(0, abs=1e-6)
    assert standing(bushed, AxleStates()).origin == pytest.approx(standing(bushed).origin, abs=1e-11)


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_contact_stiffness_is_the_slope_of_the_wheel_loads(axle):
    """Wheel loads at rest in two positions a little apart, by iteration, against the tangent's own stiffness."""
    bushed = demo_bushed(axle, bushes=LINEAR)
    height = bushed.stand.taken(bushed.heights)
    for left, right in ((1.0, 0.0), (0.0, 1.0), (1.0, 1.0)):
        ends = []
        for step in (-1e-4, 1e-4):
            states = AxleStates(left=np.array([0.01 + step * left]), right=np.array([-0.01 + step * right]))
            pose = standing(bushed, states)
            about = tangent(bushed, pose)
            load = -about.multipliers[0, [about.rows.index(name) for name in bushed.heights]]
            ends.append((height.values(pose)[0], load))
        middle = compliance(bushed, AxleStates(left=np.array([0.01]), right=np.array([-0.01])))
        rise, change = (b - a for a, b in zip(*ends, strict=True))

        assert middle.contact_stiffness[0] @ rise == pytest.approx(change, rel=1e-5, abs=1e-5)


@pytest.mark.parametrize("per_bush", [20.0, 90.0])
def test_turning_bushes_add_their_rate_times_the_square_of_the_ratio(per_bush):
    """Every joint ideal but for a torsional rate c in each of the arm's two pivots: c (dθ/dz)² is added, twice."""
    bushes = "".join(f'[front.bushes.{name}]\ntorsional = "{per_bush} N·m/rad"\n' for name in ("arm_front", "arm_rear"))
    model, jointed = demo_pair("front", bushes=bushes)
    motions = wheel_motions(place_axle(model.stand, "front", AxleStates()), "front")
    line = model.stand.taken(["front.left.arm_angle", "front.left.road_height"]).linearised(motions.placed.pose)
    angle, height = motions.first(line)[0, :, 0]
    plain = contact_state(model, motions).stiffness[0, 0, 0]
    found = compliance(bushed_axle(model, jointed)).contact_stiffness[0, 0, 0]

    assert found - plain == pytest.approx(2 * per_bush * (angle / height) ** 2, rel=1e-9)


def test_a_way_without_a_rate_stays_rigid():
    """Radial alone: along its axis the bush is as rigid as the ball joint, so the arm cannot shift along it."""
    bushes = '[front.bushes.arm_front]\nradial = "8000 N/mm"\n'
    bushed = demo_bushed("front", bushes=bushes)

    assert "front.left.arm_front.axial" in bushed.stand.joints
    assert set(bushed.linkage.released) == {
        f"front.{s}.arm_front.radial_{n}" for s in ("left", "right") for n in (1, 2)
    }


def test_a_bush_taken_as_rigid_and_the_switch_for_all_are_the_same():
    marked = BUSHES.replace("]\nradial", "]\nrigid = true\nradial").replace(
        ']\naxial = "', ']\nrigid = true\naxial = "'
    )
    marked = marked.replace("4000]]\nrigid = true\n", "4000]]\n")
    by_switch = compliance(demo_bushed("front", rigid=True))
    by_mark = compliance(demo_bushed("front", bushes=marked))

    assert marked.count("rigid = true") == BUSHES.count("bushes.")
    assert by_mark.contact_stiffness == pytest.approx(by_switch.contact_stiffness, rel=1e-12)
    assert all((values == 0).all() for name, values in by_mark.columns.items() if not name.endswith("load"))


def test_twist_beam_is_held_sideways_by_its_bushes():
    """Two bushes of axial rate c that give no other way: a side force F on each wheel shifts the axle 2 F / 2 c."""
    given = replace(bare_given(TWIST_BEAM), bush_axis={})
    bushed = bare_bushed(TWIST_BEAM, given, {"arm_bush": {"radial": 1e12, "axial": 4e5}})
    found = compliance(bushed).of("lateral", "both")

    assert "axle.bushes_sideways" not in bushed.stand.joints
    assert found["left_wheel_y"] == pytest.approx(1 / 4e5, rel=1e-5)
    assert found["right_wheel_y"] == pytest.approx(1 / 4e5, rel=1e-5)


def test_states_in_one_batch_are_the_same_as_alone():
    bushed = demo_bushed("front")
    travel = np.array([-0.02, 0.0, 0.015])
    together = compliance(bushed, AxleStates(left=travel, right=travel))
    for i, one in enumerate(travel):
        alone = compliance(bushed, AxleStates(left=np.array([one]), right=np.array([one])))
        for name, values in together.columns.items():
            assert values[i] == pytest.approx(alone.columns[name][0], rel=1e-6, abs=1e-15), name


def test_left_and_right_mirror_each_other():
    found = compliance(demo_bushed("front", bushes=BUSHES))
    left, right = found.of("brake", "left"), found.of("brake", "right")

    for name in ("toe", "camber", "wheel_x", "wind_up"):
        # The demo car's corner weights differ a little from side to side, and with them the bushes' loads.
        assert left[f"left_{name}"] == pytest.approx(right[f"right_{name}"], rel=2e-3, abs=1e-12)


SENSES = [
    ("front", "brake", "both", "left_wheel_x", -1, "a braked wheel goes back"),
    ("front", "drive", "both", "left_wheel_x", +1, "a driven wheel goes forward"),
    ("front", "brake", "both", "left_wind_up", -1, "a braked carrier's top turns forward"),
    ("front", "lateral", "both", "left_wheel_y", +1, "a wheel goes where it is pushed"),
    ("front", "lateral", "both", "left_contact_y", +1, "so does its contact point"),
    ("front", "aligning", "both", "mean_steer", +1, "a torque to the left steers to the left"),
    ("rear", "lateral", "both", "axle_shift", +1, "a beam goes where its wheels are pushed"),
    ("rear", "aligning", "both", "axle_steer", +1, "and turns with a torque"),
    ("rear", "brake", "opposed", "axle_steer", +1, "braked on the left it turns to the left"),
]


@pytest.mark.parametrize(("axle", "force", "on", "name", "sign", "words"), SENSES, ids=[row[-1] for row in SENSES])
def test_signs(axle, force, on, name, sign, words):
    value = compliance(demo_bushed(axle)).of(force, on)[name][0]

    assert np.sign(value) == sign, words


def test_every_column_is_in_the_table_and_every_row_of_the_table_is_found():
    columns = set(compliance(demo_bushed("front")).columns) | set(compliance(demo_bushed("rear")).columns)
    bare = {name.removeprefix("left_").removeprefix("right_") for name in columns}

    assert bare == set(COMPLIANCE_QUANTITIES)
    assert len(CASES) == 4 * len(FORCES)
    assert kind_under(COMPLIANCE_QUANTITIES["load"], FORCES["aligning"]) is None


@pytest.mark.parametrize(
    ("bush", "place"),
    [
        ('[front.bushes.tie_rod]\nradial = "9000 N/mm"\n', "front.bushes.tie_rod.radial"),
        ('[front.bushes.top_mount]\naxial = "9000 N/mm"\n', "front.bushes.top_mount.axial"),
        ('[rear.bushes.panhard]\ntorsional = "5 N·m/deg"\n', "rear.bushes.panhard.torsional"),
    ],
)
def test_a_rate_for_a_way_that_a_joint_does_not_give_is_refused(bush, place):
    with pytest.raises(InputError, match="no bush that gives this way") as caught:
        demo_bushed(place.partition(".")[0], bushes=bush)

    assert caught.value.place == place
