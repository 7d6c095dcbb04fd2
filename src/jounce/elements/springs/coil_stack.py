"""Springs one on the other between two seats: they carry the same force, and each gives until it is solid.

Members are anything with a `rate` and a `travel` to solid: whole springs, or the groups of turns of one spring.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from jounce.conventions.errors import InputError
from jounce.elements.law import OneSided
from jounce.elements.springs.coil_spring import CoilSpring
from jounce.elements.springs.stepped import SteppedRate
from jounce.numerics.arrays import Array, BoolArray

__all__ = ["Stack", "StackMember", "compressions", "solid", "stack_law"]


class StackMember(Protocol):
    """What gives in a stack."""

    @property
    def rate(self) -> float | Array:
        """Its own rate [N/m]."""
        ...

    @property
    def travel(self) -> float | Array:
        """Compression until it is solid, infinite where that is not known [m]."""
        ...


def stack_law(members: Sequence[StackMember]) -> SteppedRate:
    """The stack over its compression from free: one rise of the rate at the first touch and at each member gone solid.

    The last member still moving sets the rate from there on.

    Args:
        members: one or more

    Raises:
        InputError: no members

    """
    rates, travels = _table(members)
    limit = _solid_at(rates, travels)
    order = np.argsort(limit.real, axis=0)  # in which order they go solid as the force grows
    blocked_at, by_order = (np.take_along_axis(part, order, axis=0) for part in (limit, rates))
    rises = [OneSided(1 / (1 / by_order).sum(axis=0))]
    for stage in range(1, len(members)):
        force = blocked_at[stage - 1]
        if np.isinf(force.real).all():
            break
        start = _given(rates, travels, force).sum(axis=0)
        rate, before = (1 / (1 / by_order[k:]).sum(axis=0) for k in (stage, stage - 1))
        # A member that goes solid together with the one before adds its rise at the same place.
        rises.append(OneSided(rate=rate - before, start=start))
    return SteppedRate(tuple(rises))


def compressions(members: Sequence[StackMember], force: float | Array) -> Array:
    """Compression of each member under a force, not beyond solid, shape (members, ...) [m].

    Args:
        members: one or more
        force: force that all carry [N]

    """
    rates, travels = _spread_table(members, force)
    return _given(rates, travels, np.asarray(force))


def solid(members: Sequence[StackMember], force: float | Array) -> BoolArray:
    """Which members are solid under a force, shape (members, ...).

    Args:
        members: one or more
        force: force that all carry [N]

    """
    rates, travels = _spread_table(members, force)
    return np.asarray(np.asarray(force).real >= _solid_at(rates, travels).real)


@dataclass(frozen=True, slots=True)
class Stack:
    """A main spring with a helper or tender spring, all linear.

    Each gives until it goes solid, the softest first as a rule, and the rate rises by steps. The last one still moving
    sets the rate from there on, as in :class:`CoilSpring`.

    >>> main = CoilSpring(rate=30e3, free_length=0.200)
    >>> helper = CoilSpring(rate=5e3, free_length=0.080, solid_length=0.020)
    >>> force = Stack((main, helper)).law.force(np.array([0.0, 0.070, 0.080]))
    >>> [round(float(newton), 6) for newton in force]
    [0.0, 300.0, 600.0]
    """

    springs: tuple[CoilSpring, ...]

    def __post_init__(self) -> None:
        _check_any(self.springs)

    @property
    def free_length(self) -> Array:
        """Sum of the free lengths [m]."""
        return np.asarray(sum(np.asarray(spring.free_length) for spring in self.springs))

    @property
    def law(self) -> SteppedRate:
        """The stack over its compression from free [m]."""
        return stack_law(self.springs)

    def force_at_length(self, length: float | Array) -> Array:
        """Force at a length between the seats [m], zero when the stack is loose, in N."""
        return self.law.force(np.asarray(self.free_length - length))

    def compressions(self, force: float | Array) -> Array:
        """Compression of each spring under a force [N], not beyond solid, shape (springs, ...) [m]."""
        return compressions(self.springs, force)

    def solid(self, force: float | Array) -> BoolArray:
        """Which springs are solid under a force [N], shape (springs, ...)."""
        return solid(self.springs, force)


def _check_any(members: Sequence[object]) -> None:
    if not members:
        raise InputError("A stack has no springs", todo="Give at least one.")


def _table(members: Sequence[StackMember]) -> tuple[Array, Array]:
    _check_any(members)
    columns = [np.asarray(member.rate) * 1.0 for member in members] + [np.asarray(m.travel) * 1.0 for m in members]
    table = np.broadcast_arrays(*columns)
    return np.stack(table[: len(members)]), np.stack(table[len(members) :])


def _spread_table(members: Sequence[StackMember], force: float | Array) -> tuple[Array, Array]:
    rates, travels = _table(members)
    shape = np.broadcast_shapes(rates.shape[1:], np.shape(force))
    return _spread(rates, shape), _spread(travels, shape)


def _solid_at(rates: Array, travels: Array) -> Array:
    """Force at which each member goes solid; an infinite one carries no perturbation."""
    never = np.isinf(travels)
    return np.asarray(np.where(never, np.inf, rates * np.where(never, 0.0, travels)))


def _given(rates: Array, travels: Array, force: Array) -> Array:
    """``min(force / rate, travel)`` of each member; perturbations pass."""
    free = np.asarray(force) / rates
    return np.asarray(np.where(free.real < travels.real, free, travels))


def _spread(table: Array, shape: tuple[int, ...]) -> Array:
    lead = table.reshape(table.shape[0], *(1,) * (len(shape) + 1 - table.ndim), *table.shape[1:])
    return np.broadcast_to(lead, (table.shape[0], *shape))
