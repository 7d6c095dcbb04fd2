"""Everything compiled, once: what setting up the program does, so that nobody waits for it later."""

from __future__ import annotations

import numpy as np

from jounce.linkage.measures import AnyMeasure, Bearing, Component, CoordinateSum, Distance, TyrePoint
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.place import place
from jounce.linkage.states import FEWEST_FOLLOWED
from jounce.linkage.tree import GROUND, Body, Direction, Freedom, Point
from jounce.numerics.arrays import Array, numbers


def warm_up(*, sensitivities: bool = True) -> None:
    """Compile all that placing, measuring and balancing use, and keep it on disk; quick when it is there already.

    Args:
        sensitivities: compile also what carries imaginary parts

    """
    _use(np.array([0.3, 0.0, 0.1]))
    if sensitivities:
        _use(np.array([0.3, 1e-30j, 0.1]))


def _use(end: Array) -> None:
    """Place an arm that a rod holds, by the height of its end, and take everything of it."""
    x, y, z = np.eye(3)
    foot = Point(GROUND, np.array([0.2, 0.1, -0.3]))
    arm, tip = Body("arm", Freedom.HINGE, np.zeros(3), y), Point("arm", numbers(end))
    measures: dict[str, AnyMeasure] = {
        "height": Component(tip, Direction(GROUND, z)),
        "rod": Distance(foot, tip),
        "angle": CoordinateSum({"arm": 1.0}),
        "bearing": Bearing(Direction("arm", x), Direction(GROUND, z), Direction(GROUND, x)),
        "tyre": TyrePoint(tip, foot, Direction("arm", y), Direction(GROUND, z), Direction(GROUND, z), 0.1),
    }
    mechanism = Mechanism([arm], {}, measures)
    everything = mechanism.taken(tuple(measures))
    many = place(mechanism, {"height": np.linspace(0.1, 0.15, FEWEST_FOLLOWED)})
    everything.values(many.pose)
    many_motions = many.motions(({"height": 1.0},))
    many_motions.first(everything)
    many_motions.second(everything)
    placed = place(mechanism, {"height": np.linspace(0.1, 0.15, 3)})
    motions = placed.motions(({"height": 1.0}, {"height": 2.0}))
    motions.first(everything)
    motions.second(everything)
    line = everything.linearised(placed.pose)
    line.hessian(line.gradient[:, :, 0])
    if not np.iscomplexobj(end):  # rest is sought without imaginary parts
        mechanism.moved(placed.pose, 0.0 * placed.pose.coordinate)
