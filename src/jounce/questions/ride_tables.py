"""Ride as tables: modes, front against rear, a random road, an obstacle, dampers to order; one column for each car."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.reach import first_hard, rubbers_pressed, stops_met
from jounce.behaviour.ride.comfort import reactions
from jounce.behaviour.ride.damper_match import (
    ORDER_SPEEDS,
    AxleMatch,
    Wish,
    axle_curve,
    axle_matches,
    mean_damping,
    ratio_after,
    roll_ratio,
)
from jounce.behaviour.ride.dampers import Dampers, at_swinging
from jounce.behaviour.ride.flat_ride import OLLEY_RATIO, FlatRide
from jounce.behaviour.ride.inertia import WholeInertia
from jounce.behaviour.ride.modes import BODY_MODES, Mode, RideEnds, modes
from jounce.behaviour.ride.obstacles import GRID
from jounce.behaviour.ride.random_ride import RandomRide
from jounce.behaviour.ride.road_surface import MEANING
from jounce.behaviour.ride.small_motions import SmallMotions, held
from jounce.behaviour.ride.time_history import TimeHistory
from jounce.behaviour.road.forces import TRAVELS
from jounce.car.mechanics.model import AXLES
from jounce.car.mechanics.stops import RUBBER
from jounce.conventions.certainty import MEANING_OF_SOME
from jounce.conventions.quantity import OURS
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import Answer, AnswerTable
from jounce.numerics.arrays import Array

SWING_SPEED = 0.1
"""Largest rod speed of the swings at which a curve counts as a straight line in modes and pitching [m/s]."""
BUMP_TOLD = 0.030
"""Height of the bump after which pitching is told [m]."""
_ORDINARY = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Ridden:
    """One car and what was found of its ride; None where its dampers are not known.

    ``bands`` are half widths that hold nine of ten, by the names of `bands_of_ride.ride_numbers`; empty for none.
    """

    title: str
    motions: SmallMotions
    inertia: WholeInertia
    own_inertia: Array
    dampers: Dampers
    modes: Sequence[Mode]
    ends: RideEnds
    flat: FlatRide
    seat: Array
    random: RandomRide | None
    history: TimeHistory | None
    bands: Mapping[str, float] = field(default_factory=dict)


def modes_table(name: str, cars: Sequence[Ridden]) -> AnswerTable:
    """Frequencies and damping ratios of the car's modes.

    Args:
        name: the car's name
        cars: each car
    """
    rows = []
    for mode in cars[0].modes:
        found = [next(each for each in car.modes if each.name == mode.name) for car in cars]
        called, frequencies = _CALLED.get(mode.name, mode.name), tuple(each.frequency for each in found)
        rows.append(Answer(called, Kind.FREQUENCY, frequencies, bands=_bands(cars, mode.name)))
        ratios = tuple(None if each.damping is None else each.damping.ratio for each in found)
        rows.append(Answer("  damping ratio", Kind.RATIO, ratios, bands=_bands(cars, f"{mode.name}.ratio")))
        if mode.name == "roll":
            rows.append(Answer("  rocked by hand", Kind.FREQUENCY, tuple(map(_rocked, cars)), _ROCKED, OURS))
    said = f"of swings with rod speeds up to {show(SWING_SPEED, Kind.SPEED)}"
    remarks = [
        "Frequencies are without dampers, of the whole car with its tyres.",
        "Roll is told with tyres that slide sideways freely, as in quick swings; rocked by hand they are held.",
        f"{MEANING_OF_SOME} What the dampers' curves may be off is not in it.",
        "Usual for the body of a road car is 1 to 1.5 Hz, for its wheels 10 to 15 Hz.",
        f"Damping ratios are {said}; 1 is a mode that creeps back without swinging.",
        *(f"{car.title}: inertia is an {car.inertia.origin}." for car in cars if "estimate" in car.inertia.origin),
        *(_told_nodes(car) for car in cars),
        *_unknown(cars),
    ]
    return AnswerTable(f"{name}: how body and wheels swing", _titles(cars), tuple(rows), tuple(dict.fromkeys(remarks)))


_CALLED = {"pitch": "pitching"}
"""What a mode is called where its name alone could be a thread's."""
_ROCKED = "roll with the tyres held sideways, as with a hand on the roof of the standing car"


def _bands(cars: Sequence[Ridden], name: str) -> tuple[float | None, ...]:
    return tuple(car.bands.get(name) for car in cars)


def _rocked(car: Ridden) -> float:
    """Frequency of roll where the road holds the tyres sideways [Hz]."""
    return next(
        mode.frequency
        for mode in modes(replace(car.motions, undamped=held(car.motions, car.own_inertia)))
        if mode.name == "roll"
    )


def _told_nodes(car: Ridden) -> str:
    said = []
    for mode in car.modes:
        if mode.name in BODY_MODES[:2] and np.isfinite(mode.node):
            side = "ahead of" if mode.node > 0 else "behind"
            said.append(f"{mode.name} swings about a point {abs(mode.node):.2f} m {side} the front axle")
    return f"{car.title}: {'; '.join(said)}."


def _unknown(cars: Sequence[Ridden]) -> list[str]:
    return [
        f"{car.title}: unknown dampers ({', '.join(' '.join(corner) for corner in car.dampers.unknown)}): give a damper"
        " curve in the car file (rows of rod speed, bump force, rebound force)."
        for car in cars
        if car.dampers.unknown
    ]


def flat_table(cars: Sequence[Ridden], speed: float) -> AnswerTable:
    """Front against rear.

    Args:
        cars: each car
        speed: of the car [m/s]
    """
    ends = (
        (
            "front",
            "ride frequency front",
            Kind.FREQUENCY,
            lambda c: float(c.ends.frequency[0]),
            "√(k / m) / 2π, tyres in",
        ),
        ("rear", "ride frequency rear", Kind.FREQUENCY, lambda c: float(c.ends.frequency[1]), ""),
        ("ends", "front over rear", Kind.RATIO, lambda c: c.ends.ratio, f"about {OLLEY_RATIO:.2f} rides flat"),
    )
    rows = (
        *(
            replace(
                _row(told, kind, cars, value, formula, OURS if name != "ends" else "M. Olley, restated"),
                bands=_bands(cars, name),
            )
            for name, told, kind, value, formula in ends
        ),
        _row("rear meets a bump later by", Kind.DURATION, cars, lambda c: c.flat.delay, "wheelbase / speed"),
        _row("front swings until in step", Kind.RATIO, cars, _in_step, "f_f f_r delay / (f_r - f_f)"),
        _row(
            f"pitch left after a {show(BUMP_TOLD, Kind.LENGTH)} bump",
            Kind.ANGLE,
            cars,
            lambda c: None if c.flat.pitch_left is None else c.flat.pitch_left * BUMP_TOLD,
            "largest once the rear axle is over it",
        ),
    )
    return AnswerTable(f"Front against rear at {show(speed, Kind.DRIVING_SPEED)}", _titles(cars), rows)


def _in_step(car: Ridden) -> float | str:
    after = car.flat.in_step_after
    return after if np.isfinite(after) else "never"


def road_table(cars: Sequence[Ridden], road: str, speed: float) -> AnswerTable:
    """The random road.

    Args:
        cars: each car
        road: class of the road
        speed: of the car [m/s]
    """
    rows = [
        _row(
            "shaking at the seat, weighted",
            Kind.VIBRATION,
            cars,
            _on_road(lambda r: r.weighted),
            "RMS, Wk",
            "ISO 2631-1",
        ),
        _row("  which is called", Kind.RATIO, cars, _on_road(lambda r: " to ".join(reactions(r.weighted)))),
        _row("body over the front axle", Kind.VIBRATION, cars, _on_road(lambda r: float(r.over_axle[0])), "RMS"),
        _row("body over the rear axle", Kind.VIBRATION, cars, _on_road(lambda r: float(r.over_axle[1])), "RMS"),
        *_axle_on_road(cars, 0),
        *_axle_on_road(cars, 1),
    ]
    kind = MEANING[road]
    remarks = (
        f"ISO 8608 class {road} in its middle ({kind}); the words for classes are common practice.",
        "Chance goes beyond three times the RMS in about one swing of ninety.",
        "So a wheel leaves the road now and then where its load varies by more than 33 %.",
        *(text for car in cars for axle in (0, 1) for text in _near_rubber(car, axle)),
        "The person sits halfway between the axles, 350 mm left of the middle; seat and tyre damping are left out.",
        *_unknown(cars),
    )
    return AnswerTable(
        f"On a road of class {road} at {show(speed, Kind.DRIVING_SPEED)}", _titles(cars), tuple(rows), remarks
    )


def _on_road(value: Callable[[RandomRide], float | str]) -> Callable[[Ridden], float | str | None]:
    """A number of the random road; None where it was not driven."""
    return lambda car: None if car.random is None else value(car.random)


def _axle_on_road(cars: Sequence[Ridden], axle: int) -> list[Answer]:
    name, pair = AXLES[axle], slice(2 * axle, 2 * axle + 2)
    return [
        _row(f"{name} wheel travel", Kind.LENGTH, cars, _on_road(lambda r: float(r.stroke[pair].max())), "RMS"),
        _row("  bump left to the rubber", Kind.LENGTH, cars, lambda c: _left(c, axle, hard=False)),
        _row("  bump left to the hard stop", Kind.LENGTH, cars, lambda c: _left(c, axle, hard=True)),
        _row(
            f"{name} tyre load varies by", Kind.SHARE, cars, _on_road(lambda r: float(r.load_share[pair].max())), "RMS"
        ),
    ]


def _near_rubber(car: Ridden, axle: int) -> list[str]:
    """What is said where the road presses an axle on its rubbers: comfort is of springs; else nothing."""
    left = _left(car, axle, hard=False)
    if left is None or car.random is None:
        return []
    pair = slice(2 * axle, 2 * axle + 2)
    swing = float(car.random.stroke[pair].max())
    if left >= _CHANCE * swing:
        return []
    match, tyre = axle_matches(car.motions)[axle], float(car.motions.tyre_rate[pair].mean())
    height = left * (1 + match.wheel_rate / tyre)
    where = "stands on its bump rubbers" if left <= 0 else f"is {show(left, Kind.LENGTH)} from its bump rubbers"
    touch = (
        ""
        if left <= 0
        else f" A road bump of {show(height, Kind.LENGTH)} under one wheel touches them, the body staying where it is."
    )
    move = show(swing, Kind.LENGTH)
    told = (
        f"{car.title}: the {AXLES[axle]} {where} and this road moves its wheels by {move} RMS: what is told of comfort is "
        f"of springs alone and does not hold, the car shakes more.{touch}"
    )
    return [told]


_CHANCE = 3.0  # RMS beyond which chance goes in one swing of ninety


def _left(car: Ridden, axle: int, *, hard: bool) -> float | None:
    """Bump travel left where the car sits, until rubber or hard stop, the nearer wheel's [m]."""
    on_body = car.motions.car.axles[axle]
    left, right = (float(x) for x in car.motions.rest.travel[0, axle])
    met = stops_met(on_body.axle, (left, right), on_body.settings)
    if hard:
        found = first_hard(met, "bump")
        return None if found is None else found.travel
    return next((stop.travel for stop in met if stop.at == "bump" and stop.name == RUBBER), None)


def obstacle_table(cars: Sequence[Ridden], what: str, speed: float) -> AnswerTable:
    """The drive over an obstacle.

    Args:
        cars: each car
        what: the obstacle
        speed: of the car [m/s]
    """
    rows = [
        _row("most upward at the seat", Kind.ACCELERATION, cars, lambda c: _at_seat(c, 1.0)),
        _row("most downward at the seat", Kind.ACCELERATION, cars, lambda c: _at_seat(c, -1.0)),
        _row(
            "most pitch", Kind.ANGLE, cars, _driven(lambda h: float(np.abs(h.freedoms[:, 1] - h.freedoms[0, 1]).max()))
        ),
        *_axle_over(cars, 0),
        *_axle_over(cars, 1),
    ]
    heights = [car.history.road.left for car in cars if car.history is not None]
    size = [
        f"The obstacle is {show(float(np.ptp(h)), Kind.LENGTH)} high or deep over {show(GRID * (len(h) - 1), Kind.LENGTH)}."
        for h in heights[:1]
    ]
    remarks = (
        *size,
        *(_guessed(car) for car in cars if _guessed(car)),
        "The car rolls straight at a steady speed; its tyres follow the road as rigid wheels of their size would.",
        *_unknown(cars),
    )
    return AnswerTable(f"Over a {what} at {show(speed, Kind.DRIVING_SPEED)}", _titles(cars), tuple(rows), remarks)


def _guessed(car: Ridden) -> str:
    """What is said where rods moved faster than their curves were measured; nothing where they did not."""
    if car.history is None:
        return ""
    known = min(curve.known_to for curve in car.dampers.curves.values())
    fastest = float(np.abs(car.history.rod_speed).max())
    if fastest <= known:
        return ""
    return (
        f"{car.title}: rods move at up to {show(fastest, Kind.SPEED)}; curves were measured up to {show(known, Kind.SPEED)}"
        " and are taken to go on straight."
    )


def _driven(value: Callable[[TimeHistory], float | str]) -> Callable[[Ridden], float | str | None]:
    """A number of the drive; None where it was not driven."""
    return lambda car: None if car.history is None else value(car.history)


def _axle_over(cars: Sequence[Ridden], axle: int) -> list[Answer]:
    name, pair = AXLES[axle], slice(2 * axle, 2 * axle + 2)
    return [
        _row(f"{name} wheels up by", Kind.LENGTH, cars, _driven(lambda h: _moved(h, pair, 1.0))),
        _row(f"{name} wheels down by", Kind.LENGTH, cars, _driven(lambda h: _moved(h, pair, -1.0))),
        _row("  rod speed", Kind.SPEED, cars, _driven(lambda h: float(np.abs(h.rod_speed[:, pair]).max()))),
        _row("  bump rubber", Kind.FORCE, cars, _driven(lambda h: _most(h, name, "bump_stop"))),
        _row("  damper closed", Kind.FORCE, cars, _driven(lambda h: _most(h, name, "damper closed"))),
        _row("  damper topped out", Kind.FORCE, cars, _driven(lambda h: _most(h, name, "damper open"))),
        _row("  off the road for", Kind.DURATION, cars, _driven(lambda h: _off(h, pair))),
    ]


def _at_seat(car: Ridden, way: float) -> float | None:
    return None if car.history is None else float((way * car.history.body_acceleration(car.seat)).max())


def _moved(history: TimeHistory, pair: slice, way: float) -> float:
    return float((way * (history.travel[:, pair] - history.travel[0, pair])).max())


def _most(history: TimeHistory, axle: str, what: str) -> float | str:
    found = [f for name, f in history.elements.items() if name.startswith(f"{axle}.") and name.endswith(what)]
    most = max((float(force.max()) for force in found), default=0.0)
    return most if most > 0 else "not met"


def _off(history: TimeHistory, pair: slice) -> float:
    return float(history.off_the_road[:, pair].any(axis=1).sum() * (history.time[1] - history.time[0]))


def damper_tables(cars: Sequence[Ridden], wish: Wish) -> list[AnswerTable]:
    """Dampers to order for each car and axle, beside those that it has.

    Args:
        cars: each car
        wish: what is wanted
    """
    tables = []
    for car in cars:
        matches = axle_matches(car.motions)
        tables.append(_critical_table(car, matches))
        tables += [_order_table(car, match, wish) for match in matches]
    return tables


def _critical_table(car: Ridden, matches: tuple[AxleMatch, AxleMatch]) -> AnswerTable:
    curves = [axle_curve(car.dampers.curves, match.name) for match in matches]
    now = [None if curve is None else at_swinging(curve, SWING_SPEED) for curve in curves]
    front, rear = now
    roll = None if front is None or rear is None else roll_ratio(matches, (front, rear), float(car.own_inertia[0]))

    def row(name: str, kind: Kind, value: Callable[[AxleMatch], float], formula: str = "") -> Answer:
        return Answer(name, kind, tuple(value(match) for match in matches), formula, OURS)

    ratios = tuple(None if c is None else match.ratio(c) for match, c in zip(matches, now, strict=True))
    rows = (
        row("wheel rate where it sits", Kind.SPRING_RATE, lambda m: m.wheel_rate, "per wheel travel, tyre left out"),
        row("body mass over a wheel", Kind.MASS, lambda m: m.body_mass),
        row("rod per wheel travel, heave", Kind.RATIO, lambda m: m.heave_ratio),
        row("rod per wheel travel, roll", Kind.RATIO, lambda m: m.lean_ratio),
        row("critical damping at the wheel", Kind.DAMPING, lambda m: m.critical_at_wheel, "2 √(k m)"),
        row("critical damping at the rod", Kind.DAMPING, lambda m: m.critical_at_rod, "divided by the ratio squared"),
        Answer(
            "damping ratio in heave now", Kind.RATIO, ratios, f"at rod speeds up to {show(SWING_SPEED, Kind.SPEED)}"
        ),
        Answer("damping ratio in roll now", Kind.RATIO, (roll, roll), "both axles together, tyres left out"),
    )
    remark = f"Springs 50 % stiffer on the same dampers: these ratios fall to {ratio_after(1.5):.2f} of what they are."
    return AnswerTable(f"Dampers, {car.title}", ("front", "rear"), rows, (remark, *_unknown([car])))


def _order_table(car: Ridden, match: AxleMatch, wish: Wish) -> AnswerTable:
    bump, rebound = match.forces(wish)
    curve = axle_curve(car.dampers.curves, match.name)
    none = (None,) * len(ORDER_SPEEDS)
    rows = [Answer("bump to order", Kind.FORCE, _cells(bump)), Answer("rebound to order", Kind.FORCE, _cells(rebound))]
    if curve is None:
        rows += [Answer("bump now", Kind.FORCE, none), Answer("rebound now", Kind.FORCE, none)]
    else:
        now = mean_damping(curve, ORDER_SPEEDS)
        rows += [
            Answer("bump now", Kind.FORCE, _cells(curve.force(ORDER_SPEEDS))),
            Answer("rebound now", Kind.FORCE, _cells(-curve.force(-ORDER_SPEEDS))),
            Answer("bump now, of the order", Kind.SHARE, _cells(curve.force(ORDER_SPEEDS) / bump)),
            Answer("rebound now, of the order", Kind.SHARE, _cells(-curve.force(-ORDER_SPEEDS) / rebound)),
            Answer("damping ratio now", Kind.RATIO, _cells(now / match.critical_at_rod)),
        ]
    remark = (
        f"For a ratio of {wish.ratio:.2f} up to {show(wish.knee, Kind.SPEED)}, rebound {wish.rebound_share:.0%} of both,"
        f" beyond the knee {wish.beyond:.0%} of the slope; speeds, split and knee are {_ORDINARY}."
    )
    columns = tuple(show(float(v), Kind.SPEED) for v in ORDER_SPEEDS)
    remarks = (remark, *_on_rubbers(car, match.name))
    return AnswerTable(f"Damper order, {car.title}, {match.name} (each damper)", columns, tuple(rows), remarks)


def _on_rubbers(car: Ridden, axle: str) -> Iterator[str]:
    """That an axle stands on its bump rubbers, whose rate no damper should be ordered for."""
    k = AXLES.index(axle)
    on_body, (left, right) = car.motions.car.axles[k], car.motions.rest.freedoms[0, TRAVELS[k]]
    states = AxleStates(left=float(left), right=float(right), settings=on_body.settings)
    if any(rubbers_pressed(on_body.axle, states).values()):
        yield f"The {axle} stands on its bump rubbers, whose rate is in this: take it off them before dampers are ordered."


def history_columns(history: TimeHistory) -> list[tuple[str, Kind, Array]]:
    """A drive over an obstacle as columns: name, kind, values.

    Args:
        history: the drive
    """
    columns = [
        ("time", Kind.DURATION, history.time),
        ("heave", Kind.LENGTH, history.freedoms[:, 0]),
        ("pitch", Kind.ANGLE, history.freedoms[:, 1]),
        ("roll", Kind.ANGLE, history.freedoms[:, 2]),
    ]
    by_wheel: Mapping[str, tuple[Kind, Array]] = {
        "road": (Kind.LENGTH, history.ground),
        "travel": (Kind.LENGTH, history.travel),
        "load": (Kind.FORCE, history.load),
        "rod_speed": (Kind.SPEED, history.rod_speed),
        "rod_force": (Kind.FORCE, history.rod_force),
    }
    for what, (kind, values) in by_wheel.items():
        columns += [(f"{'_'.join(c)}_{what}", kind, values[:, k]) for k, c in enumerate(history.corners)]
    return columns


def _titles(cars: Sequence[Ridden]) -> tuple[str, ...]:
    return tuple(car.title for car in cars)


def _cells(values: Array) -> tuple[float, ...]:
    return tuple(float(value) for value in values)


def _row(  # a row is these
    name: str,
    kind: Kind,
    cars: Sequence[Ridden],
    value: Callable[[Ridden], float | str | None],
    formula: str = "",
    source: str = OURS,
) -> Answer:
    return Answer(name, kind, tuple(value(car) for car in cars), formula, source)
