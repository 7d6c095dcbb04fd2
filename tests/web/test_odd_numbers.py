"""A field for a whole number may bring anything: no page breaks on it."""

from __future__ import annotations

import socket

import pytest

from jounce.web.site import _PAGES
from tests.workbench import Workbench, asked, demo_text

FIELDS = ("number", "version", "package", "year", "stock", "price", "front.torsion_bar.splines_arm", "terms.days")
ODD = ("²", "٣", "9" * 5000, "-1", "½")
SLOW = ("/search", "sheet.pdf", "frames.json", ".csv", "/consequences", "/corner", "/fits", "/settings")
ADDRESSES = [a for a in _PAGES if not a.endswith(SLOW) and "{work}" not in a and "{file}" not in a]


@pytest.fixture(scope="module")
def odd_car(workbench: Workbench) -> str:
    return workbench.book.add("car", "Odd", demo_text("sedge-13.toml")).id


@pytest.mark.sweep(20)
@pytest.mark.parametrize("odd", ODD, ids=lambda odd: odd[:4])
@pytest.mark.parametrize("address", ADDRESSES)
def test_no_form_breaks_on_an_odd_number(workbench: Workbench, odd_car: str, address: str, odd: str) -> None:
    form = dict.fromkeys(FIELDS, odd) | {
        "name": "Odd",
        "front": "sedge-13",
        "rear": "sedge-13.toml/rear",
        "file": "",
        "then": "/",
    }
    entry = workbench.job if address.startswith("/jobs") else odd_car
    place = address.replace("{entry}", entry).replace("{step}", "wheels")

    assert asked(workbench.port, place, form).status < 500
    assert asked(workbench.port, f"{place}?saved={entry}.%C2%B2", None).status < 500


@pytest.mark.parametrize("length", [b"\xb2", b"9" * 5000, b"-1", b"1e3", b"\xd9\xa3"])
@pytest.mark.parametrize("path", ["/customers", "/api/v1/entries"])
def test_no_request_breaks_on_an_odd_length(workbench: Workbench, length: bytes, path: str) -> None:
    with socket.create_connection(("127.0.0.1", workbench.port), timeout=30) as line:
        line.sendall(b"POST %b HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: %b\r\n\r\n" % (path.encode(), length))
        assert line.recv(4096).split(b" ")[1] in {b"400", b"413"}
