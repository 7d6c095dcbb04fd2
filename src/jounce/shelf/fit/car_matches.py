"""Which dimensions of each kind of part are compared with which dimensions of the car."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from jounce.car.file.quantity import Measured
from jounce.car.mechanics.rod_lengths import found_lengths, rod_joints
from jounce.shelf.fit import bounds
from jounce.shelf.fit.car_interface import CarInterface
from jounce.shelf.fit.comparison import DimensionComparison
from jounce.shelf.fit.reason import Value
from jounce.shelf.kinds.adjustable_rods import AdjustableLinkPart, PanhardPart, TrailingLinkPart
from jounce.shelf.kinds.alignment import HubShimPart, UpperJointPart, WattBracketPart
from jounce.shelf.kinds.anti_roll_bars import AntiRollBarPart
from jounce.shelf.kinds.bars import InnerBarPart, TorsionBarPart
from jounce.shelf.kinds.bushes import BushPart
from jounce.shelf.kinds.coils import CoilPart, PerchPart
from jounce.shelf.kinds.dampers import DamperPart, TopPlatePart
from jounce.shelf.kinds.leaves import LeafPart, ShacklePart
from jounce.shelf.kinds.rods import BallJointSpacerPart, DropLinkPart, RackShimPart, TieRodSpacerPart
from jounce.shelf.kinds.spacers import SpringSpacerPart
from jounce.shelf.kinds.wheels import WheelPart
from jounce.shelf.part import Part

__all__ = ["car_matches"]


def car_matches(part: Part, offer: CarInterface, beside: Sequence[Part] = ()) -> list[DimensionComparison]:
    """The comparisons of a part with an axle.

    Args:
        part: the part
        offer: the axle
        beside: parts that are fitted with it and replace what the car has
    """
    matches = _OF_KIND.get(part.KIND)
    return [] if matches is None else matches(part, offer, beside)


def _match(
    offer: CarInterface, dimension: str, part: Part, keys: tuple[str, str], limits: tuple[float, float]
) -> DimensionComparison:
    """A comparison of one key of the part with one of the car.

    Args:
        offer: the axle
        dimension: name of the dimension
        part: the part
        keys: key of the part, key of the car's interfaces
        limits: least and most that the part may have more [m]
    """
    own, car = keys
    return DimensionComparison(dimension, getattr(part, own), _of(part, own), offer.value(car), offer.key(car), *limits)


def _of(part: Part, key: str) -> str:
    return f"{key} of {part.code}"


def _torsion_bar(part: TorsionBarPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    exact, spline, length = (0.0, 0.0), (-bounds.SPLINE, bounds.SPLINE), (-bounds.BAR_LENGTH, bounds.BAR_LENGTH)
    return [
        _match(offer, "splines at the arm", part, ("splines_arm", "splines_arm"), exact),
        _match(offer, "splines at the anchor", part, ("splines_anchor", "splines_anchor"), exact),
        _match(offer, "spline diameter at the arm", part, ("spline_diameter_arm", "spline_diameter_arm"), spline),
        _match(
            offer, "spline diameter at the anchor", part, ("spline_diameter_anchor", "spline_diameter_anchor"), spline
        ),
        _match(offer, "length of the bar", part, ("overall_length", "torsion_bar_length"), length),
    ]


def _coil(part: CoilPart, offer: CarInterface, beside: Sequence[Part]) -> list[DimensionComparison]:
    perches = [other for other in beside if isinstance(other, PerchPart)]
    ends: list[tuple[str, str, Value]] = []
    if not perches:
        ends.append(("lower end", "spring_seat_lower", part.seat_diameter_lower or part.inside))
    if not any(perch.with_upper_seat for perch in perches):
        ends.append(("upper end", "spring_seat_upper", part.seat_diameter_upper or part.inside))
    return [
        DimensionComparison(
            f"inside diameter at the {end}",
            inside,
            _of(part, "inner_diameter"),
            offer.value(seat),
            offer.key(seat),
            0.0,
            bounds.SEAT_PLAY,
        )
        for end, seat, inside in ends
    ]


def _perch(part: PerchPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    if part.mounts_on == "damper":
        carrier = offer.spring_carrier
        return [
            DimensionComparison(
                "what carries the spring", "damper", "", carrier, "where the car's coils and dampers stand"
            )
        ]
    return [_match(offer, "seat of the perch", part, ("seat_diameter", "spring_seat_lower"), (0.0, bounds.SEAT_PLAY))]


def _leaf(part: LeafPart, offer: CarInterface, beside: Sequence[Part]) -> list[DimensionComparison]:
    bolt, half, whole = ((-way, way) for way in (bounds.BOLT, bounds.LEAF_HALF, bounds.LEAF_LENGTH))
    matches = [
        *_on_the_pad(part, offer),
        _match(offer, "front half of the leaf", part, ("front_half", "leaf_front_half"), half),
        _match(offer, "length of the leaf", part, ("length", "leaf_length"), whole),
        _match(offer, "bolt of the front eye", part, ("front_bolt", "leaf_bolt"), bolt),
    ]
    if any(isinstance(other, ShacklePart) for other in beside):
        return matches
    eye = (-bounds.EYE_WIDTH, bounds.EYE_WIDTH)
    return [
        *matches,
        _match(offer, "bolt of the rear eye", part, ("rear_bolt", "shackle_bolt"), bolt),
        _match(offer, "width of the rear eye", part, ("eye_width", "shackle_width"), eye),
    ]


def _on_the_pad(part: LeafPart | SpringSpacerPart, offer: CarInterface) -> list[DimensionComparison]:
    """A leaf, or a block below it, between the clamps of the axle's pad."""
    return [
        _match(offer, "width of the leaves", part, ("width", "leaf_width"), (-bounds.LEAF_PLAY, bounds.LEAF_TIGHT)),
        _match(
            offer, "head of the centre bolt", part, ("centre_bolt", "leaf_centre_bolt"), (-bounds.CENTRE_BOLT_PLAY, 0.0)
        ),
    ]


def _shackle(part: ShacklePart, offer: CarInterface, beside: Sequence[Part]) -> list[DimensionComparison]:
    bolt, eye = (-bounds.BOLT, bounds.BOLT), (-bounds.EYE_WIDTH, bounds.EYE_WIDTH)
    any_length = (-math.inf, math.inf)  # but what it does to the height counts from those in the car
    matches = [
        _match(offer, "bolts of the shackle", part, ("bolt", "shackle_bolt"), bolt),
        _match(offer, "length against those in the car", part, ("longest", "shackle_length"), any_length),
    ]
    if any(isinstance(other, LeafPart) for other in beside):
        return matches
    # the leaf that is in the car has the eye for which the car's own shackle is made
    return [*matches, _match(offer, "width between the plates", part, ("width", "shackle_width"), eye)]


def _spring_spacer(part: SpringSpacerPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    if offer.fitted("leaf") is not None:
        return _on_the_pad(part, offer)
    return [_match(offer, "seat of the spacer", part, ("seat_diameter", "spring_seat_lower"), (0.0, bounds.SEAT_PLAY))]


def _damper(part: DamperPart, offer: CarInterface, beside: Sequence[Part]) -> list[DimensionComparison]:
    bolt, clamp = (-bounds.BOLT, bounds.BOLT), (-bounds.CLAMP, bounds.CLAMP)
    form = "strut" if offer.on_struts else "plain"
    matches = [DimensionComparison("form of the damper", part.form, _of(part, "form"), form, "layout of the axle")]
    if not any(isinstance(other, TopPlatePart) for other in beside):
        matches += [
            _match(offer, "upper end of the damper", part, ("upper", "damper_upper"), (0.0, 0.0)),
            _match(offer, "bolt of the upper end", part, ("upper_size", "damper_upper_size"), bolt),
        ]
    if part.form == "strut":
        return [*matches, _match(offer, "body of the strut", part, ("body_diameter", "strut_tube"), clamp)]
    return [
        *matches,
        _match(offer, "lower end of the damper", part, ("lower", "damper_lower"), (0.0, 0.0)),
        _match(offer, "bolt of the lower end", part, ("lower_size", "damper_lower_size"), bolt),
        _match(offer, "room for the body", part, ("body_diameter", "damper_room"), (-math.inf, 0.0)),
    ]


def _top_plate(part: TopPlatePart, offer: CarInterface, beside: Sequence[Part]) -> list[DimensionComparison]:
    circle = (-bounds.STUD_CIRCLE, bounds.STUD_CIRCLE)
    matches = [
        _match(offer, "number of studs", part, ("studs", "top_studs"), (0.0, 0.0)),
        _match(offer, "circle of the studs", part, ("stud_circle", "top_stud_circle"), circle),
    ]
    if any(isinstance(other, DamperPart) for other in beside):
        return matches
    # the damper that is in the car has the stud for which the car's own top is made
    return [
        *matches,
        _match(offer, "bore for the damper's stud", part, ("rod_bore", "damper_upper_size"), (0.0, bounds.ROD_PLAY)),
    ]


def _panhard(part: PanhardPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    rod = offer.fitted("panhard")
    found = None if rod is None else Measured(rod.length, 0.0, "between its joints as found")
    where, reach = "rear.panhard of the car", bounds.ROD_REACH
    return [
        _match(offer, "bolts of the rod", part, ("bolt", "panhard_bolt"), (-bounds.BOLT, bounds.BOLT)),
        DimensionComparison("shortest length", part.shortest, _of(part, "shortest"), found, where, -math.inf, reach),
        DimensionComparison("longest length", part.longest, _of(part, "longest"), found, where, -reach, math.inf),
    ]


def _link(part: AdjustableLinkPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    """Bolts at both ends, and lengths about that of what it replaces."""
    bolt, kind = (-bounds.BOLT, bounds.BOLT), part.KIND
    return [
        _match(offer, "bolt at the body's end", part, ("bolt_body", f"{kind}_bolt_body"), bolt),
        _match(offer, "bolt at the wheel's end", part, ("bolt_wheel", f"{kind}_bolt_wheel"), bolt),
        *_lengths(part, offer),
    ]


def _lengths(part: AdjustableLinkPart, offer: CarInterface) -> Iterator[DimensionComparison]:
    found, where = _lengths_found(part, offer)
    ends = [(part.shortest, part.longest, "")]
    if isinstance(part, TrailingLinkPart) and len(found) > 1:
        ends.append((part.upper_shortest, part.upper_longest, "upper_"))
    for (shortest, longest, upper), own in zip(ends, found, strict=False):
        name, reach = "of the upper link, " if upper else "", bounds.ROD_REACH
        short, long = _of(part, f"{upper}shortest"), _of(part, f"{upper}longest")
        yield DimensionComparison(f"{name}shortest length", shortest, short, own, where, -math.inf, reach)
        yield DimensionComparison(f"{name}longest length", longest, long, own, where, -reach, math.inf)


def _lengths_found(part: AdjustableLinkPart, offer: CarInterface) -> tuple[list[Measured | None], str]:
    """Lengths between the joints of what a link replaces, of the lower and the upper one where there are two."""
    axle = offer.car.axle(offer.end)
    key = {"trailing_link": "trailing_links"}.get(part.KIND, part.KIND)
    named = key in _NAMED_BY_THE_CAR
    link = (offer.value(key) if named else "") or ""
    joints = rod_joints(axle, key, str(link))
    found = [found_lengths(axle, joint) for joint in joints]
    lengths = [
        Measured(sum(one.values()) / len(one), 0.0, "between its joints as found") if one else None for one in found
    ]
    return lengths or [None], offer.key(key) if named else f"the joints of the {offer.end} axle's rods"


_NAMED_BY_THE_CAR = ("camber_link", "caster_link")
"""Kinds of links of which the car says which of its own they replace."""


def _upper_joint(part: UpperJointPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    return _bolted(part, offer, "bolts at the upper joint", "upper_joint")


def _watt_bracket(part: WattBracketPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    return _bolted(part, offer, "bolts of the bracket", "watt_bracket")


def _bolted(part: Part, offer: CarInterface, name: str, key: str) -> list[DimensionComparison]:
    bolt = (-bounds.BOLT, bounds.BOLT)
    return [
        _match(offer, name, part, ("bolt", f"{key}_bolt"), bolt),
        _match(offer, "distance between the bolts", part, ("bolt_spacing", f"{key}_bolt_spacing"), bolt),
    ]


def _hub_shim(part: HubShimPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    length, circle = (-bounds.FLANGE, bounds.FLANGE), (-bounds.STUD_CIRCLE, bounds.STUD_CIRCLE)
    return [
        _match(offer, "length of the flange", part, ("flange", "hub_flange"), length),
        _match(offer, "number of bolts", part, ("bolts", "hub_flange_bolts"), (0.0, 0.0)),
        _match(offer, "circle of the bolts", part, ("bolt_circle", "hub_flange_bolt_circle"), circle),
    ]


def _anti_roll_bar(part: AntiRollBarPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    bolt, clamp, span = (-bounds.BOLT, bounds.BOLT), (-bounds.CLAMP, bounds.CLAMP), (-bounds.SPAN, bounds.SPAN)
    if part.role == "on-tube":
        return [_match(offer, "clamps on the tube", part, ("tube_clamp", "tube_diameter"), clamp)]
    matches = [
        _match(offer, "distance between the links", part, ("span", "roll_bar_span"), span),
        _match(offer, "bolt of the links", part, ("link_bolt", "link_bolt"), bolt),
    ]
    if part.role == "second":
        return matches  # its brackets are its own
    smallest, largest = (-bounds.BUSH, math.inf), (-math.inf, bounds.BUSH)
    return [
        *matches,
        _match(offer, "bush in the bracket, smallest", part, ("bush_bore", "roll_bar_bush_smallest"), smallest),
        _match(offer, "bush in the bracket, largest", part, ("bush_bore", "roll_bar_bush_largest"), largest),
    ]


def _inner_bar(part: InnerBarPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    thickest = part.largest_diameter or part.clamp_diameter
    passes = DimensionComparison(
        "passage through the tube",
        thickest,
        _of(part, "largest_diameter"),
        offer.value("tube_bore"),
        offer.key("tube_bore"),
        -math.inf,
        -bounds.TUBE_CLEARANCE,
    )
    length = (-bounds.BAR_LENGTH, bounds.BAR_LENGTH)
    matches = [passes, _match(offer, "length of the bar", part, ("overall_length", "inner_bar_length"), length)]
    own = _held_by(part.splines, part.clamp_diameter)
    car = _held_by(offer.value("inner_bar_splines"), offer.value("inner_bar_clamp"))
    where = f"interfaces.{offer.end}.inner_bar_splines or inner_bar_clamp of the car"
    if own is None or car is None or own != car:
        return [
            *matches,
            DimensionComparison("what holds the bar", own, _of(part, "splines or clamp_diameter"), car, where),
        ]
    if own == "splines":
        return [*matches, _match(offer, "splines of the bar", part, ("splines", "inner_bar_splines"), (0.0, 0.0))]
    key = ("clamp_diameter", "inner_bar_clamp")
    return [*matches, _match(offer, "clamps of the bar", part, key, (-bounds.CLAMP, bounds.CLAMP))]


def _held_by(splines: Value, clamps: Value) -> str | None:
    if splines is not None:
        return "splines"
    return None if clamps is None else "clamps"


def _drop_link(part: DropLinkPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    bolt = (-bounds.BOLT, bounds.BOLT)
    return [
        _match(offer, "bolt at the bar", part, ("bolt_bar", "link_bolt"), bolt),
        _match(offer, "bolt at arm, strut or body", part, ("bolt_car", "link_bolt"), bolt),
    ]


def _bush(part: BushPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    housing = {"arm": "arm_bush_housing", "panhard": "panhard_bush_housing"}.get(part.joint)
    bolt = {"arm": "arm_bush_bolt", "panhard": "panhard_bolt"}.get(part.joint)
    if housing is None or bolt is None:
        return []
    press = (0.0, bounds.PRESS_FIT)
    return [
        _match(offer, "housing of the bush", part, ("outer_diameter", housing), press),
        _match(offer, "bolt through the bush", part, ("bore", bolt), (-bounds.BOLT, bounds.BOLT)),
    ]


def _ball_joint_spacer(
    part: BallJointSpacerPart, offer: CarInterface, _beside: Sequence[Part]
) -> list[DimensionComparison]:
    bolt = (-bounds.BOLT, bounds.BOLT)
    return [
        _match(offer, "bolts of the ball joint", part, ("bolt", "ball_joint_bolt"), bolt),
        _match(offer, "distance between the bolts", part, ("bolt_spacing", "ball_joint_bolt_spacing"), bolt),
    ]


def _tie_rod_spacer(part: TieRodSpacerPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    return [_match(offer, "stud of the tie rod", part, ("stud", "tie_rod_stud"), (-bounds.BOLT, bounds.BOLT))]


def _rack_shim(part: RackShimPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    return [_match(offer, "bolts of the rack", part, ("bolt", "rack_bolt"), (-bounds.BOLT, bounds.BOLT))]


def _wheel(part: WheelPart, offer: CarInterface, _beside: Sequence[Part]) -> list[DimensionComparison]:
    circle, spigot = (-bounds.BOLT_CIRCLE, bounds.BOLT_CIRCLE), (0.0, bounds.SPIGOT_PLAY)
    return [
        _match(offer, "number of wheel bolts", part, ("bolts", "wheel_bolts"), (0.0, 0.0)),
        _match(offer, "circle of the wheel bolts", part, ("bolt_circle", "bolt_circle"), circle),
        _match(offer, "bore over the hub", part, ("centre_bore", "hub_spigot"), spigot),
        _match(offer, "rim over the brake", part, ("rim_diameter", "rim_smallest"), (0.0, math.inf)),
        _match(offer, "room for the tyre", part, ("tyre_width", "tyre_room"), (-math.inf, 0.0)),
    ]


_OF_KIND: dict[str, Callable[[Any, CarInterface, Sequence[Part]], list[DimensionComparison]]] = {
    "torsion_bar": _torsion_bar,
    "coil": _coil,
    "perch": _perch,
    "leaf": _leaf,
    "shackle": _shackle,
    "spring_spacer": _spring_spacer,
    "damper": _damper,
    "top_plate": _top_plate,
    "panhard": _panhard,
    **dict.fromkeys(("toe_rod", "camber_link", "caster_link", "trailing_link"), _link),
    "upper_joint": _upper_joint,
    "hub_shim": _hub_shim,
    "watt_bracket": _watt_bracket,
    "roll_bar": _anti_roll_bar,
    "inner_bar": _inner_bar,
    "drop_link": _drop_link,
    "bush": _bush,
    "ball_joint_spacer": _ball_joint_spacer,
    "tie_rod_spacer": _tie_rod_spacer,
    "rack_shim": _rack_shim,
    "wheel": _wheel,
}
"""A helper and a bump stop touch nothing of the car: they fit a coil, a perch, a damper."""
