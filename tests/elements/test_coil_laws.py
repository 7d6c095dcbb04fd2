"""Springs of any law, alone and stacked: proved by nature and by a second method."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from jounce.conventions.errors import InputError
from jounce.elements.law import OneSided, Shifted, SpringLaw
from jounce.elements.piecewise import monotone_cubic
from jounce.elements.springs.coil_spring import CoilSpring, Turns, two_rates
from jounce.elements.springs.coil_stack import Stack, compressions, solid, stack_law
from jounce.elements.springs.curve_stack import CurveStack
from jounce.elements.springs.progressive import ConstantFrequency, ProgressiveCurve, SpringCurve
from jounce.elements.springs.stepped import SteppedRate
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP

POINTS, WEIGHTS = np.polynomial.legendre.leggauss(24)


class Case(NamedTuple):
    """A law and the displacements at which one of its pieces ends, in rising order."""

    law: SpringLaw
    knots: list[float]


def _numbers(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_subnormal=False)


RATES, TRAVELS = _numbers(2e3, 1e5), _numbers(0.01, 0.15)
MEMBERS = st.lists(st.builds(Turns, RATES, TRAVELS), min_size=1, max_size=4)


def _stepped(members: list[Turns]) -> Case:
    law = stack_law(members)
    return Case(law, [float(part.start) for part in law.laws])


def _two(first: float, more: float, change: float) -> Case:
    return Case(stack_law(two_rates(first, first * more, change)), [0.0, change])


def _curve(steps: list[float], rises: list[float]) -> Case:
    x = np.append(0.0, np.cumsum(steps))
    return Case(SpringCurve(x, np.append(0.0, np.cumsum(rises))), x.tolist())


def _constant(rate: float, length: float) -> Case:
    return Case(ConstantFrequency(rate, length), [0.0, length])


def _with_helpers(main: Case, others: list[Turns]) -> Case:
    """Knots where the main spring's curve has one and where a helper goes solid."""
    law = CurveStack(main.law, tuple(others))
    forces = [*main.law.force(np.array(main.knots)), *(float(m.rate) * float(m.travel) for m in others)]
    return Case(law, sorted(float(law.displacement_at(np.array(f))) for f in forces))


def _shifted(case: Case, by: float) -> Case:
    return Case(Shifted(case.law, by), [knot - by for knot in case.knots])


CURVES = st.integers(1, 5).flatmap(
    lambda n: st.builds(
        _curve,
        st.lists(_numbers(0.01, 0.04), min_size=n, max_size=n),
        st.lists(_numbers(100.0, 2e3), min_size=n, max_size=n),
    )
)
CONSTANT = st.builds(_constant, RATES, _numbers(0.05, 0.2))
PLAIN = st.one_of(st.builds(_stepped, MEMBERS), st.builds(_two, RATES, _numbers(1.1, 4), TRAVELS), CURVES, CONSTANT)
STACKED = st.builds(_with_helpers, st.one_of(CURVES, CONSTANT), MEMBERS)
ANY = st.one_of(PLAIN, STACKED, st.builds(_shifted, st.one_of(PLAIN, STACKED), _numbers(-0.05, 0.1)))


def _integral(function: Callable[[Array], Array], low: float, high: float) -> float:
    """Gauss over eight parts: a stack with a curve is no polynomial, and bends sharply where the curve is nearly level."""
    edges = np.linspace(low, high, 9)
    half = 0.5 * np.diff(edges)[:, None]
    return float(np.sum(half * WEIGHTS * function(edges[:-1, None] + half * (1 + POINTS))))


@settings(max_examples=60, deadline=None)
@given(ANY)
def test_energy_is_the_work_of_the_force_and_force_that_of_the_stiffness(case: Case):
    law, edges = case.law, [case.knots[0] - 0.02, *case.knots, case.knots[-1] + 0.02]
    for low, high in pairwise(edges):
        if high - low < 1e-9:
            continue
        ends = np.array([low, high])
        force, energy = law.force(ends), law.energy(ends)

        assert _integral(law.force, low, high) == pytest.approx(energy[1] - energy[0], rel=1e-9, abs=1e-12 * energy[1])
        assert _integral(law.stiffness, low, high) == pytest.approx(force[1] - force[0], rel=1e-9, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(ANY, st.floats(1e-3, 1.2))
def test_the_displacement_under_a_force_is_where_the_law_has_it(case: Case, share: float):
    law, start = case.law, float(np.asarray(case.law.start))
    x = np.array(start + share * (case.knots[-1] + 0.02 - start))

    assert float(law.displacement_at(law.force(x))) == pytest.approx(float(x), rel=1e-11, abs=1e-12)
    assert float(law.displacement_at(np.array(0.0))) == pytest.approx(start, abs=1e-15)
    assert float(law.force(np.array(start - 0.01))) == 0.0
    assert float(law.displacement_at(np.array(-50.0))) < start


@settings(max_examples=60, deadline=None)
@given(ANY, st.floats(0.05, 1.1))
def test_an_imaginary_perturbation_carries_the_slope_through(case: Case, share: float):
    law, start = case.law, float(np.asarray(case.law.start))
    x = start + share * (case.knots[-1] - start + 0.02)
    assume(min(abs(x - knot) for knot in case.knots) > 1e-6)
    moved = np.array([x + 1j * STEP])
    force = law.force(moved)

    assert law.energy(moved)[0].imag / STEP == pytest.approx(force[0].real, rel=1e-10)
    assert force[0].imag / STEP == pytest.approx(float(law.stiffness(np.array([x]))[0]), rel=1e-10)
    assert law.displacement_at(force)[0] == pytest.approx(moved[0], rel=1e-10)
    assert law.displacement_at(force)[0].imag / STEP == pytest.approx(1.0, rel=1e-8)


@settings(max_examples=40, deadline=None)
@given(
    st.one_of(CURVES, CONSTANT), MEMBERS, st.integers(0, 3), st.sampled_from(["rate", "travel"]), st.floats(0.1, 1.2)
)
def test_a_helper_s_own_numbers_carry_a_perturbation_through(
    main: Case, others: list[Turns], which: int, name: str, share: float
):
    """Beside a central difference; a helper near its block is left out, where the slope has a step."""
    which %= len(others)
    one = others[which]
    x = np.array([share * _with_helpers(main, others).knots[-1]])

    def force(change: complex) -> Array:
        parts = {"rate": one.rate, "travel": one.travel}
        parts[name] = parts[name] * (1 + change)
        members = [*others[:which], Turns(**parts), *others[which + 1 :]]
        return CurveStack(main.law, tuple(members)).force(x)

    assume(min(abs(float(x[0]) - knot) for knot in _with_helpers(main, others).knots) > 1e-3)
    h = 1e-6
    by_difference = float((force(h) - force(-h))[0]) / (2 * h)

    assert force(1j * STEP)[0].imag / STEP == pytest.approx(by_difference, rel=2e-4, abs=1e-4)


@settings(deadline=None)
@given(MEMBERS, st.randoms(use_true_random=False), st.floats(0, 1.2))
def test_the_order_of_a_stack_does_not_matter(members: list[Turns], random, share: float):
    shuffled = list(members)
    random.shuffle(shuffled)
    x = np.array(share * sum(float(m.travel) for m in members))
    one, other = (stack_law(each) for each in (members, shuffled))

    assert float(one.force(x)) == pytest.approx(float(other.force(x)), rel=1e-11, abs=1e-9)
    assert float(one.energy(x)) == pytest.approx(float(other.energy(x)), rel=1e-11, abs=1e-12)


@settings(deadline=None)
@given(st.lists(RATES, min_size=1, max_size=4), _numbers(0.001, 0.2))
def test_members_that_never_go_solid_are_springs_in_series(rates: list[float], x: float):
    law = stack_law([Turns(rate) for rate in rates])

    assert len(law.laws) == 1
    assert float(law.stiffness(np.array(x))) == pytest.approx(1 / sum(1 / rate for rate in rates), rel=1e-13)


@settings(deadline=None)
@given(RATES, MEMBERS, st.floats(0, 1.5))
def test_a_linear_main_spring_may_be_told_as_a_curve(rate: float, others: list[Turns], share: float):
    """Two methods: the sum of one-sided laws, and the search for the main spring's own compression."""
    stepped, searched = stack_law([Turns(rate), *others]), CurveStack(OneSided(rate), tuple(others))
    x = np.array(share * 2 * float(searched.displacement_at(np.array(rate * 0.05))))

    assert float(searched.force(x)) == pytest.approx(float(stepped.force(x)), rel=1e-11, abs=1e-9)
    assert float(searched.energy(x)) == pytest.approx(float(stepped.energy(x)), rel=1e-11, abs=1e-12)


@settings(deadline=None)
@given(MEMBERS, _numbers(0, 2e4))
def test_a_stack_s_compression_is_the_sum_of_its_members(members: list[Turns], force: float):
    strongest = max(float(m.rate) * float(m.travel) for m in members)
    assume(force < strongest)
    each = compressions(members, force)

    assert float(stack_law(members).displacement_at(np.array(force))) == pytest.approx(each.sum(), rel=1e-11, abs=1e-15)
    assert [bool(s) for s in solid(members, force)] == [force >= float(m.rate) * float(m.travel) for m in members]


@settings(deadline=None)
@given(RATES, _numbers(1.05, 5), TRAVELS, st.floats(0, 2))
def test_two_rates_are_what_was_asked_for(first: float, more: float, change: float, share: float):
    law = stack_law(two_rates(first, first * more, change))
    x = share * change
    by_hand = first * min(x, change) + first * more * max(x - change, 0)

    assert float(law.force(np.array(x))) == pytest.approx(by_hand, rel=1e-10, abs=1e-9)


def test_variants_come_out_as_one_by_one():
    rates, travels, x = np.array([4e3, 5e3, 9e3]), np.array([0.03, 0.04, 0.05]), np.array([0.05, 0.08, 0.12])
    curve = SpringCurve(np.array([0.05, 0.10]), np.array([700.0, 2000.0]))
    for build in (
        lambda rate, travel: stack_law([Turns(25e3), Turns(rate, travel)]),
        lambda rate, travel: CurveStack(curve, (Turns(rate, travel),)),
        lambda rate, travel: ConstantFrequency(rate, travel + 0.02),
    ):
        together, alone = (
            build(rates, travels),
            [build(rate, travel) for rate, travel in zip(rates, travels, strict=True)],
        )
        for name in ("energy", "force", "stiffness"):
            expected = [float(getattr(law, name)(np.array(at))) for law, at in zip(alone, x, strict=True)]
            assert getattr(together, name)(x) == pytest.approx(expected, rel=1e-13)
        force = together.force(x)
        assert together.displacement_at(force) == pytest.approx(x, rel=1e-12)


def test_a_constant_frequency_has_no_step_where_it_begins():
    spring = ConstantFrequency(20e3, 0.15)
    around = np.array([0.15 - 1e-9, 0.15 + 1e-9])

    assert np.diff(spring.force(around))[0] == pytest.approx(20e3 * 2e-9, rel=1e-6)
    assert np.diff(spring.stiffness(around))[0] == pytest.approx(0.0, abs=1e-3)


def test_a_curve_that_bends_down_to_nothing_still_rises():
    """PCHIP alone would end level, and the last load would have no one compression."""
    spring = SpringCurve(np.array([0.01, 0.02, 0.03]), np.array([1000.0, 1900.0, 1910.0]))
    x = np.linspace(0, 0.05, 501)

    assert np.all(np.diff(spring.force(x)) > 0)
    assert spring.stiffness(np.array(0.04)) == pytest.approx(0.5 * 10 / 0.01, rel=1e-9)


def test_two_springs_that_go_solid_together_are_one_step():
    law = stack_law([Turns(10e3, 0.02), Turns(20e3, 0.01), Turns(5e3)])

    assert isinstance(law, SteppedRate)
    assert law.stiffness(np.array([0.05, 0.08])) == pytest.approx([1 / (1e-4 + 5e-5 + 2e-4), 5e3], rel=1e-12)


@pytest.mark.parametrize(
    ("build", "text"),
    [
        (lambda: SpringCurve(np.array([0.01, 0.02]), np.array([100.0, 100.0])), "must rise from no force"),
        (lambda: SpringCurve(np.array([0.0, 0.02]), np.array([10.0, 100.0])), "must rise from no force"),
        (lambda: SpringCurve(np.array([0.01]), np.array([10.0, 100.0])), "do not pair up"),
        (lambda: two_rates(20e3, 20e3, 0.05), "must be larger than the first"),
        (lambda: Turns(0.0), "spring rate"),
        (lambda: stack_law([]), "no springs"),
        (lambda: Stack(()), "no springs"),
        (lambda: ConstantFrequency(20e3, 3.0), "static deflection"),
    ],
)
def test_what_no_spring_is_is_refused(build: Callable[[], object], text: str):
    with pytest.raises(InputError, match=text):
        build()


def test_a_stack_of_springs_knows_its_lengths():
    stack = Stack((CoilSpring(30e3, 0.25, 0.1), CoilSpring(4e3, 0.07, 0.02)))

    assert stack.free_length == pytest.approx(0.32)
    assert stack.force_at_length(0.27) == pytest.approx(0.05 / (1 / 30e3 + 1 / 4e3), rel=1e-12)


def test_rubber_s_curve_has_an_inverse_too():
    curve = ProgressiveCurve(monotone_cubic(np.array([0.0, 0.01, 0.02]), np.array([0.0, 100.0, 1000.0])))
    x = np.array([0.002, 0.012, 0.03])

    assert curve.displacement_at(curve.force(x)) == pytest.approx(x, rel=1e-11)
