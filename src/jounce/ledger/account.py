"""An account of outcomes: how many bands held, whether that is by chance, and by what bands were too narrow.

Numbers of one job share their errors: left and right height of an axle stand or fall together, and wheels that stand
lower lean in more. So what is told of chance, and what is learned, counts all numbers of one axle of one job as one, by
their share inside and their mean square; the binomial law is taken between whole counts by the incomplete beta function.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

from jounce.conventions.certainty import SHOWN_SHARE
from jounce.ledger.chance import at_least, at_most, share_interval
from jounce.ledger.outcome import Outcome
from jounce.ledger.score import interval_score

__all__ = ["Account", "account_of", "correction", "corrections", "grouped"]

ALARM = 0.01
"""Probability, were all bands right, below which as few inside are an alarm."""
FIRST_ALARM = 5
"""Axles of jobs from which on the alarm is looked at."""
_KNOWN_BEFORE = 8.0
"""Outcomes that right bands count for before anything is found."""


@dataclass(frozen=True, slots=True)
class Account:
    """What became of some promises.

    Attributes:
        count: how many were found
        jobs: of how many jobs
        independent: of how many axles of jobs; so many stand for themselves
        inside: how many of the bands held
        interval: of the share inside, holding it in nine of ten cases [-]
        too_few: probability of so few inside or fewer, were the bands right [-]
        too_many: probability of so many inside or more, likewise [-]
        root_mean_square: of the misses in deviations; 1 where bands are right [-]
        mean: of the misses in deviations, found less promised; 0 where nothing pulls one way [-]
        score: mean interval score in deviations; 4.13 where bands are right, larger where they are too narrow or wide [-]
        correction: by what bands are to be multiplied [-]

    """

    count: int
    jobs: int
    independent: int
    inside: int
    interval: tuple[float, float]
    too_few: float
    too_many: float
    root_mean_square: float
    mean: float
    score: float
    correction: float

    @property
    def share(self) -> float:
        """Share inside [-]."""
        return self.inside / self.count

    @property
    def alarm(self) -> bool:
        """Whether so few are inside that chance hardly explains it; from the fifth axle of a job on."""
        return self.independent >= FIRST_ALARM and self.too_few < ALARM


def account_of(outcomes: Sequence[Outcome]) -> Account:
    """The account of some outcomes.

    Args:
        outcomes: at least one
    """
    count, inside = len(outcomes), sum(one.inside for one in outcomes)
    apart = [one.apart for one in outcomes]
    groups = _of_axles(outcomes)
    held = sum(sum(one.inside for one in group) / len(group) for group in groups)
    return Account(
        count,
        len({one.job for one in outcomes}),
        len(groups),
        inside,
        share_interval(held, len(groups)),
        at_most(held, len(groups), SHOWN_SHARE),
        at_least(held, len(groups), SHOWN_SHARE),
        sqrt(sum(one**2 for one in apart) / count),
        sum(apart) / count,
        sum(interval_score(one.difference, one.half_width) / one.deviation for one in outcomes) / count,
        _learned(outcomes),
    )


def _of_axles(outcomes: Iterable[Outcome]) -> list[list[Outcome]]:
    """What stands or falls together: the numbers of one axle of one job."""
    return list(grouped(outcomes, lambda one: f"{one.job} {one.promised.key.partition('.')[0]}").values())


def _learned(outcomes: Iterable[Outcome]) -> float:
    """The correction, each axle of a job counted once."""
    return correction([sqrt(sum(one.apart_before**2 for one in group) / len(group)) for group in _of_axles(outcomes)])


def correction(apart: Sequence[float]) -> float:
    """By what bands are to be multiplied, ``√((8 + Σz²)/(8 + n))`` [-]; 1 where nothing was found yet.

    Args:
        apart: by how many deviations each promise was missed [-]
    """
    return sqrt((_KNOWN_BEFORE + sum(one**2 for one in apart)) / (_KNOWN_BEFORE + len(apart)))


def corrections(outcomes: Iterable[Outcome]) -> Mapping[str, float]:
    """By what the bands of each quantity are to be multiplied [-]; quantities never found are not there.

    Args:
        outcomes: all of them
    """
    return {name: _learned(group) for name, group in grouped(outcomes, lambda one: one.quantity).items()}


def grouped(outcomes: Iterable[Outcome], by: Callable[[Outcome], str]) -> dict[str, list[Outcome]]:
    """Outcomes in groups, in the order in which each group is met first.

    Args:
        outcomes: all of them
        by: what tells the groups apart; an empty text belongs to none
    """
    groups: dict[str, list[Outcome]] = {}
    for one in outcomes:
        name = by(one)
        if name:
            groups.setdefault(name, []).append(one)
    return groups
