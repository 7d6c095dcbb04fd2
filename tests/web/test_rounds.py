"""Rounds in the workbench: four heights in, what to turn out, kept with the job and counted as a proof."""

from __future__ import annotations

import http.client
import io
import re
from collections.abc import Iterator

import pypdf
import pytest

from jounce.car.file.reading import read_toml
from jounce.web.case_cache import case_of
from tests.workbench import Workbench, asked, demo_book, demo_text, serving

CORNERS = [f"{axle}.{side}" for axle in ("front", "rear") for side in ("left", "right")]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    book, car, job = demo_book(tmp_path_factory.mktemp("book") / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def typed(off: dict[str, float]) -> dict[str, str]:
    """Heights as planned, some off by so many mm."""
    case = case_of(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml"))
    heights = {corner: case.row(f"{corner}.height").planned or 0.0 for corner in CORNERS}
    return {f"{corner}.height": f"{1e3 * height + off.get(corner, 0.0):.1f}" for corner, height in heights.items()}


def test_a_missing_height_is_said_and_nothing_is_kept(shop: Workbench) -> None:
    form = typed({})
    del form["rear.left.height"]
    answer = asked(shop.port, f"/jobs/{shop.job}/rounds", form | {"front.left.toe": "nought"})

    assert answer.status == 422
    assert answer.text.count('class="wrong"') == 2
    assert f'value="{form["front.left.height"]}"' in answer.text
    assert shop.book.entries("measurement", shop.job) == []


def test_a_round_is_kept_corrected_and_closed(shop: Workbench) -> None:
    address = f"/jobs/{shop.job}/rounds"
    off = {"front.left": -9.0, "front.right": -4.0, "rear.left": -1.0, "rear.right": 1.0}
    assert asked(shop.port, address, typed(off)).status == 303
    text = asked(shop.port, address).text
    (entry,) = shop.book.entries("measurement", shop.job)

    assert read_toml(entry.content, "")["round"] is False
    assert "teeth" in text or "tooth" in text
    assert 'inputmode="decimal"' in text
    made = re.search(r'name="made" value="([^"]+)"', text)
    assert made is not None
    assert asked(shop.port, address, {"made": made[1]}).status == 303
    assert read_toml(shop.book.entry(entry.id).content, "")["round"] is True
    assert asked(shop.port, address, {"made": shop.car}).status == 422
    assert asked(shop.port, address, typed({})).status == 303
    text = asked(shop.port, address).text
    assert "Round 2: inside" in text
    assert "All that was measured is where it was planned." in text
    assert "Round 1: corrected" in text
    assert asked(shop.port, f"/jobs/{shop.job}/proof").text.count('Measured against predicted"') == 2, (
        "each round is a proof too"
    )


def test_the_sheet_of_proof_tells_what_was_promised_found_and_corrected(shop: Workbench) -> None:
    address = f"/jobs/{shop.job}/sheet.pdf?kind="
    connection = http.client.HTTPConnection("127.0.0.1", shop.port, timeout=120)
    connection.request("GET", f"{address}proof")
    before = text_of_pdf(connection.getresponse().read())
    assert asked(shop.port, f"{address}alignment").status == 200
    off = {"front.left": -9.0, "front.right": 0.2, "rear.left": 0.2, "rear.right": 0.2}
    assert asked(shop.port, f"/jobs/{shop.job}/proof", typed(off)).status == 303
    connection.request("GET", f"{address}proof")
    after = text_of_pdf(connection.getresponse().read())
    connection.close()

    assert "OUTSIDE" not in before, "nothing was promised before it was measured"
    assert "Round 1: off: front left −9.0 mm" in before
    assert "Round 2: every height is where it was planned" in before
    assert "3 of 4 numbers came out as promised, 1 did not" in after
    assert after.count("OUTSIDE") == 1
    assert "turned: front left torsion bar" in after


def text_of_pdf(content: bytes) -> str:
    pages = pypdf.PdfReader(io.BytesIO(content)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
