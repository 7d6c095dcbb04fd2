"""A wish answered: the car as it is, the goals that the wish is, a search, and what it gives in plain words."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace

from jounce.car.file.document import CarDocument
from jounce.case.case import Case
from jounce.checks.rules import RuleSet
from jounce.conventions.errors import Impossible
from jounce.conventions.units import MM, show
from jounce.job.document import JobDocument
from jounce.job.file import parse_job
from jounce.job.shelf_codes import lots_for
from jounce.quote.parts_named import parts_of_shelf
from jounce.search.build import SearchSpace, search_space
from jounce.search.goals import METRICS, Goal
from jounce.search.result import Result, SearchWishes
from jounce.search.run import NoChoice, search
from jounce.search.slots import SLOTS, USUAL_PLACES, Choosy, slot_named
from jounce.search.tasks import Run
from jounce.search.workers import Workers, workers_of
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf
from jounce.wanted.counter.answers import ToldPackage, three_of
from jounce.wanted.counter.eased import eased
from jounce.wanted.counter.goals import goals_for
from jounce.wanted.counter.job import wish_text
from jounce.wanted.counter.today import nothing_done, today_of
from jounce.wanted.counter.tried import Tried, tried_packages
from jounce.wanted.counter.wish import CounterWish

__all__ = ["Answered", "CounterAnswer", "Watch", "answered", "missed_words", "nothing_fits_words", "price_of_job"]

_KEPT = 120
"""Packages kept of each task by each mark: among many there are more kinds of work."""
_LESS_LOW = (0.75, 0.5, 0.25)
"""Shares of the wished height that are looked at where no choice of parts reaches it."""
_ROUNDS = 3
_BARS = ("second front roll bar", "inner bar")
_LOWERED = ("front stops", "rear stops")
"""Places that a lowered car is searched in besides the usual ones: bump rubbers end the travel."""


@dataclass(frozen=True, slots=True)
class CounterAnswer:
    """One of the answers.

    Attributes:
        names: why it is told, see `answers`
        text: the job that it is, as its file
        parts: place, part and how many lots of it are bought
        price: what the parts cost, in the shelf's currency [money]
        currency: of the price
        hours: of labour [h]
        case: the job worked out
        wish: the wish that it answers: what was asked for, or the same less low
        missed: what of the wish it does not reach, in sentences

    """

    names: tuple[str, ...]
    text: str
    parts: tuple[tuple[str, Part, int], ...]
    price: float
    currency: str
    hours: float
    case: Case
    wish: CounterWish
    missed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Answered:
    """What came of a wish.

    Attributes:
        wish: what was asked for
        text: the job before a part is chosen, as its file
        places: places of the car in which parts were looked for
        answers: up to three; none where nothing on the shelf does it
        combinations: how many there are
        why: why there is no answer as it was wished, in sentences; empty where there is one
        help: what would give one, in sentences

    """

    wish: CounterWish
    text: str
    places: tuple[str, ...]
    answers: tuple[CounterAnswer, ...] = ()
    combinations: int = 0
    why: tuple[str, ...] = ()
    help: tuple[str, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class Watch:
    """Who works, hears how far it is, and says when to stop.

    Attributes:
        workers: what works everything out; threads of this process where left out
        tell: told the share done and what is being done
        stop: asked whether to end

    """

    workers: Executor | Workers | None = None
    tell: Callable[[float, str], None] = lambda share, words: None  # noqa: ARG005
    stop: Callable[[], bool] = lambda: False


def answered(  # what an answer depends on, each by itself
    document: CarDocument,
    rules: RuleSet,
    shelf: Shelf,
    wish: CounterWish,
    watch: Watch,
    keep: Callable[[str, Case], None] = lambda text, case: None,  # noqa: ARG005
) -> Answered:
    """Answer a wish: with what fails no check, if need be less low; with what fails one only where nothing else is left.

    Args:
        document: the car as measured
        rules: the shop's own rules
        shelf: its parts
        wish: what is asked for
        watch: who works, hears and stops
        keep: told the case of each answer with its file, for who keeps cases

    Raises:
        JounceError: the car finds no rest, or the search was stopped before it found anything
    """
    watch.tell(0.02, "looking at the car as it is")
    today = nothing_done(document, rules)
    goals = goals_for(wish, today_of(today))
    with workers_of(watch.workers) as workers:
        asked = _CounterSearch(today, shelf, goals, replace(watch, workers=workers), workers)
        found = asked.answer(wish)
        if found.why and wish.lower > 0 and not watch.stop():
            found = asked.less_low(found)
    for one in found.answers:
        keep(one.text, one.case)
    return found


@dataclass(frozen=True, slots=True)
class _CounterSearch:
    """What every try of a wish has: the car as it is with the shop's rules, the shelf, the goals, who works."""

    today: Case
    shelf: Shelf
    goals: tuple[Goal, ...]
    watch: Watch
    workers: Workers

    def answer(self, wish: CounterWish) -> Answered:
        """Search for a wish, and try what is found."""
        text = wish_text(wish, self.goals)
        base = parse_job(text, "the job")
        places = _places(wish)
        wanted = SearchWishes(self.goals, wish.budget, self.today.rules, kept=_KEPT, proofs=0)
        try:
            places, result = _searched((self.today.car, base), self.shelf, places, wanted, self.watch)
        except NoChoice as none:
            why, help_ = nothing_fits_words(none)
            return Answered(wish, text, places, why=why, help=help_)
        except Impossible as impossible:
            if self.watch.stop():
                raise
            return Answered(wish, text, places, why=(str(impossible),), help=("Ask for less, and ask again.",))
        if not len(result.found.score):
            help_ = ("Allow more money, or ask for less.",)
            return Answered(wish, text, places, combinations=result.combinations, why=_TOO_DEAR, help=help_)
        tried = self._tried(result, text)
        told = [(one, wish) for one in three_of(tried)]
        if told and not told[0][0].one.fits and wish.lower > 0:
            less = eased(told[0][0].one, wish, self.today, self.goals, self._run(0.9, 1.0, "looking how low these fit"))
            if less is not None:
                package, lower = less
                told = [(ToldPackage(package, (FITS_LESS_LOW,)), lower), *told[:2]]
        if not told:
            why, help_ = _none_left(tried)
            return Answered(wish, text, places, combinations=result.combinations, why=why, help=help_)
        answers = tuple(self._told(result, one, of) for one, of in told)
        return Answered(wish, text, places, answers, result.combinations)

    def less_low(self, none: Answered) -> Answered:
        """Where nothing reaches the height, what is reached of it; why not all of it stays said."""
        for share in _LESS_LOW:
            lower = round(share * none.wish.lower / MM) * MM
            if self.watch.stop() or not 0 < lower < none.wish.lower:
                break
            self.watch.tell(0.1, f"nothing stands so low: looking {lower / MM:.0f} mm lower")
            found = self.answer(replace(none.wish, lower=lower))
            if found.answers:
                return replace(found, wish=none.wish, text=none.text, why=none.why, help=none.help)
            if not found.why or found.why == _TOO_DEAR:
                break
        return none

    def _tried(self, result: Result, text: str) -> list[Tried]:
        return tried_packages(result, text, self.today, self._run(0.6, 0.9, "working the likeliest out as whole jobs"))

    def _run(self, start: float, end: float, words: str) -> Run:
        self.watch.tell(start, words)
        return Run(self.workers, lambda share: self.watch.tell(start + (end - start) * share, ""), self.watch.stop)

    def _told(self, result: Result, package: ToldPackage, wish: CounterWish) -> CounterAnswer:
        one = package.one
        if one.case is None:
            raise Impossible("An answer was not worked out.")
        parts = result.package(one.number)
        price, currency, _ = price_of_job(parse_job(one.text, "the job"), self.shelf)
        bought = tuple(
            (slot.name, parts[slot.name], lots_for(slot.pieces, parts[slot.name].pieces))
            for slot in SLOTS
            if slot.name in parts
        )
        hours = result.hours(one.number)
        missed = missed_words(one.worked.numbers, self.goals)
        return CounterAnswer(package.names, one.text, bought, price, currency, hours, one.case, wish, missed)


_TOO_DEAR = ("Nothing can be had for this money.",)
"""Why there is no answer where parts would do it that cost too much: another height costs no less."""
FITS_LESS_LOW = "what fits of it"
"""What the answer is called that fits only less low."""


def missed_words(numbers: Mapping[str, float], goals: Sequence[Goal]) -> tuple[str, ...]:
    """What a job does not reach of its goals, in a sentence each.

    Args:
        numbers: what it reaches, by the names of `search.goals.METRICS` [SI]
        goals: what is asked for
    """
    told = []
    for goal in goals:
        value, metric = numbers.get(goal.metric, math.nan), METRICS[goal.metric]
        if math.isnan(value) or abs(goal.outside(value)) <= _SAME * metric.scale:
            continue
        label = f"{metric.label[0].upper()}{metric.label[1:]}"
        low, high = (show(edge, metric.kind) for edge in (goal.low, goal.high))
        told.append(f"{label} {show(value, metric.kind)}; {low} to {high} was asked for ({goal.reason}).")
    return tuple(told)


_SAME = 0.1
"""Share of a whole miss that nobody notices."""


def _places(wish: CounterWish) -> tuple[str, ...]:
    """The usual places; bump rubbers besides where it comes down, and no anti-roll bars for who asks for comfort."""
    asked = {*USUAL_PLACES, *(_LOWERED if wish.lower > 0 else ())} - {*(_BARS if wish.corner in {"0", "1"} else ())}
    return tuple(slot.name for slot in SLOTS if slot.name in asked)


def _searched(
    pair: tuple[CarDocument, JobDocument], shelf: Shelf, places: tuple[str, ...], wanted: SearchWishes, watch: Watch
) -> tuple[tuple[str, ...], Result]:
    """Search, and look in more places where that alone gives a choice."""
    document, base = pair
    for _ in range(_ROUNDS):
        space: SearchSpace = search_space(document, base, shelf, [slot_named(name) for name in places], Choosy())
        watch.tell(0.1, "judging parts that go together")
        try:
            return places, search(
                space, wanted, watch.workers, lambda share: watch.tell(0.1 + 0.5 * share, ""), watch.stop
            )
        except NoChoice as none:
            more = [name for name in none.opening if name not in places]
            if not more:
                raise
            places = (*places, *more)
    raise Impossible("No choice of parts was found in the places that were looked at.")


def price_of_job(job: JobDocument, shelf: Shelf) -> tuple[float, str, int]:
    """What the parts of a job cost that have a code and a price: the sum, its currency, and how many have no price.

    Args:
        job: the job
        shelf: the shelf

    Raises:
        InputProblems: a code that is not on the shelf
    """
    named = parts_of_shelf(job, shelf)
    currency = next((part.currency for part, _ in named if part.price is not None), "")
    total = sum(lots * (part.price or 0.0) for part, lots in named)
    return float(total), currency, sum(part.price is None for part, _ in named)


def _none_left(tried: Sequence[Tried]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Why a search that had choices tells none, and what would help."""
    failed = tuple(dict.fromkeys(text for one in tried for text in one.worked.parts))
    why = ("No choice of parts can be worked out as a whole job.", *failed[:3])
    return why, ("Ask for another height, or put other parts on the shelf.",)


def nothing_fits_words(none: NoChoice) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Why no choice of parts keeps the limits, and what would: sentences for both.

    Args:
        none: what the search says
    """
    why, helps = [], dict[str, None]()
    for axle, broken in none.broken.items():
        where = "In front" if axle == "front" else "Behind"
        told = [_PLAIN[limit][0] for limit in sorted(broken, key=lambda one: -broken[one]) if limit in _PLAIN]
        waiting = none.waiting.get(axle, 0)
        fitted = "is known to fit" if waiting else "is fitted"
        why.append(f"{where}, whatever of the shelf {fitted}: {_joined(told)}.")
        if waiting:
            parts = "1 part of the shelf was" if waiting == 1 else f"{waiting} parts of the shelf were"
            fits = "it fits" if waiting == 1 else "they fit"
            why.append(f"{where}, {parts} left out: it is not known whether {fits} this car.")
            helps[_MEASURE_FITS] = None
        helps |= dict.fromkeys(f"{where}: {_PLAIN[limit][1]}." for limit in broken if limit in _PLAIN)
    return tuple(why), (*helps, "Or stand it higher.")


def _joined(words: Sequence[str]) -> str:
    """What is broken, one by one: in the order of their numbers, which is any order."""
    return "; ".join(words) or "a hard limit is broken"


_MEASURE_FITS = "Measure where parts fit on this car: the shelf, with the car chosen, says what is not known of each."
_PLAIN: Mapping[str, tuple[str, str]] = {
    "bar stress at full bump": (
        "the torsion bar is stressed too far",
        "a thicker torsion bar, or a longer bump rubber",
    ),
    "spring loose before full droop": (
        "the spring comes loose when the wheel hangs",
        "a shorter damper, or a helper spring under a shorter spring",
    ),
    "coil bound before full bump": ("the coil goes solid", "a coil with more room between its turns"),
    "helper spring not solid where the car stands": ("the helper spring is not solid", "a softer helper spring"),
    "too little bump travel": (
        "too little bump travel is left",
        "a damper that closes shorter, or a lower bump rubber",
    ),
    "sits on its rubber": ("it sits on its bump rubber", "a damper that closes shorter, or a lower bump rubber"),
    "too little rebound travel": ("too little rebound is left", "a damper that opens further"),
    "tyre meets the arch before the bump ends": (
        "the tyre meets the arch",
        "a taller bump rubber, so that bump ends earlier",
    ),
    "leaf springs out of reach of the height": (
        "its leaves do not hold it at that height",
        "leaves of another camber, shackles of another length, or blocks",
    ),
    "perch out of reach": ("the spring seat cannot be set so low", "a threaded seat, or a shorter spring"),
}
"""Each limit of the search: what is wrong, and what would mend it."""
