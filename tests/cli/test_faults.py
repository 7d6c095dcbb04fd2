"""A fault of the program is told in a sentence, with its record in a file: no traceback goes to the user."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from jounce.cli import app as cli_app


def test_a_fault_of_the_program_is_told_in_a_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    def broken() -> None:
        raise ValueError("shapes (1,2) and (11,2)")

    monkeypatch.setattr(cli_app, "commands", broken)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))

    with pytest.raises(SystemExit) as ended:
        cli_app.app()

    told = capsys.readouterr().err
    assert ended.value.code == cli_app.FAULT
    assert "fault of the program (ValueError)" in told
    assert "Traceback" not in told
    record = re.search(r"send the file (\S+)", told)
    assert record is not None
    assert "shapes (1,2) and (11,2)" in Path(record[1]).read_text("utf-8")


def test_a_record_that_cannot_be_written_is_told_on_the_screen(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    def broken() -> None:
        raise ValueError("what went wrong")

    monkeypatch.setattr(cli_app, "commands", broken)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "missing"))

    with pytest.raises(SystemExit) as ended:
        cli_app.app()

    assert ended.value.code == cli_app.FAULT
    assert "ValueError: what went wrong" in capsys.readouterr().err


def test_the_version_is_told_as_it_stands_in_the_project() -> None:
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))

    told = CliRunner().invoke(cli_app.commands, ["--version"])

    assert (told.exit_code, told.output) == (0, f"jounce {project['project']['version']}\n")
