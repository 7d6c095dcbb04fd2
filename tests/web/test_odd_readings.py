"""Readings as strangers type them: odd units, both sides, places that a car has not, parts of other layouts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape

import pytest

from jounce.conventions.units import DEG
from jounce.fit.readings_file import parse_readings
from tests.workbench import Workbench, asked, demo_book, demo_text, serving


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    book, car, job = demo_book(tmp_path_factory.mktemp("book") / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


REFUSED = {
    "a twist that the axle has not": (
        {"what": "bar-twist", "at": "rear left", "value": "20"},
        "The rear axle has no such reading",
    ),
    "wheels that do not reach": (
        {"what": "toe", "at": "front left", "value": "0.2", "bump": "-240"},
        "The front wheels do not reach 240.0 mm down",
    ),
    "nothing where it stands": (
        {"what": "arm-angle", "at": "front left", "value": "5"},
        "Where the wheel stands there is no arm angle: it counts from there. Say how far the wheels were up, or down.",
    ),
    "no ± at all": ({"what": "height", "at": "front left", "value": "340", "band": "0"}, "A ± is above zero"),
    "two of them": ({"what": "height", "at": "front left", "value": "340 ± 2", "band": "1"}, "The ± is given twice"),
    "over what": ({"what": "toe", "at": "front left", "value": "2 mm"}, "needs the diameter across which"),
    "no height": ({"what": "height", "at": "front left", "value": "-351"}, "The value is out of range; found −351 mm"),
}


@pytest.mark.parametrize(("form", "told"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_read_is_refused_before_it_is_kept(shop: Workbench, form: dict[str, str], told: str) -> None:
    answer = asked(shop.port, f"/cars/{shop.car}/readings", form)
    said = re.search(
        r'<p class="notice" role="alert"><strong>Nothing was saved yet.</strong> (.*?)</p>', answer.text, re.DOTALL
    )

    assert answer.status == 422
    assert said is not None
    assert told in unescape(said[1])
    assert "reading 1" not in said[1], "one was typed, and it is that one"
    assert shop.book.entries("measurement", shop.car) == []


def test_toe_is_typed_as_an_angle_or_over_a_length(shop: Workbench) -> None:
    car = shop.book.add("car", "Sedge 13", demo_text("sedge-13.toml")).id
    address = f"/cars/{car}/readings"
    typed = (("0,2", "0.1"), ("2 mm over 365 mm", "1 mm"), ("0°12'", ""), ("2 mm ± 1 mm over 365 mm", ""))
    for value, band in typed:
        form = {"what": "toe", "at": "front left", "bump": "20", "value": value, "band": band}
        assert asked(shop.port, address, form).status == 303
    (kept,) = shop.book.entries("measurement", car)
    read = [(one.value / DEG, one.plus_minus / DEG) for one in parse_readings(kept.content, "").readings]

    assert read == [pytest.approx(one, abs=1e-3) for one in ((0.2, 0.1), (0.314, 0.157), (0.2, 0.08), (0.314, 0.157))]


def test_a_page_offers_what_the_car_has_and_says_what_both_sides_may_mean(shop: Workbench) -> None:
    car = shop.book.add("car", "Bracken 16", demo_text("bracken-16.toml")).id
    address = f"/cars/{car}/readings"
    page = asked(shop.port, address).text

    assert 'name="rear.leaf"' in page, "a leaf that nobody measured"
    assert '<option value="bar-twist"' not in page
    assert '<span class="unit" data-of="toe" hidden>deg</span>' in page
    assert asked(shop.port, address, {"not-known": "1", "front.alignment": "1"}).status == 303
    for side, value in (("left", "0.6"), ("right", "-0.7")):
        assert asked(shop.port, address, {"what": "camber", "at": f"front {side}", "value": value}).status == 303
    page = asked(shop.port, address).text

    assert "left and right of this car differ" in page
    assert "± 0.0000" not in page
    assert "no surer" in page
    assert page.index("What nobody sees") < page.index("How sure the answers are")
