"""Loads of joints and springs: cases by hand, states and cases in one batch, and the table of load cases."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from importlib.resources import files

import numpy as np
import pytest
from typer.testing import CliRunner

from jounce.behaviour.axle.load_cases import common_cases, forces_of, parse_cases
from jounce.behaviour.axle.load_rows import load_rows
from jounce.behaviour.axle.loads import WheelForces, axle_loads
from jounce.behaviour.axle.motions import AxleStates
from jounce.car.file.reading import parse_car
from jounce.car.mechanics.model import AXLES, MainSpring
from jounce.cli.app import commands
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import Impossible, InputError
from jounce.layouts.axle_input import WheelInput
from jounce.layouts.double_wishbone import DOUBLE_WISHBONE
from jounce.layouts.naming import SIDES
from tests.bushed_axles import BUSHES, bare_jointed, bare_model, demo_pair
from tests.demo_axles import both, layout_given

NOTHING = np.zeros((1, 2, 3)), np.zeros((1, 2)), np.zeros((1, 2))
WISHBONE = {
    "wheel_centre": (0, 700, 300),
    "lower_front": (150, 300, 200),
    "lower_rear": (-150, 300, 200),
    "lower_ball": (0, 650, 200),
    "upper_front": (150, 400, 500),
    "upper_rear": (-150, 400, 500),
    "upper_ball": (0, 600, 500),
    "tie_rod_inner": (-100, 300, 300),
    "tie_rod_outer": (-100, 640, 300),
    "spring_upper": (0, 475, 600),
    "spring_lower": (0, 475, 200),
    "damper_upper": (0, 475, 600),
    "damper_lower": (0, 475, 200),
}
"""Arms level and square to the car, every point but the pivots' pairs in one transverse plane [mm]."""


def wheel_forces(left, right=(0, 0, 0), hub=(0, 0), turn=(0, 0)):
    """One case."""
    return WheelForces(("one",), np.array([[left, right]], float), np.array([hub], float), np.array([turn], float))


@pytest.fixture(scope="module")
def wishbones():
    """Level double wishbones with an upright coil on the lower arm, without weight of their own."""
    given = layout_given(DOUBLE_WISHBONE, pivots=both(WISHBONE), steering="none")
    upright = dict.fromkeys(SIDES, WheelInput(0.0, 0.0, 0.3))
    given = replace(given, anti_roll_bars={}, wheels=upright)
    model = bare_model(DOUBLE_WISHBONE, given)
    springs = {side: MainSpring("coil", f"axle.{side}.spring", -1.0, np.ones(1), captive=False) for side in SIDES}
    return replace(model, main=springs), bare_jointed(DOUBLE_WISHBONE, given, {}).linkage


class TestLevelWishbonesByHand:
    """Statics of a planar linkage: the upper arm is a two-force link, the lower arm a lever on its pivots."""

    F = 4000.0

    def loads(self, wishbones, *forces, **more):
        return axle_loads(*wishbones, wheel_forces(*forces, **more))

    def test_upright_wheel_load(self, wishbones):
        """The wheel load F stands 50 mm outboard of the lower ball: a couple of the two balls, 300 mm apart."""
        loads = self.loads(wishbones, (0, 0, self.F))
        couple = self.F * 50 / 300
        upper, lower = (loads.sites[f"axle.left.{name}_ball"].force[0, 0] for name in ("upper", "lower"))

        # On the knuckle: the upper arm pushes outward, the lower arm pulls inward and carries all the load.
        assert upper == pytest.approx([0, couple, 0], abs=1e-9)
        assert lower == pytest.approx([0, -couple, -self.F], abs=1e-9)

    def test_spring_on_a_lever(self, wishbones):
        """The load's lever is 350 mm about the pivots, the spring's 175 mm."""
        loads = self.loads(wishbones, (0, 0, self.F))

        assert loads.springs["left"][0, 0] == pytest.approx(self.F * 350 / 175, rel=1e-12)
        assert loads.springs["right"][0, 0] == pytest.approx(0, abs=1e-9)

    def test_pivots_share_alike(self, wishbones):
        """Both upper pivots take half of the two-force link's load, along the link."""
        loads = self.loads(wishbones, (0, 0, self.F))
        for name in ("upper_arm_front", "upper_arm_rear"):
            force = loads.sites[f"axle.left.{name}"].force[0, 0]

            assert force[1:] == pytest.approx([self.F * 50 / 300 / 2, 0], abs=1e-9)

    def test_side_force_at_the_ground(self, wishbones):
        """A force S inward at the ground, 200 mm under the lower ball: the upper ball sees S 200 / 300."""
        side = -3000.0
        loads = self.loads(wishbones, (0, side, 0))
        upper, lower = (loads.sites[f"axle.left.{name}_ball"].force[0, 0] for name in ("upper", "lower"))

        assert upper[1] == pytest.approx(side * 200 / 300, rel=1e-12)
        assert lower[1] == pytest.approx(-side * 500 / 300, rel=1e-12)
        assert loads.springs["left"][0, 0] == pytest.approx(0, abs=1e-9)

    def test_aligning_torque_is_held_by_the_tie_rod(self, wishbones):
        """The steering axis leans 50 mm over 300 mm; the rod holds 100 mm behind it, at a third of its height.

        A torque to the left on the left wheel pulls the rod: its end behind the axis goes outward.
        """
        torque = 50.0
        loads = self.loads(wishbones, (0, 0, 0), turn=(torque, 0))
        axis = np.array([0, -50.0, 300.0]) / np.hypot(50, 300)
        arm = np.array([-0.1, 0.64 - 0.65, 0.1])
        pull_inward = np.array([0, -1.0, 0])
        tension = -torque * axis[2] / (np.cross(arm, pull_inward) @ axis)

        assert loads.sites["axle.left.tie_rod"].axial[0, 0] == pytest.approx(tension, rel=1e-12)

    def test_braked_and_driven_wheels_load_the_arms_differently(self, wishbones):
        """A force along the car at the ground turns the knuckle about the balls, one at the centre hardly does."""
        braked = self.loads(wishbones, (-2000.0, 0, 0))
        driven = self.loads(wishbones, (0, 0, 0), hub=(-2000.0, 0))
        upper = [loads.sites["axle.left.upper_ball"].force[0, 0, 0] for loads in (braked, driven)]

        # About the lower ball (the tie rod lies square to the car and gives no force along it).
        assert upper[0] == pytest.approx(2000 * -200 / 300, rel=1e-12)
        assert upper[1] == pytest.approx(2000 * 100 / 300, rel=1e-12)


def test_unsprung_weight_and_what_stands_on_the_ground(wishbones):
    """With the weight of the wheel alone on the road the spring carries nothing where the weight acts."""
    model, linkage = wishbones
    heavy = replace(model, unsprung=dict.fromkeys(SIDES, np.array([30.0])))
    loads = axle_loads(heavy, linkage, wheel_forces((0, 0, 30 * GRAVITY), (0, 0, 30 * GRAVITY)))

    assert loads.springs["left"][0, 0] == pytest.approx(0, abs=1e-9)


def test_rack_carries_the_tie_rods_across_the_car():
    model, jointed = demo_pair("front", rigid=True)
    loads = axle_loads(model, jointed.linkage, wheel_forces((-500, 900, 2800), (100, 700, 2500)), AxleStates(rack=0.01))
    push = sum(loads.sites[f"front.{side}.tie_rod"].force[0, 0] for side in SIDES)

    # The rods' forces are told on the knuckles: the rack gets them reversed.
    assert loads.held["front.rack"][0, 0] == pytest.approx(-push[1], rel=1e-12)


def test_states_and_cases_in_one_batch_are_the_same_as_alone():
    model, jointed = demo_pair("rear", rigid=True)
    states = AxleStates(left=np.array([0.01, 0.03]), right=np.array([-0.02, 0.03]))
    forces = WheelForces(
        ("a", "b"),
        np.array([[[0, 0, 3000.0], [0, 0, 1000.0]], [[-400, 900, 2000], [0, 800, 2500]]], float),
        np.zeros((2, 2)),
        np.zeros((2, 2)),
    )
    together = axle_loads(model, jointed.linkage, forces, states)
    for i in range(2):
        for k in range(2):
            one = WheelForces(("x",), forces.contact[k : k + 1], forces.hub[k : k + 1], forces.turn[k : k + 1])
            alone = AxleStates(left=states.left[i : i + 1], right=states.right[i : i + 1])
            found = axle_loads(model, jointed.linkage, one, alone)
            for title, load in together.sites.items():
                assert load.force[i, k] == pytest.approx(found.sites[title].force[0, 0], rel=1e-9, abs=1e-7)


def test_bars_carry_their_twist():
    """In roll the anti-roll bar's links carry its torque: equal and opposite on the two sides."""
    model, jointed = demo_pair("front", rigid=True)
    loads = axle_loads(
        model, jointed.linkage, wheel_forces((0, 0, 2800), (0, 0, 2800)), AxleStates(left=0.02, right=-0.02)
    )
    left, right = (loads.sites[f"front.{side}.roll_bar_link"].axial[0, 0] for side in SIDES)

    assert loads.elements["front.roll_bar_twist"][0, 0] != 0
    assert left * right < 0
    assert left < 0  # the arm that rises pushes the bar's end up through its link: compression
    for side in SIDES:
        half = loads.pivots[f"front.{side}.roll_bar_half"]
        assert half.moment[0, 0, 1] == pytest.approx(0, abs=1e-8)


def test_a_position_out_of_reach_is_refused():
    model, jointed = demo_pair("front", rigid=True)
    with pytest.raises(Impossible, match="does not reach"):
        axle_loads(model, jointed.linkage, wheel_forces((0, 0, 1)), AxleStates(left=0.9, right=0.9))


class TestCases:
    def test_the_common_table_is_read_and_says_that_it_has_no_source(self):
        cases = common_cases()

        assert cases[0].factors["left"] == (0.0, 0.0, 1.0)
        assert {case.axle for case in cases} == {None, "front", "rear"}

    def test_factors_are_multiples_of_each_wheels_static_load(self):
        model, _ = demo_pair("front")
        text = '[[case]]\nname = "a"\nleft = [-2, 0.5, 3]\nx_at = "centre"\n[[case]]\nname = "b"\nright = [1, 0, 2]\n'
        forces = forces_of(parse_cases(text, "t"), model)
        load = {side: model.corner_load[side][0] for side in SIDES}

        assert forces.names == ("a", "b")
        assert forces.contact[0, 0] == pytest.approx([0, 0.5 * load["left"], 3 * load["left"]])
        assert forces.hub[0] == pytest.approx([-2 * load["left"], 0])
        assert forces.contact[0, 1] == pytest.approx([0, 0, load["right"]])
        assert forces.contact[1, 1] == pytest.approx([load["right"], 0, 2 * load["right"]])
        assert forces.hub[1] == pytest.approx([0, 0])

    @pytest.mark.parametrize(
        ("text", "words"),
        [
            ("", "no table of load cases"),
            ("cases = 1", "no table of load cases"),
            ("case = [1]", "case 1: This is no load case"),
            ("[[case]]\nleft = [0, 0, 1]", "case 1: The case has no name"),
            ('[[case]]\nname = "a"\nfront = 1', 'case 1 "a": Unknown key'),
            ('[[case]]\nname = "a"\nleft = [0, 1]', 'case 1 "a", left: A wheel needs three factors'),
            ('[[case]]\nname = "a"\nleft = [0, 1, -1]', "z not below 0"),
            ('[[case]]\nname = "a"\nleft = [0, 100, 1]', "up to 20 either way"),
            ('[[case]]\nname = "a"\nright = [0, true, 1]', "right: A wheel needs three factors"),
            ('[[case]]\nname = "a"\nx_at = "hub"', "x_at: Unknown word; found 'hub'; allowed: contact, centre"),
            ('[[case]]\nname = "a"\naxle = "middle"', "axle: Unknown word"),
        ],
    )
    def test_a_wrong_table_says_where_and_what(self, text, words):
        with pytest.raises(InputError) as caught:
            parse_cases(text, "table.toml")

        assert words in str(caught.value)
        assert str(caught.value).startswith("table.toml")

    def test_no_case_for_an_axle(self):
        cases = parse_cases('[[case]]\nname = "a"\naxle = "rear"\n', "t")
        with pytest.raises(InputError, match="No load case is for the front axle"):
            forces_of(cases, demo_pair("front")[0])


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_rows_tell_every_joint_spring_and_pivot(axle):
    model, jointed = demo_pair(axle, rigid=True)
    loads = axle_loads(model, jointed.linkage, forces_of(common_cases(), model))
    rows = load_rows(loads, model)
    names = {row.name for row in rows}

    assert (
        set(loads.sites) | set(loads.pivots) | set(model.elements) - {f"{axle}.{s}.main_spring" for s in SIDES} <= names
    )
    assert all(np.isfinite(row.size).all() for row in rows)
    assert all(row.size.shape == (len(loads.cases),) for row in rows)
    assert len({row.label for row in rows}) == len(rows)


DEMO = files("jounce.demo")
CARS = sorted(e.name for e in DEMO.iterdir() if e.name.endswith(".toml") and "[mass]" in e.read_text("utf-8"))


def called(*words):
    """What a command prints."""
    result = CliRunner().invoke(commands, [str(word) for word in words])
    assert result.exit_code == 0, result.output
    return result.output


class TestCommands:
    """`jounce loads` and `jounce comply`."""

    @pytest.fixture
    def car(self, tmp_path):
        path = tmp_path / "bushed.toml"
        path.write_text(DEMO.joinpath("brisk-14.toml").read_text("utf-8") + BUSHES, "utf-8")
        return path

    @pytest.mark.parametrize("car_name", CARS)
    @pytest.mark.parametrize("command", ["loads", "comply"])
    @pytest.mark.parametrize("units", ["metric", "inch", "kgf"])
    def test_every_demo_car_fits_eighty_columns(self, car_name, command, units):
        for axle in AXLES:
            text = called(command, DEMO.joinpath(car_name), "--axle", axle, "--units", units)

            assert [line for line in text.splitlines() if len(line) > 80] == []
            assert "nan" not in text

    def test_one_case_tells_all_directions(self, car):
        text = called("loads", car, "--axle", "front", "--case", 2, "--at", "heave=20", "--at", "rack=5")

        assert "case 2: pothole, left wheel" in text
        assert [line for line in text.splitlines() if len(line) > 80] == []
        assert re.search(r"^left ball joint, N +left knuckle( +-?\d+){4}$", text, re.MULTILINE)

    def test_csv_of_loads(self, car):
        rows = list(csv.DictReader(io.StringIO(called("loads", car, "--axle", "front", "--csv", "-"))))
        ball = next(row for row in rows if row["part"] == "front.left.ball_joint" and row["case"] == "standing")
        bar = next(row for row in rows if row["part"] == "front.left.torsion_bar")
        force = [float(ball[f"force_{axis}_n"]) for axis in "xyz"]

        assert ball["on"] == "left knuckle"
        assert float(ball["size_n"]) == pytest.approx(np.linalg.norm(force), rel=1e-6)
        assert float(bar["torque_n_m"]) == pytest.approx(
            demo_pair("front")[0].elements["front.left.main_spring"].law.force(0.0)[0], rel=1e-6
        )

    def test_csv_of_compliance_names_its_units(self, car):
        rows = list(
            csv.DictReader(io.StringIO(called("comply", car, "--axle", "rear", "--csv", "-", "--units", "inch")))
        )

        assert {row["unit"] for row in rows if row["force"] == "lateral"} == {"deg/lbf", "in/lbf", "-"}
        assert {row["unit"] for row in rows if row["force"] == "aligning"} == {"deg/(lbf·ft)", "in/(lbf·ft)"}
        assert {row["on"] for row in rows} == {"left", "right", "both", "opposed"}

    def test_ideal_joints_are_said_to_be_so(self, car):
        assert "ideal joints, nothing gives" in called("comply", car, "--axle", "front", "--rigid")
        assert "gives no bushes" in called("comply", DEMO.joinpath("brisk-14.toml"), "--axle", "front")
        assert "Bushes: arm front, arm rear, top mount, tie rod;" in called("comply", car, "--axle", "front", "--free")

    @pytest.mark.parametrize(
        ("words", "message"),
        [
            (["--at", "up=3"], "no place to put the axle"),
            (["--at", "heave"], "written as name=value"),
            (["--at", "heave=3", "--at", "left=3"], "not both"),
            (["--at", "heave=900"], "does not reach"),
        ],
    )
    @pytest.mark.parametrize("command", ["loads", "comply"])
    def test_a_wrong_place_is_refused_in_words(self, car, command, words, message):
        result = CliRunner().invoke(commands, [command, str(car), "--axle", "front", *words])

        assert message in str(result.exception)

    def test_a_number_of_no_case_is_refused(self, car):
        result = CliRunner().invoke(commands, ["loads", str(car), "--axle", "front", "--case", "40"])

        assert "number of the case is out of range" in str(result.exception)

    def test_a_coil_that_would_have_to_pull_is_told(self, tmp_path):
        table = tmp_path / "cases.toml"
        table.write_text('[[case]]\nname = "in the air"\nleft = [0, 0, 0]\n', "utf-8")
        text = called("loads", DEMO.joinpath("brisk-14.toml"), "--axle", "rear", "--cases", table)

        assert "left coil spring would have to pull" in text


def test_the_demo_cars_with_bushes_give():
    """At least one car of the program shows bushes at work."""
    bushed = [name for name in CARS if "bushes." in DEMO.joinpath(name).read_text("utf-8")]

    assert bushed
    assert parse_car(DEMO.joinpath(bushed[0]).read_text("utf-8"), bushed[0])
