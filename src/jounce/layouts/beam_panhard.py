"""Dead beam axle on two trailing arms with a Panhard rod and, usually, a bar inside the tube."""

from __future__ import annotations

from jounce.layouts.adjusters import HUB_SHIM, PANHARD_ROD, TRAILING_ARM
from jounce.layouts.beam import (
    ARM_BUSH,
    ARM_NEEDS,
    BEAM_BASICS,
    BEAM_LINKS,
    HANGING,
    PANHARD,
    TURNING_SIDE,
    BeamBodies,
)
from jounce.layouts.builder import AxleBuilder
from jounce.layouts.common_pivots import carried_on
from jounce.layouts.description import Layout


def _build(axle: AxleBuilder) -> None:
    beam = BeamBodies(axle, axle.choice("turning_side"))
    beam.trailing_arms()
    beam.panhard()
    beam.hang(axle.choice("spring_on"), axle.choice("damper_on"))
    axle.anti_roll_bars("tube", BEAM_LINKS)


BEAM_PANHARD = Layout(
    name="beam-panhard",
    title="Beam axle, trailing arms, Panhard rod",
    summary=(
        "A dead tube carries both wheels. Two arms run forward to bushes on the body that hold the arm's end square to "
        "their own axis and are soft along it; a Panhard rod holds the axle sideways. Rigid arms on a rigid tube could "
        "not roll: on one side arm and hub carrier turn about the tube's own line, and a bar inside the tube resists "
        "the turning. Variants: both sides turn (the bar joins them, the tube keeps half way between), or neither does "
        "and the tube itself twists. Left free: heave and roll."
    ),
    pivots=(*BEAM_BASICS, ARM_BUSH, *HANGING),
    build=_build,
    axle_pivots={"panhard": PANHARD},
    choices=(TURNING_SIDE, carried_on("spring", "arm", "tube"), carried_on("damper", "arm", "tube")),
    choices_in="beam",
    twist="inner bar",
    link_on=BEAM_LINKS,
    bar_carrier="tube",
    bush_axes=True,
    adjusters=(*HUB_SHIM, PANHARD_ROD, TRAILING_ARM),
    needs=ARM_NEEDS,
)
