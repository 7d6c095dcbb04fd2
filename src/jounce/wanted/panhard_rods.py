"""What holds a beam axle sideways, a rod by its length or a Watt linkage by its bracket, and the middle that it moves."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file import ranges
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.car.parts.changed import Reach
from jounce.conventions.errors import Impossible
from jounce.conventions.units import MM, Kind
from jounce.layouts.adjusters import WATT_BRACKET
from jounce.layouts.naming import named
from jounce.shelf.kinds.adjustable_rods import PanhardPart
from jounce.shelf.shelf import Shelf
from jounce.wanted.bounds import bounds_of
from jounce.wanted.on_shelf import parts_for
from jounce.wanted.seek import Figure, PartNumber, ShelfTry
from jounce.wanted.stood import Stood
from jounce.wanted.work_car import WorkCar, with_axle

__all__ = ["axle_shift", "longer_rod"]


def longer_rod(work: WorkCar, axle: AxleName) -> PartNumber:
    """The rod with another length between its joints, one that is adjustable within its thread; a Watt linkage's bracket.

    Args:
        work: the car
        axle: front or rear

    Raises:
        Impossible: nothing that could be set holds the axle sideways
    """
    if named(axle, WATT_BRACKET.joint) in work.car.axles[AXLES.index(axle)].axle.stand.joints:
        return _moved_bracket(work, axle)
    on_body, rod = work.car.axles[AXLES.index(axle)], named(axle, "panhard")
    if rod not in on_body.axle.stand.joints or named(axle, "shift") not in on_body.axle.stand.measures:
        raise Impossible(f"The {axle} axle has no rod that holds it sideways.")
    now = on_body.settings.get(rod, float(on_body.axle.stand.reference_values([rod])[0, 0]))
    told = getattr(work.section(axle), "panhard", None)
    wider = bounds_of(ranges.RodLength)
    low, high = (
        edge if getattr(told, name, None) is None else getattr(told, name).value
        for edge, name in zip(wider, ("shortest", "longest"), strict=True)
    )
    pitch = getattr(told, "thread_pitch", None)

    def fitted(value: float) -> RoadCar:
        return with_axle(work.car, on_body.axle, {**on_body.settings, rod: value})

    def also(value: float, _: Stood) -> list[Figure]:
        longer = [Figure("that is longer by", Kind.LENGTH, value - now)]
        return (
            longer
            if pitch is None
            else [*longer, Figure("turns longer", Kind.RATIO, (value - now) / pitch.value, counted=True)]
        )

    return PartNumber(
        name="length of the rod between its joints",
        kind=Kind.LENGTH,
        today=now,
        start=now,
        low=low,
        high=high,
        step=MM,
        grows="A rod {} longer",
        fitted=fitted,
        also=also,
        on_shelf=lambda shelf, value: _rods_on_shelf(shelf, axle, now if value is None else value, fitted),
        ends=("the shortest that it can be set to", "the longest that it can be set to"),
        wider=None if (low, high) == wider else wider,
    )


def _moved_bracket(work: WorkCar, axle: AxleName) -> PartNumber:
    """The bracket of a Watt linkage's rocker elsewhere; how far it can go nothing tells but the part itself."""
    on_body, bracket = work.car.axles[AXLES.index(axle)], named(axle, WATT_BRACKET.joint)
    now = on_body.settings.get(bracket, float(on_body.axle.stand.reference_values([bracket])[0, 0]))
    most = bounds_of(Reach)[1]

    def fitted(value: float) -> RoadCar:
        return with_axle(work.car, on_body.axle, {**on_body.settings, bracket: value})

    return PartNumber(
        name="rocker's bracket to the left by",
        kind=Kind.LENGTH,
        today=now,
        start=now,
        low=-most,
        high=most,
        step=MM,
        grows="A bracket {} further to the left",
        fitted=fitted,
        ends=("the farthest to the right", "the farthest to the left"),
    )


def _rods_on_shelf(
    shelf: Shelf, axle: AxleName, wanted: float, fitted: Callable[[float], RoadCar]
) -> Iterator[ShelfTry]:
    """The shelf's adjustable rods, each set as near as it goes."""
    for part in parts_for(shelf, PanhardPart, axle):
        if part.shortest is not None and part.longest is not None:
            length = min(max(wanted, part.shortest.value), part.longest.value)
            more = [
                Figure("shortest that it can be set to", Kind.LENGTH, part.shortest.value),
                Figure("longest that it can be set to", Kind.LENGTH, part.longest.value),
            ]
            yield ShelfTry(part.code, length, lambda length=length: fitted(length), more)  # type: ignore[misc]


def axle_shift(axle: AxleName) -> Callable[[Stood], float]:
    """Where the middle of a beam axle stands, positive to the left of the body's centre plane [m].

    Args:
        axle: front or rear
    """
    return lambda stood: stood.geometry(axle, ("beam",))["axle_shift"]
