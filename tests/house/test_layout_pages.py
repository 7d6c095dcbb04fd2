"""The layouts' pages: each layout has one, it names all that a car file may say, and its pictures can be read."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from generate.layout_cars import PICTURED, Pictured, demo_axle, demo_axles
from generate.layout_labels import LINE, levels
from generate.layout_picture import names_shown
from jounce.layouts.bush_names import bush_names
from jounce.layouts.catalogue import LAYOUTS
from tests.house.places import DOCS, ROOT

PAGES = DOCS / "layouts"
PICTURES = [shown for every in PICTURED.values() for shown in every]
SVG = "{http://www.w3.org/2000/svg}"
each_picture = pytest.mark.parametrize("shown", PICTURES, ids=lambda shown: shown.name)


def page(layout: str) -> str:
    return (PAGES / f"{layout}.md").read_text("utf-8")


def picture(shown: Pictured) -> ElementTree.Element:
    return ElementTree.fromstring((PAGES / f"{shown.name}.svg").read_text("utf-8"))  # noqa: S314  # our own text


@pytest.mark.parametrize("layout", LAYOUTS)
def test_page_names_all_that_its_layout_knows(layout: str) -> None:
    told = LAYOUTS[layout]
    points = [*told.pivots, *(pivot for pivots in told.axle_pivots.values() for pivot in pivots)]
    words = {
        *(pivot.name for pivot in points),
        *(choice.name for choice in told.choices),
        *(f'"{word}"' for choice in told.choices for word in choice.words),
        *bush_names(layout),
    }
    text = page(layout)

    assert told.summary in text
    assert [word for word in sorted(words) if f"`{word}`" not in text] == []
    assert [pivot.meaning for pivot in points if pivot.meaning not in text] == []


@pytest.mark.parametrize("layout", LAYOUTS)
def test_page_shows_a_picture_and_names_every_demo_car(layout: str) -> None:
    cars = {f"`{axle.car}.toml`, {axle.name}" for axle in demo_axles() if axle.section.layout == layout}

    assert PICTURED[layout]
    assert cars
    assert [shown.name for shown in PICTURED[layout] if f"]({shown.name}.svg)" not in page(layout)] == []
    assert [car for car in cars if car not in page(layout)] == []
    assert f"({layout}.md)" in page("index")


def test_no_page_or_picture_is_left_from_another_time() -> None:
    expected = {"index.md", *(f"{name}.md" for name in LAYOUTS), *(f"{shown.name}.svg" for shown in PICTURES)}

    assert {path.name for path in PAGES.iterdir()} == expected


@each_picture
def test_picture_is_described_and_shows_the_layout_that_it_says(shown: Pictured) -> None:
    layout = next(name for name, every in PICTURED.items() if shown in every)

    assert demo_axle(shown.car, shown.axle).section.layout == layout
    assert len(picture(shown).findtext(f"{SVG}desc") or "") > 100


@each_picture
def test_every_pivot_is_named_in_every_view(shown: Pictured) -> None:
    words = [text.text for text in picture(shown).iter(f"{SVG}text")]
    names = names_shown(demo_axle(shown.car, shown.axle))

    assert {name: words.count(name) for name in names} == dict.fromkeys(names, 3)


@each_picture
def test_no_name_is_written_over_another(shown: Pictured) -> None:
    """Names of one column stand at least a line apart."""
    for view in picture(shown).iter(f"{SVG}g"):
        columns: dict[str, list[float]] = {}
        for text in view.findall(f"{SVG}text"):
            if text.get("font-size") == "12":
                columns.setdefault(text.get("text-anchor", ""), []).append(float(text.get("y", "nan")))
        for heights in columns.values():
            gaps = [below - above for above, below in pairwise(sorted(heights))]
            assert min(gaps, default=LINE) > LINE - 0.11  # rounded to a tenth


@pytest.mark.parametrize(
    "wanted", [[], [5.0], [0.0, 0.0, 0.0], [10.0, 11.0, 40.0, 41.0, 42.0], [190.0, 195.0, 200.0], [3.0] * 14]
)
def test_lines_of_names_keep_their_order_and_their_distance(wanted: list[float]) -> None:
    found = levels(wanted, 0.0, 200.0)

    assert len(found) == len(wanted)
    assert min((above - below for below, above in pairwise(found)), default=LINE) >= LINE - 1e-9
    assert min(found, default=0.0) >= 0.0
    assert max(found, default=0.0) <= 200.0


def test_readme_lists_every_demo_car() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    cars = {Path(axle.car).name for axle in demo_axles()}
    listed = set(re.findall(r"`([a-z]+-\d+)\.toml`", readme))

    assert sorted(cars - listed) == []
