"""Whether an axle has a place for a kind of part at all."""

from __future__ import annotations

from collections.abc import Sequence

from jounce.conventions.axes import Side
from jounce.shelf.fit.car_interface import CarInterface
from jounce.shelf.fit.reason import FitVerdict, Reason
from jounce.shelf.kinds.anti_roll_bars import AntiRollBarPart
from jounce.shelf.kinds.spacers import SpringSpacerPart
from jounce.shelf.part import Part

__all__ = ["axle_reasons"]

_SECTION = {
    "torsion_bar": "torsion_bar",
    "coil": "spring",
    "helper": "spring",
    "perch": "spring",
    "leaf": "leaf",
    "shackle": "leaf",
    "panhard": "panhard",
}
"""Section that the axle has where such a part goes."""
_OF_STRUTS = frozenset({"top_plate", "ball_joint_spacer"})
"""Parts that go on struts alone."""


def axle_reasons(part: Part, offer: CarInterface, beside: Sequence[Part] = ()) -> list[Reason]:
    """Why the axle has no place for the part.

    Args:
        part: the part
        offer: the axle
        beside: parts that are fitted with it

    Returns:
        No reason or one

    """
    section = _SECTION.get(part.KIND)
    if section is not None and offer.fitted(section) is None:
        return [_no_place(part, offer, f"an axle with {_A[section]}")]
    if part.KIND == "spring_spacer" and not _takes_spacer(offer):
        return [_no_place(part, offer, "coils or leaves on a seat without a thread")]
    if isinstance(part, SpringSpacerPart) and _for_other_springs(part, offer):
        return [_no_place(part, offer, "leaf springs" if part.width is not None else "coil springs")]
    if part.KIND in _OF_STRUTS and not offer.on_struts:
        return [_no_place(part, offer, "an axle on struts")]
    if part.KIND in _SETTERS and not _sets(part.KIND, offer):
        return [_no_place(part, offer, _SETTERS[part.KIND][1])]
    if part.KIND == "tie_rod_spacer" and not _has_tie_rods(offer):
        return [_no_place(part, offer, "an axle with tie rods")]
    if part.KIND == "rack_shim" and offer.fitted("steering") is None:
        return [_no_place(part, offer, "an axle steered by a rack")]
    if part.KIND == "inner_bar" and "inner_bar" not in type(offer.car.axle(offer.end)).model_fields:
        return [_no_place(part, offer, "a beam axle with an arm that turns on its tube")]
    if isinstance(part, AntiRollBarPart):
        return _bar_reasons(part, offer, beside)
    return []


_SETTERS = {
    "toe_rod": ("toe_rod", "an axle whose toe is set by the length of a rod"),
    "camber_link": ("camber_link", "an axle on separate links"),
    "caster_link": ("caster_link", "an axle on separate links"),
    "trailing_link": ("trailing_links", "a beam axle on trailing links or arms that may be set"),
    "upper_joint": ("upper_joint", "an axle on double wishbones"),
    "hub_shim": ("shims", "an axle whose hubs can be shimmed"),
    "watt_bracket": ("watt_bracket", "an axle with a Watt linkage"),
}
"""By kind of part, key of the change list under which such a part sets something, and on what axles it does."""


def _sets(kind: str, offer: CarInterface) -> bool:
    """Whether what such a part replaces sets something on an axle laid out so."""
    layout, key = offer.car.axle(offer.end).as_layout(), _SETTERS[kind][0]
    return bool(layout.links) if key.endswith("er_link") else any(one.part == key for one in layout.adjusters)


def _has_tie_rods(offer: CarInterface) -> bool:
    """Whether the outer ends of tie rods are among its points, steered or not."""
    return "tie_rod_outer" in type(offer.car.axle(offer.end).side(Side.LEFT).pivots).model_fields


def _takes_spacer(offer: CarInterface) -> bool:
    sprung = offer.fitted("spring") is not None or offer.fitted("leaf") is not None
    return sprung and offer.fitted("perch") is None


def _for_other_springs(part: SpringSpacerPart, offer: CarInterface) -> bool:
    """Whether it is a block under leaves where the axle has coils, or a coil's spacer where it has leaves."""
    leaves = offer.fitted("leaf") is not None
    made_for, not_for = (part.width, part.seat_diameter) if leaves else (part.seat_diameter, part.width)
    return made_for is None and not_for is not None


_A = {"torsion_bar": "torsion bars", "spring": "coil springs", "leaf": "leaf springs", "panhard": "a Panhard rod"}


def _bar_reasons(part: AntiRollBarPart, offer: CarInterface, beside: Sequence[Part]) -> list[Reason]:
    if (part.role == "on-tube") != (offer.car.axle(offer.end).as_layout().bar_carrier == "tube"):
        wanted = "a beam axle" if part.role == "on-tube" else "an axle whose bar is carried by the body"
        return [_no_place(part, offer, wanted)]
    first = any(isinstance(other, AntiRollBarPart) and other.role == "first" for other in beside)
    if part.role == "second" and offer.fitted("roll_bar") is None and not first:
        return [_no_place(part, offer, "a first anti-roll bar whose links it shares")]
    return []


def _no_place(part: Part, offer: CarInterface, wanted: str) -> Reason:
    words = f"The {offer.end} axle ({offer.layout}) has no place for it: this {part.TITLE} needs {wanted}."
    return Reason("place at the axle", FitVerdict.DOES_NOT_FIT, wanted, offer.layout, words=words)
