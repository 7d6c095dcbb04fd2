"""Cars drawn at random from what their ± say, each put to rest anew: how often the truth lies inside a band."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jounce.behaviour.bands import AxleStates, figures_of, settings_of
from jounce.behaviour.crossings import crossings
from jounce.behaviour.road.around import tangent
from jounce.behaviour.road.forces import TRAVELS, acted
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.road_car import road_car
from jounce.car.file.inputs import with_value
from jounce.car.mechanics.model import AXLES
from jounce.conventions.certainty import DEVIATIONS_TYPED
from jounce.layouts.naming import SIDES
from tests.reference.whole_car import car_on_tyres, settle


def drawn(car, errors):
    """One car, or many, whose every measured number errs at once by so many standard deviations, (inputs, …)."""
    changed = car
    for one, error in zip(car.inputs, errors, strict=True):
        part = "job" if one.path.startswith("change.") else "found" if hasattr(car, "found") else "document"
        value = one.value + error * one.plus_minus / DEVIATIONS_TYPED
        changed = replace(changed, **{part: with_value(getattr(changed, part), one, value)})
    return changed


def results(car, place):
    """What is so of one car where it comes to rest, by the same names as its bands."""
    models = {axle: car.axle(axle) for axle in AXLES}
    mass = car.document.mass
    whole = car_on_tyres(*models.values(), float(np.ravel(mass.centre_of_gravity_height.value)[0]))
    joints = {name: value for model in models.values() for name, value in settings_of(model, place.adjusted).items()}
    near = {(axle, side): place.freedoms[3 + 2 * k + n] for k, axle in enumerate(AXLES) for n, side in enumerate(SIDES)}
    sits = settle(
        whole,
        {**models["front"].elements, **models["rear"].elements},
        {k: float(v[0]) for k, v in joints.items()},
        near,
    )
    told = {"cross_weight": sits.cross_share, "pitch": sits.pitch, "roll": sits.roll}
    stiffness = {}
    for axle, model in models.items():
        left, right = (sits.travel[axle, side] for side in SIDES)
        found = figures_of(
            model,
            AxleStates(
                left=left, right=right, settings=settings_of(model, place.adjusted), attitude=(sits.pitch, sits.roll)
            ),
        )
        told |= {name: float(value[0]) for name, value in found.items()}
        stiffness[axle] = told[f"{axle}.roll_stiffness"]
        for side in SIDES:
            told[f"{axle}.{side}.load"] = sits.load[axle, side]
            found_height = getattr(car.document.heights, f"{axle}_{side}").value
            told[f"{axle}.{side}.height"] = float(np.ravel(found_height)[0]) - sits.travel[axle, side]
    return told | {"front_share": stiffness["front"] / sum(stiffness.values())}


def coverage(car, place, bands, names, samples, seed):
    """Share of drawn cars whose results lie inside the bands about those of the car as it is, by name."""
    random = np.random.default_rng(seed)
    still = results(car, place)
    inside = dict.fromkeys(names, 0)
    for _ in range(samples):
        one = results(drawn(car, random.normal(size=len(car.inputs))), place)
        for name in names:
            inside[name] += abs(one[name] - still[name]) <= bands[name].plus_minus
    return {name: count / samples for name, count in inside.items()}


class Many:
    """Many drawn cars on their road, and the car as it is."""

    def __init__(self, car, place, count, seed):
        random = np.random.default_rng(seed)
        self.place, self.count = place, count
        self.drawn = drawn(car, np.array([random.normal(size=count) for _ in car.inputs]))
        self.models = {axle: self.drawn.axle(axle) for axle in AXLES}
        self.settings = {axle: settings_of(model, place.adjusted) for axle, model in self.models.items()}
        height = self.drawn.document.mass.centre_of_gravity_height.value
        self.still = car_of(car.document, *(car.axle(axle) for axle in AXLES), _first(self.settings))
        on_road = road_car(
            *self.models.values(), height, self.settings["front"] | self.settings["rear"], self.still.driveline
        )
        self.on_road = replace(on_road, sharing=self.still.sharing)

    def at_rest(self, near, across=0.0, ahead=0.0):
        """Freedoms (cars, 7) and forces of all cars, each put to rest by its own, from where the car as it is rests."""
        at, rest, still = self.put_to_rest(near, across, ahead, 80)
        assert still.all(), "a drawn car does not come to rest"
        return at, rest

    def put_to_rest(self, near, across, ahead, rounds):
        """The same, and which cars came to rest."""
        at = np.broadcast_to(near, (self.count, 7)).copy()
        acting = steady(np.broadcast_to(across, self.count), ahead)
        middle = np.atleast_2d(near).mean(axis=0)[None]
        slope = tangent(self.still, middle, steady(np.mean(across), ahead))[1][0]
        for _ in range(rounds):
            paths = tuple(body.at(at[:, travels])[0] for body, travels in zip(self.on_road.axles, TRAVELS, strict=True))
            rest = acted(self.on_road, at, paths, acting)
            rests = np.abs(rest.unbalanced).max(axis=1) < 1e-4
            if rests.all():
                break
            at = at - np.linalg.solve(slope, rest.unbalanced.T).T
        return at, rest, rests


def many_results(car, place, count, seed):
    """The same of many drawn cars at once, each put to rest by its own forces, by name, each (cars,)."""
    group = Many(car, place, count, seed)
    at, rest = group.at_rest(place.freedoms)
    models, settings, many = group.models, group.settings, group.drawn
    load = rest.load
    told = {"pitch": at[:, 1], "roll": at[:, 2]}
    told["cross_weight"] = (load[:, 0, 1] + load[:, 1, 0]) / load.sum(axis=(1, 2))
    for k, (axle, model) in enumerate(models.items()):
        left, right = at[:, TRAVELS[k]].T
        there = AxleStates(left=left, right=right, settings=settings[axle], attitude=(at[:, 1], at[:, 2]))
        told |= figures_of(model, there) | _crossed(car, place, model, there)
        for n, side in enumerate(SIDES):
            told[f"{axle}.{side}.load"] = load[:, k, n]
            told[f"{axle}.{side}.height"] = (
                getattr(many.document.heights, f"{axle}_{side}").value - at[:, 3 + 2 * k + n]
            )
    stiffness = [told[f"{axle}.roll_stiffness"] for axle in AXLES]
    return told | {"front_share": stiffness[0] / (stiffness[0] + stiffness[1])}


def _crossed(car, place, model, there):
    """Where springs come loose and rubbers are met, sought by Newton's method for each drawn car to the end."""
    still = car.axle(model.name)
    left, right = place.freedoms[TRAVELS[AXLES.index(model.name)]]
    level, told = replace(there, attitude=(0.0, 0.0)), {}
    for one in crossings(still, AxleStates(left=left, right=right, settings=settings_of(still, place.adjusted))):
        travel = np.full(len(there.left), one.travel)
        for _ in range(12):
            travel = travel - one.past(model, level, travel) / one.slope
        assert np.abs(one.past(model, level, travel) / one.slope).max() < 1e-6
        told[one.name] = travel
    return told


def _first(settings):
    return {name: float(value[0]) for own in settings.values() for name, value in own.items()}
