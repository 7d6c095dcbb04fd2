"""The tutorial, done as it is written: files are made and changed, commands run, and what it shows is printed."""

from __future__ import annotations

import re
import shlex
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from tests.house.places import DOCS

PAGE = (DOCS / "tutorial.md").read_text("utf-8")


def steps() -> Iterator[tuple[str, str]]:
    """Each block of the page: its kind and its text."""
    yield from re.findall(r"^```(\w+)\n(.*?)^```", PAGE, re.DOTALL | re.MULTILINE)


def write(text: str) -> None:
    """Make the file that a block begins with, or put the block's lines in place of those with the same keys."""
    name, _, content = text.removeprefix("# ").partition("\n")
    path = Path(name)
    if not path.exists():
        path.write_text(content, "utf-8")
        return
    section, new = "", {}
    for line in content.splitlines():
        section = line if line.startswith("[") else section
        new[section, line.partition(" =")[0]] = line
    kept = []
    for line in path.read_text("utf-8").splitlines():
        section = line if line.startswith("[") else section
        kept.append(new.pop((section, line.partition(" =")[0]), line))
    assert [key for key in new if key[1] and not key[1].startswith("[")] == []  # every line of the block had its place
    path.write_text("\n".join(kept), "utf-8")


def run(text: str) -> None:
    """Run a block's commands; the lines below each are printed by it, in that order."""
    for command, shown in re.findall(r"^\$ (.*)\n((?:[^$\n].*\n)*)", text, re.MULTILINE):
        word, *arguments = shlex.split(command)
        if word == "cp":
            shutil.copy(*arguments)
            continue
        assert word == "jounce"
        done = CliRunner().invoke(commands, arguments)
        assert done.exit_code in {0, 1}, done.output
        left = done.output.splitlines()
        for line in shown.splitlines():
            assert line in left, f"{line}\nis not printed by\n{command}"
            left = left[left.index(line) + 1 :]


@pytest.mark.validation_slow
def test_everything_goes_as_the_tutorial_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    done = list(steps())
    for kind, text in done:
        {"toml": write, "console": run}[kind](text)

    assert len(done) == 10
    assert all(Path(sheet).stat().st_size > 10_000 for sheet in ("job-card.pdf", "set-up.pdf"))
