"""What may be wanted of an axle, each with the part that gives it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from jounce.car.mechanics.model import AxleName
from jounce.conventions.units import Kind
from jounce.wanted.anti_roll_bars import lifts_at, roll_angle, thicker_bar
from jounce.wanted.damper_ends import damper_length, damper_travel, rubber_gap, rubber_share
from jounce.wanted.helpers import compressed_hanging, helper_travel
from jounce.wanted.main_springs import longer_springs, raised_springs, stiffer_springs
from jounce.wanted.panhard_rods import axle_shift, longer_rod
from jounce.wanted.seek import PartNumber, PartWish
from jounce.wanted.stood import Stood
from jounce.wanted.tie_rods import RodEnd, bump_steer, raised_tie_rods
from jounce.wanted.work_car import WorkCar

__all__ = ["WantedOfAxle", "WishedPart", "height_wishes", "other_wishes"]


@dataclass(frozen=True, slots=True)
class WantedOfAxle:
    """What was asked for, None where nothing was [SI].

    Attributes:
        axle: front or rear
        lower: how much lower it is to stand than it does
        size: rate of a new pair of coils or leaves for that height, or diameter of torsion bars
        frequency: ride frequency with the tyre
        wheel_rate: wheel rate
        front_share: front share of the roll stiffness
        roll: roll angle in a corner
        across: lateral acceleration of that corner
        lift: lateral acceleration at which the axle's inner wheel lifts
        bump_steer: change of toe per bump
        end: which end of the tie rods is moved
        shift: where the axle's middle is to stand, positive left
        gap_share: share of the bump travel before the rubber is touched
        bump: bump travel until the dampers close
        droop: droop travel until the dampers are open
        seated: compression of the springs that is left at full droop

    """

    axle: AxleName
    lower: float | None = None
    size: float | None = None
    frequency: float | None = None
    wheel_rate: float | None = None
    front_share: float | None = None
    roll: float | None = None
    across: float = 0.0
    lift: float | None = None
    bump_steer: float | None = None
    end: RodEnd = "outer"
    shift: float | None = None
    gap_share: float | None = None
    bump: float | None = None
    droop: float | None = None
    seated: float | None = None


@dataclass(frozen=True, slots=True)
class WishedPart:
    """A wish, and the part that is to give it; ``part`` raises Impossible where the car has none such.

    ``way`` says by what it is given, where one wish is given in several ways.
    """

    wish: PartWish
    part: Callable[[], PartNumber]
    way: str = ""


def height_wishes(work: WorkCar, wanted: WantedOfAxle, today: Stood) -> Iterator[WishedPart]:
    """Another height: by the springs that are in the car, and by a new pair.

    Args:
        work: the car
        wanted: what was asked for
        today: the car at rest
    """
    if wanted.lower is None:
        return
    axle, before = wanted.axle, today.lower(wanted.axle)
    wish = PartWish(
        "lower than it stands by",
        Kind.LENGTH,
        wanted.lower,
        lambda stood: stood.lower(axle) - before,
        ("stands the axle {} lower", "stands the axle {} higher"),
    )
    yield WishedPart(wish, lambda: raised_springs(work, axle), "the springs that are in the car")
    if work.model(axle).main["left"].kind == "coil" or wanted.size is not None:
        yield WishedPart(wish, lambda: longer_springs(work, axle, today, wanted.size), "a new pair of springs")


def other_wishes(work: WorkCar, wanted: WantedOfAxle, today: Stood) -> Iterator[WishedPart]:
    """All but the height, in the order of their use to a shop.

    Args:
        work: the car, with the height wanted where one is
        wanted: what was asked for
        today: that car at rest
    """
    axle = wanted.axle
    yield from _of_springs(work, wanted, today)
    yield from _of_bars(work, wanted)
    if wanted.bump_steer is not None:
        wish = PartWish("bump steer", Kind.RATIO_ANGLE, wanted.bump_steer, bump_steer(axle), _BY)
        yield WishedPart(wish, lambda: raised_tie_rods(work, axle, wanted.end, today))
    if wanted.shift is not None:
        moves = ("moves the axle {} to the left", "moves the axle {} to the right")
        wish = PartWish("axle's middle to the left by", Kind.LENGTH, wanted.shift, axle_shift(axle), moves)
        yield WishedPart(wish, lambda: longer_rod(work, axle))
    yield from _of_ends(work, wanted, today)


_BY = ("raises it by {}", "lowers it by {}")


def _of_springs(work: WorkCar, wanted: WantedOfAxle, today: Stood) -> Iterator[WishedPart]:
    axle = wanted.axle
    for name, kind, value, figure in (
        ("ride frequency, with tyre", Kind.FREQUENCY, wanted.frequency, "ride_frequency"),
        ("wheel rate", Kind.SPRING_RATE, wanted.wheel_rate, "wheel_rate"),
    ):
        if value is not None:
            wish = PartWish(name, kind, value, lambda stood, figure=figure: stood.of_wheels(axle, figure), _BY)  # type: ignore[misc]
            yield WishedPart(wish, lambda: stiffer_springs(work, axle, today))


def _of_bars(work: WorkCar, wanted: WantedOfAxle) -> Iterator[WishedPart]:
    axle = wanted.axle
    wishes = []
    if wanted.front_share is not None:
        name = "front share of the roll stiffness"
        wishes.append(PartWish(name, Kind.SHARE, wanted.front_share, lambda stood: stood.front_share, _BY))
    if wanted.roll is not None:
        wishes.append(PartWish("roll in that corner", Kind.ANGLE, wanted.roll, roll_angle(wanted.across), _BY))
    if wanted.lift is not None:
        name = f"inner {axle} wheel lifts at"
        moves = ("lets it lift later by {}", "lets it lift earlier by {}")
        wishes.append(PartWish(name, Kind.ACCELERATION, wanted.lift, lifts_at(axle), moves))
    for wish in wishes:
        yield WishedPart(wish, lambda: thicker_bar(work, axle))


def _of_ends(work: WorkCar, wanted: WantedOfAxle, today: Stood) -> Iterator[WishedPart]:
    axle = wanted.axle
    if wanted.gap_share is not None:
        name = "share of the bump travel before the rubber"
        wish = PartWish(name, Kind.SHARE, wanted.gap_share, rubber_share(axle), _BY)
        yield WishedPart(wish, lambda: rubber_gap(work, axle, today))
    further = ("lets the wheels go {} further", "lets the wheels go {} less far")
    if (bump := wanted.bump) is not None:
        wish = PartWish("bump travel until the dampers close", Kind.LENGTH, bump, damper_travel(axle, "bump"), further)
        yield WishedPart(wish, lambda: damper_length(work, axle, "bump", today, bump))
    if (droop := wanted.droop) is not None:
        wish = PartWish(
            "droop travel until the dampers are open", Kind.LENGTH, droop, damper_travel(axle, "droop"), further
        )
        yield WishedPart(wish, lambda: damper_length(work, axle, "droop", today, droop))
    if (seated := wanted.seated) is not None:
        name = "springs compressed at full droop by"
        moves = ("keeps the springs {} more compressed", "keeps the springs {} less compressed")
        wish = PartWish(name, Kind.LENGTH, seated, compressed_hanging(axle), moves)
        yield WishedPart(wish, lambda: helper_travel(work, axle, today, seated))
