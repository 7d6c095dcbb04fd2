"""Beam axle located by its leaf springs, each half a link of three quarters of its length."""

from __future__ import annotations

from jounce.layouts.adjusters import HUB_SHIM
from jounce.layouts.beam import BEAM_BASICS, BEAM_LINKS, TUBE_NEEDS, BeamBodies
from jounce.layouts.builder import BODY, AxleBuilder
from jounce.layouts.common_pivots import DAMPER, DAMPER_NEEDS
from jounce.layouts.description import Layout, Pivot
from jounce.layouts.needs import Apart
from jounce.linkage.measures import Component
from jounce.linkage.tree import Direction, Point, Segment
from jounce.numerics.vectors import X, Z

_SHARE = 0.75
"""Radius of the axle seat's path as a share of the cantilever's length."""


def _build(axle: AxleBuilder) -> None:
    beam = BeamBodies(axle, "neither")
    for side in axle.sides:
        carrier = beam.carriers[side.side]
        seat, eye = side["leaf_seat"], side["front_eye"]
        side.rod("leaf_front", (BODY, seat + _SHARE * (eye - seat)), (carrier, seat))
        # Both halves alike bend so that the seat keeps its slope.
        slope = Component(Direction(side.body(carrier), X), Direction(axle.setting.body, Z))
        side.held("leaf_slope", slope)
        chord = Point(axle.setting.body, 0.5 * (eye + side["rear_eye"]))
        side.measure("spring", Component(Segment(Point(side.body(carrier), seat), chord), Direction(chord.body, Z)))
        side.parts.springs[side.side] = side.title("spring")
        side.draw("leaf", (BODY, eye), (carrier, seat), (BODY, side["rear_eye"]))
        side.wheel_on_shims(carrier)
        side.draw("hub", (carrier, side["tube_end"]), (carrier, side["wheel_centre"]))
        side.damper(lower_on=carrier)
    axle.held_in_the_middle("leaf_sideways", "leaf_seat", beam.carriers, "leaf_front")
    axle.anti_roll_bars("tube", BEAM_LINKS)


BEAM_LEAF = Layout(
    name="beam-leaf",
    title="Beam axle on leaf springs",
    summary=(
        "Two leaf springs carry and locate the tube. Simplified, as is usual for a leaf with halves of nearly equal "
        "length: the seat moves as if led by a link of three quarters of the front half's length, whose pivot lies a "
        "quarter of the way from the fixed front eye; it keeps its slope; the rear eye hangs on a shackle and leads "
        "nothing; both springs together hold the tube sideways. The spring's deflection is the seat's rise against the "
        "middle of the two eyes. Wind-up under braking is left out. Left free: heave and roll."
    ),
    pivots=(
        *BEAM_BASICS,
        Pivot("front_eye", "centre of the leaf's fixed front eye, on the body"),
        Pivot("rear_eye", "centre of the leaf's rear eye, on its shackle"),
        Pivot("leaf_seat", "centre of the leaf where it is clamped to the axle"),
        *DAMPER,
    ),
    build=_build,
    springs=("leaf",),
    link_on=BEAM_LINKS,
    bar_carrier="tube",
    adjusters=HUB_SHIM,
    needs=(
        *TUBE_NEEDS,
        *DAMPER_NEEDS,
        Apart("front_eye", "leaf_seat"),
        Apart("rear_eye", "leaf_seat"),
        Apart("leaf_seat", "other.leaf_seat"),
    ),
)
