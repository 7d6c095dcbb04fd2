"""A car to begin with: a front axle like that of one demo car, a rear axle like that of another, nothing of it measured.

Every layout can be chosen at the end at which a car may have it. Where no demo car has it there, another end's axle is
moved along the car to that end's wheels.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache, reduce
from importlib.resources import files
from typing import Any

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import MeasuredPoint
from jounce.car.file.reading import parse_car, read_toml
from jounce.car.file.rewriting import as_text
from jounce.car.file.walk import leaves
from jounce.conventions.axes import End
from jounce.layouts.catalogue import LAYOUTS
from jounce.layouts.description import Layout
from jounce.measuring.copying import as_assumed
from jounce.measuring.named_points import NAMED

__all__ = ["AxleLike", "axles_like", "begun_like"]

_STEERING = ("steering", "steering_box")
_OF_ONE_CAR = (*NAMED, "trammel", "places", "driveline", "front", "rear")
_MORE = {"inner_bar": "anti-roll bar in the tube", "steering_box": "steering box"}
_SPRUNG = {"torsion_bar": "torsion bars", "spring": "coils", "leaf": "leaf springs"}
_LOWERED = {
    "torsion_bar": "teeth or bolts of the torsion bars",
    "spring": "coils, their pads and threaded perches",
    "leaf": "blocks and shackles",
}
_AIMS = {
    "camber": "camber",
    "caster": "caster",
    "toe": "toe",
    "centre": "axle in the middle",
    "thrust": "where the axle points",
}


@dataclass(frozen=True, slots=True)
class AxleLike:
    """An axle that one of a car's ends can be like.

    Attributes:
        key: by which it is chosen
        title: what the trade calls it
        springs: what it is sprung by
        more: what it has besides
        settings: what a garage sets on it and by what, pair by pair
        car: the demo car that has it
        at: which of its axles it is there

    """

    key: str
    title: str
    springs: str
    more: tuple[str, ...]
    settings: tuple[tuple[str, str], ...]
    car: str
    at: End

    @property
    def name(self) -> str:
        """The demo car's name."""
        return self.document.car.name

    @property
    def document(self) -> CarDocument:
        """The demo car."""
        return _document(self.car)


@cache
def axles_like(end: End) -> Mapping[str, AxleLike]:
    """All axles that this end of a car can be like, by their keys: first those that demo cars have there.

    Args:
        end: which end of the car
    """
    other = End.REAR if end is End.FRONT else End.FRONT
    there = {_layout(one) for one in _axles(end)}
    moved = (one for one in _axles(other) if _layout(one) not in there and _may_stand(_layout(one), end))
    plain = sorted(moved, key=lambda one: len(one.more))  # a steering box stays where it steers
    found: dict[tuple[object, ...], AxleLike] = {}
    for one in (*_axles(end), *(replace(one, more=()) for one in plain)):
        found.setdefault((one.title, one.springs, one.more), one)
    return {one.key: one for one in found.values()}


def begun_like(front: AxleLike, rear: AxleLike) -> str:
    """A car document of two axles, every number of it assumed.

    Weights, heights and what else is the car's come from the demo car of whichever axle stands at the end where it stood;
    points of the body that come near a tyre or the road, and what is aboard, only where both axles are of one car.

    Args:
        front: what the front axle is like
        rear: what the rear axle is like
    """
    axles = {End.FRONT: front.name, End.REAR: rear.name}
    if front.car == rear.car and (front.at, rear.at) == (End.FRONT, End.REAR):
        text = _text(front.car)
        return as_assumed(text[text.index("[car]") :], axles)  # what its file says on top is said of the demo car
    whole = front if front.at is End.FRONT else rear
    behind = rear if rear.at is End.REAR else whole
    base, other = (_written(one.car) for one in (whole, behind))
    car = {key: value for key, value in base.items() if key not in _OF_ONE_CAR}
    for table in ("mass", "heights"):  # what an axle carries, and how high, goes with it
        car[table] = base[table] | {key: value for key, value in other[table].items() if "rear" in key}
    car |= {"front": _section(front, End.FRONT, base), "rear": _section(rear, End.REAR, base)}
    car["interfaces"] = {str(end): _interfaces(like) for end, like in ((End.FRONT, front), (End.REAR, rear))}
    return as_assumed(as_text(car), axles, {End.FRONT: whole.name, End.REAR: behind.name})


def _section(like: AxleLike, end: End, base: Mapping[str, Any]) -> dict[str, Any]:
    """An axle's section as it stands at an end of a car, in front with the rack of the car that it is of."""
    found: dict[str, Any] = copy.deepcopy(_written(like.car)[like.at])
    if like.at is end:
        return found
    racks = (car["front"].get("steering") for car in (_written(like.car), base))
    steering = {"steering": next(filter(None, racks))} if end is End.FRONT else {}
    forward = base[end]["pivots"]["wheel_centre"][0] - found["pivots"]["wheel_centre"][0]
    for leaf in leaves(like.document):
        axle, *path, key = leaf.name.split(".")
        if axle == like.at and isinstance(leaf.value, MeasuredPoint):
            table = reduce(dict.__getitem__, path, found)
            x, y, z = table[key]
            table[key] = [round(x + forward, 2), y, z]
    return {key: value for key, value in found.items() if key not in _STEERING} | steering


def _interfaces(like: AxleLike) -> dict[str, Any]:
    """What parts meet on an axle: of the car that it is of, wherever it stands."""
    return dict(_written(like.car).get("interfaces", {}).get(like.at, {}))


def _axles(at: End) -> Iterator[AxleLike]:
    """The axles that demo cars have at one end."""
    for entry in sorted(files("jounce.demo").iterdir(), key=lambda entry: entry.name):
        if not entry.name.endswith(".toml"):
            continue
        text = _written(entry.name)
        if not isinstance(text.get("car"), Mapping) or not isinstance(text.get(at), Mapping):
            continue
        axle, layout = text[at], LAYOUTS.get(text[at]["layout"])
        springs = next(key for key in _SPRUNG if key in axle)
        title = "Told link by link" if layout is None else layout.title
        yield AxleLike(
            f"{entry.name}/{at}",
            title,
            _SPRUNG[springs],
            tuple(words for key, words in _MORE.items() if key in axle),
            (("height", _LOWERED[springs]), *_settings(layout)),
            entry.name,
            at,
        )


def _settings(layout: Layout | None) -> Iterator[tuple[str, str]]:
    """What is set on a layout, each by the names of all that sets it."""
    for aim, words in _AIMS.items():
        names = [] if layout is None else [one.name for one in layout.adjusters if one.sets == aim]
        if layout is not None and layout.links and aim in {"camber", "caster"}:
            names.append("link")
        if names:
            yield words, ", ".join(dict.fromkeys(names))


def _layout(like: AxleLike) -> str:
    return str(_written(like.car)[like.at]["layout"])


def _may_stand(layout: str, end: End) -> bool:
    """Whether an axle that no demo car has at an end may be there: in front it has to steer."""
    return layout in LAYOUTS and (end is End.REAR or LAYOUTS[layout].steered)


@cache
def _text(car: str) -> str:
    return files("jounce.demo").joinpath(car).read_text("utf-8")


@cache
def _written(car: str) -> Mapping[str, Any]:
    return read_toml(_text(car), car)


@cache
def _document(car: str) -> CarDocument:
    return parse_car(_text(car), car)
