"""Whether an axle has what a change list exchanges and wants of it: by its layout, and by the sections of its file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import ANTI_ROLL_BARS
from jounce.car.mechanics.rod_lengths import rod_joints
from jounce.car.parts import AntiRollBar
from jounce.car.parts.changed import SecondAntiRollBar, SetRods
from jounce.conventions.axes import End, Side
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.job.document import ANGLES, AxleChange, WantedAxle, WheelAngle
from jounce.job.joint_spacers import spacers_taken
from jounce.job.links_told import links_told
from jounce.job.rod_lengths import lengths_changed
from jounce.layouts.description import Layout

__all__ = ["bars_carried", "links_apart", "parts_taken", "problems_of_layout"]

_ANY = ("damper", "bump_stop", "roll_bar", "drop_link", "wheel", "pivots", "axle_pivots")
_OF_LINKS = ("camber_link", "caster_link")
_OF_SPRINGS = {
    "torsion_bar": ("torsion_bar",),
    "spring": ("spring", "perch", "spacer"),
    "leaf": ("leaf", "spacer", "shackle"),
}
"""What may be exchanged by the section of the main spring that the axle has: it keeps its kind of spring."""


def parts_taken(axle: Axle) -> tuple[str, ...]:
    """Keys of a change list that this axle takes, in the order of the work.

    Args:
        axle: its part of the car file
    """
    layout, one = axle.as_layout(), axle.side(Side.LEFT)
    sprung = next(section for section in _OF_SPRINGS if getattr(one, section, None) is not None)
    links = _OF_LINKS if layout.links else ()
    taken = {
        *_ANY,
        *links,
        *spacers_taken(axle),
        *_OF_SPRINGS[sprung],
        *(adjuster.part for adjuster in layout.adjusters),
    }
    if "roll_bar_2" in type(one).model_fields:
        taken.add("roll_bar_2")
    if layout.twist == "inner bar":
        taken.add("inner_bar")
    return tuple(key for key in AxleChange.model_fields if key in taken)


def problems_of_layout(document: CarDocument, change: AxleChange, wanted: WantedAxle, end: End) -> list[InputError]:
    """What of a change list an axle has not; each with its place in the job.

    Args:
        document: the car
        change: the parts exchanged on the axle
        wanted: what is asked of it
        end: which axle
    """
    axle = document.axle(end)
    layout = axle.as_layout()
    return [
        *_parts_it_has_not(axle, change, end),
        *_links_it_has_not(layout, change, end),
        *_angles_it_cannot_set(document, change, wanted, end),
        *_links_it_cannot_carry(layout, change, end),
        *_thrust_not_set(layout, change, wanted, end),
        *_bump_steer_not_set(axle, change, wanted, end),
        *_two_heights_of_a_seat(axle, change, end),
        *_bars_not_freed(axle, change, wanted, end),
        *_rods_of_other_lengths(axle, change, wanted, end),
    ]


def bars_carried(axle: Axle, change: AxleChange) -> list[AntiRollBar | SecondAntiRollBar]:
    """The anti-roll bars that an axle has after a change.

    Args:
        axle: its part of the car file
        change: the parts exchanged on it
    """
    one = axle.side(Side.LEFT)
    bars: Iterator[AntiRollBar | SecondAntiRollBar | None] = (
        getattr(change, name) or getattr(one, name, None) for name in ANTI_ROLL_BARS
    )
    return [bar for bar in bars if bar is not None]


def links_apart(bars: Sequence[AntiRollBar | SecondAntiRollBar]) -> bool:
    """Whether each anti-roll bar of an axle has a link of its own.

    Args:
        bars: those that it carries
    """
    ends = [bar.link_end for bar in bars]
    return len(ends) < len(ANTI_ROLL_BARS) or not (ends[0] is None or ends[1] is None or ends[0].distance(ends[1]) == 0)


def _parts_it_has_not(axle: Axle, change: AxleChange, end: End) -> Iterator[InputError]:
    taken = parts_taken(axle)
    for key, _ in change.parts():
        if key not in taken:
            yield InputError(
                f"This car's {end} axle has no {key.replace('_', ' ')} to exchange",
                found=axle.as_layout().title,
                allowed=", ".join(taken),
                todo="Leave it out, or name another car.",
                place=f"change.{end}.{key}",
            )


def _links_it_has_not(layout: Layout, change: AxleChange, end: End) -> Iterator[InputError]:
    """Links by a word that the layout has not, or one link for two angles."""
    if not layout.links:
        return
    for aim, part in change.links.items():
        if part.link not in layout.links:
            yield InputError(
                f"The {end} axle has no such link",
                found=f'"{part.link}"',
                allowed=" or ".join(f'"{link}"' for link in layout.links),
                todo="Say which link's length is set.",
                place=f"change.{end}.{aim}_link.link",
            )
    if len({part.link for part in change.links.values()}) < len(change.links):
        yield InputError(
            f"One link of the {end} axle is to set camber and caster",
            todo="Name another link for one of the two.",
            place=f"change.{end}.caster_link.link",
        )


def _angles_it_cannot_set(
    document: CarDocument, change: AxleChange, wanted: WantedAxle, end: End
) -> Iterator[InputError]:
    layout = document.axle(end).as_layout()
    aims = {adjuster.sets for adjuster in layout.adjusters} | set(change.links)
    for angle in ANGLES:
        if wanted.of_wheel(angle, "left") is None or angle in aims:
            continue
        if layout.links:
            named = getattr(getattr(document.interfaces, str(end)), f"{angle}_link")
            way = f'The car names "{named}" for it.' if named else links_told(document, end, angle)
            yield InputError(
                f"No link of this car's {end} axle is told whose length sets its {angle}",
                found=layout.title,
                allowed=", ".join(aim for aim in ANGLES if aim in aims),
                todo=f"Say which by link under [change.{end}.{angle}_link]. {way}",
                place=f"wanted.{end}.{angle}",
            )
        else:
            others = ", ".join(aim for aim in ANGLES if aim in aims)
            yield InputError(
                f"Nothing on this car's {end} axle sets its {angle}",
                found=layout.title,
                allowed=others or "heights alone",
                todo="Leave it out.",
                place=f"wanted.{end}.{angle if getattr(wanted, angle) is not None else f'left_{angle}'}",
            )


def _links_it_cannot_carry(layout: Layout, change: AxleChange, end: End) -> Iterator[InputError]:
    for name in ("roll_bar", "roll_bar_2"):
        bar: Any = getattr(change, name)
        if bar is not None and bar.link_on is not None and bar.link_on not in layout.link_on:
            yield InputError(
                "The drop link's other end cannot be there on this axle",
                found=f'"{bar.link_on}"',
                allowed=" or ".join(f'"{carrier}"' for carrier in sorted(layout.link_on)),
                todo="Say what carries it.",
                place=f"change.{end}.{name}.link_on",
            )


def _thrust_not_set(layout: Layout, change: AxleChange, wanted: WantedAxle, end: End) -> Iterator[InputError]:
    """A thrust line that nothing sets, or that the toes of both wheels say already."""
    if wanted.thrust is None:
        return
    place, setter = f"wanted.{end}.thrust", next((one for one in layout.adjusters if one.sets == "thrust"), None)
    if setter is None:
        toes = any(one.sets == "toe" for one in layout.adjusters)
        todo = "Ask for the toe of each wheel: left_toe and right_toe." if toes else "Leave it out."
        yield InputError(
            f"No links of this car's {end} axle set its thrust line", found=layout.title, todo=todo, place=place
        )
    elif change.trailing_links is None:
        todo = f"Give them under [change.{end}.trailing_links]."
        yield InputError(f"No {setter.name}s that can be set are fitted to the {end} axle", todo=todo, place=place)
    elif wanted.of_wheel("toe", "left") is not None:
        todo = "Leave one out: toe says of each wheel where it points, and so of the axle."
        yield InputError(f"The {end} axle's thrust line and its wheels' toe are both asked for", todo=todo, place=place)


def _bump_steer_not_set(axle: Axle, change: AxleChange, wanted: WantedAxle, end: End) -> Iterator[InputError]:
    """A bump steer that nothing sets or two parts would; a height that nobody told and no bump steer asks for."""
    sought = [
        key
        for key, part, height in (
            ("rack", change.rack, None if change.rack is None else change.rack.higher),
            ("tie_rod_spacer", change.tie_rod_spacer, change.tie_rod_spacer and change.tie_rod_spacer.height),
        )
        if part is not None and height is None
    ]
    if wanted.bump_steer is None:
        for key in sought:
            word = "higher" if key == "rack" else "height"
            yield InputError(
                f"How high the {end} {key.replace('_', ' ')} is set is told nowhere",
                todo=f"Give {word}, or ask for bump_steer under [wanted.{end}].",
                place=f"change.{end}.{key}",
            )
    elif "tie_rod_spacer" not in spacers_taken(axle):
        yield InputError(
            f"Nothing on this car's {end} axle sets its bump steer",
            found=axle.as_layout().title,
            todo="Leave it out.",
            place=f"wanted.{end}.bump_steer",
        )
    elif len(sought) > 1:
        yield InputError(
            f"Rack and tie-rod spacers would both set the {end} bump steer",
            todo="Give the height of one of them.",
            place=f"change.{end}.tie_rod_spacer.height",
        )


def _rods_of_other_lengths(axle: Axle, change: AxleChange, wanted: WantedAxle, end: End) -> Iterator[InputError]:
    """New rods in place of such as nobody knows the length of, or that nothing sets and that do not go in as they were."""
    aims: tuple[tuple[str, WheelAngle], ...] = (
        ("toe_rod", "toe"),
        ("camber_link", "camber"),
        ("caster_link", "caster"),
    )
    for key, part in change.parts():
        if not isinstance(part, SetRods) or part.shortest is None or part.longest is None:
            continue
        place = f"change.{end}.{key}.shortest"
        joints = rod_joints(axle, key, getattr(part, "link", ""))
        lengths = [lengths_changed(axle, joint, change) for joint in joints]
        if not all(lengths):
            yield InputError(
                f"How long the {end} axle's own rods are does not follow from its pivots",
                found=axle.as_layout().title,
                todo="Give longer and shorter against as found in place of shortest and longest.",
                place=place,
            )
            continue
        asked = any(key == own and wanted.of_wheel(angle, "left") is not None for own, angle in aims)
        found = next(iter(lengths), {}).values()
        outside = [one for one in found if not part.shortest.value <= one <= part.longest.value]
        if outside and not asked and key != "trailing_links":
            yield InputError(
                "These rods cannot be made as long as those that they replace, and no angle is asked for that sets them",
                found=f"{show(outside[0], Kind.LENGTH)} between the joints as found",
                allowed=f"{show(part.shortest.value, Kind.LENGTH)} to {show(part.longest.value, Kind.LENGTH)}",
                todo=f"Ask for {dict(aims)[key]} under [wanted.{end}], or take other rods.",
                place=place,
            )


def _two_heights_of_a_seat(axle: Axle, change: AxleChange, end: End) -> Iterator[InputError]:
    if change.spacer is not None and (change.perch or getattr(axle.side(Side.LEFT), "perch", None)) is not None:
        yield InputError(
            "A threaded perch and a spacer both set the height of one seat",
            todo="Leave the spacer out: the perch's own positions count from the seat as it was measured.",
            place=f"change.{end}.spacer",
        )


def _bars_not_freed(axle: Axle, change: AxleChange, wanted: WantedAxle, end: End) -> Iterator[InputError]:
    """Bars that are not there, or two that hang on one link: its length frees one of them alone."""
    if wanted.free_bars is None:
        return
    there = bars_carried(axle, change)
    if not there:
        yield InputError(
            f"The {end} axle has no anti-roll bar to free", todo="Leave it out.", place=f"wanted.{end}.free_bars"
        )
    elif not links_apart(there):
        yield InputError(
            f"Both {end} anti-roll bars hang on one link: no length of it frees both",
            todo="Leave it out, and free them by hand, one after the other.",
            place=f"wanted.{end}.free_bars",
        )
