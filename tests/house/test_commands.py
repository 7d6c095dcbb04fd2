"""The commands: each has help, each option too, and each stands in the manual."""

from __future__ import annotations

import re
from typing import Any

import click
import pytest
import typer

from jounce.cli.app import commands
from tests.house.places import DOCS, ROOT

MANUAL = (DOCS / "manual" / "index.md").read_text("utf-8")
README = (ROOT / "README.md").read_text("utf-8")
_GROUP: Any = typer.main.get_command(commands)
_CONTEXT = _GROUP.make_context("jounce", ["--help"], resilient_parsing=True)
COMMANDS: dict[str, click.Command] = {
    name: _GROUP.get_command(_CONTEXT, name) for name in _GROUP.list_commands(_CONTEXT)
}


def test_there_are_commands() -> None:
    assert {"check", "example", "settle", "travel"} <= COMMANDS.keys()


@pytest.mark.parametrize("name", COMMANDS)
def test_command_has_help_and_its_entries(name: str) -> None:
    assert (COMMANDS[name].help or "").rstrip().endswith(".")
    assert f"### `jounce {name}`" in MANUAL


@pytest.mark.parametrize("name", COMMANDS)
def test_every_parameter_has_help(name: str) -> None:
    silent = [parameter.name for parameter in COMMANDS[name].params if not getattr(parameter, "help", None)]

    assert silent == []


@pytest.mark.parametrize(("page", "text"), [("manual", MANUAL), ("README", README)])
def test_no_page_names_a_command_or_an_option_that_is_not_there(page: str, text: str) -> None:
    calls = re.findall(r"(?:^|`)(?:\.venv/bin/)?jounce ([a-z-]+)([^`\n#]*)", text, re.MULTILINE)
    unknown = [name for name, _ in calls if name not in COMMANDS]
    wrong = [
        f"{name} {option}"
        for name, rest in calls
        if name in COMMANDS
        for option in re.findall(r"(?<!\S)--[a-z-]+", rest)
        if option not in _options(COMMANDS[name], rest)
    ]

    assert calls, page
    assert unknown == []
    assert wrong == []


def _options(command: click.Command, rest: str) -> set[str]:
    """Options of a command, or of the one of its own commands that is called."""
    below: dict[str, click.Command] = getattr(command, "commands", {})
    called = below.get((rest.split() or [""])[0], command)
    return {word for parameter in called.params for word in parameter.opts} | {"--help"}
