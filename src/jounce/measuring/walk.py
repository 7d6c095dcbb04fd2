"""What is measured of a car with tape, scales and calliper, in the order of a walk round it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal, get_args

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import MeasuredPoint
from jounce.car.file.walk import leaves
from jounce.car.parts.room import FullLockAt
from jounce.conventions.units import Kind
from jounce.elements.tyres.tyre_lateral import EXAMPLE_TYRES
from jounce.measuring.item import ORIGINS, Item
from jounce.measuring.lever import bar_lever
from jounce.measuring.named_points import named_items

__all__ = ["ENDS", "ORIGINS", "PLACE_PARTS", "Item", "PointItem", "Step", "reading_named", "steps_of"]

ENDS: tuple[Literal["front", "rear"], ...] = ("front", "rear")


@dataclass(frozen=True, slots=True)
class PointItem:
    """A pivot to measure: its place in the file, its number in the picture, what it is."""

    key: str
    number: int
    label: str
    how: str


@dataclass(frozen=True, slots=True)
class Step:
    """A stop on the walk round the car: its word in addresses, its title, what to prepare, what to measure.

    An optional one is measured for single answers only: a car without it counts as measured all the same.
    """

    word: str
    title: str
    prepare: str
    items: tuple[Item, ...] = ()
    points: tuple[PointItem, ...] = ()
    axle: Literal["", "front", "rear"] = ""
    optional: bool = False


_CORNERS = tuple((f"{axle}_{side}", f"{axle} {side}") for axle in ("front", "rear") for side in ("left", "right"))


def steps_of(document: CarDocument) -> list[Step]:
    """The walk round a car of this layout.

    Args:
        document: the car as it is known
    """
    there = {leaf.name for leaf in leaves(document)}
    steps = [_round(), _scales(), _wheels(), _springs(document, there), _dampers(document), _room(document)]
    for axle in ENDS:
        points = tuple(_points(document, axle))
        if points:
            steps.append(
                Step(
                    f"{axle}-pivots",
                    f"Pivots, {axle} axle",
                    "Car on level pads, steering straight ahead. Left side only: the right one is its mirror image. "
                    "Sideways counts from the middle of the car: half of the way from a left pivot to its twin on the "
                    f"right. Up counts from the pads. Forward counts from the {axle} wheel centre, by plumb lines.",
                    points=points,
                    axle=axle,
                )
            )
    steps = [replace(step, items=tuple(replace(item, must=_must(item.key)) for item in step.items)) for step in steps]
    return [*steps, _checks(document), _clear(document), _hoses(document), _aboard(document)]


def reading_named(document: CarDocument, place: str) -> str:
    """What the walk calls a reading; empty where none is taken there.

    Args:
        document: the car
        place: a key of its file, or a section: then its first reading
    """
    steps = steps_of(document)
    names = {one.key: one.label for step in steps for one in step.items}
    names |= {one.key: one.label for step in steps for one in step.points}
    return next((name for key, name in names.items() if key == place or key.startswith(f"{place}.")), "")


_MUSTS = frozenset(
    {
        *("wheelbase", "track", "wheel.loaded_radius", "lever", "torsion_bar.diameter", "torsion_bar.active_length"),
        *("spring.wire", "spring.outer_diameter", "spring.active_turns", "leaf.rate", "roll_bar.diameter"),
        *("inner_bar.diameter", "damper.closed_length", "bump_stop.gap"),
        *(f"{section}.{axle}_{side}" for section in ("heights", "mass") for axle in ENDS for side in ("left", "right")),
    }
)
"""Keys, without the axle, of what differs from car to car of one layout and moves every answer; common practice, no source.

Loads, heights and springs are a car's own. Pivots of one layout are more alike, and what is assumed of them is marked.
"""


def _must(key: str) -> bool:
    """Whether a number has to be measured on each car, the rest of a copied car may stay assumed."""
    return key in _MUSTS or key.partition(".")[2] in _MUSTS


def _round() -> Step:
    items = [
        Item("wheelbase", "wheelbase", Kind.LENGTH, "front to rear wheel centre, mean of both sides", "tape", "3 mm", "A"),
        Item("front.track", "front track", Kind.LENGTH, "tyre's outer edge left to inner edge right, at hub height",
             "tape", "3 mm", "B"),
        Item("rear.track", "rear track", Kind.LENGTH, "tyre's outer edge left to inner edge right, at hub height",
             "tape", "3 mm", "C"),
        *(
            Item(f"{axle}.wheel.loaded_radius", f"{axle} wheel centre over the ground", Kind.LENGTH,
                 "pad to the middle of the hub", "tape", "2 mm", letter)
            for axle, letter in zip(ENDS, "DE", strict=True)
        ),
        *(
            Item(f"heights.{key}", f"wheel centre to arch, {where}", Kind.LENGTH,
                 "straight up from the hub to the edge of the arch", "tape", "2 mm", "F" if "front" in key else "G")
            for key, where in _CORNERS
        ),
        Item("limits.ground_clearance", "ground clearance", Kind.LENGTH, "pad to the lowest fixed point", "tape", "3 mm",
             "H"),
        Item("limits.lamp_height", "dipped lamps over the ground", Kind.LENGTH, "pad to the lower edge of the lens", "tape",
             "5 mm", "J"),
    ]  # fmt: skip
    return Step(
        "round",
        "Once round with the tape",
        "Level floor, tyres at pressure, car rolled to and fro and bounced at each end, ballast as always.",
        tuple(items),
    )


def _scales() -> Step:
    items = [
        *(
            Item(f"mass.{key}", f"scale, {where}", Kind.MASS, "all four wheels on scales or level pads", "scales", "1 kg",
                 letter)
            for (key, where), letter in zip(_CORNERS, "ABCD", strict=True)
        ),
        *(
            Item(f"axle_load.{axle}", f"{axle} axle on a weighbridge", Kind.MASS,
                 "only where there are no four scales: both wheels then carry half", "scales", "10 kg", "")
            for axle in ENDS
        ),
        *(
            Item(f"mass.unsprung_{axle}", f"what moves with one {axle} wheel", Kind.MASS,
                 "wheel, hub, brake and half of the arms" if axle == "front" else "half of a beam axle, with wheel",
                 "guess", "3 kg", "")
            for axle in ENDS
        ),
        Item("mass.centre_of_gravity_height", "centre of gravity over the ground", Kind.LENGTH,
             "about as high as the top of the gearbox; the weighing of a lifted car tells it", "guess", "20 mm", ""),
    ]  # fmt: skip
    return Step(
        "scales",
        "On the scales",
        "Same state as before: fuel, ballast, pressures. Roll the car on, do not lift it on.",
        tuple(items),
    )


def _wheels() -> Step:
    items = [
        item
        for axle, letters in zip(ENDS, ("AB", "CD"), strict=True)
        for item in (
            Item(f"{axle}.alignment.camber", f"{axle} camber", Kind.ANGLE,
                 "mean of both wheels; − where the top leans inward", "angle gauge", "0.1 deg", letters[0]),
            Item(f"{axle}.alignment.toe", f"{axle} toe, each wheel", Kind.ANGLE,
                 "half of the total; + for toe-in; or as in “1 mm over 365 mm”", "angle gauge", "0.05 deg", letters[1]),
            Item(f"{axle}.wheel.tyre_rate", f"{axle} tyre, vertical rate", Kind.SPRING_RATE,
                 "from the maker, or load more and less on a scale", "catalogue", "15 N/mm", ""),
        )
    ]  # fmt: skip
    return Step("wheels", "Wheels", "Steering straight ahead, on turn plates or two plastic sheets.", tuple(items))


_COIL = (
    ("wire", "coil, wire", Kind.LENGTH, "calliper, paint off", "calliper", "0.1 mm", "E"),
    ("outer_diameter", "coil over all", Kind.LENGTH, "outside of the turns", "calliper", "0.5 mm", "F"),
    (
        "active_turns",
        "coil, turns that work",
        Kind.RATIO,
        "to quarters, without those that lie flat",
        "counted",
        "0.1",
        "G",
    ),
    ("free_length", "coil without load", Kind.LENGTH, "on the bench", "tape", "2 mm", "H"),
    ("rate", "coil, rate", Kind.SPRING_RATE, "where a bench or catalogue tells it", "catalogue", "1 N/mm", ""),
)


def _springs(document: CarDocument, there: set[str]) -> Step:
    items: list[Item] = []
    for axle in ENDS:
        have = {name.split(".")[1] for name in there if name.startswith(f"{axle}.")}
        if "torsion_bar" in have:
            items += [
                Item(f"{axle}.torsion_bar.diameter", "torsion bar, diameter", Kind.LENGTH, "between the heads, in three "
                     "places", "calliper", "0.05 mm", "A"),
                Item(f"{axle}.torsion_bar.active_length", "torsion bar, length that twists", Kind.LENGTH,
                     "from spline to spline", "tape", "5 mm", "B"),
                Item(f"{axle}.torsion_bar.splines_arm", "splines at the arm", None, "count twice, from a mark", "counted",
                     "", "C"),
                Item(f"{axle}.torsion_bar.splines_anchor", "splines at the anchor", None, "count twice, from a mark",
                     "counted", "", "D"),
            ]  # fmt: skip
            lever = bar_lever(document, axle)
            if lever is not None:
                label = "lever: bar's axis to wheel centre"
                items.append(Item(f"{axle}.lever", label, Kind.LENGTH, lever.how, "tape", "2 mm", "K"))
        if "spring" in have:
            items += [
                Item(f"{axle}.spring.{key}", f"{axle} {label}", *rest)  # type: ignore[arg-type]
                for key, label, *rest in _COIL
            ]
        if "leaf" in have:
            how = "whole leaf at its seat"
            items.append(Item(f"{axle}.leaf.rate", f"{axle} leaf, rate", Kind.SPRING_RATE, how, "bench", "1 N/mm"))
            how = "leaf out of the car: a string from eye to eye, and from it to the face on the axle's pad"
            items.append(
                Item(f"{axle}.leaf.free_camber", f"{axle} leaf, free camber", Kind.LENGTH, how, "tape", "2 mm")
            )
        if "inner_bar" in have:
            items += [
                Item(f"{axle}.inner_bar.diameter", "bar inside the tube, diameter", Kind.LENGTH, "where it comes out",
                     "calliper", "0.1 mm", "L"),
                Item(f"{axle}.inner_bar.active_length", "bar inside the tube, length that twists", Kind.LENGTH,
                     "from fixing to fixing", "tape", "5 mm", "M"),
            ]  # fmt: skip
        if "roll_bar" in have:
            how = "in the middle, paint off"
            name = f"{axle} anti-roll bar, diameter"
            items.append(Item(f"{axle}.roll_bar.diameter", name, Kind.LENGTH, how, "calliper", "0.1 mm", "N"))
    return Step(
        "springs",
        "Springs and bars",
        "A wound bar or a compressed coil holds energy: unload it at full droop before anything is undone. What can be "
        "measured in place is measured in place.",
        tuple(items),
    )


def _dampers(document: CarDocument) -> Step:
    items: list[Item] = []
    for axle in ENDS:
        items += [
            Item(f"{axle}.damper.closed_length", f"{axle} damper, fully closed", Kind.LENGTH,
                 "between its joints, pressed together by hand, rubber off", "tape", "2 mm", "A"),
            Item(f"{axle}.damper.open_length", f"{axle} damper, fully open", Kind.LENGTH, "between its joints, pulled out",
                 "tape", "2 mm", "B"),
        ]  # fmt: skip
        if getattr(getattr(document, axle).left, "bump_stop", None) is not None:
            how = "from the rubber to what it will touch, car standing; a ring of grease tells how far it has been"
            name = f"{axle} gap to the bump rubber"
            items.append(Item(f"{axle}.bump_stop.gap", name, Kind.LENGTH, how, "tape", "2 mm", "C"))
    return Step(
        "dampers",
        "Dampers and rubbers",
        "Of a strut, lengths count from the top mount to the point low on the strut that the pivots name.",
        tuple(items),
    )


def _room(document: CarDocument) -> Step:
    items: list[Item] = []
    for axle in ENDS:
        items += [
            Item(f"{axle}.clearance.tyre_to_arch", f"{axle} tyre to arch", Kind.LENGTH,
                 "way up until the tyre would meet metal, wheel straight", "tape", "5 mm", "A"),
            Item(f"{axle}.clearance.brake_hose_droop", f"{axle} way down to a tight hose", Kind.LENGTH,
                 "wheel let down until the first hose or cable is straight", "tape", "5 mm", "B"),
        ]  # fmt: skip
    if getattr(document.front, "steering", None) is not None:
        how = "from straight ahead to the stop, at the rack"
        items += [
            Item("front.steering.rack_travel", "rack, each way", Kind.LENGTH, how, "tape", "2 mm", "C"),
            Item("front.clearance.full_lock_gap", "front tyre at full lock, least gap", Kind.LENGTH,
                 "car on its wheels, turned to both locks: tyre to body, arm or strut, the nearest", "tape", "2 mm"),
            Item("front.clearance.full_lock_at", "where that gap is", None,
                 "inner front or inner rear edge of the tyre, or beside the strut", "tape",
                 choices=get_args(FullLockAt)),
        ]  # fmt: skip
    return Step("room", "Room around the wheels", "On the lift, wheels hanging, nobody under a wheel.", tuple(items))


def _checks(document: CarDocument) -> Step:
    """What single checks ask for, and nothing else."""
    front: Any = document.front.left
    rear: Any = document.rear.left
    items: list[Item] = []
    if getattr(front.pivots, "drive_shaft_inner", None) is not None:
        items += [
            Item(f"front.drive_shaft.{key}", label, kind, how, tool, usual)
            for key, label, kind, how, tool, usual in (
                ("max_angle", "outer joint of the drive shaft, largest angle", Kind.ANGLE, _JOINT, "catalogue", "1 deg"),
                ("inner_max_angle", "inner joint of the drive shaft, largest angle", Kind.ANGLE, _JOINT, "catalogue",
                 "1 deg"),
                ("plunge_in", "room for the shaft to move in", Kind.LENGTH, "push it in from where it stands", "tape",
                 "1 mm"),
                ("plunge_out", "room for the shaft to move out", Kind.LENGTH, "pull it out from where it stands", "tape",
                 "1 mm"),
            )
        ]  # fmt: skip
    if getattr(front, "torsion_bar", None) is not None:
        items.append(Item("front.torsion_bar.stress_limit", "torsion bar, stress that it may see", Kind.STRESS,
                          "of the bar's maker", "catalogue", ""))  # fmt: skip
    if getattr(front.pivots, "strut_top", None) is not None:
        how = "where it leaves the body of the strut"
        items.append(Item("front.damper.rod_diameter", "strut, rod", Kind.LENGTH, how, "calliper", "0.1 mm"))
        if getattr(front, "bump_stop", None) is not None:
            how = "of the rubber itself, off the rod; it takes the place of the gap"
            name = "front bump rubber, free height"
            items.append(Item("front.bump_stop.free_height", name, Kind.LENGTH, how, "tape", "1 mm"))
    for axle, left in (("front", front), ("rear", rear)):
        if getattr(left, "spring", None) is not None:
            how = "all turns touching: what its maker says, or pressed on the bench"
            name = f"{axle} coil, solid"
            items.append(Item(f"{axle}.spring.solid_length", name, Kind.LENGTH, how, "catalogue", "1 mm"))
    if getattr(document.rear, "panhard", None) is not None:
        items += [
            Item("rear.panhard.diameter", "Panhard rod, diameter", Kind.LENGTH, "in the middle, paint off", "calliper",
                 "0.1 mm"),
            Item("rear.panhard.inner_diameter", "Panhard rod, bore", Kind.LENGTH, "of a tube; 0 where it is solid",
                 "calliper", "0.1 mm"),
        ]  # fmt: skip
    items += [
        Item("driveline.brake_front_share", "front brakes' share of the braking force", Kind.SHARE,
             "from a brake tester, or by discs and pistons", "bench", "3 %"),
        Item("limits.minimum_ground_clearance", "least ground clearance asked for", Kind.LENGTH,
             "by the law or by the shop", "catalogue", ""),
    ]  # fmt: skip
    for axle in ENDS:
        how = "mounting face to the rim's middle; + where the face lies further out; stamped on the wheel as ET"
        items += [
            Item(f"{axle}.wheel.offset", f"{axle} wheel, offset", Kind.LENGTH, how, "catalogue", "1 mm"),
            Item(f"{axle}.wheel.lateral", f"{axle} tyre, how it grips sideways", None,
                 "a published set that stands for it; the nearest in size and make-up", "catalogue",
                 choices=tuple(EXAMPLE_TYRES)),
        ]  # fmt: skip
    prepare = "Each of these answers one check. What is left empty leaves its check unknown, and nothing else."
    return Step("checks", "For the checks", prepare, tuple(items), optional=True)


def _clear(document: CarDocument) -> Step:
    prepare = (
        "For the checks of what a tyre comes near and of what hangs low, over travel and locks. The car stands as found, "
        "on level ground. A point needs its three lengths; one with none is left out."
    )
    return Step("clear", "Points to keep clear", prepare, tuple(named_items(document, ("near", "low"))), optional=True)


def _hoses(document: CarDocument) -> Step:
    prepare = (
        "For the checks of hoses and ball joints over travel and locks. A hose needs both ends and its length, a joint "
        "its axle, its name and its largest swing; one with none is left out."
    )
    items = tuple(named_items(document, ("hose", "joint")))
    return Step("hoses", "Hoses and joints", prepare, items, optional=True)


_JOINT = "of the joint's maker, or with the shaft out until it binds"
PLACES = ("passenger", "rear_seat", "boot")
"""Where people and luggage ride, unless the car says otherwise."""
PLACE_PARTS = ("back", "left", "up")
"""Where the middle of a load is: behind the front wheel centres, left of the car's middle, over the ground."""


def _aboard(document: CarDocument) -> Step:
    items = []
    for name in dict.fromkeys((*document.places, *PLACES)):
        label = name.replace("_", " ")
        items += [
            Item(f"places.{name}.mass", f"{label}: what usually rides there", Kind.MASS, "75 kg for a person", "guess",
                 "5 kg"),
            Item(f"places.{name}.back", f"{label}: behind the front wheel centres", Kind.LENGTH,
                 "to the middle of a person's seat, or of the load", "tape", "30 mm", "A"),
            Item(f"places.{name}.left", f"{label}: left of the middle of the car", Kind.LENGTH, "− on the right", "tape",
                 "30 mm", "B"),
            Item(f"places.{name}.up", f"{label}: over the ground", Kind.LENGTH,
                 "about 250 mm over a seat's cushion", "tape", "30 mm", "C"),
        ]  # fmt: skip
    prepare = "For the checks of the laden car. A place needs all four numbers; one with none is left out."
    return Step("aboard", "People and luggage", prepare, tuple(items), optional=True)


_MEANINGS = {
    "arm_end": "anti-roll bar: eye at the end of its arm",
    "bend": "anti-roll bar: where arm and middle part meet",
    "bush": "anti-roll bar: middle of its bush",
    "link_end": "anti-roll bar: far end of the drop link",
    "body_end": "Panhard rod: joint on the body, sideways negative on the right",
    "axle_end": "Panhard rod: joint on the axle, sideways negative on the right",
}


def _points(document: CarDocument, axle: Literal["front", "rear"]) -> Iterator[PointItem]:
    """Every point of the axle's file section, but the wheel centre, which the tape has told already."""
    section: Any = getattr(document, axle)
    meanings = dict(_MEANINGS)
    meanings |= {pivot.name: pivot.meaning for pivot in section.as_layout().pivots}
    number = 0
    for leaf in leaves(document):
        parts = leaf.name.split(".")
        if parts[0] != axle or not isinstance(leaf.value, MeasuredPoint) or parts[-1] == "wheel_centre":
            continue
        number += 1
        where = [word for word in parts[1:-1] if word not in {"pivots", "left", "panhard"}]
        label = " ".join([*where, parts[-1]]).replace("_", " ")
        yield PointItem(leaf.name, number, label, meanings.get(parts[-1], ""))
