"""A main spring wound further or its seat raised, and how far it is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jounce.elements.law import Linear, Shifted
from jounce.linkage.balance import Element

__all__ = ["displaced_by_setting", "spring_moved"]


def displaced_by_setting(spring: Element) -> float:
    """By how much a spring is displaced by how it is set, the wheel as found [m or rad].

    Args:
        spring: a torsion bar, or what stands on a seat
    """
    law = spring.law
    if isinstance(law, Linear):
        return float(np.asarray(law.preload / law.rate).ravel()[0])
    if isinstance(law, Shifted):
        return float(np.asarray(law.by).ravel()[0])
    raise TypeError("a main spring that is set is a bar or stands on a seat")


def spring_moved(spring: Element, by: float) -> Element:
    """A spring displaced by so much more; positive lifts the car.

    Args:
        spring: a torsion bar, or what stands on a seat
        by: turn of the bar, way of the seat [rad or m]
    """
    law = spring.law
    if isinstance(law, Linear):
        return replace(spring, law=Linear(law.rate, law.preload + law.rate * by))
    if isinstance(law, Shifted):
        return replace(spring, law=Shifted(law.law, law.by + by))
    raise TypeError("a main spring that is set is a bar or stands on a seat")
