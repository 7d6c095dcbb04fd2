"""What a layout says about itself: its pivots, its choices, and how it is built from them.

One file per layout makes one `Layout`. The car file's sections, the checks on them, the documentation page with its
drawing and the assembly all follow from it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from jounce.layouts.adjusters import Adjuster
from jounce.layouts.axle_input import SpringKind
from jounce.layouts.builder import AxleBuilder
from jounce.layouts.needs import Need

BarCarrier = Literal["body", "tube"]
TwistPart = Literal["inner bar", "cross-member"]


@dataclass(frozen=True, slots=True)
class Pivot:
    """A point that a layout asks for, as found; ``stands_for`` names the pivot that serves where it is not given."""

    name: str
    meaning: str
    optional: bool = False
    stands_for: str | None = None


@dataclass(frozen=True, slots=True)
class LayoutChoice:
    """Something about the layout that is chosen by a word; the first word is the default."""

    name: str
    words: tuple[str, ...]
    meaning: str


@dataclass(frozen=True, slots=True)
class Layout:
    """A kind of axle.

    Attributes:
        name: its word in a car file
        title: what the trade calls it
        summary: bodies, joints and what is left free, for the documentation
        pivots: points of one side (the right mirrors the left)
        build: lays the axle out
        axle_pivots: by section of the car file, points of the axle as a whole, in true coordinates
        choices: words that the car file may choose
        choices_in: section of the car file that holds the choices
        springs: kinds of main spring that it may have
        bar_lines: by the arm that a torsion bar may spring, the two body pivots in whose line it then lies
        twist: what twists between its two sides, where something does
        steered: whether its tie rods end on a rack or a relay rod
        link_on: what may carry the far end of an anti-roll bar's drop link, with the body's name
        bar_carrier: what carries the bushes of its anti-roll bars
        bush_axes: whether the car file may give the soft axis of the arms' bushes (``bush_axis``)
        adjusters: joints that a garage sets, and what for
        links: rods of each side of which a job may name one that sets camber and one that sets caster, by their lengths
        needs: what its points must not do, for what is not a fault of the mechanism as a whole

    """

    name: str
    title: str
    summary: str
    pivots: tuple[Pivot, ...]
    build: Callable[[AxleBuilder], None]
    axle_pivots: Mapping[str, tuple[Pivot, ...]] = field(default_factory=dict)
    choices: tuple[LayoutChoice, ...] = ()
    choices_in: str = "arrangement"
    springs: tuple[SpringKind, ...] = ("coil",)
    bar_lines: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    twist: TwistPart | None = None
    steered: bool = False
    link_on: Mapping[str, str] = field(default_factory=dict)
    bar_carrier: BarCarrier = "body"
    bush_axes: bool = False
    adjusters: tuple[Adjuster, ...] = ()
    links: tuple[str, ...] = ()
    needs: tuple[Need, ...] = ()
