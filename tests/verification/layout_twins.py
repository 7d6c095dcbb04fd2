"""Every layout once more in the joints of a general multibody library, told from what the trade says of it.

A twin's bodies have the names that the program's have behind the axle's name, so that the two can be compared body by
body; nothing else is taken from the program but the pivots.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from tests.verification.multibody import Multibody, axis_from_angles

SIDES = ("left", "right")
OUT = {"left": 1.0, "right": -1.0}
X, Y, Z = np.eye(3)
SIDEWAYS = {"left": "right", "right": "left"}

_ROD_SHARE = 0.75  # radius of a leaf spring's seat as a share of its front half


@dataclass
class Twin:
    """A layout in the multibody library.

    Attributes:
        model: bodies, joints, drives (``left`` and ``right`` are the wheel centres' rises, ``gear`` the steering gear)
        given: pivots and choices
        points: bodies and points as found whose places are compared
        readings: what is measured, by the program's name for it without the axle's, in SI
        carriers: body that carries each wheel
        gear_offset: the drive ``gear`` for a displacement of the rack [m] or an angle of the pitman arm [rad]
        road_normal: upright of the road in the body's axes

    """

    model: Multibody
    given: object
    points: list = field(default_factory=list)
    readings: dict[str, Callable[[], float]] = field(default_factory=dict)
    carriers: dict[str, str] = field(default_factory=dict)
    gear_offset: Callable[[float], float] = float
    road_normal: np.ndarray = field(default_factory=lambda: np.eye(3)[2])

    def roll_body(self, roll):
        """Tilt the road as a body that rolls to the right (right side down) sees it: its normal leans to the left."""
        self.road_normal = np.array([0.0, np.sin(roll), np.cos(roll)])

    def at(self, side, pivot):
        """A pivot of a side as found [m]."""
        return self.given.pivots[side][pivot]

    def shown(self, body, *points):
        """Points of a body whose places are compared."""
        self.points += [(body, at) for at in points]

    def apart(self, name, first, second):
        """Read the distance of two points (body, as found) [m]."""
        place = self.model.position
        self.readings[name] = lambda: np.linalg.norm(place(*second) - place(*first))


def twin_of(layout_name, given):
    """The twin of a layout, ready to be driven."""
    twin = Twin(Multibody(), given)
    _TOLD[layout_name](twin)
    twin.model.system.Assemble()
    return twin


# ---------------------------------------------------------------------------------------------- parts in common


def _wheel(twin, side, carrier):
    """A wheel on its carrier: its centre's rise is driven; its place, angles and contact point are read."""
    model, centre, wheel = twin.model, twin.at(side, "wheel_centre"), twin.given.wheels[side]
    twin.carriers[side] = carrier
    model.feeler(f"{side}.hub", carrier, centre)
    model.drive(side, f"{side}.hub", "z")
    twin.shown(carrier, centre)
    axis = axis_from_angles(wheel.camber, wheel.toe, side)

    def angle(sense, across=None, component=0):
        now = model.direction(carrier, axis)
        return sense * np.arctan2(now[component], now[1] if across is None else now @ across())

    def left_on_the_road():
        return np.cross(twin.road_normal, [1.0, 0.0, 0.0])

    def contact(letter):
        now = model.direction(carrier, axis)
        down = (twin.road_normal @ now) * now - twin.road_normal
        place = model.position(carrier, centre) + wheel.loaded_radius * down / np.linalg.norm(down)
        return place["xyz".index(letter)]

    twin.readings |= {
        f"{side}.camber": lambda: angle(-OUT[side], component=2),
        f"{side}.toe": lambda: angle(OUT[side], left_on_the_road),
        f"{side}.steer": lambda: angle(-1.0, left_on_the_road),
        **{f"{side}.contact_{c}": lambda c=c: contact(c) for c in "xyz"},
    }


def _steering_axis(twin, side, lower, upper):
    def line():
        return twin.model.position(*upper) - twin.model.position(*lower)

    twin.readings |= {
        f"{side}.caster": lambda: np.arctan2(-line()[0], line() @ twin.road_normal),
        f"{side}.kingpin_inclination": lambda: np.arctan2(
            -OUT[side] * np.cross(twin.road_normal, [1.0, 0.0, 0.0]) @ line(), line() @ twin.road_normal
        ),
    }


def _coil(twin, side, lower_on, upper_on="ground"):
    """Where there is one, its length is read."""
    if twin.given.spring == "coil":
        ends = (upper_on, twin.at(side, "spring_upper")), (lower_on, twin.at(side, "spring_lower"))
        twin.apart(f"{side}.spring", *ends)


def _damper(twin, side, lower_on):
    """A damper locates nothing; its length is read."""
    ends = ("ground", twin.at(side, "damper_upper")), (lower_on, twin.at(side, "damper_lower"))
    twin.apart(f"{side}.damper", *ends)


def _arm(twin, side, word, pivots, tip):
    """An arm on two body pivots; its angle counts as its tip rises."""
    name = f"{side}.{word}"
    one, two = (twin.at(side, pivot) for pivot in pivots)
    twin.model.body(name, 0.5 * (one + two))
    along = (one - two) / np.linalg.norm(one - two)
    if np.cross(along, tip - one)[2] < 0:
        along = -along
    twin.model.hinge("ground", name, one, along)
    twin.shown(name, tip)
    twin.readings[f"{side}.{word}_angle"] = lambda: twin.model.turned(name, "ground", along)
    return name


def _torsion_bar(twin, side, arm):
    if twin.given.spring == "torsion bar":
        twin.readings[f"{side}.torsion_bar"] = twin.readings[f"{arm}_angle"]


def _gear(twin):
    """What carries the tie rods' inner ends: a rack that slides across the car, a relay rod, or the body."""
    model, kind = twin.model, twin.given.choices["steering"]
    if kind == "rack":
        model.body("rack_bar", np.zeros(3))
        model.slide("ground", "rack_bar", np.zeros(3), Y)
        model.drive("gear", "rack_bar", "y")
        return "rack_bar"
    if kind == "box":
        return _relay(twin)
    return "ground"


def _relay(twin):
    """A relay rod between pitman and idler arm, whose shafts stand upright."""
    model, box = twin.model, twin.given.axle_pivots["steering_box"]
    for arm in ("pitman", "idler"):
        model.body(f"{arm}_arm", box[f"{arm}_end"])
        model.hinge("ground", f"{arm}_arm", box[f"{arm}_pivot"], Z)
    model.body("relay_rod", box["pitman_end"])
    if box["pitman_end"][2] == box["idler_end"][2]:  # it stays level: it may as well hang on an upright pin
        model.hinge("pitman_arm", "relay_rod", box["pitman_end"], Z)
        model.on_line("idler_arm", box["idler_end"], "relay_rod", box["idler_end"], Z)
    else:  # two balls; its spin moves nothing on its line, and is held here by keeping a point above it abreast
        model.ball("pitman_arm", "relay_rod", box["pitman_end"])
        model.ball("idler_arm", "relay_rod", box["idler_end"])
        model.feeler("relay_rod.spin", "relay_rod", box["pitman_end"] + 0.1 * Z)
        model.tie("pitman_arm", "relay_rod.spin", "x", 1.0)
    model.drive("gear", "pitman_arm", "y")
    twin.shown("relay_rod", box["pitman_end"], box["idler_end"])
    ahead, across, _ = box["pitman_end"] - box["pitman_pivot"]
    sense = np.sign(ahead)  # an end ahead of its shaft goes left as the arm turns to the left
    twin.gear_offset = lambda angle: ahead * np.sin(sense * angle) + across * (np.cos(angle) - 1.0)
    return "relay_rod"


def _anti_roll_bar(twin, carried_by, far):
    """Two halves in bushes on one body, linked to another; their angles against each other are read."""
    model, sides = twin.model, {side: getattr(twin.given.anti_roll_bars["roll_bar"], side) for side in SIDES}
    line = sides["left"].bush - sides["right"].bush
    for side, points in sides.items():
        half = f"{side}.roll_bar_half"
        model.body(half, points.bush)
        model.hinge(carried_by, half, points.bush, line)
        model.rod(half, points.arm_end, far[side], points.link_end)
        twin.shown(half, points.arm_end)
    twin.readings["roll_bar_twist"] = lambda: (
        model.turned("left.roll_bar_half", carried_by, line) - model.turned("right.roll_bar_half", carried_by, line)
    )


def _far(twin, words):
    """Body at the far ends of the roll bar's links."""
    word = words[twin.given.anti_roll_bars["roll_bar"].link_on]
    return {side: word if word == "ground" else f"{side}.{word}" for side in SIDES}


def _tie_rod(twin, side, gear, knuckle):
    ends = twin.at(side, "tie_rod_inner"), twin.at(side, "tie_rod_outer")
    twin.model.rod(gear, ends[0], knuckle, ends[1], name=f"{side}.tie_rod")
    twin.shown(knuckle, ends[1])


# -------------------------------------------------------------------------------------- wheels hung independently


def _sliding_rod(twin, side, top, foot):
    """A knuckle that slides on a rod whose top turns freely in a plate that can be moved on the body; gives the plate."""
    model, knuckle, rod, plate = twin.model, f"{side}.knuckle", f"{side}.rod", f"{side}.top_plate"
    model.body(plate, top)
    model.joint("ground", top, plate, top, [0, 0, 1, 1, 1, 1], Z)
    for letter in "xy":
        model.drive(f"{side}.top_plate_{letter}", plate, letter)
    model.body(rod, top)
    model.ball(plate, rod, top)
    model.body(knuckle, twin.at(side, "wheel_centre"))
    model.slide(rod, knuckle, foot, top - foot)
    return plate


def _struts(twin):
    """The damper's body, bolted to the knuckle, slides on a rod whose top turns freely in the body's mount."""
    model, gear = twin.model, _gear(twin)
    for side in SIDES:
        ball, top, foot = (twin.at(side, pivot) for pivot in ("ball_joint", "strut_top", "strut_foot"))
        arm = _arm(twin, side, "arm", ("arm_front", "arm_rear"), ball)
        knuckle, plate = f"{side}.knuckle", _sliding_rod(twin, side, top, foot)
        model.ball(arm, knuckle, ball)
        _tie_rod(twin, side, gear, knuckle)
        _wheel(twin, side, knuckle)
        _steering_axis(twin, side, (arm, ball), (plate, top))
        twin.shown(knuckle, ball, foot)
        twin.apart(f"{side}.damper", (plate, top), (knuckle, foot))
        _torsion_bar(twin, side, arm)
        _coil(twin, side, knuckle, upper_on=plate)
    _anti_roll_bar(twin, "ground", _far(twin, {"arm": "arm", "strut": "knuckle"}))


def _strut_links(twin):
    """The strut's rod turns freely in the body's mount; in place of an arm three rods, one of them along the car."""
    model = twin.model
    for side in SIDES:
        top, foot = twin.at(side, "strut_top"), twin.at(side, "strut_foot")
        knuckle, plate = f"{side}.knuckle", _sliding_rod(twin, side, top, foot)
        for link in ("front_link", "rear_link", "trailing_link"):
            ends = twin.at(side, f"{link}_inner"), twin.at(side, f"{link}_outer")
            name = link if link == "trailing_link" else link.replace("_", "_lateral_")
            model.rod("ground", ends[0], knuckle, ends[1], name=f"{side}.{name}")
            twin.shown(knuckle, ends[1])
        _wheel(twin, side, knuckle)
        twin.shown(knuckle, foot)
        twin.apart(f"{side}.damper", (plate, top), (knuckle, foot))
        _coil(twin, side, knuckle, upper_on=plate)
    _anti_roll_bar(twin, "ground", _far(twin, {"strut": "knuckle"}))


def _wishbones(twin):
    model, gear, choice = twin.model, _gear(twin), twin.given.choices
    for side in SIDES:
        knuckle = f"{side}.knuckle"
        model.body(knuckle, twin.at(side, "wheel_centre"))
        for level in ("lower", "upper"):
            ball = twin.at(side, f"{level}_ball")
            arm = _arm(twin, side, f"{level}_arm", (f"{level}_front", f"{level}_rear"), ball)
            model.ball(arm, knuckle, ball)
        _tie_rod(twin, side, gear, knuckle)
        _wheel(twin, side, knuckle)
        _steering_axis(twin, side, (knuckle, twin.at(side, "lower_ball")), (knuckle, twin.at(side, "upper_ball")))
        twin.shown(knuckle, twin.at(side, "upper_ball"))
        _coil(twin, side, f"{side}.{choice['spring_on']}")
        _damper(twin, side, f"{side}.{choice['damper_on']}")
        _torsion_bar(twin, side, f"{side}.{choice['torsion_bar_on']}")
    _anti_roll_bar(twin, "ground", _far(twin, {word: word for word in ("lower_arm", "upper_arm", "knuckle")}))


def _five_links(twin):
    gear = _gear(twin)
    for side in SIDES:
        knuckle = f"{side}.knuckle"
        twin.model.body(knuckle, twin.at(side, "wheel_centre"))
        for n in (1, 2, 3, 4):
            ends = twin.at(side, f"link_{n}_inner"), twin.at(side, f"link_{n}_outer")
            twin.model.rod("ground", ends[0], knuckle, ends[1], name=f"{side}.link_{n}")
            twin.shown(knuckle, ends[1])
        _tie_rod(twin, side, gear, knuckle)
        _wheel(twin, side, knuckle)
        _coil(twin, side, knuckle)
        _damper(twin, side, knuckle)
    _anti_roll_bar(twin, "ground", _far(twin, {"knuckle": "knuckle"}))


def _swinging_arms(twin):
    for side in SIDES:
        arm = _arm(twin, side, "arm", ("arm_inner", "arm_outer"), twin.at(side, "wheel_centre"))
        _wheel(twin, side, arm)
        _coil(twin, side, arm)
        _damper(twin, side, arm)
        _torsion_bar(twin, side, arm)
    _anti_roll_bar(twin, "ground", _far(twin, {"arm": "arm"}))


# ------------------------------------------------------------------------------------------ both wheels on one axle


def _held_in_the_middle(twin, pivot, bodies):
    """Two like bushes share the side force: what one side's pivot goes to the left the other goes to the right."""
    for side in SIDES:
        twin.model.feeler(f"{side}.{pivot}", bodies[side], twin.at(side, pivot))
    twin.model.tie(f"left.{pivot}", f"right.{pivot}", "y", -1.0)


def _bushes(twin, bodies):
    """Arm ends held square to the bushes' own axes, soft along them."""
    for side in SIDES:
        eye = twin.at(side, "arm_bush")
        twin.model.on_line("ground", eye, bodies[side], eye, twin.given.bush_axis.get(side, Y))
        twin.shown(bodies[side], eye)


def _twist_beam(twin):
    model, arms = twin.model, {side: f"{side}.arm" for side in SIDES}
    for side in SIDES:
        model.body(arms[side], twin.at(side, "arm_bush"))
    line = twin.at("left", "twist_line") - twin.at("right", "twist_line")
    model.hinge("left.arm", "right.arm", twin.at("left", "twist_line"), line)
    _bushes(twin, arms)
    _held_in_the_middle(twin, "arm_bush", arms)
    for side in SIDES:
        _wheel(twin, side, arms[side])
        _coil(twin, side, arms[side])
        _damper(twin, side, arms[side])
    twin.readings["inner_bar_twist"] = lambda: model.turned("right.arm", "left.arm", line)
    _anti_roll_bar(twin, "ground", _far(twin, {"arm": "arm"}))


def _tube(twin, turning):
    """The tube and what turns about its line; gives the bodies of both sides' arms and hub carriers."""
    model = twin.model
    ends = [twin.at(side, "tube_end") for side in SIDES]
    line = ends[0] - ends[1]
    middle = 0.5 * (twin.at("left", "wheel_centre") + twin.at("right", "wheel_centre"))
    model.body("tube", middle)
    sides = {"both": SIDES, "neither": ("right",)}.get(turning, (turning,))
    for side in sides:
        model.body(f"{side}.carrier", twin.at(side, "wheel_centre"))
        model.hinge("tube", f"{side}.carrier", twin.at(side, "tube_end"), line)
    if turning == "both":
        carriers = {side: f"{side}.carrier" for side in SIDES}
        _half_way(model, "tube", carriers, 0.5 * (ends[0] + ends[1]), line)
    twin.shown("tube", *ends)
    parts = ("tube", "right.carrier") if turning == "neither" else ("tube",)  # a tube that twists has two halves
    twin.readings["shift"] = lambda: np.mean([model.position(part, middle)[1] for part in parts])

    def yaw():
        along = model.direction("tube", line)
        return np.arctan2(-along[0], along[1])

    twin.readings["axle_steer"] = yaw
    bodies = {side: f"{side}.carrier" if side in sides else "tube" for side in SIDES}
    turning_one = "left" if turning == "left" else "right"
    other = bodies[SIDEWAYS[turning_one]]
    twin.readings["inner_bar_twist"] = lambda: model.turned(bodies[turning_one], other, line)
    return bodies


def _half_way(model, between, outer, middle, line):
    """Keep a body half way between two others: two like rods from them to a block that slides on it."""
    along = line / np.linalg.norm(line)
    up = np.cross(along, X) / np.linalg.norm(np.cross(along, X))
    ahead = np.cross(up, along)
    block = middle + 0.25 * up
    model.body("block", block)
    model.slide(between, "block", block, up)
    for side in SIDES:
        model.rod(outer[side], middle + 0.06 * up + OUT[side] * 0.1 * ahead, "block", block)


def _beam(twin, bodies, turning, spring_on, damper_on):
    """Wheels, springs, dampers and the roll bar of a beam axle."""
    for side in SIDES:
        part = {"arm": bodies[side], "tube": bodies[side] if turning == "neither" else "tube"}
        _wheel(twin, side, bodies[side])
        _coil(twin, side, part[spring_on])
        _damper(twin, side, part[damper_on])
    _anti_roll_bar(twin, "tube", _far(twin, {"body": "ground"}))


def _on_tube(twin, bodies, turning, at):
    """The body of a point on the tube: of a tube that twists, the half on its side, or its middle half way with both."""
    ends = [twin.at(side, "tube_end") for side in SIDES]
    if turning != "neither":
        return "tube"
    if abs(at[1]) >= 0.1 * ends[0][1]:
        return bodies["left" if at[1] > 0 else "right"]
    middle, line = 0.5 * (ends[0] + ends[1]), ends[0] - ends[1]
    twin.model.body("tube_middle", middle)
    twin.model.hinge(bodies["left"], "tube_middle", middle, line)
    _half_way(twin.model, "tube_middle", bodies, middle, line)
    return "tube_middle"


def _panhard(twin, bodies, turning):
    rod = twin.given.axle_pivots["panhard"]
    on = _on_tube(twin, bodies, turning, rod["axle_end"])
    twin.model.rod("ground", rod["body_end"], on, rod["axle_end"], name="panhard")
    twin.shown(on, rod["axle_end"])


def _beam_panhard(twin):
    choice = twin.given.choices
    bodies = _tube(twin, choice["turning_side"])
    _bushes(twin, bodies)
    _panhard(twin, bodies, choice["turning_side"])
    _beam(twin, bodies, choice["turning_side"], choice["spring_on"], choice["damper_on"])


def _beam_watt(twin):
    """The rocker turns about a line along the car, on the axle or on the body; its two rods end on the other."""
    model, choice, watt = twin.model, twin.given.choices, twin.given.axle_pivots["watt"]
    turning = choice["turning_side"]
    bodies = _tube(twin, turning)
    _bushes(twin, bodies)
    model.body("rocker", watt["rocker_pivot"])
    on_axle = choice["rocker_on"] == "axle"
    carrier = _on_tube(twin, bodies, turning, watt["rocker_pivot"]) if on_axle else "ground"
    model.hinge(carrier, "rocker", watt["rocker_pivot"], X)
    for side in SIDES:
        end = watt[f"{side}_rod_end"]
        far = "ground" if on_axle else _on_tube(twin, bodies, turning, end)
        model.rod("rocker", watt[f"{side}_rocker_end"], far, end, name=f"watt_rod_{side}")
        twin.shown("rocker", watt[f"{side}_rocker_end"])
    _beam(twin, bodies, turning, choice["spring_on"], choice["damper_on"])


def _beam_four_link(twin):
    bodies = _tube(twin, "neither")
    for side in SIDES:
        for link in ("lower_link", "upper_link"):
            ends = twin.at(side, f"{link}_front"), twin.at(side, f"{link}_rear")
            twin.model.rod("ground", ends[0], bodies[side], ends[1], name=f"{side}.{link}")
    _panhard(twin, bodies, "neither")
    _beam(twin, bodies, "neither", "tube", "tube")


def _beam_leaf(twin):
    """Each seat led by a link of three quarters of the leaf's front half, keeping its slope."""
    model, bodies = twin.model, _tube(twin, "neither")
    for side in SIDES:
        seat, eye, shackle = (twin.at(side, pivot) for pivot in ("leaf_seat", "front_eye", "rear_eye"))
        model.rod("ground", eye + (1 - _ROD_SHARE) * (seat - eye), bodies[side], seat, name=f"{side}.leaf_front")
        model.feeler(f"{side}.seat_front", bodies[side], seat + 0.2 * X)
        model.feeler(f"{side}.seat_rear", bodies[side], seat - 0.2 * X)
        model.tie(f"{side}.seat_front", f"{side}.seat_rear", "z", 1.0)
        middle = 0.5 * (eye[2] + shackle[2])
        twin.readings[f"{side}.spring"] = lambda b=bodies[side], s=seat, m=middle: m - model.position(b, s)[2]
    _held_in_the_middle(twin, "leaf_seat", bodies)
    _beam(twin, bodies, "neither", "tube", "tube")


_TOLD = {
    "strut-torsion-bar": _struts,
    "strut-coil": _struts,
    "strut-lateral-links": _strut_links,
    "double-wishbone": _wishbones,
    "five-link": _five_links,
    "trailing-arm": _swinging_arms,
    "semi-trailing-arm": _swinging_arms,
    "twist-beam": _twist_beam,
    "beam-panhard": _beam_panhard,
    "beam-watt": _beam_watt,
    "beam-four-link": _beam_four_link,
    "beam-leaf": _beam_leaf,
}
