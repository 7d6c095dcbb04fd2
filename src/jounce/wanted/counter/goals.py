"""Plain wishes as goals of the package search: each word has one rule, written here as a table.

Every rule is common practice, no source: how much more wheel rate a driver calls firmer, how much less lean is felt, and
how much travel a use asks for. A rule is told against the car as it is, so that it means the same on every car.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from jounce.conventions.units import MM
from jounce.search.goals import Goal
from jounce.wanted.counter.today import Today
from jounce.wanted.counter.wish import CORNERS, FEELS, USES, CounterWish

__all__ = ["RULES_WORDS", "goals_for", "wheel_rate_window"]

_RATES: Mapping[str, tuple[float, float]] = {"softer": (0.70, 0.90), "same": (0.90, 1.20), "firmer": (1.20, 1.70)}
"""Wheel rate in that of today, least and most [-]; common practice, no source."""
_LEANS: Mapping[str, tuple[float, float]] = {
    "0": (0.75, 1.10),
    "1": (0.65, 1.00),
    "2": (0.55, 0.90),
    "3": (0.45, 0.80),
    "4": (0.35, 0.70),
}
"""Lean in a bend in that of today, least and most, before what the springs do to it [-]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class _Use:
    """Travel that a use asks for, and how the balance may move; common practice, no source.

    ``bump`` until something is solid, ``free`` until the rubber [m]; ``share`` of load moved in front, least and most
    more than today [-].
    """

    bump: float
    free: float
    share: tuple[float, float]


_TRAVEL: Mapping[str, _Use] = {
    "everyday": _Use(60 * MM, 15 * MM, (-0.02, 0.05)),
    "brisk": _Use(50 * MM, 12 * MM, (-0.04, 0.04)),
    "club": _Use(45 * MM, 10 * MM, (-0.06, 0.03)),
}
_LADEN_RATE = 1.10
"""How much more wheel rate the rear is asked for where people and luggage ride along [-]; common practice, no source."""
_LADEN_TRAVEL: Mapping[str, float] = {"front": 5 * MM, "rear": 10 * MM}
"""How much more travel is asked for, likewise [m]; common practice, no source."""
_ROOM_ABOVE: Mapping[str, float] = {"bump": 100 * MM, "free": 60 * MM}
"""How far a window of travel goes up from its least [m]."""
_LEAST_SHARE, _MOST_SHARE = 0.05, 0.95

RULES_WORDS: tuple[str, ...] = (
    "Softer is 10 to 30 % less wheel rate than today, firmer 20 to 70 % more, as it is anything between; tyres left out.",
    "Lean in a bend, in that of today: comfort 75 to 110 %, each step to corners 10 % less, to 35 to 70 %.",
    "What other springs do to the lean by themselves is allowed besides.",
    "Bump travel asked for: every day 60 mm, brisk road 50 mm, club days 45 mm; to the rubbers 15, 12 and 10 mm.",
    "Laden: the rear 10 % firmer, and 10 mm more travel behind, 5 mm in front.",
    "With everybody and all luggage aboard the bump rubbers stay free, whatever is wished.",
    "Common practice, no source. The search takes what comes nearest.",
)
"""The rules as they are told."""


def wheel_rate_window(wish: CounterWish, axle: str) -> tuple[float, float]:
    """Least and most wheel rate of an axle, in that of today, tyre left out [-].

    Args:
        wish: what is asked for
        axle: "front" or "rear"
    """
    low, high = _RATES[wish.feel]
    more = _LADEN_RATE if wish.laden and axle == "rear" else 1.0
    return low * more, high * more


def goals_for(wish: CounterWish, today: Today) -> tuple[Goal, ...]:
    """The goals that a wish is on a car; a number that is not known of the car today gives none.

    Ride frequencies go with the root of the ride rate, the wheel rate with the tyre in series: ``f = f0·sqrt(k/k0)``.

    Args:
        wish: what is asked for
        today: the car as it is
    """
    goals = [*(_frequency(wish, today, axle) for axle in ("front", "rear")), _lean(wish, today), _balance(wish, today)]
    for axle in ("front", "rear"):
        goals += [_travel(wish, today, axle, which) for which in ("bump", "free")]
    return tuple(goal for goal in goals if goal is not None)


def _frequency(wish: CounterWish, today: Today, axle: str) -> Goal | None:
    name = f"{axle}_frequency"
    found, rate, tyre = today.numbers[name], today.rates[axle], today.tyres[axle]
    if not found > 0:
        return None

    def with_tyre(wheel: float) -> float:
        return 1 / (1 / wheel + 1 / tyre)

    softest, firmest = wheel_rate_window(wish, axle)
    reason = f"{FEELS[wish.feel]} on the springs{', for people and luggage' if wish.laden and axle == 'rear' else ''}"
    least = _least_rate(wish, today, axle)
    if least > softest:
        reason += ", and off the road with everybody aboard"
        softest, firmest = least, max(firmest, least * _SPAN)
    low, high = (found * math.sqrt(with_tyre(rate * by) / with_tyre(rate)) for by in (softest, firmest))
    return Goal(name, low, high, 1.0, reason)


_SPAN = 1.15
"""A window of wheel rates goes up so far from its least at the least: shelves have no spring for a narrower one."""
_MOST_FIRMER = 2.0


def _least_rate(wish: CounterWish, today: Today, axle: str) -> float:
    """Wheel rate, in that of today, on which the lowest point keeps its clearance with people and luggage [-].

    ``s = s0·k0/k``; beyond twice today's rate no spring is asked to do it, and the height is looked for that is possible.
    """
    sink, room = today.sinks.get(axle, 0.0), today.room_below - wish.lower
    least = sink / room if room > 0 else math.inf
    return least * _A_LITTLE if least <= _MOST_FIRMER else 0.0


_A_LITTLE = 1.03
"""For what whole teeth and turns leave undone."""


def _lean(wish: CounterWish, today: Today) -> Goal | None:
    found = today.numbers["roll_gradient"]
    if not found > 0:
        return None
    low, high = _LEANS[wish.corner]
    softest = min(wheel_rate_window(wish, axle)[0] for axle in ("front", "rear"))
    firmest = max(wheel_rate_window(wish, axle)[1] for axle in ("front", "rear"))
    # Springs alone lean the car by no more than the inverse of their rates: so much is no contradiction of the wish.
    return Goal(
        "roll_gradient",
        found * low * min(1.0, 1 / firmest),
        found * high * max(1.0, 1 / softest),
        1.0,
        f"comfort or corners: {CORNERS[wish.corner]}",
    )


def _balance(wish: CounterWish, today: Today) -> Goal | None:
    found = today.numbers["front_share"]
    if math.isnan(found):
        return None
    less, more = _TRAVEL[wish.use].share
    low, high = (min(max(found + by, _LEAST_SHARE), _MOST_SHARE) for by in (less, more))
    return Goal("front_share", low, high, 0.5, "steers as it does today")


def _travel(wish: CounterWish, today: Today, axle: str, which: str) -> Goal | None:
    name = f"{axle}_{which}"
    use = _TRAVEL[wish.use]
    least = (use.bump if which == "bump" else use.free) + (_LADEN_TRAVEL[axle] if wish.laden else 0.0)
    found = today.numbers[name]
    reason = f"travel for {USES[wish.use]}{', laden' if wish.laden else ''}"
    if which == "free" and (aboard := _free_laden(wish, today, axle)) > least:
        least, reason = aboard, "off the rubbers with people and luggage aboard"
    most = least + _ROOM_ABOVE[which]
    if math.isfinite(found):
        most = max(most, found)  # a car that has more today may keep it
    return Goal(name, least, most, 1.0, reason)


def _free_laden(wish: CounterWish, today: Today, axle: str) -> float:
    """Travel to the rubber that people and luggage leave some of, on the middle of the rates asked for [m].

    A load brings a wheel down by as much less as its rate is more, ``s = s0·k0/k``.
    """
    sink = today.sinks.get(axle)
    if sink is None:
        return 0.0
    more = _LADEN_TRAVEL[axle] if wish.laden else 0.0
    return sink / math.sqrt(math.prod(wheel_rate_window(wish, axle))) + today.least_free + more
