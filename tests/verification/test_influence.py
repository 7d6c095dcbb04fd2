"""Exact derivatives of all results by every pivot, length and rate, against sixth-order differences of calculations."""

from __future__ import annotations

import sys

import numpy as np
import pytest

from jounce.behaviour.bands import FoundCar, StandingAxles, as_found_standing, figures
from jounce.behaviour.influence import influences
from jounce.car.file.inputs import all_inputs
from jounce.car.file.reading import read_car
from jounce.car.file.variants import varied
from jounce.cli.app import app
from jounce.conventions.units import Kind
from jounce.questions.influence import kind_of
from tests.house.places import ROOT

CARS = [("brisk-14", "front"), ("brisk-14", "rear"), ("yarrow-12", "front"), ("comfrey-20", "rear")]
LOWERED = StandingAxles({(axle, side): 0.013 for axle in ("front", "rear") for side in ("left", "right")}, {})
"""Short of every bump rubber: a difference over the touch of one would see its kink."""

WEIGHTS = {1: 45, 2: -9, 3: 1}
"""Central differences of sixth order, over 60 steps."""


def document(name):
    return read_car(ROOT / "src" / "jounce" / "demo" / f"{name}.toml")


def varied_inputs(car, axle):
    """All inputs that may be moved both ways: a rate or a bore of zero may not."""
    other = {"front": "rear", "rear": "front"}[axle]
    return [
        i
        for i in all_inputs(car)
        if i.path.partition(".")[0] != other and (abs(i.value) > 1e-12 or ".pivots." in i.path)
    ]


@pytest.mark.parametrize(("name", "axle"), CARS)
@pytest.mark.parametrize("standing", [as_found_standing(), LOWERED], ids=["as found", "lowered"])
def test_every_derivative_is_the_difference_of_whole_calculations(name, axle, standing):
    car = document(name)
    inputs = varied_inputs(car, axle)
    exact = influences(FoundCar(car), axle, standing, inputs)
    step = np.array([1e-4 if i.kind is Kind.LENGTH else 1e-3 * max(abs(i.value), 1e-3) for i in inputs])
    moved = {k: figures(varied(car, inputs, k * step), axle, standing) for n in WEIGHTS for k in (n, -n)}

    assert len(exact.derivatives) > 90
    for key, derivative in exact.derivatives.items():
        by_difference = sum(w * (moved[n][key] - moved[-n][key]) for n, w in WEIGHTS.items()) / 60
        # One step's change; rounding of the solution and of the difference set the floor.
        largest = np.abs(derivative * step).max() + 1e-4 * max(abs(exact.values[key]), 1e-3)
        error = np.broadcast_to(by_difference, len(inputs)) - derivative * step
        assert np.nanmax(np.abs(error)) < 2e-7 * largest, key


def test_an_input_that_a_result_does_not_know_has_no_influence():
    found = influences(FoundCar(document("brisk-14")), "front", as_found_standing())
    by_path = {reference.path: i for i, reference in enumerate(found.inputs)}

    assert found.derivatives["front.left.camber_change"][by_path["front.torsion_bar.diameter"]] == 0
    assert found.derivatives["front.left.wheel_rate"][by_path["front.torsion_bar.diameter"]] > 0


def test_bands_are_the_influences_times_the_stated_bands_to_first_order():
    car = document("brisk-14")
    found = influences(FoundCar(car), "front", as_found_standing())
    of_bar = next(i for i, ref in enumerate(found.inputs) if ref.path == "front.torsion_bar.diameter")
    change = found.inputs[of_bar].plus_minus
    rate = figures(varied(car, [found.inputs[of_bar]], np.array([change])), "front", as_found_standing())
    moved = rate["front.left.wheel_rate"][0] - found.values["front.left.wheel_rate"]

    assert moved == pytest.approx(found.derivatives["front.left.wheel_rate"][of_bar] * change, rel=0.01)


def test_the_command_lists_what_moves_a_result_and_refuses_an_unknown_one(capsys, monkeypatch):
    car = str(ROOT / "src" / "jounce" / "demo" / "brisk-14.toml")
    command = ["jounce", "influence", car, "--axle", "front", "--result"]
    monkeypatch.setattr(sys, "argv", [*command, "left_bump_steer"])
    with pytest.raises(SystemExit):
        app()
    told = capsys.readouterr().out

    lines = told.splitlines()
    strongest = lines[lines.index("What one step up of each input changes") + 2]
    assert lines[0] == "Brisk 14, as found: front axle"
    assert lines[2].split()[-1] == "-0.002859"
    assert strongest.startswith(("front tie rod inner, up and down", "front tie rod outer, up and down"))

    monkeypatch.setattr(sys, "argv", [*command, "left bump ster"])
    with pytest.raises(SystemExit) as ended:
        app()
    assert ended.value.code == 2
    assert 'Did you mean "left bump steer"?' in capsys.readouterr().err


def test_every_result_is_told_with_a_unit(capsys, monkeypatch):
    car = ROOT / "src" / "jounce" / "demo" / "brisk-14.toml"
    found = influences(FoundCar(read_car(car)), "front", as_found_standing(), [])
    for key in found.derivatives:
        result = key.removeprefix("front.").replace(".", "_")
        assert kind_of(key, read_car(car)) in Kind, result
    monkeypatch.setattr(sys, "argv", ["jounce", "influence", str(car), "--axle", "front", "--result", "left_wound_up"])
    with pytest.raises(SystemExit):
        app()

    assert "left wound up, deg" in capsys.readouterr().out


def test_an_input_that_reaches_a_result_by_rounding_alone_is_not_listed() -> None:
    """Where an arm turns about its bush along the car's width, that bush's place along its own axis moves nothing."""
    found = influences(FoundCar(document("brisk-14")), "rear", as_found_standing())
    paths = {ref.path for ref, _ in found.strongest("rear.left.bump_steer")}

    assert "rear.pivots.wheel_centre.x" in paths
    assert "rear.pivots.arm_bush.y" not in paths
