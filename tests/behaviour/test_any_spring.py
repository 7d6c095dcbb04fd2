"""Cars on springs of any law: what they carry, how stiff they are and where they come loose."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.preload import main_spring_name, slack_displacement
from jounce.behaviour.axle.stack_states import stack_states
from jounce.behaviour.axle.static import axle_sits, loaded, spring_wound
from jounce.behaviour.bands import FoundCar, as_found_standing, bands, figures
from jounce.behaviour.influence import influences
from jounce.behaviour.road.of_document import car_as_found
from jounce.behaviour.road.seat_turns import seat_effects
from jounce.behaviour.road.weigh import with_settings
from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import with_value
from jounce.car.mechanics.assembly import axle_model
from jounce.car.parts.spring import Spring
from jounce.conventions.errors import InputError
from jounce.elements.law import Linear, OneSided
from jounce.layouts.naming import SIDES, SideName
from tests.behaviour.demo_layouts import document
from tests.reference.whole_car import car_on_tyres, settle

ROWS = [[40, 600], [80, 1400], [120, 2600], [160, 4500]]
HELPER = {"rate": "4 ± 0.2 N/mm", "free_length": 70, "solid_length": 22}
SPRINGS = {
    "linear": {"rate": 17},
    "helper, solid": {"rate": 17, "helper": HELPER},
    "helper, open": {"rate": 17, "helper": {"rate": 40, "free_length": 120, "solid_length": 30}},
    "helper and tender": {
        "rate": 17,
        "helper": HELPER,
        "tender": {"rate": 45, "free_length": 90, "solid_length": 40},
    },
    "curve": {"curve": ROWS},
    "curve with a helper": {"curve": ROWS, "helper": HELPER},
    "two rates": {"rate": "17 ± 0.4 N/mm", "second_rate": "30 ± 0.5 N/mm", "second_rate_from": 60},
    "constant frequency": {"rate": 17, "rising_from": 1200},
}
NAMES = tuple(SPRINGS)


def with_spring(car: CarDocument, **keys) -> CarDocument:
    """The car with other rear coils on both sides."""
    return with_springs(car, dict.fromkeys(SIDES, Spring.model_validate(keys)))


def with_springs(car: CarDocument, springs: Mapping[SideName, Spring]) -> CarDocument:
    """The car with one rear coil for each side; what is told of both counts as written for both."""
    rear = car.rear
    sides = {side: getattr(rear, side).model_copy(update={"spring": springs[side]}) for side in SIDES}
    new = [("spring", key) for key in Spring.model_fields]
    return car.model_copy(update={"rear": rear.exchanged(sides, new=new, shared={})})


@cache
def car_of(name: str) -> CarDocument:
    return with_spring(document("brisk-14.toml"), **SPRINGS[name])


@cache
def standing(name: str):
    axle, found = loaded(axle_model(car_of(name), "rear"))
    return axle, found, axle_sits(axle)


@pytest.mark.parametrize("name", NAMES)
def test_the_spring_carries_what_the_corner_asks_for_whatever_its_law(name: str):
    _, linear, _ = standing("linear")
    _, found, sits = standing(name)

    for side in SIDES:
        assert found[side].force == pytest.approx(linear[side].force, rel=1e-13)
        assert sits.wheels[side].spring_force == pytest.approx(float(linear[side].force[0]), rel=1e-10)


@pytest.mark.parametrize("name", NAMES)
def test_the_rate_at_rest_is_that_of_a_linear_spring_as_stiff_as_the_law_is_there(name: str):
    axle, found, sits = standing(name)
    slopes = {side: float(axle.main[side].law.stiffness(found[side].displacement)[0]) for side in SIDES}
    linear = {side: Spring.model_validate({"rate": slope / 1e3}) for side, slope in slopes.items()}
    alike = axle_sits(loaded(axle_model(with_springs(document("brisk-14.toml"), linear), "rear"))[0])

    for side in SIDES:
        assert sits.wheels[side].wheel_rate == pytest.approx(alike.wheels[side].wheel_rate, rel=1e-10)
        assert sits.wheels[side].one_wheel_rate == pytest.approx(alike.wheels[side].one_wheel_rate, rel=1e-10)
    assert sits.roll_stiffness == pytest.approx(alike.roll_stiffness, rel=1e-10)


@pytest.mark.parametrize("name", NAMES)
def test_a_spring_comes_loose_where_its_law_begins(name: str):
    axle, found, sits = standing(name)
    for side in SIDES:
        loose = sits.wheels[side].loose_at
        element = axle.elements[main_spring_name("rear", side)]

        assert loose is not None
        assert spring_wound(axle, side, AxleStates(), loose) == pytest.approx(0.0, abs=1e-9)
        assert sits.wheels[side].wound_up == pytest.approx(float(found[side].displacement[0]), rel=1e-12)
        assert slack_displacement(element) == pytest.approx(-found[side].displacement, rel=1e-12)


@pytest.mark.sweep
@pytest.mark.parametrize("name", NAMES)
def test_exact_influence_of_a_spring_s_numbers_beside_differences(name: str):
    car = car_of(name)
    found = influences(FoundCar(car), "rear", as_found_standing())
    springs = [(k, ref) for k, ref in enumerate(found.inputs) if ref.path.startswith("rear.spring.")]
    assert springs or name == "curve"
    for k, ref in springs:
        h = 1e-5 * abs(ref.value)
        above, below = (figures(with_value(car, ref, ref.value + s * h), "rear", as_found_standing()) for s in (1, -1))
        for key in ("rear.left.wheel_rate", "rear.right.wound_up", "rear.roll_stiffness"):
            slope = float(above[key][0] - below[key][0]) / (2 * h)
            assert found.derivatives[key][k] == pytest.approx(
                slope, rel=1e-6, abs=1e-7 * abs(found.values[key] / ref.value)
            )


def test_bands_of_two_rates_come_from_the_rate_that_works():
    rate = bands(car_of("two rates"))["rear.left.wheel_rate"]
    causes = dict(rate.causes)

    assert "rear.spring.second_rate" in causes
    assert "rear.spring.rate" not in causes


@pytest.mark.parametrize("name", NAMES)
def test_the_whole_car_stands_as_it_was_found(name: str):
    car = car_of(name)
    models = tuple(loaded(axle_model(car, axle))[0] for axle in ("front", "rear"))
    on_tyres = car_on_tyres(models[0], models[1], car.mass.centre_of_gravity_height.value)
    sits = settle(on_tyres, {**models[0].elements, **models[1].elements})

    assert max(abs(t) for t in sits.travel.values()) < 1e-9


@pytest.mark.parametrize("name", ["linear", "curve with a helper"])
def test_one_turn_of_a_seat_is_the_difference_of_two_whole_cars(name: str):
    """The other way: the seat stays, and the spring is longer by the pitch when it is free; two whole cars by hand."""
    car, pitch = car_of(name), 0.0015
    models = tuple(loaded(axle_model(car, axle))[0] for axle in ("front", "rear"))
    on_tyres = car_on_tyres(models[0], models[1], car.mass.centre_of_gravity_height.value)
    (effect,) = seat_effects(car_as_found(car), {("rear", "left"): pitch})

    law, found = models[1].main["left"].law, models[1].elements[main_spring_name("rear", "left")]
    longer = {**models[0].elements, **models[1].elements}
    slack = float(np.ravel(slack_displacement(found))[0])
    longer[main_spring_name("rear", "left")] = _of_free_length(found, law, slack, pitch)
    before = settle(on_tyres, {**models[0].elements, **models[1].elements})
    after = settle(on_tyres, longer)

    for corner in before.travel:
        assert effect.height[corner] == pytest.approx(before.travel[corner] - after.travel[corner], abs=1e-9)
        assert effect.load[corner] == pytest.approx(after.load[corner] - before.load[corner], abs=1e-4)
    assert sum(effect.load.values()) == pytest.approx(0.0, abs=1e-4)
    assert effect.height["rear", "left"] > max(abs(effect.height[c]) for c in effect.height if c != ("rear", "left"))
    assert effect.load["rear", "left"] > 0 > effect.load["front", "left"]
    assert effect.load["front", "right"] > 0 > effect.load["rear", "right"]


def _of_free_length(element, law, slack: float, more: float):
    """A spring that is longer by so much when free, by the law's own numbers over the measure's length."""
    free = float(np.ravel(element.zero)[0]) - slack  # a coil's length falls as it is compressed

    class Longer:
        def energy(self, displacement):
            return law.energy(free + more - (free - displacement))

        def force(self, displacement):
            return law.force(displacement + more)

        def stiffness(self, displacement):
            return law.stiffness(displacement + more)

    return type(element)(element.measure, Longer(), -1.0, free)


def test_turning_a_seat_down_undoes_turning_it_up():
    name, raised = main_spring_name("rear", "left"), np.array([[0.0, 0.0], [0.002, 0.0]])
    found = car_as_found(car_of("linear"))
    there = with_settings(found, raised)
    seats = [car.axles[1].axle.elements[name] for car in (found, there, with_settings(there, -raised))]

    assert seats[1].displacement(np.zeros(1)) - seats[0].displacement(np.zeros(1)) == pytest.approx(0.002)
    assert seats[2].zero == pytest.approx(seats[0].zero, abs=1e-15)


def test_a_stack_says_where_its_helper_goes_solid():
    """Over the droop it opens exactly where the force falls to its rate times its travel."""
    axle, *_ = standing("helper, solid")
    block = 4e3 * 0.048
    states = {(s.side, s.at): s for s in stack_states(axle)}

    assert states["left", "rest"].solid["helper"]
    for state in states.values():
        assert state.solid["helper"] == (state.force >= block)
    law, spring = axle.main["left"].law, axle.main["left"]
    droops = np.linspace(0.0, 0.14, 29)
    forces = [float(law.force(np.array([spring_wound(axle, "left", AxleStates(), d)]))[0]) for d in droops]
    closed = [bool(spring.stack.solid(np.array([f]))["helper"][0]) for f in forces]
    assert closed == [f >= block for f in forces]
    assert set(closed) == {True, False}


def test_a_plain_spring_is_no_stack():
    axle, *_ = standing("linear")

    assert stack_states(axle) == ()
    assert isinstance(axle.main["left"].law, OneSided)
    assert float(axle.main["left"].rate[0]) == 17e3


def test_a_spring_without_one_rate_says_so():
    axle, *_ = standing("curve")

    with pytest.raises(TypeError, match="has not one rate"):
        _ = axle.main["left"].rate


def test_a_captive_spring_holds_both_ways():
    axle, _ = loaded(axle_model(document("brisk-14.toml"), "front"))
    element = axle.elements[main_spring_name("front", "left")]
    beyond = slack_displacement(element) - 0.1

    assert isinstance(axle.main["left"].law, Linear)
    assert float(element.law.force(beyond)[0]) == pytest.approx(-0.1 * float(axle.main["left"].rate[0]), rel=1e-12)


def test_a_section_that_is_no_spring_is_refused():
    with pytest.raises(Exception, match="two laws") as refused:
        Spring.model_validate({"rate": 17, "curve": ROWS})
    assert not isinstance(refused.value, InputError)  # told through the validation in progress
