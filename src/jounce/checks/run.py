"""All checks of a planned car, in the order of the work."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AxleModel
from jounce.checks.alignment_reach import reach_checks
from jounce.checks.anti_roll_bars import anti_roll_bar_checks
from jounce.checks.braking import brake_check
from jounce.checks.check import Check
from jounce.checks.coils import coil_checks
from jounce.checks.dampers import damper_checks
from jounce.checks.driven import Driven, driven
from jounce.checks.full_lock import wheel_checks
from jounce.checks.hoses import hose_checks
from jounce.checks.joint_swing import joint_swing_checks
from jounce.checks.laden import laden_checks
from jounce.checks.leaves import leaf_checks
from jounce.checks.limits import USUAL, CheckLimits
from jounce.checks.links import link_checks
from jounce.checks.low_points import low_point_checks
from jounce.checks.panhard import panhard_checks
from jounce.checks.perches import perch_checks
from jounce.checks.plates import plate_checks
from jounce.checks.room import clearance_check, raised_by_tyres, room_checks
from jounce.checks.set_up import set_up_checks
from jounce.checks.shafts import shaft_checks
from jounce.checks.shims import shim_checks
from jounce.checks.strut_rods import strut_rod_checks
from jounce.checks.torsion_bars import bar_checks
from jounce.checks.travel import travel_checks
from jounce.checks.turning import turn_checks
from jounce.checks.tyre_room import tyre_room_checks
from jounce.conventions.axes import End
from jounce.job.document import JobDocument
from jounce.job.plan import JobPlan


def run_checks(
    job: JobDocument, document: CarDocument, plan: JobPlan, limits: CheckLimits = USUAL, drive: Driven | None = None
) -> list[Check]:
    """All checks of the planned car.

    Args:
        job: the change list
        document: the planned car's document
        plan: what came out
        limits: what is common practice, and what the shop holds instead
        drive: what the planned car does on the road; worked out when left out
    """
    drive = drive or driven(document, plan, limits["brisk"].value)
    checks: list[Check] = []
    for model in plan.planned.models:
        checks += _axle_checks(model, job, document, plan, limits)
    checks += anti_roll_bar_checks(document, plan, limits)
    for axle in ("front", "rear"):
        checks += travel_checks(axle, plan, limits)
        checks += room_checks(axle, document, plan)
    checks.append(clearance_check(document, plan))
    checks += wheel_checks(job, document, plan, limits)
    checks += tyre_room_checks(document, plan, limits)
    checks += hose_checks(document, plan, limits)
    checks += joint_swing_checks(document, plan)
    checks += damper_checks(document, plan, limits)
    checks += turn_checks(drive, limits)
    checks.append(brake_check(drive, limits))
    checks += laden_checks(document, drive, limits, raised_by_tyres(plan))
    checks += low_point_checks(document, plan, drive, limits)
    return [*checks, *set_up_checks(job, document, plan, limits)]


def _axle_checks(
    model: AxleModel, job: JobDocument, document: CarDocument, plan: JobPlan, limits: CheckLimits
) -> Iterator[Check]:
    """Checks of what one axle has, whatever it is laid out by."""
    section, change = document.axle(End(model.name)), job.change.of(model.name)
    if plan.settings[model.name].bars:
        yield from bar_checks(model, section, plan)
    mover = next((adjuster for adjuster in section.as_layout().adjusters if adjuster.sets == "camber"), None)
    if mover is not None:
        yield from plate_checks(model.name, mover, change, plan)
        yield from shim_checks(model.name, plan)
        yield from reach_checks(model.name, mover, document, job, plan)
    yield from link_checks(model.name, plan)
    yield from strut_rod_checks(model, document, plan, limits)
    yield from shaft_checks(model, section, plan)
    if model.main["left"].kind == "coil":
        yield from coil_checks(model, section, plan)
    if model.main["left"].kind == "leaf":
        yield from leaf_checks(model, section, plan, limits)
    if plan.settings[model.name].seats:
        yield from perch_checks(model.name, section, plan, limits)
    yield from panhard_checks(model, change, document, plan, limits)
