"""Which part gives what is wanted, as it is asked: tables, words, refusals, a height and other wishes at once."""

from __future__ import annotations

import json
from pathlib import Path
from urllib.parse import urlencode

import pytest

from jounce.book import open_book
from jounce.case.case import case_of_file
from jounce.conventions.errors import InputError
from jounce.conventions.units import DEG, DEG_PER_MM, MM
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.part_tables import slope_sentence
from jounce.questions.question import Asked
from jounce.shelf.book_entries import documents_of
from jounce.shelf.csv_out import wide_csv
from jounce.shelf.file import read_shelf
from jounce.wanted.seek import PartNumber, PartWish
from tests.doors import (
    each_answer_once,  # noqa: F401  # a fixture
    through_all_doors,
)
from tests.wanted.demo_work import CARS, DEMO, QUICK
from tests.workbench import Workbench, asked, serving

QUESTION = QUESTIONS["part-for"]
GATE = (*QUICK, "comfrey-20")
"""Torsion bars of either end, coils, leaves, a beam, arms and five links; the other cars only in `make validate`."""
SLOW, LONG = pytest.mark.validation_slow, pytest.mark.validation_long


def tables(file, units="metric", **given):
    """The answer."""
    given_for = {name: (value,) if isinstance(value, float) else value for name, value in given.items()}
    return QUESTION.answer(Asked(QUESTION.filled(given_for), units, case_of_file(DEMO / f"{file}.toml")))


def rows(table):
    return {row.name: row.values for row in table.rows}


@pytest.mark.parametrize("car", ["brisk-14", "sorrel-21", "bracken-16"])
def test_with_nothing_wanted_it_tells_what_may_be(car):
    (table,) = tables(car)

    assert table.columns == ("front", "rear")
    assert rows(table)["ride frequency, with tyre"][0] > 0.5
    bars = case_of_file(DEMO / f"{car}.toml").found.models[0].main["left"].kind == "torsion bar"
    assert (rows(table)["springs compressed at full droop by"][0] == "none") is bars


def test_two_wishes_are_two_tables_with_today_beside():
    one, other = tables("burnet-17", axle="rear", front_share=0.62, frequency=1.7)

    assert one.columns == other.columns == ("today", "with it")
    wheels = case_of_file(DEMO / "burnet-17.toml").found.standing.axles["rear"].wheels
    before = (wheels["left"].ride_frequency + wheels["right"].ride_frequency) / 2
    assert rows(one)["ride frequency, with tyre"] == pytest.approx((before, 1.7), rel=1e-9)
    assert rows(other)["front share of the roll stiffness"][1] == pytest.approx(0.62)
    assert rows(other)["rear ride frequency"][0] == pytest.approx(rows(one)["ride frequency, with tyre"][0])


def test_a_height_and_a_frequency_are_of_one_car():
    """The new pair's rate and lengths are those for both: with them as a job's coils the planner stands as low."""
    by_seat, by_pair, frequency = tables("burnet-17", axle="rear", lower=0.02, frequency=1.7)

    assert by_seat.question.endswith("by the springs that are in the car")
    assert by_pair.question.endswith("by a new pair of springs")
    assert "20.0 mm lower, ride frequency" in frequency.question
    assert frequency.columns[0] == "at that height"
    (only,) = tables("burnet-17", axle="rear", frequency=1.7)
    assert rows(frequency)["free length, left"][1] < rows(only)["free length, left"][1] - 0.015
    heights = rows(frequency)["rear left height, wheel centre to arch"]
    assert heights[1] == pytest.approx(heights[0], abs=1e-9)
    again = tables("burnet-17", axle="rear", lower=0.02, rate=rows(frequency)["rate of both springs"][1])[1]
    lengths = [rows(frequency)[f"free length, {side}"][1] for side in ("left", "right")]
    assert rows(again)["free length of both coils"][1] == pytest.approx(sum(lengths) / 2, abs=5e-5)


def test_a_diameter_for_a_height_is_that_of_what_follows():
    *_, by_pair, frequency = tables("brisk-14", lower=0.02, diameter=0.0235, frequency=1.5)

    assert rows(by_pair)["diameter of both bars"] == ("", 0.0235)
    assert rows(frequency)["diameter of both bars"][0] == 0.0235


def test_what_cannot_be_says_why():
    (bar,) = tables("burnet-17", axle="rear", roll=8 * DEG)
    (none,) = tables("mallow-18", axle="rear", front_share=0.5)
    (needless,) = tables("mallow-18", axle="rear", seated=2 * MM)

    assert "Without this anti-roll bar it is" in bar.remarks[0]
    assert rows(bar)["diameter of the anti-roll bar"][1] == "cannot"
    assert none.remarks[0].startswith(
        "Cannot: The rear axle has no anti-roll bar whose diameter could be another: put one "
    )
    assert needless.remarks[0].startswith("No helper is needed")


def test_toe_that_the_linkage_does_not_reach_is_not_known():
    """Near the end of its droop the axle does not go 30 mm further."""
    *_, table = tables("burnet-17", lower=-0.15, bump_steer=-0.0286 * DEG_PER_MM)

    assert table.columns[1] == "with it"
    assert rows(table)["toe at 30 mm more droop, against standing"] == ("", None)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"lower": 0.01, "rate": 30e3}, "no rate to choose"),
        ({"lower": 0.01, "diameter": 0.02, "axle": "rear"}, "no diameter to choose"),
        ({"diameter": 0.02}, "For which height"),
    ],
)
def test_a_size_without_its_springs_or_height_is_refused(given, words):
    with pytest.raises(InputError, match=words):
        tables("brisk-14", **given)


def test_a_slope_in_words():
    part = PartNumber("x", "length", None, 0, 0, 1, MM, "{} more free length", None)  # type: ignore[arg-type]
    wish = PartWish("lower", "length", 0.02, None, ("stands the axle {} lower", "stands the axle {} higher"))  # type: ignore[arg-type]

    assert slope_sentence(wish, part, -1.8, "metric").startswith(
        "1.0 mm more free length stands the axle 1.8 mm higher;"
    )
    assert slope_sentence(wish, part, 1.8, "metric").startswith("1.0 mm more free length stands the axle 1.8 mm lower;")


def test_of_a_job_the_planned_car_is_asked_and_the_found_one_with_a_word():
    (planned,) = tables("brisk-14-lower", axle="rear", shift=0.0)
    (found,) = tables("brisk-14-lower", axle="rear", shift=0.0, state="found")

    assert planned.question.startswith("Brisk 14, as planned: rear axle")
    assert "turns longer" in rows(planned)
    assert rows(found)["that is longer by"][1] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("axle", ["front", "rear"])
@pytest.mark.parametrize("car", [pytest.param(car, marks=SLOW if car in GATE else LONG) for car in CARS])
def test_every_wish_of_every_demo_car_is_met_or_told(car, axle):
    """What is told with the part in is what was wanted; where there is none, there is a reason."""
    wanted = {"lower": 0.015, "frequency": 1.6, "wheel_rate": 24e3, "front_share": 0.66, "roll": 2.6 * DEG}
    wanted |= {"bump_steer": 0.0, "shift": 0.002, "gap_share": 0.4, "bump": 0.055, "droop": 0.065, "seated": 0.003}
    answers = tables(car, axle=axle, **wanted)
    seen = 0

    assert len(answers) >= len(wanted)
    for table in answers:
        name, (_, value) = table.rows[0].name, table.rows[0].values
        if table.columns[1] == "with it":
            seen += 1
            asked = [one for one in wanted.values() if value == pytest.approx(one, abs=1e-8, rel=1e-8)]
            assert asked, (table.question, name, value)
            assert " more " in table.remarks[0] or " higher " in table.remarks[0] or " longer " in table.remarks[0]
        else:
            assert table.remarks[0].startswith(("Cannot: ", "No helper is needed")), table.question
        assert "nan" not in str(table)
    assert seen >= 6


@pytest.mark.usefixtures("each_answer_once")
def test_wishes_through_every_door(tmp_path: Path):
    book = open_book(tmp_path / "shop.db", "tester", make=True)
    car = book.add("car", "Burnet 17", (DEMO / "burnet-17.toml").read_text("utf-8"))
    given = {"axle": "rear", "lower": (0.02,), "shift": (0.001,), "bump": (0.06,)}
    question = Asked(QUESTION.filled(given), "metric", case_of_file(DEMO / "burnet-17.toml"))
    options = [str(DEMO / "burnet-17.toml"), "--axle", "rear", "--lower", "20 mm", "--shift", "1 mm", "--bump", "60"]
    typed = "?" + urlencode({"axle": "rear", "lower": "20 mm", "shift": "1 mm", "bump": "60"})
    sent = "?" + urlencode({"axle": "rear", "lower": 0.02, "shift": 0.001, "bump": 0.06})
    with serving(book) as port:
        through_all_doors(
            Workbench(port, "", "", book), "part-for", question, options, f"/cars/{car.id}/ask/part-for", typed, sent
        )


@pytest.mark.parametrize("suffix", ["toml", "csv"])
def test_a_shelf_puts_its_nearest_parts_beside(suffix):
    text = (DEMO / "shelf.toml").read_text("utf-8")
    if suffix == "csv":
        text = wide_csv(read_shelf(DEMO / "shelf.toml"))
    (table,) = tables("brisk-14", axle="rear", front_share=0.63, shelf=((f"shelf.{suffix}", text),))

    assert table.columns[:2] == ("today", "with it")
    codes = table.columns[2:]
    assert len(codes) == 2
    shares = rows(table)["front share of the roll stiffness"]
    assert shares[2] <= 0.63 < shares[3]
    assert [round(number, 6) for number in rows(table)["diameter of the bar in the beam's tube"][2:]] == [
        round(read_shelf(DEMO / "shelf.toml").part(code).diameter.value, 6) for code in codes
    ]


def test_the_book_s_own_shelf_is_tried_where_there_is_one(tmp_path: Path):
    """On the page and for programs nobody pastes a shelf: the same parts come as from the whole file."""
    text = (DEMO / "shelf.toml").read_text("utf-8")
    (table,) = tables("brisk-14", axle="rear", front_share=0.63, shelf=(("shelf.toml", text),))
    book = open_book(tmp_path / "shop.db", "tester", make=True)
    car = book.add("car", "Brisk 14", (DEMO / "brisk-14.toml").read_text("utf-8"))
    place = f"/cars/{car.id}/ask/part-for"
    with serving(book) as port:
        bare = asked(port, f"{place}?{urlencode({'axle': 'rear', 'front_share': '63 %'})}").text
        for code, document in documents_of(read_shelf(DEMO / "shelf.toml")).items():
            book.add("part", code, document)
        page = asked(port, f"{place}?{urlencode({'axle': 'rear', 'front_share': '63 %'})}").text
        told = json.loads(asked(port, f"/api/v1{place}?{urlencode({'axle': 'rear', 'front_share': 0.63})}").text)
    assert "The shelf is empty" in bare
    assert "The parts of the shelf are tried too." in page
    assert all(code in page and code not in bare for code in table.columns[2:])
    assert told["tables"][0]["columns"] == list(table.columns)


def test_a_shelf_that_cannot_be_read_is_refused():
    with pytest.raises(InputError):
        tables("brisk-14", axle="rear", front_share=0.63, shelf=(("shelf.toml", "[coil.X]\nname = 1\n"),))
