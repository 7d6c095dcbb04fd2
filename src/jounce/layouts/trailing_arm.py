"""One arm a side that turns about one line on the body and carries the wheel."""

from __future__ import annotations

from jounce.layouts.adjusters import HUB_SHIM
from jounce.layouts.builder import BODY, AxleBuilder
from jounce.layouts.common_pivots import COIL, COIL_NEEDS, DAMPER, DAMPER_NEEDS, DRIVE_SHAFT, SHAFT_NEEDS, WHEEL_CENTRE
from jounce.layouts.description import Layout, Pivot
from jounce.layouts.needs import Apart, Need, Off

ARM_LINKS = {"arm": "arm"}
"""What may carry the far end of an anti-roll bar's drop link, and its body."""

ARM_PIVOTS = (
    WHEEL_CENTRE,
    Pivot("arm_inner", "inner body pivot of the arm"),
    Pivot("arm_outer", "outer body pivot of the arm; the line through both is what the arm turns about"),
    *COIL,
    *DAMPER,
    *DRIVE_SHAFT,
)

ARM_LINE = {"arm": ("arm_inner", "arm_outer")}
"""Where a torsion bar lies."""

ARM_NEEDS: tuple[Need, ...] = (
    Apart("arm_inner", "arm_outer"),
    *COIL_NEEDS,
    *DAMPER_NEEDS,
    *SHAFT_NEEDS,
    Off("wheel_centre", ("arm_inner", "arm_outer"), "the arm turns about that line and could not move it"),
)


def swinging_arms(axle: AxleBuilder) -> None:
    """Both sides, each one arm."""
    for side in axle.sides:
        side.arm("arm", side["arm_inner"], side["arm_outer"], side["wheel_centre"])
        side.wheel_on_shims("arm")
        side.drive_shaft_to("arm")
        side.coil(lower_on="arm")
        side.damper(lower_on="arm")
        side.torsion_bar("arm")
    axle.anti_roll_bars(BODY, ARM_LINKS)


TRAILING_ARM = Layout(
    name="trailing-arm",
    title="Trailing arm",
    summary=(
        "One arm a side turns about a line square to the car and carries the wheel behind it: camber and toe do not "
        "change with travel. Sprung by a coil or by a torsion bar in the pivot line. Left free: the two wheel travels."
    ),
    pivots=ARM_PIVOTS,
    build=swinging_arms,
    springs=("coil", "torsion bar"),
    bar_lines=ARM_LINE,
    link_on=ARM_LINKS,
    adjusters=HUB_SHIM,
    needs=ARM_NEEDS,
)
