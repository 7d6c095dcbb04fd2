"""Strut that locates the knuckle, its foot held by two lateral links and a trailing link; sprung by a coil around it."""

from __future__ import annotations

from jounce.layouts.adjusters import REAR_LATERAL_LINK, TOP_PLATE
from jounce.layouts.builder import BODY, AxleBuilder, SideBuilder
from jounce.layouts.common_pivots import COIL_NEEDS, DRIVE_SHAFT, SHAFT_NEEDS, WHEEL_CENTRE
from jounce.layouts.description import Layout, Pivot
from jounce.layouts.needs import ends_apart
from jounce.layouts.strut import SEATS, STRUT_LINE, STRUT_LINE_NEEDS, rod_through_top_mount, top_plate

_RODS = {"front_link": "front_lateral_link", "rear_link": "rear_lateral_link", "trailing_link": "trailing_link"}
"""The rods by the beginnings of their pivots' names."""
_LINKS = {"strut": "knuckle"}


def _build(axle: AxleBuilder) -> None:
    for side in axle.sides:
        _side(side)
    axle.anti_roll_bars(BODY, _LINKS)


def _side(side: SideBuilder) -> None:
    """One side: top plate that can be moved, knuckle; rod through the top mount, three links to the body."""
    top_plate(side)
    side.free("knuckle", side["wheel_centre"])
    rod_through_top_mount(side)
    for link, rod in _RODS.items():
        side.rod(rod, (BODY, side[f"{link}_inner"]), ("knuckle", side[f"{link}_outer"]))
    side.wheel_on("knuckle")
    side.drive_shaft_to("knuckle")
    side.coil(lower_on="knuckle", upper_on="top_plate")
    for pivot in (*(f"{link}_outer" for link in _RODS), "strut_foot"):
        side.draw("knuckle", ("knuckle", side[pivot]), ("knuckle", side["wheel_centre"]))


STRUT_LATERAL_LINKS = Layout(
    name="strut-lateral-links",
    title="Strut with two lateral links and a trailing link",
    summary=(
        "The damper's body is clamped to the knuckle (the hub carrier) and locates it: its rod passes through the top "
        "mount, a spherical point on a plate that can be moved. In place of a lower arm two links across the car, one "
        "ahead of the other, and one along it run from the body to the knuckle, each with a joint at either end. The "
        "length of the rear lateral link sets the toe. It is not steered: no line through two joints is a steering "
        "axis. The coil acts between a seat on the strut and one on the top plate. Left free: the two wheel travels."
    ),
    pivots=(
        WHEEL_CENTRE,
        *STRUT_LINE,
        *(
            Pivot(f"{link}_{end}", f"joint of the {rod.replace('_', ' ')} on the {where}")
            for link, rod in _RODS.items()
            for end, where in (("inner", "body"), ("outer", "knuckle"))
        ),
        *SEATS,
        *DRIVE_SHAFT,
    ),
    build=_build,
    link_on=_LINKS,
    adjusters=(TOP_PLATE[0], REAR_LATERAL_LINK),
    needs=(*STRUT_LINE_NEEDS, *ends_apart(*_RODS, ends=("inner", "outer")), *COIL_NEEDS, *SHAFT_NEEDS),
)
