"""The shelf's pages: filled from TOML and CSV, bad lines told together, good ones kept on request, a part changed."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from jounce.shelf.book_entries import part_of
from jounce.shelf.csv_out import wide_csv
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml, toml_text
from jounce.web.pages.part_form import read_form, texts_of
from tests.workbench import Answer, Workbench, asked, demo_book, demo_text, serving

BAD = """[coil.C-1]
name = "spring"
place = "rear"
rate = "25 kg"
price = 10

[coil.C-2]
name = "good one"
place = "rear"
rate = 25
price = 12.5
currency = "EUR"

[bolt.B-1]
name = "bolt"

[coil.C-3]
place = "above"
name = "third"
"""


@pytest.fixture
def workbench(tmp_path: Path) -> Iterator[Workbench]:
    book, car, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def upload(port: int, content: str, kind: str = "") -> Answer:
    parts = "".join(
        f'--cut\r\nContent-Disposition: form-data; name="{name}"{more}\r\n\r\n{value}\r\n'
        for name, more, value in (("kind", "", kind), ("file", '; filename="x"', content))
    )
    head = {"Content-Type": "multipart/form-data; boundary=cut"}
    return asked(port, "/shelf", headers=head, body=f"{parts}--cut--\r\n".encode())


def names(workbench: Workbench) -> list[str]:
    return [part.name for part in workbench.book.entries("part")]


def test_all_bad_parts_are_told_with_their_lines_and_nothing_is_kept(workbench: Workbench) -> None:
    answer = upload(workbench.port, BAD)

    assert answer.status == 422
    told = re.findall(r"<li>(.*?)</li>", answer.text)
    for line, word in ((4, "rate"), (14, "bolt"), (18, "place")):
        assert any(f"line {line}" in one and word in one for one in told), (line, told)
    assert "1 parts of the file are good" in answer.text
    assert names(workbench) == []


def test_the_good_ones_are_kept_when_that_is_said_or_all_when_mended(workbench: Workbench) -> None:
    kept = asked(workbench.port, "/shelf", {"text": BAD, "keep": "good"})
    assert kept.headers["location"] == "/shelf?new=1&changed=0&same=0"
    assert names(workbench) == ["C-2"]
    mended = BAD.replace("25 kg", "25 N/mm").replace("price = 10\n", "price = 10\ncurrency = 'EUR'\n")
    mended = mended.replace('[bolt.B-1]\nname = "bolt"\n', "").replace("above", "rear")
    done = asked(workbench.port, "/shelf", {"text": mended.replace("12.5", "13.5")})
    assert done.headers["location"] == "/shelf?new=2&changed=1&same=0"
    assert "2 new parts, 1 changed, 0 as they were" in asked(workbench.port, done.headers["location"]).text
    assert names(workbench) == ["C-1", "C-2", "C-3"]


@pytest.mark.parametrize("semicolon", [False, True])
def test_a_spreadsheet_fills_the_shelf_as_the_file_does(workbench: Workbench, semicolon: bool) -> None:  # noqa: FBT001
    shelf = parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")
    count = len(shelf.parts)
    first = upload(workbench.port, wide_csv(shelf, semicolon=semicolon)).headers["location"]
    assert first == f"/shelf?new={count}&changed=0&same=0"
    again = upload(workbench.port, demo_text("shelf.toml")).headers["location"]
    assert again == f"/shelf?new=0&changed=0&same={count}"


def test_a_sheet_of_one_kind_says_which_and_its_bad_lines_are_told(workbench: Workbench) -> None:
    text = "code;name;place;rate_n_per_mm\nC-1;one;rear;25\nC-2;two;rear;soft\n;three;rear;25\n"
    answer = upload(workbench.port, text, "coil")
    assert answer.status == 422
    assert "line 3" in answer.text
    assert "line 4" in answer.text
    unknown = upload(workbench.port, text)
    assert unknown.status == 422
    assert "not clear which parts" in unknown.text


def test_price_and_stock_of_a_part_are_changed_and_the_later_save_sees_the_earlier(workbench: Workbench) -> None:
    asked(workbench.port, "/shelf", {"text": BAD, "keep": "good"})
    part = next(one for one in workbench.book.entries("part") if one.name == "C-2")
    address = f"/shelf/{part.id}"
    assert 'value="12.5"' in asked(workbench.port, address).text
    form = {"number": str(part.number), "price": "14,90", "currency": "EUR", "stock": "3", "lead_time_days": ""}
    assert asked(workbench.port, address, form).headers["location"].startswith(f"{address}?saved=")
    kept = part_of(workbench.book.entry(part.id).content)
    assert (kept.price, kept.stock, kept.lead_time_days) == (Decimal("14.90"), 3, None)
    assert "14.90 EUR, 3 in stock." in asked(workbench.port, address).text
    late = asked(workbench.port, address, form | {"stock": "9"})
    assert late.status == 409
    now = str(workbench.book.entry(part.id).number)
    for key, value in (
        ("price", "cheap"),
        ("price", "-1"),
        ("stock", "1.5"),
        ("lead_time_days", "soon"),
        ("currency", ""),
    ):
        wrong = asked(workbench.port, address, form | {"number": now, key: value})
        assert wrong.status == 422, (key, value)
        assert f'value="{value.replace("-", "−")}"' in wrong.text
        assert "Not saved" in wrong.text
    assert workbench.book.entry(part.id).number == int(now)


def test_the_shelf_leads_to_the_search_of_a_job(workbench: Workbench) -> None:
    asked(workbench.port, "/shelf", {"text": BAD, "keep": "good"})
    assert f'href="/jobs/{workbench.job}/search"' in asked(workbench.port, "/shelf").text
    sedge = next(car for car in workbench.book.entries("car") if car.name == "Sedge 13")
    assert "/search" not in asked(workbench.port, f"/shelf?car={sedge.id}&all=1").text


@pytest.mark.parametrize("text", ["", "nothing", "[coil", "a;b;c", "[coil]\nx = 1"])
def test_what_is_no_shelf_file_is_said_plainly(workbench: Workbench, text: str) -> None:
    answer = upload(workbench.port, text)

    assert answer.status == 422
    assert names(workbench) == []
    assert "Traceback" not in answer.text


def test_every_part_of_the_demo_shelf_can_be_typed_and_changed_in_a_form() -> None:
    """What the form shows of a part, sent again, is that part to the last digit; typed anew it reads as a file's does."""
    shelf = parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")
    for part, units in itertools.product(shelf.parts, ("metric", "inch")):
        document, typed = toml_text(Shelf((part,))), texts_of(part, units)
        assert read_form(typed, part.KIND, document, units) == (part, {})
        anew, wrong = read_form(typed, part.KIND, None, units)
        assert wrong == {}
        assert anew is not None
        assert anew.values.keys() == part.values.keys()


def test_a_new_part_is_typed_changed_and_taken_off_the_shelf(workbench: Workbench) -> None:
    port, address = workbench.port, "/shelf/new/coil"
    first = asked(port, address).text
    assert '<option value="">choose</option>' in first
    typed = {"code": "C-9", "name": "road spring", "place": "rear", "rate": "2,5 kgf/mm", "rate±": "5 %",
             "free_length": "240", "solid_length": "300", "price": "45.5", "labour_hours": "x"}  # fmt: skip
    refused = asked(port, address, typed)
    wrong = dict(re.findall(r'id="wrong-([\w±]+)">([^<]*)<', refused.text))

    assert refused.status == 422
    assert set(wrong) == {"rate", "labour_hours"}
    assert names(workbench) == []
    for key, text in typed.items():
        assert f'name="{key}" value="{text}"' in refused.text or key == "place"
    typed |= {"rate±": "0.1", "labour_hours": "1.5"}
    refused = asked(port, address, typed)
    assert set(re.findall(r'id="wrong-([\w±]+)"', refused.text)) == {"free_length", "currency"}
    saved = asked(port, address, typed | {"solid_length": "120", "currency": "EUR"})
    assert saved.status == 303
    (entry,) = workbench.book.entries("part")
    part = part_of(entry.content)
    assert part.values["rate"].value == pytest.approx(2.5 * 9806.65)
    assert part.values["rate"].plus_minus == pytest.approx(100)
    assert part.price == Decimal("45.5")
    again = asked(port, address, typed | {"solid_length": "120", "currency": "EUR"})
    assert "This code is on the shelf already" in again.text
    change = {"number": "1", "name": "road spring", "place": "rear", "rate": "24.52", "rate±": "0.1", "free_length": "250",
              "solid_length": "120", "price": "45.5", "currency": "EUR", "labour_hours": "1.5", "side": "either",
              "pieces": "1"}  # fmt: skip
    shown = asked(port, f"/shelf/{entry.id}/change").text
    assert 'name="free_length" value="240"' in shown
    change["rate"] = re.findall(r'name="rate" value="([^"]*)"', shown)[0]
    asked(port, f"/shelf/{entry.id}/change", change)
    now = part_of(workbench.book.entry(entry.id).content)
    assert now.values["free_length"].value == pytest.approx(0.25)
    assert now.values["rate"] == part.values["rate"]  # what was not touched stays to the last digit
    out = asked(port, f"/shelf/{entry.id}/out", {"number": "2"})
    assert names(workbench) == []
    assert "C-9 was taken out of the book." in asked(port, out.headers["location"]).text
    asked(port, f"/entries/{entry.id}/undo", {"number": "3", "then": "/shelf"})
    assert names(workbench) == ["C-9"]
