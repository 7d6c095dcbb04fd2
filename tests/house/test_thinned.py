"""The gate's share of long sweeps: every test stays in it, and over the whole suite every demo car."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import Any, cast

import pytest

from tests.house.places import ROOT
from tests.thinned import FEW, chosen, is_sweep, kept

CARS = ("brisk-14", "tansy-11", "yarrow-12", "sedge-13", "mallow-18", "fescue-10", "teasel-15", "burnet-17")


@dataclass(frozen=True)
class Test:
    """A test as pytest collects it."""

    __test__ = False
    nodeid: str
    marks: dict[str, pytest.Mark] = field(default_factory=dict, hash=False)

    def get_closest_marker(self, name: str) -> pytest.Mark | None:
        return self.marks.get(name)


def of_cases(function: str, cases: tuple[str, ...], mark: pytest.MarkDecorator | None = None) -> list[Test]:
    marks = {} if mark is None else {mark.name: mark.mark}
    return [Test(f"tests/a.py::{function}[{case}]", marks) for case in cases]


def stay(*tests: Test) -> list[str]:
    return [cast("Any", test).nodeid for test in kept(cast("Any", list(tests)))]


def test_of_a_sweep_over_demo_cars_a_few_cases_stay_in_their_order() -> None:
    cases = of_cases("test_b", CARS)
    left = stay(*cases)

    assert len(left) == FEW
    assert left == [case.nodeid for case in cases if case.nodeid in left]


def test_the_same_cases_stay_whatever_else_is_collected_and_in_whatever_order() -> None:
    cases = of_cases("test_b", CARS)

    assert set(stay(*cases)) == set(stay(*of_cases("test_a", CARS), *reversed(cases))) & {case.nodeid for case in cases}


def test_what_is_no_sweep_stays_whole() -> None:
    refusals = of_cases("test_refused", tuple(f"wrong {number}" for number in range(40)))
    whole = of_cases("test_each", CARS, pytest.mark.every_case)
    single = Test("tests/a.py::test_alone")

    assert stay(*refusals, *whole, single) == [test.nodeid for test in (*refusals, *whole, single)]


@pytest.mark.parametrize("few", [1, 2, 30])
def test_a_marked_sweep_keeps_as_many_as_it_says_and_never_none(few: int) -> None:
    cases = of_cases("test_pages", tuple("abcdefgh"), pytest.mark.sweep(few))

    assert len(stay(*cases)) == min(few, 8)


def test_of_quick_and_slow_cases_the_quick_ones_stay_and_of_slow_ones_alone_all() -> None:
    slow = of_cases("test_b", ("many",), pytest.mark.validation_slow)
    quick = of_cases("test_b", ("few",))
    alone = of_cases("test_c", ("many",), pytest.mark.validation_slow)

    assert stay(*quick, *slow, *alone) == [test.nodeid for test in (*quick, *alone)]


def test_cars_are_found_in_the_names_of_cases() -> None:
    assert is_sweep([f"tests/a.py::test_b[metric-{car}.toml-front]" for car in CARS])
    assert not is_sweep([f"tests/a.py::test_b[{car}]" for car in CARS[:FEW]])
    assert not is_sweep(
        [f"tests/a.py::test_b[{end}-brisk-14-{turn}]" for end in ("front", "rear") for turn in range(9)]
    )


def test_over_many_tests_every_case_is_met_many_times() -> None:
    """Of 100 tests that keep 3 of 13 cars each car is met 23 times on average; eight is four deviations below it."""
    cars = [f"car {number}" for number in range(13)]
    met = Counter(car for number in range(100) for car in chosen(f"test {number}", cars))

    assert set(met) == set(cars)
    assert min(met.values()) >= 8


def test_gate_and_validation_are_run_as_it_is_written() -> None:
    """The gate alone is thinned; what it leaves out is run by the other job of CI, which names no folder."""
    made = (ROOT / "Makefile").read_text("utf-8")
    recipes = {
        target: made.partition(f"\n{target}:")[2].partition("\n\n")[0] for target in ("test", "check", "validate")
    }

    assert "--thinned" in recipes["test"]
    assert "--thinned" in recipes["check"]
    assert recipes["validate"].splitlines()[1:] == ['\t$(PYTEST) -m "not endurance"']
    assert (ROOT / ".ci" / "validate").read_text("utf-8").rstrip().endswith("\nmake validate")
