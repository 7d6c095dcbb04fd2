"""Every kind of part, by its word in a file."""

from __future__ import annotations

from collections.abc import Mapping

from jounce.job.shelf.kinds.bars import InnerBarPart, TorsionBarPart
from jounce.job.shelf.kinds.bushes import BushPart
from jounce.job.shelf.kinds.coils import CoilPart, HelperPart, PerchPart
from jounce.job.shelf.kinds.dampers import BumpStopPart, DamperPart, TopPlatePart
from jounce.job.shelf.kinds.rods import BallJointSpacerPart, DropLinkPart, PanhardPart, TieRodSpacerPart
from jounce.job.shelf.kinds.roll_bars import RollBarPart
from jounce.job.shelf.kinds.small import SmallPart
from jounce.job.shelf.kinds.wheels import WheelPart
from jounce.job.shelf.part import Part

__all__ = ["KINDS"]

KINDS: Mapping[str, type[Part]] = {
    kind.KIND: kind
    for kind in (
        TorsionBarPart,
        CoilPart,
        HelperPart,
        PerchPart,
        DamperPart,
        BumpStopPart,
        TopPlatePart,
        PanhardPart,
        RollBarPart,
        InnerBarPart,
        DropLinkPart,
        BushPart,
        BallJointSpacerPart,
        TieRodSpacerPart,
        WheelPart,
        SmallPart,
    )
}
