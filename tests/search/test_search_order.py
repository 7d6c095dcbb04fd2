"""Which packages are worked out next, and what is told where none holds every check. No search is made."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from jounce.conventions.units import Kind
from jounce.search.pairs import FoundPairs, in_hand, kept_of
from jounce.search.proof import thought_to_fail
from jounce.search.result import Proof, Worked
from jounce.search.shown import not_held_words

FRONT_FIRST = "GRP-02 (Which end goes first at the limit of grip?)"


def worked(margin: float) -> Worked:
    return Worked(wishes=("GRP-02: the rear.",) if margin < 0 else (), margins={FRONT_FIRST: (margin, Kind.SHARE)})


def test_packages_are_thought_to_hold_a_check_where_its_margin_rises_to():
    """The margin grows with the front share alone, 0.2 of it, and is none at 0.52; the travel says nothing."""
    share = np.linspace(0.46, 0.54, 9)
    travel = np.array([3.0, 1.0, 2.0, 3.0, 1.0, 2.0, 1.0, 3.0, 2.0]) * 1e-2
    failing = thought_to_fail(
        {"front_share": share, "rear_free": travel}, {k: worked(0.2 * (share[k] - 0.515)) for k in (0, 2, 3)}
    )

    assert failing.tolist() == [1, 1, 1, 1, 1, 1, 0, 0, 0]


def test_what_was_worked_out_is_told_as_it_came_out_whatever_was_thought():
    failing = thought_to_fail({"front_share": np.array([0.46, 0.50, 0.54])}, {2: worked(-0.001), 0: worked(0.002)})

    assert failing[2] == 1
    assert failing[0] == 0


def test_a_package_that_holds_every_check_is_told_before_one_nearer_to_the_goals_that_fails_one():
    """The first two meet every goal and fail a check; the third misses a goal by 0.3 of a whole miss and fails none."""
    number = np.arange(3)
    score = np.array([0.0, 0.0, 0.09])
    found = FoundPairs(
        number, number, 0 * number, score, np.ones(3), np.array([1.0, 2.0, 3.0]), {}, np.array([1, 1, 0]), 3, 3
    )

    assert set(found.three().values()) == {2}
    assert found.price_front() == [0, 2]


def test_packages_with_most_in_hand_are_kept_beside_the_finest_and_the_cheapest():
    """Four meet every goal: one is the finest, one the cheapest, one has the most travel and load moved in front."""
    metrics = {name: np.array([1.0, 1.0, 2.0, 1.5]) for name in ("front_share", "front_free", "rear_free")}
    kept = kept_of(np.zeros(4), np.array([1.0, 2.0, 3.0, 4.0]), np.array([4.0, 1.0, 3.0, 2.0]), in_hand(metrics), 1)

    assert kept.tolist() == [0, 1, 2]


def told(*margins: float) -> list[str]:
    return not_held_words(SimpleNamespace(proof=Proof({(k, 0): worked(margin) for k, margin in enumerate(margins)})))


def test_the_check_that_none_holds_is_named_with_how_much_the_nearest_misses():
    assert told(-0.008, -0.002, -0.005) == [
        f"None of the 3 worked out holds {FRONT_FIRST}: the nearest one misses by 0.2 %."
    ]


@pytest.mark.parametrize("margins", [(), (-0.008, 0.001)])
def test_nothing_is_said_where_one_holds_or_none_was_worked_out(margins):
    assert told(*margins) == []


def test_how_much_the_nearest_misses_is_told_in_the_unit_set_that_is_shown():
    short = {"LDN-01 (Does it stay free?)": (-0.00254, Kind.LENGTH)}
    one = SimpleNamespace(proof=Proof({(0, 0): Worked(wishes=("LDN-01",), margins=short)}))

    assert "misses by 2.5 mm." in not_held_words(one)[0]
    assert "misses by 0.100 in." in not_held_words(one, "inch")[0]
