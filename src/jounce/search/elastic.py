"""What an axle's options push, as laws over the table of its geometry: all that curves need, and light to send away."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.linkage.balance import Law
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.surface import Surface


@dataclass(frozen=True, slots=True)
class Pull:
    """One element of an option: a law over a column of the table."""

    column: int
    sense: float
    zero: float
    law: Law


@dataclass(frozen=True, slots=True)
class SpringPull:
    """One main spring of an option: its law counts from where it carries what it has to."""

    column: int
    sense: float
    law: Law


@dataclass(frozen=True, slots=True)
class Elastic:
    """An axle's options as laws.

    Attributes:
        table: wheel centres, axes, turns and measures over both travels
        standing: travels at which the axle shall stand, left and right [m]
        pulls: elements by group and option, main springs left out
        springs: left and right main spring of each option of the first group

    """

    table: Surface
    standing: Array
    pulls: tuple[tuple[tuple[Pull, ...], ...], ...]
    springs: tuple[tuple[SpringPull, ...], ...]

    def pulled(self, chosen: IntArray, load_of_spring: Array, value: Array) -> tuple[Array, Array]:
        """Force and stiffness of all elements along every column of the table.

        Args:
            chosen: option of each group, shape (variants, groups)
            load_of_spring: load of each main spring where the axle stands, shape (variants, 2) [N or N m]
            value: the table's functions, shape (variants, states, functions)

        Returns:
            Both of shape (variants, states, functions) [N or N m, N/m or N m/rad]
        """
        force, rate = self.beside_springs(chosen, value)
        standing = self.table.at(self.standing[None])[0][0]
        for number, both in enumerate(self.springs):
            rows = np.flatnonzero(chosen[:, 0] == number)
            if not len(rows):
                continue
            for k, spring in enumerate(both):
                column = spring.column
                wound = spring.law.displacement_at(load_of_spring[rows, k])  # type: ignore[attr-defined]  # a spring's law
                x = spring.sense * (value[rows, :, column] - standing[column]) + np.reshape(wound, (-1, 1))
                force[rows, :, column] += spring.sense * _flat(spring.law.force, x)
                rate[rows, :, column] += _flat(spring.law.stiffness, x)
        return force, rate

    def wound(self, chosen: IntArray, load_of_spring: Array) -> Array:
        """Displacement of each main spring where the axle stands, shape (variants, 2) [m or rad].

        Args:
            chosen: option of each group, shape (variants, groups)
            load_of_spring: load of each main spring there, shape (variants, 2) [N or N m]
        """
        found = np.empty(load_of_spring.shape)
        for number, both in enumerate(self.springs):
            rows = np.flatnonzero(chosen[:, 0] == number)
            for k, spring in enumerate(both if len(rows) else ()):
                found[rows, k] = np.reshape(spring.law.displacement_at(load_of_spring[rows, k]), -1)  # type: ignore[attr-defined]  # a spring's law
        return found

    def beside_springs(self, chosen: IntArray, value: Array) -> tuple[Array, Array]:
        """The same without the main springs.

        Args:
            chosen: option of each group, shape (variants, groups)
            value: the table's functions, shape (variants, states, functions)
        """
        force, rate = np.zeros_like(value), np.zeros_like(value)
        for group, options in enumerate(self.pulls):
            for number, pulls in enumerate(options):
                rows = np.flatnonzero(chosen[:, group] == number)
                if not len(rows):
                    continue
                for pull in pulls:
                    x = pull.sense * (value[rows, :, pull.column] - pull.zero)
                    force[rows, :, pull.column] += pull.sense * _flat(pull.law.force, x)
                    rate[rows, :, pull.column] += _flat(pull.law.stiffness, x)
        return force, rate


def _flat(law: object, x: Array) -> Array:
    return np.reshape(np.asarray(law(x.ravel())), x.shape)  # type: ignore[operator]  # a law's own method
