"""A typed value is short when it is searched: blanks and length cost no time."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from jounce.car.file.quantity import read_measured
from jounce.car.file.reading import read_car
from jounce.conventions.errors import InputError
from jounce.conventions.typed import pointed, with_unit
from jounce.conventions.units import LONGEST, Kind, read
from jounce.job.goal_window import read_window


@pytest.mark.parametrize("text", [f"3{' ' * 40_000}mm", f"3 mm ±{' ' * 40_000}", "1 " * 20_000, "a" * 1_000_000])
def test_a_text_too_long_for_a_value_is_refused_before_it_is_searched(text: str) -> None:
    readers = (
        lambda: read(text, Kind.LENGTH),
        lambda: read_measured(text, Kind.LENGTH),
        lambda: read_measured({"value": "3 mm", "plus_minus": text}, Kind.LENGTH),
        lambda: read_window(text, Kind.FREQUENCY),
    )
    for reader in readers:
        with pytest.raises(InputError, match=f"up to {LONGEST} characters"):
            reader()


def test_blanks_within_a_value_mean_nothing() -> None:
    assert read_measured("  22.5   ±\t0.1\u00a0 mm ", Kind.LENGTH) == read_measured("22.5±0.1mm", Kind.LENGTH)
    assert read("12  lb   ft", Kind.TORQUE) == read("12 lb·ft", Kind.TORQUE)


def seconds(work: Callable[[], object]) -> float:
    """Least time of the processor for a piece of work, of several tries."""
    tries = []
    for _ in range(7):
        begun = time.process_time()
        for _ in range(40):
            with suppress(InputError):
                work()
        tries.append(time.process_time() - begun)
    return min(tries)


@pytest.mark.parametrize(
    "text",
    [
        lambda n: f"3{' ' * n}mm ± 1 mm",
        lambda n: f"3 mm ±{' ' * n}1 mm",
        lambda n: "± " * n,
        lambda n: f"3 mm{' +' * n}/- 1",
        lambda n: "1 " * n + "mm",
    ],
    ids=["blanks before the unit", "blanks after the sign", "signs", "half signs", "numbers"],
)
@pytest.mark.parametrize("most", [LONGEST, 400_000], ids=["as long as is read", "far longer"])
def test_four_times_the_text_takes_no_more_than_some_four_times_as_long(text: Callable[[int], str], most: int) -> None:
    """Growth, not speed: the square of the length would be sixteen times, and the ratio needs no clock of its own."""
    short, long = (text(most // (2 * times)) for times in (4, 1))
    few = seconds(lambda: read_measured(short, Kind.LENGTH)) + 1e-4  # the clock's own grain
    assert seconds(lambda: read_measured(long, Kind.LENGTH)) < 9 * few


@pytest.mark.parametrize(
    ("typed", "large", "small"),
    [("2,380", "2380", "2.380"), ("2,380 mm", "2380", "2.380"), ("-1,250 ± 3", "1250", "1.250")],
)
def test_a_comma_that_can_be_read_in_two_ways_is_refused_with_both(typed: str, large: str, small: str) -> None:
    with pytest.raises(InputError, match="can be read in two ways") as caught:
        with_unit(typed, Kind.LENGTH, "metric")
    assert caught.value.allowed == f"{large}, or {small}"


@pytest.mark.parametrize(
    ("typed", "read_as"), [("2,38", "2.38"), ("0,125", "0.125"), ("23,4567", "23.4567"), ("1,5 in", "1.5 in")]
)
def test_a_comma_that_can_only_part_decimals_is_a_point(typed: str, read_as: str) -> None:
    assert pointed(typed) == read_as


def test_a_name_that_no_file_can_have_is_refused() -> None:
    with pytest.raises(InputError, match="No file can have this name"):
        read_car(Path("car\0.toml"))
