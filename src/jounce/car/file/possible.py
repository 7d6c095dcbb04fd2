"""What no car can be: points of an axle that hold nothing or move nothing, wheels that are no distance apart.

Each layout states what its points must not do (:mod:`jounce.layouts.needs`). What is left beyond that is found in the
mechanism as a whole: with both wheels held nothing may move any more, and a wheel that rises has to work its spring.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from jounce.car.axles.axle import Axle
from jounce.car.file.contents import CarContents
from jounce.car.mechanics.layout_input import SIDE_OF, axle_given
from jounce.conventions.axes import ENDS, SIDES, End, Side
from jounce.conventions.errors import InputError, check_range
from jounce.layouts.axle import AxleLinkage, Setting
from jounce.layouts.axle_input import AxleInput
from jounce.layouts.builder import laid_out
from jounce.layouts.freedoms import Freedoms, freedoms
from jounce.layouts.naming import SIDES as SIDE_NAMES
from jounce.layouts.needs import LEAST_DISTANCE, Apart, Unmet, names_of, unmet
from jounce.numerics.arrays import Array

__all__ = ["TRACK", "WHEELBASE", "axle_problems", "check_wheels", "impossible_in"]

MM = 1e3
WHEELBASE = (1000.0, 4500.0)
"""Front to rear wheel centres of any car [mm]: below it a go-kart, above it a bus; no statement about any one car."""
TRACK = (600.0, 2500.0)
"""Left to right wheel centres of any car [mm]: the same."""
_LEAST_COIL = 0.02
"""A spring that is shortened by less than this share of its wheel's travel carries no car [-]."""
_LEAST_BAR = 0.1
"""The same of a bar that is twisted: an arm of ten metres [rad/m]."""
_SHOWN = 6


def impossible_in(document: CarContents) -> list[InputError]:
    """What of a car cannot be, though each number by itself could; each with its place in the document.

    Args:
        document: the car, its sections sound

    """
    wheels = list(_of_wheels(document))
    return wheels or [problem for end in ENDS for problem in axle_problems(end, document.axle(end))]


def check_wheels(name: str, apart: float, limits: tuple[float, float]) -> None:
    """Refuse a wheelbase or a track that no car has.

    Args:
        name: which
        apart: distance of the wheels' centres [m]
        limits: what is accepted [mm]

    Raises:
        InputError: it is outside
    """
    todo = "Check the number and its unit; decimals stand behind a point."
    check_range(name, round(apart * MM, 6), *limits, "mm", todo)


def _of_wheels(document: CarContents) -> Iterator[InputError]:
    at = {(end, side): document.axle(end).side(side).pivots.wheel_centre for end in ENDS for side in SIDES}
    pairs = [
        *((End.REAR, side, "The wheelbase", at[End.FRONT, side].x - at[End.REAR, side].x, WHEELBASE) for side in SIDES),
        *((end, Side.LEFT, "The track", at[end, Side.LEFT].y - at[end, Side.RIGHT].y, TRACK) for end in ENDS),
    ]
    for end, side, name, apart, limits in pairs:
        try:
            check_wheels(name, apart, limits)
        except InputError as problem:
            problem.place = _place(end, document.axle(end), side, "wheel_centre")
            yield problem


def axle_problems(end: End, section: Axle) -> list[InputError]:
    """What of an axle cannot be; points first: where they are one, the mechanism has nothing to say.

    Args:
        end: which axle
        section: its part of the document

    """
    layout = section.as_layout()
    given = axle_given(section, end.value)
    problems = []
    for side in SIDES:
        points = _points(given, side)
        problems += [_told(one, end, section, side) for one in unmet(layout.needs, points)]
    if problems:
        return problems
    linkage = laid_out(layout.build, Setting(end.value), given)
    found = freedoms(linkage)
    if not found.sound:
        return [_stuck(found, linkage, given, f"{end}.pivots")]
    return list(_without_leverage(found, end, section, given))


def _points(given: AxleInput, side: Side) -> dict[str, Array]:
    """Points by the names that needs call them, as one side sees them."""
    whole = {f"{name}.{key}": at for name, points in given.axle_pivots.items() for key, at in points.items()}
    others = {f"other.{name}": at for name, at in given.pivots[_name(side.other)].items()}
    return {**whole, **others, **given.pivots[_name(side)]}


def _name(side: Side) -> Any:
    return side.value


def _place(end: End, section: Axle, side: Side, name: str) -> str:
    """Place in the document of a point as its side knows it."""
    if name.startswith("other."):
        return _place(end, section, side.other, name.removeprefix("other."))
    return f"{end}.{name}" if "." in name else f"{end}.{section.layout}.{side}.pivots.{name}"


def _told(one: Unmet, end: End, section: Axle, side: Side) -> InputError:
    need, left = one.need, f"{one.left * MM:.3g} mm"
    least = f"more than {LEAST_DISTANCE * MM:g} mm"
    first, *others = (name.rpartition(".")[2] for name in names_of(need))
    place = _place(end, section, side, names_of(need)[0])
    if not isinstance(need, Apart):
        lines = " of both sides" if len(set(others)) == 1 else f' and "{others[1]}"'
        message = f'"{first}" lies on the line through "{others[0]}"{lines}: {need.why}'
        todo = "Measure these points again."
        return InputError(message, found=f"{left} off that line", allowed=least, todo=todo, place=place)
    if first == others[0]:
        message, todo = f'"{first}" of both sides is the same point', "Measure how far out it lies: y is not 0."
    else:
        message, todo = f'"{others[0]}" and "{first}" are the same point', "Measure the one that was copied."
    return InputError(message, found=f"{left} between them", allowed=least, todo=todo, place=place)


def _stuck(found: Freedoms, linkage: AxleLinkage, given: AxleInput, place: str) -> InputError:
    """What is loose and what is held twice, with the points that have to do with it."""
    facts = [f"{_listed(found.loose)} can still move with both wheels held"] if found.loose else []
    facts += [f"{_listed(found.repeated)} hold what others hold already"] if found.repeated else []
    points = _listed(_points_of(found, linkage, given))
    return InputError(
        "With these points the axle stands at a dead point, where nothing tells how it goes on",
        found="; ".join(facts),
        allowed="points that leave the travel of the two wheels and nothing else",
        todo=f"Measure again: {points}." if points else "Measure the points again.",
        place=place,
    )


def _points_of(found: Freedoms, linkage: AxleLinkage, given: AxleInput) -> tuple[str, ...]:
    """Pivots at which the joints take hold that hold nothing."""
    known = {tuple(at): name for points in given.pivots.values() for name, at in points.items()}
    known |= {tuple(at): f"{of}.{name}" for of, points in given.axle_pivots.items() for name, at in points.items()}
    known |= {tuple(at): f"{bar}.{name}" for bar, told in given.anti_roll_bars.items() for half in (told.left, told.right)
              for name, at in (("arm_end", half.arm_end), ("link_end", half.link_end))}  # fmt: skip
    sites = [linkage.sites[name] for name in (f"{linkage.axle}.{joint}" for joint in found.repeated)
             if name in linkage.sites]  # fmt: skip
    ends = [tuple(point.at) for site in sites for point in (site.first, site.second)]
    return tuple(dict.fromkeys(known[at] for at in ends if at in known))


def _listed(names: tuple[str, ...]) -> str:
    """Names for a message, those of both sides once."""
    plain = list(dict.fromkeys(name.removeprefix("left.").removeprefix("right.") for name in names))
    shown = ", ".join(f'"{name}"' for name in plain[:_SHOWN])
    return shown if len(plain) <= _SHOWN else f"{shown} and {len(plain) - _SHOWN} more"


def _without_leverage(found: Freedoms, end: End, section: Axle, given: AxleInput) -> Iterator[InputError]:
    """Main springs that their wheel does not work, or that would have to pull."""
    for side in SIDE_NAMES:
        by = found.leverage[side]
        if given.spring == "torsion bar":
            if abs(by) < _LEAST_BAR:
                yield InputError(
                    "The torsion bar is hardly twisted as its wheel rises: it could not carry the car",
                    found=f"{by:.3g} rad per metre of wheel travel",
                    allowed=f"{_LEAST_BAR:g} or more",
                    todo="Measure the pivots of the arm again.",
                    place=f"{end}.torsion_bar",
                )
        elif -by < _LEAST_COIL:
            key = "leaf_seat" if given.spring == "leaf" else "spring_lower"
            told = section.layout == "linkage"  # its points have names of their own
            yield InputError(
                "The spring is not shortened as its wheel rises: it could not carry the car",
                found=f"{-by:.3g} mm shorter per mm of wheel travel",
                allowed=f"{_LEAST_COIL:g} or more",
                todo="Measure both of its ends again.",
                place=f"{end}.arrangement.spring" if told else _place(end, section, SIDE_OF[side], key),
            )
