"""The height of a tie rod's end as a part's number, and the bump steer for which it is sought."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Literal

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.preload import main_spring_name
from jounce.behaviour.axle.static import with_main_springs
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.axes import Side
from jounce.conventions.errors import Impossible
from jounce.conventions.units import MM, Kind
from jounce.layouts.adjusters import TOE
from jounce.layouts.naming import SIDES, named
from jounce.shelf.kinds.rods import RackShimPart, TieRodSpacerPart
from jounce.shelf.shelf import Shelf
from jounce.wanted.on_shelf import parts_for
from jounce.wanted.seek import Figure, PartNumber, ShelfTry
from jounce.wanted.stood import Stood
from jounce.wanted.work_car import WorkCar, with_axle

__all__ = ["RodEnd", "bump_steer", "raised_tie_rods"]

RodEnd = Literal["outer", "inner"]
_FARTHEST = 0.08  # that an end is moved, each way [m]
_LOOKED = 0.03  # travel each way from standing at which toe is told [m]


def raised_tie_rods(work: WorkCar, axle: AxleName, end: RodEnd, today: Stood) -> PartNumber:
    """One end of both tie rods set higher or lower; the rods are then set to the toe that the car has.

    Args:
        work: the car
        axle: front or rear
        end: the end that is moved: that at the wheel, or the other
        today: the car at rest

    Raises:
        Impossible: the axle has no tie rods
    """
    model, section = work.model(axle), work.section(axle)
    rod = next(
        (adjuster for adjuster in section.as_layout().adjusters if adjuster.sets == "toe" and adjuster.ends), None
    )
    if rod is None:
        raise Impossible(f"Nothing on the {axle} axle sets its toe: it has no tie rods.")
    pivot, rods = f"{rod.ends}_{end}", [named(axle, side, rod.joint) for side in SIDES]
    if getattr(section.side(Side.LEFT).pivots, pivot, None) is None:
        raise Impossible(f"The {axle} axle has no pivot {pivot} that could be moved.")
    wanted = today.geometry(axle, ("wheel angles",))
    toe = {named(axle, side, "toe"): wanted[f"{side}_toe"] for side in SIDES}
    springs = {side: model.elements[main_spring_name(axle, side)] for side in SIDES}
    settings = {name: value for name, value in work.car.axles[AXLES.index(axle)].settings.items() if name not in rods}

    own, found = work.car.axles[AXLES.index(axle)].settings, model.stand.reference_values(rods)[0]
    before = {name: own.get(name, float(found[k])) for k, name in enumerate(rods)}

    def fitted(value: float) -> RoadCar:
        moved = work.changed(axle, lambda one: one.model_copy(update={"pivots": _lifted(one.pivots, pivot, value)}))
        made = with_main_springs(axle_model(moved, axle), springs)
        standing = replace(today.states(axle), settings={**settings, **toe})
        placed = place_axle(made.stand, axle, standing, freed=tuple(rods))
        if not placed.reached.all():
            raise Impossible(f"No length of the {rod.name}s gives the toe that the car has.")
        lengths = made.stand.taken(rods).values(placed.pose)[0]
        return with_axle(work.car, made, {**settings, **dict(zip(rods, map(float, lengths), strict=True))})

    return PartNumber(
        name=f"{end} ends of the {rod.name}s higher by",
        kind=Kind.LENGTH,
        today=0.0,
        start=0.0,
        low=-_FARTHEST,
        high=_FARTHEST,
        step=MM,
        grows=f"The {end} ends {{}} higher",
        fitted=fitted,
        also=lambda _, stood: [*_toes(stood, axle), *_longer(stood, axle, rod.name, before)],
        says=lambda _, __: (_ONE_PLACE,),
        on_shelf=lambda shelf, _: (
            ShelfTry(code, higher, lambda higher=higher: fitted(higher))  # type: ignore[misc]
            for code, higher in (_on_shelf(shelf, axle, end) if rod is TOE else ())
        ),
    )


def _on_shelf(shelf: Shelf, axle: AxleName, end: RodEnd) -> Iterator[tuple[str, float]]:
    """Codes of spacers of outer ends, of shims under a rack, and how much higher they hold those ends [m]."""
    if end == "outer":
        for spacer in parts_for(shelf, TieRodSpacerPart, axle):
            if spacer.height is not None:
                yield spacer.code, -spacer.height.value
    else:
        for shims in parts_for(shelf, RackShimPart, axle):
            if shims.higher is not None:
                yield shims.code, shims.higher.value


_ONE_PLACE = (
    "That is the slope where the car stands: along the travel toe bends, as the two rows at 30 mm tell. Set toe again, and "
    "look whether joint, rod and rim clear one another at both locks."
)


def bump_steer(axle: AxleName) -> Callable[[Stood], float]:
    """Change of toe per bump where a car stands, mean of both wheels, positive towards toe-in [rad/m].

    Args:
        axle: front or rear
    """

    def read(stood: Stood) -> float:
        told = stood.geometry(axle, ("bump gradients",))
        return float(np.mean([told[f"{side}_bump_steer"] for side in SIDES]))

    return read


def _lifted(pivots: object, name: str, value: float) -> object:
    point = getattr(pivots, name)
    return pivots.model_copy(update={name: replace(point, z=point.z + value)})  # type: ignore[attr-defined]  # a section


def _toes(stood: Stood, axle: AxleName) -> list[Figure]:
    """Change of toe over the travel that matters, mean of both wheels: the slope is that at one place alone."""
    model, states = stood.car.axles[AXLES.index(axle)].axle, stood.states(axle)
    way = np.array([0.0, _LOOKED, -_LOOKED])
    moved: AxleStates = replace(states, left=states.left + way, right=states.right + way)
    table = column_map(states_table(model.stand, model.linkage, moved, (1.0, 1.0), groups=("wheel angles",)))
    toe = np.mean([table[f"{side}_toe"] for side in SIDES], axis=0)
    return [
        Figure("toe at 30 mm more bump, against standing", Kind.ANGLE, float(toe[1] - toe[0])),
        Figure("toe at 30 mm more droop, against standing", Kind.ANGLE, float(toe[2] - toe[0])),
    ]


def _longer(stood: Stood, axle: AxleName, word: str, before: Mapping[str, float]) -> list[Figure]:
    """How much longer the rods have to be set for the same toe."""
    settings = stood.car.axles[AXLES.index(axle)].settings
    return [
        Figure(f"{word} longer by, {side}", Kind.LENGTH, settings.get(rod, now) - now)
        for side, (rod, now) in zip(SIDES, before.items(), strict=True)
    ]
