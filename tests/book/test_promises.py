"""Promises of sheets in the book, and what is measured later beside them."""

from __future__ import annotations

import json
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from jounce.book import open_book
from jounce.book.exchange import take_in, write_out
from jounce.book.outcomes import promises_found
from jounce.cli.book import found, ledger
from jounce.conventions.errors import InputError
from jounce.conventions.units import MM, Kind
from jounce.ledger.outcome import PromisedNumber
from tests.workbench import demo_text


@pytest.fixture
def shop_book(tmp_path: Path):
    with closing(open_book(tmp_path / "shop.db", "Ann", make=True)) as book:
        yield book


@pytest.fixture
def pair(shop_book):
    car = shop_book.add("car", "Brisk 14", demo_text("brisk-14.toml"))
    return shop_book.add("job", "lower", "x", car.id), car


def height(value, band=3 * MM):
    return PromisedNumber("front.left.height", Kind.LENGTH, value, band, 1.0, "strut-torsion-bar")


def test_a_promise_of_the_same_versions_is_kept_once_and_as_it_was_first(shop_book, pair):
    assert shop_book.promise("set-up", *pair, [height(0.310)]) == 1
    assert shop_book.promise("hand-over", *pair, [height(0.320)]) == 0
    (one,) = shop_book.promises(pair[0].id)

    assert (one.sheet, one.number, one.owner_number, one.by) == ("set-up", 1, 1, "Ann")
    assert one.promised == height(0.310)
    assert one.tool
    assert shop_book.promises("another") == []


def test_what_is_measured_is_set_beside_the_last_promise_before_it(shop_book, pair):
    job, car = pair
    shop_book.promise("set-up", job, car, [height(0.310)])
    shop_book.promise("set-up", shop_book.save(job, "again"), car, [height(0.305)])
    shop_book.add("measurement", "after", '"front.left.height" = "308 mm ± 2 mm"\n', job.id)
    shop_book.promise("set-up", job, shop_book.save(car, "again"), [height(0.307)])
    shop_book.add("measurement", "after 500 km", '"front.left.height" = "301 mm"\n', job.id)
    told = promises_found(shop_book)

    assert told.promised == 1
    (one,) = told.outcomes
    assert (one.promised.value, one.found, one.plus_minus) == (0.305, pytest.approx(0.308), pytest.approx(2 * MM))
    assert one.inside
    (later,) = told.again
    assert later.found == pytest.approx(0.301)
    assert later.plus_minus == pytest.approx(1 * MM), "the tape's usual"


def test_a_measurement_before_any_promise_proves_nothing(shop_book, pair):
    shop_book.add("measurement", "before", '"front.left.height" = "308 mm"\n', pair[0].id)
    shop_book.add("measurement", "no readings", "just words", pair[0].id)
    shop_book.promise("set-up", *pair, [height(0.310)])

    assert promises_found(shop_book).outcomes == ()


def test_a_car_measured_again_and_a_readings_file_are_proofs_too(shop_book, pair, tmp_path, capsys):
    car_keys = [
        f"{axle}.{side}.{what}"
        for axle in ("front", "rear")
        for side in ("left", "right")
        for what in ("height", "load")
    ]
    kinds = {"height": Kind.LENGTH, "load": Kind.MASS}
    values = {"height": 0.34, "load": 250.0}
    numbers = [
        PromisedNumber(key, kinds[key.split(".")[2]], values[key.split(".")[2]], 0.01, 1.0, "") for key in car_keys
    ]
    shop_book.promise("set-up", *pair, numbers)
    readings = tmp_path / "after.toml"
    readings.write_text('[[reading]]\nwhat = "scale"\nat = "front left"\nvalue = "280 kg ± 2 kg"\n', encoding="utf-8")
    found(shop_book.place, "lower", readings, "Ben")
    again = tmp_path / "again.toml"
    again.write_text(demo_text("brisk-14.toml"), encoding="utf-8")
    found(shop_book.place, "lower", again, "Ben")
    told = promises_found(shop_book)

    by_key = {one.promised.key: one.found for one in told.outcomes}
    assert set(by_key) == set(car_keys)
    assert by_key["front.left.load"] == 280.0, "the first measurement, the scale's"
    assert by_key["front.right.load"] == 284.0
    assert by_key["front.left.height"] == pytest.approx(0.345)
    ledger(shop_book.place)
    out = capsys.readouterr().out
    assert "Kept: 1 numbers measured after lower." in out
    assert "The ledger by axle and quantity" in out


@pytest.mark.usefixtures("pair")
def test_what_measures_nothing_is_refused(shop_book, tmp_path):
    nothing = tmp_path / "nothing.toml"
    nothing.write_text("", encoding="utf-8")
    with pytest.raises(InputError, match="Nothing of a planned car"):
        found(shop_book.place, "lower", nothing)
    with pytest.raises(InputError, match="Nothing of a planned car"):
        found(shop_book.place, "Brisk 14", nothing)


def test_promises_and_what_was_found_go_out_with_a_job_and_come_back(shop_book, pair, tmp_path):
    job, car = pair
    shop_book.promise("set-up", job, car, [height(0.310)])
    again = shop_book.save(job, "again")
    shop_book.promise("re-check", again, car, [replace(height(0.305), widened=1.25)])
    shop_book.add("measurement", "after", '"front.left.height" = "308 mm ± 2 mm"\n', job.id)
    other_car = shop_book.add("car", "Another", demo_text("brisk-14.toml"))
    other = shop_book.add("job", "another", "x", other_car.id)
    shop_book.promise("set-up", other, other_car, [height(0.4)])
    write_out(shop_book, tmp_path / "out", job.id)

    with closing(open_book(tmp_path / "other.db", "Cleo", make=True)) as taken:
        take_in(taken, tmp_path / "out")
        assert taken.promises() == shop_book.promises(job.id)
        assert promises_found(taken) == promises_found(shop_book, job.id)
        assert promises_found(taken).outcomes
        take_in(taken, tmp_path / "out")  # once more changes nothing
        assert taken.promises() == shop_book.promises(job.id)


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("band", 0),
        ("band", "wide"),
        ("value", float("nan")),
        ("kind", "colour"),
        ("number", 9),
        ("at", "noon"),
    ],
)
def test_damaged_promises_are_refused_before_anything_is_read_in(shop_book, pair, tmp_path, name, wrong):
    shop_book.promise("set-up", *pair, [height(0.310)])
    write_out(shop_book, tmp_path / "out")
    (place,) = tmp_path.glob("out/job-*/history.json")
    told = json.loads(place.read_text("utf-8"))
    told["promised"][0][name] = wrong
    place.write_text(json.dumps(told), "utf-8")

    with closing(open_book(tmp_path / "other.db", "Cleo", make=True)) as taken:
        with pytest.raises(InputError, match="damaged"):
            take_in(taken, tmp_path / "out")
        assert taken.entries() == []


def test_an_export_of_an_earlier_program_tells_no_promises(shop_book, pair, tmp_path):
    shop_book.promise("set-up", *pair, [height(0.310)])
    write_out(shop_book, tmp_path / "out")
    (place,) = tmp_path.glob("out/job-*/history.json")
    told = json.loads(place.read_text("utf-8"))
    del told["promised"]
    place.write_text(json.dumps(told), "utf-8")

    with closing(open_book(tmp_path / "other.db", "Cleo", make=True)) as taken:
        take_in(taken, tmp_path / "out")
        assert taken.promises() == []
