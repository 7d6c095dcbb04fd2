"""New parts in words, one line each: what a bay needs to know that the right one lies on the bench."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.section import Section
from jounce.car.parts import Spring
from jounce.car.parts.changed import AngleLinks, MovedAxlePoints, MovedPivots, SetRods
from jounce.conventions.axes import ENDS
from jounce.conventions.units import Kind, show, show_whole
from jounce.job.document import JobDocument, RackHeight
from jounce.job.shelf_codes import pieces_of

__all__ = ["exchanged", "part_lines", "parts_of"]

_NAMES = {
    "torsion_bar": "{} torsion bars",
    "spring": "{} coils",
    "leaf": "{} leaf springs",
    "perch": "{} threaded perches",
    "spacer": "{} spring spacers",
    "shackle": "{} shackles of another length",
    "damper": "{} dampers",
    "bump_stop": "{} bump rubbers",
    "ball_joint_spacer": "spacers at the {} lower ball joints",
    "rack": "{} rack at another height",
    "tie_rod_spacer": "spacers at the outer joints of the {} tie rods",
    "top_plate": "{} top plates with slots",
    "upper_joint": "{} upper joints that can be moved",
    "camber_link": "{} links that set camber",
    "caster_link": "{} links that set caster",
    "toe_rod": "rods that set the {} toe, as far as their threads go",
    "shims": "shims under the {} hubs",
    "roll_bar": "{} anti-roll bar",
    "roll_bar_2": "second {} anti-roll bar, on the same links",
    "drop_link": "adjustable {} drop links",
    "watt_bracket": "{} Watt linkage's bracket that can be moved",
    "panhard": "adjustable {} Panhard rod",
    "trailing_links": "{} trailing links that can be set",
    "inner_bar": "bar inside the {} tube",
    "wheel": "{} wheels",
    "pivots": "{} pivots moved",
    "axle_pivots": "{} axle's own points moved",
}
_NO_PIECES = ("pivots", "axle_pivots", "shims", "trailing_links", "camber_link", "caster_link", "rack")
"""Keys of which nobody can say how many pieces they are."""
_STEPS = ("step", "shim", "pitch")
"""Numbers of a part in whose multiples it is set."""
_LENGTH = Kind.LENGTH
_OF_RODS = (
    ("longer", "longer by up to", _LENGTH),
    ("shorter", "shorter by up to", _LENGTH),
    ("shortest", "shortest", _LENGTH),
    ("longest", "longest", _LENGTH),
)
_NUMBERS: dict[str, tuple[tuple[str, str, Kind], ...]] = {
    "torsion_bar": (("diameter", "", _LENGTH), ("active_length", "active length", _LENGTH)),
    "damper": (("closed_length", "closed", _LENGTH), ("open_length", "open", _LENGTH)),
    "bump_stop": (("free_height", "high", _LENGTH),),
    "ball_joint_spacer": (("height", "", _LENGTH),),
    "rack": (("higher", "higher by", _LENGTH), ("shim", "shims of", _LENGTH)),
    "tie_rod_spacer": (("height", "", _LENGTH),),
    "top_plate": (("reach_inward", "inward", _LENGTH), ("reach_outward", "outward", _LENGTH)),
    **dict.fromkeys(("toe_rod", "camber_link", "caster_link"), _OF_RODS),
    "shims": (("flange", "across", _LENGTH), ("thickest", "at most", _LENGTH), ("step", "in steps of", _LENGTH)),
    "roll_bar": (("diameter", "", _LENGTH),),
    "roll_bar_2": (("diameter", "", _LENGTH),),
    "spring": (("rate", "", Kind.SPRING_RATE), ("free_length", "free length", _LENGTH)),
    "leaf": (("rate", "", Kind.SPRING_RATE), ("free_camber", "free camber", _LENGTH)),
    "spacer": (("height", "", _LENGTH),),
    "upper_joint": (("reach_inward", "inward", _LENGTH), ("reach_outward", "outward", _LENGTH)),
    "shackle": (
        ("longer", "longer by up to", _LENGTH),
        ("shorter", "shorter by up to", _LENGTH),
        ("shortest", "shortest", _LENGTH),
        ("longest", "longest", _LENGTH),
    ),
    "perch": (("lowest", "lowest seat", _LENGTH), ("highest", "highest", _LENGTH), ("pitch", "a turn", _LENGTH)),
    "drop_link": (("shortest", "shortest", _LENGTH), ("longest", "longest", _LENGTH)),
    "watt_bracket": (("left", "to the left", _LENGTH), ("right", "to the right", _LENGTH)),
    "panhard": (("shortest", "shortest", _LENGTH), ("longest", "longest", _LENGTH)),
    "trailing_links": (
        *_OF_RODS,
        ("upper_shortest", "the upper one shortest", _LENGTH),
        ("upper_longest", "longest", _LENGTH),
    ),
    "inner_bar": (("diameter", "", _LENGTH), ("active_length", "active length", _LENGTH)),
    "wheel": (
        ("offset", "offset", _LENGTH),
        ("tyre_width", "tyre width", _LENGTH),
        ("heavier", "heavier by", Kind.MASS),
    ),
    "pivots": (),
    "axle_pivots": (),
}


def part_lines(job: JobDocument, units: str, *, counted: bool = True) -> dict[tuple[str, str], str]:
    """The new parts by axle and key of the change list, in the order of work.

    Args:
        job: the change list
        units: unit set to show
        counted: say how many pieces go on the axle
    """
    found = {(str(axle), key): job.part(axle, key) for axle in ENDS for key in _NAMES}
    codes = {(axle, key): code for axle, key, code in job.shelf.named()}
    return {
        place: ", ".join(
            [
                _name(part, place[1]).format(place[0]),
                *_told(place[1], part, units),
                *_code(codes.get(place), place[1], counted=counted and _countable(part, place[1])),
            ]
        )
        for place, part in found.items()
        if part is not None and not (isinstance(part, SetRods) and part.is_own)
    }


def _name(part: Section, key: str) -> str:
    if isinstance(part, SetRods):
        return _NEW_RODS[key]
    return _STAYS if _stays(part) else _NAMES[key]


def _countable(part: Section, key: str) -> bool:
    """Whether it is known how many pieces a part is."""
    return key not in _NO_PIECES or (isinstance(part, SetRods) and key != "trailing_links")


_NEW_RODS = {
    "toe_rod": "new {} toe rods",
    "camber_link": "new {} camber links",
    "caster_link": "new {} caster links",
    "trailing_links": "new {} trailing links",
}
"""What rods are called that replace the car's own; how far those go is no part."""


_STAYS = "{} rack as high as found"


def _stays(part: Section) -> bool:
    """Whether it is a rack under which no shim of a set goes."""
    return isinstance(part, RackHeight) and part.higher is not None and abs(part.higher.value) < _NONE


_NONE = 5e-5  # a height that shows as none [m]


def parts_of(job: JobDocument, units: str) -> list[str]:
    """The new parts, one line each.

    Args:
        job: the change list
        units: unit set to show
    """
    return exchanged(job, units) or ["none: settings only"]


def exchanged(job: JobDocument, units: str) -> list[str]:
    """The new parts and masses, one line each; none for a job of settings alone.

    Args:
        job: the change list
        units: unit set to show
    """
    return [*part_lines(job, units).values(), *_masses(job, units)]


def _masses(job: JobDocument, units: str) -> Iterator[str]:
    """What is put into the body or taken out of it."""
    for name, one in job.change.mass:
        word = "taken out" if one.mass.value < 0 else "put in"
        weight = replace(one.mass, value=abs(one.mass.value))
        yield f"{name.replace('_', ' ')} {word}, {_measured(weight, Kind.MASS, units)}, at {_place(one.at, units)}"


def _code(code: str | None, key: str, *, counted: bool) -> Iterator[str]:
    if code is not None:
        yield f"code {code}"
    pieces = pieces_of(key)
    if counted and pieces > 1:
        yield f"{pieces} pieces"


def _told(key: str, part: Section, units: str) -> Iterator[str]:
    """Sizes of a part with their ±, and where its first number comes from."""
    tyre = getattr(part, "tyre", None)
    if tyre:
        yield str(tyre)
    if isinstance(part, AngleLinks):
        yield part.link.replace("_", " ")
    for number, (name, word, kind) in enumerate(_NUMBERS[key]):
        value = getattr(part, name, None)
        if isinstance(value, Measured) and not (name == "higher" and _stays(part)):
            lower = name == "higher" and value.value < 0
            size = replace(value, value=-value.value) if lower else value
            told = show_whole(size.value, kind, units) if name in _STEPS else _measured(size, kind, units)
            origin = f" ({value.origin})" if value.origin and not number else ""
            yield f"{'lower by' if lower else word} {told}{origin}".strip()
    if key == "torsion_bar" and getattr(part, "splines_arm", None) and getattr(part, "splines_anchor", None):
        yield f"splines {part.splines_arm} arm, {part.splines_anchor} anchor"  # type: ignore[attr-defined]
    if isinstance(part, MovedPivots | MovedAxlePoints):
        for name, point in part:
            yield f"{name.replace('_', ' ')} at {_place(point, units)}"
    if isinstance(part, Spring):
        for word, other in (("helper spring", part.helper), ("tender spring", part.tender)):
            if other is not None:
                yield f"with a {word} {', '.join(_told('spring', other, units))}"


def _place(point: MeasuredPoint, units: str) -> str:
    """A point in words, in the car's own directions: nobody in a bay reads three numbers in brackets."""
    along = "ahead of" if point.x >= 0 else "behind"
    across = "left" if point.y >= 0 else "right"
    x, y, z = (show(abs(value), _LENGTH, units) for value in (point.x, point.y, point.z))
    return f"{x} {along} the front wheel centres, {y} {across}, {z} up"


def _measured(value: Measured, kind: Kind, units: str) -> str:
    band = f" ± {show(value.plus_minus, kind, units)}" if value.plus_minus else ""
    return f"{show(value.value, kind, units)}{band}"
