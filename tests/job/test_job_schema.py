"""The JSON Schema of the job file: it takes what the reader takes, and tells kinds and ranges."""

from __future__ import annotations

import json
import tomllib
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.job.schema import job_schema
from tests.car.test_reference import fits

DEMO = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml")))
MORE = """
[goals.roll_gradient]
window = "3.5 to 4.5 deg/g"
weight = 2
reason = "less roll"
[goals.front_bump]
window = [50, "90 mm"]
[shelf.front]
torsion_bar = "TB-24"
[shelf]
also = ["S-BOLT-PR=2"]
"""


def written():
    """The demo job with goals and codes, as JSON has it: days are texts there."""
    return json.loads(
        json.dumps(tomllib.loads(DEMO.read_text("utf-8").partition("# Codes of these parts")[0] + MORE), default=str)
    )


def whole(part, definitions):
    """A schema with what it refers to in place of the references."""
    if isinstance(part, list):
        return [whole(one, definitions) for one in part]
    if not isinstance(part, dict):
        return part
    if "$ref" in part:
        return whole(definitions[part["$ref"].removeprefix("#/$defs/")], definitions)
    return {key: whole(value, definitions) for key, value in part.items() if key != "$defs"}


@cache
def schema():
    return whole(job_schema(), job_schema()["$defs"])


def test_the_schema_takes_a_job_with_everything():
    assert fits(written(), schema())


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("goals", "roll_gradiant"), {"window": "1 to 2 deg/g"}),
        (("goals", "roll_gradient", "window"), 4),
        (("goals", "roll_gradient", "window"), [1, 2, 3]),
        (("goals", "roll_gradient", "weight"), -1),
        (("goals", "front_bump"), {}),
        (("shelf", "front", "torsion_bar"), 24),
        (("shelf", "middle"), {}),
        (("wanted", "front", "lower"), 500),
    ],
)
def test_the_schema_refuses_what_the_reader_refuses(path, value):
    changed = written()
    section = changed
    for key in path[:-1]:
        section = section[key]
    section[path[-1]] = value

    assert not fits(changed, schema())


def test_a_window_tells_its_unit_and_range():
    window = job_schema()["$defs"]["RollGoal"]["properties"]["window"]

    assert (window["x-unit"], window["x-accepted"]) == ("deg/g", [0, 20])


def test_the_command_writes_it():
    done = CliRunner().invoke(commands, ["schema", "--job"])

    assert json.loads(done.output) == json.loads(json.dumps(job_schema()))
