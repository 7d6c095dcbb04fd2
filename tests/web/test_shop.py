"""The shop's own settings and local rules, and photos: kept with every change, refused in plain words."""

from __future__ import annotations

import http.client
import io
import re
import struct
import zlib
from collections.abc import Iterator, Mapping
from pathlib import Path

import pypdf
import pytest

from jounce.book import open_book
from jounce.book.exchange import take_in, write_out
from jounce.conventions.errors import InputError
from jounce.quote.shop import parse_shop
from jounce.web.pages.photos import LARGEST_PHOTO, type_by_bytes
from tests.workbench import Answer, Workbench, asked, demo_book, demo_text, serving

SHOP = {
    "shop.name": "Öst & Son <b>",
    "shop.lines": "1 Invented Lane\nSampleton",
    "quote.currency": "EUR",
    "quote.labour_rate": "72,50",
    "quote.tax_name": "sales tax",
    "quote.tax_percent": "20 %",
    "quote.valid_days": "30",
    "quote.note": "",
    "house.units": "inch",
    "house.paper": "letter",
}


def png(red: int = 200) -> bytes:
    """A real picture of one pixel."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(bytes([0, red, 30, 30]))) + chunk(b"IEND", b"")


def sent(port: int, path: str, content: bytes, words: str = "", number: str = "") -> Answer:
    """A file with a word or two, as a browser sends them."""
    parts = [f'--cut\r\nContent-Disposition: form-data; name="{k}"\r\n\r\n{v}\r\n' for k, v in
             (("words", words), ("number", number)) if v]  # fmt: skip
    head = '--cut\r\nContent-Disposition: form-data; name="file"; filename="a.html"\r\nContent-Type: text/html\r\n\r\n'
    body = "".join(parts).encode() + head.encode() + content + b"\r\n--cut--\r\n"
    return asked(port, path, headers={"Content-Type": "multipart/form-data; boundary=cut"}, body=body)


@pytest.fixture
def fresh(tmp_path: Path) -> Iterator[Workbench]:
    book, car, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def test_the_shop_is_filled_in_once_and_changed_by_versions(fresh: Workbench) -> None:
    assert "Nobody filled this in yet" in asked(fresh.port, "/shop").text
    assert asked(fresh.port, "/shop", SHOP | {"number": "0"}).status == 303
    (entry,) = fresh.book.entries("shop")
    shop = parse_shop(entry.content, "kept")
    assert (shop.shop.name, shop.shop.lines) == ("Öst & Son <b>", ("1 Invented Lane", "Sampleton"))
    assert (str(shop.quote.labour_rate), str(shop.quote.tax_percent)) == ("72.50", "20")
    assert (shop.house.units, shop.house.paper) == ("inch", "letter")
    text = asked(fresh.port, "/shop").text
    assert 'value="Öst &amp; Son &lt;b&gt;"' in text
    assert asked(fresh.port, "/shop", SHOP | {"number": "1", "quote.labour_rate": "80"}).status == 303
    assert [v.entry.number for v in fresh.book.versions(entry.id)] == [1, 2]
    late = asked(fresh.port, "/shop", SHOP | {"number": "1", "quote.labour_rate": "90"})
    assert late.status == 409
    assert parse_shop(fresh.book.entry(entry.id).content, "kept").quote.labour_rate == 80


def test_what_is_wrong_with_the_shop_stands_beside_its_field(fresh: Workbench) -> None:
    answer = asked(fresh.port, "/shop", SHOP | {"number": "0", "quote.labour_rate": "a lot", "shop.name": ""})
    assert answer.status == 422
    wrong = re.findall(r'<p class="wrong"[^>]*>([^<]+)</p>', answer.text)
    assert any("This is not an amount" in one for one in wrong)
    assert len(wrong) == 2
    assert 'value="a lot"' in answer.text
    assert fresh.book.entries("shop") == []


def test_a_browser_that_chose_nothing_has_the_units_and_paper_of_the_house(fresh: Workbench) -> None:
    asked(fresh.port, "/shop", SHOP | {"number": "0"})
    assert "lbf/in" in asked(fresh.port, f"/jobs/{fresh.job}/found").text
    own = asked(fresh.port, f"/jobs/{fresh.job}/found", headers={"Cookie": "jounce_units=metric"}).text
    assert "N/mm" in own
    assert "lbf/in" not in own


def test_a_book_has_one_shop_also_where_two_fill_it_in_at_once(fresh: Workbench) -> None:
    asked(fresh.port, "/shop", SHOP | {"number": "0"})
    second = asked(fresh.port, "/shop", SHOP | {"number": "0", "shop.name": "Another"})
    assert second.status == 409
    with pytest.raises(InputError):
        fresh.book.add("shop", "a second", "")
    assert [entry.name for entry in fresh.book.entries("shop")] == ["Öst & Son <b>"]


def test_local_rules_are_checked_kept_and_held_against_every_plan(fresh: Workbench) -> None:
    rule = (
        '[rules]\nname = "ours"\n[[rule]]\nname = "a rule of ours"\nwhat = "{w}"\nat_least = 110\nsource = "a page"\n'
    )
    wrong = asked(fresh.port, "/shop/rules", {"number": "0", "rules": rule.format(w="colour")})
    assert wrong.status == 422
    assert "A rule limits a quantity" in wrong.text
    assert "colour" in wrong.text
    assert fresh.book.entries("rules") == []
    assert asked(fresh.port, "/shop/rules", {"number": "0", "rules": rule.format(w="ground_clearance")}).status == 303
    fits = asked(fresh.port, f"/jobs/{fresh.job}/fits").text
    assert "a rule of ours?" in fits
    assert "RUL-01" in fits
    asked(fresh.port, "/shop/rules", {"number": "1", "rules": rule.format(w="ground_clearance").replace("110", "130")})
    sheet = asked_bytes(fresh.port, f"/jobs/{fresh.job}/sheet.pdf?kind=hand-over")
    assert "a rule of ours?" in words_of(sheet)
    assert asked(fresh.port, "/shop/rules", {"number": "2", "rules": ""}).status == 303
    assert "RUL-01" not in asked(fresh.port, f"/jobs/{fresh.job}/fits").text


def test_the_example_of_rules_is_taken_in_as_a_file(fresh: Workbench) -> None:
    content = demo_text("rules-example.toml").encode()
    assert sent(fresh.port, "/shop/rules", content, number="0").status == 303
    assert "11 rules" in asked(fresh.port, "/shop").text


def asked_bytes(port: int, path: str, headers: Mapping[str, str] | None = None) -> bytes:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
    try:
        connection.request("GET", path, headers=dict(headers or {}))
        return connection.getresponse().read()
    finally:
        connection.close()


def words_of(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (png(), "image/png"),
        (b"\xff\xd8\xff\xe1" + bytes(40), "image/jpeg"),
        (b"RIFF\x00\x00\x00\x00WEBPVP8 ", "image/webp"),
        (b"<svg xmlns='x'><script>1</script></svg>", None),
        (b"<!doctype html><p>no", None),
        (b"GIF89a", None),
        (b"", None),
    ],
)
def test_a_photo_is_what_its_bytes_say(content: bytes, kind: str | None) -> None:
    assert type_by_bytes(content) == kind


@pytest.mark.parametrize("of", ["car", "job"])
def test_a_photo_is_put_in_shown_taken_out_and_brought_back(fresh: Workbench, of: str) -> None:
    entry = fresh.car if of == "car" else fresh.job
    home = f"/cars/{entry}" if of == "car" else f"/jobs/{entry}/found"
    assert sent(fresh.port, f"/entries/{entry}/photos", png(), "anchor <i>").status == 303
    (photo,) = fresh.book.attachments(entry)
    assert (photo.media_type, photo.name) == ("image/png", "anchor <i>")
    page = asked(fresh.port, home).text
    assert f'<img src="/photos/{photo.id}" alt="anchor &lt;i&gt;"' in page
    picture = asked(fresh.port, f"/photos/{photo.id}")
    assert picture.headers["content-type"] == "image/png"
    assert picture.headers["x-content-type-options"] == "nosniff"
    assert asked_bytes(fresh.port, f"/photos/{photo.id}") == png()
    asked(fresh.port, f"/photos/{photo.id}/out", {"out": "1"})
    assert fresh.book.attachments(entry) == []
    (gone,) = fresh.book.attachments(entry, removed=True)
    assert gone.removed_by == "tester"
    assert f"/photos/{photo.id}" not in asked(fresh.port, home).text
    assert "taken out" in asked(fresh.port, f"/entries/{entry}/photos").text
    asked(fresh.port, f"/photos/{photo.id}/back", {"back": "1"})
    assert [one.id for one in fresh.book.attachments(entry)] == [photo.id]


def test_what_is_no_photo_is_refused_and_never_served_as_a_page(fresh: Workbench) -> None:
    page = b"<!doctype html><script>alert(1)</script>"
    answer = sent(fresh.port, f"/entries/{fresh.car}/photos", page)
    assert answer.status == 422
    assert "This is no photo that a browser can show" in answer.text
    assert fresh.book.attachments(fresh.car) == []
    put = fresh.book.attach(fresh.car, "evil.png", "image/png", page)
    assert asked(fresh.port, f"/photos/{put.id}").status == 422
    served = asked(fresh.port, f"/files/{put.id}")
    assert served.headers["content-type"] == "application/octet-stream"
    assert served.headers["content-disposition"] == "attachment"


def test_a_phone_s_photo_fits_and_a_larger_one_is_refused(fresh: Workbench) -> None:
    head = b"\xff\xd8\xff\xe1"
    assert sent(fresh.port, f"/entries/{fresh.job}/photos", head + bytes(6 * 2**20)).status == 303
    too_large = sent(fresh.port, f"/entries/{fresh.job}/photos", head + bytes(LARGEST_PHOTO + 100))
    assert too_large.status == 422
    assert "up to 12 MB" in too_large.text
    assert sent(fresh.port, f"/entries/{fresh.job}/photos", head + bytes(14 * 2**20)).status == 413
    assert len(fresh.book.attachments(fresh.job)) == 1


def test_a_photo_of_a_measurement_stands_beside_its_readings(fresh: Workbench) -> None:
    asked(fresh.port, f"/jobs/{fresh.job}/proof", {"front.left.height": "311"})
    (reading,) = fresh.book.entries("measurement", fresh.job)
    sent(fresh.port, f"/entries/{reading.id}/photos", png(), "rule on the arch")
    assert 'alt="rule on the arch"' in asked(fresh.port, f"/jobs/{fresh.job}/proof").text


def test_shop_rules_and_a_photo_that_was_taken_out_survive_as_plain_files(fresh: Workbench, tmp_path: Path) -> None:
    asked(fresh.port, "/shop", SHOP | {"number": "0"})
    sent(fresh.port, f"/entries/{fresh.car}/photos", png(), "blurred")
    (photo,) = fresh.book.attachments(fresh.car)
    fresh.book.take_out(photo.id)
    count = write_out(fresh.book, tmp_path / "out")
    other = open_book(tmp_path / "other.db", "Cleo", make=True)
    assert take_in(other, tmp_path / "out") == count
    assert other.attachments(fresh.car) == []
    (gone,) = other.attachments(fresh.car, removed=True)
    assert (gone.removed_by, other.content_of(gone.id)) == ("tester", png())
    assert [e.name for e in other.entries("shop")] == ["Öst & Son <b>"]
    third = open_book(tmp_path / "third.db", "Dan", make=True)
    third.add("shop", "its own", "")
    assert take_in(third, tmp_path / "out") == count - 1
    assert [e.name for e in third.entries("shop")] == ["its own"]
    other.close()
    third.close()
