"""All checks of a planned car, in the order of the work."""

from __future__ import annotations

from jounce.car.axles.beam_panhard import BeamPanhardAxle
from jounce.car.axles.strut_torsion_bar import StrutTorsionBarAxle
from jounce.car.file.document import CarDocument
from jounce.checks.alignment_reach import reach_checks
from jounce.checks.braking import brake_check
from jounce.checks.check import Check
from jounce.checks.coils import coil_checks
from jounce.checks.dampers import damper_checks
from jounce.checks.driven import Driven, driven
from jounce.checks.full_lock import wheel_checks
from jounce.checks.laden import laden_checks
from jounce.checks.limits import USUAL, CheckLimits
from jounce.checks.panhard import panhard_checks
from jounce.checks.perches import perch_checks
from jounce.checks.plates import plate_checks
from jounce.checks.roll_bars import roll_bar_checks
from jounce.checks.room import clearance_check, room_checks
from jounce.checks.set_up import set_up_checks
from jounce.checks.shafts import shaft_checks
from jounce.checks.strut_rods import strut_rod_checks
from jounce.checks.torsion_bars import bar_checks
from jounce.checks.travel import travel_checks
from jounce.checks.turning import turn_checks
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
    front, rear = document.front, document.rear
    if isinstance(front, StrutTorsionBarAxle):
        checks += bar_checks(front, plan)
        checks += plate_checks(job, plan)
        checks += reach_checks(job, plan)
        checks += strut_rod_checks(document, front, plan, limits)
        checks += shaft_checks(front, plan)
    if isinstance(rear, BeamPanhardAxle):
        checks += coil_checks(rear, plan)
        checks += perch_checks(rear, plan, limits)
        checks += panhard_checks(job, document, rear, plan, limits)
    checks += roll_bar_checks(document, plan, limits)
    for axle in ("front", "rear"):
        checks += travel_checks(axle, plan, limits)
        checks += room_checks(axle, document, plan)
    checks.append(clearance_check(document, plan))
    checks += wheel_checks(job, document, plan, limits)
    checks += damper_checks(document, plan, limits)
    checks += turn_checks(drive, limits)
    checks.append(brake_check(drive, limits))
    checks += laden_checks(document, drive, limits)
    return [*checks, *set_up_checks(job, document, plan, limits)]
