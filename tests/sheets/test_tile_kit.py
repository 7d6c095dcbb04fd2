"""The printed tiles are found on a picture of their sheet, in their size, by the same way as in a photograph."""

from __future__ import annotations

import io

import cv2
import numpy as np
import pypdfium2
import pytest
from pypdf import PdfReader

from jounce.conventions.errors import InputError
from jounce.photographs.corners import linear_light, refined
from jounce.photographs.tags import TAGS, tag_cells
from jounce.photographs.tiles import board_centres
from jounce.photographs.vision import found_tiles
from jounce.sheets.tile_kit import tile_kit
from jounce.web.language import MissingPhrases, NotingTranslator
from jounce.words.phrases import language_phrases

DOTS = 8  # a millimetre


@pytest.fixture(scope="module")
def kit() -> bytes:
    return tile_kit("a4", control=5, pivots=4)


def test_every_tag_is_the_one_of_the_family() -> None:
    family = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)

    assert all(np.array_equal(tag_cells(one), family.generateImageMarker(one, 8) > 0) for one in range(TAGS))


@pytest.mark.parametrize(("page", "numbers", "side"), [(1, [0, 1, 2, 3], 60), (2, [4], 60), (3, [60, 61, 62, 63], 40)])
def test_printed_tiles_are_found_in_their_true_size(kit, page, numbers, side) -> None:
    """Corners to a twentieth of a millimetre; the picture has eight dots a millimetre."""
    with pypdfium2.PdfDocument(kit) as document:
        picture = np.asarray(document[page].render(scale=DOTS * 25.4 / 72, grayscale=True).to_pil())
    picture = cv2.GaussianBlur(picture, (0, 0), 1.0)
    found = found_tiles(picture)
    corners, _ = refined(linear_light(picture), np.array([one.corners for one in found]))
    sides = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=-1) / DOTS

    assert [one.number for one in found] == numbers
    assert sides == pytest.approx(np.full((len(numbers), 4), float(side)), abs=0.05)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_what_is_found_at_the_car_has_its_lines_on_one_page_of_either_paper(paper) -> None:
    data = tile_kit(paper, control=1, pivots=1)
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(data)).pages]

    assert len(pages) == 4
    assert all(
        what in pages[0] for what in ("joint behind the paper", "to tile, or ground", "100 mm long", "page 1 of 4")
    )
    assert all(what in pages[3] for what in ("what the tip touches", "100 mm long", "page 4 of 4"))


def test_no_line_to_cut_along_runs_between_the_tiles_of_the_board(kit) -> None:
    """From the middle of the upper two tiles up to their black, all is white; outside them the line is there."""
    with pypdfium2.PdfDocument(kit) as document:
        picture = np.asarray(document[4].render(scale=DOTS * 25.4 / 72, grayscale=True).to_pil())
    corners = {one.number: one.corners for one in found_tiles(picture)}
    right, left = corners[100][:, 0].max(), corners[101][:, 0].min()
    upper, lower = corners[100][:, 1].min(), corners[100][:, 1].max()
    row = slice(int(upper), int(lower))

    assert picture[row, int(right) + DOTS : int(left) - DOTS].min() > 250
    assert picture[row, : int(corners[100][:, 0].min()) - DOTS].min() < 230


def test_the_board_of_the_pointer_is_printed_as_it_is_reckoned_with(kit) -> None:
    """Middles of its four tiles from the board's, to a twentieth of a millimetre."""
    with pypdfium2.PdfDocument(kit) as document:
        assert len(document) == 5
        picture = np.asarray(document[4].render(scale=DOTS * 25.4 / 72, grayscale=True).to_pil())
    picture = cv2.GaussianBlur(picture, (0, 0), 1.0)
    found = found_tiles(picture)
    corners, _ = refined(linear_light(picture), np.array([one.corners for one in found]))
    middles = corners.mean(axis=1) / DOTS * [1, -1]

    assert [one.number for one in found] == [100, 101, 102, 103]
    assert middles - middles.mean(axis=0) == pytest.approx(1e3 * board_centres(0.040)[:, :2], abs=0.05)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_every_page_has_its_name_and_its_line(paper) -> None:
    texts = [page.extract_text() for page in PdfReader(io.BytesIO(tile_kit(paper, 20, 18))).pages]

    assert all(f"page {number} of {len(texts)}" in text for number, text in enumerate(texts, start=1))
    assert all("100 mm" in text for text in texts)
    assert "stands" in texts[0]
    assert "hot" in texts[0]


def test_more_tiles_than_there_are_are_refused() -> None:
    with pytest.raises(InputError, match="not so many control tiles; found 61; allowed: 0 to 60"):
        tile_kit(control=61)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_in_german_every_text_has_its_line_and_leaves_the_scale_free(paper) -> None:
    """Over the line of 100 mm two millimetres stay white, however long the texts above it are."""
    heard = MissingPhrases()
    kit = tile_kit(paper, control=1, pivots=1, speaks=NotingTranslator(language_phrases("de"), heard))
    assert heard.all() == set()
    with pypdfium2.PdfDocument(kit) as document:
        assert len(document) == 4
        for page in document:
            dark = np.asarray(page.render(scale=DOTS * 25.4 / 72, grayscale=True).to_pil()) < 128
            left, right = 9 * DOTS, 109 * DOTS
            line = np.flatnonzero(dark[:, left + 2 : right - 2].all(axis=1) & ~dark[:, right + DOTS])[-1]
            over = dark[line - 4 * DOTS - 4 : line - 2 * DOTS - 4]

            assert not over.any()
