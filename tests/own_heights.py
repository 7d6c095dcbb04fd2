"""What each corner's own height and load ask of its spring, before all springs are set together."""

from __future__ import annotations

from jounce.car.mechanics.model import AXLES
from jounce.job.plan import _Planner, car_before


def settings_by_own_heights(document, planned_document, wishes):
    """Settings by axle, the planned car held at the heights wanted."""
    begun, _ = _Planner(planned_document, car_before(document), wishes).by_own_heights()
    return dict(zip(AXLES, (settings for settings, _ in begun), strict=True))
