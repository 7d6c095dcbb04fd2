"""All shapes of an axle, and what of them a job exchanges."""

from __future__ import annotations

from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.conventions.axes import SIDES, End
from jounce.web.charts.travel_curves import StandingAxle
from jounce.web.picture.bars import anti_roll_bars
from jounce.web.picture.dampers import dampers
from jounce.web.picture.members import members
from jounce.web.picture.scene import Scene
from jounce.web.picture.springs import main_springs
from jounce.web.picture.steering import steering
from jounce.web.picture.wheels import wheels

__all__ = ["scene_of"]

_EXCHANGED = (
    *("torsion_bar", "spring", "leaf", "perch", "damper", "bump_stop", "roll_bar", "roll_bar_2", "wheel"),
    *("panhard", "inner_bar", "cross_member"),
)
"""Sections of the car file that tell of a part that is taken out and put in."""


def scene_of(standing: StandingAxle, document: CarDocument, found: CarDocument, first: int) -> Scene:
    """Everything that is known of an axle as shapes; what is not known is not there.

    Args:
        standing: the axle
        document: its car
        found: the car as it was found, to tell what is exchanged
        first: number of the first point that is not a pivot
    """
    scene = Scene(standing, document, first, _changed(standing.model.name, found, document))
    for told in (wheels, members, dampers, main_springs, anti_roll_bars, steering):
        told(scene)
    return scene


def _changed(axle: str, found: CarDocument, planned: CarDocument) -> frozenset[str]:
    before, after = found.axle(End(axle)), planned.axle(End(axle))
    return frozenset(name for name in _EXCHANGED if _sections(before, name) != _sections(after, name))


def _sections(axle: Axle, name: str) -> list[object]:
    return [getattr(one, name, None) for one in (axle, *(axle.side(side) for side in SIDES))]
