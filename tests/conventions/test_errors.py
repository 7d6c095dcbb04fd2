"""Errors carry place, value, limit and next step; the texts are for people and are compared whole."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.conventions.errors import Impossible, InputError, InputProblems, JounceError, NotConverged, at, check_range


def test_message_with_all_its_parts() -> None:
    error = InputError(
        "The bar is too thick", found="225 mm", allowed="8 to 60 mm", todo="Check the unit.", place="car"
    )

    assert str(error) == "car: The bar is too thick; found 225 mm; allowed: 8 to 60 mm. Check the unit."
    assert (error.found, error.allowed, error.todo) == ("225 mm", "8 to 60 mm", "Check the unit.")


def test_plain_message_stays_as_it_is() -> None:
    assert str(JounceError("The linkage does not reach.")) == "The linkage does not reach."


def test_places_are_added_outermost_first() -> None:
    with pytest.raises(InputError) as caught, at("front left"), at("bump"):
        check_range("wheel travel", 87, -60, 75, "mm", "Lower the travel or lengthen the damper.")

    assert str(caught.value) == (
        "front left, bump: wheel travel is out of range; found 87 mm; allowed: -60 to 75 mm. "
        "Lower the travel or lengthen the damper."
    )


def test_other_errors_pass_untouched() -> None:
    with pytest.raises(ZeroDivisionError), at("front"):
        _ = 1 / 0


@pytest.mark.parametrize("kind", [InputError, Impossible, NotConverged])
def test_every_kind_is_a_jounce_error(kind: type[JounceError]) -> None:
    with pytest.raises(JounceError, match=r"^rear: No\.$"), at("rear"):
        raise kind("No.")


def test_problems_are_listed_with_their_places() -> None:
    problems = InputProblems([InputError("One", place="a"), InputError("Two", place="b")], place="car.toml")

    assert str(problems) == "car.toml: 2 problems found.\n  1. a: One\n  2. b: Two"
    assert str(InputProblems([InputError("One")])).startswith("1 problem found.")
    assert [problem.place for problem in problems.problems] == ["a", "b"]


@pytest.mark.parametrize("value", [-60, 0, 75])
def test_both_ends_belong_to_the_range(value: float) -> None:
    check_range("travel", value, -60, 75, "mm", "")


@pytest.mark.parametrize("value", [-60.001, 75.001, float("nan"), float("inf"), np.float64("nan")])
def test_outside_is_refused_and_nan_is_always_outside(value: float) -> None:
    with pytest.raises(InputError):
        check_range("travel", value, -60, 75, "mm", "")


def test_first_value_of_an_array_that_lies_outside_is_told() -> None:
    check_range("travel", np.array([[0.0, 75.0]]), -60, 75, "mm", "")
    with pytest.raises(InputError, match="found 80 mm"):
        check_range("travel", np.array([0.0, 80.0, -70.0]), -60, 75, "mm", "")


def test_open_ranges_read_well() -> None:
    with pytest.raises(InputError, match=r"allowed: 0 N or more\. Do\.$"):
        check_range("force", -1, 0, float("inf"), "N", "Do.")
    with pytest.raises(InputError, match=r"found 2; allowed: up to 1\. Do\.$"):
        check_range("share", 2, float("-inf"), 1, "-", "Do.")
