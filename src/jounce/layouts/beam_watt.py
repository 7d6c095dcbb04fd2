"""Dead beam axle on two trailing arms, held sideways by a Watt linkage."""

from __future__ import annotations

from jounce.layouts.adjusters import HUB_SHIM, TRAILING_ARM, WATT_BRACKET
from jounce.layouts.beam import ARM_BUSH, ARM_NEEDS, BEAM_BASICS, BEAM_LINKS, HANGING, TURNING_SIDE, BeamBodies
from jounce.layouts.builder import BODY, AxleBuilder
from jounce.layouts.common_pivots import carried_on
from jounce.layouts.description import Layout, LayoutChoice, Pivot
from jounce.layouts.needs import Apart
from jounce.linkage.tree import Point
from jounce.numerics.vectors import X, Y

_WATT = (
    Pivot("rocker_pivot", "the rocker's own pivot; it turns about a line along the car"),
    Pivot("left_rocker_end", "joint of the left rod on the rocker"),
    Pivot("left_rod_end", "the left rod's other end"),
    Pivot("right_rocker_end", "joint of the right rod on the rocker"),
    Pivot("right_rod_end", "the right rod's other end"),
)


def _build(axle: AxleBuilder) -> None:
    beam = BeamBodies(axle, axle.choice("turning_side"))
    beam.trailing_arms()
    on_axle = axle.choice("rocker_on") == "axle"
    pivot = axle.at("watt", "rocker_pivot")
    carrier = beam.bracket(pivot)[0] if on_axle else BODY
    axle.sliding("rocker_bracket", carrier, pivot, Y, WATT_BRACKET.joint)
    axle.turning("rocker", "rocker_bracket", pivot, X)
    for side in ("left", "right"):
        end = axle.at("watt", f"{side}_rod_end")
        far = (BODY, end) if on_axle else beam.bracket(end)
        axle.rod(f"watt_rod_{side}", far, ("rocker", axle.at("watt", f"{side}_rocker_end")))
    axle.draw("rocker", *(("rocker", axle.at("watt", f"{side}_rocker_end")) for side in ("left", "right")))
    axle.held_sideways_by = (Point(axle.body("rocker_bracket"), pivot),)
    beam.hang(axle.choice("spring_on"), axle.choice("damper_on"))
    axle.anti_roll_bars("tube", BEAM_LINKS)


BEAM_WATT = Layout(
    name="beam-watt",
    title="Beam axle, trailing arms, Watt linkage",
    summary=(
        "As the beam axle with a Panhard rod, but held sideways by two rods and a rocker between them, whose pivot sits "
        "in the middle of the axle (or of the body): the pivot goes up and down very nearly on a straight line. Its "
        "bracket can be moved sideways. Left free: heave and roll."
    ),
    pivots=(*BEAM_BASICS, ARM_BUSH, *HANGING),
    build=_build,
    axle_pivots={"watt": _WATT},
    choices=(
        TURNING_SIDE,
        carried_on("spring", "arm", "tube"),
        carried_on("damper", "arm", "tube"),
        LayoutChoice(
            "rocker_on", ("axle", "body"), "what carries the rocker's pivot; the rods' other ends are on the other"
        ),
    ),
    choices_in="beam",
    twist="inner bar",
    link_on=BEAM_LINKS,
    bar_carrier="tube",
    bush_axes=True,
    adjusters=(*HUB_SHIM, WATT_BRACKET, TRAILING_ARM),
    needs=(
        *ARM_NEEDS,
        *(
            Apart(f"watt.{side}_rocker_end", f"watt.{other}")
            for side in ("left", "right")
            for other in ("rocker_pivot", f"{side}_rod_end")
        ),
    ),
)
