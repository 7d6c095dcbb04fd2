"""The README: it says how to run and test, and nothing that is not there."""

from __future__ import annotations

import re
from importlib.resources import files

from typer.testing import CliRunner

from jounce.cli.app import commands
from tests.house.places import DOCS, ROOT

README = (ROOT / "README.md").read_text("utf-8")


def test_first_paragraph_says_whom_it_is_for() -> None:
    first = README.split("\n\n")[1]

    assert "workshop" in first
    assert "front-drive" in first


def test_readme_tells_how_to_run_and_how_to_test() -> None:
    lines = [line.split("#")[0].strip() for line in README.splitlines()]

    assert "make run" in lines
    assert "make test" in lines


def test_the_commands_for_continuous_integration_are_those_of_the_readme() -> None:
    script = (ROOT / ".ci" / "run").read_text("utf-8")

    assert script.startswith("#!/usr/bin/env bash")
    assert "set -euo pipefail" in script
    assert script.rstrip().splitlines()[-1].endswith("test")


def test_cautions_come_with_the_program() -> None:
    assert "## Cautions" in README
    assert re.search(r"stored energy", README)


def test_manual_is_reached_from_the_readme() -> None:
    assert "(docs/manual/index.md" in README
    assert (DOCS / "manual" / "index.md").exists()


def test_the_readme_is_short_and_shows_a_picture_first() -> None:
    assert len(README.splitlines()) <= 80
    picture = re.search(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert picture is not None
    assert (ROOT / picture[1]).exists()
    assert picture.start() < README.index("make run")


def test_the_output_that_it_shows_is_what_the_command_prints() -> None:
    block = re.search(r"\$ jounce job my-car/brisk-14-lower.toml\n(.*?)```", README, re.DOTALL)
    assert block is not None
    printed = CliRunner().invoke(commands, ["job", str(files("jounce.demo").joinpath("brisk-14-lower.toml"))]).output
    left = printed.splitlines()
    for line in block[1].splitlines():
        assert line in left, line
        left = left[left.index(line) + 1 :]
