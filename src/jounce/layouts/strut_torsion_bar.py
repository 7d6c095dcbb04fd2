"""Strut that locates the knuckle, sprung by a longitudinal torsion bar in the lower arm's pivot line."""

from __future__ import annotations

from jounce.layouts.adjusters import TOE, TOP_PLATE
from jounce.layouts.builder import AxleBuilder
from jounce.layouts.description import Layout
from jounce.layouts.strut import STRUT_LINKS, STRUT_NEEDS, STRUT_PIVOTS, strut_axle


def _build(axle: AxleBuilder) -> None:
    strut_axle(axle)
    for side in axle.sides:
        side.torsion_bar("arm")


STRUT_TORSION_BAR = Layout(
    name="strut-torsion-bar",
    title="Strut with torsion bar",
    summary=(
        "The damper's body is bolted to the knuckle and locates it: its rod passes through the top mount, a spherical "
        "point. A lower arm on two body pivots carries the ball joint, a tie rod sets the steer. There is no coil: a "
        "bar along the arm's pivot line, splined into the arm, is twisted as the arm turns. The top mount sits on a "
        "plate that can be moved fore and aft and across. Left free: the two wheel travels and the rack."
    ),
    pivots=STRUT_PIVOTS,
    build=_build,
    springs=("torsion bar",),
    bar_lines={"arm": ("arm_front", "arm_rear")},
    steered=True,
    link_on=STRUT_LINKS,
    adjusters=(*TOP_PLATE, TOE),
    needs=STRUT_NEEDS,
)
