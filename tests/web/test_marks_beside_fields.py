"""Every field of a point has its mark in the drawings beside it, on every demo car; so has every line with a letter."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from jounce.conventions.axes import ENDS
from jounce.measuring.beginning import axles_like
from jounce.measuring.walk import steps_of
from jounce.web.case_cache import car_read
from jounce.web.pages.measure import drawings_of

_PARTS = (".back", ".left", ".up", "_back", "_left", "_up")


@pytest.mark.parametrize("name", sorted({like.car for end in ENDS for like in axles_like(end).values()}))
def test_each_field_of_a_point_has_its_mark(name):
    text = files("jounce.demo").joinpath(name).read_text("utf-8")
    steps, pivots, lengths = steps_of(car_read(text)), 0, 0
    for step in steps:
        marks = [re.findall(r'data-mark="([^"]+)"', drawing) for drawing in drawings_of(text, step)]
        for point in step.points:
            pivots += 1
            for view in marks:  # once in each view, never twice
                assert view.count(str(point.number)) == 1, (step.word, point.key)
        for item in step.items:
            if item.key.endswith(_PARTS):
                lengths += 1
                assert item.letter, item.key
            if item.letter:
                assert any(item.letter in view for view in marks), (step.word, item.key)
        if step.points:
            assert len(marks) == 3
    assert pivots >= 5
    assert lengths >= 9
