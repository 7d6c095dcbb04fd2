"""What a search is asked for, and what it found: packages, and what came out of those worked out as whole jobs."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from jounce.checks.limits import CheckLimits
from jounce.checks.rules import NO_RULES, RuleSet
from jounce.conventions.units import Kind
from jounce.job.document import JobDocument
from jounce.search.build import SearchSpace
from jounce.search.goals import Goal
from jounce.search.pairs import FoundPairs
from jounce.search.slots import cost_of
from jounce.search.variants import AxleVariants, VariantLimits
from jounce.shelf.part import Part

_MOST_STEPS = 7


@dataclass(frozen=True, slots=True)
class Worked:
    """A package worked out as a whole job.

    Attributes:
        parts: checks of its parts that it fails, as sentences, each with the code of its check
        wishes: checks that it fails by what is wanted of the car, likewise
        unknown: codes of the checks that cannot be answered
        margins: how far each check of what is wanted holds, negative where it fails, by code and question [SI], with what
            it measures
        numbers: what it reaches, by the names of `goals.METRICS`; none where it could not be worked out [SI]

    """

    parts: tuple[str, ...] = ()
    wishes: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    margins: Mapping[str, tuple[float, Kind]] = field(default_factory=dict)
    numbers: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Proof:
    """What was worked out.

    Attributes:
        worked: what came out, by the package's wheels, front and rear variant
        left_out: packages that would have been told but fail a check of their parts

    """

    worked: Mapping[tuple[int, int, int], Worked] = field(default_factory=dict)
    left_out: int = 0

    def holds(self, pair: tuple[int, int, int]) -> bool:
        """Whether a package was worked out and no check of its parts failed.

        Args:
            pair: its wheels, front and rear variant
        """
        return pair in self.worked and not self.worked[pair].parts


@dataclass(frozen=True, slots=True)
class SearchWishes:
    """What a search is asked for.

    Attributes:
        goals: windows
        budget: most that the parts may cost, in the shelf's currency
        rules: the shop's own rules, and the limits that the checks hold to
        kept: packages kept of each task
        proofs: packages worked out as whole jobs at most before they are told, see `proof`; 0 for none

    """

    goals: tuple[Goal, ...]
    budget: float = np.inf
    rules: RuleSet = NO_RULES
    kept: int = 40
    proofs: int = 40

    @property
    def limits(self) -> CheckLimits:
        """What the checks hold to."""
        return self.rules.limits


@dataclass(frozen=True, slots=True)
class AxleSearch:
    """One axle in a search: all variants, their limits, and which of them are left to pair."""

    all: AxleVariants
    limits: VariantLimits
    left: AxleVariants


@dataclass(frozen=True, slots=True)
class Branch:
    """The search on one choice of wheels.

    Attributes:
        space: what packages are made of
        axles: front and rear

    """

    space: SearchSpace
    axles: tuple[AxleSearch, AxleSearch]

    @property
    def combinations(self) -> int:
        """How many packages there are, those that break a limit counted."""
        return len(self.axles[0].all) * len(self.axles[1].all)


@dataclass(frozen=True, slots=True)
class Result:
    """What a search found.

    Attributes:
        wanted: what was asked for
        branches: what was searched, one for each choice of wheels; the car's own first where they keep the limits
        combinations: how many packages there are, those that break a limit counted
        found: the packages kept, best first, and how many were judged and met every goal before any was worked out
        stopped: in words what was left undone when it was stopped before its end; empty when it was not
        proof: what was worked out as a whole job of it
        refused: choices that were not looked at, each with why

    """

    wanted: SearchWishes
    branches: tuple[Branch, ...]
    combinations: int
    found: FoundPairs
    stopped: str = ""
    proof: Proof = field(default_factory=Proof)
    refused: tuple[str, ...] = ()

    @property
    def space(self) -> SearchSpace:
        """What packages are made of, on the first of the wheels."""
        return self.branches[0].space

    @property
    def axles(self) -> tuple[AxleSearch, AxleSearch]:
        """Front and rear, on the first of the wheels."""
        return self.branches[0].axles

    @property
    def against_limits(self) -> int:
        """How many choices of one axle break a hard limit."""
        return sum(int((~axle.limits.kept).sum()) for branch in self.branches for axle in branch.axles)

    def package(self, number: int) -> dict[str, Part]:
        """Parts of a kept package, by slot."""
        branch, (front, rear) = self._branch(number), self._variants(number)
        own = branch.axles[0].left.parts(front) | branch.axles[1].left.parts(rear)
        return own | dict(branch.space.wheels)

    def hours(self, number: int) -> float:
        """Labour of a kept package [h]."""
        branch, (front, rear) = self._branch(number), self._variants(number)
        labour = branch.axles[0].left.hours[front] + branch.axles[1].left.hours[rear]
        return float(labour + cost_of(branch.space.wheels)[1])

    def pair(self, number: int) -> tuple[int, int, int]:
        """Which wheels, front and rear variant of a kept package."""
        return (int(self.found.branch[number]), *self._variants(number))

    def job(self, number: int) -> JobDocument:
        """The job that a kept package is."""
        return self._branch(number).space.job(self.package(number))

    def _branch(self, number: int) -> Branch:
        return self.branches[int(self.found.branch[number])]

    def _variants(self, number: int) -> tuple[int, int]:
        return int(self.found.front[number]), int(self.found.rear[number])

    def price_front(self) -> list[int]:
        """Kept packages that no cheaper one equals, the cheapest first."""
        return self.found.price_front()

    def three(self) -> dict[str, int]:
        """Good, better, best: the cheapest of the best score, the finest at half the way in price, the finest of all."""
        return self.found.three()

    def price_steps(self) -> list[int]:
        """Some of the price front, its two ends among them: what more money buys, few enough to read side by side."""
        front = self.price_front()
        if len(front) <= _MOST_STEPS:
            return front
        places = np.linspace(0, len(front) - 1, _MOST_STEPS).round().astype(int)
        return [front[k] for k in places]

    def told(self) -> list[int]:
        """Every kept package that is told by its parts: the three, and the steps of the price front."""
        return list(dict.fromkeys((*self.three().values(), *self.price_steps())))

    def worked(self, number: int) -> Worked | None:
        """What came out of a kept package as a whole job; None where it was not worked out."""
        return self.proof.worked.get(self.pair(number))

    def unproved(self) -> int:
        """How many of the packages that are told were not worked out: a stop came before."""
        return sum(self.worked(number) is None for number in self.told())

    def does_all(self, number: int) -> bool:
        """Whether a kept package was worked out as a whole job, meets every goal and fails no check."""
        done = self.worked(number)
        return done is not None and not done.parts and not done.wishes and float(self.found.score[number]) <= 0

    def numbers(self, number: int) -> dict[str, float | None]:
        """Every number of a kept package by its name, None where it is not known [SI]."""
        told = {name: float(values[number]) for name, values in self.found.metrics.items()}
        return {name: None if math.isnan(value) else value for name, value in told.items()}
