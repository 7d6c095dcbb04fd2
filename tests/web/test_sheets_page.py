"""The sheets from the browser: each kind printed and kept, with letterhead, versions and the desk's units."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from jounce.sheets.catalogue import SHEETS
from tests.web.test_shop import asked_bytes, words_of
from tests.workbench import Workbench, asked, demo_book, demo_text, serving

OFFER = "parts1=TB-21&name1=good&work=alignment+%3D+1.5"
METRIC = re.compile(r"[\w.]* *\d (?:mm|N|kg|MPa|N/mm|N·m|J)\b(?!/).{0,30}")
IMPERIAL = re.compile(r"\d (?:in|lbf|lb|psi|lbf/in|lbf·ft)\b")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    """A workbench whose book has a shop and a filled shelf."""
    book, car, job = demo_book(tmp_path_factory.mktemp("book") / "shop.db")
    book.add("shop", "Demo Workshop", demo_text("shop.toml"))
    with serving(book) as port:
        head = b'--cut\r\nContent-Disposition: form-data; name="file"; filename="s.toml"\r\n\r\n'
        body = head + demo_text("shelf.toml").encode() + b"\r\n--cut--\r\n"
        asked(port, "/shelf", headers={"Content-Type": "multipart/form-data; boundary=cut"}, body=body)
        if not book.entries("part"):
            pytest.fail("the shelf was not filled")
        yield Workbench(port, car, job, book)
    book.close()


def printed(shop: Workbench, word: str, units: str = "metric", paper: str = "a4") -> str:
    offer = f"&{OFFER}" if word in SHEETS and SHEETS[word].priced else ""
    return words_of(bytes_of(shop, f"/jobs/{shop.job}/sheet.pdf?kind={word}{offer}", units, paper))


def bytes_of(shop: Workbench, path: str, units: str = "metric", paper: str = "a4") -> bytes:
    return asked_bytes(shop.port, path, {"Cookie": f"jounce_units={units}; jounce_paper={paper}"})


def test_every_kind_of_sheet_is_offered_with_when_it_is_used(shop: Workbench) -> None:
    text = asked(shop.port, f"/jobs/{shop.job}/sheets").text

    for word, kind in SHEETS.items():
        assert kind.use in text
        if not kind.priced:
            assert f'href="/jobs/{shop.job}/sheet.pdf?kind={word}"' in text
    assert "with the letterhead of Demo Workshop" in text


@pytest.mark.sweep(4)
@pytest.mark.parametrize("word", ["job", *SHEETS])
def test_each_sheet_carries_letterhead_car_job_and_versions_and_one_set_of_units(shop: Workbench, word: str) -> None:
    metric, inch = printed(shop, word), printed(shop, word, "inch", "us-letter")

    for text in (metric, inch):
        assert "Demo Workshop" in text
        assert "Brisk 14: Road and club days, 35 mm lower" in text
        assert "version 1 of the job, 1 of the car" in text
    for said in ("Road and club days, 35 mm lower", "seat ballast 75 kg", "21 mm, pair"):  # people's own words
        inch = inch.replace(said, "")
    assert IMPERIAL.findall(metric) == []
    assert METRIC.findall(inch) == []


def test_the_same_versions_print_the_same_sheet_again(shop: Workbench) -> None:
    path = f"/jobs/{shop.job}/sheet.pdf?kind=set-up"
    assert bytes_of(shop, path) == bytes_of(shop, path)


def test_a_sheet_is_kept_as_it_was_and_a_later_one_says_its_own_version(shop: Workbench) -> None:
    address = f"/jobs/{shop.job}/sheets"
    assert asked(shop.port, address, {"kind": "alignment", "number": "1"}).status == 303
    kept = [file for file in shop.book.attachments(shop.job) if file.name.startswith("Alignment")]
    assert [file.name for file in kept] == [
        "Alignment, Road and club days, 35 mm lower, version 1 of the job, 1 of the car.pdf"
    ]
    before = asked_bytes(shop.port, f"/files/{kept[0].id}")
    car = shop.book.entry(shop.car)
    shop.book.save(car, "looked at again")
    assert asked_bytes(shop.port, f"/files/{kept[0].id}") == before
    assert "version 1 of the job, 2 of the car" in printed(shop, "alignment")
    shop.book.restore(shop.car, 1)


def test_a_quote_is_counted_from_the_shop_and_the_shelf_of_the_book(shop: Workbench) -> None:
    """145.00 and 4 h at 72.00 are 433.00, tax 86.60."""
    text = printed(shop, "quote")
    for words in ("433.00", "86.60", "519.60", "sales tax 20 %"):
        assert words in text
    answer = asked(shop.port, f"/jobs/{shop.job}/sheet.pdf?kind=quote&parts1=NO-SUCH")
    assert answer.status == 422
    assert "NO-SUCH" in answer.text
    planned = words_of(bytes_of(shop, f"/jobs/{shop.job}/sheet.pdf?kind=quote"))
    assert "Package: as planned" in planned
    assert "TB-23.5" in planned
    assert "No price is known of front dampers" in planned
    wrong = asked(shop.port, f"/jobs/{shop.job}/sheet.pdf?kind=quote&parts1=TB-21&work=polish")
    assert "The work is not clear" in wrong.text


def test_what_cannot_be_printed_says_why(workbench: Workbench) -> None:
    text = asked(workbench.port, f"/jobs/{workbench.job}/sheets").text

    assert "It needs the shop's prices: fill in the shop first." in text.replace("&#39;", "'")
    assert "without a letterhead" in text
    assert asked(workbench.port, f"/jobs/{workbench.job}/sheet.pdf?kind=quote&parts1=TB-21").status == 422
    assert asked(workbench.port, f"/jobs/{workbench.job}/sheet.pdf?kind=poem").status == 422


@pytest.mark.parametrize("word", ["answer", "baseline"])
def test_a_car_without_a_job_has_its_own_sheets(shop: Workbench, word: str) -> None:
    (sedge,) = [entry for entry in shop.book.entries("car") if entry.name == "Sedge 13"]
    text = words_of(bytes_of(shop, f"/cars/{sedge.id}/sheet.pdf?kind={word}"))

    assert "car as found, version 1" in text
    assert "Demo Workshop" in text
    assert asked(shop.port, f"/cars/{sedge.id}/sheet.pdf?kind=set-up").status == 422
    assert asked(shop.port, f"/cars/{sedge.id}/sheets", {"kind": word}).status == 303
    assert len(shop.book.attachments(sedge.id)) >= 1


def test_the_alignment_sheet_draws_what_the_plates_can_give(shop: Workbench) -> None:
    assert "the slots of the front top plates give together" in printed(shop, "alignment")


def test_parts_that_the_job_names_by_their_codes_are_offered_by_themselves(shop: Workbench) -> None:
    text = demo_text("brisk-14-lower.toml") + '\n[shelf]\nalso = ["P-61=2"]\n'
    job = shop.book.add("job", "Road and club days, 35 mm lower", text, shop.car)
    page = asked(shop.port, f"/jobs/{job.id}/sheets").text
    quote = words_of(bytes_of(shop, f"/jobs/{job.id}/sheet.pdf?kind=quote"))

    assert ">TB-23.5\nP-97\nPR-845\nIB-19\nP-61 = 2</textarea>" in page
    assert "Package: as planned" in quote
    assert "378.00" in quote  # two lots at 189.00


def test_what_lives_depend_on_is_printed_from_the_browser_only_with_a_reason(shop: Workbench) -> None:
    """Bars that bear 500 MPa are asked for 606 MPa at full bump."""
    text = demo_text("brisk-14-lower.toml").replace("stress_limit = { value = 900", "stress_limit = { value = 500")
    job = shop.book.add("job", "Road and club days, 35 mm lower", text.partition("# Codes of")[0], shop.car)
    page = asked(shop.port, f"/jobs/{job.id}/sheets").text
    address = f"/jobs/{job.id}/sheet.pdf?kind=set-up"
    refused = asked(shop.port, address)

    assert 'role="alert"' in page
    assert "A check fails on which lives depend." in page
    assert 'id="set-up-despite" name="despite" maxlength="300" autocomplete="off" value="" required' in page
    assert refused.status == 422
    assert "What to do: A thicker bar or a higher stop." in page
    assert f'href="/jobs/{job.id}/fits">All checks</a>' in page
    assert "autofocus" not in page
    assert 'aria-describedby="wrong-set-up-despite" autofocus' in refused.text, "the field that lacks is shown"
    assert "lives depend: Does the left front torsion bar stand full bump?" in refused.text
    assert "--despite" not in refused.text, "a page is no command line"
    assert asked(shop.port, f"{address}&despite=no").status == 422
    told = words_of(bytes_of(shop, f"{address}&despite=to+show+the+inspector"))
    assert "for this reason: to show the inspector" in told
    assert asked(shop.port, f"/jobs/{job.id}/sheets", {"kind": "set-up", "number": "1"}).status == 422
    kept = {"kind": "set-up", "number": "1", "despite": "to show the inspector"}
    assert asked(shop.port, f"/jobs/{job.id}/sheets", kept).status == 303
    two = words_of(bytes_of(shop, f"/jobs/{job.id}/sheet.pdf?kind=job&despite=to+show+the+inspector"))
    assert "STOP: " in two


def test_each_check_tells_margin_reason_and_help_and_leads_to_what_is_missing(shop: Workbench) -> None:
    page = asked(shop.port, f"/jobs/{shop.job}/fits").text.replace("&#39;", "'")

    told = re.search(r"(\d+) MPa at full bump[^,]*, limit (\d+) MPa\..*?Margin \+(\d+) MPa", page, re.DOTALL)
    assert told is not None
    told = re.search(r"(\d+) MPa at full bump[^,]*, limit (\d+) MPa\..*?Margin \+(\d+) MPa", page, re.DOTALL)
    assert told is not None
    stress, limit, margin = map(int, told.groups())
    assert margin == pytest.approx(limit - stress, abs=1)
    assert "Why: beyond it the steel yields and the car settles, or the bar breaks at its splines." in page
    assert "What would help: A thicker bar or a higher stop." in page
    assert f'href="/cars/{shop.car}/measure/room#rear.clearance.brake_hose_droop">Enter the measurement</a>' in page
    assert f'href="/cars/{shop.car}/measure/checks#front.drive_shaft.max_angle">Enter the measurement</a>' in page
    assert re.findall(r"[a-z]+_[a-z_]+\b(?![^<]*>)", re.sub(r"<[^>]*>", " ", page)) == []


@pytest.mark.validation_long
def test_the_envelope_has_every_sheet_of_the_job(shop: Workbench) -> None:
    text = printed(shop, "envelope")

    for kind in SHEETS.values():
        assert kind.name in text
    job, car = (shop.book.entry(one) for one in (shop.job, shop.car))
    assert f"version {job.number} of the job, {car.number} of the car" in text
    assert "Not in it" not in text
