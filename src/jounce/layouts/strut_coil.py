"""Strut that locates the knuckle, sprung by a coil around it whose line need not be the rod's."""

from __future__ import annotations

from jounce.layouts.adjusters import TOE, TOP_PLATE
from jounce.layouts.builder import AxleBuilder
from jounce.layouts.common_pivots import COIL_NEEDS
from jounce.layouts.description import Layout
from jounce.layouts.strut import SEATS, STRUT_LINKS, STRUT_NEEDS, STRUT_PIVOTS, strut_axle


def _build(axle: AxleBuilder) -> None:
    strut_axle(axle)
    for side in axle.sides:
        side.coil(lower_on="knuckle", upper_on="top_plate")


STRUT_COIL = Layout(
    name="strut-coil",
    title="Strut with coil spring",
    summary=(
        "The damper's body is bolted to the knuckle and locates it: its rod passes through the top mount, a spherical "
        "point. The coil acts between a seat on the strut and one on the top plate; its line need not be the rod's: "
        "inclined or offset, it takes side load off the rod's guide. A lower arm on two body pivots carries the ball "
        "joint, a tie rod sets the steer. Left free: the two wheel travels and the rack."
    ),
    pivots=(*STRUT_PIVOTS, *SEATS),
    build=_build,
    springs=("coil",),
    steered=True,
    link_on=STRUT_LINKS,
    adjusters=(*TOP_PLATE, TOE),
    needs=(*STRUT_NEEDS, *COIL_NEEDS),
)
