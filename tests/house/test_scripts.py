"""The pages' scripts: each is one that a browser can read, as strictly as a module, and keeps the house's rules."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from playwright._impl._driver import compute_driver_executable

from tests.house.places import ROOT
from tests.house.script_lint import exports, lint

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


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.name)
def test_a_script_keeps_the_rules(script: Path) -> None:
    assert lint(script.read_text("utf-8")) == []


def test_what_a_script_gives_another_takes() -> None:
    texts = {script.name: script.read_text("utf-8") for script in SCRIPTS}
    taken = "\n".join(line for text in texts.values() for line in text.splitlines() if line.startswith("import "))

    assert {name for text in texts.values() for name in exports(text) if name not in taken} == set()


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        ("var one = 1; run(one);", ["1: `const` or `let`, never `var`", "1: `run` is declared nowhere"]),
        ("export function f(a) {\n  return a == 1;\n}", ["2: `===`, never `==`"]),
        ("const left = 1;", ["1: `left` is not used"]),
        ("document.body.innerHTML = location.hash;", ["1: `innerHTML` makes markup or a program of a text"]),
        ("document.body.innerHTML = 1; // written by our own server, every text in it escaped", []),
        ("export const f = ({ a, b: c }, ...rest) => [a, c, rest, d];", ["1: `d` is declared nowhere"]),
        ("const f = (;", ["1: this is no JavaScript", "1: `f` is not used"]),
    ],
)
def test_slips_are_seen(slip: str, told: list[str]) -> None:
    assert lint(slip) == told
