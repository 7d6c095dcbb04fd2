"""A car from the left as it stands, to scale: as found by dashes, as it is asked of by full lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup

from jounce.car.file.document import CarDocument
from jounce.conventions.axes import ENDS
from jounce.conventions.units import Kind, show
from jounce.job.plan import CarState, JobPlan
from jounce.layouts.naming import SIDES, named
from jounce.numerics.arrays import Array
from jounce.web.charts.chart import LOOKS
from jounce.web.charts.travel_curves import StandingAxle
from jounce.web.picture.body import outline
from jounce.web.picture.scene import TENTHS

__all__ = ["standing_still"]

_SCALE, _EDGE, _ROAD, _HIGH = 150.0, 30.0, 252.0, 290.0
_NOTHING = 0.05e-3
"""A height that differs by less is the same [m]."""


@dataclass(frozen=True, slots=True)
class _Stand:
    """A state as it is drawn: where both wheels stand, their radii, and by how much the body came down at each [m]."""

    places: tuple[float, float]
    radii: tuple[float, float]
    down: tuple[float, float]


def standing_still(document: CarDocument, plan: JobPlan, units: str) -> Markup:
    """The picture; the numbers below it say the same in words.

    The body is drawn for the eye between its arches, which stand where they were measured, over the road as high as both
    axles carry them: by the wheels' travel, and by what the loaded radii of other tyres differ.

    Args:
        document: the car as measured
        plan: as found and as it stands now
        units: unit set of the heights told
    """
    stands = _stands(plan)
    axles = [StandingAxle("", model, plan.found.states[model.name]) for model in plan.found.models]
    side = np.array(outline(document, axles)["sides"][0], dtype=float).reshape(-1, 3) / TENTHS
    front, rear = stands["found"].places
    left, long = float(side[:, 0].max()), float(np.ptp(side[:, 0]))
    wide = 2 * _EDGE + _SCALE * long
    told = " and ".join(_lower(end.value, stands["now"].down[k], units) for k, end in enumerate(ENDS))
    parts = []
    for name, (colour, dashes), thick in (("found", LOOKS[0], 1.6), ("now", LOOKS[1], 2.2)):
        stand = stands[name]
        if name == "found" and stand == stands["now"]:
            continue
        share = (side[:, 0] - front) / (rear - front)
        height = side[:, 2] - (1 - share) * stand.down[0] - share * stand.down[1]
        parts.append(_path(left, side[:, 0], height, f'stroke="{colour}" stroke-width="{thick:g}"{_dashed(dashes)}'))
        for place, radius in zip(stand.places, stand.radii, strict=True):
            parts.append(
                Markup(
                    '<circle cx="{:.1f}" cy="{:.1f}" r="{:.1f}" fill="none" stroke="{}" stroke-width="{:g}"{}/>'
                ).format(_across(left, place), _ROAD - _SCALE * radius, _SCALE * radius, colour, thick, _dashed(dashes))
            )
    return Markup("").join(
        [
            Markup(
                '<figure class="still"><svg class="drawing" viewBox="0 0 {:.0f} {:g}" role="img" aria-label="{}" '
                'font-family="sans-serif" font-size="14"><rect width="{:.0f}" height="{:g}" fill="#ffffff"/>'
            ).format(wide, _HIGH, f"The car from the left, front to the left; over the road {told}.", wide, _HIGH),
            Markup('<path d="M0 {r:g}H{w:.0f}" stroke="#46505a" stroke-width="1.5"/>').format(r=_ROAD, w=wide),
            *parts,
            *_words(stands["now"], left, units),
            Markup(
                "</svg><figcaption>From the left, to scale{}. Between the arches the body is drawn for the eye."
            ).format("" if stands["found"] == stands["now"] else ": dashed as found, full as asked"),
            Markup("</figcaption></figure>"),
        ]
    )


def _stands(plan: JobPlan) -> Mapping[str, _Stand]:
    found = _stand(plan.found, plan.found)
    return {"found": found, "now": _stand(plan.planned, plan.found)}


def _stand(state: CarState, found: CarState) -> _Stand:
    places, radii, down = [], [], []
    for model, old in zip(state.models, found.models, strict=True):
        radius, was = (float(np.ravel(one.linkage.wheels["left"].loaded_radius)[0]) for one in (model, old))
        travel = sum(state.sits.travel[model.name, side] - found.sits.travel[model.name, side] for side in SIDES) / 2
        places.append(float(old.stand.reference_values([named(old.name, "left", "wheel_x")])[0, 0]))
        radii.append(radius)
        lower = travel - (radius - was)
        down.append(lower if abs(lower) > _NOTHING else 0.0)
    return _Stand((places[0], places[1]), (radii[0], radii[1]), (down[0], down[1]))


def _lower(axle: str, by: float, units: str) -> str:
    if not by:
        return f"{axle} as found"
    return f"{axle} {show(abs(by), Kind.LENGTH, units)} {'lower' if by > 0 else 'higher'}"


def _words(stand: _Stand, left: float, units: str) -> Iterator[Markup]:
    for end, place, by in zip(ENDS, stand.places, stand.down, strict=True):
        words = _lower(end.value, by, units)
        yield Markup('<text x="{:.1f}" y="{:g}" text-anchor="middle" fill="#111111">{}</text>').format(
            _across(left, place), _HIGH - 12, words
        )


def _across(left: float, x: float) -> float:
    return _EDGE + _SCALE * (left - x)


def _path(left: float, x: Array, z: Array, looks: str) -> Markup:
    points = "L".join(f"{_across(left, a):.1f} {_ROAD - _SCALE * b:.1f}" for a, b in zip(x, z, strict=True))
    return Markup('<path d="M{}Z" fill="none" {}/>').format(points, Markup(looks))  # noqa: S704  # our own numbers alone


def _dashed(dashes: str) -> Markup:
    return Markup(' stroke-dasharray="{}"').format(dashes) if dashes else Markup("")
