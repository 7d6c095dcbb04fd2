"""Whether something came out differently since a day: a gauge dropped, an arch edge read elsewhere, scales that drifted.

Numbers of one job share their errors, so each job counts once, by its mean with the deviation of a single number. For
every day on which the jobs may be cut in two, the difference of both weighted means is held against its deviation; the
largest one is told where chance would bring it in less than one of two hundred cases, all cuts counted (Bonferroni). Where
the jobs scatter about both means by more than their ± say, a tape or a gauge whose ± was told too narrow, they are taken to
be as unsure as they scatter, with Student's law: bands that are too narrow are no drift. Method:
D. V. Hinkley, Inference about the change-point in a sequence of random variables, Biometrika 57 (1970) 1 (quoted from
memory).
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

from scipy.special import stdtr

from jounce.conventions.units import Kind
from jounce.ledger.account import grouped
from jounce.ledger.outcome import Outcome

__all__ = ["Drift", "drift_of"]

_FEWEST = 3
"""Jobs that there must be before and after."""
_BY_CHANCE = 0.005


@dataclass(frozen=True, slots=True)
class Drift:
    """A quantity that comes out otherwise since a day.

    Attributes:
        place: axle and quantity, ``front height``
        kind: what it measures
        since: the day of the first job after the change
        before: mean of found less promised until then [SI]
        after: the same from then on [SI]
        jobs: how many since
        chance: probability of as much by chance alone [-]

    """

    place: str
    kind: Kind
    since: datetime.date
    before: float
    after: float
    jobs: int
    chance: float


@dataclass(frozen=True, slots=True)
class _OfJob:
    """One job's mean of found less promised, with its deviation [SI]."""

    when: datetime.date
    mean: float
    deviation: float


def drift_of(outcomes: Sequence[Outcome]) -> Drift | None:
    """The clearest change of one quantity of one axle; None where chance explains what there is.

    Args:
        outcomes: of that quantity
    """
    jobs = sorted(
        (_of_job(group) for group in grouped(outcomes, lambda one: one.job).values()), key=lambda one: one.when
    )
    cuts = [k for k in range(_FEWEST, len(jobs) - _FEWEST + 1) if jobs[k - 1].when < jobs[k].when]
    best: Drift | None = None
    for cut in cuts:
        (before, sure_before), (after, sure_after) = _mean(jobs[:cut]), _mean(jobs[cut:])
        size = abs(after - before) / sqrt(1 / sure_before + 1 / sure_after)
        left = len(jobs) - 2
        scatter = sqrt((_squares(jobs[:cut], before) + _squares(jobs[cut:], after)) / left)
        tail = NormalDist().cdf(-size) if scatter <= 1 else float(stdtr(left, -size / scatter))
        chance = min(1.0, 2 * tail * len(cuts))
        if chance < _BY_CHANCE and (best is None or chance < best.chance):
            first = outcomes[0]
            best = Drift(first.place, first.promised.kind, jobs[cut].when, before, after, len(jobs) - cut, chance)
    return best


def _of_job(group: Sequence[Outcome]) -> _OfJob:
    count = len(group)
    mean, wide = (sum(of) / count for of in ([one.difference for one in group], [one.deviation for one in group]))
    return _OfJob(min(one.when for one in group), mean, wide)


def _squares(jobs: Sequence[_OfJob], mean: float) -> float:
    """Sum of squares about a mean, in the jobs' own deviations [-]."""
    return sum(((one.mean - mean) / one.deviation) ** 2 for one in jobs)


def _mean(jobs: Sequence[_OfJob]) -> tuple[float, float]:
    """Weighted mean, and one over its variance."""
    weights = [one.deviation**-2 for one in jobs]
    return sum(weight * one.mean for weight, one in zip(weights, jobs, strict=True)) / sum(weights), sum(weights)
