"""The pages' scripts: each is one that a browser can read, as strictly as a module."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from playwright._impl._driver import compute_driver_executable

from tests.house.places import ROOT

SCRIPTS = sorted((ROOT / "src" / "jounce" / "web" / "static").glob("*.js"))


def problems(script: Path, folder: Path) -> str:
    """What the engine of Chromium finds wrong with a script, read as a module: strict, no name twice."""
    node, _ = compute_driver_executable()
    copy = folder / f"{script.stem}.mjs"
    copy.write_text(script.read_text("utf-8"), "utf-8")
    return subprocess.run([node, "--check", str(copy)], capture_output=True, text=True, check=False).stderr  # noqa: S603


def test_there_are_scripts() -> None:
    assert len(SCRIPTS) >= 5


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.name)
def test_a_script_can_be_read(script: Path, tmp_path: Path) -> None:
    assert problems(script, tmp_path) == ""


def test_a_slip_is_seen(tmp_path: Path) -> None:
    slip = tmp_path / "slip.js"
    slip.write_text("const one = 1; const one = 2;", "utf-8")

    assert "already been declared" in problems(slip, tmp_path)
