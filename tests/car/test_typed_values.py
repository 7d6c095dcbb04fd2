"""A typed value is short when it is searched: blanks and length cost no time."""

from __future__ import annotations

import pytest

from jounce.car.quantity import read_measured
from jounce.conventions.errors import InputError
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
