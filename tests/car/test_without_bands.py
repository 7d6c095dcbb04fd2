"""A car file that states no ± is a whole car file: bands of zero, and every answer."""

from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from jounce.behaviour.axle.reach import stops_met
from jounce.car.file.inputs import measured_inputs
from jounce.car.file.reading import read_car
from jounce.car.mechanics.assembly import axle_model
from jounce.cli.app import commands
from tests.wanted.demo_work import QUICK

RUNNER = CliRunner()
DEMO = files("jounce.demo")
CARS = sorted(
    path.name
    for path in DEMO.iterdir()
    if path.name.endswith(".toml") and "[car]\n" in path.read_text(encoding="utf-8")
)


def without(text: str, *, points_only: bool) -> str:
    """A car file without the ± of its points, or without any."""
    text = re.sub(r"(?m)^pivots_plus_minus.*\n", "", text)
    if not points_only:
        text = re.sub(r',\s*plus_minus\s*=\s*("[^"]*"|[\d.]+)', "", text)
        text = re.sub(r'\s*±\s*[^"]*"', '"', text)
    return text


COMMANDS = (
    ["check"],
    ["settle"],
    ["travel", "--axle", "front", "--motion", "heave", "--from", "-10", "--to", "10", "--step", "10"],
    ["travel", "--axle", "rear", "--motion", "heave", "--from", "-10", "--to", "10", "--step", "10"],
    ["corner"],
    ["brake"],
    ["ride"],
)


@pytest.mark.parametrize(
    ("car", "points_only"),
    [
        pytest.param(
            car,
            points_only,
            marks=[pytest.mark.validation_long] if points_only and car.removesuffix(".toml") not in QUICK else [],
            id=f"{car}-{'none on its points' if points_only else 'none at all'}",
        )
        for car in CARS
        for points_only in (True, False)
    ],
)
def test_a_car_without_bands_has_every_answer(car: str, points_only: bool, tmp_path: Path) -> None:  # noqa: FBT001  # a parameter
    path = tmp_path / "car.toml"
    path.write_text(without(DEMO.joinpath(car).read_text(encoding="utf-8"), points_only=points_only), encoding="utf-8")

    assert points_only or measured_inputs(read_car(path)) == []
    for command, *options in COMMANDS:
        shown = RUNNER.invoke(commands, [command, str(path), *options], catch_exceptions=False)

        assert shown.exit_code == 0, (command, shown.output)
        assert not re.search(r"\bnan\b", shown.output), (command, shown.output)


def test_a_job_on_a_car_without_bands_is_planned(tmp_path: Path) -> None:
    for name in ("brisk-14.toml", "brisk-14-lower.toml"):
        text = without(DEMO.joinpath(name).read_text(encoding="utf-8"), points_only=False)
        (tmp_path / name).write_text(text, encoding="utf-8")
    shown = RUNNER.invoke(commands, ["job", str(tmp_path / "brisk-14-lower.toml")], catch_exceptions=False)

    assert shown.exit_code in {0, 1}, shown.output
    assert "Heights" in shown.output or "height" in shown.output


def test_a_stop_at_a_step_of_the_search_is_met_there_on_both_sides() -> None:
    document = read_car(Path(str(DEMO.joinpath("sedge-13.toml"))))
    met = {(stop.name, stop.side): stop.travel for stop in stops_met(axle_model(document, "rear"))}

    assert met["tyre meets arch", "left"] == pytest.approx(document.rear.left.clearance.tyre_to_arch.value, abs=1e-4)
    assert met["tyre meets arch", "right"] == pytest.approx(met["tyre meets arch", "left"], abs=1e-4)
