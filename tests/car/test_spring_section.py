"""The spring's section of a car file: one spring told in several ways, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.car.file.reading import parse_car
from jounce.car.mechanics.coil_stack import coil_stack
from jounce.conventions.errors import InputProblems
from jounce.elements.law import OneSided
from jounce.elements.springs.coil import Ends, helical_rate

WIRE = "wire = 12\nmean_diameter = 100\nactive_turns = 8"
RATE = float(helical_rate(78.5e9, 0.012, 0.1, 8))


@pytest.fixture
def spring_of(changed, car_text):
    """The rear spring of the example with other keys."""
    section = car_text.partition("[rear.spring]\n")[2].partition("\n[")[0]

    def read(keys: str):
        return parse_car(changed((f"[rear.spring]\n{section}", f"[rear.spring]\n{keys}\n")), "example").rear.left.spring

    return read


@pytest.mark.parametrize(
    "keys",
    [
        WIRE,
        "wire = 12\nouter_diameter = 112\nactive_turns = 8",
        "wire = 12\ninner_diameter = 88\nactive_turns = 8",
        'wire = 12\nouter_diameter = 112\ntotal_turns = 9.5\nends = "hot-formed-ground"',
        "wire = 12\nouter_diameter = 112\ntotal_turns = 9.5\ndead_turns = 1.5",
        'wire = 12\nouter_diameter = 112\ntotal_turns = 10\nends = "closed"',
    ],
)
def test_one_spring_told_in_several_ways(spring_of, keys: str):
    law = coil_stack(spring_of(keys)).law

    assert isinstance(law, OneSided)
    assert law.rate == pytest.approx(RATE, rel=1e-12)


@pytest.mark.parametrize("ends", Ends)
def test_solid_length_follows_from_turns_wire_and_ends(spring_of, ends: Ends):
    spring = spring_of(f'wire = 12\nmean_diameter = 100\ntotal_turns = 10\nends = "{ends.word}"\nfree_length = 300')

    assert coil_stack(spring).solid_length == pytest.approx(0.012 * (10 + ends.more_wires), rel=1e-12)


def test_lengths_of_a_stack_are_sums(spring_of):
    spring = spring_of(
        "rate = 20\nfree_length = 300\nsolid_length = 110\nhelper = { rate = 2, free_length = 60, solid_length = 9 }\n"
        "tender = { rate = 40, free_length = 90, solid_length = 50 }"
    )
    stack = coil_stack(spring)

    assert stack.free_length == pytest.approx(0.45)
    assert stack.solid_length == pytest.approx(0.169)
    assert stack.has_several
    assert {name: bool(s[0]) for name, s in stack.solid(np.array([200.0])).items()} == {
        "main spring": False, "helper": True, "tender": False,
    }  # fmt: skip


def test_a_length_that_is_not_known_stays_unknown(spring_of):
    stack = coil_stack(spring_of("rate = 20\nhelper = { rate = 2, free_length = 60, solid_length = 9 }"))

    assert stack.free_length is None
    assert stack.solid_length is None


@pytest.mark.parametrize(
    ("keys", "place", "text"),
    [
        ("free_length = 300", "", "rate is not known"),
        ("wire = 12\nmean_diameter = 100\ntotal_turns = 9", "", "rate is not known"),
        (f"{WIRE}\nouter_diameter = 112", "outer_diameter", "two diameters"),
        (f"{WIRE}\ndead_turns = 2", "dead_turns", "both given"),
        ("wire = 12\nmean_diameter = 100\ntotal_turns = 2\ndead_turns = 2", "total_turns", "do not fit"),
        (f"{WIRE}\ntotal_turns = 7", "total_turns", "do not fit"),
        ("wire = 20\nouter_diameter = 55\nactive_turns = 8", "outer_diameter", "too narrow"),
        ("rate = 20\ncurve = [[50, 800], [100, 2000]]", "rate", "two laws"),
        ("rate = 20\nrising_from = 2000\nsecond_rate = 30\nsecond_rate_from = 50", "rising_from", "two laws"),
        ("rate = 20\nsecond_rate = 30", "second_rate_from", "is missing"),
        ("rate = 20\nsecond_rate = 20\nsecond_rate_from = 50", "second_rate", "larger than the first"),
        ("rate = 20\nrising_from = 40000\n", "rising_from", "static deflection"),
        ("curve = [[50, 800], [100, 800]]", "curve", "must rise"),
        ("rate = 20\nhelper = { rate = 2, free_length = 60 }", "helper.solid_length", "needs its"),
        ("rate = 20\nhelper = { free_length = 60, solid_length = 9 }", "helper", "rate is not known"),
        ("rate = 20\nhelper = { rate = 2, free_length = 9, solid_length = 60 }", "helper.free_length", "not longer"),
    ],
)
def test_what_is_refused_says_where(spring_of, keys: str, place: str, text: str):
    with pytest.raises(InputProblems) as refused:
        spring_of(keys)
    problem = refused.value.problems[0]

    assert problem.place.partition(" (line")[0] == ".".join(filter(None, ("rear.spring", place)))
    assert text in str(problem)
