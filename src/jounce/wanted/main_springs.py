"""Main springs as parts whose number is sought: how high they are seated or how far wound, how long, how stiff or thick."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from jounce.behaviour.axle.motions import place_axle
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.weigh import with_settings
from jounce.car.file import ranges
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.mechanics.coil_stack import coil_stack
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.car.mechanics.torsion_bars import bar_in_series
from jounce.car.parts import LeafSpring, Spring, TorsionBarSection
from jounce.conventions.errors import Impossible
from jounce.conventions.units import DEG, MM, N_PER_MM, Kind, show
from jounce.elements.law import Linear, OneSided, SpringLaw
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array
from jounce.shelf.kinds.bars import TorsionBarPart
from jounce.shelf.kinds.coils import CoilPart
from jounce.shelf.shelf import Shelf
from jounce.wanted.bar_teeth import teeth_figures, teeth_for
from jounce.wanted.bounds import bounds_of
from jounce.wanted.coil_wires import turns_of_the_wire, wire_figures
from jounce.wanted.leaf_springs import camber_of_those_in, leaves_as_bent, leaves_seated, seats_of_the_shelf
from jounce.wanted.on_shelf import parts_for
from jounce.wanted.seek import Figure, PartNumber, ShelfTry
from jounce.wanted.stood import Stood
from jounce.wanted.work_car import WorkCar, displaced_at_found, with_axle, with_spring_laws

__all__ = ["displaced_with_laws", "longer_springs", "raised_springs", "spring_word", "stiffer_springs", "with_size"]

_FARTHEST_SEAT = 0.2  # that a seat is moved, each way [m]
_FARTHEST_TURN = 90 * DEG  # that a bar is turned, each way [rad]
_NO_SPRING: Mapping[str, None] = dict.fromkeys(
    ("curve", "second_rate", "second_rate_from", "rising_from", "solid_length", "wire", "total_turns")
)


def spring_word(work: WorkCar, axle: AxleName) -> str:
    """What springs an axle: "coil", "torsion bar" or "leaf".

    Args:
        work: the car
        axle: front or rear
    """
    return work.model(axle).main["left"].kind


def raised_springs(work: WorkCar, axle: AxleName) -> PartNumber:
    """The springs that are in the car, their seats raised or their bars turned, both sides alike.

    Args:
        work: the car
        axle: front or rear
    """
    unit = np.zeros((2, 2))
    unit[AXLES.index(axle)] = 1.0
    name, grows = _RAISED[spring_word(work, axle)]
    bar = spring_word(work, axle) == "torsion bar"
    most = _FARTHEST_TURN if bar else _FARTHEST_SEAT
    thread = _thread(work, axle)
    low, high, pitch = thread or (-most, most, None)

    def also(value: float, stood: Stood) -> Sequence[Figure]:
        if bar:
            return teeth_figures(work, axle, value, stood)
        return (
            [] if pitch is None else [Figure("turns of both seats, + raises", Kind.RATIO, value / pitch, counted=True)]
        )

    return PartNumber(
        name=name,
        kind=Kind.ANGLE if bar else Kind.LENGTH,
        today=0.0,
        start=0.0,
        low=low,
        high=high,
        step=DEG if bar else MM,
        grows=grows,
        fitted=lambda value: with_settings(work.car, value * unit),
        also=also,
        says=lambda value, _: (_TEETH if not teeth_for(work, axle, value) else _WHICH_WAY,) if bar else (),
        ends=None if thread is None else ("the lowest on its thread", "the highest on its thread"),
        wider=None if thread is None else (-most, most),
        on_shelf=lambda shelf, value: () if bar or thread is not None else seats_of_the_shelf(work, axle, shelf, value),
    )


_RAISED = {
    "torsion bar": ("turn of both bars, + winds up", "{} more turn of both bars"),
    "coil": ("both seats higher by", "{} more under both coils"),
    "leaf": ("blocks at both leaves, + raises", "{} more at both leaves"),
}


def _thread(work: WorkCar, axle: AxleName) -> tuple[float, float, float] | None:
    """How far both threaded seats still go down and up, and the pitch of the left one [m]; None without threads."""
    perches = {side: getattr(work.section(axle).side(SIDE_OF[side]), "perch", None) for side in SIDES}
    if any(perch is None for perch in perches.values()):
        return None
    set_at = {side: work.seats.get((axle, side), 0.0) for side in SIDES}
    low = max(perch.lowest.value - set_at[side] for side, perch in perches.items() if perch is not None)
    high = min(perch.highest.value - set_at[side] for side, perch in perches.items() if perch is not None)
    left = perches["left"]
    return None if left is None or low >= high else (min(low, 0.0), max(high, 0.0), left.pitch.value)


def longer_springs(work: WorkCar, axle: AxleName, today: Stood, size: float | None = None) -> PartNumber:
    """A new pair of springs, both alike, whose free length or free angle is sought.

    A coil's free length is between the measured seats; of a bar it is the turn from the free angle of those in the car,
    of a leaf its free height against those in the car.

    Args:
        work: the car
        axle: front or rear
        today: it at rest
        size: rate of coils or leaves [N/m], diameter of torsion bars [m]; as they are when left out
    """
    model, kind = work.model(axle), spring_word(work, axle)
    laws = {side: _law(work, axle, side, size) for side in SIDES}
    found = {side: displaced_at_found(model, side) for side in SIDES}
    keeping = displaced_with_laws(model, today, laws)
    if kind == "coil":
        between = _between(work, axle)
        free = {side: between[side] + found[side] for side in SIDES}
        start = float(np.mean([between[side] + keeping[side] for side in SIDES]))
        low, high = bounds_of(ranges.SpringLength)

        def fitted(value: float) -> RoadCar:
            displaced = {side: value - between[side] for side in SIDES}
            return with_axle(work.car, with_spring_laws(model, laws, displaced))

        return PartNumber(
            name="free length of both coils",
            kind=Kind.LENGTH,
            today=float(np.mean(list(free.values()))),
            start=start,
            low=low,
            high=high,
            step=MM,
            grows="{} more free length",
            fitted=fitted,
            also=lambda value, stood: [_rate_figure(work, axle, size), *_wire(work, (axle, stood), size, value)],
            says=lambda value, units: _otherwise_told(work, axle, free, value, units),
            on_shelf=lambda shelf, _: _coils_as_long_as_they_are(work, axle, shelf),
        )
    bar = kind == "torsion bar"
    start = float(np.mean([keeping[side] - found[side] for side in SIDES]))
    most = _FARTHEST_TURN if bar else _FARTHEST_SEAT

    def turned(value: float) -> RoadCar:
        displaced = {side: found[side] + value for side in SIDES}
        return with_axle(work.car, with_spring_laws(model, laws, displaced))

    def wanted(value: float | None) -> tuple[float, float] | None:
        """How much taller leaves are sought, and of which rate."""
        rate = _rate_figure(work, axle, size).value
        return None if value is None or rate is None else (value, rate)

    return PartNumber(
        name="turn of both bars from the free angle of those in the car"
        if bar
        else "free height of both leaves, + taller",
        kind=Kind.ANGLE if bar else Kind.LENGTH,
        today=0.0,
        start=start,
        low=-most,
        high=most,
        step=DEG if bar else MM,
        grows="{} more turn of both bars" if bar else "{} more free height",
        fitted=turned,
        says=lambda _, __: (_TEETH,) if bar else (),
        also=lambda value, _: [_rate_figure(work, axle, size), *_camber(work, axle, value)],
        on_shelf=lambda shelf, value: (
            () if bar else leaves_as_bent(work, axle, _between(work, axle), shelf, wanted(value))
        ),
    )


def stiffer_springs(work: WorkCar, axle: AxleName, today: Stood) -> PartNumber:
    """A new pair of springs whose rate, or whose bars' diameter, is sought; they hold the car where it stands.

    Args:
        work: the car
        axle: front or rear
        today: it at rest
    """
    model, kind = work.model(axle), spring_word(work, axle)
    bar = kind == "torsion bar"
    one = work.section(axle).side(SIDE_OF["left"])
    low, high = bounds_of(ranges.TorsionBarDiameter if bar else ranges.SpringRate)
    if bar:
        section: TorsionBarSection = one.torsion_bar
        low = max(low, section.inner_diameter.value * _MORE_THAN_BORE)
        high = high if section.head_diameter is None else min(high, section.head_diameter.value * _LESS_THAN_HEAD)
    now = _size(work, axle, today)
    between, found = _between(work, axle), {side: displaced_at_found(model, side) for side in SIDES}

    def held(value: float) -> tuple[Mapping[SideName, SpringLaw], Mapping[SideName, float]]:
        laws = {side: _law(work, axle, side, value) for side in SIDES}
        return laws, displaced_with_laws(model, today, laws)

    def also(value: float, stood: Stood) -> Sequence[Figure]:
        displaced = held(value)[1]
        if kind == "coil":
            free = {side: between[side] + displaced[side] for side in SIDES}
            lengths = [Figure(f"free length, {side}", Kind.LENGTH, free[side]) for side in SIDES]
            return [*lengths, *_wire(work, (axle, stood), value, None)]
        if bar:
            return [Figure(f"turn of the bar, {side}", Kind.ANGLE, displaced[side] - found[side]) for side in SIDES]
        return [Figure(f"free camber, {side}", Kind.LENGTH, between[side] + displaced[side]) for side in SIDES]

    return PartNumber(
        name="diameter of both bars" if bar else "rate of both springs",
        kind=Kind.LENGTH if bar else Kind.SPRING_RATE,
        today=now,
        start=now,
        low=low,
        high=high,
        step=MM if bar else N_PER_MM,
        grows="{} more diameter" if bar else "{} more rate",
        fitted=lambda value: with_axle(work.car, with_spring_laws(model, *held(value))),
        also=also,
        says=lambda _, __: _held_sentences(model, kind),
        on_shelf=lambda shelf, _: _on_shelf(work, axle, today, shelf),
    )


def _on_shelf(work: WorkCar, axle: AxleName, today: Stood, shelf: Shelf) -> Iterator[ShelfTry]:
    """Springs of the axle's kind that hold the car where it stands."""
    kind = spring_word(work, axle)
    if kind == "leaf":

        def holding(laws: Mapping[SideName, SpringLaw]) -> Mapping[SideName, float]:
            return displaced_with_laws(work.model(axle), today, laws)

        return leaves_seated(work, axle, _between(work, axle), holding, shelf)
    return _bars_turned(work, axle, today, shelf) if kind == "torsion bar" else _coils_seated(work, axle, today, shelf)


def _camber(work: WorkCar, axle: AxleName, taller: float) -> list[Figure]:
    """Free camber of leaves so much taller than those in the car."""
    if spring_word(work, axle) != "leaf":
        return []
    own = camber_of_those_in(work, axle, _between(work, axle))
    return [Figure("free camber of both leaves", Kind.LENGTH, own + taller)]


def _coils_as_long_as_they_are(work: WorkCar, axle: AxleName, shelf: Shelf) -> Iterator[ShelfTry]:
    """Coils between the seats as they are set: each as long as it is."""
    model, between = work.model(axle), _between(work, axle)
    for code, coil, free in _told_coils(work, axle, shelf):
        laws = dict.fromkeys(SIDES, coil_stack(coil).law)
        displaced = {side: free - between[side] for side in SIDES}
        yield ShelfTry(
            code,
            free,
            lambda laws=laws, displaced=displaced: with_axle(work.car, with_spring_laws(model, laws, displaced)),  # type: ignore[misc]
            _first_rate(coil),
            lambda stood, coil=coil: wire_figures(stood, axle, coil),  # type: ignore[misc]
        )


def _coils_seated(work: WorkCar, axle: AxleName, today: Stood, shelf: Shelf) -> Iterator[ShelfTry]:
    """Coils whose seats are moved so that the car stands where it does."""
    model, between = work.model(axle), _between(work, axle)
    for code, coil, free in _told_coils(work, axle, shelf):
        laws = dict.fromkeys(SIDES, coil_stack(coil).law)
        displaced = displaced_with_laws(model, today, laws)
        law = laws["left"]
        here = law.displacement_at(np.array([today.axles[axle].wheels["left"].spring_force]))
        yield ShelfTry(
            code,
            float(np.ravel(law.stiffness(here))[0]),
            lambda laws=laws, displaced=displaced: with_axle(work.car, with_spring_laws(model, laws, displaced)),  # type: ignore[misc]
            [
                Figure(f"seat higher for it, {side}", Kind.LENGTH, between[side] + displaced[side] - free)
                for side in SIDES
            ],
            lambda stood, coil=coil: wire_figures(stood, axle, coil),  # type: ignore[misc]
        )


def _bars_turned(work: WorkCar, axle: AxleName, today: Stood, shelf: Shelf) -> Iterator[ShelfTry]:
    """Torsion bars in the car's anchors, turned so that the car stands where it does."""
    model = work.model(axle)
    old: TorsionBarSection = work.section(axle).side(SIDE_OF["left"]).torsion_bar
    for part in parts_for(shelf, TorsionBarPart, axle):
        new = part.mechanics
        if isinstance(new, TorsionBarSection):
            stays = {name: getattr(old, name) for name in ("series_rate", "tube", "anchor_rate", "lever_rate")}
            laws = dict.fromkeys(SIDES, Linear(bar_in_series(new.model_copy(update=stays)).rate))
            displaced = displaced_with_laws(model, today, laws)
            found = {side: displaced_at_found(model, side) for side in SIDES}
            yield ShelfTry(
                part.code,
                new.diameter.value,
                lambda laws=laws, displaced=displaced: with_axle(work.car, with_spring_laws(model, laws, displaced)),  # type: ignore[misc]
                [Figure(f"turn of the bar, {side}", Kind.ANGLE, displaced[side] - found[side]) for side in SIDES],
            )


def _told_coils(work: WorkCar, axle: AxleName, shelf: Shelf) -> Iterator[tuple[str, Spring, float]]:
    """The shelf's coils of which law and free length are known, where the axle has coils."""
    if spring_word(work, axle) != "coil":
        return
    for part in parts_for(shelf, CoilPart, axle):
        coil = part.mechanics
        if isinstance(coil, Spring) and coil.free_length is not None:
            yield part.code, coil, float(coil.free_length.value)


def _wire(work: WorkCar, at: tuple[AxleName, Stood], rate: float | None, free: float | None) -> Iterator[Figure]:
    """Stress of the wire of new coils like those in the car, with more or fewer turns where they have another rate."""
    axle, stood = at
    old: Spring = work.section(axle).side(SIDE_OF["left"]).spring
    if rate is not None:
        yield from turns_of_the_wire(old, rate)
    same = rate is None and free is not None
    new = {"free_length": Measured(free)} if same and free is not None else {"solid_length": None, "total_turns": None}
    yield from wire_figures(stood, axle, old.model_copy(update=new))


def _first_rate(coil: Spring) -> list[Figure]:
    rate = coil.first_rate
    return [] if rate is None else [Figure("rate of both springs", Kind.SPRING_RATE, float(np.ravel(rate)[0]))]


_WHICH_WAY = 'Which way those teeth turn, where the arms then hang, and the stress of the bars: the question "index".'
_TEETH = 'Which teeth make that turn, and the stress of the bars then: the question "index".'
_PROGRESSIVE = "The coils in the car have no one rate: today's is that where it stands; the new ones have but one."
_HELD = {
    "torsion bar": "Turned so against those in the car, the new bars hold it where it stands.",
    "coil": "That long between the measured seats, the new coils hold the car where it stands.",
    "leaf": "Bent so without load, the new leaves hold the car where it stands.",
}


def _held_sentences(model: AxleModel, kind: str) -> Sequence[str]:
    one_rate = isinstance(model.main["left"].law, Linear | OneSided)
    also = (
        ()
        if one_rate
        else ("The coils in the car have no one rate: today's is that where it stands, the new one's is one.",)
    )
    return (_HELD[kind], *also)


def _otherwise_told(
    work: WorkCar, axle: AxleName, free: Mapping[SideName, float], value: float, units: str
) -> Sequence[str]:
    """What it means where the file's free length is not that by the weights; nothing where it is, or is not told."""
    told = [work.section(axle).side(SIDE_OF[side]).spring.free_length for side in SIDES]
    lengths = [one.value for one in told if one is not None]
    by_weights = float(np.mean(list(free.values())))
    if len(lengths) < len(SIDES) or abs(off := float(np.mean(lengths)) - by_weights) < _SAME_LENGTH:
        return ()
    mean, weights, longer = (show(x, Kind.LENGTH, units) for x in (by_weights + off, by_weights, value + off))
    said = (
        f"The file says that the old coils are {mean} free; by the weights it is {weights} between the measured seats."
    )
    return (f"{said} If the file is right, the seats lie elsewhere, and the new coils have to be {longer} free.",)


_SAME_LENGTH = 0.5 * MM
_MORE_THAN_BORE = 1.02
_LESS_THAN_HEAD = 0.99


def _size(work: WorkCar, axle: AxleName, today: Stood) -> float:
    """Diameter of the left-hand torsion bar [m], or rate of the left-hand spring where the car stands [N/m]."""
    model = work.model(axle)
    if spring_word(work, axle) == "torsion bar":
        return float(work.section(axle).side(SIDE_OF["left"]).torsion_bar.diameter.value)
    spring = model.main["left"]
    wound = today.axles[axle].wheels["left"].wound_up
    return float(np.ravel(spring.law.stiffness(np.asarray(wound + spring.law.start)))[0])


def with_size(work: WorkCar, axle: AxleName, size: float) -> CarDocument:
    """The document with main springs of another rate, or torsion bars of another diameter.

    Args:
        work: the car
        axle: front or rear
        size: rate of coils or leaves [N/m], diameter of torsion bars [m]
    """

    def other(one: Any) -> Any:
        name, section = _sized(one, spring_word(work, axle), size)
        return one.model_copy(update={name: section})

    return work.changed(axle, other)


def _sized(one: Any, kind: str, size: float) -> tuple[str, Section]:
    """Name of one side's main spring in the document, and its section with another size."""
    if kind == "torsion bar":
        bar: TorsionBarSection = one.torsion_bar
        return "torsion_bar", bar.model_copy(update={"diameter": replace(bar.diameter, value=size)})
    if kind == "leaf":
        leaf: LeafSpring = one.leaf
        return "leaf", leaf.model_copy(update={"rate": replace(leaf.rate, value=size)})
    spring: Spring = one.spring
    return "spring", spring.model_copy(update={**_NO_SPRING, "rate": Measured(size)})


def _law(work: WorkCar, axle: AxleName, side: SideName, size: float | None) -> SpringLaw:
    """What a spring of another size pushes over its displacement; of the same where none is given."""
    if size is None:
        return work.model(axle).main[side].law
    _, section = _sized(work.section(axle).side(SIDE_OF[side]), spring_word(work, axle), size)
    if isinstance(section, TorsionBarSection):
        return Linear(bar_in_series(section).rate)
    return coil_stack(section).law if isinstance(section, Spring) else Linear(np.array([size]))


def _rate_figure(work: WorkCar, axle: AxleName, size: float | None) -> Figure:
    if spring_word(work, axle) == "torsion bar":
        now = work.section(axle).side(SIDE_OF["left"]).torsion_bar.diameter.value
        return Figure("diameter of both bars", Kind.LENGTH, now if size is None else size)
    law = work.model(axle).main["left"].law
    rate = float(np.ravel(law.rate)[0]) if isinstance(law, Linear | OneSided) else None
    return Figure("rate of both springs", Kind.SPRING_RATE, rate if size is None else size)


def _between(work: WorkCar, axle: AxleName) -> dict[SideName, float]:
    """Length between a spring's seats as they are set, the wheel as found [m]."""
    model = work.model(axle)
    found = model.stand.reference_values([model.main[side].measure for side in SIDES])[0]
    return {side: float(found[k]) - work.seats.get((axle, side), 0.0) for k, side in enumerate(SIDES)}


def displaced_with_laws(model: AxleModel, today: Stood, laws: Mapping[SideName, SpringLaw]) -> dict[SideName, float]:
    """Displacements with the wheel as found of other springs that carry the same where the car stands [m or rad].

    Raises:
        Impossible: a spring carries nothing there
    """
    placed = place_axle(model.stand, model.name, today.states(model.name))
    found: dict[SideName, float] = {}
    for side in SIDES:
        spring = model.main[side]
        force: Array = np.array([today.axles[model.name].wheels[side].spring_force])
        if not force[0] > 0:
            raise Impossible(f"The {model.name} {side} spring carries nothing where the car stands.")
        here = model.stand.taken([spring.measure]).values(placed.pose)[:, 0]
        there = model.stand.reference_values([spring.measure])[:, 0]
        law = laws[side]
        loaded = law.displacement_at(force) - law.start
        found[side] = float(np.ravel(loaded - spring.sense * (here - there))[0])
    return found
