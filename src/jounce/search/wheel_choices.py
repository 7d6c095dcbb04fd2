"""Choices that move the whole car: wheels, spacers at joints and the rack's height change how axles stand and move.

Each is searched as a car of its own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product

from jounce.conventions.axes import End
from jounce.conventions.errors import Impossible
from jounce.search.slots import SLOTS, Package, Slot
from jounce.shelf.part import Part

__all__ = ["MOST_AROUND", "packages_around"]

_ALIKE = "wheel"
"""What both axles have alike where a part for either is put on: spacers are of one axle's joints."""
MOST_AROUND = 12
"""Choices of wheels, joints' spacers and rack shims that are searched at most: each takes as long as a whole search."""


def packages_around(options: Mapping[str, Sequence[Part]]) -> list[Package]:
    """Every choice of wheels with every choice of joints' spacers and of rack shims, the car's own first.

    A wheel for either axle goes on both where both are looked at: one spare has to fit everywhere. Wheels made for one
    axle go with each of those made for the other.

    Args:
        options: the parts of each place

    Raises:
        Impossible: more choices than can be searched
    """
    slots = [slot for slot in SLOTS if slot.around and options.get(slot.name)]
    kinds = dict.fromkeys(slot.key for slot in slots)
    chosen = product(*(list(_of_a_kind([slot for slot in slots if slot.key == key], options)) for key in kinds))
    found = [{name: part for one in packages for name, part in one.items()} for packages in chosen]
    if len(found) > MOST_AROUND:
        named = " and ".join(f'"{slot.name}"' for slot in slots)
        raise Impossible(
            f"There are {len(found)} choices of wheels, joints' spacers and rack shims, more than the {MOST_AROUND} that "
            f"are searched: each is a whole search. Leave {named} as they are, or look only at what is in stock."
        )
    return [*found]


def _of_a_kind(slots: Sequence[Slot], options: Mapping[str, Sequence[Part]]) -> list[Package]:
    """Every choice for the places of one kind of part, none of it first."""
    own: dict[End, list[Package]] = {slot.end: [{}] for slot in slots}
    both: list[Package] = []
    for slot in slots:
        for part in options[slot.name]:
            if part.place == "either" and slot.key == _ALIKE and len(slots) == len(End):
                both.append({one.name: part for one in slots})
            else:
                own[slot.end].append({slot.name: part})
    found: list[Package] = [
        {name: part for one in each for name, part in one.items()} for each in product(*own.values())
    ]
    for package in both:
        if package not in found:
            found.append(package)
    return found
