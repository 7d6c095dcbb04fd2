"""The table of quantities: one row a name, every row complete, names checked with a suggestion."""

from __future__ import annotations

import re
from itertools import groupby

import pytest

from jounce.conventions.axes import SIDES
from jounce.conventions.axle_quantities import AXLE_QUANTITIES
from jounce.conventions.driving_quantities import BRAKING_QUANTITIES, CORNERING_QUANTITIES
from jounce.conventions.element_quantities import ELEMENT_QUANTITIES
from jounce.conventions.errors import InputError
from jounce.conventions.quantities import QUANTITIES, RESULTS, groups_of, quantities_named
from jounce.conventions.quantity import ISO_8855, OURS, REIMPELL, SAE_J670, TRADE
from jounce.conventions.springing_quantities import SPRINGING_QUANTITIES, STANDING_QUANTITIES
from jounce.conventions.steering_quantities import STEERING_QUANTITIES
from jounce.conventions.wheel_quantities import WHEEL_QUANTITIES

PARTS = (WHEEL_QUANTITIES, STEERING_QUANTITIES, ELEMENT_QUANTITIES, AXLE_QUANTITIES)
MORE = (SPRINGING_QUANTITIES, STANDING_QUANTITIES, CORNERING_QUANTITIES, BRAKING_QUANTITIES)
DRIVES = {"heave", "roll", "left_drive", "right_drive", "rack", "pitman"}


def test_no_name_stands_twice():
    assert len(RESULTS) == len(QUANTITIES) + sum(map(len, MORE))
    assert [name for name, row in RESULTS.items() if name != row.name] == []
    assert len(QUANTITIES) == sum(map(len, PARTS)) + len(DRIVES)
    assert {name for name, row in QUANTITIES.items() if row.per == "drive"} == DRIVES


def test_a_column_of_a_wheel_is_never_mistaken_for_one_of_the_axle():
    columns = {f"{side}_{row.name}" for row in QUANTITIES.values() if row.per == "wheel" for side in SIDES}

    assert columns.isdisjoint(QUANTITIES)
    assert not [row.name for row in QUANTITIES.values() if row.per == "axle" and row.name.startswith(tuple(SIDES))]


@pytest.mark.parametrize("row", RESULTS.values(), ids=lambda row: row.name)
def test_every_row_is_complete(row):
    assert re.fullmatch(r"[a-z][a-z0-9]*(_[a-z0-9]+)*", row.name)
    assert row.definition[0].isupper()
    assert row.definition.endswith(".")
    assert row.positive_when
    assert not row.positive_when.endswith(".")
    assert any(source in row.source for source in (ISO_8855, SAE_J670, REIMPELL, TRADE, OURS, "ISO 4138"))
    assert row.label
    assert row.unit


def test_a_group_stands_in_one_place():
    groups = [group for group, _ in groupby(QUANTITIES.values(), lambda row: row.group)]

    assert sorted(set(groups)) == sorted(groups)


def test_names_are_taken_with_or_without_their_side():
    assert quantities_named([" camber", "left_toe", "track", "", "camber"]) == ("camber", "left_toe", "track")
    assert groups_of(["camber", "right_damper_length"]) == {"wheel angles", "springs and dampers"}


@pytest.mark.parametrize(
    ("name", "hint"),
    [("camer", "Did you mean camber?"), ("left_castor", "Did you mean caster?"), ("left_track", "Did you mean track?")],
)
def test_an_unknown_name_is_answered_with_the_nearest(name, hint):
    with pytest.raises(InputError, match=re.escape(hint)) as refused:
        quantities_named([name])

    assert name in str(refused.value)
    assert "--list" in str(refused.value)
