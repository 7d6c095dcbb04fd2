"""From car, job and shelf to the two axles' choices: what the search works on."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.preload import main_spring_name, slack_displacement
from jounce.behaviour.road.equilibrium import AtRest, at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.coil_stack import coil_stack
from jounce.car.mechanics.free_length import free_length
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.car.mechanics.torsion_bars import stress_limit, torsion_bar
from jounce.car.parts import TorsionBarSection
from jounce.conventions.axes import ENDS, End, Side
from jounce.conventions.errors import Impossible, InputError, InputProblems, JounceError
from jounce.job.apply import planned_document, problems_between, wishes_of
from jounce.job.bump_steer import with_heights
from jounce.job.document import JobDocument
from jounce.job.drop_links import LinkSetting, LinksSet, links_set
from jounce.job.fitting import bars_carried
from jounce.job.plan import WantedStand, wanted_stand
from jounce.job.settings import index_of_bar
from jounce.job.shackles import LIFTS, ShackleRange
from jounce.layouts.naming import SIDES
from jounce.search.alignment_parts import NO_SETTERS, SettersPicked, as_on_car, freed, picked_setters, setters_among
from jounce.search.axle_space import BESIDE_THE_SPRING, AxleSpace, Candidate, SpringBounds, axle_space
from jounce.search.fixed_choice import Picked, picked_parts
from jounce.search.roll_curves import Frame
from jounce.search.slots import (
    SLOTS,
    USUAL,
    USUAL_PLACES,
    Choosy,
    Package,
    Slot,
    go_together,
    job_of,
    parts_for,
    slots_of,
    without,
)
from jounce.search.wheel_choices import packages_around
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf

_MAIN = ("bars", "springs", "helpers", "perches", "leaves", "shackles", "spacers")
"""Places of what springs an axle and of what sets its height."""
_BARS = {"roll_bar_2": "roll_bar_2_twist", "roll_bar": "roll_bar_twist", "inner_bar": "inner_bar"}
"""Element that a bar of each key of the change list brings."""


@dataclass(frozen=True, slots=True)
class SearchSpace:
    """Everything that packages are made of.

    Attributes:
        document: the car as measured
        base: the job without what is looked for: wishes, and parts that every package has
        stand: the car held at the heights wanted
        car: the same on its road
        rest: how it stands there
        axles: front and rear axle with their choices
        options: parts looked at, by slot
        refused: choices of which too little is known, each with what to measure
        picked: what goes with every package, and why
        shelf: the shelf
        slots: places for which parts are looked for
        wheels: wheels of the shelf that every package has; none where the job's or the car's own stay
        others: the same car on other wheels

    """

    document: CarDocument
    base: JobDocument
    stand: WantedStand
    car: RoadCar
    rest: AtRest
    axles: tuple[AxleSpace, AxleSpace]
    options: Mapping[str, tuple[Part, ...]]
    refused: tuple[str, ...]
    picked: Picked
    shelf: Shelf
    slots: tuple[Slot, ...]
    wheels: Package = field(default_factory=dict)
    others: tuple[SearchSpace, ...] = ()

    @property
    def every(self) -> tuple[SearchSpace, ...]:
        """This one, and the car on each of the other wheels."""
        return (self, *self.others)

    def job(self, package: Package) -> JobDocument:
        """The job that a package is.

        Args:
            package: parts by slot
        """
        return job_of(self.base, package, self.document)

    def frame(self, axle: int) -> Frame:
        """What the car gives to one axle."""
        heave, pitch, roll = (float(x) for x in self.rest.freedoms[0, :3])
        foot = self.rest.acted.foot[0, ..., 0].mean(axis=1)
        mass, at = self.car.body_masses()
        centre = (mass @ at[:, 0] + (self.car.unsprung * self.rest.acted.centre[0, ..., 0]).sum()) / self.car.mass
        share = (centre - foot[1 - axle]) / (foot[axle] - foot[1 - axle])
        car, space = self.car, self.axles[axle]
        return Frame(
            car.unsprung[axle],
            car.radius[axle],
            car.tyres[axle],
            car.unloaded[axle],
            car.road_height[axle],
            np.array([float(np.ravel(space.base.tyre_rate[side])[0]) for side in SIDES]),
            car.sharing[axle],
            float(space.load.sum()),
            heave,
            pitch,
            roll,
            float(car.mass * share),
        )


def search_space(
    document: CarDocument,
    base: JobDocument,
    shelf: Shelf,
    slots: Sequence[Slot] = SLOTS,
    choosy: Choosy = USUAL,
    *,
    only: int | None = None,
) -> SearchSpace:
    """Gather what packages are made of.

    Args:
        document: the car as measured
        base: wishes, and parts that every package has; its parts in places for which there are others are left out
        shelf: the shelf
        slots: places for which parts are looked for, as far as the car has them
        choosy: which parts are looked at
        only: axle that alone is looked at, the other has no choices then; both when left out

    Raises:
        Impossible: the linkage does not reach the heights wanted
    """
    places = slots_of(document)
    slots = [slot for slot in slots if slot in places]
    options = {slot.name: tuple(parts_for(slot, shelf, document, choosy)) for slot in slots if not slot.picked}
    _check_size(options)
    cleared = as_on_car(without(base, [slot for slot in slots if slot.picked or options[slot.name]]), base)
    refused = list(_two_heights(cleared, options))
    gathered = _Gathered(document, cleared, shelf, tuple(slots), choosy, options, only)
    first, *more = packages_around(options)
    own, others = gathered.on(first), []
    for wheels in more:
        try:
            others.append(gathered.on(wheels))
        except JounceError as problem:
            refused.append(f"{_codes(wheels)}: {problem}")
    return replace(own, others=tuple(others), refused=(*own.refused, *refused))


def _two_heights(base: JobDocument, options: dict[str, tuple[Part, ...]]) -> Iterator[str]:
    """Leave out spacers where the job keeps a thread, and threads where it keeps a spacer: both set one height."""
    for end in End:
        for key, other in (("spacer", "perch"), ("perch", "spacer")):
            name = f"{end} {key}s" if key == "spacer" else f"{end} {key}es"
            if options.get(name) and base.part(str(end), other) is not None:
                yield f"{name}: the job has a {other} there, and both would set the height of one seat."
                options[name] = ()


def _codes(package: Package) -> str:
    return " with ".join(dict.fromkeys(part.code for part in package.values()))


@dataclass(frozen=True, slots=True)
class _Gathered:
    """What is the same on whatever wheels the car stands."""

    document: CarDocument
    base: JobDocument
    shelf: Shelf
    slots: tuple[Slot, ...]
    choosy: Choosy
    options: Mapping[str, tuple[Part, ...]]
    only: int | None

    def on(self, wheels: Package) -> SearchSpace:
        """The space on some wheels.

        Args:
            wheels: those of the shelf, by slot; none for the job's or the car's own

        Raises:
            Impossible: the linkage does not reach the heights wanted on them
        """
        document, base = self.document, job_of(self.base, wheels, self.document)
        setters, wanted = self._setters(base), base.wanted
        base = job_of(base, setters.parts, document)
        base, planned, stand = held_where_wanted(document, base)
        car = car_of(planned, *stand.models, stand.settings)
        rest = at_rest(car, steady())
        base = base.model_copy(update={"wanted": wanted})
        chosen = [slot for slot in self.slots if slot.picked]
        picked = picked_parts(stand, document, base, self.shelf, chosen, self.choosy)
        picked = replace(picked, setters=setters, told={**setters.told, **picked.told})
        maker = _Candidates(document, base, self.options, picked, stand.found.models, _held(rest, stand))
        axles = [
            axle_space(
                maker.model(name, {}),
                car.axles[k].settings,
                maker.groups(name, End(name)) if self.only in (None, k) else maker.bare(name),
                rest.travel[0, k],
                rest.acted.load[0, k],
            )
            for k, name in enumerate(AXLES)
        ]
        return SearchSpace(
            document,
            base,
            stand,
            car,
            rest,
            (axles[0], axles[1]),
            self.options,
            tuple(maker.refused),
            picked,
            self.shelf,
            self.slots,
            wheels,
        )

    def _setters(self, base: JobDocument) -> SettersPicked:
        """What is picked to set where axles and wheels stand: as the car asks that stands with all of it free.

        Raises:
            Impossible: the wishes cannot be planned without such a part, and none on the shelf reaches
        """
        if not setters_among(self.slots):
            return NO_SETTERS
        _, _, stand = held_where_wanted(self.document, freed(self.document, base, self.slots))
        found = picked_setters(stand.axles, self.document, base, self.shelf, self.slots, self.choosy)
        lacking = problems_between(
            self.document, with_bars_to_free(self.document, job_of(base, found.parts, self.document))
        )
        if lacking and found.none_reaches:
            told = " ".join(f"{name}: {found.told[name]}" for name in found.none_reaches)
            raise Impossible(f"{told} Without such a part the wishes cannot be planned: {lacking[0]}")
        return found


def held_where_wanted(document: CarDocument, base: JobDocument) -> tuple[JobDocument, CarDocument, WantedStand]:
    """A job with the heights that its bump steers need, the car planned with it, and that held where it is wanted."""
    base = with_heights(document, with_bars_to_free(document, base))
    planned = planned_document(document, base)
    return base, planned, wanted_stand(document, planned, wishes_of(document, base))


def with_bars_to_free(document: CarDocument, job: JobDocument) -> JobDocument:
    """The job without the wish for free bars on an axle that has none until a part is chosen.

    Args:
        document: the car as measured
        job: the change list
    """
    bare = [end for end in ENDS if not bars_carried(document.axle(end), job.change.of(end))]
    left = {str(end): job.wanted.of(end).model_copy(update={"free_bars": None}) for end in bare}
    return job.model_copy(update={"wanted": job.wanted.model_copy(update=left)})


def _held(rest: AtRest, stand: WantedStand) -> dict[AxleName, AxleStates]:
    """Both axles as the car is held at the heights wanted."""
    _, pitch, roll = (float(x) for x in rest.freedoms[0, :3])
    held: dict[AxleName, AxleStates] = {}
    for name, (left, right) in zip(AXLES, rest.travel[0].tolist(), strict=True):
        own = {joint: value for joint, value in stand.settings.items() if joint.startswith(f"{name}.")}
        held[name] = AxleStates(left=left, right=right, settings=own, attitude=(pitch, roll))
    return held


MOST_CHOICES = 200_000
"""Choices of an axle that are worked out at most, those that do not go together counted: more takes minutes."""


def _check_size(options: Mapping[str, Sequence[Part]]) -> None:
    """Say at once that there are too many choices, and which places make them so.

    Raises:
        Impossible: more than can be worked out
    """
    for end in End:
        sizes = {
            s.name: len(options[s.name]) + 1 for s in SLOTS if s.end is end and options.get(s.name) and not s.around
        }
        choices = math.prod(sizes.values())
        if choices <= MOST_CHOICES:
            continue
        leave: list[str] = []
        for name in sorted(sizes, key=lambda name: (name in USUAL_PLACES, -sizes[name])):
            if choices > MOST_CHOICES:
                leave.append(name)
                choices //= sizes[name]
        named = " and ".join(f'"{name}"' for name in leave)
        raise Impossible(
            f"There are {math.prod(sizes.values()):,} choices of {end} parts, more than the {MOST_CHOICES:,} that can be "
            f"worked out: leave {named} as {'it is' if len(leave) == 1 else 'they are'}, or look only at what is in stock."
        )


class _Candidates:
    """Axles with one choice changed."""

    def __init__(
        self,
        document: CarDocument,
        base: JobDocument,
        options: Mapping[str, Sequence[Part]],
        picked: Picked,
        found: tuple[AxleModel, AxleModel],
        held: Mapping[AxleName, AxleStates],
    ) -> None:
        self.document, self.base, self.options, self.picked, self.held = document, base, options, picked, held
        self.placed = with_bars_to_free(document, base)
        self.found = dict(zip(AXLES, found, strict=True))
        self.refused: list[str] = []

    def planned(self, package: Package) -> CarDocument:
        """The car with the parts of a package."""
        return planned_document(self.document, job_of(self.placed, package, self.document))

    def model(self, axle: AxleName, package: Package) -> AxleModel:
        """An axle with the parts of a package, main springs not loaded."""
        return axle_model(self.planned(package), axle)

    def groups(self, axle: AxleName, end: End) -> list[list[Candidate]]:
        """Main springs, dampers with stops, and one group for each kind of bar; then what no choice touches."""
        main = self._products(tuple(f"{end} {place}" for place in _MAIN))
        stops = self._products((f"{end} dampers", f"{end} stops"))
        groups = [self._known(self._spring, axle, main), self._known(self._beside, axle, stops)]
        governed: set[str] = set()
        for slot in slots_of(self.document):
            if slot.end is end and slot.key in _BARS and self.options.get(slot.name):
                name = f"{axle}.{_BARS[slot.key]}"
                governed.add(name)
                make = partial(self._bar, name=name)
                groups.append(self._known(make, axle, self._products((slot.name,))))
                if not groups[-1]:
                    raise Impossible(f"No anti-roll bar goes on the {axle} axle with what is asked: {self.refused[-1]}")
        base = self.model(axle, {})
        beside = {name for name in base.elements if base.groups[name] in BESIDE_THE_SPRING}
        rest = tuple(name for name in base.elements if name not in governed | beside)
        own = {} if f"{axle}.{_BARS['roll_bar']}" in governed else self.picked.links_for(end, {}, self._freed(axle, {}))
        return [*groups, [Candidate({**self.picked.of_axle(end), **own}, base, rest)]]

    def bare(self, axle: AxleName) -> list[list[Candidate]]:
        """One choice of main springs and none of anything else."""
        return [[self._spring(axle, {})], [Candidate({}, self.model(axle, {}), ())]]

    def _known(
        self, make: Callable[[AxleName, Package], Candidate], axle: AxleName, packages: Sequence[Package]
    ) -> list[Candidate]:
        """Candidates of which enough is known; of the others the reason is kept."""
        found = []
        for package in packages:
            try:
                found.append(make(axle, package))
            except (InputError, Impossible) as problem:
                codes = " with ".join(part.code for part in package.values()) or f"the {axle} axle as it is"
                self.refused.append(f"{codes}: {problem}")
        return found

    def _products(self, names: Sequence[str]) -> list[dict[str, Part]]:
        packages: list[dict[str, Part]] = [{}]
        for name in names:
            end, _, kind = name.partition(" ")
            below = kind == "helpers"  # a helper goes with a spring of the shelf, whose diameter is known
            packages = [dict(one) for one in packages] + [
                {**one, name: part}
                for one in packages
                for part in self.options.get(name, ())
                if all(go_together(part, other) for other in one.values()) and (not below or f"{end} springs" in one)
            ]
        return packages

    def _spring(self, axle: AxleName, package: Package) -> Candidate:
        job = job_of(self.base, package, self.document)
        planned = planned_document(self.document, job)
        model = axle_model(planned, axle)
        found, side = self.found[axle], planned.axle(End(axle)).side(Side.LEFT)
        if found.main["left"].kind == "torsion bar":
            return Candidate(package, model, (), _bar_bounds(side.torsion_bar, _wound(found)))
        change = job.change.of(axle)
        seated = _seated(found) if change.same_spring else None
        shackles = wishes_of(self.document, job).axles[axle].shackles
        return Candidate(package, model, (), _seat_bounds(side, seated, change.spacer_height, shackles))

    def _beside(self, axle: AxleName, package: Package) -> Candidate:
        model = self.model(axle, package)
        plate = self.picked.plate_for(End(axle), package)
        return Candidate({**package, **plate}, model, tuple(_of_groups(model)))

    def _bar(self, axle: AxleName, package: Package, name: str) -> Candidate:
        if self.base.wanted.of(axle).free_bars is None:
            model = self.model(axle, package)
            return Candidate(package, model, (name,) if name in model.elements else ())
        problems = problems_between(self.document, job_of(self.base, package, self.document))
        if problems:
            raise InputProblems(problems)
        model = self.model(axle, package)
        first = name == f"{axle}.{_BARS['roll_bar']}"  # a second bar hangs on the first one's links
        links = self.picked.links_for(End(axle), package, self._freed(axle, package)) if first else {}
        values = self._links_set(axle, {**package, **links}).values
        return Candidate({**package, **links}, model, (name,) if name in model.elements else (), settings=values)

    def _freed(self, axle: AxleName, package: Package) -> list[LinkSetting]:
        """What the links of an axle's bars need to free them where it is wanted; none where nobody asks for it."""
        return [*self._links_set(axle, package).links.values()]

    def _links_set(self, axle: AxleName, package: Package) -> LinksSet:
        job = job_of(self.placed, package, self.document)
        wish = wishes_of(self.document, job).axles[axle].free_bars
        return links_set(self.model(axle, package), self.held[axle], wish)


def _seats_on_shackles(spacer: float, shackles: ShackleRange | None) -> dict[str, Any]:
    """Where the seats of leaves can be: at their blocks, and as much higher as their shackles lift them."""
    if shackles is None:
        return {"seats": (spacer, spacer)}
    low, high = (spacer + LIFTS * way for way in shackles.ends())
    return {"seats": (low, high), "seat_slack": None if shackles.step is None else LIFTS * shackles.step / 2}


def _of_groups(model: AxleModel) -> Iterator[str]:
    yield from (name for name in model.elements if model.groups[name] in BESIDE_THE_SPRING)


def _wound(found: AxleModel) -> tuple[float, float]:
    """How far the torsion bars are wound up as found, their arms at zero [rad]."""
    both = []
    for side in SIDES:
        old = found.elements[main_spring_name(found.name, side)]
        both.append(float(old.law.force(np.zeros(1))[0]) / float(found.main[side].rate[0]))
    return both[0], both[1]


def _seated(found: AxleModel) -> tuple[float, float]:
    """Free lengths that the coils as found would have between the points measured [m]."""
    both = []
    for side in SIDES:
        compressed = -float(np.ravel(slack_displacement(found.elements[main_spring_name(found.name, side)]))[0])
        both.append(float(found.stand.reference_values([found.main[side].measure])[0, 0]) + compressed)
    return both[0], both[1]


def _bar_bounds(bar: TorsionBarSection, wound: tuple[float, float]) -> SpringBounds:
    """What the torsion bars may bear, and what their teeth leave of a turn."""
    limit, _ = stress_limit(bar)
    return SpringBounds(
        most=np.inf if limit is None else float(np.ravel(torsion_bar(bar).torque_at_stress(limit))[0]),
        off_by_teeth=lambda wanted: index_of_bar(bar, wanted).reached - wanted,
        wound=wound,
    )


def _seat_bounds(
    side: Any, seated: tuple[float, float] | None, spacer: float, shackles: ShackleRange | None
) -> SpringBounds:
    """When coils are solid, their helpers not yet, and where the seats of coils and leaves can be.

    Args:
        side: the left side of the axle with them
        seated: free lengths of springs that stay, from how the car sits on them [m]
        spacer: height of what is between springs and seats [m]
        shackles: how far those of leaves go; None where they stay
    """
    if getattr(side, "spring", None) is None:
        camber = free_length(side)
        free_lengths = seated or (None if camber is None else (float(camber[0]), float(camber[0])))
        return SpringBounds(free_lengths=free_lengths, **_seats_on_shackles(spacer, shackles))
    stack = coil_stack(side.spring)
    free, solid = (None if x is None else float(x[0]) for x in (stack.free_length, stack.solid_length))
    helper = stack.members.get("helper")
    perch = side.perch
    return SpringBounds(
        solid=np.inf if free is None or solid is None else free - solid,
        least=0.0 if helper is None else float(np.ravel(helper.rate * helper.travel)[0]),
        free_lengths=seated or (None if free is None else (free, free)),
        seats=(spacer, spacer) if perch is None else (perch.lowest.value, perch.highest.value),
        seat_slack=None if perch is None else perch.pitch.value / 2,
    )
