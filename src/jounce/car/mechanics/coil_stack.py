"""A coil spring's section of the document as members that give one on the other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.car.file.quantity import Measured
from jounce.car.parts.spring import CoilDimensions, Spring
from jounce.elements.law import OneSided, SpringLaw
from jounce.elements.springs.coil_spring import Turns, two_rates
from jounce.elements.springs.coil_stack import StackMember, solid, stack_law
from jounce.elements.springs.curve_stack import CurveStack
from jounce.elements.springs.progressive import ConstantFrequency, SpringCurve
from jounce.numerics.arrays import Array, BoolArray

__all__ = ["CoilStack", "coil_rate", "coil_stack"]

MAIN, CLOSER = "main spring", "closer turns"
OTHERS = ("helper", "tender")


@dataclass(frozen=True, slots=True)
class CoilStack:
    """All that gives between a coil spring's two seats.

    ``members`` are linear, by name, each with its travel to solid; ``curve`` is the main spring's law where it is
    progressive (then it is none of the members). ``free_length`` and ``solid_length`` [m] are those of the whole stack,
    None where one of its springs does not tell.
    """

    members: Mapping[str, StackMember]
    curve: SpringLaw | None
    free_length: Array | None
    solid_length: Array | None

    @property
    def law(self) -> SpringLaw:
        """The whole over its compression from free [m]."""
        members = tuple(self.members.values())
        if self.curve is not None:
            return CurveStack(self.curve, members) if members else self.curve
        return OneSided(members[0].rate) if len(members) == 1 else stack_law(members)

    @property
    def has_several(self) -> bool:
        """Whether more than one spring, or group of turns, gives."""
        return len(self.members) + (self.curve is not None) > 1

    def solid(self, force: Array) -> dict[str, BoolArray]:
        """Which members with a known travel are solid under a force [N]."""
        known = {
            name: member for name, member in self.members.items() if np.isfinite(np.asarray(member.travel).real).all()
        }
        return {name: solid((member,), force)[0] for name, member in known.items()}


def coil_stack(spring: Spring) -> CoilStack:
    """The springs between the two seats.

    Args:
        spring: the main spring's section, with those of its helper and tender

    """
    others = {name: part for name in OTHERS if (part := getattr(spring, name)) is not None}
    curve = _curve(spring)
    members: dict[str, StackMember] = {} if curve is not None else dict(_main_members(spring))
    for name, part in others.items():
        travel = _number(part.free_length) - _solid(part)
        members[name] = Turns(coil_rate(part), travel)
    parts: list[CoilDimensions] = [spring, *others.values()]
    free = [None if part.free_length is None else _number(part.free_length) for part in parts]
    closed = [None if part.solid is None else np.atleast_1d(part.solid) for part in parts]
    return CoilStack(members, curve, _sum(free), _sum(closed))


def coil_rate(spring: CoilDimensions) -> Array:
    """Rate of a coil as long as all its turns move, given or from its wire [N/m]."""
    rate = spring.first_rate
    if rate is None:
        raise ValueError("the document accepts no spring without a rate or its wire")
    return np.atleast_1d(rate)


def _curve(spring: Spring) -> SpringLaw | None:
    """The main spring's law where it is progressive."""
    if spring.curve is not None:
        rows = np.array(spring.curve, dtype=np.float64)
        return SpringCurve(rows[:, 0], rows[:, 1])
    if spring.rising_from is not None:
        rate = coil_rate(spring)
        return ConstantFrequency(rate, _number(spring.rising_from) / rate)
    return None


def _main_members(spring: Spring) -> dict[str, Turns]:
    rate = coil_rate(spring)
    if spring.second_rate is not None and spring.second_rate_from is not None:
        closer, others = two_rates(rate, _number(spring.second_rate), _number(spring.second_rate_from))
        return {CLOSER: closer, MAIN: others}
    if spring.free_length is None or spring.solid is None:
        return {MAIN: Turns(rate)}
    return {MAIN: Turns(rate, _number(spring.free_length) - np.atleast_1d(spring.solid))}


def _solid(part: CoilDimensions) -> Array:
    if part.solid is None:
        raise ValueError("the document accepts no helper spring without its solid length")
    return np.atleast_1d(part.solid)


def _sum(lengths: list[Array | None]) -> Array | None:
    known = [length for length in lengths if length is not None]
    return np.asarray(sum(known[1:], known[0])) if len(known) == len(lengths) else None


def _number(quantity: Measured | None) -> Array:
    if quantity is None:
        raise ValueError("the document accepts no such spring without this number")
    return np.atleast_1d(quantity.value)
