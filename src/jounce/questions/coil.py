"""Quick answers about coil springs without a car: what a spring is by its dimensions, and what it does under a car.

Several springs stand in columns. What is not known of a spring leaves its cells unknown; a row that no spring fills is left
out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from jounce.car.file.quantity import Measured
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.elements.bars.materials import STEEL_OF_WORD, SpringSteel, hot_formed_solid_stress_limit
from jounce.elements.springs.coil import (
    ENDS_OF_WORD,
    Ends,
    Winding,
    active_turns,
    coil_mass,
    helical_rate,
    least_gaps,
    solid_length,
    spring_index,
)
from jounce.elements.springs.coil_limits import (
    SEATING_OF_WORD,
    Seating,
    buckling_compression,
    stable_free_length,
    surge_frequency,
)
from jounce.elements.springs.coil_stress import bergstraesser_factor, coil_shear_stress
from jounce.job.answer_table import Answer, AnswerTable
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP
from jounce.questions.bar import STEEL
from jounce.questions.question import Asked, Choice, Number, Question

__all__ = ["CoilAsked", "coil_table"]

_EN = "EN 13906-1"
_SHIGLEY = "Shigley"
_HOOKE = "Hooke's law"
NEVER = "never"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoilAsked:
    """One spring as it is known, SI; None is not known.

    ``diameter`` is less the wire (``wires_off`` 1, an outside diameter), as it is (0, mean), or plus the wire (-1, inside).
    ``rate`` is one that was measured or is offered; without it the rate follows from the wire.
    """

    steel: SpringSteel
    wire: Measured | None = None
    diameter: Measured | None = None
    wires_off: int = 0
    total_turns: Measured | None = None
    active_turns: Measured | None = None
    dead_turns: float | None = None
    ends: Ends | None = None
    rate: float | None = None
    free_length: float | None = None
    load: float | None = None
    seating: Seating = Seating.FLAT
    motion_ratio: float | None = None
    sprung_mass: float | None = None
    wanted_rate: float | None = None

    @property
    def coil(self) -> float | None:
        """Mean diameter [m]."""
        if self.diameter is None or (self.wires_off and self.wire is None):
            return None
        return self.diameter.value - (self.wires_off * self.wire.value if self.wire is not None else 0.0)

    @property
    def dead(self) -> float | None:
        """Dead turns, as told or by the form of the ends [-]."""
        if self.dead_turns is not None:
            return self.dead_turns
        return None if self.ends is None else self.ends.dead_turns

    @property
    def moving(self) -> float | None:
        """Active turns [-]."""
        if self.active_turns is not None:
            return self.active_turns.value
        if self.total_turns is None or self.dead is None:
            return None
        return self.total_turns.value - self.dead

    @property
    def all_turns(self) -> float | None:
        """Turns from end to end [-]."""
        if self.total_turns is not None:
            return self.total_turns.value
        return None if self.active_turns is None or self.dead is None else self.active_turns.value + self.dead

    @property
    def rate_by_wire(self) -> float | None:
        """Rate that follows from the dimensions [N/m]."""
        if self.wire is None or self.coil is None or self.moving is None:
            return None
        return float(helical_rate(self.steel.shear_modulus.value, self.wire.value, self.coil, self.moving))

    @property
    def any_rate(self) -> float | None:
        """The rate told, else the one by the wire [N/m]."""
        return self.rate if self.rate is not None else self.rate_by_wire

    @property
    def solid(self) -> float | None:
        """Solid length [m]."""
        if self.wire is None or self.all_turns is None or self.ends is None:
            return None
        return float(solid_length(self.all_turns, self.wire.value, self.ends))

    @property
    def travel(self) -> float | None:
        """Compression from free to solid [m]."""
        return None if self.free_length is None or self.solid is None else self.free_length - self.solid

    @property
    def rest_force(self) -> float | None:
        """Force at rest under the sprung mass [N]."""
        if self.sprung_mass is None or self.motion_ratio is None:
            return None
        return self.sprung_mass * GRAVITY / self.motion_ratio

    @property
    def wheel_rate(self) -> float | None:
        """Rate at the wheel [N/m]."""
        if self.any_rate is None or self.motion_ratio is None:
            return None
        return self.any_rate * self.motion_ratio**2


Value = float | str | None
Cell = Callable[[CoilAsked], Value]


def coil_table(springs: Sequence[CoilAsked], columns: Sequence[str], question: str) -> AnswerTable:
    """Everything that follows from what is known of some springs.

    Args:
        springs: the springs
        columns: their names
        question: what was asked, in words

    """
    rows: list[Answer] = []
    for name, kind, cell, formula, source in (*_SHAPE, *_LIMITS, *_LOADED, *_UNDER_A_CAR, *_WANTED):
        values = tuple(cell(spring) for spring in springs)
        if any(value is not None for value in values):
            rows.append(Answer(name, kind, values, formula, source))
    heights = tuple(_higher(springs[0], spring) for spring in springs)
    if len(springs) > 1 and any(value is not None for value in heights):
        formula = "difference of the lengths at rest / motion ratio, on the same seats"
        rows.append(Answer("body higher than with the first", Kind.LENGTH, heights, formula, ""))
    return AnswerTable(question, tuple(columns), tuple(rows), tuple(_remarks(springs)))


def _remarks(springs: Sequence[CoilAsked]) -> list[str]:
    found = []
    if any(spring.wire is not None for spring in springs):
        steel = springs[0].steel
        modulus = f"{steel.shear_modulus.value / 1e9:.1f} GPa"
        found.append(f"Steel: {steel.name}, G {modulus} ({steel.shear_modulus.source}). Sources differ by 2 % in G.")
        found.append("1 % of wire is 4 % of rate and more: measure it bare, in several places.")
    if any(spring.rate is not None and spring.rate_by_wire is not None for spring in springs):
        found.append("The rate told goes on into the rows below, not the one by the wire.")
    if any(spring.solid is None and spring.wire is not None for spring in springs):
        found.append("For the solid length tell the turns from end to end and the form of the ends.")
    if any(spring.wheel_rate is not None for spring in springs):
        found.append("Under a car: one motion ratio for all travel; the tyre and all other rates are left out.")
    return found


def _of(spring: CoilAsked) -> tuple[float, float, float] | None:
    """Wire, mean diameter and active turns where all are known."""
    if spring.wire is None or spring.coil is None or spring.moving is None:
        return None
    return spring.wire.value, spring.coil, spring.moving


def _index(spring: CoilAsked) -> Value:
    if spring.wire is None or spring.coil is None:
        return None
    return float(spring_index(spring.wire.value, spring.coil))


def _rate_band(spring: CoilAsked) -> Value:
    """What the stated ± of wire, diameter and turns make of the rate, as squares."""
    turns = spring.active_turns or spring.total_turns
    if spring.rate_by_wire is None or spring.wire is None or spring.diameter is None or turns is None:
        return None
    known = (spring.wire, spring.diameter, turns)
    dead = 0.0 if spring.active_turns is not None else (spring.dead or 0.0)
    modulus = spring.steel.shear_modulus.value

    def rate(wire: Array, diameter: Array, count: Array) -> Array:
        return helical_rate(modulus, wire, diameter - spring.wires_off * wire, count - dead)

    changes = []
    for one in known:
        moved: list[Array] = [np.asarray(other.value + 1j * STEP * (other is one)) for other in known]
        changes.append(float(rate(*moved).imag) / STEP * one.plus_minus * SHOWN_PER_TYPED)
    band = float(np.sqrt(np.sum(np.square(changes))))
    return band or None


def _turns_by_rate(spring: CoilAsked, rate: float | None) -> float | None:
    if rate is None or spring.wire is None or spring.coil is None:
        return None
    return float(active_turns(spring.steel.shear_modulus.value, spring.wire.value, spring.coil, rate))


def _dead_by_rate(spring: CoilAsked) -> Value:
    turns = _turns_by_rate(spring, spring.rate)
    return None if turns is None or spring.total_turns is None else spring.total_turns.value - turns


_DIMENSIONS = "k = G d⁴ / (8 D³ n)"
_SHAPE: tuple[tuple[str, Kind, Cell, str, str], ...] = (
    ("spring index", Kind.RATIO, _index, "D / d", ""),
    ("active turns", Kind.RATIO, lambda s: s.moving, "turns from end to end less dead turns", ""),
    ("rate by the wire", Kind.SPRING_RATE, lambda s: s.rate_by_wire, _DIMENSIONS, _EN),
    (
        "  give or take",
        Kind.SPRING_RATE,
        _rate_band,
        "the stated ± of wire, diameter and turns, as squares; 9 in 10",
        "",
    ),
    ("rate told", Kind.SPRING_RATE, lambda s: s.rate, "", ""),
    (
        "active turns by the rate told",
        Kind.RATIO,
        lambda s: _turns_by_rate(s, s.rate),
        "n = G d⁴ / (8 D³ k)",
        _EN,
    ),
    ("dead turns by the rate told", Kind.RATIO, _dead_by_rate, "turns from end to end less active turns", ""),
    ("free length", Kind.LENGTH, lambda s: s.free_length, "", ""),
)


def _at_solid(spring: CoilAsked) -> float | None:
    return None if spring.travel is None or spring.any_rate is None else spring.travel * spring.any_rate


def _plain_stress(spring: CoilAsked, force: float | None) -> float | None:
    if force is None or spring.wire is None or spring.coil is None:
        return None
    return float(coil_shear_stress(force, spring.wire.value, spring.coil))


def _corrected_stress(spring: CoilAsked, force: float | None) -> float | None:
    plain, index = _plain_stress(spring, force), _index(spring)
    return None if plain is None or not isinstance(index, float) else plain * float(bergstraesser_factor(index))


def _stress_limit(spring: CoilAsked) -> Value:
    """Permissible stress pressed solid; published for hot-formed springs of a range of wires only."""
    if spring.wire is None or spring.ends is not Ends.HOT_FORMED_GROUND or not 0.010 <= spring.wire.value <= 0.050:
        return None
    return float(hot_formed_solid_stress_limit(spring.wire.value))


def _gaps(spring: CoilAsked) -> float | None:
    sizes = _of(spring)
    if sizes is None or spring.ends is None:
        return None
    winding = Winding.HOT if spring.ends is Ends.HOT_FORMED_GROUND else Winding.COLD
    return float(least_gaps(*sizes, winding, moving=True))


def _shortest(spring: CoilAsked) -> Value:
    gaps = _gaps(spring)
    return None if gaps is None or spring.solid is None else spring.solid + gaps


def _buckles(spring: CoilAsked) -> Value:
    young = spring.steel.youngs_modulus
    if spring.free_length is None or spring.coil is None or young is None:
        return None
    at = float(
        buckling_compression(
            spring.free_length, spring.coil, spring.seating, spring.steel.shear_modulus.value, young.value
        )
    )
    beyond = not np.isfinite(at) or (spring.travel is not None and at > spring.travel)
    return NEVER if beyond else at


def _stable(spring: CoilAsked) -> Value:
    young = spring.steel.youngs_modulus
    if spring.coil is None or young is None:
        return None
    return float(stable_free_length(spring.coil, spring.seating, spring.steel.shear_modulus.value, young.value))


def _mass(spring: CoilAsked) -> Value:
    if spring.wire is None or spring.coil is None or spring.all_turns is None or spring.steel.density is None:
        return None
    return float(coil_mass(spring.wire.value, spring.coil, spring.all_turns, spring.steel.density.value))


def _surge(spring: CoilAsked) -> Value:
    sizes = _of(spring)
    if sizes is None or spring.steel.density is None:
        return None
    return float(surge_frequency(*sizes, spring.steel.shear_modulus.value, spring.steel.density.value))


_LIMITS: tuple[tuple[str, Kind, Cell, str, str], ...] = (
    ("solid length", Kind.LENGTH, lambda s: s.solid, "by turns, wire and form of the ends", f"{_SHIGLEY}, {_EN}"),
    ("travel to solid", Kind.LENGTH, lambda s: s.travel, "free length less solid length", ""),
    ("least gaps, moving load", Kind.LENGTH, _gaps, "S_a by wire, diameter and active turns", _EN),
    ("shortest in use", Kind.LENGTH, _shortest, "solid length and S_a", _EN),
    ("force at solid", Kind.FORCE, _at_solid, "k times travel to solid", _HOOKE),
    ("stress at solid, plain", Kind.STRESS, lambda s: _plain_stress(s, _at_solid(s)), "8 F D / (π d³)", _EN),
    ("  permissible, hot-formed", Kind.STRESS, _stress_limit, "by the diameter of the wire", _EN),
    (
        "buckles when compressed by",
        Kind.LENGTH,
        _buckles,
        "by free length, diameter and seats, without a guide; never: not before it is solid",
        f"{_EN}, {_SHIGLEY} Eq. 10-10",
    ),
    ("  never if shorter than", Kind.LENGTH, _stable, "about 2.63 D / seating factor", f"{_SHIGLEY} Eq. 10-12"),
    ("mass", Kind.MASS, _mass, "ρ (π d² / 4) π D n_t", ""),
    ("surge frequency", Kind.FREQUENCY, _surge, "d / (2 π n D²) √(G / (2 ρ))", f"{_SHIGLEY} Eq. 10-25, {_EN}"),
)


def _compressed(spring: CoilAsked, force: float | None) -> float | None:
    return None if force is None or spring.any_rate is None else force / spring.any_rate


def _length(spring: CoilAsked, force: float | None) -> float | None:
    compressed = _compressed(spring, force)
    return None if compressed is None or spring.free_length is None else spring.free_length - compressed


_LOADED: tuple[tuple[str, Kind, Cell, str, str], ...] = (
    ("compressed by the load", Kind.LENGTH, lambda s: _compressed(s, s.load), "F / k", _HOOKE),
    ("length under the load", Kind.LENGTH, lambda s: _length(s, s.load), "free length less F / k", _HOOKE),
    ("stress under the load, plain", Kind.STRESS, lambda s: _plain_stress(s, s.load), "8 F D / (π d³)", _EN),
    (
        "  corrected",
        Kind.STRESS,
        lambda s: _corrected_stress(s, s.load),
        "times (C + 0.5) / (C - 0.75)",
        f"Bergsträsser, {_EN}",
    ),
)


def _frequency(spring: CoilAsked) -> Value:
    if spring.wheel_rate is None or spring.sprung_mass is None:
        return None
    return float(np.sqrt(spring.wheel_rate / spring.sprung_mass) / (2 * np.pi))


def _deflection(spring: CoilAsked) -> Value:
    if spring.wheel_rate is None or spring.sprung_mass is None:
        return None
    return spring.sprung_mass * GRAVITY / spring.wheel_rate


_UNDER_A_CAR: tuple[tuple[str, Kind, Cell, str, str], ...] = (
    ("wheel rate", Kind.SPRING_RATE, lambda s: s.wheel_rate, "k times motion ratio squared", ""),
    ("frequency on the spring", Kind.FREQUENCY, _frequency, "√(wheel rate / sprung mass) / (2 π)", ""),
    ("static deflection at the wheel", Kind.LENGTH, _deflection, "m g / wheel rate", ""),
    ("spring force at rest", Kind.FORCE, lambda s: s.rest_force, "m g / motion ratio", ""),
    ("spring compressed at rest", Kind.LENGTH, lambda s: _compressed(s, s.rest_force), "F / k", _HOOKE),
    ("spring length at rest", Kind.LENGTH, lambda s: _length(s, s.rest_force), "free length less F / k", _HOOKE),
    ("stress at rest, plain", Kind.STRESS, lambda s: _plain_stress(s, s.rest_force), "8 F D / (π d³)", _EN),
)


def _wanted_total(spring: CoilAsked) -> Value:
    turns = _turns_by_rate(spring, spring.wanted_rate)
    return None if turns is None or spring.dead is None else turns + spring.dead


_WANTED: tuple[tuple[str, Kind, Cell, str, str], ...] = (
    (
        "active turns for the rate wanted",
        Kind.RATIO,
        lambda s: _turns_by_rate(s, s.wanted_rate),
        "n = G d⁴ / (8 D³ k)",
        _EN,
    ),
    ("  turns from end to end", Kind.RATIO, _wanted_total, "with the dead turns", ""),
)


def _higher(first: CoilAsked, other: CoilAsked) -> Value:
    """How much higher the body stands on another spring between the same seats; free lengths count where both tell."""
    one, two = (_compressed(spring, spring.rest_force) for spring in (first, other))
    if one is None or two is None or other.motion_ratio is None:
        return None
    free = 0.0
    if first.free_length is not None and other.free_length is not None:
        free = other.free_length - first.free_length
    return (free + one - two) / other.motion_ratio


_SEVERAL = {
    "wire": "wire",
    "outer": "diameter",
    "mean": "diameter",
    "inner": "diameter",
    "turns": "total_turns",
    "active": "active_turns",
    "dead": "dead_turns",
    "rate": "rate",
    "free": "free_length",
}
"""What may be given for each of several springs, and what it is of a spring."""
_NUMBERS = (
    Number("wire", Kind.LENGTH, 'diameter of the wire, "12 ± 0.05 mm"', many=True, banded=True),
    Number("outer", Kind.LENGTH, "outside diameter of the coil", many=True, banded=True),
    Number("mean", Kind.LENGTH, "mean diameter, in its place", many=True, banded=True),
    Number("inner", Kind.LENGTH, "inside diameter, in its place", many=True, banded=True),
    Number("turns", Kind.RATIO, "turns from end to end", many=True, banded=True),
    Number("dead", Kind.RATIO, "turns that do not move, both ends together; else by the ends", many=True),
    Number("active", Kind.RATIO, "turns that move, in their place", many=True, banded=True),
    Number("rate", Kind.SPRING_RATE, "rate that was measured or is offered", many=True),
    Number("free", Kind.LENGTH, "free length", many=True),
)


def _answer(asked: Asked) -> list[AnswerTable]:
    springs, columns = _springs(asked)
    _check_enough(springs)
    return [coil_table(springs, columns, "Coil spring" if len(springs) == 1 else "Coil springs")]


def _springs(asked: Asked) -> tuple[list[CoilAsked], list[str]]:
    """Each spring, and its head: what differs between them. What was given once holds for all."""
    given = {one.name: asked.measured(one.name) for one in _NUMBERS if asked.measured(one.name)}
    most = max(map(len, given.values()), default=1)
    for name, values in given.items():
        if len(values) not in (1, most):
            found, todo = f"{name} {len(values)} times for {most} springs", "Give it once for all, or once for each."
            raise InputError("Not every spring has this", found=found, todo=todo)
    diameters = [name for name in ("outer", "mean", "inner") if name in given]
    if len(diameters) > 1:
        raise InputError("The coil has two diameters", found=" and ".join(diameters), todo="Give one of them.")
    shared = CoilAsked(
        steel=STEEL_OF_WORD[asked.word("steel")],
        wires_off=1 if "outer" in given else -1 if "inner" in given else 0,
        ends=ENDS_OF_WORD.get(asked.word("ends")),
        load=asked.optional("load"),
        seating=SEATING_OF_WORD[asked.word("seats")],
        motion_ratio=asked.optional("motion_ratio"),
        sprung_mass=asked.optional("sprung_mass"),
        wanted_rate=asked.optional("for_rate"),
    )
    springs = []
    for k in range(most):
        known: dict[str, Any] = {_SEVERAL[name]: values[k % len(values)] for name, values in given.items()}
        springs.append(replace(shared, **known))
    heads = [
        " / ".join(
            show(float(given[n.name][k]), n.kind, asked.units) for n in _NUMBERS if len(given.get(n.name, ())) > 1
        )
        for k in range(most)
    ]
    return springs, heads if most > 1 else ["spring"]


def _check_enough(springs: Sequence[CoilAsked]) -> None:
    """Refuse a question that nothing follows from, and a spring that is solid before it is loaded."""
    for spring in springs:
        if spring.travel is not None and spring.travel <= 0:
            raise InputError(
                "The spring is not longer free than solid",
                found=f"{show(spring.travel, Kind.LENGTH)} from free to solid",
                todo="Check free length, wire and turns.",
            )
        if spring.any_rate is None and (spring.wire is None or spring.coil is None or spring.wanted_rate is None):
            raise InputError(
                "The spring's rate is not known",
                todo="Give the wire, a diameter and the turns (from end to end with the ends or the dead ones, or those "
                "that move), or the rate; for the turns of a wanted rate the wire and a diameter.",
            )


QUESTION = Question(
    about="What a coil spring is by its wire, turns and diameter, and what it does under a load or a car. For several "
    "springs give a thing several times.",
    asks=(
        *_NUMBERS,
        Choice("ends", "form of the ends", "", {"": "not known", **{word: word for word in ENDS_OF_WORD}}),
        Number("load", Kind.FORCE, "force on the spring"),
        Choice("seats", "how it is seated, for buckling", "flat", {word: word for word in SEATING_OF_WORD}),
        STEEL,
        Number("motion_ratio", Kind.RATIO, "travel of the spring per travel of the wheel", (), 0.05, 3.0),
        Number("sprung_mass", Kind.MASS, "mass that the wheel carries, less what is unsprung", (), 1.0, 5000.0),
        Number("for_rate", Kind.SPRING_RATE, "rate wanted: how many turns give it"),
    ),
    answer=_answer,
    of_part=True,
    alone=True,
)
