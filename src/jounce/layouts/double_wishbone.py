"""Two arms a side, each on two body pivots, and a tie rod; coil or torsion bar on either arm."""

from __future__ import annotations

from jounce.layouts.adjusters import TOE, UPPER_JOINT
from jounce.layouts.builder import BODY, AxleBuilder
from jounce.layouts.common_pivots import (
    COIL,
    COIL_NEEDS,
    DAMPER,
    DAMPER_NEEDS,
    DRIVE_SHAFT,
    SHAFT_NEEDS,
    TIE_ROD,
    TIE_ROD_NEEDS,
    WHEEL_CENTRE,
    carried_on,
)
from jounce.layouts.description import Layout, LayoutChoice, Pivot
from jounce.layouts.needs import Apart, Off
from jounce.layouts.steering import steering_gear

_ARMS = ("lower_arm", "upper_arm")
_LINKS = {"lower_arm": "lower_arm", "upper_arm": "upper_arm", "knuckle": "knuckle"}


def _build(axle: AxleBuilder) -> None:
    gear = steering_gear(axle)
    for side in axle.sides:
        for arm, letters in zip(_ARMS, ("lower", "upper"), strict=True):
            side.arm(arm, side[f"{letters}_front"], side[f"{letters}_rear"], side[f"{letters}_ball"])
        side.free("knuckle", side["wheel_centre"])
        for arm, ball in zip(_ARMS, ("lower_ball", "upper_ball"), strict=True):
            side.ball(ball, arm, "knuckle", side[ball])
        side.rod("tie_rod", (gear, side["tie_rod_inner"]), ("knuckle", side["tie_rod_outer"]))
        side.wheel_on("knuckle")
        # Through both balls as the knuckle holds them: where a slot moves a ball on its arm, the axis goes with the ball.
        side.steers_about(("knuckle", side["lower_ball"]), ("knuckle", side["upper_ball"]))
        side.drive_shaft_to("knuckle")
        side.coil(lower_on=axle.choice("spring_on"))
        side.damper(lower_on=axle.choice("damper_on"))
        side.torsion_bar(axle.choice("torsion_bar_on"))
        knuckle = ("lower_ball", "wheel_centre", "upper_ball")
        side.draw("knuckle", *(("knuckle", side[pivot]) for pivot in knuckle))
    axle.anti_roll_bars(BODY, _LINKS)


DOUBLE_WISHBONE = Layout(
    name="double-wishbone",
    title="Double wishbone",
    summary=(
        "An upper and a lower arm, each on two body pivots, hold the knuckle by a ball joint each; a tie rod sets the "
        "steer (on an axle that is not steered its inner end is on the body). The damper locates nothing. It and the "
        "coil act on an arm, straight or through a fork (a fork's foot is the point on the arm), or on the knuckle; in "
        "place of the coil a torsion bar may lie in either arm's pivot line. Left free: the two wheel travels and the "
        "rack."
    ),
    pivots=(
        WHEEL_CENTRE,
        Pivot("lower_front", "front body pivot of the lower arm"),
        Pivot("lower_rear", "rear body pivot of the lower arm"),
        Pivot("lower_ball", "centre of the lower ball joint"),
        Pivot("upper_front", "front body pivot of the upper arm"),
        Pivot("upper_rear", "rear body pivot of the upper arm"),
        Pivot("upper_ball", "centre of the upper ball joint"),
        *TIE_ROD,
        *COIL,
        *DAMPER,
        *DRIVE_SHAFT,
    ),
    build=_build,
    choices=(
        carried_on("spring", "lower_arm", "upper_arm", "knuckle"),
        carried_on("damper", "lower_arm", "upper_arm", "knuckle"),
        LayoutChoice("torsion_bar_on", _ARMS, "arm whose pivot line the torsion bar lies in, where there is one"),
    ),
    springs=("coil", "torsion bar"),
    bar_lines={"lower_arm": ("lower_front", "lower_rear"), "upper_arm": ("upper_front", "upper_rear")},
    steered=True,
    link_on=_LINKS,
    adjusters=(*UPPER_JOINT, TOE),
    needs=(
        *(Apart(f"{arm}_front", f"{arm}_rear") for arm in ("lower", "upper")),
        *(Apart(f"{arm}_{end}", f"{arm}_ball") for arm in ("lower", "upper") for end in ("front", "rear")),
        Apart("lower_ball", "upper_ball"),
        *TIE_ROD_NEEDS,
        *COIL_NEEDS,
        *DAMPER_NEEDS,
        *SHAFT_NEEDS,
        *(
            Off(f"{arm}_ball", (f"{arm}_front", f"{arm}_rear"), "the arm turns about that line and could not move it")
            for arm in ("lower", "upper")
        ),
        Off(
            "tie_rod_outer",
            ("lower_ball", "upper_ball"),
            "the wheel steers about that line and the tie rod could not hold it",
        ),
    ),
)
