"""What is worked out before the workbench tells its address."""

from __future__ import annotations

from jounce.book import open_book
from jounce.web.case_cache import car_travel_bands
from jounce.web.made_ready import make_ready
from tests.workbench import demo_text


def test_a_car_is_ready_beside_one_that_cannot_be_read(tmp_path):
    text = demo_text("brisk-14.toml")
    book = open_book(tmp_path / "shop.db", "tester", make=True)
    book.add("car", "A wreck", "no car at all")
    book.add("car", "Brisk 14", text)
    make_ready(book)
    book.close()

    hits = car_travel_bands.cache_info().hits
    car_travel_bands(text)

    assert car_travel_bands.cache_info().hits == hits + 1
