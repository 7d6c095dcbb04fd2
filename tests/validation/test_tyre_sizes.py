"""Measures of tyre sizes as the tables of the standards print them."""

from __future__ import annotations

import pytest

from jounce.conventions.units import MM
from jounce.elements.tyres.size import TyreSize
from tests.published import Published

_TABLE = "tables of metric sizes, measuring rim"


def _of(size: str, outside: str, width: str) -> tuple[Published, Published]:
    return (
        Published(
            quantity=f"outer diameter, {size}", source="iso-4000-1", where=_TABLE, printed=outside, unit=MM, status="M"
        ),
        Published(
            quantity=f"section width, {size}", source="iso-4000-1", where=_TABLE, printed=width, unit=MM, status="M"
        ),
    )


SIZES = {
    TyreSize(145, 80, 13): _of("145/80 R13", "562", "145"),
    TyreSize(165, 70, 13): _of("165/70 R13", "562", "170"),
    TyreSize(175, 70, 13): _of("175/70 R13", "576", "177"),
    TyreSize(175, 65, 14): _of("175/65 R14", "584", "177"),
    TyreSize(185, 60, 14): _of("185/60 R14", "578", "189"),
    TyreSize(185, 55, 14): _of("185/55 R14", "560", "194"),
    TyreSize(195, 50, 15): _of("195/50 R15", "577", "201"),
    TyreSize(195, 65, 15): _of("195/65 R15", "635", "201"),
    TyreSize(195, 45, 15): _of("195/45 R15", "557", "195"),
    TyreSize(205, 55, 16): _of("205/55 R16", "632", "214"),
    TyreSize(225, 45, 17): _of("225/45 R17", "634", "225"),
}


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_outside_and_width_are_those_of_the_tables(size: TyreSize) -> None:
    outside, width = SIZES[size]
    assert size.outside == outside.match()
    assert size.section_width() == width.match()
