"""What is not known of a car yet, and what each missing number would unlock."""

from __future__ import annotations

from dataclasses import dataclass, replace

from jounce.car.file.document import CarDocument

__all__ = ["MissingData", "gaps_of"]


@dataclass(frozen=True, slots=True)
class MissingData:
    """A place of the car file that is empty, what to measure for it, and what it would answer."""

    place: str
    measure: str
    unlocks: str


_OF_CAR = (
    MissingData(
        "limits.ground_clearance", "lowest point above the road, on level pads", "ground clearance once lowered"
    ),
    MissingData(
        "limits.minimum_ground_clearance",
        "the least clearance that local rules ask for",
        "whether the ground clearance is enough",
    ),
    MissingData(
        "driveline", "driven axle and the brakes' share in front", "braking, drive out of a corner, wheel spin"
    ),
    MissingData(
        "mass.roll_inertia", "swing the car, or an inertia from the maker", "roll frequency without an estimate"
    ),
)
_OF_AXLE = (
    MissingData(
        "roll_bar", "diameter, arm and link of the anti-roll bar", "its share of the roll stiffness, its stress"
    ),
    MissingData("damper", "closed and open length, curve from a test bench", "travel to the stops, damping"),
    MissingData("bump_stop", "gap to the rubber and its curve", "how much bump is left, hard landings"),
    MissingData("clearance", "tyre to arch, hose and cable at droop", "whether tyre, hose and shaft stay clear"),
    MissingData("bushes", "rates of the rubber bushes", "what the axle gives under braking and side force"),
    MissingData("wheel.lateral", "tyre curve, or an example that stands for it", "understeer and grip"),
    MissingData("wheel.tyre_rate", "push the tyre down on a scale", "ride frequencies with the tyre"),
)


def gaps_of(document: CarDocument) -> list[MissingData]:
    """What is missing, in the order of the car file.

    Args:
        document: the car
    """
    found = [gap for gap in _OF_CAR if _empty(document, gap.place)]
    for axle in ("front", "rear"):
        found += [
            replace(gap, place=f"{axle}.{gap.place}") for gap in _OF_AXLE if _missing_on(document, axle, gap.place)
        ]
    return found


def _missing_on(document: CarDocument, axle: str, place: str) -> bool:
    """A part stands on the axle or on each of its sides; one that an axle cannot have is not missing."""
    section = getattr(document, axle)
    first = place.split(".", maxsplit=1)[0]
    there = [holder for holder in (section, section.left) if first in type(holder).model_fields]
    return bool(there) and all(_empty(holder, place) for holder in there)


def _empty(holder: object, place: str) -> bool:
    value: object = holder
    for step in place.split("."):
        value = getattr(value, step, None)
        if value is None:
            return True
    return value in ("", ())
