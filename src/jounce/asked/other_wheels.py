"""Other tyres and rims put on a job for the length of a question: their size by its designation, the rest as today."""

from __future__ import annotations

import math
from dataclasses import dataclass

from jounce.asked.wheel_sizes import SaidSize
from jounce.car.file.quantity import Measured
from jounce.car.parts.changed import WheelChange
from jounce.car.parts.wheel import Wheel
from jounce.conventions.errors import InputError
from jounce.conventions.units import INCH, Kind, show
from jounce.elements.tyres.size import HEIGHT_SHARE, WIDTH_SHARE, TyreSize, size_named

__all__ = ["OtherWheel", "other_wheel", "width_today"]

_ORIGIN = "by its designation: ISO 4000-1, UN Regulation 30"
_OF_OLD = 80
"""Aspect of a size that tells none, such as 155 R13: common practice, no source [%]."""
_SECTION_PER_RIM = 0.4
_ASPECTS = range(95, 15, -5)


@dataclass(frozen=True, slots=True)
class OtherWheel:
    """What another wheel is taken for.

    Attributes:
        now: the size that is on the car
        size: the new tyre's; None where a rim alone is told, on which the tyre is as large outside as today's
        change: as a job tells it
        width: of the new tyre [m]
        outside: outer diameter of the new tyre [m]
        rim: code of the new rim, in inches
        assumed: what was not told and is taken for granted, in sentences

    """

    now: TyreSize
    size: TyreSize | None
    change: WheelChange
    width: float
    outside: float
    rim: int
    assumed: tuple[str, ...]

    def said(self, units: str) -> str:
        """The wheel in words, beside today's.

        Args:
            units: unit set of the lengths
        """
        name = f"tyres {self.size}" if self.size is not None else f"{self.rim}-inch rims"
        here, there = (show(one, Kind.LENGTH, units) for one in (self.outside, self.now.outside))
        wide = show(self.width, Kind.LENGTH, units)
        return f"{name}, {here} in diameter and {wide} wide (today {self.now}, {there})"


def other_wheel(wheel: Wheel, said: SaidSize, had: WheelChange | None, axle: str) -> OtherWheel:
    """Another wheel by what is said of it.

    The loaded radius goes with half of what the diameters of both sizes differ by: the tyre is pressed in as far as
    today's. Its ± counts what the standard lets sections be higher or lower.

    Args:
        wheel: the car's, as measured
        said: size of tyre or rim
        had: other wheels that the job has already
        axle: "front" or "rear", for the place of what is missing

    Raises:
        InputError: the size that is on the car is not told, or there is none such as is said
    """
    if said.strange:
        raise InputError(
            "There is no such tyre size",
            found=said.strange,
            allowed="sizes such as 195/50 R15",
            todo="Look at the tyre's wall, and ask again.",
        )
    now = size_named((had and had.tyre) or wheel.tyre)
    if now is None:
        raise InputError(
            "The size of the tyres that are on the car is not known, so how much others differ is not either",
            found=wheel.tyre or "none",
            allowed="a size such as 165/70 R13",
            todo="Type it from the tyre's wall.",
            place=f"{axle}.wheel.tyre",
        )
    rim = said.rim or now.rim
    assumed = []
    size = None
    if said.width:
        aspect = said.aspect or _OF_OLD
        if not said.aspect:
            assumed.append(
                f"A {said.width} R{rim} is taken for the 80 series: common practice, look at the tyre's wall."
            )
        size = TyreSize(said.width, aspect, rim)
        if not said.rim:
            assumed.append(f"No rim is told: the tyres are taken for the {rim}-inch rims of today.")
    radius, band = _loaded_radius(wheel, had, now, size)
    rim_width = said.rim_width or None
    if size is None:
        near = min(
            (TyreSize(now.width, aspect, rim) for aspect in _ASPECTS), key=lambda one: abs(one.outside - now.outside)
        )
        off = show(near.outside - now.outside, Kind.LENGTH, sign=True)
        assumed.append(
            f"No tyre is told: it is taken to be as large outside as today's, as is common practice. The nearest of the "
            f"same width is {near}, {off} in diameter; ask again with the size to be exact."
        )
        width = now.section_width() + _SECTION_PER_RIM * ((rim_width or now.measuring_rim) - now.measuring_rim)
    else:
        width = size.section_width(rim_width)
        if rim_width is None:
            on = round(size.measuring_rim / INCH, 1)
            assumed.append(
                f"No width of the rim is told: the tyre is taken to stand on one of {on:g} inches, as its size is measured."
            )
    assumed.append(
        "Tyre sizes are by their designation (ISO 4000-1, UN Regulation 30): a real tyre may be up to 4 % wider and "
        "2 to 4 mm higher or lower. Its rate, weight and offset are taken as today's where nothing is said of them."
    )
    change = (had or WheelChange()).model_copy(
        update={
            "rim_diameter": Measured(rim * INCH),
            "tyre_width": Measured(width, WIDTH_SHARE * width, _ORIGIN),
            **({} if size is None else {"tyre": str(size), "loaded_radius": Measured(radius, band, _ORIGIN)}),
        }
    )
    outside = now.outside if size is None else size.outside
    return OtherWheel(now, size, change, width, outside, rim, tuple(assumed))


def _loaded_radius(wheel: Wheel, had: WheelChange | None, now: TyreSize, size: TyreSize | None) -> tuple[float, float]:
    """Loaded radius of the new tyre and its ± [m]."""
    today = wheel.loaded_radius if had is None or had.loaded_radius is None else had.loaded_radius
    if size is None:
        return float(today), today.plus_minus
    band = math.hypot(today.plus_minus, HEIGHT_SHARE * now.section_height, HEIGHT_SHARE * size.section_height)
    return float(today) + (size.outside - now.outside) / 2, band


def width_today(wheel: Wheel) -> Measured | None:
    """Width of the tyre that is on the car: as measured, else by its size; None where neither is known.

    Args:
        wheel: the car's
    """
    size = size_named(wheel.tyre)
    if wheel.tyre_width is not None or size is None:
        return wheel.tyre_width
    return Measured(size.section_width(), WIDTH_SHARE * size.section_width(), _ORIGIN)
