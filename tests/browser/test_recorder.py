"""The phone as the sensor: what the browser's own sensors tell is recorded, read and answered; else it is said why not."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from jounce.recordings.sensor_csv import parse_recording
from tests.browser.conftest import Opened
from tests.workbench import Workbench

SENSORS = ("accelerometer", "linear-acceleration", "gyroscope")
LEANING = {"x": 0.5, "y": -1.2, "z": 9.7}


def test_what_a_phone_feels_becomes_the_recording(workbench: Workbench, opened: Opened) -> None:
    page = opened("phone")
    session = page.context.new_cdp_session(page)
    for kind in SENSORS:
        session.send("Emulation.setSensorOverrideEnabled", {"enabled": True, "type": kind})
        session.send("Emulation.setSensorOverrideReadings", {"type": kind, "reading": {"xyz": LEANING}})
    page.goto(f"{workbench.address}/cars/{workbench.car}/ask/bounce")
    page.get_by_role("button", name="Record with this phone").click()
    expect(page.get_by_text("1 s recorded")).to_be_visible()
    session.send("Emulation.setSensorOverrideReadings", {"type": SENSORS[0], "reading": {"xyz": LEANING | {"z": 11.7}}})
    expect(page.get_by_text("2 s recorded")).to_be_visible()
    page.get_by_role("button", name="Stop recording").click()
    expect(page.get_by_role("status").filter(has_text="Recorded: ")).to_be_visible()
    told = parse_recording(page.locator("#ask-recording").input_value())

    assert told.rate == pytest.approx(60, abs=15)
    assert told.acceleration[0] == pytest.approx([0.5, -1.2, 9.7], abs=0.1)
    assert told.acceleration[-1][2] == pytest.approx(11.7, abs=0.1)
    with page.expect_download() as kept:
        page.get_by_role("link", name="Keep the recording as a file").click()
    assert kept.value.path().read_text("utf-8") == page.locator("#ask-recording").input_value()
    page.get_by_role("button", name="Ask", exact=True).click()
    expect(page.get_by_role("alert")).to_contain_text("pushes were followed by swings that agree")


def test_without_sensors_it_is_said_what_to_do(workbench: Workbench, opened: Opened) -> None:
    page = opened("phone")
    page.add_init_script("delete window.DeviceMotionEvent")
    page.goto(f"{workbench.address}/cars/{workbench.car}/ask/bounce")
    expect(page.get_by_text("any sensor recorder's file will do as well")).to_be_visible()
    assert page.get_by_role("button", name="Record with this phone").count() == 0
