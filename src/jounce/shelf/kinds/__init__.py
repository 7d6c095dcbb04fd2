"""Every kind of part, by its word in a file."""

from __future__ import annotations

from collections.abc import Mapping

from jounce.shelf.kinds.adjustable_rods import (
    CamberLinkPart,
    CasterLinkPart,
    PanhardPart,
    ToeRodPart,
    TrailingLinkPart,
)
from jounce.shelf.kinds.alignment import HubShimPart, UpperJointPart, WattBracketPart
from jounce.shelf.kinds.anti_roll_bars import AntiRollBarPart
from jounce.shelf.kinds.bars import InnerBarPart, TorsionBarPart
from jounce.shelf.kinds.bushes import BushPart
from jounce.shelf.kinds.coils import CoilPart, HelperPart, PerchPart
from jounce.shelf.kinds.dampers import BumpStopPart, DamperPart, TopPlatePart
from jounce.shelf.kinds.leaves import LeafPart, ShacklePart
from jounce.shelf.kinds.rods import BallJointSpacerPart, DropLinkPart, RackShimPart, TieRodSpacerPart
from jounce.shelf.kinds.small import SmallPart
from jounce.shelf.kinds.spacers import SpringSpacerPart
from jounce.shelf.kinds.wheels import WheelPart
from jounce.shelf.part import Part

__all__ = ["KINDS"]

KINDS: Mapping[str, type[Part]] = {
    kind.KIND: kind
    for kind in (
        TorsionBarPart,
        CoilPart,
        HelperPart,
        PerchPart,
        LeafPart,
        ShacklePart,
        SpringSpacerPart,
        DamperPart,
        BumpStopPart,
        TopPlatePart,
        UpperJointPart,
        ToeRodPart,
        CamberLinkPart,
        CasterLinkPart,
        TrailingLinkPart,
        HubShimPart,
        WattBracketPart,
        PanhardPart,
        AntiRollBarPart,
        InnerBarPart,
        DropLinkPart,
        BushPart,
        BallJointSpacerPart,
        TieRodSpacerPart,
        RackShimPart,
        WheelPart,
        SmallPart,
    )
}
