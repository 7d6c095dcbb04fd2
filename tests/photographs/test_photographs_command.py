"""From printed tiles over rendered photographs to pivots on the command line."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.conventions.errors import JounceError
from tests.photographs.scene import PIVOTS, RULER


def run(*words):
    """Output of a command, or its error."""
    result = CliRunner().invoke(commands, ["photographs", *map(str, words)])
    if isinstance(result.exception, JounceError):
        return str(result.exception)
    assert result.exit_code == 0, result.output
    return result.output


@pytest.fixture(scope="module")
def folder(five, tmp_path_factory):
    """The five rendered photographs and what was stuck where, as files."""
    where = tmp_path_factory.mktemp("photographs")
    for number, data in enumerate(five.files, start=1):
        (where / f"{number}.jpg").write_bytes(data)
    pivots = "\n".join(
        f'[[pivot]]\ntile = {one}\npoint = "front.pivots.p{one}"\nbehind = "{1e3 * five.scene.behind[one]:.3f} mm"'
        for one in PIVOTS
    )
    sides = "\n".join(f'{one.number} = "{1e3 * one.side:g} mm"' for one in five.scene.tiles)
    rule = f'[[ruler]]\nbetween = [{RULER[0]}, {RULER[1]}]\ndistance = "{1e3 * five.scene.ruler:.3f} mm ± 0.3 mm"'
    (where / "stuck.toml").write_text(f"{rule}\n{pivots}\n[tiles]\n{sides}\n", "utf-8")
    return where


@pytest.mark.validation_slow
def test_every_pivot_is_told_with_its_band(folder) -> None:
    told = run("pivots", folder / "stuck.toml", *sorted(folder.glob("*.jpg")))

    assert "5 of 5 photographs" in told
    assert all(f"left front.pivots.p{one}: ± 0." in told for one in PIVOTS)
    assert "p60: ± 0.6" in told
    assert "take two more that show tile 60" in told
    assert "nan" not in told.lower().replace("nan(", "")


def test_each_photograph_says_what_it_shows(folder) -> None:
    told = run("look", folder / "1.jpg")

    assert told.split("\n")[-2].startswith("1.jpg: ")
    assert " 62, 63" in told


def test_tiles_are_printed(tmp_path) -> None:
    run("tiles", "--out", tmp_path / "tiles.pdf", "--control", 4, "--pivots", 2)

    assert (tmp_path / "tiles.pdf").read_bytes().startswith(b"%PDF")


def test_what_is_no_photograph_is_told_by_name(folder) -> None:
    assert "stuck.toml: This is no picture that can be opened" in run("look", folder / "stuck.toml")
    assert "cannot be read" in run("look", folder / "none.jpg")


def test_the_same_photograph_under_two_names_is_told(folder, tmp_path) -> None:
    """The fourth one: glare and a bar cover corners of it."""
    copy = tmp_path / "copy.jpg"
    copy.write_bytes((folder / "4.jpg").read_bytes())

    assert "copy.jpg: This is a photograph for the second time; found 4.jpg" in run("look", folder / "4.jpg", copy)


def test_a_car_that_is_not_named_cannot_be_written(folder) -> None:
    assert "There is no car to write anew" in run(
        "pivots", folder / "stuck.toml", folder / "1.jpg", "--new", folder / "new.toml"
    )
