"""How sure everything is that is told of a planned car."""

from __future__ import annotations

from collections.abc import Callable

from jounce.behaviour.bands import Band, Car, Place, Slopes
from jounce.car.file.document import CarDocument
from jounce.job.document import JobDocument
from jounce.job.kept import Changed, kept_of, place_of
from jounce.job.plan import Plan
from jounce.job.setting_bands import setting_slopes

__all__ = ["bands_in", "planned_bands"]


def planned_bands(
    car: CarDocument, job: JobDocument, plan: Plan, progress: Callable[[float], None] | None = None
) -> dict[str, Band]:
    """Bands of all results of the planned car: heights, loads, angles, rates, settings.

    Args:
        car: the car as measured
        job: the change list
        plan: what came out
        progress: told the share done, from 0 to 1
    """
    place = place_of(plan.planned.sits, plan.planned.standing.adjusted)
    return bands_in(Changed(car, job, kept_of(job, plan)), place, progress)


def bands_in(car: Car, place: Place, progress: Callable[[float], None] | None = None) -> dict[str, Band]:
    """Bands of all results of a car as found or as planned, with those of its settings where it has a change list.

    Args:
        car: the car and how it varies
        place: where it stands
        progress: told the share done, from 0 to 1
    """
    slopes = Slopes(car, place)
    found = slopes.bands(progress)
    if isinstance(car, Changed) and car.job is not None:
        found |= {name: slopes.band(slope) for name, slope in setting_slopes(slopes)}
    return found
