"""A knuckle on five rods, one of which is the tie rod."""

from __future__ import annotations

from jounce.layouts.adjusters import TOE
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
)
from jounce.layouts.description import Layout, Pivot
from jounce.layouts.needs import ends_apart
from jounce.layouts.steering import steering_gear

_LINKS = {"knuckle": "knuckle"}


def _build(axle: AxleBuilder) -> None:
    gear = steering_gear(axle)
    for side in axle.sides:
        side.free("knuckle", side["wheel_centre"])
        for n in range(1, 5):
            side.rod(f"link_{n}", (BODY, side[f"link_{n}_inner"]), ("knuckle", side[f"link_{n}_outer"]))
        side.rod("tie_rod", (gear, side["tie_rod_inner"]), ("knuckle", side["tie_rod_outer"]))
        side.wheel_on("knuckle")
        side.drive_shaft_to("knuckle")
        side.coil(lower_on="knuckle")
        side.damper(lower_on="knuckle")
        for n in range(1, 5):
            side.draw("knuckle", ("knuckle", side[f"link_{n}_outer"]), ("knuckle", side["wheel_centre"]))
    axle.anti_roll_bars(BODY, _LINKS)


FIVE_LINK = Layout(
    name="five-link",
    title="Five-link",
    summary=(
        "Five rods with a ball joint at each end hold the knuckle: four end on the body, the fifth is the tie rod (on "
        "an axle that is not steered its inner end is on the body). There is no steering axis as a line through two "
        "joints; the one that the wheel turns about at the moment is given instead. Spring and damper act on the "
        "knuckle. Left free: the two wheel travels and the rack."
    ),
    pivots=(
        WHEEL_CENTRE,
        *(
            Pivot(f"link_{n}_{end}", f"joint of link {n} on the {where}")
            for n in range(1, 5)
            for end, where in (("inner", "body"), ("outer", "knuckle"))
        ),
        *TIE_ROD,
        *COIL,
        *DAMPER,
        *DRIVE_SHAFT,
    ),
    build=_build,
    steered=True,
    link_on=_LINKS,
    adjusters=(TOE,),
    links=tuple(f"link_{n}" for n in range(1, 5)),
    needs=(
        *ends_apart(*(f"link_{n}" for n in range(1, 5)), ends=("inner", "outer")),
        *TIE_ROD_NEEDS,
        *COIL_NEEDS,
        *DAMPER_NEEDS,
        *SHAFT_NEEDS,
    ),
)
