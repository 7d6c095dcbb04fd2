"""A newcomer with a tape: a car of the demo's layout put in, what must be measured first; fields and clicks counted."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from jounce.car.file.assumed import is_assumed
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import MeasuredPoint
from jounce.car.file.reading import parse_car
from jounce.conventions.units import Kind, to_display
from jounce.measuring.known import Known, known_of, point_shown
from jounce.measuring.walk import Item, Step, steps_of
from tests.browser.conftest import SIZES, Opened
from tests.workbench import Workbench, demo_text

FIELDS, MUSTS, CLICKS = 60, 25, 12
COIL = {"rear.spring.wire": "10", "rear.spring.outer_diameter": "110", "rear.spring.active_turns": "5.75"}
"""Sizes that its file does not tell, of a coil about as stiff."""
LIKE = parse_car(demo_text("brisk-14.toml"), "like it")


class Tape:
    """A hand that types readings and counts fields and clicks."""

    def __init__(self, page: Page) -> None:
        self.page, self.fields, self.musts, self.clicks = page, 0, 0, 0

    def click(self, role: str, name: str | re.Pattern[str]) -> None:
        """Press one thing."""
        self.page.get_by_role(role, name=name).first.click()  # type: ignore[arg-type]
        self.clicks += 1

    def types(self, field: str, text: str) -> None:
        """Fill one field."""
        self.page.locator(f'[id="{field}"]').fill(text)
        self.fields += 1


def reading(item: Item, document: CarDocument) -> str:
    """What the tape says: a little more than on the car that it is laid out like."""
    known = known_of(document).get(item.key)
    if not isinstance(known, Known):
        return COIL[item.key]
    value = 1.004 * known.value
    return f"{value:.0f}" if item.kind is None else f"{to_display(value, item.kind, 'metric'):.4g}"


def measured(tape: Tape, step: Step) -> None:
    """One stop of the walk: all that must be, and of pivots as many as the fields allow."""
    known = known_of(LIKE)
    expect(tape.page.get_by_role("heading", name=step.title)).to_be_visible()
    shown = tape.page.locator(".tape .must")
    assert shown.count() == sum(item.must for item in step.items)
    for item in step.items:
        if item.must:
            tape.types(f"{item.key}~value", reading(item, LIKE))
            tape.musts += 1
    for point in step.points:
        at, centre = known[point.key], known[f"{step.axle}.pivots.wheel_centre"]
        assert isinstance(at, MeasuredPoint)
        assert isinstance(centre, MeasuredPoint)
        if tape.fields + 3 <= FIELDS:
            for part, text in zip("xyz", point_shown(at, centre, "metric"), strict=True):
                tape.types(f"{point.key}~{part}", f"{float(text) + 1:g}")


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", SIZES)
def test_a_new_car_of_the_demo_s_layout(
    opened: Opened, workbench: Workbench, size: str, capsys: pytest.CaptureFixture[str]
) -> None:
    page = opened(size)
    page.goto(f"{workbench.address}/book")
    tape, name = Tape(page), f"Grey one {size}"
    tape.click("link", re.compile("New car|Put in a new car|A new car"))
    tape.types("name", name)
    tape.click("radio", re.compile("^Strut with torsion bar"))
    tape.click("radio", re.compile("^Beam axle, trailing arms, Panhard rod"))
    tape.click("button", "Begin to measure")
    expect(page.get_by_role("heading", name="Once round with the tape")).to_be_visible()
    walk = [step for step in steps_of(LIKE) if not step.optional]
    last = next(step for step in reversed(walk) if step.points)
    for step in walk[: walk.index(last) + 1]:
        measured(tape, step)
        tape.click("button", "Save and to the list" if step is last else re.compile("^Save and go on"))
    expect(page.get_by_text(f"All {MUSTS} that must be measured are.")).to_be_visible()
    with capsys.disabled():
        print(f" [{size}: {tape.fields} fields, {tape.musts} of them must, {tape.clicks} clicks] ", end="")  # noqa: T201  # told

    assert tape.fields <= FIELDS
    assert tape.musts <= MUSTS
    assert tape.clicks <= CLICKS
    (entry,) = [one for one in workbench.book.entries("car") if one.name == name]
    document = parse_car(entry.content, name)
    known = known_of(document)
    for step in walk:
        for item in step.items:
            told = known.get(item.key)
            assert not item.must or (isinstance(told, Known) and told.measured), item.key
    points = [known[point.key] for step in walk for point in step.points]
    assumed = [one for one in points if isinstance(one, MeasuredPoint) and is_assumed(one)]
    assert 0 < len(assumed) < len(points)  # the rest is the other car's, and is marked so
    page.goto(f"{workbench.address}/cars/{entry.id}/measure/rear-pivots")
    rear = [known[point.key] for point in last.points]
    expect(page.locator(".tape .is-assumed")).to_have_count(
        sum(isinstance(one, MeasuredPoint) and is_assumed(one) for one in rear)
    )
    assert to_display(document.front.left.torsion_bar.diameter.value, Kind.LENGTH, "metric") == pytest.approx(  # type: ignore[union-attr]
        1.004 * to_display(LIKE.front.left.torsion_bar.diameter.value, Kind.LENGTH, "metric"),
        abs=0.01,  # type: ignore[union-attr]
    )
