"""Names of a layout's joints and bodies, those that may be bushes: found by laying it out once on made-up points."""

from __future__ import annotations

from functools import cache

import numpy as np

from jounce.layouts.axle import AxleLinkage, Setting
from jounce.layouts.axle_input import AxleInput, WheelInput
from jounce.layouts.builder import laid_out
from jounce.layouts.catalogue import LAYOUTS
from jounce.layouts.naming import SIDES


def bush_names(name: str) -> tuple[str, ...]:
    """Names of a layout's joints, without axle and side, in the order in which the layout tells them.

    A relay rod's own joints are left out: they belong to the steering box.
    """
    return tuple(dict.fromkeys(site.name for site in _laid_out(name).sites.values()))


def swinging_names(name: str) -> tuple[str, ...]:
    """Names of a layout's joints whose studs swing: balls and the ends of rods.

    Args:
        name: of the layout; none are known of an axle that is told joint by joint
    """
    if name not in LAYOUTS:
        return ()
    return tuple(dict.fromkeys(site.name for site in _laid_out(name).sites.values() if site.kind != "line"))


def body_names(name: str) -> tuple[str, ...]:
    """Words for the bodies of a layout that may carry a named point.

    Args:
        name: as of `swinging_names`
    """
    return tuple(_laid_out(name).body_words()) if name in LAYOUTS else ()


@cache
def _laid_out(name: str) -> AxleLinkage:
    """A layout laid out on made-up points."""
    layout = LAYOUTS[name]
    # Where the points lie plays no part: nothing is solved, and the names do not depend on them.
    scattered = iter(np.random.default_rng(1).uniform(0.1, 1.0, (1000, 3)))
    given = AxleInput(
        pivots={side: {pivot.name: next(scattered) for pivot in layout.pivots} for side in SIDES},
        wheels=dict.fromkeys(SIDES, WheelInput(0.0, 0.0, 0.3)),
        axle_pivots={
            section: {pivot.name: next(scattered) for pivot in pivots} for section, pivots in layout.axle_pivots.items()
        },
        choices={choice.name: choice.words[0] for choice in layout.choices} | {"steering": "rack"},
        spring=layout.springs[0],
        jointed=True,
    )
    return laid_out(layout.build, Setting("axle"), given)
