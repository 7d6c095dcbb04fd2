"""One arm a side that turns about a line oblique to the car, and carries the wheel."""

from __future__ import annotations

from jounce.layouts.adjusters import HUB_SHIM
from jounce.layouts.description import Layout
from jounce.layouts.trailing_arm import ARM_LINE, ARM_LINKS, ARM_NEEDS, ARM_PIVOTS, swinging_arms

SEMI_TRAILING_ARM = Layout(
    name="semi-trailing-arm",
    title="Semi-trailing arm",
    summary=(
        "One arm a side turns about a line that is oblique in plan and may be in front view: the wheel gains camber "
        "and toe with travel. Sprung by a coil or by a torsion bar in the pivot line. Left free: the two wheel travels."
    ),
    pivots=ARM_PIVOTS,
    build=swinging_arms,
    springs=("coil", "torsion bar"),
    bar_lines=ARM_LINE,
    link_on=ARM_LINKS,
    adjusters=HUB_SHIM,
    needs=ARM_NEEDS,
)
