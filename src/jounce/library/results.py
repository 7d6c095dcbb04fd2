"""What comes out: frozen arrays by name, each with its unit, its definition and which way it counts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from types import MappingProxyType
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from jounce.behaviour.axle.static import StaticAxle
from jounce.car.mechanics.model import AxleName
from jounce.conventions.errors import InputError
from jounce.conventions.quantity import Quantity
from jounce.conventions.units import si_unit, to_display, unit_of
from jounce.library.html import curve, number, table
from jounce.numerics.arrays import Array, BoolArray

__all__ = ["NoSuchResult", "Results", "Standing", "Travel"]

Number = TypeVar("Number", np.float64, np.bool_)


class NoSuchResult(InputError, KeyError):
    """A name under which there is no result; a `KeyError` too, as of every mapping."""


def _frozen(values: NDArray[Number]) -> NDArray[Number]:
    """A copy that cannot be written to.

    Args:
        values: of any shape, in SI
    """
    kept = values.copy()
    kept.flags.writeable = False
    return kept


@dataclass(frozen=True, eq=False, repr=False)
class Results(Mapping[str, Array]):
    """Arrays by name, in SI; NaN where a quantity does not exist.

    ``results[name]`` is the array, ``results.unit(name)`` its unit, ``results.about(name)`` its definition and which way
    is positive, ``results.shown(name, "inch")`` the array in a unit set that a workshop reads. An array cannot be written
    to; ``dict(results)`` goes into a data frame.

    Attributes:
        title: what they are of
        arrays: by name [SI]
        quantities: what each of them is, by the same names

    """

    title: str
    arrays: Mapping[str, Array]
    quantities: Mapping[str, Quantity]

    def __post_init__(self) -> None:
        """Nothing that was given can change what is kept."""
        kept = MappingProxyType({name: _frozen(values) for name, values in self.arrays.items()})
        object.__setattr__(self, "arrays", kept)

    def __getitem__(self, name: str) -> Array:
        try:
            return self.arrays[name]
        except KeyError:
            near = get_close_matches(str(name), self.arrays, n=1, cutoff=0.6)
            raise NoSuchResult(
                f"There is no such result of {self.title}",
                found=repr(name),
                todo=f"Did you mean {near[0]!r}?" if near else "list(…) of the results tells all names.",
            ) from None

    def __iter__(self) -> Iterator[str]:
        return iter(self.arrays)

    def __len__(self) -> int:
        return len(self.arrays)

    __eq__ = object.__eq__  # a mapping would compare array by array
    __hash__ = object.__hash__

    def __repr__(self) -> str:
        return f"<{self.title}: {len(self)} results>"

    def about(self, name: str) -> Quantity:
        """What a result is: ``definition``, ``positive_when``, ``source``, ``kind``.

        Args:
            name: of the result

        Raises:
            InputError: there is none of that name
        """
        _ = self[name]  # tells an unknown name in words
        return self.quantities[name]

    def unit(self, name: str) -> str:
        """Symbol of the SI unit in which a result stands, ``"1"`` of a plain ratio.

        Args:
            name: of the result
        """
        return si_unit(self.about(name).kind)

    def shown(self, name: str, units: str = "metric") -> Array:
        """A result in the units of a workshop.

        Args:
            name: of the result
            units: metric, inch or kgf

        Returns:
            The array in the unit that the set shows for its kind [mm, deg, N/mm, … in the metric set]
        """
        return to_display(self[name], self.about(name).kind, units)

    def _label(self, name: str, units: str) -> str:
        symbol = unit_of(self.quantities[name].kind, units).symbol
        return name.replace("_", " ") + ("" if symbol == "-" else f" [{symbol}]")

    def _decimals(self, name: str, units: str) -> int:
        return max(2, unit_of(self.quantities[name].kind, units).decimals)

    def _ipython_key_completions_(self) -> list[str]:
        return list(self)


_CORNERS = ("front left", "front right", "rear left", "rear right")


@dataclass(frozen=True, eq=False, repr=False)
class Standing(Results):
    """A car where it stands.

    A wheel's result has the shape (2, 2): front and rear, left and right; an axle's (2,): front, rear; the car's own ().

    Attributes:
        axles: front and rear axle with the parts of their roll stiffness

    """

    axles: Mapping[AxleName, StaticAxle]

    def _repr_html_(self) -> str:
        return self.html()

    def html(self, units: str = "metric") -> str:
        """The main results as a table.

        Args:
            units: metric, inch or kgf
        """
        rows = []
        for name in _SHOWN_STANDING:
            if name in self:
                each = self.shown(name, units)
                cells = (
                    each.ravel() if each.ndim == 2 else [part for one in np.atleast_1d(each) for part in (one, None)]
                )
                rows.append([self._label(name, units), *(number(cell, self._decimals(name, units)) for cell in cells)])
        return table(self.title, ("", *_CORNERS), rows)


_SHOWN_STANDING = (
    *("height", "load", "sprung_mass", "wheel_rate", "ride_rate", "ride_frequency", "camber", "toe", "caster"),
    *("roll_stiffness", "roll_centre_height", "track", "cross_weight", "front_share"),
)


@dataclass(frozen=True, eq=False, repr=False)
class Travel(Results):
    """An axle in many states, each result with the shape (states,).

    What was driven stands first, by its name.

    Attributes:
        reached: which states the linkage reaches, shape (states,); the results of others are NaN
        reason: why the first state that it does not reach is not reached; empty where all are

    """

    reached: BoolArray
    reason: str

    def __post_init__(self) -> None:
        """Nothing that was given can change what is kept."""
        Results.__post_init__(self)
        object.__setattr__(self, "reached", _frozen(self.reached))

    def _repr_html_(self) -> str:
        return self.html()

    def html(self, units: str = "metric", names: tuple[str, ...] = ()) -> str:
        """A table of some states, with a small curve of each column over the first drive.

        Args:
            units: metric, inch or kgf
            names: results to show; the usual few when left out

        Raises:
            InputError: there is no result of a name
        """
        drive = next(iter(self))
        columns = [drive, *(names or [name for name in _SHOWN_TRAVEL if name in self])]
        each = {name: self.shown(name, units) for name in columns}
        some = np.unique(np.linspace(0, len(self.reached) - 1, min(len(self.reached), _MOST_ROWS)).round().astype(int))
        curves = ["", *(curve(each[drive], each[name]) for name in columns[1:])]
        rows = [[number(each[name][k], self._decimals(name, units)) for name in columns] for k in some]
        return table(self.title, [self._label(name, units) for name in columns], [curves, *rows], self.reason)


_MOST_ROWS = 9
_SHOWN_TRAVEL = ("left_camber", "left_toe", "left_load", "left_wheel_rate", "roll_centre_height", "axle_shift")
