"""Counts and chance beside a general statistics library, and the values that were worked out for the recipe."""

from __future__ import annotations

import pytest
from scipy import stats

from jounce.ledger.chance import at_least, at_most, share_interval


@pytest.mark.parametrize(("count", "printed", "digits"), [(14, 0.01125, 5), (15, 0.0432, 4), (16, 0.133, 3)])
def test_of_twenty_bands_of_nine_in_ten_so_few_hold_by_chance(count, printed, digits):
    assert round(at_most(count, 20, 0.9), digits) == printed


def test_tails_are_those_of_the_library():
    for of in (1, 7, 20, 250, 4000):
        for count in {0, 1, of // 2, int(0.87 * of), of - 1, of}:
            assert at_most(count, of, 0.9) == pytest.approx(stats.binom.cdf(count, of, 0.9), rel=1e-9, abs=1e-300)
            assert at_least(count, of, 0.9) == pytest.approx(stats.binom.sf(count - 1, of, 0.9), rel=1e-9, abs=1e-14)


def test_the_interval_of_a_share_is_the_exact_one():
    assert tuple(round(end, 3) for end in share_interval(14, 20)) == (0.492, 0.860)
    for count, of in ((14, 20), (1, 9), (0, 5), (5, 5), (180, 200)):
        told = stats.binomtest(count, of).proportion_ci(0.9, method="exact")
        assert share_interval(count, of) == pytest.approx((told.low, told.high), abs=1e-12)


@pytest.mark.parametrize(("share", "needed"), [(0.5, 8), (0.6, 13), (0.7, 25), (0.75, 40), (0.8, 78)])
def test_so_many_checks_are_needed_to_see_that_bands_are_too_narrow(share, needed):
    """One-sided test at one in twenty that sees it four times in five: the fewest from which it does."""

    def power(of):
        alarmed = [k for k in range(of + 1) if at_most(k, of, 0.9) <= 0.05]
        return at_most(alarmed[-1], of, share) if alarmed else 0.0

    assert power(needed) >= 0.8
    assert all(power(of) < 0.8 for of in range(1, needed))


def test_a_sound_ledger_hardly_ever_raises_the_alarm_and_a_bad_one_soon_does():
    """By the exact law of the count after each job, those that had raised it taken out."""

    def raised(share, within):
        still = {0: 1.0}
        for of in range(1, within + 1):
            after = dict.fromkeys(range(of + 1), 0.0)
            for count, chance in still.items():
                after[count] += (1 - share) * chance
                after[count + 1] += share * chance
            still = {k: chance for k, chance in after.items() if of < 5 or at_most(k, of, 0.9) >= 0.01}
        return 1 - sum(still.values())

    assert raised(0.9, 60) < 0.05
    assert raised(0.6, 20) > 0.85
