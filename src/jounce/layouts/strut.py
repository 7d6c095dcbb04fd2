"""What strut axles have in common: a damper that locates the knuckle, a lower arm, a tie rod."""

from __future__ import annotations

from jounce.layouts.builder import BODY, AxleBuilder, SideBuilder
from jounce.layouts.common_pivots import DRIVE_SHAFT, SHAFT_NEEDS, TIE_ROD, TIE_ROD_NEEDS, WHEEL_CENTRE
from jounce.layouts.description import Pivot
from jounce.layouts.needs import Apart, Need, Off, ends_apart
from jounce.layouts.steering import steering_gear
from jounce.linkage.measures import Distance
from jounce.linkage.tree import Point
from jounce.numerics.vectors import X, Y

STRUT_LINE = (
    Pivot("strut_top", "centre of the top mount"),
    Pivot(
        "strut_foot",
        "any point low on the strut's axis, fixed to the knuckle; damper lengths count from strut_top to it",
    ),
)
SEATS = (
    Pivot(
        "spring_upper",
        "centre of the spring's upper seat, on the top plate; strut_top where it is not given",
        optional=True,
        stands_for="strut_top",
    ),
    Pivot(
        "spring_lower",
        "centre of the spring's lower seat, on the strut; strut_foot where it is not given",
        optional=True,
        stands_for="strut_foot",
    ),
)
STRUT_LINE_NEEDS = ends_apart("strut", ends=("top", "foot"))
STRUT_PIVOTS = (
    WHEEL_CENTRE,
    Pivot("arm_front", "front body pivot of the lower arm"),
    Pivot("arm_rear", "rear body pivot of the lower arm"),
    Pivot("ball_joint", "centre of the lower ball joint, between arm and knuckle"),
    *STRUT_LINE,
    *TIE_ROD,
    *DRIVE_SHAFT,
)
STRUT_NEEDS: tuple[Need, ...] = (
    Apart("arm_front", "arm_rear"),
    Apart("arm_front", "ball_joint"),
    Apart("arm_rear", "ball_joint"),
    *STRUT_LINE_NEEDS,
    Apart("ball_joint", "strut_top"),
    *TIE_ROD_NEEDS,
    *SHAFT_NEEDS,
    Off("ball_joint", ("arm_front", "arm_rear"), "the arm turns about that line and could not move it"),
    Off(
        "tie_rod_outer",
        ("ball_joint", "strut_top"),
        "the wheel steers about that line and the tie rod could not hold it",
    ),
)
STRUT_LINKS = {"arm": "arm", "strut": "knuckle"}
"""What may carry the far end of an anti-roll bar's drop link, and its body."""


def strut_axle(axle: AxleBuilder) -> None:
    """Both sides on struts, steered by one gear."""
    gear = steering_gear(axle)
    for side in axle.sides:
        strut_side(side, gear)
    axle.anti_roll_bars(BODY, STRUT_LINKS)


def strut_side(side: SideBuilder, gear: str) -> None:
    """One side: arm, top plate that can be moved, knuckle; ball joint, rod through the top mount, tie rod."""
    side.arm("arm", side["arm_front"], side["arm_rear"], side["ball_joint"])
    top_plate(side)
    side.free("knuckle", side["wheel_centre"])
    side.ball("ball_joint", "arm", "knuckle", side["ball_joint"])
    rod_through_top_mount(side)
    side.rod("tie_rod", (gear, side["tie_rod_inner"]), ("knuckle", side["tie_rod_outer"]))
    side.wheel_on("knuckle")
    side.steers_about(("arm", side["ball_joint"]), ("top_plate", side["strut_top"]))
    side.drive_shaft_to("knuckle")
    knuckle = (side["ball_joint"], side["wheel_centre"], side["strut_foot"])
    side.draw("knuckle", *(("knuckle", at) for at in knuckle))


def top_plate(side: SideBuilder) -> None:
    """The plate that carries the top mount and can be moved on the body, fore and aft and across."""
    side.sliding("plate_slide", BODY, side["strut_top"], X, "top_plate_x")
    side.sliding("top_plate", "plate_slide", side["strut_top"], Y, "top_plate_y")


def rod_through_top_mount(side: SideBuilder) -> None:
    """The damper's rod, on the knuckle's line through strut_foot, slides through the top mount."""
    top, foot = side["strut_top"], side["strut_foot"]
    side.line("top_mount", ("knuckle", foot), top - foot, ("top_plate", top), slides=True)
    side.measure("damper", Distance(Point(side.body("top_plate"), top), Point(side.body("knuckle"), foot)))
    side.draw("strut", ("top_plate", top), ("knuckle", foot))
