"""The ledger in the workbench: a printed sheet promises, the proof finds, the page and the interface tell it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from urllib.request import urlopen

import pytest
from pypdf import PdfReader

from jounce.book.outcomes import promises_found
from jounce.conventions.units import Kind
from jounce.ledger.learned import widened_band
from tests.web.test_shop import SHOP
from tests.workbench import Workbench, asked, demo_book, demo_text, serving


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    path: Path = tmp_path_factory.mktemp("book") / "shop.db"
    book, car, job = demo_book(path)
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def test_an_empty_ledger_says_how_it_is_filled(shop: Workbench) -> None:
    text = asked(shop.port, "/ledger").text

    assert "Nothing was found yet; 0 numbers are promised" in text
    assert "Bands learn from the ledger: <strong>off</strong>" in text


def test_a_printed_sheet_promises_and_the_proof_finds(shop: Workbench) -> None:
    assert asked(shop.port, f"/jobs/{shop.job}/sheet.pdf?kind=order").status == 422
    assert shop.book.promises() == []
    assert asked(shop.port, f"/api/v1/jobs/{shop.job}/sheet?kind=set-up").status == 200
    by_programs = shop.book.promises(shop.job)
    assert asked(shop.port, f"/jobs/{shop.job}/sheet.pdf?kind=set-up").status == 200
    assert shop.book.promises(shop.job) == by_programs, "the page promises what the operation did"
    promised = {one.promised.key: one for one in shop.book.promises(shop.job)}

    height, load = promised["front.left.height"], promised["front.left.load"]
    assert (height.sheet, height.number, height.owner_number) == ("set-up", 1, 1)
    assert height.promised.layout == "strut-torsion-bar"
    assert 150 < load.promised.value < 400, "as scales tell it, in kg"
    assert {key.partition(".")[0] for key in promised} >= {"front", "rear", "cross_weight"}
    off = height.promised.value * 1e3 + 30
    readings = {"front.left.height": f"{off:.1f} ± 2", "front.left.load": f"{load.promised.value:.1f}"}
    assert asked(shop.port, f"/jobs/{shop.job}/proof", readings).status == 303
    told = {one.promised.key: one for one in promises_found(shop.book).outcomes}

    assert not told["front.left.height"].inside
    assert told["front.left.height"].difference == pytest.approx(0.03, abs=1e-4)
    assert told["front.left.load"].inside
    text = asked(shop.port, "/ledger").text
    assert "<strong>1 of 2</strong>" in text
    assert "Outside, the latest last" in text


def test_programs_read_the_same(shop: Workbench) -> None:
    told = json.loads(asked(shop.port, "/api/v1/ledger").text)

    assert [one["key"] for one in told["outcomes"]] == ["front.left.height", "front.left.load"]
    assert told["promised"] == len(shop.book.promises())
    apart = told["outcomes"][0]["apart"]
    assert told["corrections"]["height"] == pytest.approx(((8 + apart**2) / 9) ** 0.5)


def test_bands_learn_only_where_the_shop_wants_it_and_then_it_is_said(shop: Workbench) -> None:
    address, told = f"/jobs/{shop.job}/proof", json.loads(asked(shop.port, "/api/v1/ledger").text)
    before = asked(shop.port, address).text
    assert "are multiplied by what" not in before
    assert asked(shop.port, "/shop", SHOP | {"house.units": "metric", "house.bands_learn": "yes"}).status == 303
    after = asked(shop.port, address).text

    times = round(told["corrections"]["height"], 2)
    assert f"height × {times:g}" in after

    def predicted(text: str) -> float:
        found = re.search(r"front left: .*?<td>.*?<td>[\d.]+.*?± ?([\d.]+)", text, re.DOTALL)
        assert found is not None
        return float(found[1])

    learned = 1e3 * widened_band(1e-3 * predicted(before), times, Kind.LENGTH)
    assert predicted(after) == pytest.approx(learned, abs=0.06 * (1 + times))
    assert "Bands learn from the ledger: <strong>on</strong>" in asked(shop.port, "/ledger").text
    number = shop.book.entry(shop.job).number
    text = demo_text("brisk-14-lower.toml").replace("Road and club days", "Road and club day")
    shop.book.save(shop.book.entry(shop.job).__class__(shop.job, "job", "second", text, shop.car, number))
    asked(shop.port, f"/jobs/{shop.job}/sheet.pdf?kind=set-up")
    newest = [
        one
        for one in shop.book.promises(shop.job)
        if one.number == number + 1 and one.promised.key == "front.left.height"
    ]
    own = newest[0].promised.band / newest[0].promised.widened
    wide = widened_band(own, times, Kind.LENGTH)
    assert newest[0].promised.band == pytest.approx(wide), "so that it is not learned twice"


def test_learned_bands_are_said_wherever_they_stand(shop: Workbench) -> None:
    """Two-page sheet, jobs beside each other on page, sheet and for programs, questions; the switch is on by now."""
    times = json.loads(asked(shop.port, "/api/v1/ledger").text)["corrections"]
    rounded = {name: round(by, 2) for name, by in times.items()}
    second = shop.book.add("job", "Another", demo_text("brisk-14-lower.toml"), shop.car)
    both = f"job-{shop.job}=1&job-{second.id}=1"
    sheets = (f"/jobs/{shop.job}/sheet.pdf?kind=job", f"/cars/{shop.car}/beside/sheet.pdf?{both}")
    compared = json.loads(asked(shop.port, f"/api/v1/jobs/{shop.job}/comparison").text)
    beside = json.loads(asked(shop.port, f"/api/v1/cars/{shop.car}/beside?job={shop.job}&job={second.id}").text)
    settled = json.loads(asked(shop.port, f"/api/v1/jobs/{shop.job}/ask/settle").text)

    for place in sheets:
        with urlopen(f"http://127.0.0.1:{shop.port}{place}", timeout=120) as sheet:
            text = " ".join(page.extract_text() for page in PdfReader(BytesIO(sheet.read())).pages)
        assert "are multiplied by what the shop found" in " ".join(text.split())
    assert compared["widened"] == beside["widened"] == rounded
    assert "are multiplied by what the shop found" in asked(shop.port, f"/cars/{shop.car}/beside?{both}").text
    assert sum("are multiplied" in line for table in settled["tables"] for line in table["remarks"]) == 1
    assert "are multiplied by what" in asked(shop.port, f"/jobs/{shop.job}/ask/settle").text
    assert asked(shop.port, "/shop", SHOP | {"house.units": "metric", "house.bands_learn": "no"}).status == 303
    assert json.loads(asked(shop.port, f"/api/v1/jobs/{shop.job}/comparison").text)["widened"] == {}
