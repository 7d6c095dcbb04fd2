"""Tyre sizes: designations come back as they were written, and what goes with the numbers goes the right way."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.conventions.units import INCH, MM
from jounce.elements.tyres.size import TyreSize, is_tyre_size, size_named

SIZES = st.builds(
    TyreSize,
    st.integers(11, 35).map(lambda tens: 10 * tens + 5),
    st.integers(4, 19).map(lambda k: 5 * k),
    st.integers(10, 24),
)


@given(
    size=SIZES,
    mark=st.sampled_from(["{w}/{a} R{r}", "{w}/{a}R{r} 82V", "{w} / {a} zr {r}", "{w}/{a}-{r}", "a {w}/{a} r{r}."]),
)
def test_a_designation_is_read_however_it_is_written(size, mark):
    assert size_named(mark.format(w=size.width, a=size.aspect, r=size.rim)) == size
    assert is_tyre_size(size.width, size.aspect, size.rim)


@given(size=SIZES)
def test_the_section_stands_on_the_rim_twice_and_widens_by_two_fifths_of_it(size):
    assert size.outside == pytest.approx(size.rim * INCH + 2 * size.width * size.aspect / 100 * MM, abs=1.5 * MM)
    wider = size.section_width(size.measuring_rim + 20 * MM) - size.section_width()
    assert wider == pytest.approx(8 * MM, abs=1e-9)


@pytest.mark.parametrize("text", ["", "165 R13", "195/50", "196/50 R15", "195/52 R15", "195/50 R9", "1195/50 R15"])
def test_what_is_no_size_is_none(text):
    assert size_named(text) is None
