"""What is drawn of every demo car: the parts it has, where they are, on tyres that stand on the road."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from jounce.numerics.arrays import Array
from jounce.numerics.rotations import rotation_matrix
from jounce.web.case_cache import case_of
from jounce.web.picture.frames import frames
from jounce.web.picture.ground import standing_on
from jounce.web.picture.pivot_names import pivot_names
from jounce.web.picture.standing import shown_as_planned
from tests.workbench import demo_text

CARS = sorted(path.name.removesuffix("-lower.toml") for path in Path(str(files("jounce.demo"))).glob("*-lower.toml"))
ROUNDED = 1.0
"""Tenths of a millimetre that a sent length may be off."""


@cache
def sent(car: str) -> Any:
    case = case_of(demo_text(f"{car}-lower.toml"), demo_text(f"{car}.toml"))
    return json.loads(json.dumps(frames(shown_as_planned(case), pivot_names(case.car), "metric")))


def place(axle: Any, motion: str, frame: int, number: int) -> Array:
    if number < 0:
        return np.array(axle["still"][-1 - number], dtype=np.float64)
    row = axle["motions"][motion]["frames"][frame]
    return np.array(row[3 * number : 3 * number + 3], dtype=np.float64)


def body_turned(pose: list[int]) -> Array:
    """The attitude by rotation vectors: pitch about y, then roll about the body's own x."""
    return np.asarray(
        rotation_matrix(np.array([0.0, pose[1] / 1e6, 0.0])) @ rotation_matrix(np.array([pose[2] / 1e6, 0.0, 0.0]))
    )


def shapes(axle: Any, kind: str, word: str = "") -> list[Any]:
    return [shape for shape in axle["shapes"] if shape["kind"] == kind and word in shape["name"]]


@pytest.mark.parametrize("car", CARS)
def test_every_car_has_its_wheels_its_springs_and_its_dampers(car: str) -> None:
    case = case_of(demo_text(f"{car}-lower.toml"), demo_text(f"{car}.toml"))
    for state, document in zip(sent(car)["states"], (case.car, case.planned.document), strict=True):
        for axle in state["axles"]:
            section = getattr(document, axle["name"])
            assert len(shapes(axle, "wheel")) == 2
            sprung = {"spring": ("coil", "coil"), "torsion_bar": ("twist", "torsion bar"), "leaf": ("tube", "leaf")}
            kind, word = next(told for name, told in sprung.items() if getattr(section.left, name, None) is not None)
            assert len(shapes(axle, kind, word)) == 2
            assert len(shapes(axle, "tube", ", body")) == 2
            assert len(shapes(axle, "tube", ", rod")) == 2
            assert bool(shapes(axle, "twist", "inside the tube")) == (getattr(section, "inner_bar", None) is not None)
            names = {shape["name"] for shape in axle["shapes"]}
            assert (f"{axle['name']} anti-roll bar" in names) == (section.left.roll_bar is not None)


@pytest.mark.parametrize("car", CARS)
def test_what_is_exchanged_has_one_colour_and_nothing_else_has(car: str) -> None:
    found, planned = sent(car)["states"]
    case = case_of(demo_text(f"{car}-lower.toml"), demo_text(f"{car}.toml"))
    assert not any(shape["changed"] for axle in found["axles"] for shape in axle["shapes"])
    for axle in planned["axles"]:
        for section, word in (
            ("damper", ", body"),
            ("spring", "coil"),
            ("torsion_bar", "torsion bar"),
            ("panhard", "panhard"),
        ):
            before, after = (
                [getattr(one, section, None) for one in (axle_, axle_.left, axle_.right)]
                for axle_ in (getattr(case.car, axle["name"]), getattr(case.planned.document, axle["name"]))
            )
            for shape in axle["shapes"]:
                if word in shape["name"] and "anchor" not in shape["name"]:
                    assert shape["changed"] == (before != after), shape["name"]


@pytest.mark.parametrize("car", CARS)
@pytest.mark.parametrize("motion", ["travel", "roll", "steer"])
def test_tyres_stay_on_the_road_while_the_body_moves(car: str, motion: str) -> None:
    data = sent(car)
    if motion not in data["motions"]:
        pytest.skip("nothing steers this car")
    heights = []
    for state in data["states"]:
        for number, pose in enumerate(state["poses"][motion]):
            if pose is None:
                continue
            turned = body_turned(pose)
            for axle in state["axles"]:
                frame = min(number, len(axle["motions"][motion]["frames"]) - 1)
                count = len(axle["names"])
                for side, radius in enumerate(axle["radius"]):
                    centre, axis = (place(axle, motion, frame, count + 2 * side + k) for k in (0, 1))
                    up = turned @ axis / 1e4
                    lowest = (turned @ centre)[2] + pose[0] - radius * np.sqrt(1 - up[2] ** 2)
                    assert abs(lowest) < 90  # 9 mm: four feet and one plane, both wheels steered to their locks
                heights.append(pose[0])
    assert motion != "travel" or max(heights) - min(heights) > 400  # the body does move


def test_a_plane_under_four_feet_is_found_again() -> None:
    feet = np.array([[0.0, 0.7, 0.0], [0.0, -0.7, 0.0], [-2.4, 0.7, 0.0], [-2.4, -0.7, 0.0]])
    heave, pitch, roll = 0.03, 0.02, -0.05
    turned = rotation_matrix(np.array([0.0, pitch, 0.0])) @ rotation_matrix(np.array([roll, 0.0, 0.0]))
    # the same plane told in the body's axes: its points go back the way that the body went
    on_road = feet + np.array([[0.1, 0.2, 0.0]])
    in_body = (on_road - np.array([0.0, 0.0, heave])) @ turned

    found = standing_on(in_body[None])

    assert [float(one[0]) for one in found] == pytest.approx([heave, pitch, roll], abs=1e-12)


@pytest.mark.parametrize("car", CARS)
def test_the_planned_body_stands_lower_by_what_the_heights_say(car: str) -> None:
    data = sent(car)
    case = case_of(demo_text(f"{car}-lower.toml"), demo_text(f"{car}.toml"))
    start = data["motions"]["travel"]["start"]
    found, planned = data["states"]
    for state in (found, planned):
        assert state["poses"]["travel"][start] is not None
    pose = planned["poses"]["travel"][start]
    turned = body_turned(pose)
    for axle in found["axles"]:
        count = len(axle["names"])
        drops = []
        for side, name in enumerate(("left", "right")):
            centre = place(axle, "travel", start, count + 2 * side)
            row = case.row(f"{axle['name']}.{name}.height")
            sunk = centre[2] - (turned @ centre)[2] - pose[0]
            drops.append(sunk - ((row.found or 0) - (row.planned or 0)) * 1e4)
        # one plane under four feet: what is left over is the same on both axles, crosswise
        assert abs(np.mean(drops)) < 15


@pytest.mark.parametrize("car", CARS)
def test_a_torsion_bar_runs_to_its_anchor_and_its_painted_line_turns_with_travel(car: str) -> None:
    for axle in sent(car)["states"][1]["axles"]:
        for bar in shapes(axle, "twist", "torsion bar"):
            start, end, mark, far = bar["points"]
            turns = []
            there = [k for k, row in enumerate(axle["motions"]["travel"]["frames"]) if row is not None]
            for frame in (there[0], there[-1]):
                way = place(axle, "travel", frame, end) - place(axle, "travel", frame, start)
                one, other = (
                    place(axle, "travel", frame, m) - place(axle, "travel", frame, p)
                    for m, p in ((mark, start), (far, end))
                )
                turns.append(float(np.arctan2(np.cross(one, other) @ way / np.linalg.norm(way), one @ other)))
            assert end < 0  # the anchor is on the body
            assert far < 0
            assert abs(turns[1] - turns[0]) > 0.1  # [rad] over the car's whole travel


@pytest.mark.parametrize("car", CARS)
def test_a_coil_is_as_long_as_its_seats_are_apart(car: str) -> None:
    case = case_of(demo_text(f"{car}-lower.toml"), demo_text(f"{car}.toml"))
    state = sent(car)["states"][0]
    start = sent(car)["motions"]["travel"]["start"]
    for axle in state["axles"]:
        for coil in shapes(axle, "coil"):
            upper, lower = (place(axle, "travel", start, number) for number in coil["points"])
            side = getattr(getattr(case.car, axle["name"]), "left" if "left" in coil["name"] else "right")
            apart = side.pivots.spring_upper.distance(side.pivots.spring_lower) * 1e4
            assert float(np.linalg.norm(upper - lower)) == pytest.approx(apart, abs=2 * ROUNDED)


def test_a_rubber_is_squashed_from_where_the_car_file_says_that_it_is_touched() -> None:
    rubbers = shapes(sent("brisk-14")["states"][0]["axles"][0], "rubber")
    upper, lower = np.array([-28, 530, 790]), np.array([-4, 598, 330])
    touched = (float(np.linalg.norm(upper - lower)) - 25) * 10  # its gap is 25 mm

    assert [rubber["touch"] for rubber in rubbers] == pytest.approx([touched] * 2, abs=ROUNDED)
