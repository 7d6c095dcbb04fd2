"""What programs are told of a plan's settings: all of them, and nothing that the interface's document does not describe."""

from __future__ import annotations

import dataclasses
import json
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest

from jounce.case.case import Case
from jounce.conventions.units import MM
from jounce.job.file import parse_job, read_job
from jounce.job.settings import WheelSetting, settings_values
from jounce.web.api.of_jobs import OPERATIONS
from jounce.web.api.plain import plain

DEMO = Path(str(files("jounce.demo")))
AXLE = next(one for one in OPERATIONS if one.name == "readSettings").answer.schema["properties"]["front"]
SPACED = """
[change.front.ball_joint_spacer]
height = 10
[change.front.rack]
higher = 3
shim = 1.5
"""


def told(job: str, more: str = "", swap: tuple[str, str] = ("", "")) -> dict[str, Any]:
    path = DEMO / f"{job}.toml"
    text = path.read_text("utf-8")
    assert swap[0] in text
    case = Case(read_job(path)[1], parse_job(text.replace(*swap) + more, ""))
    return settings_values(case.plan.settings["front"])


def described(values: dict[str, Any]) -> bool:
    """Whether the document allows these settings, of which it knows every part."""
    return bool(jsonschema_rs.validator_for(AXLE).is_valid(json.loads(json.dumps(plain(values)))))


def test_spacers_and_the_rack_are_among_the_settings():
    values = told("brisk-14-lower", SPACED)
    assert values["joint_heights"] == pytest.approx(
        {"ball_joint": 10 * MM, "tie_rod": 0.0, "rack": 3 * MM, "shim": 1.5 * MM}
    )
    assert described(values)
    assert not described(values | {"joint_heights": {"lower": 1.0}})


def test_turns_of_eccentric_bolts_are_described():
    values = told("bracken-16-lower", swap=("reach_inward = 8\nreach_outward = 8", "eccentricity = 8"))
    assert values["wheels"]["left"]["bolt_turn"] > 0
    assert described(values)


def test_every_setting_of_a_wheel_has_a_text():
    told_of = AXLE["properties"]["wheels"]["additionalProperties"]["properties"]
    assert set(told_of) == {one.name for one in dataclasses.fields(WheelSetting)}
    assert all(one["description"] for one in told_of.values())
