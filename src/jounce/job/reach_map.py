"""What camber and caster the slots of top plates or upper joints can give, toe reset by the tie rods at every place.

The plates are put all over their slots, each side for itself; at every place the tie rods bring the toe back and camber
and caster are read where the car stands. The slots are taken as a rectangle: full reach across at every place fore and
aft, which cross-shaped slots have not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.travel import TravelTable
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.axes import End
from jounce.job.document import AxleChange, JobDocument, WantedAxle
from jounce.job.plan import JobPlan, value_of
from jounce.job.settings import aims_of
from jounce.layouts.adjusters import Aim
from jounce.layouts.naming import SIDES, SideName, named, outward
from jounce.numerics.arrays import Array, BoolArray

_ACROSS, _ALONG = 17, 17  # places of a map


@dataclass(frozen=True, slots=True)
class Slots:
    """How far a plate goes from as found, none of them negative; a reach that nobody measured counts as none [m]."""

    inward: float
    outward: float
    fore: float
    rear: float

    @property
    def none(self) -> bool:
        """Whether the plate cannot move at all."""
        return not (self.inward or self.outward or self.fore or self.rear)


@dataclass(frozen=True, slots=True)
class ReachMap:
    """One wheel's region, its places in a grid of (inward, rearward).

    Attributes:
        side: which wheel
        inward: displacement of the plate towards the middle, shape (across,) [m]
        rearward: to the rear, shape (along,) [m]
        camber: shape (across, along) [rad]
        caster: the same [rad]
        tie_rod: by how much the tie rod has to be longer to reset the toe, the same [m]
        reached: places that the linkage reaches, the same
        wanted: camber and caster asked for; of caster that of the plan where none is asked for [rad]
        room: how far inside its region's edge that lies, negative outside [rad]

    """

    side: SideName
    inward: Array
    rearward: Array
    camber: Array
    caster: Array
    tie_rod: Array
    reached: BoolArray
    wanted: tuple[float, float]
    room: float

    @property
    def edge(self) -> Array:
        """The region's edge, once round, shape (points, 2): camber and caster [rad]."""
        return _edge(self.camber, self.caster)


def slots_of(change: AxleChange) -> Slots | None:
    """How far an axle's new slots go, None where it has none.

    Args:
        change: the parts exchanged on it
    """
    plate = change.slots
    if plate is None:
        return None
    across = (plate.across(inward=True) or 0.0, plate.across(inward=False) or 0.0)
    fore, rear = (0.0 if one is None else one.value for one in (plate.reach_fore, plate.reach_rear))
    return Slots(*across, fore, rear)


def reach_maps(document: CarDocument, axle: str, job: JobDocument, plan: JobPlan) -> dict[SideName, ReachMap]:
    """Both wheels' regions where the planned car stands; empty without slots that let them move both angles.

    Args:
        document: the planned car's document
        axle: "front" or "rear"
        job: the change list
        plan: what came out
    """
    slots = slots_of(job.change.of(axle))
    if slots is None or slots.none:
        return {}
    model = next(model for model in plan.planned.models if model.name == axle)
    joints = aims_of(document.axle(End(axle)))
    if "caster" not in joints:
        return {}
    toe = {side: value_of(plan.planned.geometry[axle], f"{side}_toe") or 0.0 for side in SIDES}
    inward = np.linspace(-slots.outward, slots.inward, _ACROSS)
    rearward = np.linspace(-slots.fore, slots.rear, _ALONG)
    found = _placed((model, joints), plan.planned.states[axle], (inward, rearward), toe)
    maps: dict[SideName, ReachMap] = {}
    for side in SIDES:
        camber, caster, rod, reached = found[side]
        asked = job.wanted.of(axle)
        wanted = _wanted(asked, plan.planned.geometry[axle], side)
        room = _room_of(asked, slots, (camber, caster), wanted) if reached.all() else float("nan")
        maps[side] = ReachMap(side, inward, rearward, camber, caster, rod, reached, wanted, room)
    return maps


def _wanted(asked: WantedAxle, geometry: TravelTable, side: SideName) -> tuple[float, float]:
    """What is asked for; what is not asked for is as the plan has it."""
    pairs = (("camber", asked.of_wheel("camber", side)), ("caster", asked.of_wheel("caster", side)))
    camber, caster = (value_of(geometry, f"{side}_{name}") if one is None else one.value for name, one in pairs)
    return camber or 0.0, caster or 0.0


def _placed(
    axle_set: tuple[AxleModel, Mapping[Aim, str]],
    standing: AxleStates,
    slots: tuple[Array, Array],
    toe: Mapping[SideName, float],
) -> dict[SideName, tuple[Array, Array, Array, BoolArray]]:
    """Camber, caster, tie rod and reached of both sides all over the slots, one batch for both."""
    inward, rearward = (each.ravel() for each in np.meshgrid(*slots, indexing="ij"))
    model, joints = axle_set
    axle = model.name
    drives: dict[str, Array | float] = {}
    freed = tuple(named(axle, side, joints["toe"]) for side in SIDES)
    for side in SIDES:
        drives[named(axle, side, joints["camber"])] = -outward(side) * inward
        drives[named(axle, side, joints["caster"])] = -rearward
        drives[named(axle, side, "toe")] = np.full(len(inward), toe[side])
    placed = place_axle(model.stand, axle, replace(standing, settings=drives), freed)
    names = [named(axle, side, thing) for side in SIDES for thing in ("road_cosine", "caster", joints["toe"])]
    values = model.stand.taken(names).values(placed.pose)
    shape = (len(slots[0]), len(slots[1]))
    result: dict[SideName, tuple[Array, Array, Array, BoolArray]] = {}
    for k, side in enumerate(SIDES):
        rise, caster, rod = (values[:, 3 * k + i].reshape(shape) for i in range(3))
        camber = -outward(side) * np.arcsin(rise)
        found = float(model.stand.reference_values([named(axle, side, joints["toe"])])[0, 0])
        result[side] = (camber, caster, rod - found, placed.reached.reshape(shape))
    return result


def _room_of(asked: WantedAxle, slots: Slots, angles: tuple[Array, Array], wanted: tuple[float, float]) -> float:
    """Room within the region; along its length alone where the slots go one way only and one angle is asked for."""
    camber, caster = angles
    if not (slots.fore or slots.rear) and asked.of_wheel("caster", "left") is None:
        return float(min(wanted[0] - camber.min(), camber.max() - wanted[0]))
    if not (slots.inward or slots.outward) and asked.of_wheel("camber", "left") is None:
        return float(min(wanted[1] - caster.min(), caster.max() - wanted[1]))
    return _room(_edge(camber, caster), wanted)


def _edge(camber: Array, caster: Array) -> Array:
    """Once round a grid of places."""
    grid = np.stack((camber, caster), -1)
    return np.concatenate((grid[:-1, 0], grid[-1, :-1], grid[:0:-1, -1], grid[0, :0:-1]))


def _room(edge: Array, wanted: tuple[float, float]) -> float:
    """Distance of a point from a closed edge, negative outside [rad]."""
    point = np.array(wanted)
    start, end = edge, np.roll(edge, -1, axis=0)
    way = end - start
    along = np.einsum("nk,nk->n", point - start, way) / np.maximum(np.einsum("nk,nk->n", way, way), 1e-30)
    nearest = start + np.clip(along, 0.0, 1.0)[:, None] * way
    distance = float(np.linalg.norm(point - nearest, axis=1).min())
    # A ray from the point crosses the edge an odd number of times where it is inside.
    above = (start[:, 1] > point[1]) != (end[:, 1] > point[1])
    rise = np.where(above, way[:, 1], 1.0)
    crossing = start[:, 0] + (point[1] - start[:, 1]) / rise * way[:, 0]
    inside = int(np.count_nonzero(above & (point[0] < crossing))) % 2 == 1
    return distance if inside else -distance
