"""All layouts, by the word that a car file calls them."""

from __future__ import annotations

from collections.abc import Mapping

from jounce.layouts.beam_four_link import BEAM_FOUR_LINK
from jounce.layouts.beam_leaf import BEAM_LEAF
from jounce.layouts.beam_panhard import BEAM_PANHARD
from jounce.layouts.beam_watt import BEAM_WATT
from jounce.layouts.description import Layout
from jounce.layouts.double_wishbone import DOUBLE_WISHBONE
from jounce.layouts.five_link import FIVE_LINK
from jounce.layouts.semi_trailing_arm import SEMI_TRAILING_ARM
from jounce.layouts.strut_coil import STRUT_COIL
from jounce.layouts.strut_lateral_links import STRUT_LATERAL_LINKS
from jounce.layouts.strut_torsion_bar import STRUT_TORSION_BAR
from jounce.layouts.trailing_arm import TRAILING_ARM
from jounce.layouts.twist_beam import TWIST_BEAM

LAYOUTS: Mapping[str, Layout] = {
    layout.name: layout
    for layout in (
        STRUT_TORSION_BAR,
        STRUT_COIL,
        STRUT_LATERAL_LINKS,
        DOUBLE_WISHBONE,
        FIVE_LINK,
        TRAILING_ARM,
        SEMI_TRAILING_ARM,
        TWIST_BEAM,
        BEAM_PANHARD,
        BEAM_WATT,
        BEAM_FOUR_LINK,
        BEAM_LEAF,
    )
}
