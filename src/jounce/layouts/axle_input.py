"""What one axle is built from: its points as found, its wheels, what is chosen and what hangs on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from jounce.layouts.anti_roll_bar import AntiRollBarSide
from jounce.layouts.naming import SideName
from jounce.layouts.sites import BushInput
from jounce.numerics.arrays import Array

SpringKind = Literal["coil", "torsion bar", "leaf"]


@dataclass(frozen=True, slots=True)
class WheelInput:
    """A wheel as found: its angles [rad] and its loaded radius [m]."""

    camber: float | Array
    toe: float | Array
    loaded_radius: float | Array


@dataclass(frozen=True, slots=True)
class AntiRollBarInput:
    """An anti-roll bar's two halves, and the word for what carries the far ends of its links."""

    left: AntiRollBarSide
    right: AntiRollBarSide
    link_on: str


@dataclass(frozen=True, slots=True)
class AxleInput:
    """All that a layout is built from; points are (3,) or (variants, 3), car axes, as found [m].

    ``spring`` says what the main springs are; ``jointed`` asks for every joint as rows of its own, so that it has a
    load or can be a bush; ``bushes`` are then the joints (named without axle and side) that a bush stands in for.
    """

    pivots: Mapping[SideName, Mapping[str, Array]]
    wheels: Mapping[SideName, WheelInput]
    axle_pivots: Mapping[str, Mapping[str, Array]] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)
    bush_axis: Mapping[SideName, Array] = field(default_factory=dict)
    spring: SpringKind = "coil"
    anti_roll_bars: Mapping[str, AntiRollBarInput] = field(default_factory=dict)
    jointed: bool = False
    bushes: Mapping[str, BushInput] = field(default_factory=dict)
