"""What springs and bars carry along travel: where the car stands the standing car's own numbers, else by work."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.anti_roll_bars import anti_roll_bars_at_rest
from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.springing import bar_stresses, springing
from jounce.behaviour.axle.static import axle_sits, loaded
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.mechanics.assembly import axle_model
from jounce.conventions.axle_quantities import AXLE_QUANTITIES
from jounce.conventions.springing_quantities import SPRINGING_QUANTITIES
from jounce.layouts.naming import SIDES
from tests.behaviour.demo_layouts import document

CARS = ("brisk-14.toml", "mallow-18.toml")


def springs(car, axle, states):
    section = getattr(document(car), axle)
    model = loaded(axle_model(document(car), axle))[0]
    values = springing(model, states)
    return {**values, **bar_stresses(section, values)}, model


@pytest.mark.parametrize("axle", ["front", "rear"])
@pytest.mark.parametrize("car", CARS)
def test_as_found_they_are_what_the_standing_axle_has(car, axle):
    values, model = springs(car, axle, AxleStates())
    sits = axle_sits(model, look_for_slack=False)

    for side in SIDES:
        wheel = sits.wheels[side]
        bar = model.main[side].kind == "torsion bar"
        force, wound = ("torsion_bar_torque", "torsion_bar_twist") if bar else ("spring_force", "spring_compression")
        found = {name: values[f"{side}_{name}"][0] for name in ("load", "wheel_rate", "one_wheel_rate", "ride_rate")}
        assert found == {name: pytest.approx(getattr(wheel, name), rel=1e-12) for name in found}
        assert values[f"{side}_{force}"][0] == pytest.approx(wheel.spring_force, rel=1e-12)
        assert values[f"{side}_{wound}"][0] == pytest.approx(wheel.wound_up, rel=1e-12)
    assert values["roll_stiffness"][0] == pytest.approx(sits.roll_stiffness, rel=1e-12)


@pytest.mark.parametrize("axle", ["front", "rear"])
@pytest.mark.parametrize("car", CARS)
def test_wheel_rate_is_the_slope_of_the_load_over_the_contact_point(car, axle):
    travel = np.array([-0.02, 0.01])  # off the stops, whose force bends sharply
    step = 1e-5
    low, high = (AxleStates(left=travel + d, right=travel + d) for d in (-step, step))
    before, after = (springs(car, axle, one)[0]["left_load"] for one in (low, high))
    values, model = springs(car, axle, AxleStates(left=travel, right=travel))
    rise = [column_map(states_table(model.stand, model.linkage, one, (1, 1)))["left_contact_z"] for one in (low, high)]

    assert (after - before) / (rise[1] - rise[0]) == pytest.approx(values["left_wheel_rate"], rel=1e-5)


def test_an_anti_roll_bar_is_stressed_with_its_torque():
    section, states = document("brisk-14.toml").front, AxleStates(left=np.array([0.02]), right=np.array([-0.02]))
    values, model = springs("brisk-14.toml", "front", states)
    bar = anti_roll_bars_at_rest(section, model, AxleStates(left=0.02, right=-0.02))[0]

    assert values["roll_bar_torque"][0] == pytest.approx(bar.torque, rel=1e-12)
    assert values["roll_bar_stress"][0] == pytest.approx(bar.peak_stress, rel=1e-12)
    assert bar.peak_stress > 1e7


def test_out_of_reach_there_is_no_number():
    values, _ = springs("brisk-14.toml", "front", AxleStates(left=np.array([0.0, 2.0]), right=np.array([0.0, 2.0])))

    assert not [name for name, value in values.items() if np.isfinite(value[1])]
    assert np.isfinite(values["left_wheel_rate"][0])


def test_a_wheel_in_the_air_has_no_ride_rate():
    states = AxleStates(left=np.array([-0.13]), right=np.array([0.03]))  # the anti-roll bar lifts the left wheel
    values, _ = springs("brisk-14.toml", "front", states)

    assert values["left_load"][0] < 0
    assert np.isnan(values["left_ride_rate"][0])


def test_every_column_has_a_row_and_every_row_a_column():
    columns = set()
    for car in (*CARS, "yarrow-12.toml"):
        for axle in ("front", "rear"):
            columns |= {name.removeprefix("left_") for name in springs(car, axle, AxleStates())[0]}
    columns = {name for name in columns if not name.startswith("right_")}

    assert columns - set(SPRINGING_QUANTITIES) == set()
    assert set(SPRINGING_QUANTITIES) - columns <= {"roll_bar_2_torque", "roll_bar_2_stress"}
    assert not set(SPRINGING_QUANTITIES) & {row.name for row in AXLE_QUANTITIES}
