"""The solver against the closed form of the linear case, and against a general minimiser where the model bends."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq, least_squares, minimize
from scipy.stats import norm

from jounce.conventions.errors import Impossible, InputError, NotConverged
from jounce.fit.judgement import judged
from jounce.fit.least_squares import KnownBefore, Readings, SeenValues, fitted
from jounce.fit.next_reading import Candidates, after, knowledge_gains, next_steps, variance_gains
from jounce.fit.told_apart import learned

KNOWN = KnownBefore(np.array([1.0, -2.0, 0.5]), np.array([0.5, 0.2, 3.0]))
SLOPES = np.array([[1.0, 2.0, 0.0], [0.5, -1.0, 1.0], [0.0, 0.3, 2.0], [1.0, 1.0, 1.0], [2.0, 0.0, -1.0]])
READ = Readings(np.array([-2.7, 3.1, 0.6, -0.4, 1.2]), np.array([0.1, 0.3, 0.2, 0.5, 0.4]))


def all_but(k):
    return Readings(np.delete(READ.values, k), np.delete(READ.deviations, k))


def straight(at):
    return SeenValues(SLOPES @ at, SLOPES)


def bent(at):
    """Three readings of two unknowns that bend."""
    a, b = at
    values = np.array([a * np.exp(b), a + b**2, np.sin(a) * b])
    slopes = np.array([[np.exp(b), a * np.exp(b)], [1.0, 2 * b], [np.cos(a) * b, np.sin(a)]])
    return SeenValues(values, slopes)


BENT_KNOWN = KnownBefore(np.array([1.0, 0.3]), np.array([0.4, 0.3]))
BENT_READ = Readings(np.array([1.9, 1.4, 0.55]), np.array([0.05, 0.1, 0.08]))


def test_the_linear_case_is_the_closed_form_of_normal_distributions() -> None:
    """Mean = θ0 + K (y - A θ0), covariance = S - K A S, with gain K = S Aᵀ (A S Aᵀ + R)⁻¹."""
    fit = fitted(straight, KNOWN, READ)
    before, noise = np.diag(KNOWN.deviations**2), np.diag(READ.deviations**2)
    gain = before @ SLOPES.T @ np.linalg.inv(SLOPES @ before @ SLOPES.T + noise)

    assert fit.values == pytest.approx(KNOWN.values + gain @ (READ.values - SLOPES @ KNOWN.values), rel=1e-12)
    assert fit.covariance == pytest.approx(before - gain @ SLOPES @ before, rel=1e-10, abs=1e-14)
    assert fit.rounds == 1


def test_readings_that_share_an_error_are_those_of_their_joint_spread() -> None:
    """Closed form: generalised least squares with the whole spread; each miss is that of the reading left out."""
    shared = np.array([[0.2, 0.0], [0.1, 0.0], [0.0, 0.3], [0.1, 0.1], [0.0, 0.2]])
    read = Readings(READ.values, READ.deviations, shared)
    fit = fitted(straight, KNOWN, read)
    spread = np.diag(READ.deviations**2) + shared @ shared.T
    weights, prior = np.linalg.inv(spread), np.diag(KNOWN.deviations**-2)
    left = np.linalg.inv(SLOPES.T @ weights @ SLOPES + prior)
    best = KNOWN.values + left @ SLOPES.T @ weights @ (READ.values - SLOPES @ KNOWN.values)
    whole = spread + SLOPES @ np.diag(KNOWN.deviations**2) @ SLOPES.T
    miss = READ.values - SLOPES @ KNOWN.values

    assert fit.values == pytest.approx(best, rel=1e-9)
    assert fit.covariance == pytest.approx(left, rel=1e-9)
    assert fit.chi_square == pytest.approx(float(miss @ np.linalg.solve(whole, miss)), rel=1e-9)
    directions = np.linalg.svd(fit.scaled_slopes, compute_uv=False) ** 2
    assert (directions / (1 + directions)).sum() == pytest.approx(len(best) - np.trace(left @ prior), rel=1e-9)
    by_hand = np.linalg.solve(whole, miss) / np.sqrt(np.diag(np.linalg.inv(whole)))
    assert judged(fit).apart == pytest.approx(by_hand, rel=1e-8)


def test_chi_square_is_that_of_the_readings_beforehand() -> None:
    """The least sum of squares is (y - Aθ0)ᵀ (A S Aᵀ + R)⁻¹ (y - Aθ0): as many degrees of freedom as readings."""
    fit = fitted(straight, KNOWN, READ)
    spread = SLOPES @ np.diag(KNOWN.deviations**2) @ SLOPES.T + np.diag(READ.deviations**2)
    miss = READ.values - SLOPES @ KNOWN.values

    assert fit.chi_square == pytest.approx(float(miss @ np.linalg.solve(spread, miss)), rel=1e-12)


def test_each_reading_is_judged_as_a_fit_without_it_predicts_it() -> None:
    fit = fitted(straight, KNOWN, READ)
    told = judged(fit)
    for k in range(5):
        others = np.delete(np.arange(5), k)
        less = fitted(lambda at, others=others: SeenValues(SLOPES[others] @ at, SLOPES[others]), KNOWN, all_but(k))
        spread = np.hypot(READ.deviations[k], less.deviation(SLOPES[k]))
        expected = (READ.values[k] - SLOPES[k] @ less.values) / spread

        assert told.apart[k] == pytest.approx(expected, rel=1e-10)


def test_a_bent_model_ends_where_general_minimisers_end() -> None:
    fit = fitted(bent, BENT_KNOWN, BENT_READ, close=1e-10)

    def misses(at):
        read = (BENT_READ.values - bent(at).values) / BENT_READ.deviations
        return np.concatenate((read, (at - BENT_KNOWN.values) / BENT_KNOWN.deviations))

    one = least_squares(misses, BENT_KNOWN.values, xtol=1e-14, ftol=1e-14, gtol=1e-14)
    other = minimize(lambda at: float((misses(at) ** 2).sum()), BENT_KNOWN.values, method="Nelder-Mead",
                     options={"xatol": 1e-9, "fatol": 1e-12})  # fmt: skip

    assert fit.values == pytest.approx(one.x, abs=1e-7)
    assert fit.values == pytest.approx(other.x, abs=1e-6)
    assert fit.covariance == pytest.approx(np.linalg.inv(one.jac.T @ one.jac), rel=1e-5)
    assert fit.chi_square == pytest.approx(2 * one.cost, rel=1e-10)


@pytest.mark.parametrize("kind", [Impossible, InputError])
def test_a_step_to_where_the_model_cannot_be_is_halved(kind) -> None:
    def walled(at):
        if at[0] > 1.1:
            raise kind("beyond the wall")
        return bent(at)

    fit = fitted(walled, KnownBefore(np.array([0.3, 0.1]), np.array([4.0, 3.0])), BENT_READ, close=1e-8)

    assert fit.values[0] < 1.1
    assert fit.misses @ (bent(fit.values).slopes / BENT_READ.deviations[:, None]) == pytest.approx(
        fit.moved / fit.known.deviations, rel=1e-5
    )


def test_slopes_of_another_model_end_in_words() -> None:
    def wrong(at):
        return SeenValues(bent(at).values, -bent(at).slopes)

    with pytest.raises(NotConverged, match="suit the readings best"):
        fitted(wrong, BENT_KNOWN, BENT_READ)


def test_no_readings_leave_everything_as_it_was() -> None:
    fit = fitted(lambda _: SeenValues(np.zeros(0), np.zeros((0, 3))), KNOWN, Readings(np.zeros(0), np.zeros(0)))

    assert fit.values == pytest.approx(KNOWN.values)
    assert np.sqrt(np.diag(fit.covariance)) == pytest.approx(KNOWN.deviations)
    assert judged(fit).suspects == ()
    assert learned(fit).directions == ()


def test_what_a_further_reading_gives_is_what_a_fit_with_it_has() -> None:
    first = fitted(
        lambda at: SeenValues(SLOPES[:3] @ at, SLOPES[:3]), KNOWN, Readings(READ.values[:3], READ.deviations[:3])
    )
    answer = np.array([0.3, 1.0, -2.0])
    might = Candidates(SLOPES[3:], READ.deviations[3:], np.array([5.0, 10.0]))
    gains, brings = variance_gains(first.root, answer, might), knowledge_gains(first.root, might)
    for k in range(2):
        rows = [0, 1, 2, 3 + k]
        more = fitted(
            lambda at, rows=rows: SeenValues(SLOPES[rows] @ at, SLOPES[rows]),
            KNOWN,
            Readings(READ.values[rows], READ.deviations[rows]),
        )
        root = after(first.root, might.slopes[k], float(might.deviations[k]))

        assert first.deviation(answer) ** 2 - gains[k] == pytest.approx(more.deviation(answer) ** 2, rel=1e-10)
        assert root @ root.T == pytest.approx(more.covariance, rel=1e-9, abs=1e-14)
        assert brings[k] == pytest.approx(
            np.linalg.slogdet(first.covariance)[1] - np.linalg.slogdet(more.covariance)[1], rel=1e-9
        )


def test_the_next_readings_are_chosen_by_what_they_bring_in_a_minute() -> None:
    answer = np.array([1.0, 0.0])
    cheap = Candidates(np.array([[1.0, 0.0], [1.0, 0.0], [0.0, 1.0]]), np.ones(3), np.array([10.0, 2.0, 1.0]))
    steps = next_steps(np.eye(2), answer, cheap, 2)

    assert [step.number for step in steps] == [1, 1]
    assert [step.deviation for step in steps] == pytest.approx([np.sqrt(1 / 2), np.sqrt(1 / 3)])


def test_unknowns_that_readings_feel_alike_are_named_together() -> None:
    """Two unknowns enter as a sum only: one direction is learned, and neither of them alone."""
    slopes = np.array([[10.0, 10.0, 0.0], [5.0, 5.0, 0.0]])
    known = KnownBefore(np.zeros(3), np.ones(3))
    fit = fitted(lambda at: SeenValues(slopes @ at, slopes), known, Readings(np.array([1.0, 0.4]), np.ones(2)))
    told = learned(fit)

    assert told.alike == ((0, 1),)
    assert len(told.directions) == 1
    assert told.count == pytest.approx(250 / 251)
    assert [k for k, _ in told.directions[0].parts] == [0, 1]


def test_a_reading_that_misses_the_others_is_suspect() -> None:
    slopes = np.ones((6, 1))
    read = Readings(np.array([0.1, -0.1, 0.2, 8.0, 0.0, 0.1]), np.ones(6))
    told = judged(fitted(lambda at: SeenValues(slopes @ at, slopes), KnownBefore(np.zeros(1), np.array([10.0])), read))

    assert told.suspects == (3,)
    assert not told.belongs


def test_a_slip_is_told_from_chance_by_how_likely_each_makes_the_miss() -> None:
    """Densities of SciPy: a miss of chance has deviation 1, one of a slip of 12 deviations √(1 + 12² (1 - H))."""
    prior = np.array([0.05, 0.5, 30.0])
    slopes = np.eye(3)
    known = KnownBefore(np.zeros(3), prior)
    pull = prior**2 / (1 + prior**2)

    def suspect(number, z):
        value = np.zeros(3)
        value[number] = z / np.sqrt(1 - pull[number])  # by the file alone it misses by √(1 + prior²)
        return judged(fitted(lambda at: SeenValues(slopes @ at, slopes), known, Readings(value, np.ones(3))))

    for number in range(3):
        wide = np.sqrt(1 + 144 * (1 - pull[number]))
        odds = lambda z, wide=wide: norm.pdf(z, scale=wide) / norm.pdf(z)  # noqa: E731
        least = brentq(lambda z, odds=odds: odds(z) - 20, 1, 12)

        assert suspect(number, 0.999 * least).suspects == ()
        assert suspect(number, 1.001 * least).suspects == (number,)
        seen = suspect(number, 0.0).smallest_seen[number] * np.sqrt(1 - pull[number])
        assert norm.sf(least - seen) == pytest.approx(0.8, abs=1e-4)
    assert suspect(0, 0.0).smallest_seen[0] == pytest.approx(4.16, abs=0.01)


def of_one_number(values, prior=10.0):
    slopes = np.ones((len(values), 1))
    return judged(
        fitted(
            lambda at: SeenValues(slopes @ at, slopes),
            KnownBefore(np.zeros(1), np.array([prior])),
            Readings(np.array(values), np.ones(len(values))),
        )
    )


def test_two_readings_of_one_number_that_disagree_accuse_each_other() -> None:
    """Closed form: both miss by (y1 - y2) / √(2 + ...), with opposite signs; a third one says which."""
    assert sorted(of_one_number([8.0, 0.0]).suspects) == [0, 1]
    assert sorted(of_one_number([0.0, 8.0]).suspects) == [0, 1]
    assert of_one_number([8.0, 0.0, 0.3]).suspects == (0,)
    assert of_one_number([8.0, 0.0], prior=0.1).suspects == (0,), "the file says which"
    assert of_one_number([1.0, 0.0]).suspects == ()


def test_how_misses_go_together_is_what_a_fit_without_the_other_says() -> None:
    told = judged(fitted(straight, KNOWN, READ))
    for j in range(5):
        others = np.delete(np.arange(5), j)
        less = judged(fitted(lambda at, o=others: SeenValues(SLOPES[o] @ at, SLOPES[o]), KNOWN, all_but(j)))
        rho = told.together[others, j]
        by_both = (told.apart[others] - rho * told.apart[j]) / np.sqrt(1 - rho**2)

        assert by_both == pytest.approx(less.apart, rel=1e-9)
