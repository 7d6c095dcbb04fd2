"""The present view as files: what is saved shows what the screen shows, read by other programs than ours."""

from __future__ import annotations

import io
import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opened
from tests.workbench import Workbench

CAPTION = 'Lower & <level> "both"'
SVG = "{http://www.w3.org/2000/svg}"


def saved(page: Page, button: str, folder: Path) -> Path:
    with page.expect_download() as download:
        page.get_by_role("button", name=button).click()
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    return path


def pixels(picture: Image.Image) -> np.ndarray:
    return np.asarray(picture.convert("RGB"), dtype=float)


def test_png_svg_and_clip_show_what_the_screen_shows(workbench: Workbench, opened: Opened, tmp_path: Path) -> None:
    """Second methods: the browser's own filling of the same faces from the SVG, Pillow's reading of PNG and GIF."""
    page = opened()
    page.goto(f"{workbench.address}/jobs/{workbench.job}/consequences")
    canvas = page.locator(".picture canvas")
    expect(canvas).to_have_attribute("data-drawn", re.compile(r"\d"))
    page.locator(".saving summary").click()
    page.get_by_label("A line below it", exact=True).fill(CAPTION)

    with Image.open(saved(page, "Save as PNG", tmp_path)) as png:
        flat = pixels(png)
    text = saved(page, "Save as SVG", tmp_path).read_text("utf-8")
    tree = ElementTree.fromstring(text)  # noqa: S314  # our own file: that it can be read is what is asked
    assert CAPTION in [one.text for one in tree.iter(f"{SVG}text")]
    assert len(list(tree.iter(f"{SVG}polygon"))) > 1000
    other = opened()
    other.set_content(f"<style>body {{ margin: 0 }}</style>{text}")
    drawn = pixels(Image.open(io.BytesIO(other.locator("svg").screenshot())))
    high, wide = (min(a, b) for a, b in zip(flat.shape[:2], drawn.shape[:2], strict=True))
    off = np.abs(flat[:high, :wide] - drawn[:high, :wide]).max(axis=2)
    assert (
        off > 40
    ).mean() < 0.02  # edges are cut into four by us, into finer parts by the browser; hairs lie elsewhere
    assert (np.abs(flat - 255).max(axis=2) > 40).mean() > 0.04  # and there is something to compare

    with Image.open(saved(page, "Save the motion as a clip", tmp_path)) as clip:
        assert clip.info["loop"] == 0  # for ever
        assert clip.n_frames == 36  # type: ignore[attr-defined]
        frames = []
        for number in (0, 18):
            clip.seek(number)
            frames.append(pixels(clip))
        size = clip.size
    assert np.abs(frames[0] - frames[1]).mean() > 1  # it moves
    assert size[0] <= 640
    whole = pixels(Image.fromarray(flat.astype(np.uint8)).resize(size))
    assert (
        np.abs(frames[0] - whole).mean() < 12
    )  # droop instead of standing: the same picture but for the wheels' places
