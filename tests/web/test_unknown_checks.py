"""What a check lacks can be typed in: each unknown one leads to the page with a field for it, and is answered from it."""

from __future__ import annotations

import re

import pytest

from jounce.car.file.reading import read_toml
from jounce.car.file.rewriting import rewritten
from jounce.checks import Check, Verdict
from jounce.web.case_cache import case_of
from jounce.web.pages.job import asked_at
from tests.workbench import Workbench, asked, demo_text

JOB = '[job]\nname = "x"\ncar = "in the book"\n\n[wanted.front]\nlower = 20\n\n[wanted.rear]\nlower = 20\n'
PARTS = """
[change.front.top_plate]
inward = 4
rearward = 3

[change.rear.panhard]
shortest = 820
longest = 870
thread_pitch = 1.5
"""
READINGS = ("front.drive_shaft", "rear.drive_shaft", "rear.panhard.diameter", "front.torsion_bar.stress_limit",
            "driveline", "places", "limits", "front.clearance", "rear.clearance", "front.damper", "rear.damper",
            "front.wheel.lateral", "rear.wheel.lateral", "front.torsion_bar.splines_arm", "front.torsion_bar.yield_stress",
            "front.torsion_bar.splines_anchor", "rear.spring.wire")  # fmt: skip
CANNOT = {
    "LMP-01": "the beams are measured once the planned car stands on its wheels, with the driver aboard",
    "LSV-01": "the valve is looked at and reset on the car; no number of it is in the car file",
    "WHL-01": "new wheels are looked at on the car, at full lock, up and down",
    "DMP-01": "a curve is a table from a test bench: it is typed in the car's own text, to which the page leads",
}
"""Checks that no field of the measuring pages can answer, and why."""
EXPECTED = {
    "demo": {"SHF-01", "SHF-02", "PAN-02", "PAN-03", "STR-01", "SPR-02", "PLT-01"},
    "bare": {"SHF-01", "PAN-02", "STR-01", "BRK-01", "LDN-01", "LDN-02", "GND-01", "GRP-01", "GRP-02", "TRV-03", "ARB-01",
             "HGT-01", "ARC-01", "HOS-01"},
}  # fmt: skip
"""Checks that are unknown of each car at the least: what is told by them must not be lost from the test."""
TYPED = {
    "dampers": {"front.damper.closed_length": "355", "front.damper.open_length": "560",
                "rear.damper.closed_length": "300", "rear.damper.open_length": "470"},
    "checks": {"front.drive_shaft.max_angle": "47", "front.drive_shaft.inner_max_angle": "23",
               "front.drive_shaft.plunge_in": "20", "front.drive_shaft.plunge_out": "20",
               "front.torsion_bar.stress_limit": "900", "front.damper.rod_diameter": "22",
               "front.bump_stop.free_height": "50", "rear.spring.solid_length": "120", "rear.panhard.diameter": "25",
               "driveline.brake_front_share": "78", "limits.minimum_ground_clearance": "100",
               "front.wheel.lateral": "", "rear.wheel.lateral": ""},
    "aboard": {"places.passenger.mass": "75", "places.passenger.back": "1150", "places.passenger.left": "-360",
               "places.passenger.up": "450"},
    "round": {"limits.ground_clearance": "150"},
    "room": {"front.clearance.tyre_to_arch": "95", "rear.clearance.tyre_to_arch": "110",
             "front.clearance.brake_hose_droop": "150", "rear.clearance.brake_hose_droop": "150"},
    "springs": {"front.torsion_bar.splines_arm": "30", "front.torsion_bar.splines_anchor": "31",
                "rear.spring.wire": "11"},
}  # fmt: skip


def unknown(job_text: str, car_text: str) -> list[Check]:
    return [check for check in case_of(job_text, car_text).checks if check.verdict is Verdict.UNKNOWN]


@pytest.fixture
def bare() -> str:
    """The demo car without the readings that only checks ask for."""
    text = demo_text("brisk-14.toml")
    there = {key: None for key in READINGS if _has(read_toml(text, ""), key)}
    return rewritten(text, there)


def _has(written: object, key: str) -> bool:
    for step in key.split("."):
        if not isinstance(written, dict) or step not in written:
            return False
        written = written[step]
    return True


@pytest.mark.parametrize("which", ["demo", "bare"])
def test_each_unknown_check_leads_to_a_field_or_says_why_it_cannot(workbench: Workbench, bare: str, which: str) -> None:
    text = {"demo": demo_text("brisk-14.toml"), "bare": bare}[which]
    car = workbench.book.add("car", which, text)
    job = workbench.book.add("job", "x", JOB + PARTS, car.id)
    found = unknown(job.content, text)
    pages: dict[str, str] = {}

    assert EXPECTED[which] <= {one.code for one in found}
    for check in found:
        if check.code in CANNOT:
            continue
        address = asked_at((job, car), check.asks)
        page, _, key = address.partition("#")
        assert page, (check.code, check.sentence, check.asks)
        if page not in pages:
            pages[page] = asked(workbench.port, page).text
        assert f'name="{key}"' in pages[page], (check.code, address)
    shown = asked(workbench.port, f"/jobs/{job.id}/fits").text
    assert f'href="/jobs/{job.id}/changes#change.rear.panhard.thread_diameter">Enter the measurement</a>' in shown


def test_what_is_typed_there_answers_the_checks(workbench: Workbench, bare: str) -> None:
    car = workbench.book.add("car", "Brisk 14, bare", bare)
    before = {one.code for one in unknown(JOB, bare)}
    for step, fields in TYPED.items():
        address = f"/cars/{car.id}/measure/{step}"
        page = asked(workbench.port, address).text
        number = re.findall(r'name="number" value="(\d+)"', page)[0]
        law = re.findall(r'<option value="(\w[^"]*)"', page.partition('name="front.wheel.lateral"')[2])[:1]
        given = {key: text or law[0] for key, text in fields.items()}
        answer = asked(workbench.port, address, {"number": number, **given})
        assert answer.status == 303, re.findall(r'class="wrong"[^<]*', answer.text)
    after = {one.code for one in unknown(JOB, workbench.book.entry(car.id).content)}

    assert after <= {*CANNOT, "SPR-04"}
    assert len(before - after) > 15
    lacks = asked(workbench.port, f"/cars/{car.id}/measure/aboard", {"number": "9", "places.boot.mass": "40"})
    assert lacks.status == 422
    assert "A place needs all four of its numbers" in lacks.text
