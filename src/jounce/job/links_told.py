"""What each link of an axle does to camber and caster, for who has to say which of them is set."""

from __future__ import annotations

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.conventions.axes import End
from jounce.conventions.errors import JounceError
from jounce.conventions.units import DEG, MM
from jounce.job.angle_slopes import angle_slopes
from jounce.job.document import WheelAngle
from jounce.layouts.adjusters import Aim
from jounce.numerics.arrays import Array

__all__ = ["links_told"]

_SET: tuple[Aim, Aim] = ("camber", "caster")


def links_told(document: CarDocument, end: End, angle: WheelAngle) -> str:
    """The links that may be named, the one that moves the angle most for what it moves beside it first.

    Args:
        document: the car
        end: which axle; one whose layout has links that can be named
        angle: what is to be set

    Returns:
        Such as "1 mm more of link_3 moves camber by -0.21 deg, caster by +0.02 deg.", a sentence for each; the names alone
        where the car's numbers do not let it be worked out
    """
    links = document.axle(end).as_layout().links
    try:
        slopes = _slopes(document, end, links)
    except JounceError:
        return f"Its links are {', '.join(links)}."
    own = _SET.index(angle) if angle in _SET else 0
    order = sorted(range(len(links)), key=lambda k: -_alone(slopes[k], own))
    return " ".join(_sentence(links[k], slopes[k]) for k in order)


def _slopes(document: CarDocument, end: End, links: tuple[str, ...]) -> Array:
    """Of camber and caster of the left wheel by the length of each link, the car as found, shape (links, 2) [rad/m]."""
    model = axle_model(document, end.value)
    columns = [angle_slopes(model, AxleStates(), "left", dict.fromkeys(_SET, link))[:, 0] for link in links]
    return np.array(columns)


def _alone(slopes: Array, own: int) -> float:
    """How much of what a link moves is the angle wanted, by its size [rad/m]."""
    return float(abs(slopes[own]) - abs(slopes[1 - own]))


def _sentence(link: str, slopes: Array) -> str:
    camber, caster = slopes * MM / DEG
    return f"1 mm more of {link} moves camber by {camber:+.2f} deg, caster by {caster:+.2f} deg."
