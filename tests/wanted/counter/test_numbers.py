"""The plain numbers as they are told: a car that is raised is said to stand higher, one made softer to be softer."""

from __future__ import annotations

import pytest

from jounce.conventions.units import Kind
from jounce.wanted.counter.numbers import PlainNumber, PlainPlace


def number(*changes, opposite=("higher by", "How much higher.")):
    places = tuple(PlainPlace(where, 0.0, by, 0.002) for where, by in zip(("in front", "behind"), changes, strict=True))
    return PlainNumber("lower", "lower by", Kind.LENGTH, places, "How much lower.", opposite=opposite)


def test_what_goes_the_other_way_everywhere_is_called_by_that_way():
    told = number(-0.025, -0.020).as_told

    assert (told.label, told.means, told.key) == ("higher by", "How much higher.", "lower")
    assert [(one.where, one.planned, one.band) for one in told.places] == [
        ("in front", 0.025, 0.002),
        ("behind", 0.020, 0.002),
    ]
    assert told.as_told == told


@pytest.mark.parametrize("changes", [(0.03, 0.02), (-0.03, 0.02), (0.0, 0.0), (None, -0.02)])
def test_what_goes_two_ways_or_is_not_known_keeps_its_name(changes):
    assert number(*changes).as_told == number(*changes)


def test_what_has_no_opposite_keeps_its_name():
    assert number(-0.1, -0.1, opposite=None).as_told.label == "lower by"
