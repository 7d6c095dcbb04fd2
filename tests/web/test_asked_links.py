"""From an answer in words to the page behind it: each kind's link is there and takes along what was asked."""

from __future__ import annotations

import html
import re
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest

from jounce.asked.recipes import RECIPES
from tests.workbench import Workbench, asked

TAKEN_ALONG = {
    "teeth": ("how many teeth for 30 mm lower", {"lower": "30.0 mm"}),
    "bump-steer": ("bump steer at the rear", {"axle": "rear", "quantities": "left_toe"}),
    "load": ("40 kg in the boot", {"aboard": "boot=40 kg"}),
    "part-for": ("which springs give 1.6 Hz at the rear", {"axle": "rear", "frequency": "1.60 Hz"}),
    "influence": ("what moves the camber of the rear axle", {"axle": "rear", "result": "left_camber"}),
    "travel": ("camber over the travel at the rear", {"axle": "rear"}),
    "loads": ("what do the rear joints carry", {"axle": "rear"}),
}
SLOW = {
    "brake",
    "next-reading",
    "wheel-lift",
    "left-right",
    "balance",
    "roll",
    "camber",
    "ride",
    "damping",
    "adjusters",
}


def linked(workbench: Workbench, kind: str, text: str, home: str) -> str:
    """Address behind the answer; empty where it has none."""
    answer = asked(workbench.port, f"/asked?{urlencode({'q': text, 'kind': kind, 'of': home})}")
    assert answer.status == 200
    found = re.search(r'<a href="([^"]+)">The page (?:behind these numbers|for this), of ', answer.text)
    return html.unescape(found[1]) if found else ""


@pytest.mark.parametrize("kind", sorted(TAKEN_ALONG))
def test_what_was_asked_goes_along_and_stands_in_the_fields(workbench: Workbench, kind: str) -> None:
    text, values = TAKEN_ALONG[kind]
    address = linked(workbench, kind, text, f"/cars/{workbench.car}")
    told = {name: given[0] for name, given in parse_qs(urlsplit(address).query).items()}
    assert values.items() <= told.items()

    page = asked(workbench.port, address)

    assert page.status == 200
    for value in values.values():
        assert re.search(
            rf'value="{re.escape(value)}"(?: selected|[^>]*>)|<option[^>]*>{re.escape(value)}<', page.text
        ), value


@pytest.mark.sweep(12)
@pytest.mark.parametrize("kind", sorted(set(RECIPES) - SLOW))
def test_the_page_behind_an_answer_is_there(workbench: Workbench, kind: str) -> None:
    for home in (f"/cars/{workbench.car}", f"/jobs/{workbench.job}"):
        address = linked(workbench, kind, TAKEN_ALONG.get(kind, ("how about it", {}))[0], home)
        if address:
            assert address.startswith(home)
            assert asked(workbench.port, address).status in {200, 303}  # a quote asks for the shop first


@pytest.mark.validation_long
@pytest.mark.parametrize("kind", sorted(SLOW))
def test_the_page_behind_a_slow_answer_is_there(workbench: Workbench, kind: str) -> None:
    address = linked(workbench, kind, "how about it", f"/jobs/{workbench.job}")
    assert asked(workbench.port, address).status == 200


def test_what_lowering_costs_leads_to_the_counter_with_its_height(workbench: Workbench) -> None:
    text = "what does it cost to lower it 30 mm"
    answer = asked(workbench.port, f"/asked?{urlencode({'q': text, 'kind': 'price', 'of': workbench.car})}")
    (address,) = re.findall(r'<a href="([^"]+)">Three answers with their prices, at the counter</a>', answer.text)
    told = parse_qs(urlsplit(html.unescape(address)).query)
    assert told == {"car": [workbench.car], "lower": ["30.0 mm"]}

    counter = asked(workbench.port, html.unescape(address))

    assert counter.status == 200
    assert re.search(rf'value="{workbench.car}"[^>]* (?:selected|checked)', counter.text)
    assert re.search(r'name="lower"[^>]*value="30(?:\.0)?(?: mm)?"', counter.text)
