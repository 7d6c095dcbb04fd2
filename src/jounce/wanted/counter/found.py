"""A wish answered: the car as it is, the goals that the wish is, a search, and what it gives in plain words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field

from jounce.car.file.document import CarDocument
from jounce.case.case import Case
from jounce.checks.rules import RuleSet
from jounce.conventions.errors import Impossible
from jounce.job.document import JobDocument
from jounce.job.file import parse_job
from jounce.job.shelf_codes import lots_for
from jounce.quote.parts_named import parts_of_shelf
from jounce.search.build import SearchSpace, search_space
from jounce.search.run import NoChoice, Result, SearchWishes, search
from jounce.search.slots import SLOTS, USUAL_PLACES, Choosy, slot_named
from jounce.search.to_job import job_text
from jounce.search.workers import Workers
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf
from jounce.wanted.counter.answers import three_of
from jounce.wanted.counter.goals import goals_for
from jounce.wanted.counter.job import wish_text
from jounce.wanted.counter.today import nothing_done, today_of
from jounce.wanted.counter.wish import CounterWish

__all__ = ["Answered", "CounterAnswer", "Watch", "answered", "nothing_fits_words", "price_of_job"]

_PROOFS = 6
"""Packages worked out as whole jobs at most: somebody waits at the counter."""
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

    """

    names: tuple[str, ...]
    text: str
    parts: tuple[tuple[str, Part, int], ...]
    price: float
    currency: str
    hours: float
    case: Case


@dataclass(frozen=True, slots=True)
class Answered:
    """What came of a wish.

    Attributes:
        wish: what was asked for
        text: the job before a part is chosen, as its file
        places: places of the car in which parts were looked for
        answers: up to three; none where nothing on the shelf does it
        combinations: how many there are
        why: why there is no answer, in sentences; empty where there is one
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
    worked: Callable[[str], Case],
) -> Answered:
    """Answer a wish.

    Args:
        document: the car as measured
        rules: the shop's own rules
        shelf: its parts
        wish: what is asked for
        watch: who works, hears and stops
        worked: gives the case of a job by its file, so that who keeps cases keeps these too

    Raises:
        JounceError: the car finds no rest, or the search was stopped before it found anything
    """
    watch.tell(0.02, "looking at the car as it is")
    goals = goals_for(wish, today_of(nothing_done(document, rules)))
    text = wish_text(wish, goals)
    base = parse_job(text, "the job")
    places = _places(wish)
    wanted = SearchWishes(goals, wish.budget, rules, proofs=_PROOFS)
    try:
        places, result = _searched((document, base), shelf, places, wanted, watch)
    except NoChoice as none:
        why, help_ = nothing_fits_words(none)
        return Answered(wish, text, places, why=why, help=help_)
    except Impossible as impossible:
        if watch.stop():
            raise
        return Answered(wish, text, places, why=(str(impossible),), help=("Ask for less, and ask again.",))
    if not len(result.found.score):
        why, help_ = _none_left(result)
        return Answered(wish, text, places, combinations=result.combinations, why=why, help=help_)
    watch.tell(0.9, "working the answers out as whole jobs")
    answers = tuple(_answer(result, choice.number, choice.names, (shelf, worked, text)) for choice in three_of(result))
    return Answered(wish, text, places, answers, result.combinations)


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
                space, wanted, watch.workers, lambda share: watch.tell(0.1 + 0.8 * share, ""), watch.stop
            )
        except NoChoice as none:
            more = [name for name in none.opening if name not in places]
            if not more:
                raise
            places = (*places, *more)
    raise Impossible("No choice of parts was found in the places that were looked at.")


def _answer(
    result: Result, number: int, names: tuple[str, ...], of: tuple[Shelf, Callable[[str], Case], str]
) -> CounterAnswer:
    shelf, worked, text = of
    package = result.package(number)
    whole = job_text(text, result.space.job(package))
    job = parse_job(whole, "the job")
    price, currency, _ = price_of_job(job, shelf)
    case = worked(whole)
    _ = case.every_check
    parts = tuple(
        (slot.name, package[slot.name], lots_for(slot.pieces, package[slot.name].pieces))
        for slot in SLOTS
        if slot.name in package
    )
    return CounterAnswer(names, whole, parts, price, currency, result.hours(number), case)


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


def _none_left(result: Result) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Why a search that had choices tells none, and what would help."""
    if not result.proof.left_out:
        return ("Nothing can be had for this money.",), ("Allow more money, or ask for less.",)
    failed = tuple(dict.fromkeys(text for one in result.proof.worked.values() for text in one.parts))
    why = ("Every choice of parts fails once it is worked out as a whole job.", *failed[:3])
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
        why.append(f"{where}, whatever of the shelf is fitted: {_joined(told)}.")
        helps |= dict.fromkeys(f"{where}: {_PLAIN[limit][1]}." for limit in broken if limit in _PLAIN)
    return tuple(why), (*helps, "Or stand it higher.")


def _joined(words: Sequence[str]) -> str:
    return ", ".join(words[:-1]) + (" or " if len(words) > 1 else "") + words[-1] if words else "a hard limit is broken"


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
    "perch out of reach": ("the spring seat cannot be set so low", "a threaded seat, or a shorter spring"),
}
"""Each limit of the search: what is wrong, and what would mend it."""
