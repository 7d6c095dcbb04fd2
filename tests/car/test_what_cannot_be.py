"""Geometry that no car can have is refused where it is read, by the names of its points."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from jounce.behaviour.solving import inverted, solved
from jounce.car.file.reading import parse_car
from jounce.cli.check import check
from jounce.conventions.errors import Impossible, InputProblems
from jounce.layouts.catalogue import LAYOUTS
from jounce.layouts.needs import Apart, Need, Off, names_of
from tests.mutants import CARS, as_toml, demo

ENDS = ("front", "rear")
STANDS_FOR = {p.name: p.stands_for for layout in LAYOUTS.values() for p in layout.pivots if p.stands_for is not None}


def refusals(written: dict[str, Any]) -> dict[str, str]:
    """What is said of a file, by place."""
    with pytest.raises(InputProblems) as caught:
        parse_car(as_toml(written), "car.toml")
    said: dict[str, str] = {}
    for problem in caught.value.problems:
        place = problem.place.partition(" (")[0]
        said[place] = f"{said.get(place, '')} {problem.message}".strip()
    return said


def needs() -> list[Any]:
    """Every need of every layout, in the demo car that has it."""
    found = {}
    for car in CARS:
        for end in ENDS:
            layout = demo(car)[end]["layout"]
            for need in LAYOUTS[layout].needs if layout in LAYOUTS else ():
                if not all(has(car, end, name) for name in names_of(need)):
                    continue
                found.setdefault(f"{layout}: {' '.join(names_of(need))}", (car, end, need))
    return [pytest.param(*value, id=key) for key, value in found.items()]


def section_of(name: str) -> tuple[str, str]:
    return (name.partition(".")[0], name.partition(".")[2]) if "." in name else ("pivots", name)


def has(car: str, end: str, name: str) -> bool:
    section, key = section_of(name.removeprefix("other."))
    points = demo(car)[end][section]
    return key in points or STANDS_FOR.get(key) in points


def point(axle: dict[str, Any], name: str) -> list[float]:
    """A point as the left side knows it."""
    section, key = section_of(name.removeprefix("other."))
    points = axle[section]
    at = points.get(key) or points[STANDS_FOR[key]]
    at = list(at["at"] if isinstance(at, dict) else at)
    return [at[0], -at[1], at[2]] if name.startswith("other.") else at


def broken(axle: dict[str, Any], need: Need) -> None:
    """Move one point so that a need is not met; the damper's own lengths would be a refusal of their own."""
    for part in ("damper", "bump_stop"):
        axle.pop(part, None)
    section, key = section_of(names_of(need)[0].removeprefix("other."))
    if isinstance(need, Apart) and need.other.startswith("other."):
        axle[section][key][1] = 0
    elif isinstance(need, Apart):
        axle[section][key] = point(axle, need.one)
    else:
        start, end = (np.array(point(axle, name)) for name in need.line)
        axle[section][key] = (start + 0.4 * (end - start)).round(9).tolist()


@pytest.mark.parametrize(("car", "end", "need"), needs())
def test_a_point_that_its_layout_cannot_have_is_refused_by_its_name(car: str, end: str, need: Need) -> None:
    written = copy.deepcopy(demo(car))
    broken(written[end], need)
    said = refusals(written)
    names = [name.removeprefix("other.").rpartition(".")[2] for name in names_of(need)]
    assert any(f'"{names[0]}"' in text and f'"{names[-1]}"' in text for text in said.values()), said
    assert all("found" in text and "allowed: more than 1 mm" in text for text in said.values()), said
    assert any(place.startswith(f"{end}.") and place.endswith(names[0]) for place in said), said
    assert "the line" in " ".join(said.values()) or isinstance(need, Apart) or not isinstance(need, Off)


def test_each_layout_says_what_its_points_must_not_do() -> None:
    assert all(layout.needs for layout in LAYOUTS.values())


def changed(car: str, change: Callable[[dict[str, Any]], object]) -> dict[str, str]:
    written = copy.deepcopy(demo(car))
    change(written)
    return refusals(written)


@pytest.mark.parametrize("x", [5, 0, -2.38, -238, -23_80_0, 2380])
def test_wheels_that_are_no_distance_apart_are_refused(x: float) -> None:
    if abs(x) > 6000:
        said = changed("brisk-14", lambda car: car["rear"]["pivots"].update(wheel_centre=[x, 685, 265]))
        assert "x of the point is out of range" in said["rear.pivots.wheel_centre"]
        return
    said = changed("brisk-14", lambda car: car["rear"]["pivots"].update(wheel_centre=[x, 685, 265]))
    assert said["rear.pivots.wheel_centre"].startswith(
        f"The wheelbase is out of range; found {-x:g} mm; allowed: 1000 to"
    )


@pytest.mark.parametrize("y", [0, 0.69, 299])
def test_wheels_that_are_in_one_place_are_refused(y: float) -> None:
    said = changed("brisk-14", lambda car: car["front"]["pivots"].update(wheel_centre=[0, y, 265]))
    assert any(text.startswith("The track is out of range") for text in said.values()), said


def test_only_the_side_that_was_written_is_named() -> None:
    said = changed("brisk-14", lambda car: car["rear"].update(right={"pivots": {"spring_lower": [-2368, -505, 500]}}))
    assert list(said) == ["rear.right.pivots.spring_lower"]


def test_an_axle_at_a_dead_point_is_refused_with_what_is_loose_and_which_points_do_it() -> None:
    """Five rods in one plane through one line leave the knuckle free to turn about it."""

    def fold(car: dict[str, Any]) -> None:
        pivots = car["rear"]["pivots"]
        for n in range(1, 5):
            pivots[f"link_{n}_outer"] = pivots["tie_rod_outer"] if n < 4 else pivots[f"link_{n}_outer"]

    said = changed("comfrey-20", fold)["rear.pivots"]
    assert "the axle stands at a dead point" in said
    assert 'found "knuckle", "roll_bar_half" can still move with both wheels held' in said
    assert '"link_1_inner"' in said


def test_a_drop_link_at_its_dead_point_is_refused() -> None:
    def dead(car: dict[str, Any]) -> None:
        bar = car["front"]["roll_bar"]
        x, y, z = bar["arm_end"]
        bush = bar["bush"]
        bar["link_end"] = [x + 0.5 * (x - bush[0]), y, z + 0.5 * (z - bush[2])]

    said = changed("brisk-14", dead)["front.roll_bar.link_end"]
    assert "dead point" in said
    assert "allowed: 2 % or more" in said


def test_a_bush_off_the_bars_centre_line_is_told_when_the_car_is_read() -> None:
    """The rate of a plain bar asks for no bush, its stress does: the car is refused before any sheet is."""

    def off(car: Any) -> None:
        x, y, z = car["front"]["roll_bar"]["bush"]
        car["front"]["roll_bar"]["bush"] = [x + 8, y, z]

    assert "bush of the anti-roll bar is not on a straight piece" in changed("brisk-14", off)["front.roll_bar"]


def test_an_end_of_the_bars_arm_on_the_line_of_its_bushes_is_refused() -> None:
    def straight(car: dict[str, Any]) -> None:
        bar = car["front"]["roll_bar"]
        bar["arm_end"] = [bar["bush"][0], 500, bar["bush"][2]]

    assert "the bar turns about that line" in changed("brisk-14", straight)["front.roll_bar.arm_end"]
    assert (
        "the same point"
        in changed("brisk-14", lambda car: car["front"]["roll_bar"].update(bush=[260, 0, 220], bend=[260, 430, 220]))[
            "front.roll_bar.bush"
        ]
    )


@pytest.mark.parametrize(
    ("car", "place", "change"),
    [
        ("mallow-18", "front.pivots.spring_lower", {"spring_upper": [-4, 598, 100], "spring_lower": [-4, 598, 330]}),
    ],
)
def test_a_spring_that_its_wheel_does_not_shorten_is_refused(car: str, place: str, change: dict[str, Any]) -> None:
    said = changed(car, lambda written: written["front"]["pivots"].update(change))
    assert "could not carry the car" in said[place]


def test_no_demo_car_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    from importlib.resources import files
    from pathlib import Path

    check([Path(str(files("jounce.demo"))) / f"{car}.toml" for car in CARS])
    assert capsys.readouterr().out.count("reads well") == len(CARS)


def test_equations_without_one_answer_are_told_in_words() -> None:
    with pytest.raises(Impossible, match="no single answer"):
        solved(np.zeros((2, 2)), np.ones((2, 1)))
    with pytest.raises(Impossible, match="no single answer"):
        inverted(np.ones((3, 3)))
