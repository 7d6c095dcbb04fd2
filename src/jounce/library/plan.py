"""The car of a job as planned: its settings, everything as found beside as planned, its checks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

import numpy as np

from jounce.car.mechanics.model import AXLES
from jounce.checks import Check, Verdict, worst
from jounce.checks.side_effects import KnockOn
from jounce.conventions.units import to_display, unit_of
from jounce.job.comparison import ComparedRow
from jounce.job.plan import JobPlan
from jounce.job.wording import settings_of
from jounce.library.html import number, table
from jounce.library.results import Standing
from jounce.library.standing_car import StandingCar

__all__ = ["Plan"]


@dataclass(frozen=True, eq=False, repr=False)
class Plan(StandingCar):
    """The planned car where it stands on the settings that can really be made; asked as the found one is."""

    def as_planned(self) -> Standing:
        """How it will stand.

        Returns:
            Results by name; of wheels with the shape (2, 2), of axles (2,), of the car () [SI].

        Raises:
            Impossible: it does not stand there
        """
        return self._standing

    @cached_property
    def rows(self) -> Mapping[str, ComparedRow]:
        """As found beside as planned, by ``axle.side.quantity``, ``axle.quantity`` or a name; some seconds.

        A row has ``label``, ``kind``, ``found``, ``planned``, ``difference``, and half widths ``found_band`` and
        ``planned_band`` that hold nine of ten [SI]; None where a quantity does not exist.
        """
        return MappingProxyType({row.key: row for row in self.case.rows})

    def settings(self, units: str = "metric") -> tuple[str, ...]:
        """What to set, as sentences in the order of work.

        Args:
            units: metric, inch or kgf
        """
        return tuple(settings_of(self.worked, units, self.state.bands))

    @property
    def worked(self) -> JobPlan:
        """Each setting as numbers: ``bars``, ``perches`` and ``wheels`` by side, ``rod`` [m, rad]."""
        return self.case.plan

    @property
    def checks(self) -> tuple[Check, ...]:
        """Whether it fits, lasts and can be set.

        A check has ``code``, ``question``, ``verdict``, ``value``, ``limit`` and ``margin`` [SI], ``sentence``, ``reason``
        and ``todo``. Those of local rules stand last.
        """
        return self.case.every_check

    @property
    def verdict(self) -> Verdict:
        """FAIL if one check fails, else unknown if one is unknown, else pass."""
        return worst(self.checks)

    @property
    def what_else_moves(self) -> tuple[KnockOn, ...]:
        """What the job moves besides what it changes; each has ``cause``, ``moved``, ``value`` [SI], ``todo``."""
        return self.case.side_effects

    def _repr_html_(self) -> str:
        return self.html()

    def html(self, units: str = "metric") -> str:
        """As found beside as planned, both axles along their travel, the settings, the checks that do not pass.

        Args:
            units: metric, inch or kgf
        """
        rows = table(
            f"{self.case.name}: {self.case.change_list.job.name}",
            _HEAD,
            [_cells(row, units) for row in self.rows.values()],
        )
        settings = table("Settings, in the order of work", (), [(one,) for one in self.settings(units)])
        wanting = [one for one in self.checks if one.verdict is not Verdict.PASS]
        checks = table(
            f"Checks: {len(self.checks) - len(wanting)} of {len(self.checks)} pass",
            (),
            [(one.verdict.value, one.code, one.question, one.said(units), one.todo) for one in wanting],
        )
        moved = (self.travel(axle, "heave", _TRAVEL).html(units) for axle in AXLES)
        return "".join((rows, *moved, settings, checks))


_TRAVEL = np.linspace(-0.05, 0.05, 21)  # [m]
_HEAD = ("", "", "as found", "±", "as planned", "±", "change")


def _cells(row: ComparedRow, units: str) -> list[str]:
    unit = unit_of(row.kind, units)
    each = (row.found, row.found_band or None, row.planned, row.planned_band or None, row.difference)
    shown = [number(None if one is None else float(to_display(one, row.kind, units)), unit.decimals) for one in each]
    place = " ".join(row.key.split(".")[:-1])
    return [place, row.label + ("" if unit.symbol == "-" else f" [{unit.symbol}]"), *shown]
