"""An axle's first anti-roll bar as a part whose diameter is sought, and what bars are asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.lift import SEARCHED, lift
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file import ranges
from jounce.car.mechanics.axle_coupling import twisting_parts
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.errors import Impossible
from jounce.conventions.units import MM, Kind
from jounce.elements.free_play import FreePlay
from jounce.elements.law import Linear
from jounce.layouts.naming import named
from jounce.linkage.balance import Element
from jounce.shelf.kinds.anti_roll_bars import AntiRollBarPart
from jounce.shelf.kinds.bars import InnerBarPart
from jounce.shelf.shelf import Shelf
from jounce.wanted.bounds import bounds_of
from jounce.wanted.on_shelf import parts_for
from jounce.wanted.seek import Figure, PartNumber, ShelfTry
from jounce.wanted.stood import Stood
from jounce.wanted.work_car import WorkCar, with_axle

__all__ = ["lifts_at", "roll_angle", "thicker_bar"]

_WORDS = {"roll_bar": "anti-roll bar", "inner_bar": "bar in the beam's tube"}
_MORE_THAN_BORE = 1.02


def thicker_bar(work: WorkCar, axle: AxleName) -> PartNumber:
    """The axle's own first bar, whose diameter is sought; its shape, bushes and links stay.

    Args:
        work: the car
        axle: front or rear

    Raises:
        Impossible: the axle has no bar
    """
    model, section = work.model(axle), work.section(axle)
    name = _first_bar(work, axle)
    now: float = _bar(section, name).diameter.value
    low, high = bounds_of(ranges.AntiRollBarDiameter)
    low = max(low, _bar(section, name).inner_diameter.value * _MORE_THAN_BORE)
    element = named(axle, f"{name}_twist") if name == "roll_bar" else named(axle, name)

    def twisted(**sizes: float) -> Element:
        return twisting_parts(_with_sizes(work, axle, name, sizes).section(axle), axle)[0][element]

    def fitted_bar(**sizes: float) -> RoadCar:
        return with_axle(work.car, replace(model, elements={**model.elements, element: twisted(**sizes)}))

    def bare() -> RoadCar:
        kept = {one: law for one, law in model.elements.items() if one != element}
        return with_axle(work.car, replace(model, elements=kept))

    def also(value: float, _: Stood) -> list[Figure]:
        rate, before = _rate(twisted(diameter=value)), _rate(model.elements[element])
        return [
            Figure("rate of the bar over its arms", Kind.TORSIONAL_RATE, rate),
            Figure("that is so many times today's", Kind.RATIO, rate / before),
        ]

    return PartNumber(
        name=f"diameter of the {_WORDS[name]}",
        kind=Kind.LENGTH,
        today=now,
        start=now,
        low=low,
        high=high,
        step=MM,
        grows="{} more diameter",
        fitted=lambda value: fitted_bar(diameter=value),
        also=also,
        on_shelf=lambda shelf, _: _bars_on_shelf(axle, name, shelf, fitted_bar),
        bare=(f"Without this {_WORDS[name]} it is", bare),
    )


def roll_angle(across: float) -> Callable[[Stood], float]:
    """How far a car leans outwards beyond standing, mean of both turns [rad]; not a number where it finds no rest.

    Args:
        across: lateral acceleration [m/s²]
    """

    def read(stood: Stood) -> float:
        turned = at_rest(stood.car, steady(np.array([across, -across])))
        if not turned.reached.all():
            raise Impossible("The car finds no rest in a corner of this lateral acceleration.")
        return float(turned.roll[0] - turned.roll[1]) / 2

    return read


def lifts_at(axle: AxleName) -> Callable[[Stood], float]:
    """Lateral acceleration at which the axle's inner wheel lifts, in the turn in which that comes first [m/s²].

    Where it does not lift, as far as turns are followed.

    Args:
        axle: front or rear
    """

    def read(stood: Stood) -> float:
        found = lift(stood.car, AXLES.index(axle), np.array([1.0, -1.0]), np.zeros(2)).across
        return float(np.where(np.isnan(found), SEARCHED, found).min())

    return read


def _first_bar(work: WorkCar, axle: AxleName) -> str:
    section = work.section(axle)
    for name in _WORDS:
        if _bar(section, name) is not None:
            return name
    raise Impossible(
        f"The {axle} axle has no anti-roll bar whose diameter could be another: put one into the change list first, "
        "and ask again."
    )


def _bar(section: Any, name: str) -> Any:
    return getattr(section.left, name, None) if name == "roll_bar" else getattr(section, name, None)


def _with_sizes(work: WorkCar, axle: AxleName, name: str, sizes: Mapping[str, float]) -> WorkCar:
    """The document's bar with another diameter, bore or length [m]."""

    def other(bar: Any) -> Any:
        return bar.model_copy(update={key: replace(getattr(bar, key), value=value) for key, value in sizes.items()})

    if name == "roll_bar":
        document = work.changed(axle, lambda one: one.model_copy(update={name: other(getattr(one, name))}))
    else:
        section = work.section(axle)
        changed = section.model_copy(update={name: other(getattr(section, name))})
        document = work.document.model_copy(update={axle: changed})
    return replace(work, document=document)


def _bars_on_shelf(axle: AxleName, name: str, shelf: Shelf, fitted: Callable[..., RoadCar]) -> Iterator[ShelfTry]:
    """The shelf's bars in the shape of the one in the car; of those in a beam's tube the length is their own."""
    kind: type[AntiRollBarPart | InnerBarPart] = AntiRollBarPart if name == "roll_bar" else InnerBarPart
    for part in parts_for(shelf, kind, axle):
        length = part.active_length if isinstance(part, InnerBarPart) else None
        second = isinstance(part, AntiRollBarPart) and part.role == "second"
        if part.diameter is None or second or (isinstance(part, InnerBarPart) and length is None):
            continue
        sizes = {"diameter": part.diameter.value}
        sizes["inner_diameter"] = 0.0 if part.inner_diameter is None else part.inner_diameter.value
        if length is not None:
            sizes["active_length"] = length.value
        yield ShelfTry(part.code, part.diameter.value, lambda sizes=sizes: fitted(**sizes))  # type: ignore[misc]


def _rate(element: Element) -> float:
    law = element.law
    if not isinstance(law, Linear | FreePlay):
        raise TypeError(f"{type(law).__name__} is not the law of a bar")
    return float(np.ravel(law.rate)[0])
