"""Charts: read at the cursor, zoomed by hand, wheel, finger and key, and saved; what they say is what was worked out."""

from __future__ import annotations

import csv
import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from playwright.sync_api import Locator, Page, expect

from jounce.behaviour.axle.travel import column_map
from jounce.web.case_cache import case_of
from jounce.web.charts.travel_curves import TRAVEL, springing, travel_table
from jounce.web.picture.standing import as_planned
from tests.browser.conftest import Opened
from tests.workbench import Workbench, demo_text

CAMBER = "front: camber, left"


def chart(page: Page, title: str = CAMBER) -> Locator:
    return page.locator("figure.chart", has=page.get_by_role("slider", name=title))


def charts(workbench: Workbench, opened: Opened, size: str = "desktop") -> tuple[Page, Locator]:
    page = opened(size)
    page.goto(f"{workbench.address}/jobs/{workbench.job}/consequences")
    page.get_by_text("Curves over travel").click()
    one = chart(page)
    expect(one).to_have_attribute("data-zoomed", "no")
    expect(page.locator(".picture canvas")).to_have_attribute("data-drawn", re.compile(r"\d"))  # it pushes them down
    one.scroll_into_view_if_needed()
    return page, one


def view(one: Locator) -> tuple[float, float]:
    low, high = (one.get_attribute("data-view") or "").split()
    return float(low), float(high)


def worked_out(title: str, axle: int) -> tuple[np.ndarray, np.ndarray]:  # type: ignore[type-arg]
    """A column as found and as planned over travel, SI."""
    plan = case_of(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml")).plan
    found, planned = ({**column_map(travel_table(a[axle])), **springing(a[axle])}[title] for a in as_planned(plan))
    return found, planned


def at(one: Locator, share: float) -> tuple[float, float]:
    """A place on the screen over a share of the chart's own width."""
    box = one.locator(".plot svg").first.bounding_box()
    assert box is not None
    return box["x"] + box["width"] * (54 + share * 296) / 360, box["y"] + box["height"] * 0.4


def read_out(one: Locator) -> str:
    return one.locator(".readout").inner_text().replace("\n", " ")


def test_a_chart_is_read_at_the_pointer_for_every_line(workbench: Workbench, opened: Opened) -> None:
    page, one = charts(workbench, opened)
    page.mouse.move(*at(one, 0.75))
    found, planned = (np.degrees(values[45]) for values in worked_out("left_camber", 0))

    expect(one.locator(".here")).to_have_text("at +30.0 mm")
    told = f"as found {found:.2f} deg ■ as planned {planned:.2f} deg".replace("-", "−")
    assert told in re.sub(r"\s+", " ", read_out(one))
    expect(one.locator(".readout")).to_have_attribute("aria-live", "polite")
    expect(one.locator(".cursor circle")).to_have_count(1)
    expect(one.locator(".cursor rect")).to_have_count(1)


def test_picture_and_other_charts_go_with_a_charts_cursor_and_it_with_them(
    workbench: Workbench, opened: Opened
) -> None:
    page, one = charts(workbench, opened)
    page.mouse.move(*at(one, 0.25))
    expect(page.locator(".picture output")).to_have_text("−30.0 mm")
    expect(chart(page, "rear: roll centre")).to_have_attribute("data-at", "-30")
    page.locator("#drag").focus()
    page.keyboard.press("ArrowRight")
    expect(one).to_have_attribute("data-at", "-28")
    page.get_by_role("button", name="roll", exact=True).click()
    expect(one).to_have_attribute("data-at", "")
    one.scroll_into_view_if_needed()
    page.mouse.move(*at(one, 0.5))
    expect(page.get_by_role("button", name="travel", exact=True)).to_have_attribute("aria-pressed", "true")


def test_keys_walk_zoom_and_show_all_again(workbench: Workbench, opened: Opened) -> None:
    page, one = charts(workbench, opened)
    slider = one.get_by_role("slider")
    slider.focus()
    expect(slider).to_have_attribute("aria-valuenow", "0")
    page.keyboard.press("ArrowRight")
    found, planned = (np.degrees(values[31]) for values in worked_out("left_camber", 0))
    text = f"+2.0 mm: as found {found:.2f} deg, as planned {planned:.2f} deg".replace("-", "−")
    expect(slider).to_have_attribute("aria-valuetext", text)
    expect(one.locator(".readout")).to_have_attribute("aria-live", "off")  # the slider itself is read out
    page.keyboard.press("+")
    low, high = view(one)
    assert high - low == pytest.approx(120 / 1.6, abs=0.01)
    page.keyboard.press("End")
    assert view(one)[1] == 60
    page.keyboard.press("Shift+ArrowLeft")
    assert view(one)[1] == pytest.approx(60 - 120 / 1.6 / 4, abs=0.01)
    page.keyboard.press("-")
    page.keyboard.press("-")
    expect(one).to_have_attribute("data-zoomed", "no")
    page.keyboard.press("+")
    page.keyboard.press("0")
    assert view(one) == (-60, 60)


def test_a_part_is_dragged_larger_and_moved_about(workbench: Workbench, opened: Opened) -> None:
    page, one = charts(workbench, opened)
    before = one.locator(".curves path").first.get_attribute("d")
    page.mouse.move(*at(one, 0.25))
    page.mouse.down()
    page.mouse.move(*at(one, 0.5), steps=4)
    page.mouse.up()
    low, high = view(one)
    assert (low, high) == (pytest.approx(-30, abs=1), pytest.approx(0, abs=1))
    shown = [float(t.replace("−", "-")) for t in one.locator(".grid text[text-anchor=middle]").all_text_contents()]
    assert shown
    assert min(shown) >= low
    assert max(shown) <= high
    expect(one.locator(".curves path").first).not_to_have_attribute("d", before or "")
    page.mouse.move(*at(one, 0.2))
    page.mouse.down()
    page.mouse.move(*at(one, 0.6), steps=4)
    page.mouse.up()
    assert view(one)[0] == pytest.approx(low - 0.4 * (high - low), abs=0.5)
    page.mouse.dblclick(*at(one, 0.5))
    assert view(one) == (-60, 60)
    expect(one.locator(".curves path").first).to_have_attribute("d", before or "")


def test_the_wheel_scrolls_the_page_until_the_chart_is_taken_in_hand(workbench: Workbench, opened: Opened) -> None:
    page, one = charts(workbench, opened)
    page.mouse.move(*at(one, 0.5))
    page.mouse.wheel(0, -40)
    page.wait_for_timeout(200)
    expect(one).to_have_attribute("data-zoomed", "no")
    one.scroll_into_view_if_needed()
    page.mouse.click(*at(one, 0.5))
    top = page.evaluate("scrollY")
    page.mouse.wheel(0, -40)
    expect(one).to_have_attribute("data-zoomed", "yes")
    assert page.evaluate("scrollY") == top
    low, high = view(one)
    assert (low + high) / 2 == pytest.approx(0, abs=1)


def test_zoomed_heights_hold_all_that_is_seen(workbench: Workbench, opened: Opened) -> None:
    page, _ = charts(workbench, opened)
    one = chart(page, "front: wheel rate, left")
    found, planned = worked_out("left_wheel_rate", 0)
    in_view = np.concatenate([found[TRAVEL > 0.045], planned[TRAVEL > 0.045]]) / 1e3  # the rubbers work there
    tops = [float(t) for t in one.locator(".grid text[text-anchor=end]").all_text_contents()]
    assert max(tops) < in_view.max() / 2  # the whole picture leaves the rubbers' rates out
    one.get_by_role("slider").focus()
    page.keyboard.press("End")
    for _ in range(5):
        page.keyboard.press("+")
    path = one.locator(".curves path").first.get_attribute("d") or ""
    low, high = view(one)
    points = [(float(x), float(y)) for x, y in re.findall(r"[ML]([\d.-]+) ([\d.-]+)", path)]
    seen = [y for x, y in points if 54 <= x <= 350]
    assert low > 40
    assert high == 60
    assert seen
    assert min(seen) >= 8
    assert max(seen) <= 182


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", ["desktop", "phone"])
def test_the_buttons_do_the_same(workbench: Workbench, opened: Opened, size: str) -> None:
    _, one = charts(workbench, opened, size)
    out = one.get_by_role("button", name="Zoom out")
    expect(out).to_be_disabled()
    for button in one.get_by_role("button").all():
        box = button.bounding_box()
        if box is not None:
            assert min(box["width"], box["height"]) >= 48
    one.get_by_role("button", name="Zoom in").click()
    expect(one).to_have_attribute("data-zoomed", "yes")
    one.get_by_role("button", name="Show the whole chart").click()
    expect(one).to_have_attribute("data-zoomed", "no")


def test_fingers_read_pinch_and_tap_twice(workbench: Workbench, opened: Opened) -> None:
    page, one = charts(workbench, opened, "phone")
    hand = page.context.new_cdp_session(page)

    def touch(kind: str, *shares: float) -> None:
        places = [at(one, share) for share in shares]
        points = [{"x": x, "y": y, "id": k} for k, (x, y) in enumerate(places)]
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart", 0.5)
    touch("touchMove", 0.6)
    touch("touchMove", 0.75)
    expect(one).to_have_attribute("data-at", "30")
    touch("touchEnd")
    touch("touchStart", 0.45, 0.55)
    for spread in (0.1, 0.15, 0.2):
        touch("touchMove", 0.5 - spread, 0.5 + spread)
    touch("touchEnd")
    low, high = view(one)
    assert high - low == pytest.approx(120 / 4, rel=0.15)
    touch("touchStart", 0.5)  # one finger moves what is zoomed
    touch("touchMove", 0.4)
    touch("touchMove", 0.3)
    touch("touchEnd")
    assert view(one)[0] == pytest.approx(low + 0.2 * (high - low), abs=1)
    page.wait_for_timeout(400)
    for _ in range(2):
        touch("touchStart", 0.5)
        touch("touchEnd")
    expect(one).to_have_attribute("data-zoomed", "no")


def saved(page: Page, one: Locator, kind: str, to: Path, below: str = "") -> Path:
    one.locator("summary").click()
    one.get_by_label("A line below it").fill(below)
    with page.expect_download() as download:
        one.get_by_role("button", name=f"Save as {kind}").click()
    assert download.value.suggested_filename == f"front-camber-left.{kind.lower()}"
    download.value.save_as(to)
    return to


def test_saved_numbers_are_those_worked_out_with_their_units(
    workbench: Workbench, opened: Opened, tmp_path: Path
) -> None:
    page, one = charts(workbench, opened)
    with saved(page, one, "CSV", tmp_path / "chart.csv").open(encoding="utf-8") as file:
        head, *rows = list(csv.reader(file))

    assert head == [
        "wheel travel from standing, mm",
        "as found: front: camber, left, deg",
        "as planned: front: camber, left, deg",
    ]
    found, planned = worked_out("left_camber", 0)
    columns = np.array(rows, dtype=float).T
    assert columns[0] == pytest.approx(TRAVEL * 1e3, abs=1e-3)
    assert columns[1] == pytest.approx(np.degrees(found), abs=5.1e-5)  # as many decimals as the page carries
    assert columns[2] == pytest.approx(np.degrees(planned), abs=5.1e-5)


@pytest.mark.validation_long
def test_a_saved_drawing_is_whole_by_itself(workbench: Workbench, opened: Opened, tmp_path: Path) -> None:
    page, one = charts(workbench, opened)
    line = "why it <tips> & when"
    tree = ElementTree.parse(saved(page, one, "SVG", tmp_path / "chart.svg", line))  # noqa: S314  # our own
    texts = ["".join(text.itertext()) for text in tree.iter("{http://www.w3.org/2000/svg}text")]

    assert {"as found", "as planned", "wheel travel from standing, mm, + bump"} <= set(texts)
    assert {"front: camber, left, deg, − top inward", line} <= set(texts)
    paths = list(tree.iter("{http://www.w3.org/2000/svg}path"))
    assert [path.get("stroke-dasharray") for path in paths] == ["7 4", None]
    assert tree.getroot().get("aria-hidden") is None


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", ["desktop", "phone"])
def test_a_chart_is_saved_as_a_picture(workbench: Workbench, opened: Opened, tmp_path: Path, size: str) -> None:
    page, one = charts(workbench, opened, size)
    content = saved(page, one, "PNG", tmp_path / "chart.png").read_bytes()

    assert content.startswith(b"\x89PNG")
    assert int.from_bytes(content[16:20]) == 1080
    assert len(content) > 10_000


def test_both_turns_have_charts_that_come_with_them(workbench: Workbench, opened: Opened) -> None:
    page, _ = charts(workbench, opened)
    page.locator("summary", has_text="In a corner").click()
    one = chart(page, "load moved, rear")
    expect(one).to_have_attribute("data-zoomed", "no")
    one.scroll_into_view_if_needed()
    page.mouse.move(*at(one, 0.5))
    expect(one.locator(".here")).to_have_text("at 0.00 g")


def test_without_scripts_the_charts_stand_and_the_curves_can_be_had(workbench: Workbench, opened: Opened) -> None:
    page = opened("desktop", java_script_enabled=False)
    page.goto(f"{workbench.address}/jobs/{workbench.job}/consequences")
    page.get_by_text("Curves over travel").click()

    expect(page.locator("figure.chart svg[role=img]").first).to_be_visible()
    expect(page.locator("figure.chart .curves path").first).to_have_attribute("d", re.compile("^M"))
    expect(page.locator("figure.chart button")).to_have_count(0)
    expect(page.get_by_role("link", name="All curves as CSV")).to_be_visible()
