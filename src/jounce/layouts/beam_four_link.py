"""Beam axle on two links a side with a Panhard rod."""

from __future__ import annotations

from jounce.layouts.adjusters import HUB_SHIM, PANHARD_ROD, TRAILING_LINKS
from jounce.layouts.beam import (
    BEAM_BASICS,
    BEAM_LINKS,
    HANGING,
    HANGING_NEEDS,
    PANHARD,
    TUBE_NEEDS,
    BeamBodies,
)
from jounce.layouts.builder import BODY, AxleBuilder
from jounce.layouts.description import Layout, Pivot
from jounce.layouts.needs import ends_apart


def _build(axle: AxleBuilder) -> None:
    beam = BeamBodies(axle, "neither")
    for side in axle.sides:
        for link in ("lower_link", "upper_link"):
            carrier = beam.carriers[side.side]
            side.rod(link, (BODY, side[f"{link}_front"]), (carrier, side[f"{link}_rear"]))
    beam.panhard()
    beam.hang("tube", "tube")
    axle.anti_roll_bars("tube", BEAM_LINKS)


BEAM_FOUR_LINK = Layout(
    name="beam-four-link",
    title="Beam axle, four links, Panhard rod",
    summary=(
        "A lower and an upper link a side hold the tube fore and aft and against turning, a Panhard rod holds it "
        "sideways. Four links and a rod leave a rigid tube one way to move; what lets a real one roll is the tube's "
        "twist and the bushes. Here the tube may twist about its own line, against its torsional rate where that is "
        "given; with parallel links of equal length it does not twist at all. Left free: heave and roll."
    ),
    pivots=(
        *BEAM_BASICS,
        *(
            Pivot(f"{link}_link_{end}", f"joint of the {link} link on the {where}")
            for link in ("lower", "upper")
            for end, where in (("front", "body"), ("rear", "axle"))
        ),
        *HANGING,
    ),
    build=_build,
    axle_pivots={"panhard": PANHARD},
    twist="inner bar",
    link_on=BEAM_LINKS,
    bar_carrier="tube",
    adjusters=(*HUB_SHIM, PANHARD_ROD, TRAILING_LINKS),
    needs=(
        *TUBE_NEEDS,
        *HANGING_NEEDS,
        *ends_apart("lower_link", "upper_link", ends=("front", "rear")),
    ),
)
