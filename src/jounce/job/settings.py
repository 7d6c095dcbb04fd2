"""Settings of the planned car: springs for the heights, rod for the axle, plates and tie rods for the wheels."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.preload import Preload, preloads, slack_displacement
from jounce.car.axles.beam_panhard import BeamPanhardAxle, BeamSide
from jounce.car.axles.strut_torsion_bar import StrutTorsionBarAxle
from jounce.car.mechanics.coil_stack import coil_stack
from jounce.car.mechanics.model import AxleModel
from jounce.car.parts import TorsionBarSection
from jounce.conventions.axes import Side
from jounce.conventions.errors import Impossible
from jounce.elements.law import Linear, Shifted
from jounce.job.index.hanging import hanging_point
from jounce.job.index.marks import NO_BOLT, Bolt, IndexSetting, index_setting
from jounce.layouts.naming import SIDES, SideName, named, outward
from jounce.linkage.balance import Element
from jounce.linkage.place import Placed
from jounce.numerics.arrays import Array

QUARTER_TURN = 0.25


@dataclass(frozen=True, slots=True)
class BarSetting:
    """A torsion bar's index, and where its arm hangs without load: ball joint above as found (below: negative) [m]."""

    index: IndexSetting
    free_arm_angle: float
    ball_joint_free: float


@dataclass(frozen=True, slots=True)
class PerchSetting:
    """A coil's seat above the measured seat point [m]: wanted, set (whole quarter turns), and turns from its lowest.

    ``adjustable`` is False when there is no threaded perch: then ``seat`` is 0. ``wanted`` is None when the new spring's
    free length is not known.
    """

    wanted: float | None
    seat: float
    turns: float | None
    adjustable: bool


@dataclass(frozen=True, slots=True)
class RodSetting:
    """The Panhard rod: axle shift if it is left alone, length that centres the axle, and what it is set to [m]."""

    found_length: float
    shift_if_left: float
    centring_length: float
    set_length: float
    turns: float | None


@dataclass(frozen=True, slots=True)
class WheelSetting:
    """What puts a front wheel right: tie rod longer (+), None where no toe is wanted; top plate inward, rearward [m]."""

    tie_rod: float | None
    plate_inward: float
    plate_rearward: float = 0.0


def bar_settings(
    section: StrutTorsionBarAxle,
    found: AxleModel,
    planned: AxleModel,
    standing: AxleStates,
    loads: Mapping[SideName, float],
) -> tuple[dict[SideName, BarSetting], dict[SideName, Element]]:
    """Index of both torsion bars for the wanted standing position, and the bars as elements with that index.

    Args:
        section: the planned axle's document
        found: the axle as found, complete with its springs
        planned: the axle with the planned parts, main springs not among its elements
        standing: wanted travels and settings
        loads: wheel loads there [N]
    """
    placed, needed = needed_springs(planned, standing, loads)
    settings: dict[SideName, BarSetting] = {}
    elements: dict[SideName, Element] = {}
    for side in SIDES:
        one = section.side(Side(side))
        spring = planned.main[side]
        rate = float(spring.rate[0])
        arm = float(planned.stand.taken([spring.measure]).values(placed.pose)[0, 0])
        old = found.elements[named(found.name, side, "main_spring")]
        wound = float(old.law.force(np.zeros(1))[0]) / float(found.main[side].rate[0])
        index = index_of_bar(one.torsion_bar, float(needed[side].displacement[0]) - wound - arm)
        free = -(wound + index.reached)
        hanging = hanging_point(planned.linkage, side)
        settings[side] = BarSetting(index, free, math.nan if hanging is None else float(hanging.rise(free)[0]))
        elements[side] = Element(spring.measure, Linear(rate, rate * (wound + index.reached)))
    return settings, elements


def needed_springs(
    planned: AxleModel, standing: AxleStates, loads: Mapping[SideName, float]
) -> tuple[Placed, dict[SideName, Preload]]:
    """The axle placed where it shall stand, and what its main springs must carry there.

    Args:
        planned: the axle, main springs not among its elements
        standing: travels and settings
        loads: wheel loads there [N]

    Raises:
        Impossible: the linkage does not reach there
    """
    placed = place_axle(planned.stand, planned.name, standing)
    if not placed.reached.all():
        raise Impossible(f"The {planned.name} linkage does not reach the height wanted: ask for a smaller change.")
    carried = {side: np.array([loads[side]]) for side in SIDES}
    return placed, preloads(planned, wheel_motions(placed, planned.name), carried)


def bolt_of(bar: TorsionBarSection) -> Bolt:
    """The adjusting bolt of a torsion bar's anchor."""
    if bar.adjuster is None:
        return NO_BOLT
    step = math.atan2(bar.adjuster.pitch.value, bar.adjuster.lever.value)
    return Bolt(step, -bar.adjuster.turns_down.value, bar.adjuster.turns_up.value)


def index_of_bar(bar: TorsionBarSection, wanted: float) -> IndexSetting:
    """Teeth and bolt of a bar's section of the document that come nearest to a turn.

    Args:
        bar: the bar's section
        wanted: turn from the free angle as found, positive winds up [rad]
    """
    return index_setting(wanted, bar.splines_arm, bar.splines_anchor, bolt_of(bar))


def perch_settings(
    section: BeamPanhardAxle,
    found: AxleModel,
    planned: AxleModel,
    standing: AxleStates,
    loads: Mapping[SideName, float],
    *,
    same_spring: bool,
) -> tuple[dict[SideName, PerchSetting], dict[SideName, Element]]:
    """Seat of both coils for the wanted standing position, and the coils as elements with that seat.

    Args:
        section: the planned axle's document
        found: the axle as found, complete with its springs
        planned: the axle with the planned parts, main springs not among its elements
        standing: wanted travels and settings
        loads: wheel loads there [N]
        same_spring: the spring stays, so that its compression as found is known without its free length
    """
    placed, needed = needed_springs(planned, standing, loads)
    settings: dict[SideName, PerchSetting] = {}
    elements: dict[SideName, Element] = {}
    for side in SIDES:
        one = section.side(Side(side))
        spring = planned.main[side]
        as_found = float(planned.stand.reference_values([spring.measure])[0, 0])
        length = float(planned.stand.taken([spring.measure]).values(placed.pose)[0, 0])
        base = _compression_at_found(one, found, side, as_found, same_spring=same_spring)
        wanted = None
        if base is not None:
            wanted = float(needed[side].displacement[0]) - base - (as_found - length)
        setting = _perch(one, wanted)
        settings[side] = setting
        # A new spring of unknown free length is taken to be as long as the wanted height asks for; a check says so.
        compressed = (
            base + setting.seat if base is not None else float(needed[side].displacement[0]) - as_found + length
        )
        elements[side] = Element(spring.measure, Shifted(spring.law, compressed), -1.0, as_found)
    return settings, elements


def _compression_at_found(
    one: BeamSide, found: AxleModel, side: SideName, as_found: float, *, same_spring: bool
) -> float | None:
    """Compression the spring would have between the measured seats as found [m]; None without its free length."""
    if same_spring:
        return -float(slack_displacement(found.elements[named(found.name, side, "main_spring")]).ravel()[0])
    free = coil_stack(one.spring).free_length
    return None if free is None else float(free[0]) - as_found


def _perch(one: BeamSide, wanted: float | None) -> PerchSetting:
    perch = one.perch
    if perch is None or wanted is None:
        return PerchSetting(wanted, 0.0, None, adjustable=perch is not None)
    lowest, highest, pitch = perch.lowest.value, perch.highest.value, perch.pitch.value
    turns = (min(max(wanted, lowest), highest) - lowest) / pitch
    turns = round(turns / QUARTER_TURN) * QUARTER_TURN
    return PerchSetting(wanted, lowest + turns * pitch, turns, adjustable=True)


def rod_setting(section: BeamPanhardAxle, planned: AxleModel, standing: AxleStates) -> RodSetting:
    """Length of the Panhard rod that puts the axle's middle on the car's centre plane where the car stands.

    Args:
        section: the planned axle's document
        planned: the axle
        standing: travels, rod as found

    Raises:
        Impossible: the linkage does not reach there
    """
    rod, shift = named(planned.name, "panhard"), named(planned.name, "shift")
    found_length = float(planned.stand.reference_values([rod])[0, 0])
    alone = place_axle(planned.stand, planned.name, standing)
    centred = placed_in_the_middle(planned, AxleStates(left=standing.left, right=standing.right))
    if not centred.reached.all():
        raise Impossible(
            f"The {planned.name} linkage does not reach the height wanted whatever the Panhard rod's length: ask for a "
            "smaller change, or check the pivots of arms and rod."
        )
    if not alone.reached.all():
        raise Impossible(
            f"With the Panhard rod as long as found the {planned.name} linkage does not reach the height wanted: ask for a "
            "smaller change, or check the rod's two ends."
        )
    length = float(planned.stand.taken([rod]).values(centred.pose)[0, 0])
    left_alone = float(planned.stand.taken([shift]).values(alone.pose)[0, 0])
    panhard = section.panhard
    if panhard.shortest is None or panhard.longest is None:
        return RodSetting(found_length, left_alone, length, found_length, None)
    chosen = min(max(length, panhard.shortest.value), panhard.longest.value)
    if panhard.thread_pitch is None:
        return RodSetting(found_length, left_alone, length, chosen, None)
    turns = round((chosen - found_length) / panhard.thread_pitch.value / QUARTER_TURN) * QUARTER_TURN
    return RodSetting(found_length, left_alone, length, found_length + turns * panhard.thread_pitch.value, turns)


def wheel_settings(
    planned: AxleModel,
    standing: AxleStates,
    camber: Mapping[SideName, float] | None,
    toe: Mapping[SideName, float] | None,
    caster: Mapping[SideName, float] | None = None,
) -> tuple[dict[SideName, WheelSetting], dict[str, float]]:
    """Tie rods and top plates that give the wanted camber, toe and caster together where the car stands.

    Args:
        planned: the front axle
        standing: travels, settings (a plate's displacement fore and aft when caster is free, inward when camber is) and
            how the body stands over its road
        camber: wanted camber to the road of each wheel, None to leave the plates where they are [rad]
        toe: wanted toe to the road of each wheel, None to leave the tie rods as they are [rad]
        caster: wanted caster to the road of each wheel, None to leave the plates fore and aft where they are [rad]

    Returns:
        What to turn, and the joint values that go with it.

    Raises:
        Impossible: no setting gives the wanted angles
    """
    axle = planned.name
    placed = placed_with_angles(planned, standing, camber, toe, caster)
    if not placed.reached.all():
        angles = "camber, toe and caster" if caster else "camber and toe"
        raise Impossible(f"No position of top plates and tie rods gives the wanted {angles} at this height.")
    joints = ("top_plate_y", "tie_rod", "top_plate_x")
    names = [named(axle, side, joint) for side in SIDES for joint in joints]
    values = planned.stand.taken(names).values(placed.pose)[0]
    found = planned.stand.reference_values(names)[0]
    joint_values = {name: float(value) for name, value in zip(names, values, strict=True)}
    settings = {}
    for k, side in enumerate(SIDES):
        inward, rod, fore = values[3 * k : 3 * k + 3]
        longer = None if toe is None else float(rod - found[3 * k + 1])
        settings[side] = WheelSetting(longer, -outward(side) * float(inward), -float(fore) + 0.0)
    return settings, joint_values


def placed_with_angles(
    planned: AxleModel,
    standing: AxleStates,
    camber: Mapping[SideName, float] | None,
    toe: Mapping[SideName, float] | None,
    caster: Mapping[SideName, float] | None,
) -> Placed:
    """The front axle placed with tie rods and top plates where the wanted angles need them; one that stands for many too.

    Args:
        planned: the front axle
        standing: as of `wheel_settings`
        camber: wanted camber to the road of each wheel, None to leave the plates where they are [rad]
        toe: wanted toe to the road, likewise of the tie rods [rad]
        caster: wanted caster to the road, likewise of the plates fore and aft [rad]
    """
    axle = planned.name
    drives: dict[str, Array | float] = dict(standing.settings or {})
    freed: list[str] = []
    # A wheel's camber is told by how far its axis rises square to the road.
    rise = None if camber is None else {side: -outward(side) * math.sin(camber[side]) for side in SIDES}
    pairs = ((rise, "road_cosine", "top_plate_y"), (toe, "toe", "tie_rod"), (caster, "caster", "top_plate_x"))
    for wanted, measure, joint in pairs:
        if wanted is None:
            continue
        for side in SIDES:
            drives.pop(named(axle, side, joint), None)
            drives[named(axle, side, measure)] = wanted[side]
            freed.append(named(axle, side, joint))
    return place_axle(planned.stand, axle, replace(standing, settings=drives), tuple(freed))


def plate_joints(inward: float, rearward: float) -> dict[str, float]:
    """Values of the top plates' joints [m].

    Args:
        inward: both plates' displacement towards the middle of the car [m]
        rearward: the same to the rear [m]
    """
    values = {named("front", side, "top_plate_y"): -outward(side) * inward for side in SIDES}
    return values | {named("front", side, "top_plate_x"): -rearward for side in SIDES}


def placed_in_the_middle(planned: AxleModel, standing: AxleStates) -> Placed:
    """A beam axle placed with its middle on the car's centre plane, whatever its Panhard rod's length.

    Args:
        planned: the axle
        standing: travels
    """
    rod, shift = named(planned.name, "panhard"), named(planned.name, "shift")
    return place_axle(planned.stand, planned.name, replace(standing, settings={shift: 0.0}), freed=(rod,))
