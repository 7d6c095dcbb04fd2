"""Every layout has a demo car that a chassis engineer would believe, and a mistake in its file is told where it is."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle, steering_drive
from jounce.behaviour.axle.static import StaticAxle, axle_sits, loaded, spring_wound
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import parse_car
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.layout_input import axle_given
from jounce.car.mechanics.model import AxleModel
from jounce.cli.example import example
from jounce.conventions.errors import InputError
from jounce.conventions.units import DEG, MM, N_PER_MM
from jounce.layouts.anti_roll_bar import AntiRollBarSide
from jounce.layouts.axle import Setting, on_the_rig, road_body
from jounce.layouts.axle_input import AxleInput
from jounce.layouts.builder import laid_out
from jounce.layouts.catalogue import LAYOUTS
from tests.car.conftest import PAGES, problems_in

TEXTS = {
    entry.name.removesuffix(".toml"): entry.read_text("utf-8")
    for entry in files("jounce.demo").iterdir()
    if entry.name.endswith(".toml") and "\n[car]\n" in entry.read_text("utf-8")
}
AXLES = [(car, end) for car in sorted(TEXTS) for end in ("front", "rear")]
TYPICAL = sorted(car for car, text in TEXTS.items() if 'layout = "linkage"' not in text)
"""Cars of the trade's own layouts; a linkage told joint by joint may be as unusual as it likes."""
each_car = pytest.mark.parametrize("car", sorted(TEXTS))
each_axle = pytest.mark.parametrize(("car", "end"), AXLES)
GONE = ""


@cache
def document(car: str) -> CarDocument:
    return parse_car(TEXTS[car], car)


@cache
def model(car: str, end: str) -> AxleModel:
    return axle_model(document(car), end)


@cache
def standing(car: str, end: str) -> AxleModel:
    """An axle with its springs loaded as found."""
    return loaded(model(car, end))[0]


@cache
def sits(car: str, end: str) -> StaticAxle:
    return axle_sits(standing(car, end), look_for_slack=False)


def followed(car: str, end: str, states: AxleStates) -> Mapping[str, np.ndarray]:
    """Every quantity of an axle in some states, all of which it reaches."""
    axle = model(car, end)
    table = states_table(axle.stand, axle.linkage, states, (1.0, 1.0))

    assert table.reached.all(), f"{car} {end}: reached {table.share}"
    return column_map(table)


def section(car: str, end: str) -> Any:
    return getattr(document(car), end)


# ------------------------------------------------------------------------------------------ the demo cars


@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_layout_has_a_demo_car(layout: str) -> None:
    assert [(car, end) for car, end in AXLES if section(car, end).layout == layout]


def test_every_variant_of_the_trade_is_shown() -> None:
    beams = {section(car, "rear").beam.turning_side for car in TEXTS if section(car, "rear").layout == "beam-panhard"}
    wishbones = [section(car, "front") for car in TEXTS if section(car, "front").layout == "double-wishbone"]
    struts = [section(car, "front").left.pivots for car in TEXTS if section(car, "front").layout == "strut-coil"]

    assert beams == {"right", "both", "neither"}
    assert {axle.left.spring_sections for axle in wishbones} == {("spring",), ("torsion_bar",)}
    assert [axle.steering_box is not None for axle in wishbones].count(True) == 1
    assert {pivots.spring_lower == pivots.strut_foot for pivots in struts} == {True, False}
    assert section("tansy-11", "rear").left.spring_sections == ("torsion_bar",)


@each_car
def test_car_reads_without_a_remark(car: str) -> None:
    assert document(car).remarks() == ()


def test_no_two_cars_have_one_name() -> None:
    names = [document(car).car.name for car in TEXTS]

    assert len(set(names)) == len(names)
    assert [car for car in TEXTS if car != document(car).car.name.lower().replace(" ", "-")] == []


def test_what_the_page_of_the_car_file_shows_of_layouts_stands_in_a_demo_car() -> None:
    section_of_page = (PAGES / "index.md").read_text("utf-8").partition("## Layouts, choices")[2].partition("\n## ")[0]
    blocks = re.findall(r"```toml\n(.*?)```", section_of_page, re.DOTALL)

    assert len(blocks) == 3
    assert [block for block in blocks if not any(block in text for text in TEXTS.values())] == []


def test_example_writes_every_demo_file_or_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "new" / "demo"
    example(folder)

    assert {f"{car}.toml" for car in TEXTS} < {path.name for path in folder.iterdir()}
    assert [car for car, text in TEXTS.items() if (folder / f"{car}.toml").read_text("utf-8") != text] == []
    assert capsys.readouterr().out.count("Wrote ") == len(list(folder.iterdir()))

    (folder / "bracken-16.toml").unlink()
    with pytest.raises(InputError, match="of this name already"):
        example(folder)
    assert not (folder / "bracken-16.toml").exists()


# ------------------------------------------------------------------------------------------------ they move


@each_axle
def test_axle_goes_through_its_travel_and_roll(car: str, end: str) -> None:
    travel = np.linspace(-60, 60, 13) * MM
    heave = followed(car, end, AxleStates(left=travel, right=travel))
    roll = followed(car, end, AxleStates(roll=np.linspace(-4, 4, 9) * DEG, heave=0.0))

    assert heave["left_travel"] == pytest.approx(travel, abs=1e-9)
    assert [name for name in ("left_camber", "left_toe", "track") if not np.isfinite(roll[name]).all()] == []


@each_axle
def test_axle_steers_to_both_locks_at_every_height(car: str, end: str) -> None:
    axle, gear = section(car, end), steering_drive(model(car, end).stand, end)
    if gear is None:
        assert end == "rear"
        return
    lock = {"rack": lambda: axle.steering.rack_travel, "pitman": lambda: axle.steering_box.travel}[gear]().value
    height, drive = (x.ravel() for x in np.meshgrid(np.array([-60, 0, 60]) * MM, np.linspace(-lock, lock, 5)))
    placed = place_axle(model(car, end).stand, end, AxleStates(left=height, right=height, **{gear: drive}))

    assert placed.reached.all()
    steer = model(car, end).stand.taken([f"{end}.left.steer", f"{end}.right.steer"]).values(placed.pose) / DEG
    inner, outer = np.abs(steer).max(axis=1), np.abs(steer).min(axis=1)
    at_lock = (np.abs(drive) == lock) & (height == 0)
    assert ((inner > 26) & (inner < 42))[at_lock].all()
    assert (inner - outer)[at_lock].min() > 1.0, "the inner wheel turns further"


# --------------------------------------------------------------------------------------------- they stand


@each_axle
def test_axle_stands_on_loaded_springs_at_a_frequency_of_a_road_car(car: str, end: str) -> None:
    for side, wheel in sits(car, end).wheels.items():
        assert 0.9 < wheel.ride_frequency < 2.2, side
        assert 12 < wheel.wheel_rate / N_PER_MM < 32, side
        assert wheel.spring_force > 0, side
        assert wheel.wound_up > 0, side
        assert spring_wound(standing(car, end), side, AxleStates(), 60 * MM) > 0, f"{side}: loose before full droop"


@pytest.mark.parametrize("car", TYPICAL)
def test_the_car_is_balanced(car: str) -> None:
    front, rear = sits(car, "front"), sits(car, "rear")
    share = front.roll_stiffness / (front.roll_stiffness + rear.roll_stiffness)
    ratio = rear.wheels["left"].ride_frequency / front.wheels["left"].ride_frequency

    assert 0.5 < share < 0.75
    assert 1.05 < ratio < 1.32


ROLL_CENTRE = {"beam": (200, 320), "trailing-arm": (-10, 10), "other": (0, 120)}
"""Heights above the road [mm]."""


@pytest.mark.parametrize(("car", "end"), [axle for axle in AXLES if axle[0] in TYPICAL])
def test_geometry_is_what_the_trade_calls_usual(car: str, end: str) -> None:
    bump = np.array([0, 50]) * MM
    columns = followed(car, end, AxleStates(left=bump, right=bump))
    layout = section(car, end).layout
    kind = "beam" if layout.startswith("beam") else layout
    low, high = ROLL_CENTRE.get(kind, ROLL_CENTRE["other"])

    assert low <= columns["roll_centre_height"][0] / MM <= high
    assert abs(np.diff(columns["left_toe"])[0]) / DEG < 0.15
    if end == "front":
        assert 2 < columns["left_caster"][0] / DEG < 6
        assert 8 < columns["left_kingpin_inclination"][0] / DEG < 14
        assert -20 < columns["left_scrub_radius"][0] / MM < 40


# ----------------------------------------------------------------------------------------- mirror images

MIRROR = np.array([1.0, -1.0, 1.0])
OTHER = {"left": "right", "right": "left"}


def mirrored(given: AxleInput) -> AxleInput:
    """The same axle seen in a mirror on the centre plane."""
    choices = dict(given.choices)
    if "turning_side" in choices:
        choices["turning_side"] = OTHER.get(choices["turning_side"], choices["turning_side"])
    bars = {
        name: replace(bar, left=_mirrored_half(bar.right), right=_mirrored_half(bar.left))
        for name, bar in given.anti_roll_bars.items()
    }
    return replace(
        given,
        pivots={side: _mirrored_points(given.pivots[other]) for side, other in OTHER.items()},
        wheels={side: given.wheels[other] for side, other in OTHER.items()},
        axle_pivots={section: _mirrored_points(points) for section, points in given.axle_pivots.items()},
        choices=choices,
        bush_axis={side: given.bush_axis[other] * MIRROR for side, other in OTHER.items() if given.bush_axis},
        anti_roll_bars=bars,
    )


def _mirrored_points(points: Mapping[str, np.ndarray]) -> dict[str, np.ndarray]:
    return {name: at * MIRROR for name, at in points.items()}


def _mirrored_half(half: AntiRollBarSide) -> AntiRollBarSide:
    return AntiRollBarSide(half.bush * MIRROR, half.arm_end * MIRROR, half.link_end * MIRROR)


@pytest.mark.parametrize(("car", "end"), [axle for axle in AXLES if section(*axle).layout in LAYOUTS])
def test_a_mirrored_axle_moves_as_the_mirror_shows(car: str, end: str) -> None:
    roll, heave = np.array([-3.0, 0.0, 2.0]) * DEG, np.array([10.0, 45.0, -30.0]) * MM
    here = followed(car, end, AxleStates(roll=roll, heave=heave))
    layout = LAYOUTS[section(car, end).layout]
    linkage = laid_out(layout.build, Setting(end, road=road_body(end)), mirrored(axle_given(section(car, end), end)))
    table = states_table(on_the_rig(linkage), linkage, AxleStates(roll=-roll, heave=heave), (1.0, 1.0))
    there = column_map(table)

    assert table.reached.all()
    for name in ("camber", "toe", "contact_x", "contact_z", "damper_length"):
        for side, other in OTHER.items():
            assert there[f"{side}_{name}"] == pytest.approx(here[f"{other}_{name}"], abs=1e-9), f"{side} {name}"
    for side, other in OTHER.items():
        assert there[f"{side}_contact_y"] == pytest.approx(-here[f"{other}_contact_y"], abs=1e-9)
    for name in ("axle_shift", "axle_steer"):
        assert (name in there) == (name in here)
        if name in here:
            assert there[name] == pytest.approx(-here[name], abs=1e-9)


# ----------------------------------------------------------------------------------------------- mistakes

MISTAKES = {
    "missing pivot": ("tansy-11", "damper_upper = [-2340, 560, 560]", GONE, "rear.pivots", "is missing"),
    "unknown key": ("sedge-13", "twist_line =", "twist_lin =", "rear.pivots.twist_lin", 'Did you mean "twist_line"?'),
    "two springs": (
        "yarrow-12",
        "[front.damper]",
        "[front.spring]\nrate = 20\n\n[front.damper]",
        "front",
        "one kind of main spring",
    ),
    "no spring": ("mallow-18", "[front.spring]\nrate = 20\nsolid_length = 130\n", GONE, "front", "one kind of main"),
    "coil without a seat": (
        "comfrey-20",
        "spring_upper = [-22, 535, 700]",
        GONE,
        "front.pivots.spring_upper",
        "A coil needs its seats",
    ),
    "coincident pivots": (
        "yarrow-12",
        "upper_rear = [-100, 390, 449]",
        "upper_rear = [80, 390, 459]",
        "front.pivots.upper_rear",
        "are the same point",
    ),
    "what cannot carry a link": (
        "comfrey-20",
        'link_on = "lower_arm"',
        'link_on = "arm"',
        "front.roll_bar.link_on",
        '"knuckle" or "lower_arm" or "upper_arm"',
    ),
    "rack and steering box": (
        "bracken-16",
        "[front.steering_box]",
        "[front.steering]\nrack_travel = 60\n\n[front.steering_box]",
        "front.steering_box",
        "a rack or a steering box, not both",
    ),
    "unknown layout": ("mallow-18", '"semi-trailing-arm"', '"semi-trailing"', "rear.layout", "semi-trailing-arm"),
    "unknown choice": ("teasel-15", '"axle"', '"tube"', "rear.beam.rocker_on", "'axle' or 'body'"),
    "coil on leaves": ("bracken-16", "[rear.leaf]", "[rear.spring]", "rear.spring", "is not known here"),
    "limp cross-member": (
        "sedge-13",
        "[rear.cross_member]\nrate = 11",
        "[rear.cross_member]",
        "rear.cross_member",
        "torsional rate is not known",
    ),
    "bush nowhere": (
        "sedge-13",
        "[rear.bushes.arm_bush]",
        "[rear.bushes.arm_busch]",
        "rear.bushes.arm_busch",
        'Did you mean "arm_bush"?',
    ),
}


@pytest.mark.parametrize(("car", "old", "new", "place", "words"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_told_at_its_place_in_plain_words(car: str, old: str, new: str, place: str, words: str) -> None:
    assert TEXTS[car].count(old) >= 1
    head, _, rear = TEXTS[car].partition("\n[rear]\n")
    whole = (
        f"{head}\n[rear]\n{rear.replace(old, new, 1)}" if place.startswith("rear") else TEXTS[car].replace(old, new, 1)
    )
    found = problems_in(whole)

    assert [told for told in found if told.startswith(place)], found
    assert any(words in text for told, text in found.items() if told.startswith(place)), found


def test_a_section_written_twice_is_told_with_its_line() -> None:
    again = TEXTS["bracken-16"].replace("[front.spring]", "[front.steering_box]\ntravel = 40\n\n[front.spring]")
    line = again[: again.rindex("[front.steering_box]")].count("\n") + 1

    with pytest.raises(InputError, match=rf"steering_box.*line {line}|line {line}.*steering_box"):
        parse_car(again, "car.toml")


@each_car
def test_no_pivot_that_is_needed_can_be_left_out(car: str) -> None:
    """Each required pivot of both axles is missed when its line is gone."""
    for end in ("front", "rear"):
        axle = section(car, end)
        if axle.layout not in LAYOUTS:
            continue
        for pivot in LAYOUTS[axle.layout].pivots:
            if not pivot.optional:
                assert f'"{pivot.name}" is missing' in " ".join(problems_in(_without(car, end, pivot.name)).values())


def _without(car: str, end: str, key: str) -> str:
    head, _, rear = TEXTS[car].partition("\n[rear]\n")
    parts = {"front": head, "rear": rear}
    lines = parts[end].splitlines()
    kept = [line for line in lines if not line.startswith(f"{key} = [")]

    assert len(kept) == len(lines) - 1
    parts[end] = "\n".join(kept)
    return f"{parts['front']}\n\n[rear]\n{parts['rear']}\n"
