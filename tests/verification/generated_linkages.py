"""Axles of every layout drawn at random about an invented one, and what can be done to them without changing them."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace

import numpy as np
from hypothesis import strategies as st

from jounce.layouts.axle_input import AxleInput, WheelInput
from jounce.layouts.naming import SIDES
from jounce.layouts.steering import STEERING
from jounce.linkage.tree import Body, Direction, Point
from tests.demo_axles import AXLE_PIVOTS, LAYOUT_PIVOTS, MIRROR, metres

LARGEST_SHIFT = 40
"""How far a coordinate of a pivot is drawn from the invented one at most [mm]."""

OTHER = {"left": "right", "right": "left"}


@st.composite
def scattered(draw, points):
    """Points [m] whose coordinates lie anywhere about the given ones [mm]."""
    coordinate = st.integers(-LARGEST_SHIFT, LARGEST_SHIFT)
    shifts = draw(st.lists(coordinate, min_size=3 * len(points), max_size=3 * len(points)))
    return {
        name: metres(np.array(at) + shift)
        for (name, at), shift in zip(points.items(), np.reshape(shifts, (-1, 3)), strict=True)
    }


@st.composite
def axles(draw, layout):
    """What an axle of a layout is built from: both sides alike or each for itself, any words chosen; no roll bar."""
    left = draw(scattered(LAYOUT_PIVOTS[layout.name]))
    right = left if draw(st.booleans()) else draw(scattered(LAYOUT_PIVOTS[layout.name]))
    words = {choice.name: draw(st.sampled_from(choice.words)) for choice in layout.choices}
    words["steering"] = draw(st.sampled_from(STEERING)) if layout.steered else "none"
    sections = [*layout.axle_pivots, *(["steering_box"] if words["steering"] == "box" else [])]
    camber, toe = (st.integers(-bound, bound).map(lambda tenth: np.radians(0.1 * tenth)) for bound in (30, 10))
    return AxleInput(
        pivots={"left": left, "right": {name: at * MIRROR for name, at in right.items()}},
        wheels={side: WheelInput(draw(camber), draw(toe), 0.27) for side in SIDES},
        axle_pivots={section: draw(scattered(AXLE_PIVOTS[section])) for section in sections},
        choices=words,
        bush_axis={side: np.array([0.1, 1.0, -0.05]) for side in SIDES} if layout.bush_axes else {},
        spring=draw(st.sampled_from(layout.springs)),
    )


@st.composite
def travels(draw, largest=100):
    """Travel of left and right wheel [m] and turn of the steering gear as a share of its own way."""
    left, right = (draw(st.integers(-largest, largest)) * 1e-3 for _ in SIDES)
    return left, right, draw(st.integers(-10, 10)) * 0.1


def mirrored(given):
    """The axle that stands behind the mirror: left becomes right, and what had a side has the other."""
    words = {name: OTHER.get(word, word) for name, word in given.choices.items()}
    return replace(
        given,
        pivots={side: {name: at * MIRROR for name, at in given.pivots[OTHER[side]].items()} for side in SIDES},
        wheels={side: given.wheels[OTHER[side]] for side in SIDES},
        axle_pivots={section: _mirrored_section(section, points) for section, points in given.axle_pivots.items()},
        choices=words,
        bush_axis={side: given.bush_axis[OTHER[side]] * MIRROR for side in given.bush_axis},
    )


def _mirrored_section(section, points):
    swapped = {
        name: name.replace("left", "RIGHT").replace("right", "LEFT").lower() if section == "watt" else name
        for name in points
    }
    return {swapped[name]: at * MIRROR for name, at in points.items()}


def turned(thing, rotation, shift):
    """A body, point, direction or measure, turned about the origin and then shifted."""
    if isinstance(thing, Body):
        axis = None if thing.axis is None else rotation @ thing.axis
        return replace(thing, origin=rotation @ thing.origin + shift, axis=axis)
    if isinstance(thing, Point):
        return replace(thing, at=rotation @ thing.at + shift)
    if isinstance(thing, Direction):
        return replace(thing, along=rotation @ thing.along)
    if is_dataclass(thing):
        return replace(thing, **{f.name: turned(getattr(thing, f.name), rotation, shift) for f in fields(thing)})
    return thing
