"""From car, job and shelf to the two axles' choices: what the search works on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from jounce.behaviour.on_road.acting import steady
from jounce.behaviour.on_road.equilibrium import AtRest, at_rest
from jounce.behaviour.on_road.road_car import RoadCar
from jounce.car.assembly import axle_model
from jounce.car.beam_panhard import BeamSide
from jounce.car.document import CarDocument
from jounce.car.model import AXLES, AxleModel, AxleName
from jounce.conventions.axes import End
from jounce.conventions.errors import InputError
from jounce.job.apply import planned_document, wishes_of
from jounce.job.document import JobDocument
from jounce.job.on_road import car_in
from jounce.job.plan import Plan, make_plan
from jounce.job.search.axle_space import BESIDE_THE_SPRING, AxleSpace, Candidate, axle_space
from jounce.job.search.roll_curves import Frame
from jounce.job.search.slots import (
    SLOTS,
    USUAL,
    Choosy,
    Package,
    Slot,
    check_searchable,
    go_together,
    job_of,
    parts_for,
    without,
)
from jounce.job.shelf.part import Part
from jounce.job.shelf.shelf import Shelf

_BARS = {"roll_bar_2": "roll_bar_2_twist", "roll_bar": "roll_bar_twist", "inner_bar": "inner_bar"}
"""Element that a bar of each key of the change list brings."""


@dataclass(frozen=True, slots=True)
class SearchSpace:
    """Everything that packages are made of.

    Attributes:
        document: the car as measured
        base: the job without what is looked for: wishes, and parts that every package has
        plan: the job as it was given, worked out: heights and settings
        car: the car on its road as the base job has it
        rest: how it stands there
        axles: front and rear axle with their choices
        options: parts looked at, by slot
        refused: choices of which too little is known, each with what to measure

    """

    document: CarDocument
    base: JobDocument
    plan: Plan
    car: RoadCar
    rest: AtRest
    axles: tuple[AxleSpace, AxleSpace]
    options: Mapping[str, tuple[Part, ...]]
    refused: tuple[str, ...]

    def frame(self, axle: int) -> Frame:
        """What the car gives to one axle."""
        heave, pitch, roll = (float(x) for x in self.rest.freedoms[0, :3])
        foot = self.rest.acted.foot[0, ..., 0].mean(axis=1)
        mass, at = self.car.body_masses()
        centre = (mass @ at[:, 0] + (self.car.unsprung * self.rest.acted.centre[0, ..., 0]).sum()) / self.car.mass
        share = (centre - foot[1 - axle]) / (foot[axle] - foot[1 - axle])
        return Frame(self.car, axle, heave, pitch, roll, float(self.car.mass * share))


def search_space(
    document: CarDocument,
    base: JobDocument,
    shelf: Shelf,
    slots: Sequence[Slot] = SLOTS,
    choosy: Choosy = USUAL,
) -> SearchSpace:
    """Gather what packages are made of.

    Args:
        document: the car as measured
        base: wishes, and parts that every package has; its parts in the places looked at only say how the car stands
        shelf: the shelf
        slots: places for which parts are looked for
        choosy: which parts are looked at

    Raises:
        InputError: a car for which packages cannot be searched
        Impossible: the car cannot stand as wished
    """
    check_searchable(document)
    planned = planned_document(document, base)
    plan = make_plan(document, planned, wishes_of(document, base))
    car = car_in(planned, plan.planned)
    rest = at_rest(car, steady())
    options = {slot.name: tuple(parts_for(slot, shelf, document, choosy)) for slot in slots}
    cleared = without(base, slots)
    maker = _Candidates(document, cleared, options)
    axles = [
        axle_space(
            maker.model(name, {}),
            car.axles[k].settings,
            maker.groups(name, End.FRONT if name == "front" else End.REAR),
            rest.travel[0, k],
            rest.acted.load[0, k],
        )
        for k, name in enumerate(AXLES)
    ]
    return SearchSpace(document, cleared, plan, car, rest, (axles[0], axles[1]), options, tuple(maker.refused))


class _Candidates:
    """Axles with one choice changed."""

    def __init__(self, document: CarDocument, base: JobDocument, options: Mapping[str, Sequence[Part]]) -> None:
        self.document, self.base, self.options = document, base, options
        self.refused: list[str] = []

    def model(self, axle: AxleName, package: Package) -> AxleModel:
        """An axle with the parts of a package, main springs not loaded."""
        return axle_model(planned_document(self.document, job_of(self.base, package)), axle)

    def groups(self, axle: AxleName, end: End) -> list[list[Candidate]]:
        """Main springs, dampers with stops, and one group for each kind of bar; then what no choice touches."""
        front = end is End.FRONT
        main = self._products(("front bars",) if front else ("rear springs", "rear perches"))
        stops = self._products(("front dampers", "front stops") if front else ("rear dampers", "rear stops"))
        groups = [self._known(self._spring, axle, main), self._known(self._beside, axle, stops)]
        governed: set[str] = set()
        for slot in SLOTS:
            if slot.end is end and slot.key in _BARS and self.options.get(slot.name):
                name = f"{axle}.{_BARS[slot.key]}"
                governed.add(name)
                groups.append([self._bar(axle, package, name) for package in self._products((slot.name,))])
        base = self.model(axle, {})
        beside = {name for name in base.elements if base.groups[name] in BESIDE_THE_SPRING}
        rest = tuple(name for name in base.elements if name not in governed | beside)
        return [*groups, [Candidate({}, base, rest)]]

    def _known(
        self, make: Callable[[AxleName, Package], Candidate], axle: AxleName, packages: Sequence[Package]
    ) -> list[Candidate]:
        """Candidates of which enough is known; of the others the reason is kept."""
        found = []
        for package in packages:
            try:
                found.append(make(axle, package))
            except InputError as problem:
                codes = " with ".join(part.code for part in package.values())
                self.refused.append(f"{codes}: {problem}")
        return found

    def _products(self, names: Sequence[str]) -> list[dict[str, Part]]:
        packages: list[dict[str, Part]] = [{}]
        for name in names:
            packages = [dict(one) for one in packages] + [
                {**one, name: part}
                for one in packages
                for part in self.options.get(name, ())
                if all(go_together(part, other) for other in one.values())
            ]
        return packages

    def _spring(self, axle: AxleName, package: Package) -> Candidate:
        model = self.model(axle, package)
        if axle == "front":
            return Candidate(package, model, ())
        side = planned_document(self.document, job_of(self.base, package)).rear.left
        if not isinstance(side, BeamSide):
            raise TypeError("a searchable car has a beam axle behind")
        free = side.spring.free_length
        perch = side.perch
        seats = (0.0, 0.0) if perch is None else (perch.lowest.value, perch.highest.value)
        return Candidate(package, model, (), None if free is None else free.value, seats)

    def _beside(self, axle: AxleName, package: Package) -> Candidate:
        model = self.model(axle, package)
        return Candidate(package, model, tuple(_of_groups(model)))

    def _bar(self, axle: AxleName, package: Package, name: str) -> Candidate:
        model = self.model(axle, package)
        return Candidate(package, model, (name,) if name in model.elements else ())


def _of_groups(model: AxleModel) -> Iterator[str]:
    yield from (name for name in model.elements if model.groups[name] in BESIDE_THE_SPRING)
