"""Dampers: whether they suit the springs."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.behaviour.ride.damper_match import axle_curve, axle_matches
from jounce.behaviour.ride.dampers import at_swinging, dampers_of
from jounce.behaviour.ride.inertia import body_inertia, whole_inertia
from jounce.behaviour.ride.small_motions import small_motions
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file.document import CarDocument
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.limits import CheckLimits
from jounce.conventions.units import Kind
from jounce.job.on_road import car_in
from jounce.job.plan import CarState, JobPlan
from jounce.job.sentence import say

_SWING_SPEED = 0.1  # largest rod speed of the swings [m/s]


def heave_ratios(document: CarDocument, state: CarState) -> dict[str, float | None]:
    """Damping ratio in heave of each axle, None where the dampers' curves are not known [-].

    Args:
        document: the car with the parts of that state
        state: its axles and where they stand
    """
    return heave_ratios_on_road(document, car_in(document, state))


def heave_ratios_on_road(document: CarDocument, car: RoadCar) -> dict[str, float | None]:
    """Damping ratio in heave of each axle of a car on its road, None where the dampers' curves are not known [-].

    Args:
        document: the car with its parts
        car: the same where it stands
    """
    motions = small_motions(car, body_inertia(car, whole_inertia(document)))
    curves = dampers_of(document).curves
    ratios: dict[str, float | None] = {}
    for match in axle_matches(motions):
        curve = axle_curve(curves, match.name)
        ratios[match.name] = None if curve is None else match.ratio(at_swinging(curve, _SWING_SPEED))
    return ratios


def damper_checks(document: CarDocument, plan: JobPlan, limits: CheckLimits) -> Iterator[Check]:
    """One check for each axle.

    Args:
        document: the planned car's document
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    least, most = limits["least_damping"], limits["most_damping"]
    for axle, ratio in heave_ratios(document, plan.planned).items():
        question = f"Do the {axle} dampers suit the springs?"
        if ratio is None:
            what = "measure or ask for the damper's force over speed"
            yield unknown("DMP-01", question, Kind.RATIO, what, asks=f"{axle}.damper.curve")
            continue
        limit = least if ratio - least.value < most.value - ratio else most
        low = limit is least
        yield Check(
            "DMP-01",
            question,
            verdict(least.value <= ratio <= most.value),
            say(f"{ratio:.2f} of critical in heave; {least.value:g} to {most.value:g} is usual."),
            Kind.RATIO,
            ratio,
            limit.value,
            limit.origin,
            "at least" if low else "at most",
            "with too little the car goes on swinging, with too much its wheels leave a rough road",
            "Dampers with more force, or ask for them to be revalved." if low else "Softer dampers.",
        )
