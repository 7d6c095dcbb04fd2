"""Choices that move the whole car: wheels change where every axle stands, so each is searched as a car of its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product

from jounce.conventions.axes import End
from jounce.conventions.errors import Impossible
from jounce.search.slots import SLOTS, Package
from jounce.shelf.part import Part

__all__ = ["MOST_AROUND", "packages_around"]

MOST_AROUND = 12
"""Choices of wheels that are searched at most: each takes as long as a whole search."""


def packages_around(options: Mapping[str, Sequence[Part]]) -> list[Package]:
    """Every choice of wheels, the car's own first.

    A wheel for either axle goes on both where both are looked at: one spare has to fit everywhere. Wheels made for one
    axle go with each of those made for the other.

    Args:
        options: the parts of each place

    Raises:
        Impossible: more choices than can be searched
    """
    slots = [slot for slot in SLOTS if slot.around and options.get(slot.name)]
    own: dict[End, list[Package]] = {slot.end: [{}] for slot in slots}
    both: list[Package] = []
    for slot in slots:
        for part in options[slot.name]:
            if part.place == "either" and len(slots) == len(End):
                both.append({one.name: part for one in slots})
            else:
                own[slot.end].append({slot.name: part})
    mixed = [{name: part for one in chosen for name, part in one.items()} for chosen in product(*own.values())]
    found: list[Package] = [*mixed]
    for package in both:
        if package not in found:
            found.append(package)
    if len(found) > MOST_AROUND:
        named = " and ".join(f'"{slot.name}"' for slot in slots)
        raise Impossible(
            f"There are {len(found)} choices of wheels, more than the {MOST_AROUND} that are searched: each is a whole "
            f"search. Leave {named} as they are, or look only at what is in stock."
        )
    return found
