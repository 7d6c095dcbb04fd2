"""Links of an axle that the car's file names for parts that replace them."""

from __future__ import annotations

from jounce.car.file.contents import CarContents
from jounce.car.file.quantity import suggestion
from jounce.conventions.axes import ENDS
from jounce.conventions.errors import InputError

__all__ = ["named_link_problems"]

_KEYS = ("camber_link", "caster_link")


def named_link_problems(document: CarContents) -> list[InputError]:
    """Links that the axle's layout has not, each with its place in the file.

    Args:
        document: the car
    """
    problems = []
    for end in ENDS:
        layout = document.axle(end).as_layout()
        for key in _KEYS:
            name = getattr(getattr(document.interfaces, str(end)), key)
            if name is not None and name not in layout.links:
                problems.append(
                    InputError(
                        f"The {end} axle has no such link",
                        found=f'"{name}"',
                        allowed=" or ".join(f'"{link}"' for link in layout.links) or f"none: {layout.title}",
                        todo=suggestion(name, layout.links) if layout.links else "Leave it out.",
                        place=f"interfaces.{end}.{key}",
                    )
                )
    return problems
