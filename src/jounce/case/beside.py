"""Up to four jobs on one car beside each other and the car as found: each worked out by itself, rows on common lines."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from jounce.case.case import Case
from jounce.checks import Check, Verdict
from jounce.conventions.errors import InputError, JounceError
from jounce.conventions.units import Kind
from jounce.job.comparison import ComparedRow, as_weighed
from jounce.job.document import JobDocument, JobIdentity

__all__ = ["FEWEST", "LETTERS", "MOST", "Beside", "BesideRow", "Variant", "beside", "counted"]

LETTERS = "ABCD"
"""What the jobs are called beside each other, in their order."""
FEWEST, MOST = 2, len(LETTERS)
"""How many jobs stand beside each other."""


@dataclass(frozen=True, eq=False)
class Variant:
    """One of the jobs, worked out.

    Attributes:
        letter: what it is called beside the others
        case: the job on its car
        rows: as found and as planned; empty where the plan cannot be
        checks: every check, the shop's own rules last; empty likewise
        refused: why the plan cannot be; empty where it can
        source: where the job comes from, a file or a version; empty where that is not told

    """

    letter: str
    case: Case
    rows: tuple[ComparedRow, ...]
    checks: tuple[Check, ...]
    refused: str = ""
    source: str = ""

    @property
    def name(self) -> str:
        """The job's name."""
        return self.case.change_list.job.name

    @property
    def revision(self) -> str:
        """The job's revision."""
        return self.case.change_list.job.revision

    def of(self, verdict: Verdict) -> list[Check]:
        """Its checks that end in one way.

        Args:
            verdict: which way
        """
        return [check for check in self.checks if check.verdict is verdict]


@dataclass(frozen=True, slots=True)
class BesideRow:
    """One quantity of the car as found and of each job, SI; None where it does not exist.

    The bands are half widths that hold nine of ten, zero where no stated ± reaches the quantity.
    """

    key: str
    label: str
    kind: Kind
    found: float | None
    found_band: float
    planned: tuple[float | None, ...]
    planned_bands: tuple[float, ...]

    @property
    def place(self) -> str:
        """Axle and side, or axle; "whole car" where it is of neither."""
        return " ".join(self.key.split(".")[:-1]) or "whole car"

    @property
    def values(self) -> tuple[float | None, ...]:
        """As found, then one for each job."""
        return (self.found, *self.planned)

    @property
    def bands(self) -> tuple[float, ...]:
        """As found, then one for each job."""
        return (self.found_band, *self.planned_bands)

    @property
    def spread(self) -> float | None:
        """How far the jobs are apart, the largest less the smallest; None where fewer than two have it [SI]."""
        known = [value for value in self.planned if value is not None]
        return max(known) - min(known) if len(known) > 1 else None


@dataclass(frozen=True, eq=False)
class Beside:
    """The car as found and its jobs.

    Attributes:
        car: the car alone
        variants: the jobs in the order of their letters

    """

    car: Case
    variants: tuple[Variant, ...]

    @property
    def widened(self) -> Mapping[str, float]:
        """By what the bands of all jobs are multiplied, by quantity; empty for none [-]."""
        return self.variants[0].case.widened

    @property
    def possible(self) -> tuple[Variant, ...]:
        """The jobs whose plan can be."""
        return tuple(one for one in self.variants if not one.refused)

    @cached_property
    def rows(self) -> tuple[BesideRow, ...]:
        """Every quantity that the car as found or one of the jobs has, in the order of a job's own comparison.

        Raises:
            JounceError: no plan can be, nor can the car as found
        """
        return _on_common_lines([one.rows for one in self.variants], self._as_found)

    @cached_property
    def weighed(self) -> tuple[BesideRow, ...]:
        """The same as a shop reads them: wheel loads as its scales tell them, in place of forces."""
        return _on_common_lines([as_weighed(one.rows) for one in self.variants], as_weighed(self._as_found))

    @cached_property
    def _as_found(self) -> tuple[ComparedRow, ...]:
        """Rows that tell of the car as found: those of a job that can be, else of one that changes nothing."""
        return self.possible[0].rows if self.possible else self.car.with_job(_UNCHANGED).rows


_UNCHANGED = JobDocument(job=JobIdentity(name="unchanged", car="as found"))


def beside(
    cases: Sequence[Case], sources: Sequence[str] = (), done: Callable[[float], None] = lambda _: None
) -> Beside:
    """Work out jobs on one car; what is worked out of the car as found serves all that share it.

    Args:
        cases: two to four jobs, the same one twice if need be
        sources: where each comes from, told beside its name; nothing is told when left out
        done: told the share of the jobs that is worked out

    Raises:
        InputError: fewer or more jobs, or jobs of different cars
    """
    counted(len(cases))
    first = cases[0]
    other = next((one for one in cases if one.car != first.car), None)
    if other is not None:
        raise InputError(
            "Jobs beside each other are of one car",
            found=f'"{first.change_list.job.name}" of {first.name}, "{other.change_list.job.name}" of '
            f"{'another ' if other.name == first.name else ''}{other.name}",
            allowed="jobs whose car files say the same",
            todo="Leave out those of the other car.",
        )
    variants = []
    for letter, case, source in zip(LETTERS, cases, sources or [""] * len(cases), strict=False):
        variants.append(_worked_out(letter, case, source))
        done(len(variants) / len(cases))
    return Beside(Case(first.car, None, first.rules, first.found), tuple(variants))


def counted(jobs: int) -> None:
    """Refuse more or fewer jobs than stand beside each other.

    Args:
        jobs: how many there are

    Raises:
        InputError: too many or too few
    """
    if not FEWEST <= jobs <= MOST:
        raise InputError(
            f"{FEWEST} to {MOST} jobs stand beside each other",
            found=str(jobs),
            allowed=f"{FEWEST} to {MOST}",
            todo="Leave some out." if jobs > MOST else "Name more of them.",
        )


def _worked_out(letter: str, case: Case, source: str) -> Variant:
    """One job; a plan that cannot be says why, and leaves the others as they are."""
    try:
        return Variant(letter, case, case.rows, case.every_check, source=source)
    except JounceError as error:
        return Variant(letter, case, (), (), str(error), source)


def _on_common_lines(
    columns: Sequence[Sequence[ComparedRow]], as_found: Sequence[ComparedRow]
) -> tuple[BesideRow, ...]:
    """Rows brought together by their keys; what one column lacks stands where another has it."""
    keys: list[str] = []
    for rows in (as_found, *columns):
        at = 0
        for row in rows:
            if row.key not in keys:
                keys.insert(at, row.key)
            at = keys.index(row.key) + 1
    by_key = [{row.key: row for row in rows} for rows in columns]
    told = {row.key: row for rows in (*reversed(columns), as_found) for row in rows}
    return tuple(
        BesideRow(
            key,
            told[key].label,
            told[key].kind,
            told[key].found,
            told[key].found_band,
            tuple(rows[key].planned if key in rows else None for rows in by_key),
            tuple(rows[key].planned_band if key in rows else 0.0 for rows in by_key),
        )
        for key in keys
    )
