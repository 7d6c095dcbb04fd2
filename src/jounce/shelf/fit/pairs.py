"""Whether two parts that are fitted together fit one another."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from jounce.car.file.quantity import Measured
from jounce.shelf.fit import bounds
from jounce.shelf.fit.comparison import DimensionComparison
from jounce.shelf.fit.reason import Reason
from jounce.shelf.kinds.anti_roll_bars import AntiRollBarPart
from jounce.shelf.kinds.bushes import BushPart
from jounce.shelf.kinds.coils import CoilPart, HelperPart, PerchPart
from jounce.shelf.kinds.dampers import BumpStopPart, DamperPart, TopPlatePart
from jounce.shelf.kinds.leaves import LeafPart, ShacklePart
from jounce.shelf.kinds.rods import DropLinkPart
from jounce.shelf.kinds.spacers import SpringSpacerPart
from jounce.shelf.part import Part

__all__ = ["pair_why_not"]


def pair_why_not(one: Part, other: Part) -> list[Reason]:
    """Why two parts do not fit one another, or why that is not known; empty if they do, or do not touch.

    Args:
        one: a part
        other: a part fitted with it, at the same axle
    """
    for first, second in ((one, other), (other, one)):
        matches = _PAIRS.get((first.KIND, second.KIND))
        if matches is not None:
            found = (match.reason() for match in matches(first, second))
            return [reason for reason in found if reason is not None]
    return []


def _of(part: Part, key: str) -> str:
    return f"{key} of {part.code}"


def _coil_on_perch(coil: CoilPart, perch: PerchPart) -> list[DimensionComparison]:
    ends: list[tuple[str, Measured | None]] = [("lower", coil.seat_diameter_lower or coil.inside)]
    if perch.with_upper_seat:
        ends.append(("upper", coil.seat_diameter_upper or coil.inside))
    return [
        DimensionComparison(
            f"inside diameter on the {end} seat of {perch.code}",
            inside,
            _of(coil, "inner_diameter"),
            perch.spring_diameter,
            _of(perch, "spring_diameter"),
            0.0,
            bounds.SEAT_PLAY,
        )
        for end, inside in ends
    ]


def _helper_on_perch(helper: HelperPart, perch: PerchPart) -> list[DimensionComparison]:
    own, seat = _of(helper, "inner_diameter"), _of(perch, "spring_diameter")
    name = f"inside diameter on the seat of {perch.code}"
    return [DimensionComparison(name, helper.inside, own, perch.spring_diameter, seat, 0.0, bounds.SEAT_PLAY)]


def _helper_on_coil(helper: HelperPart, coil: CoilPart) -> list[DimensionComparison]:
    inside = coil.seat_diameter_lower or coil.inside
    own, other = _of(helper, "inner_diameter"), _of(coil, "inner_diameter")
    play = bounds.SEAT_PLAY
    return [DimensionComparison(f"inside diameter against {coil.code}", helper.inside, own, inside, other, -play, play)]


def _block_on_leaf(block: SpringSpacerPart, leaf: LeafPart) -> list[DimensionComparison]:
    """A block takes the head of the leaf's centre bolt, and its clamps the leaves."""
    own, other = _of(block, "centre_bolt"), _of(leaf, "centre_bolt")
    room, width = _of(block, "width"), _of(leaf, "width")
    between = (-bounds.LEAF_TIGHT, bounds.LEAF_PLAY)
    return [
        DimensionComparison(
            f"hole for the centre bolt of {leaf.code}",
            block.centre_bolt,
            own,
            leaf.centre_bolt,
            other,
            0.0,
            bounds.CENTRE_BOLT_PLAY,
        ),
        DimensionComparison(f"width of the leaves of {leaf.code}", block.width, room, leaf.width, width, *between),
    ]


def _shackle_on_leaf(shackle: ShacklePart, leaf: LeafPart) -> list[DimensionComparison]:
    bolt, eye = (-bounds.BOLT, bounds.BOLT), (-bounds.EYE_WIDTH, bounds.EYE_WIDTH)
    own, other = _of(shackle, "bolt"), _of(leaf, "rear_bolt")
    room, width = _of(shackle, "width"), _of(leaf, "eye_width")
    return [
        DimensionComparison(f"bolt of the rear eye of {leaf.code}", shackle.bolt, own, leaf.rear_bolt, other, *bolt),
        DimensionComparison(f"width of the rear eye of {leaf.code}", shackle.width, room, leaf.eye_width, width, *eye),
    ]


def _spacer_on_perch(_spacer: SpringSpacerPart, perch: PerchPart) -> list[DimensionComparison]:
    """Both set the height of one seat."""
    return [DimensionComparison("height of the seat", "a spacer", "", f"the thread of {perch.code} alone", "")]


def _perch_on_damper(perch: PerchPart, damper: DamperPart) -> list[DimensionComparison]:
    if perch.mounts_on != "damper":
        return []
    own, body = _of(perch, "body_diameter"), _of(damper, "body_diameter")
    name = f"sleeve over the body of {damper.code}"
    return [DimensionComparison(name, perch.body_diameter, own, damper.body_diameter, body, 0.0, bounds.SLEEVE_PLAY)]


def _plate_on_damper(plate: TopPlatePart, damper: DamperPart) -> list[DimensionComparison]:
    own, stud = _of(plate, "rod_bore"), _of(damper, "upper_size")
    return [
        DimensionComparison(f"upper end of {damper.code}", "stud", "", damper.upper, _of(damper, "upper")),
        DimensionComparison(
            f"bore for the stud of {damper.code}", plate.rod_bore, own, damper.upper_size, stud, 0, bounds.ROD_PLAY
        ),
    ]


def _stop_on_damper(stop: BumpStopPart, damper: DamperPart) -> list[DimensionComparison]:
    own, rod = _of(stop, "bore"), _of(damper, "rod_diameter")
    limits = (-bounds.STOP_TIGHT, bounds.STOP_PLAY)
    return [
        DimensionComparison(f"bore over the rod of {damper.code}", stop.bore, own, damper.rod_diameter, rod, *limits)
    ]


def _bar_on_bar(one: AntiRollBarPart, other: AntiRollBarPart) -> list[DimensionComparison]:
    """A second bar shares the links of the first."""
    if {one.role, other.role} != {"first", "second"}:
        return []
    second, first = (one, other) if one.role == "second" else (other, one)
    name = f"of the links shared with {first.code}"
    return [
        DimensionComparison(
            f"bolt {name}",
            second.link_bolt,
            _of(second, "link_bolt"),
            first.link_bolt,
            _of(first, "link_bolt"),
            -bounds.BOLT,
            bounds.BOLT,
        ),
        DimensionComparison(
            f"distance {name}",
            second.span,
            _of(second, "span"),
            first.span,
            _of(first, "span"),
            -bounds.SPAN,
            bounds.SPAN,
        ),
    ]


def _link_on_bar(link: DropLinkPart, bar: AntiRollBarPart) -> list[DimensionComparison]:
    own, hole = _of(link, "bolt_bar"), _of(bar, "link_bolt")
    return [
        DimensionComparison(f"bolt in {bar.code}", link.bolt_bar, own, bar.link_bolt, hole, -bounds.BOLT, bounds.BOLT)
    ]


def _bush_on_bar(bush: BushPart, bar: AntiRollBarPart) -> list[DimensionComparison]:
    if bush.joint != "roll-bar":
        return []
    own, shaft = _of(bush, "bore"), _of(bar, "bush_bore")
    return [DimensionComparison(f"bore round {bar.code}", bush.bore, own, bar.bush_bore, shaft, -bounds.BAR_BUSH, 0.0)]


def _coil_round_damper(coil: CoilPart, damper: DamperPart) -> list[DimensionComparison]:
    """A coil round a strut has to clear its body."""
    if damper.form != "strut":
        return []
    own, body = _of(coil, "inner_diameter"), _of(damper, "body_diameter")
    return [
        DimensionComparison(
            f"inside diameter round {damper.code}", coil.inside, own, damper.body_diameter, body, 0.0, math.inf
        )
    ]


_PAIRS: dict[tuple[str, str], Callable[[Any, Any], list[DimensionComparison]]] = {
    ("coil", "perch"): _coil_on_perch,
    ("helper", "perch"): _helper_on_perch,
    ("helper", "coil"): _helper_on_coil,
    ("shackle", "leaf"): _shackle_on_leaf,
    ("spring_spacer", "leaf"): _block_on_leaf,
    ("spring_spacer", "perch"): _spacer_on_perch,
    ("perch", "damper"): _perch_on_damper,
    ("top_plate", "damper"): _plate_on_damper,
    ("bump_stop", "damper"): _stop_on_damper,
    ("roll_bar", "roll_bar"): _bar_on_bar,
    ("drop_link", "roll_bar"): _link_on_bar,
    ("bush", "roll_bar"): _bush_on_bar,
    ("coil", "damper"): _coil_round_damper,
}
