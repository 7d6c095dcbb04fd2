"""Which places a search would have to look at as well where it finds nothing: tried out, one place, else two."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations

from jounce.checks.limits import CheckLimits
from jounce.conventions.axes import End
from jounce.search.build import SearchSpace, search_space
from jounce.search.slots import Slot, reasons_against, slots_of
from jounce.search.variants import limits, variants_of
from jounce.shelf.part import Part

__all__ = ["parts_not_known_to_fit", "places_to_open"]

_HELP: Mapping[str, tuple[str, ...]] = {
    "bar stress at full bump": ("bars", "stops"),
    "spring loose before full droop": ("dampers", "helpers", "bars", "springs"),
    "coil bound before full bump": ("springs", "stops"),
    "helper spring not solid where the car stands": ("helpers", "springs"),
    "too little bump travel": ("stops", "dampers"),
    "sits on its rubber": ("stops", "dampers"),
    "too little rebound travel": ("dampers",),
    "tyre meets the arch before the bump ends": ("stops",),
    "perch out of reach": ("perches", "springs", "spacers"),
    "leaf springs out of reach of the height": ("leaves", "shackles", "spacers"),
}
"""Places of the axle at hand whose parts bear on a limit."""
_TRIED = 4  # places: each is a table of geometry more


def places_to_open(space: SearchSpace, axle: int, held: CheckLimits, broken: Mapping[str, int]) -> tuple[str, ...]:
    """The fewest places, two at most, with which some choice of an axle's parts keeps the limits; none where none do.

    Args:
        space: what was searched
        axle: 0 for the front, 1 for the rear
        held: what the checks hold to
        broken: how many choices break each limit
    """
    end = ("front", "rear")[axle]
    places = slots_of(space.document)
    chosen = (slot for slot in places if slot.end == end and not slot.picked and not slot.around)
    closed = {slot.name: slot for slot in chosen if slot not in space.slots}
    by_weight = sorted(broken, key=lambda limit: -broken[limit])
    named = (f"{end} {word}" for limit in by_weight for word in _HELP.get(limit, ()))
    likely = [name for name in dict.fromkeys(named) if name in closed][:_TRIED]
    for size in (1, 2):
        for names in combinations(likely, size):
            if _opens(space, axle, held, [closed[name] for name in names]):
                return names
    return ()


def parts_not_known_to_fit(space: SearchSpace, axle: int) -> int:
    """How many parts for the places of an axle were left out only since too little is known of part or car.

    Args:
        space: what was searched
        axle: 0 for the front, 1 for the rear
    """
    choosy = space.picked.choosy
    if choosy.unsure:
        return 0
    end = tuple(End)[axle]
    slots = [slot for slot in space.slots if slot.end == end]

    def waits(part: Part) -> bool:
        """Whether nothing speaks against it once what is not known is taken to be right."""
        sure = [reasons_against(part, slot, space.document, choosy) for slot in slots]
        unsure = [reasons_against(part, slot, space.document, replace(choosy, unsure=True)) for slot in slots]
        return all(sure) and not all(unsure)

    return sum(map(waits, space.shelf.parts))


def _opens(space: SearchSpace, axle: int, held: CheckLimits, more: list[Slot]) -> bool:
    choosy = space.picked.choosy
    looked = [slot for slot in (*space.slots, *more) if not slot.around]  # its own wheels stay
    wider = search_space(space.document, space.base, space.shelf, looked, choosy, only=axle)
    return bool(limits(variants_of(wider.axles[axle]), held).kept.any())
