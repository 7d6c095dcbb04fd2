"""The code on the screen, read back by a reader that is not ours; and what is said where no phone finds the workbench."""

from __future__ import annotations

import io

import pytest
import zxingcpp
from PIL import Image

from jounce.sheets import screen_code as module
from jounce.sheets.screen_code import screen_code
from jounce.web.pages import phone
from jounce.web.request import PageRequest, Preferences
from tests.workbench import Workbench, asked


@pytest.mark.parametrize(
    "link", ["http://192.0.2.7:8470/jobs/0123abcd/bay", "https://bench.example/cars/x/measure/round"]
)
def test_the_code_is_read_back(monkeypatch: pytest.MonkeyPatch, link: str) -> None:
    saved = {}

    class Made:
        def __init__(self, symbol):
            self.symbol = symbol

        def save(self, into, **how):
            png = io.BytesIO()
            self.symbol.save(png, kind="png", **{name: how[name] for name in ("border", "scale", "light")})
            saved["png"] = png.getvalue()
            self.symbol.save(into, **how)

    make = module.segno.make
    monkeypatch.setattr(module.segno, "make", lambda *args, **how: Made(make(*args, **how)))
    assert screen_code(link).startswith("<svg")
    with Image.open(io.BytesIO(saved["png"])) as picture:
        assert [one.text for one in zxingcpp.read_barcodes(picture.convert("L"))] == [link]


def test_behind_a_door_for_this_machine_alone_it_says_how_to_open_it(workbench: Workbench) -> None:
    text = asked(workbench.port, "/phone?at=/book").text
    assert "No phone finds the workbench now." in text
    assert "--host 0.0.0.0" in text
    assert 'href="/book">Back' in text


@pytest.mark.parametrize(
    ("host", "guarded", "found"),
    [
        ("192.0.2.7:8470", True, "http://192.0.2.7:8470"),
        ("bench.example", True, "http://bench.example"),
        ("192.0.2.7:8470", False, ""),
        ('x"><script>', True, ""),
        ("[::1", True, ""),
    ],
)
def test_the_address_is_that_under_which_it_was_found(
    workbench: Workbench, *, host: str, guarded: bool, found: str
) -> None:
    ask = PageRequest(workbench.book, "/phone", "", {}, {}, {}, {}, Preferences(), guarded=guarded, host=host)
    assert phone._address(ask) == found


@pytest.mark.parametrize("at", ["//evil.example", "https://evil.example", "/a b", '/"'])
def test_it_leads_to_pages_of_its_own_alone(workbench: Workbench, at: str) -> None:
    assert 'href="/">Back' in asked(workbench.port, f"/phone?at={at.replace(' ', '%20')}").text
