"""Energy in the main springs: by hand for a bar and a coil, by the work that droop lets out, and of every demo car."""

from __future__ import annotations

from importlib.resources import files

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.preload import main_spring_name
from jounce.behaviour.axle.reach import first_hard
from jounce.car.file.reading import parse_car
from jounce.checks.stored_energy import drop_height, stored_energies
from jounce.job.apply import wishes_of
from jounce.job.index.plan import bar_indices
from jounce.job.index.task import task_of_plan
from jounce.job.plan import car_before
from tests.job.test_plan import demo

CARS = sorted(
    entry.name
    for entry in files("jounce.demo").iterdir()
    if entry.name.endswith(".toml") and "\n[mass]\n" in entry.read_text("utf-8")
)


def test_a_bar_holds_half_its_torque_times_its_twist():
    """The index plan computes the same bars from their twist and diameter."""
    job, car, _, plan = demo()
    places = bar_indices(task_of_plan(car, job, plan, wishes_of(car, job).lower))["left"].places
    found = stored_energies(plan.planned)[0]

    assert (found.axle, found.side, found.spring) == ("front", "left", "torsion bar")
    for place, energy in zip(places, (found.droop, found.rest, found.bump), strict=True):
        assert energy == pytest.approx(place.energy, rel=1e-9)
        assert energy == pytest.approx(0.5 * place.torque * place.twist, rel=1e-9)


def test_a_coil_holds_half_its_rate_times_its_compression_squared():
    """17 N/mm as found: the load on the spring follows from the energy alone."""
    _, car, _, plan = demo()
    found = stored_energies(plan.found)[2]
    model = plan.found.models[1]
    element = model.elements[main_spring_name("rear", "left")]
    force = float(element.law.force(np.zeros(1))[0])
    rate = car.rear.left.spring.rate.value

    assert rate == 17e3
    assert found.rest == pytest.approx(force**2 / (2 * rate), rel=1e-9)


@pytest.mark.parametrize("name", CARS)
def test_droop_lets_out_what_the_spring_did_as_work(name):
    """For every layout: energy at rest less energy at droop is the integral of the spring's force over its travel."""
    state = car_before(parse_car(files("jounce.demo").joinpath(name).read_text("utf-8"), name))

    assert max(abs(travel) for travel in state.sits.travel.values()) < 1e-9
    for told in stored_energies(state):
        end = first_hard(state.stops[told.axle], "droop")
        if end is None:
            assert told.droop is None
            continue
        model = next(model for model in state.models if model.name == told.axle)
        travel = np.linspace(0.0, -end.travel, 400)
        placed = place_axle(model.stand, model.name, AxleStates(left=travel, right=travel))
        element = model.elements[main_spring_name(told.axle, told.side)]
        x = element.displacement(model.stand.taken([element.measure]).values(placed.pose)[:, 0])
        work = -np.trapezoid(element.law.force(x), x)

        assert told.rest > 0
        assert told.rest - told.droop == pytest.approx(work, rel=1e-4, abs=1e-3)


def test_two_hundred_joules_are_twenty_kilograms_from_a_metre():
    assert drop_height(196.133) == pytest.approx(1.0)
