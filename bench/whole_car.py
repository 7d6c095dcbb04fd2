"""The whole car: how quickly it settles and corners, drives over a hump, and how many packages are judged in a second."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from tests.demo_car import demo_document
from tests.verification.road_car_twin import RoadCarTwin

from bench.feel import feel_rows
from jounce.behaviour.ride.dampers import dampers_of
from jounce.behaviour.ride.inertia import body_inertia, whole_inertia
from jounce.behaviour.ride.obstacles import hump
from jounce.behaviour.ride.time_history import drive_over
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_as_found

ACROSS = np.linspace(-8.0, 8.0, 41)
SPEED = 15 / 3.6  # over the hump [m/s]
DURATION = 3.0  # [s]


def whole_car_table(seconds: Callable[[Callable[[], object]], float]) -> str:
    """The second table, as Markdown.

    Args:
        seconds: times a piece of work [s]
    """
    document = demo_document()
    car = car_as_found(document)
    sweep = seconds(lambda: at_rest(car, steady(np.append(0.0, ACROSS))))
    twin = RoadCarTwin(document, car)
    few = ACROSS[::8]

    def lead() -> None:
        for across in few:
            twin.rest(float(across), 0.0)

    ours_in_it = seconds(lambda: [at_rest(car, steady(float(across))) for across in few])
    rival = max(seconds(lead) - ours_in_it, 0.0) / len(few)
    own = body_inertia(car, whole_inertia(document))
    curves = dampers_of(document).curves
    over = seconds(lambda: drive_over(car, curves, own, hump(), SPEED, DURATION))
    rows = [
        ("settle and corner both ways, 42 states, together [ms]", f"{sweep * 1e3:.3g}"),
        ("one of these states [ms]", f"{sweep / 42 * 1e3:.3g}"),
        ("multibody library, one state, started from its neighbour [ms]", f"{rival * 1e3:.3g}"),
        ("**multibody library / one of our states**", f"× {rival / (sweep / 42):.3g}"),
        (f"{DURATION:g} s over a hump at 15 km/h [s]", f"{over:.3g}"),
        ("**seconds driven / seconds worked out**", f"× {DURATION / over:.3g}"),
    ]
    lines = ["| the demo car | |", "| --- | --- |"]
    return "\n".join([*lines, *(f"| {name} | {value} |" for name, value in rows), *feel_rows(seconds)])
