"""The car document with the job's parts in it, and the job's wishes as the plan takes them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from jounce.car.axles.axle import Axle
from jounce.car.file.consistency import check_stop, shape_problems
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.section import Section
from jounce.car.mechanics.anti_roll_bar_shape import mirrored_points
from jounce.car.mechanics.rod_lengths import rod_joints
from jounce.car.parts import AntiRollBar, TorsionBarSection, Wheel
from jounce.car.parts.interfaces import AxleInterfaces
from jounce.car.parts.shared import NOTHING
from jounce.conventions.axes import ENDS, SIDES, Corner, End, Side
from jounce.conventions.errors import InputError, InputProblems
from jounce.job.document import (
    SET_ALONE,
    AdjustableLink,
    AngleLinks,
    AxleChange,
    HubShims,
    JobDocument,
    JointSlots,
    SecondAntiRollBar,
    SetRods,
    Shackles,
    ToeRods,
    TrailingLinks,
    WantedAxle,
    WattBracket,
    WheelAngle,
    WheelChange,
)
from jounce.job.drop_links import LinkWish
from jounce.job.fitting import problems_of_layout
from jounce.job.joint_spacers import heights_of, side_with_spacers
from jounce.job.link_lengths import LinkRange
from jounce.job.mass_changed import masses_with, problems_of_mass
from jounce.job.pivots_moved import axle_points_moved, moved_points, problems_of_pivots, side_with_pivots
from jounce.job.plan import Wishes
from jounce.job.rod_lengths import goes_from_found, lengths_changed
from jounce.job.rod_range import ANY_LENGTH, RodRange
from jounce.job.settings import AxleWishes, WantedAngles
from jounce.job.shackles import ShackleRange
from jounce.job.shim_range import ANY_SHIM, ShimRange
from jounce.job.slot_range import NO_END, SlotRange
from jounce.job.trailing_links import TrailingWish, thrust_line
from jounce.job.watt_bracket import BracketRange
from jounce.layouts.naming import SIDES as BY_NAME
from jounce.layouts.naming import SideName

__all__ = ["exchanged", "planned_document", "problems_between", "wishes_of"]

ONE_POINT = 1e-3
"""Points closer than this are one point entered twice [m]."""


def planned_document(document: CarDocument, job: JobDocument) -> CarDocument:
    """The car with the new parts on both sides; heights and settings are the plan's to find.

    Args:
        document: the car as measured
        job: the change list

    Raises:
        InputProblems: parts that do not go with this car, from :func:`problems_between`
    """
    problems = problems_between(document, job)
    if problems:
        raise InputProblems(problems)
    return exchanged(document, job)


def exchanged(document: CarDocument, job: JobDocument) -> CarDocument:
    """The same without looking for problems, also of documents that stand for many.

    Every measured number keeps to its part: what stays on the car is the car's, what is new is the job's.

    Args:
        document: the car as measured
        job: the change list
    """
    # Copies are not validated again: a damper of the planned car need not fit at the height as found.
    axles = {end.value: _exchanged_axle(document.axle(end), job.change.of(end)) for end in ENDS}
    return document.model_copy(update={**axles, "mass": masses_with(document, job.change)})


def _exchanged_axle(axle: Axle, change: AxleChange) -> Axle:
    parts: dict[str, Section] = {side.value: _side(axle.side(side), change, side) for side in SIDES}
    if change.panhard is not None:
        rod: Any = axle
        own = {name: value for name, value in change.panhard if name in type(rod.panhard).model_fields}
        parts["panhard"] = rod.panhard.model_copy(update=own)
    if change.inner_bar is not None:
        parts["inner_bar"] = change.inner_bar
    parts |= axle_points_moved(axle.model_copy(update=parts), moved_points(change.axle_pivots))
    return axle.exchanged(parts, new=_new_places(change), shared=_shared_links(change))


def problems_between(document: CarDocument, job: JobDocument) -> list[InputError]:
    """What is sound in the job and in the car, but does not go together; each with its place in the job.

    Args:
        document: the car as measured
        job: the change list
    """
    problems: list[InputError] = []
    for end in ENDS:
        axle, change = document.axle(end), job.change.of(end)
        found = problems_of_layout(document, change, job.wanted.of(end), end)
        problems += found or _link_problems(axle, change, end) or _bar_problems(axle, change, end)
        problems += _stop_problems(axle, change, end)
        problems += problems_of_pivots(axle, change, end)
        problems += _shackle_problems(document, change, end)
    return problems or problems_of_mass(document, job.change)


def _stop_problems(axle: Axle, change: AxleChange, end: End) -> list[InputError]:
    """A rubber that does not fit its damper: one problem of the job, not one of each side."""
    for side in SIDES:
        one = axle.side(side)
        found = check_stop(change.bump_stop or one.bump_stop, change.damper or one.damper)
        if found:
            found[0].place = f"change.{end}.{'damper' if change.damper is not None else 'bump_stop.free_height'}"
            return found
    return []


def _shackle_problems(document: CarDocument, change: AxleChange, end: End) -> list[InputError]:
    """Shackles by their own length say nothing of a height until those in the car are measured."""
    if change.shackle is None or not change.shackle.by_length:
        return []
    measured = document.interfaces.front if end is End.FRONT else document.interfaces.rear
    if measured.shackle_length is not None:
        return []
    return [
        InputError(
            "How long the shackles in the car are is not known",
            todo=f"Measure them between their bolts, shackle_length under [interfaces.{end}] of the car, or tell "
            "longer and shorter here.",
            place=f"change.{end}.shackle.shortest",
        )
    ]


def _link_problems(axle: Axle, change: AxleChange, end: End) -> list[InputError]:
    """A second bar needs a link: its own or that of the first."""
    second = change.roll_bar_2
    if second is None:
        return []
    first = change.roll_bar or axle.side(Side.LEFT).roll_bar
    if first is None and (second.link_end is None or second.link_on is None):
        return [
            InputError(
                "The second anti-roll bar has no link to share",
                found="a car without a first bar",
                todo="Give link_end and link_on.",
                place=f"change.{end}.roll_bar_2",
            )
        ]
    link_end = second.link_end or (first and first.link_end)
    if link_end and second.arm_end and second.arm_end.distance(link_end) <= ONE_POINT:
        return [
            InputError(
                "The second bar's arm_end is the link's other end",
                todo="Measure both.",
                place=f"change.{end}.roll_bar_2.arm_end",
            )
        ]
    return []


def _bar_problems(axle: Axle, change: AxleChange, end: End) -> list[InputError]:
    """New bars whose shape cannot be made or whose links do not reach."""
    first = change.roll_bar or axle.side(Side.LEFT).roll_bar
    pairs: dict[str, tuple[AntiRollBar, AntiRollBar]] = {}
    if change.roll_bar is not None:
        pairs["roll_bar"] = (change.roll_bar, _on_side(change.roll_bar, Side.RIGHT))
    if change.roll_bar_2 is not None:
        others = (first, first and _on_side(first, Side.RIGHT))
        left, right = (_second_bar(change.roll_bar_2, other, side) for other, side in zip(others, SIDES, strict=True))
        pairs["roll_bar_2"] = (left, right)
    problems = []
    for name, (left, right) in pairs.items():
        problems += [_placed(problem, f"change.{end}.{name}") for problem in shape_problems(left, right)]
    return problems


def _placed(problem: InputError, section: str) -> InputError:
    problem.place = f"{section}.{problem.place}" if problem.place else section
    return problem


_NOT_OF_THE_FILE = (
    "wheel",
    *SET_ALONE,
    "spacer",
    "ball_joint_spacer",
    "rack",
    "tie_rod_spacer",
    "shackle",
    "pivots",
    "axle_pivots",
)
"""Parts of a change list that are no section of the car file."""


def _new_places(change: AxleChange) -> list[tuple[str, ...]]:
    """Sections, and single keys of the wheel, that the car had otherwise."""
    given = [name for name, _ in change.parts() if name not in _NOT_OF_THE_FILE]
    wheel = [] if change.wheel is None else [("wheel", key) for key, value in change.wheel if value is not None]
    return [*((name,) for name in given), *wheel, *(("pivots", name) for name in moved_points(change.pivots))]


def _shared_links(change: AxleChange) -> dict[tuple[str, ...], tuple[str, ...]]:
    """One link, one place: the second bar's end of it stands where that of the first stands."""
    second = change.roll_bar_2
    if second is None or second.link_end is not None:
        return {}
    return {(side, "roll_bar_2", "link_end"): (side, "roll_bar", "link_end") for side in SIDES}


def wishes_of(document: CarDocument, job: JobDocument) -> Wishes:
    """What the plan is asked for.

    Args:
        document: the car as measured
        job: the change list
    """
    wanted = job.wanted
    lower: dict[Corner, float] = {}
    for end, axle in ((End.FRONT, wanted.front), (End.REAR, wanted.rear)):
        for side in SIDES:
            found = document.heights.corner(end, side).value
            lower[end.value, side.value] = _lowering(axle, side, found)
    return Wishes(
        lower=lower,
        cross_share=document.mass.cross_share if wanted.cross_weight is None else wanted.cross_weight.value,
        axles={
            "front": _axle_wishes(wanted.front, job.change.front, document.front, document.interfaces.front),
            "rear": _axle_wishes(wanted.rear, job.change.rear, document.rear, document.interfaces.rear),
        },
    )


def _axle_wishes(wanted: WantedAxle, change: AxleChange, axle: Axle, measured: AxleInterfaces) -> AxleWishes:
    slots = change.slots
    return AxleWishes(
        angles=WantedAngles(
            camber=_of_wheels(wanted, "camber"),
            toe=_of_wheels(wanted, "toe"),
            caster=_of_wheels(wanted, "caster"),
            inward=0.0 if slots is None else slots.inward.value,
            rearward=0.0 if slots is None else slots.rearward.value,
            shims=ANY_SHIM if change.shims is None else _shims_of(change.shims),
            slots=NO_END if slots is None else _range_of(slots),
            rods=ANY_LENGTH if change.toe_rod is None else _rods_of(change.toe_rod, axle, change),
            links={aim: _link_of(f"{aim}_link", link, axle, change) for aim, link in change.links.items()},
        ),
        same_spring=change.same_spring,
        spacer=change.spacer_height,
        joints=heights_of(change),
        shackles=None if change.shackle is None else _shackles_of(change.shackle, measured),
        bracket=None if change.watt_bracket is None else _bracket_of(change.watt_bracket),
        trailing=None if change.trailing_links is None else _trailing_wish(wanted, change.trailing_links, axle, change),
        free_bars=None if wanted.free_bars is None else _link_wish(wanted.free_bars, change.drop_link),
    )


def _link_wish(side: SideName, link: AdjustableLink | None) -> LinkWish:
    """Whose links are set, and how far they go [m]."""
    if link is None:
        return LinkWish(side)
    return LinkWish(side, link.shortest.value, link.longest.value, link.thread_pitch.value)


def _trailing_wish(wanted: WantedAxle, links: TrailingLinks, axle: Axle, change: AxleChange) -> TrailingWish:
    """Where an axle is to point, by what was asked or by the toes wanted of its wheels; how far its links go [m]."""
    toes = _of_wheels(wanted, "toe")
    thrust = 0.0 if toes is None else thrust_line(toes["left"], toes["right"])
    return TrailingWish(
        thrust if wanted.thrust is None else wanted.thrust.value, *_rods_told("trailing_links", links, axle, change)
    )


def _bracket_of(bracket: WattBracket) -> BracketRange:
    """What of a bracket's range was told [m]."""
    told = (bracket.left, bracket.right, bracket.step)
    return BracketRange(*(None if one is None else one.value for one in told))


def _shims_of(shims: HubShims) -> ShimRange:
    """What of the shims was told [m]."""
    told = (shims.flange, shims.thickest, shims.step)
    return ShimRange(*(None if one is None else one.value for one in told))


def _shackles_of(shackle: Shackles, measured: AxleInterfaces) -> ShackleRange:
    """What of the shackles was told [m]; their own length counts from that of those in the car."""
    low, high, found = shackle.shortest, shackle.longest, measured.shackle_length
    if low is not None and high is not None and found is not None:
        holes = None if shackle.step is None else _still(shackle.step)
        return ShackleRange.of_length(_still(low), _still(high), holes, _still(found))
    longer, shorter, step = (
        None if one is None else one.value for one in (shackle.longer, shackle.shorter, shackle.step)
    )
    return ShackleRange(longer, shorter, step)


def _still(told: Measured) -> float:
    """What was told of a range, also of a document that stands for many: how far it goes has no band [m]."""
    return float(np.real(np.ravel(told.value)[0]))


def _rods_of(rods: ToeRods, axle: Axle, change: AxleChange) -> RodRange:
    """What of the threads was told [m]."""
    return RodRange(*_rods_told("toe_rod", rods, axle, change))


def _link_of(part: str, link: AngleLinks, axle: Axle, change: AxleChange) -> LinkRange:
    """What of a link was told [m]."""
    return LinkRange(link.link, *_rods_told(part, link, axle, change))


def _rods_told(
    part: str, rods: SetRods, axle: Axle, change: AxleChange
) -> tuple[float | None, float | None, float | None, Mapping[SideName, float]]:
    """How much longer and shorter rods go, what a turn gives, and of new ones how long those are that they replace [m]."""
    pitch = None if rods.thread_pitch is None else rods.thread_pitch.value
    joints = rod_joints(axle, part, getattr(rods, "link", "")) if rods.shortest is not None else ()
    found = lengths_changed(axle, joints[0], change) if joints else {}
    return *goes_from_found(axle, part, rods, change), pitch, found


def _range_of(slots: JointSlots) -> SlotRange:
    """What of a range was told [m]."""
    told = (slots.reach_inward, slots.reach_outward, slots.reach_fore, slots.reach_rear, slots.step, slots.eccentricity)
    return SlotRange(*(None if one is None else one.value for one in told))


def _of_wheels(wanted: WantedAxle, angle: WheelAngle) -> dict[SideName, float] | None:
    """An angle wanted of the wheels of an axle, by side [rad]."""
    asked = {side: wanted.of_wheel(angle, side) for side in BY_NAME}
    given = {side: one.value for side, one in asked.items() if one is not None}
    return given or None


def _lowering(axle: WantedAxle, side: Side, found: float) -> float:
    if axle.lower is not None:
        return axle.lower.value
    own = axle.left_height if side is Side.LEFT else axle.right_height
    height = own or axle.height
    return 0.0 if height is None else found - height.value


_GIVES = ("series_rate", "tube", "anchor_rate", "lever_rate")
"""What gives in series with a torsion bar and belongs to the car."""


_OF_A_SIDE = ("torsion_bar", "spring", "leaf", "perch", "damper", "bump_stop")


def _side(side: Any, change: AxleChange, which: Side) -> Any:
    """One side with the new parts on it."""
    side = side_with_spacers(side_with_pivots(side, moved_points(change.pivots), which), change)
    parts: dict[str, Any] = {name: part for name in _OF_A_SIDE if (part := getattr(change, name)) is not None}
    if change.torsion_bar is not None:
        parts["torsion_bar"] = _in_the_anchor(change.torsion_bar, side.torsion_bar)
    parts |= _moved_rubber(side, change)
    if change.roll_bar is not None:
        parts["roll_bar"] = _on_side(change.roll_bar, which)
    if change.roll_bar_2 is not None:
        first = parts.get("roll_bar", side.roll_bar)
        parts["roll_bar_2"] = _second_bar(change.roll_bar_2, first, which)
    if change.wheel is not None:
        parts |= _wheel_parts(side, change.wheel, which)
    return side.model_copy(update=parts)


def _in_the_anchor(new: TorsionBarSection, old: TorsionBarSection) -> TorsionBarSection:
    """A new bar in the car's anchor: bolt, tube and what else gives there stay, unless the change tells others."""
    stays = {} if any(getattr(new, name) is not None for name in _GIVES) else {n: getattr(old, n) for n in _GIVES}
    if new.adjuster is None:
        stays["adjuster"] = old.adjuster
    return new.model_copy(update=stays)


def _moved_rubber(side: Any, change: AxleChange) -> dict[str, Any]:
    """A rubber that stays goes with the new damper that it sits on.

    Its gap was measured with the old damper: a damper that closes to a length shorter by 40 mm leaves 40 mm more. Where
    one of the two closed lengths is not known, neither is the gap: then the rubber touches nowhere that could be told.
    """
    stop, new = side.bump_stop, change.damper
    if stop is None or stop.gap is None or new is None or change.bump_stop is not None:
        return {}
    old_closed, new_closed = side.damper.closed_length, new.closed_length
    if old_closed is None or new_closed is None:
        return {"bump_stop": stop.model_copy(update={"gap": None})}
    gap = Measured(
        stop.gap.value + old_closed.value - new_closed.value,
        math.hypot(stop.gap.plus_minus, old_closed.plus_minus, new_closed.plus_minus),
        stop.gap.origin,
    )
    return {"bump_stop": stop.model_copy(update={"gap": gap})}


def _on_side(bar: AntiRollBar, which: Side) -> AntiRollBar:
    if which is Side.LEFT:
        return bar
    return bar.model_copy(update=mirrored_points(bar))


def _second_bar(bar: SecondAntiRollBar, first: AntiRollBar | None, which: Side) -> AntiRollBar:
    own: dict[str, Any] = {name: value for name, value in bar if value is not None}
    if which is Side.RIGHT:
        own |= mirrored_points(bar)
    link: dict[str, Any] = {} if first is None else {"link_end": first.link_end, "link_on": first.link_on}
    return AntiRollBar.model_construct(**(link | own))


def _narrower_gap(side: Any, change: WheelChange) -> dict[str, Measured | None]:
    """What a new tyre's width leaves of the gap at full lock: its inner wall comes in by half of what it is wider.

    Where one of the two widths is not known, neither is the gap.
    """
    gap, old = side.clearance.full_lock_gap, side.wheel.tyre_width
    if gap is None or (change.tyre_width is None and change.tyre is None):
        return {}
    left = None
    if old is not None and change.tyre_width is not None:
        wide = math.hypot(old.plus_minus, change.tyre_width.plus_minus) / 2
        value = gap.value - (change.tyre_width.value - old.value) / 2
        left = Measured(value, math.hypot(gap.plus_minus, wide), gap.origin)
    return {"full_lock_gap": left}


def _way_to_arch(side: Any, change: WheelChange) -> Measured | None:
    """The way up to the arch: a larger tyre takes of it what its loaded radius is larger, a smaller one gives it."""
    way: Measured | None = side.clearance.tyre_to_arch
    if way is None or change.loaded_radius is None:
        return way
    old, new = side.wheel.loaded_radius, change.loaded_radius
    wide = math.hypot(way.plus_minus, old.plus_minus, new.plus_minus)
    return Measured(way.value - (new.value - old.value), wide, way.origin)


def _wheel_parts(side: Any, change: WheelChange, which: Side) -> dict[str, Any]:
    """New wheel keys; a smaller offset moves the wheel's centre outward by the difference."""
    given = {name: value for name, value in change if value is not None}
    if change.tyre_rate is not None:  # what was measured of the old tyre says nothing of the new one
        given |= {"tyre_curve": None, "tyre_rate_per_load": NOTHING, "rate_pressure": None}
    wheel: Wheel = side.wheel.model_copy(update=given)
    room = {"tyre_to_arch": _way_to_arch(side, change)} | _narrower_gap(side, change)
    parts: dict[str, Any] = {"wheel": wheel, "clearance": side.clearance.model_copy(update=room)}
    if change.offset is not None and side.wheel.offset is not None:
        outward = (side.wheel.offset.value - change.offset.value) * which.outward
        centre = side.pivots.wheel_centre
        moved = MeasuredPoint(centre.x, centre.y + outward, centre.z, centre.plus_minus, centre.origin)
        parts["pivots"] = side.pivots.model_copy(update={"wheel_centre": moved})
    return parts
