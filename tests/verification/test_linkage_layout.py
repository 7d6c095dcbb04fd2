"""An axle told as lists is the axle that is meant: a named layout's own results, and a multibody library's places.

Source of the second method: exudyn (J. Gerstmayr), static solution of a fully constrained system of rigid bodies in
Euler parameters.
"""

from __future__ import annotations

import re

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.static import loaded
from jounce.car.mechanics.assembly import axle_linkage, axle_model
from jounce.car.mechanics.layout_input import axle_given
from jounce.conventions.axes import End
from jounce.layouts.axle import Setting, on_the_rig, road_body
from jounce.layouts.builder import laid_out
from jounce.layouts.catalogue import LAYOUTS
from jounce.layouts.freedoms import freedoms
from jounce.layouts.naming import SIDES
from jounce.layouts.sites import BushInput
from jounce.linkage.balance import balance
from jounce.linkage.place import place
from jounce.linkage.tree import Point
from tests.demo_axles import layout_axle, layout_given
from tests.linkage_cars import (
    A_FRAME,
    LEADING,
    MEAN_HELD,
    PILLARS,
    TURNING_TUBE,
    WISHBONES,
    car_with,
    completed,
    page_axle,
)
from tests.verification.multibody import Multibody

EQUAL = 1e-12
"""Two tellings of one linkage agree to this [m, rad, m/m, rad/m]."""
POSITION = 1e-9
"""Agreement with the multibody library [m]: a millionth of a millimetre."""

TRAVEL = np.array([-0.07, -0.03, 0.03, 0.07])
STATES = {
    "heave": AxleStates(left=TRAVEL, right=TRAVEL),
    "opposite": AxleStates(left=TRAVEL, right=-TRAVEL),
    "body roll": AxleStates(roll=np.radians([-4.0, -2.0, 2.0, 4.0]), heave=0.01),
}
STEERED = {
    "rack in bump": AxleStates(left=0.04, right=0.05, rack=np.array([-0.06, -0.03, 0.03, 0.06])),
}
ROLL_BAR = """
[front.roll_bar]
diameter = 18
arm_end = [40, 480, 230]
bend = [250, 440, 215]
bush = [250, 300, 215]
link_end = [38, 482, 198]
link_on = "lower_arm"
"""


def named_wishbones():
    """The page's double wishbone under its own name."""
    lists = page_axle(WISHBONES)
    pivots = lists[lists.index("[front.pivots]") : lists.index("[front.bodies]")]
    words = '[front.arrangement]\nspring_on = "lower_arm"\ndamper_on = "lower_arm"\n'
    return '[front]\nlayout = "double-wishbone"\n\n' + pivots + words


def uneven(axle):
    """The same with right-hand points of their own."""
    return axle + "\n[front.right.pivots]\nupper_ball = [-13, -622, 441]\ntie_rod_outer = [-119, -641, 233]\n"


@pytest.fixture(scope="module")
def both_cars():
    """The double wishbone under its name and told as lists."""
    return [car_with(completed(uneven(axle)) + ROLL_BAR) for axle in (named_wishbones(), page_axle(WISHBONES))]


@pytest.mark.parametrize("jointed", [False, True], ids=["hinges", "joints"])
@pytest.mark.parametrize("motion", [*STATES, *STEERED])
def test_a_double_wishbone_told_as_lists_moves_as_the_named_one(both_cars, motion, jointed):
    values, rates, names = [], [], None
    for car in both_cars:
        section = car.axle(End.FRONT)
        given = axle_given(section, "front", jointed=jointed)
        linkage = laid_out(section.as_layout().build, Setting("front", road=road_body("front")), given)
        stand = on_the_rig(linkage)
        names = names or tuple(stand.measures)
        assert set(names) <= set(stand.measures)
        assert set(linkage.sites) >= {"front.left.lower_ball", "front.right.tie_rod", "front.left.roll_bar_link"}
        placed = place_axle(stand, "front", (STATES | STEERED)[motion])
        assert placed.reached.all()
        line = stand.taken(names).linearised(placed.pose)
        values.append(line.value)
        rates.append(wheel_motions(placed, "front").first(line))

    assert len(names) > 50
    np.testing.assert_allclose(values[1], values[0], rtol=0, atol=EQUAL)
    np.testing.assert_allclose(rates[1], rates[0], rtol=EQUAL, atol=100 * EQUAL)  # per metre, over levers of 0.1 m


def test_a_double_wishbone_told_as_lists_carries_the_loads_of_the_named_one(both_cars):
    models = [loaded(axle_model(car, "front"))[0] for car in both_cars]
    named, told = (balance(model.stand, model.elements, {"front.left.tie_rod": 0.31}) for model in models)

    assert models[0].stops == models[1].stops
    assert named.reached.all()
    assert named.joint_loads.keys() == told.joint_loads.keys()
    for name, load in named.joint_loads.items():
        np.testing.assert_allclose(told.joint_loads[name], load, rtol=1e-9, atol=1e-6, err_msg=name)


def test_a_joint_told_in_lists_is_left_to_a_bush_as_a_named_one(both_cars):
    bushes = {"lower_arm_front": BushInput(radial=True, axial=True), "tie_rod": BushInput(axial=True)}
    sites = []
    for car in both_cars:
        section = car.axle(End.FRONT)
        given = axle_given(section, "front", jointed=True, bushes=bushes)
        sites.append(laid_out(section.as_layout().build, Setting("front"), given).sites)

    assert sites[1] == {name: sites[1][name] for name in sites[1] if name in sites[0]}
    for name, site in sites[0].items():
        assert (sites[1][name].gives, sites[1][name].rows) == (site.gives, site.rows)
    assert set(sites[1]["front.left.lower_arm_front"].gives) == {"axial", "radial_1", "radial_2"}


def test_tie_rods_told_on_the_relay_rod_are_steered_by_the_box_as_the_named_one():
    box = (
        "\n[front.steering_box]\npitman_pivot = [60, 330, 300]\npitman_end = [-120, 320, 250]\n"
        "idler_pivot = [55, -340, 300]\nidler_end = [-120, -320, 250]\ntravel = 35\n"
    )
    told = page_axle(WISHBONES)
    assert told.count(" on rack") == 1
    values, names = [], None
    for axle in (named_wishbones(), told.replace(" on rack", " on relay_rod")):
        section = car_with(completed(axle) + box).axle(End.FRONT)
        stand = on_the_rig(axle_linkage(section, Setting("front", road=road_body("front"))))
        names = names or tuple(stand.measures)
        drives = {"front.left.travel": 0.03, "front.right.travel": -0.02, "front.pitman": np.radians([-20.0, 15.0])}
        placed = place(stand, drives)
        assert placed.reached.all()
        values.append(stand.taken(names).values(placed.pose))

    assert np.degrees(np.abs(values[0][:, names.index("front.left.steer")])).min() > 5
    np.testing.assert_allclose(values[1], values[0], rtol=0, atol=EQUAL)


def stand_of(axle):
    """The rear axle of a car on its stand."""
    section = car_with(axle).axle(End.REAR)
    linkage = axle_linkage(section, Setting("rear", road=road_body("rear")))
    return linkage, on_the_rig(linkage)


def wheel_values(axle, states):
    """Every measure of both wheels."""
    _, stand = stand_of(axle)
    things = ("travel", "camber", "toe", "wheel_x", "wheel_y", "wheel_z", "contact_x", "contact_y", "spring", "damper")
    names = [f"rear.{side}.{thing}" for side in SIDES for thing in things]
    placed = place_axle(stand, "rear", states)
    assert placed.reached.all()
    return stand.taken(names).values(placed.pose)


@pytest.mark.parametrize("motion", STATES)
def test_a_beam_told_as_two_shared_bodies_moves_as_the_named_beam(motion):
    pivots = TURNING_TUBE[TURNING_TUBE.index("[rear.pivots]") : TURNING_TUBE.index("[rear.points]")]
    rod = TURNING_TUBE[TURNING_TUBE.index("body_end =") : TURNING_TUBE.index("[rear.bodies]")]
    words = '[rear.beam]\nturning_side = "right"\nspring_on = "tube"\ndamper_on = "tube"\n'
    named = '[rear]\nlayout = "beam-panhard"\n\n' + pivots + "[rear.panhard]\n" + rod + words

    values = [wheel_values(completed(axle), STATES[motion]) for axle in (named, TURNING_TUBE)]

    np.testing.assert_allclose(values[1], values[0], rtol=0, atol=EQUAL)


@pytest.mark.parametrize("motion", STATES)
def test_a_link_between_two_balls_that_does_not_spin_leads_as_a_rod_does(motion):
    axle = completed(page_axle("half_axle"))
    rod = 'radius_rod = { rod = ["radius_rod_front on body", "radius_rod_rear on half_axle"] }\n'
    link = (
        'front_ball = { ball = "radius_rod_front", between = ["body", "radius_link"] }\n'
        'rear_ball = { ball = "radius_rod_rear", between = ["radius_link", "half_axle"] }\n'
        'spin = { not_turning = "radius_link", line = ["radius_rod_front", "radius_rod_rear"], of = "body" }\n'
    )
    assert rod in axle
    linked = axle.replace(rod, link).replace("[rear.bodies]\n", "[rear.bodies]\nradius_link = {}\n")

    values = [wheel_values(one, STATES[motion]) for one in (axle, linked)]

    np.testing.assert_allclose(values[1], values[0], rtol=0, atol=EQUAL)


@pytest.mark.parametrize("motion", STATES)
def test_what_is_held_in_the_middle_moves_sideways_by_opposite_amounts(motion):
    linkage, stand = stand_of(completed(MEAN_HELD))
    placed = place_axle(stand, "rear", STATES[motion])
    points = [np.array([-2.380, sense * 0.500, 0.240]) for sense in (1.0, -1.0)]
    moved = sum(stand.position(placed.pose, Point("rear.beam", at))[:, 1] - at[1] for at in points)

    assert placed.reached.all()
    assert linkage.beam == "rear.beam"
    np.testing.assert_allclose(moved, 0.0, atol=EQUAL)


@pytest.mark.parametrize("name", LAYOUTS)
def test_every_named_layout_leaves_the_wheels_travels_and_nothing_else(name):
    layout = LAYOUTS[name]
    found = freedoms(layout_axle(layout, layout_given(layout, uneven=3.0))[0])

    assert (found.ways, found.loose, found.repeated) == (2, (), ())


class Twin:
    """An axle of a car and its lists' points, beside a model of the multibody library."""

    def __init__(self, axle):
        section_end = End.FRONT if "[front]" in axle else End.REAR
        self.axle = str(section_end)
        self.section = car_with(axle).axle(section_end)
        self.stand = on_the_rig(axle_linkage(self.section, Setting(self.axle, road=road_body(self.axle))))
        self.model = Multibody()
        self.shown = []

    def at(self, side, name):
        """A point as found [m]."""
        return getattr(getattr(self.section, side).pivots, name).xyz

    def whole(self, name):
        """A point of the axle as a whole [m]."""
        return getattr(self.section.points, name).xyz

    def show(self, body, *points):
        """Points of a body whose places are compared."""
        self.shown += [(body, point) for point in points]

    def apart(self, states):
        """Largest distance between the two results [m]."""
        placed = place_axle(self.stand, self.axle, states)
        assert placed.reached.all()
        travels = self.stand.taken([f"{self.axle}.{side}.travel" for side in SIDES]).values(placed.pose)
        racks = np.broadcast_to(states.rack, len(travels))
        found = []
        for i, (left, right) in enumerate(travels):
            wanted = {"left": left, "right": right, "rack": racks[i]}
            self.model.solve({name: value for name, value in wanted.items() if name in self.model.held})
            for body, point in self.shown:
                ours = self.stand.position(placed.pose, Point(f"{self.axle}.{body}", point))[i]
                found.append(np.linalg.norm(self.model.position(body, point) - ours))
        return max(found)


def with_rack(twin):
    """Add a rack."""
    twin.model.body("rack_bar", np.zeros(3))
    twin.model.slide("ground", "rack_bar", np.zeros(3), (0.0, 1.0, 0.0))
    twin.model.drive("rack", "rack_bar", "y")


def half_axles(moved=0.0):
    """The demo's swinging half-axles; the twin's left centre stands ``moved`` [m] higher."""
    twin = Twin(completed(page_axle("half_axle")))
    model = twin.model
    for side in SIDES:
        body = f"{side}.half_axle"
        model.body(body, twin.at(side, "wheel_centre"))
        model.ball("ground", body, twin.at(side, "centre_ball") + np.array([0, 0, moved if side == "left" else 0.0]))
        for rod in ("radius_rod", "torque_rod"):
            model.rod("ground", twin.at(side, f"{rod}_front"), body, twin.at(side, f"{rod}_rear"))
        model.drive(side, body, "z")
        twin.show(body, *(twin.at(side, name) for name in ("wheel_centre", "torque_rod_rear", "spring_lower")))
    model.system.Assemble()
    return twin


def a_frame():
    """The page's beam under a triangular arm."""
    twin = Twin(completed(page_axle(A_FRAME)))
    model = twin.model
    model.body("beam", twin.at("left", "wheel_centre"))
    pivots = [twin.at(side, "arm_pivot") for side in SIDES]
    model.body("top_arm", twin.whole("arm_ball"))
    model.hinge("ground", "top_arm", pivots[0], pivots[0] - pivots[1])
    model.ball("top_arm", "beam", twin.whole("arm_ball"))
    for side in SIDES:
        model.rod("ground", twin.at(side, "lower_rod_front"), "beam", twin.at(side, "lower_rod_rear"))
        twin.show("beam", twin.at(side, "wheel_centre"), twin.at(side, "spring_lower"))
    model.feeler("right hub", "beam", twin.at("right", "wheel_centre"))
    model.drive("left", "beam", "z")
    model.drive("right", "right hub", "z")
    twin.show("top_arm", twin.whole("arm_ball"))
    model.system.Assemble()
    return twin


def pillars():
    """Knuckles that slide up and down a pillar and turn about it: one cylindrical joint each."""
    twin = Twin(completed(PILLARS))
    with_rack(twin)
    model = twin.model
    for side in SIDES:
        body, low, high = f"{side}.knuckle", twin.at(side, "pillar_low"), twin.at(side, "pillar_high")
        model.body(body, twin.at(side, "wheel_centre"))
        model.joint("ground", low, body, low, [1, 1, 0, 1, 1, 0], high - low)
        model.rod("rack_bar", twin.at(side, "tie_rod_inner"), body, twin.at(side, "tie_rod_outer"))
        model.drive(side, body, "z")
        twin.show(body, twin.at(side, "wheel_centre"), twin.at(side, "tie_rod_outer"))
    model.system.Assemble()
    return twin


def leading():
    """Hubs on leading arms: a point on a mirrored line of the arm, two rods to the body, one to the arm."""
    text = re.sub(
        r"\[rear.spring\]\nrate = 30\n", "[rear.torsion_bar]\ndiameter = 22\nactive_length = 900\n", completed(LEADING)
    )
    twin = Twin(text)
    model = twin.model
    for side, out in zip(SIDES, (1.0, -1.0), strict=True):
        arm, hub = f"{side}.arm", f"{side}.hub"
        model.body(arm, twin.at(side, "arm_end"))
        model.hinge("ground", arm, twin.at(side, "arm_inner"), twin.at(side, "arm_outer") - twin.at(side, "arm_inner"))
        model.body(hub, twin.at(side, "wheel_centre"))
        end = twin.at(side, "arm_end")
        model.on_line(arm, end, hub, end, np.array([0.1, out, 0.05]))
        for rod in ("lower_rod", "upper_rod"):
            model.rod("ground", twin.at(side, f"{rod}_inner"), hub, twin.at(side, f"{rod}_outer"))
        for stay in ("stay", "low_stay"):
            model.rod(arm, twin.at(side, f"{stay}_rear"), hub, twin.at(side, f"{stay}_front"))
        model.drive(side, hub, "z")
        twin.show(hub, *(twin.at(side, name) for name in ("wheel_centre", "upper_rod_outer", "stay_front")))
        twin.show(arm, twin.at(side, "stay_rear"))
    model.system.Assemble()
    return twin


TWINS = {"half-axles": half_axles, "A-frame": a_frame, "pillars": pillars, "leading arms": leading}


@pytest.fixture(scope="module", params=TWINS.values(), ids=TWINS)
def twin(request):
    return request.param()


@pytest.mark.sweep(4)
@pytest.mark.parametrize("motion", STATES)
def test_a_told_linkage_stands_where_the_multibody_library_puts_it(twin, motion):
    assert twin.apart(STATES[motion]) < POSITION


def test_a_told_rack_steers_as_the_multibody_library_says():
    assert pillars().apart(STEERED["rack in bump"]) < POSITION


def test_a_pivot_a_hundredth_of_a_millimetre_off_is_seen():
    assert half_axles(moved=1e-5).apart(STATES["heave"]) > 100 * POSITION
