"""Settings of the planned car: springs for the heights, rod for the axle, plates and tie rods for the wheels."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.preload import Preload, preloads, slack_displacement
from jounce.car.axles.axle import Axle
from jounce.car.mechanics.free_length import free_length
from jounce.car.mechanics.model import AxleModel
from jounce.car.parts import PanhardRod, Perch, TorsionBarSection
from jounce.conventions.axes import Side
from jounce.conventions.errors import Impossible
from jounce.elements.law import Linear, Shifted
from jounce.job.drop_links import LinkSetting, LinkWish
from jounce.job.index.hanging import hanging_point
from jounce.job.index.marks import NO_BOLT, Bolt, IndexSetting, index_setting
from jounce.job.joint_spacers import AS_THEY_WERE, BumpSetting, JointHeights
from jounce.job.link_lengths import LinkLength, LinkRange, placed_with_casters
from jounce.job.rod_range import ANY_LENGTH, RodRange
from jounce.job.shackles import LIFTS, ShackleRange
from jounce.job.shim_range import ANY_SHIM, ShimRange
from jounce.job.slot_range import NO_END, SlotRange
from jounce.job.trailing_links import TrailingSetting, TrailingWish
from jounce.job.watt_bracket import BracketRange, BracketSetting
from jounce.layouts.adjusters import Adjuster, Aim, is_shim
from jounce.layouts.naming import SIDES, SideName, named, outward
from jounce.linkage.balance import Element
from jounce.linkage.place import Placed
from jounce.numerics.arrays import Array

QUARTER_TURN = 0.25
_WHOLE = 1e-9  # a count this near to a whole one is that
_ROUNDS_AT_ENDS = 4  # joints let go again: what one moves for another is less than its own way


@dataclass(frozen=True, slots=True)
class BarSetting:
    """A torsion bar's index, and where its arm hangs without load: ball joint above as found (below: negative) [m]."""

    index: IndexSetting
    free_arm_angle: float
    ball_joint_free: float


@dataclass(frozen=True, slots=True)
class PerchSetting:
    """A spring's seat above the measured seat point [m]: wanted, set (whole quarter turns), and turns from its lowest.

    ``adjustable`` is False when there is no threaded perch: then ``seat`` is the height of the spacer, 0 without one.
    ``wanted`` is None when the new spring's free length is not known. ``shackle`` is by how much a leaf spring's shackle is
    made longer, whose half is in ``seat``; None where it stays. ``one_length`` is True of a shackle that cannot be set.
    """

    wanted: float | None
    seat: float
    turns: float | None
    adjustable: bool
    shackle: float | None = None
    one_length: bool = False


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
    """What puts a wheel right [m].

    Attributes:
        tie_rod: by how much the rod that sets the toe gets longer, None where no toe is wanted
        plate_inward: where the top plate or upper joint is put from as found, towards the middle of the car
        plate_rearward: the same to the rear
        inward_needed: where it would have to be for the angles wanted, whatever its ends and its steps
        rearward_needed: the same to the rear
        shims: of hubs on shims, by how much they make camber and toe grow, by those words [rad]
        shims_needed: by how much they would have to, whatever their thickness and its steps [rad]
        tie_rod_needed: by how much the rod that sets the toe would have to get longer, whatever its thread
        bolt_turn: of eccentric bolts that move the upper joint, from their middle, inward positive [rad]
        links: links whose lengths set its camber and caster, by those words

    """

    tie_rod: float | None
    plate_inward: float
    plate_rearward: float
    inward_needed: float
    rearward_needed: float
    shims: Mapping[Aim, float] = field(default_factory=dict)
    shims_needed: Mapping[Aim, float] = field(default_factory=dict)
    tie_rod_needed: float | None = None
    bolt_turn: float | None = None
    links: Mapping[Aim, LinkLength] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class WheelsSet:
    """The wheels of an axle put right.

    Attributes:
        wheels: what to turn and move
        values: the joint values that go with it [m]
        held: those among them that stand at an end or on a step of their range, whatever the angle wanted [m]

    """

    wheels: Mapping[SideName, WheelSetting] = field(default_factory=dict)
    values: Mapping[str, float] = field(default_factory=dict)
    held: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class AxleSettings:
    """All that is set on one axle; what it has not is empty or None.

    Attributes:
        bars: torsion bars
        seats: seats of coils or leaves
        rod: the rod that holds the axle sideways
        wheels: what puts its wheels right
        mover: what moves the upper joints, in words of the trade; empty where nothing does
        toe_rod: the rod whose length sets the toe, likewise
        alone: camber and toe with tie rods, and what moves the upper joints, as they were, by ``(angle, side)`` [rad]
        held: joint values that no angle sets, since they are at an end or on a step of their range [m]
        shims: what is known of shims under its hubs
        rods: what is known of the rods that set the toe
        link_ranges: what is known of the links that set camber and caster, by these
        links: drop links that free its anti-roll bars, by the bars' names
        bracket: of a Watt linkage's rocker
        trailing: links or arms that set where it points
        joints: how far spacers and rack set joints from where they were
        bump_steer: what gives the bump steer wanted

    """

    bars: Mapping[SideName, BarSetting] = field(default_factory=dict)
    seats: Mapping[SideName, PerchSetting] = field(default_factory=dict)
    rod: RodSetting | None = None
    wheels: Mapping[SideName, WheelSetting] = field(default_factory=dict)
    mover: str = ""
    toe_rod: str = ""
    alone: Mapping[tuple[str, SideName], float] = field(default_factory=dict)
    held: Mapping[str, float] = field(default_factory=dict)
    shims: ShimRange = ANY_SHIM
    rods: RodRange = ANY_LENGTH
    link_ranges: Mapping[Aim, LinkRange] = field(default_factory=dict)
    links: Mapping[str, LinkSetting] = field(default_factory=dict)
    bracket: BracketSetting | None = None
    trailing: TrailingSetting | None = None
    joints: JointHeights = AS_THEY_WERE
    bump_steer: BumpSetting | None = None


@dataclass(frozen=True, slots=True)
class WantedAngles:
    """Angles of the wheels of an axle, to the road, and where slots are put that no angle moves.

    ``camber``, ``toe`` and ``caster`` of each side are None to leave them [rad]; ``inward`` and ``rearward`` displace the
    upper joints, unused where camber or caster is wanted [m]; ``slots`` is how far they go, ``shims`` what is known of
    shims under the hubs, ``rods`` how far those that set the toe go, ``links`` those that set camber or caster by their
    lengths.
    """

    camber: Mapping[SideName, float] | None = None
    toe: Mapping[SideName, float] | None = None
    caster: Mapping[SideName, float] | None = None
    inward: float = 0.0
    rearward: float = 0.0
    slots: SlotRange = NO_END
    shims: ShimRange = ANY_SHIM
    rods: RodRange = ANY_LENGTH
    links: Mapping[Aim, LinkRange] = field(default_factory=dict)

    def of(self, aim: Aim) -> Mapping[SideName, float] | None:
        """An angle of each side; None to leave it [rad].

        Args:
            aim: camber, toe or caster
        """
        return {"camber": self.camber, "toe": self.toe, "caster": self.caster}.get(aim)


@dataclass(frozen=True, slots=True)
class AxleWishes:
    """What is asked of one axle besides its height.

    Attributes:
        angles: of both wheels
        same_spring: its coils or leaves stay
        spacer: height of what is put between spring and seat [m]
        shackles: how far shackles of its leaf springs go; None where they stay
        bracket: how far a Watt linkage's bracket goes; None where it is not moved
        trailing: where its links or arms are to make it point; None where they are not set
        joints: how far spacers and rack set joints from where they were
        free_bars: whose drop links are set so that the anti-roll bars are free; None to leave them

    """

    angles: WantedAngles
    same_spring: bool = False
    spacer: float = 0.0
    shackles: ShackleRange | None = None
    free_bars: LinkWish | None = None
    bracket: BracketRange | None = None
    trailing: TrailingWish | None = None
    joints: JointHeights = AS_THEY_WERE


def trailing_of(section: Axle) -> Adjuster | None:
    """The links or arms that set where an axle points; None where none do.

    Args:
        section: its part of the document
    """
    return next((adjuster for adjuster in section.as_layout().adjusters if adjuster.sets == "thrust"), None)


def aims_of(section: Axle) -> dict[Aim, str]:
    """The joints that can be set on an axle, by what they are set for.

    Args:
        section: its part of the document
    """
    return {adjuster.sets: adjuster.joint for adjuster in section.as_layout().adjusters}


def joints_set(section: Axle, wanted: WantedAngles) -> dict[Aim, str]:
    """The joints that can be set on an axle with the links that a job names, by what they are set for.

    Args:
        section: its part of the document
        wanted: the angles, and the links that give them
    """
    return aims_of(section) | {aim: link.joint for aim, link in wanted.links.items()}


def setter_of(section: Axle, aim: Aim) -> str:
    """What an axle is set by, in words of the trade; empty where nothing is.

    Args:
        section: its part of the document
        aim: what it is set for: what moves the upper joints for camber, a rod for toe
    """
    return next((adjuster.name for adjuster in section.as_layout().adjusters if adjuster.sets == aim), "")


def settings_values(settings: AxleSettings) -> dict[str, Any]:
    """The settings of an axle as plain data, SI.

    Args:
        settings: what is set on it
    """
    alone: dict[str, dict[str, float]] = {}
    for (angle, side), value in settings.alone.items():
        alone.setdefault(angle, {})[side] = value
    return {
        "torsion_bars": {side: asdict(one) for side, one in settings.bars.items()},
        "seats": {side: asdict(one) for side, one in settings.seats.items()},
        "rod": None if settings.rod is None else asdict(settings.rod),
        "wheels": {side: asdict(one) for side, one in settings.wheels.items()},
        "watt_bracket": None if settings.bracket is None else asdict(settings.bracket),
        "trailing_links": None if settings.trailing is None else asdict(settings.trailing),
        "drop_links": {bar: asdict(one) for bar, one in settings.links.items()},
        "joint_heights": None if settings.joints == AS_THEY_WERE else asdict(settings.joints),
        "bump_steer": None if settings.bump_steer is None else asdict(settings.bump_steer),
        "left_alone": alone,
    }


def bar_settings(
    section: Axle,
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


def seat_settings(
    section: Axle,
    found: AxleModel,
    planned: AxleModel,
    standing: AxleStates,
    loads: Mapping[SideName, float],
    wishes: AxleWishes,
) -> tuple[dict[SideName, PerchSetting], dict[SideName, Element]]:
    """Seat of both springs for the wanted standing position, and the springs as elements with that seat.

    Args:
        section: the planned axle's document
        found: the axle as found, complete with its springs
        planned: the axle with the planned parts, main springs not among its elements
        standing: wanted travels and settings
        loads: wheel loads there [N]
        wishes: whether the spring stays, so that its compression as found is known without its free length; a spacer
    """
    placed, needed = needed_springs(planned, standing, loads)
    settings: dict[SideName, PerchSetting] = {}
    elements: dict[SideName, Element] = {}
    for side in SIDES:
        one = section.side(Side(side))
        spring = planned.main[side]
        as_found = float(planned.stand.reference_values([spring.measure])[0, 0])
        length = float(planned.stand.taken([spring.measure]).values(placed.pose)[0, 0])
        base = _compression_at_found(one, found, side, as_found, same_spring=wishes.same_spring)
        wanted = None
        if base is not None:
            wanted = float(needed[side].displacement[0]) - base - (as_found - length)
        setting = _perch(getattr(one, "perch", None), wanted, wishes.spacer)
        if wishes.shackles is not None and wanted is not None:
            longer = wishes.shackles.nearest((wanted - wishes.spacer) / LIFTS)
            seat, fixed = wishes.spacer + LIFTS * longer, wishes.shackles.one_length
            setting = replace(setting, seat=seat, shackle=longer, one_length=fixed)
        settings[side] = setting
        # A new spring of unknown free length is taken to be as long as the wanted height asks for; a check says so.
        compressed = (
            base + setting.seat if base is not None else float(needed[side].displacement[0]) - as_found + length
        )
        elements[side] = Element(spring.measure, Shifted(spring.law, compressed), spring.sense, as_found)
    return settings, elements


def _compression_at_found(
    one: Any, found: AxleModel, side: SideName, as_found: float, *, same_spring: bool
) -> float | None:
    """Compression the spring would have between the measured seats as found [m]; None if its free length is not told."""
    if same_spring:
        spring = found.main[side]
        moved = as_found - float(found.stand.reference_values([spring.measure])[0, 0])  # seats that are elsewhere now
        slack = slack_displacement(found.elements[named(found.name, side, "main_spring")])
        return spring.sense * moved - float(slack.ravel()[0])
    free = free_length(one)
    return None if free is None else float(free[0]) - as_found


def _perch(perch: Perch | None, wanted: float | None, spacer: float) -> PerchSetting:
    if perch is None or wanted is None:
        return PerchSetting(wanted, spacer, None, adjustable=perch is not None)
    lowest, highest, pitch = perch.lowest.value, perch.highest.value, perch.pitch.value
    turns = (min(max(wanted, lowest), highest) - lowest) / pitch
    most = math.floor((highest - lowest) / pitch / QUARTER_TURN + _WHOLE)
    turns = min(round(turns / QUARTER_TURN), most) * QUARTER_TURN
    return PerchSetting(wanted, lowest + turns * pitch, turns, adjustable=True)


def rod_setting(panhard: PanhardRod, planned: AxleModel, standing: AxleStates) -> RodSetting:
    """Length of the Panhard rod that puts the axle's middle on the car's centre plane where the car stands.

    Args:
        panhard: the rod on the planned axle
        planned: the axle
        standing: travels, trailing links where they are set, rod as found

    Raises:
        Impossible: the linkage does not reach there
    """
    rod, shift = named(planned.name, "panhard"), named(planned.name, "shift")
    found_length = float(planned.stand.reference_values([rod])[0, 0])
    alone = place_axle(planned.stand, planned.name, standing)
    centred = placed_in_the_middle(planned, standing)
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
    if panhard.shortest is None or panhard.longest is None:
        return RodSetting(found_length, left_alone, length, found_length, None)
    chosen = min(max(length, panhard.shortest.value), panhard.longest.value)
    if panhard.thread_pitch is None:
        return RodSetting(found_length, left_alone, length, chosen, None)
    low, exact, high = (
        (end - found_length) / panhard.thread_pitch.value / QUARTER_TURN
        for end in (panhard.shortest.value, chosen, panhard.longest.value)
    )
    turns = min(max(round(exact), math.ceil(low - _WHOLE)), math.floor(high + _WHOLE)) * QUARTER_TURN
    return RodSetting(found_length, left_alone, length, found_length + turns * panhard.thread_pitch.value, turns)


def wheel_settings(
    planned: AxleModel, standing: AxleStates, joints: Mapping[Aim, str], wanted: WantedAngles
) -> WheelsSet:
    """Tie rods and upper joints that give the wanted camber, toe and caster together where the car stands.

    An upper joint or rod that would have to go beyond its range stays at its end, one that is set in steps on the nearest
    one: its own angle is then missed, and the other angles are reached all the same.

    Args:
        planned: the axle
        standing: travels, settings (an upper joint's displacement fore and aft when caster is free, inward when camber is)
            and how the body stands over its road
        joints: those of the axle that can be set, by what for
        wanted: the angles

    Returns:
        What to turn, and the joint values that go with it; nothing where the axle has nothing to set.

    Raises:
        Impossible: no setting gives the wanted angles
    """
    aims = angles_set(joints)
    if not aims:
        return WheelsSet()
    needed = _joint_values(planned, standing, joints, wanted, {})
    names = list(needed)
    found = dict(zip(names, planned.stand.reference_values(names)[0], strict=True))
    values, held = _within_range(planned, standing, joints, wanted, (needed, found))
    settings = {}
    for side in SIDES:
        moved, asked = (
            {aim: one[name] - float(found[name]) for aim in aims for name in [named(planned.name, side, joints[aim])]}
            for one in (values, needed)
        )
        shims: tuple[Aim, ...] = tuple(aim for aim in moved if is_shim(joints[aim]))
        turned, to_turn = ({aim: one.pop(aim) for aim in shims} for one in (moved, asked))
        rod, rod_to = (None if wanted.toe is None else one.get("toe") for one in (moved, asked))
        lengths = {aim: (moved.pop(aim), asked.pop(aim)) for aim in wanted.links}
        links = {
            aim: wanted.links[aim].set_to(side, *both) for aim, both in lengths.items() if wanted.of(aim) is not None
        }
        ways = _ways(side, moved)
        turn = wanted.slots.bolt_turn(ways[0]) if "camber" in moved else None
        settings[side] = WheelSetting(rod, *ways, *_ways(side, asked), turned, to_turn, rod_to, turn, links)
    return WheelsSet(settings, values, held)


def _ways(side: SideName, moved: Mapping[Aim, float]) -> tuple[float, float]:
    """How far an upper joint is moved inward and to the rear [m]."""
    return -outward(side) * moved.get("camber", 0.0) + 0.0, -moved.get("caster", 0.0) + 0.0


def _joint_values(
    planned: AxleModel,
    standing: AxleStates,
    joints: Mapping[Aim, str],
    wanted: WantedAngles,
    held: Mapping[str, float],
) -> dict[str, float]:
    """Values of all joints that are set, for the wanted angles but those of the joints that are held [m].

    Raises:
        Impossible: no setting gives the wanted angles
    """
    placed = placed_with_angles(planned, standing, joints, wanted, held)
    if not placed.reached.all():
        angles = "camber, toe and caster" if wanted.caster is not None else "camber and toe"
        raise Impossible(f"No position of {_movers(joints)} gives the wanted {angles} at this height.")
    names = [named(planned.name, side, joints[aim]) for side in SIDES for aim in angles_set(joints)]
    values = planned.stand.taken(names).values(placed.pose)[0]
    return {name: float(value) for name, value in zip(names, values, strict=True)}


def _within_range(
    planned: AxleModel,
    standing: AxleStates,
    joints: Mapping[Aim, str],
    wanted: WantedAngles,
    both: tuple[dict[str, float], Mapping[str, float]],
) -> tuple[dict[str, float], dict[str, float]]:
    """Joints as needed, within what their slots and threads give, and which of them are held there; as needed, found [m].

    One that is at its end moves what the others need, so another may come to its own end then; steps come last, and what
    one leaves over is in what the next is asked for.
    """
    (values, found), held = both, dict[str, float]()
    while True:
        ends = _places(planned.name, joints, wanted, (values, found), at_step=False)
        further = {joint: way for joint, way in ends if joint not in held}
        if not further:
            break
        held |= further
        values = _joint_values(planned, standing, joints, wanted, held)
    if held:
        values, held = _at_the_right_end(planned, standing, joints, wanted, (values, found, held))
    for aim in _IN_ORDER:
        own = {named(planned.name, side, joints[aim]) for side in SIDES if aim in joints}
        steps = _places(planned.name, joints, wanted, (values, found), at_step=True)
        put = {joint: way for joint, way in steps if joint in own}
        if any(held.get(joint) != way for joint, way in put.items()):
            held |= put
            values = _joint_values(planned, standing, joints, wanted, held)
    return values, held


_IN_ORDER: tuple[Aim, ...] = ("camber", "caster", "toe")
"""The angles of a wheel in the order in which they are put on their steps, each with those before it where they are."""


def _at_the_right_end(
    planned: AxleModel,
    standing: AxleStates,
    joints: Mapping[Aim, str],
    wanted: WantedAngles,
    every: tuple[dict[str, float], Mapping[str, float], dict[str, float]],
) -> tuple[dict[str, float], dict[str, float]]:
    """Each joint at an end let go once more, the others held where they are: it may need the other end then, or neither.

    With a caster far beyond its slot a camber may ask for one end that asks for the other where the caster's joint stays.
    """
    values, found, held = every
    for _ in range(_ROUNDS_AT_ENDS):
        before = dict(held)
        for joint in before:
            others = {name: way for name, way in held.items() if name != joint}
            try:
                alone = _joint_values(planned, standing, joints, wanted, others)
            except Impossible:
                continue  # no place gives what it is for: it stays
            ends = dict(_places(planned.name, joints, wanted, (alone, found), at_step=False))
            held = {**others, joint: ends[joint]} if joint in ends else others
        if held == before:
            break
        values = _joint_values(planned, standing, joints, wanted, held)
    return values, held


def _places(
    axle: str,
    joints: Mapping[Aim, str],
    wanted: WantedAngles,
    both: tuple[Mapping[str, float], Mapping[str, float]],
    *,
    at_step: bool,
) -> Iterator[tuple[str, float]]:
    """Joints that cannot stand where an angle asks for them, with where they stand instead [m or rad]."""
    values, found = both
    for aim in _IN_ORDER:
        angles = wanted.of(aim)
        shim = is_shim(joints.get(aim, ""))
        for side in angles or ():
            joint = named(axle, side, joints[aim])
            if aim in wanted.links:
                link, longer = wanted.links[aim], values[joint] - float(found[joint])
                end = link.on_step(longer) if at_step else link.end_before(longer)
                if end is not None:
                    yield joint, float(found[joint]) + end
                continue
            if aim == "toe" and not shim:
                end = None if at_step else wanted.rods.end_before(values[joint] - float(found[joint]))
                if end is not None:
                    yield joint, float(found[joint]) + end
                continue
            sense = 1.0 if shim else -outward(side) if aim == "camber" else -1.0
            way = sense * values[joint]
            if shim:
                instead = wanted.shims.on_step(way) if at_step else wanted.shims.end_before(way)
            else:
                instead = wanted.slots.on_step(aim, way) if at_step else wanted.slots.end_before(aim, way)
            if instead is not None:
                yield joint, sense * instead


_UPPER: tuple[Aim, ...] = ("camber", "caster")


def _movers(joints: Mapping[Aim, str]) -> str:
    if is_shim(joints.get("camber", "")):
        return "hub shims"
    if any(not joints.get(aim, "x_y").endswith(("_x", "_y")) for aim in _UPPER):
        return "links and tie rods"
    plates = "top plates" if joints.get("camber", "").startswith("top_plate") else "upper joints"
    rods = f"{joints['toe'].replace('_', ' ')}s"
    return f"{plates} and {rods}" if "camber" in joints else rods


def placed_with_angles(
    planned: AxleModel,
    standing: AxleStates,
    joints: Mapping[Aim, str],
    wanted: WantedAngles,
    held: Mapping[str, Array | float] | None = None,
) -> Placed:
    """An axle placed with its joints where the wanted angles need them; one that stands for many too.

    Args:
        planned: the axle
        standing: as of `wheel_settings`
        joints: those that can be set, by what for
        wanted: the angles, those that the axle can be set for
        held: joints that stand where they are held whatever their angle [m]
    """
    axle = planned.name
    drives: dict[str, Array | float] = {**(standing.settings or {}), **(held or {})}
    freed: list[str] = []
    by_links: dict[str, tuple[SideName, float]] = {}
    pairs: tuple[tuple[Aim, Mapping[SideName, float] | None, str], ...] = (
        ("camber", wanted.camber, "road_cosine"),
        ("toe", wanted.toe, "toe"),
        ("caster", wanted.caster, "caster"),
    )
    for aim, angles, measure in pairs:
        for side, angle in (angles or {}).items():
            joint = named(axle, side, joints[aim])
            if joint in (held or {}):
                continue
            drives.pop(joint, None)
            if aim == "caster" and aim in wanted.links:
                by_links[joint] = (side, angle)
                continue
            # A wheel's camber is told by how far its axis rises square to the road.
            drives[named(axle, side, measure)] = -outward(side) * math.sin(angle) if aim == "camber" else angle
            freed.append(joint)
    held_so = replace(standing, settings=drives)
    if by_links:
        return placed_with_casters(planned, held_so, tuple(freed), by_links)
    return place_axle(planned.stand, axle, held_so, tuple(freed))


def angles_set(joints: Mapping[Aim, str]) -> tuple[Aim, ...]:
    """The angles of its wheels that an axle can be set for.

    Args:
        joints: those that can be set, by what for
    """
    every: tuple[Aim, ...] = ("camber", "toe", "caster")
    return tuple(aim for aim in every if aim in joints)


def slot_joints(axle: str, joints: Mapping[Aim, str], wanted: WantedAngles) -> dict[str, float]:
    """Values of the joints that slots move [m].

    Args:
        axle: its name
        joints: those that can be set, by what for
        wanted: where slots are put on both sides, and the links that set an angle in their place
    """
    values: dict[str, float] = {}
    for side in SIDES:
        if "camber" in joints and "camber" not in wanted.links:
            values[named(axle, side, joints["camber"])] = -outward(side) * wanted.inward
        if "caster" in joints and "caster" not in wanted.links:
            values[named(axle, side, joints["caster"])] = -wanted.rearward
    return values


def placed_in_the_middle(planned: AxleModel, standing: AxleStates) -> Placed:
    """A beam axle placed with its middle on the car's centre plane, whatever its Panhard rod's length.

    Args:
        planned: the axle
        standing: travels, other joints set
    """
    rod, shift = named(planned.name, "panhard"), named(planned.name, "shift")
    settings = {**(standing.settings or {}), shift: 0.0}
    return place_axle(planned.stand, planned.name, replace(standing, settings=settings), freed=(rod,))
