"""Results: nothing in them can be changed, and a notebook shows them as sound HTML."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from xml.etree import ElementTree

import numpy as np
import pytest

import jounce
from tests.library.test_numbers import DRIVE, car, plan


@pytest.fixture(scope="module")
def shown():
    one = car("brisk-14.toml")
    return {
        "standing": one.as_found(),
        "travel": one.travel("front", "heave", DRIVE),
        "answers": one.ask("brake"),
        "plan": plan(),
    }


def html_of(result):
    return ElementTree.fromstring(f"<div>{result._repr_html_()}</div>")  # noqa: S314  # our own text


def test_arrays_and_objects_are_frozen(shown):
    for name in ("standing", "travel"):
        with pytest.raises(ValueError, match="read-only"):
            shown[name]["left_load" if name == "travel" else "load"][0] = 1
        with pytest.raises(TypeError):
            shown[name]["load"] = np.zeros(1)
        with pytest.raises(FrozenInstanceError):
            shown[name].title = "another"
        with pytest.raises(ValueError, match="read-only"):
            shown["travel"].reached[0] = False
    with pytest.raises(FrozenInstanceError):
        plan().state = None
    with pytest.raises(TypeError):
        plan().rows["front.left.load"] = None
    with pytest.raises(TypeError):
        shown["travel"].arrays["left_load"] = np.zeros(1)


def test_what_is_given_is_copied():
    drive = DRIVE.copy()
    moved = car("brisk-14.toml").travel("front", "heave", drive)
    drive[0] = 1.0

    assert moved["heave"] == pytest.approx(DRIVE)


@pytest.mark.parametrize("name", ["standing", "travel", "answers", "plan"])
def test_a_notebook_shows_a_sound_table(shown, name):
    tables = html_of(shown[name]).findall("table")

    assert tables
    assert all(len(table.findall("tbody/tr")) > 0 for table in tables)
    assert "nan" not in "".join(html_of(shown[name]).itertext()).lower()


def test_standing_and_plan_show_the_numbers(shown):
    rows = {row[0].text: [cell.text for cell in row[1:]] for row in html_of(shown["standing"]).iter("tr") if len(row)}
    planned = [
        row
        for row in html_of(plan()).iter("tr")
        if len(row) == 7 and row[0].text == "front left" and "wheel load" in row[1].text
    ]

    assert rows["height [mm]"] == ["345.00", "347.00", "340.00", "341.00"]
    assert planned[0][2].text == f"{plan().rows['front.left.load'].found:.0f}"
    assert planned[0][4].text == f"{plan().rows['front.left.load'].planned:.0f}"


@pytest.mark.parametrize("name", ["travel", "plan"])
def test_travel_is_shown_with_curves(shown, name):
    paths = [path.get("d") for path in html_of(shown[name]).iter("{http://www.w3.org/2000/svg}path")]

    assert len(paths) > 3
    assert all(path.startswith("M") and path.count("L") >= len(DRIVE) - 1 for path in paths)


def test_a_table_shows_what_is_asked_for_in_the_units_asked_for(shown):
    text = shown["travel"].html("inch", ("left_torsion_bar_stress",))

    assert "<th>heave [in]</th><th>left torsion bar stress [psi]</th>" in text


def test_the_mapping_is_whole(shown):
    travel = shown["travel"]

    assert "left_camber" in travel
    assert "left_cambre" not in travel
    assert travel.get("left_cambre") is None
    assert len(dict(travel)) == len(travel) == len(set(travel))
    assert {values.shape for values in travel.values()} == {DRIVE.shape}
    assert travel == travel
    assert travel != car("brisk-14.toml").travel("front", "heave", DRIVE)
    assert repr(travel) == f"<Brisk 14, as found: front axle, heave: {len(travel)} results>"


def test_every_result_says_what_it_is(shown):
    for name in ("standing", "travel"):
        for result in shown[name]:
            about = shown[name].about(result)
            assert about.definition.endswith(".")
            assert about.positive_when
            assert shown[name].unit(result)


def test_an_answer_is_looked_up_by_its_row(shown):
    assert shown["answers"]["nose-down pitch"].values
    with pytest.raises(jounce.InputError, match="no such row; found 'speed'"):
        shown["answers"]["speed"]
