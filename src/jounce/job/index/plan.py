"""Re-indexing the torsion bars of an axle: what each pair of teeth gives, and what has to be set before loading."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.reach import StopContact, rubbers_pressed
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AxleName
from jounce.car.mechanics.torsion_bars import bar_in_series, stress_limit
from jounce.car.parts import TorsionBarSection
from jounce.conventions.axes import End
from jounce.elements.bars.bar_in_series import BarInSeries
from jounce.job.hanging_band import hanging_bands
from jounce.job.index.hanging import HangingPoint, hanging_point
from jounce.job.index.heights import HeightRange, StandingTurns
from jounce.job.index.marks import Bolt, IndexSetting, TeethPair, finest_step, teeth_pairs
from jounce.job.settings import bolt_of
from jounce.job.which_way import WindingWay, winding_way
from jounce.layouts.naming import SIDES, SideName


@dataclass(frozen=True, slots=True)
class BarPlace:
    """A bar in one position of its wheel, SI.

    ``lower`` is how much lower than at rest the body is over the wheel (negative in droop); ``twist`` what the arm sees,
    ``bar_twist`` the bar's own part of it; ``margin`` is the permissible stress less this one, None where no limit is
    known. A negative twist is one against the sense in which the bar works.
    """

    name: str
    lower: float
    twist: float
    bar_twist: float
    torque: float
    stress: float
    energy: float
    margin: float | None


@dataclass(frozen=True, slots=True)
class ReachableHeight:
    """One index and the height that it gives, SI.

    ``turn`` is that of the bar from its free angle as found, positive winds up; ``miss`` is how much higher than wanted
    the car then stands, ``hanging`` the height of the arm's point over the arm's pivot line with no load on it. ``stress``
    is at full bump, ``droop_twist`` at full droop: None where the end of travel is not known. ``bolt_heights`` are the
    lowest and highest that the adjusting bolt reaches from this pair, None without one.
    """

    arm_teeth: int
    anchor_teeth: int
    bolt_turns: float
    turn: float
    height: float
    miss: float
    hanging: float | None
    stress: float | None
    droop_twist: float | None
    bolt_heights: tuple[float, float] | None
    chosen: bool


@dataclass(frozen=True, slots=True)
class BarIndex:
    """Everything about the index of one side's bar, SI.

    ``expected_height`` is where the whole car stands on its tyres with ``chosen``, ``height_band`` half the width of
    its band. ``twist_found`` is the wind-up as found, ``twist_wanted`` the one at the wanted height; ``turn_same_height``
    is the turn that a bar needs only to stand as high as it was found. ``step`` is what the smallest step of both ends
    together gives of height there, None without spline counts; ``bolt_step`` what one turn of the bolt gives, None
    without one. ``hanging`` is the height of the arm's point over the arm's pivot line before it is loaded, with the half
    width of its band; ``way`` the sense that winds up. ``same_bar`` says that the bar is the one the car came with,
    ``pressed`` by how much the bump rubber is pressed together where the car stands, 0 where it is free.
    """

    found_height: float
    wanted_height: float
    expected_height: float
    height_band: float
    load: float
    twist_found: float
    twist_wanted: float
    turn_same_height: float
    chosen: IndexSetting
    hanging_point: str
    hanging: float | None
    hanging_band: float
    way: WindingWay | None
    same_bar: bool
    pressed: float
    step: float | None
    bolt_step: float | None
    rows: tuple[ReachableHeight, ...]
    places: tuple[BarPlace, ...]
    shares: Mapping[str, float]
    stress_limit: float | None
    stress_limit_source: str


@dataclass(frozen=True, slots=True)
class IndexTask:
    """An axle whose bars are to be indexed.

    ``turns`` is about where the car comes to stand with ``chosen``, with the loads there; ``lower`` is how much lower than
    as found it is wanted, ``stands`` how much lower it stands [m]; ``ends`` are the hard ends of travel from there.
    """

    document: CarDocument
    planned: CarDocument
    axle: AxleName
    turns: StandingTurns
    lower: Mapping[SideName, float]
    stands: Mapping[SideName, float]
    chosen: Mapping[SideName, IndexSetting]
    bands: Mapping[SideName, float]
    ends: Mapping[str, StopContact | None]

    def bar(self, side: SideName) -> TorsionBarSection:
        """The planned bar's section of the document."""
        return bar_section(self.planned, self.axle, side)

    def found_height(self, side: SideName) -> float:
        """Wheel centre to arch as found [m]."""
        return self.document.heights.corner(End(self.axle), SIDE_OF[side]).value


_SAME = 1e-9  # turns closer than this are one turn [rad]
_BOLT_ROWS = 9  # pairs listed where a bolt makes up the rest


def bar_section(document: CarDocument, axle: AxleName, side: SideName) -> TorsionBarSection:
    """A side's torsion bar in a document whose axle has one."""
    one: Any = document.axle(End(axle)).side(SIDE_OF[side])
    section: TorsionBarSection = one.torsion_bar
    return section


def bar_indices(task: IndexTask, within: float = 0.015) -> dict[SideName, BarIndex]:
    """Index of both sides' bars.

    Args:
        task: the axle, and where it is wanted
        within: heights listed, up and down from the wanted one [m]; where a bolt brings every pair near the wanted
            height, only the pairs with the fewest teeth

    Raises:
        Impossible: the linkage does not reach the wanted height
    """
    heights = task.turns.reach()
    bands = hanging_bands(task.document, task.axle, {side: task.chosen[side].reached for side in SIDES})
    return {side: _OneSide(task, heights, side, bands[side]).index(within) for side in SIDES}


@dataclass(frozen=True, slots=True)
class _OneSide:
    task: IndexTask
    heights: HeightRange
    side: SideName
    hanging_band: float

    @property
    def _whole(self) -> BarInSeries:
        return bar_in_series(self.task.bar(self.side))

    @property
    def _wound(self) -> float:
        return float(np.asarray(self.task.turns.wound_found[self.side]))

    def index(self, within: float) -> BarIndex:
        task, side = self.task, self.side
        bar, chosen, found = task.bar(side), task.chosen[side], task.found_height(side)
        limit, source = stress_limit(bar)
        hanging = hanging_point(task.turns.planned.linkage, side)
        wanted_turn = self._turn_at(self._wanted)
        # What the arm sees is wound up as found, turned by the index and by the linkage itself.
        twist = self._wound + wanted_turn + task.turns.arm_angle(side, self._wanted)
        return BarIndex(
            found_height=found,
            wanted_height=found - task.lower[side],
            expected_height=found - task.stands[side],
            height_band=task.bands[side],
            load=float(task.turns.loads[side][0]),
            twist_found=self._wound,
            twist_wanted=twist,
            turn_same_height=self._turn_as_found,
            chosen=chosen,
            hanging_point="" if hanging is None else hanging.name,
            hanging=_height(hanging, -(self._wound + chosen.reached)),
            hanging_band=self.hanging_band,
            way=winding_way(task.turns.planned.linkage, side),
            same_bar=bar == bar_section(task.document, task.axle, side),
            pressed=rubbers_pressed(task.turns.planned, task.turns.standing)[side],
            step=self._height_step(_finest(bar)),
            bolt_step=self._height_step(bolt_of(bar).step),
            rows=self._rows(bar, hanging, wanted_turn, within),
            places=self._places(limit),
            shares={name: float(np.asarray(share).reshape(-1)[0]) for name, share in self._whole.shares.items()},
            stress_limit=limit,
            stress_limit_source=source,
        )

    @property
    def _wanted(self) -> float:
        """How much lower than where it stands a side is wanted [m]."""
        return self.task.lower[self.side] - self.task.stands[self.side]

    @property
    def _turn_as_found(self) -> float:
        """Turn of the bar that would leave the car where it was found, under the loads that were weighed there."""
        found = replace(self.task.turns, standing=AxleStates(), loads=self.task.turns.planned.corner_load)
        return float(found.at(0.0).turn[self.side][0])

    def _turn_at(self, lower: float) -> float:
        return float(self.task.turns.at(lower).turn[self.side][0])

    def _height_step(self, step: float) -> float | None:
        """Height that a small turn gives about the wanted height [m]; None for no turn."""
        if not step:
            return None
        turn = self._turn_at(self._wanted)
        low, high = self.heights.lower_of(self.side, np.array([turn - step / 2, turn + step / 2]))
        return None if np.isnan(low - high) else float(low - high)

    def _rows(
        self, bar: TorsionBarSection, hanging: HangingPoint | None, wanted: float, within: float
    ) -> tuple[ReachableHeight, ...]:
        """Rows from low to high; without spline counts the one turn that is marked out."""
        if not bar.splines_arm or not bar.splines_anchor:
            return ()
        bolt = bolt_of(bar)
        low, high = self._turns_within(within)
        every = teeth_pairs(
            bar.splines_arm, bar.splines_anchor, low - bolt.up * bolt.step, high - bolt.down * bolt.step
        )
        pairs = _fewest(every) if bolt.step else every
        bolts = bolt.nearest_of(np.array([wanted - pair.turn for pair in pairs])).tolist()
        turns = np.array([pair.turn + n * bolt.step for pair, n in zip(pairs, bolts, strict=True)])
        lower = self.heights.lower_of(self.side, turns)
        spans = self._bolt_heights(pairs, bolt)
        shown = np.flatnonzero(np.abs(lower - self._wanted) <= within)
        base = self.task.found_height(self.side) - self.task.stands[self.side]
        return tuple(
            ReachableHeight(
                arm_teeth=pairs[k].arm,
                anchor_teeth=pairs[k].anchor,
                bolt_turns=bolts[k],
                turn=float(turns[k]),
                height=float(base - lower[k]),
                miss=float(self._wanted - lower[k]),
                hanging=_height(hanging, -(self._wound + float(turns[k]))),
                stress=self._stress_at("bump", float(turns[k])),
                droop_twist=self._twist_at("droop", float(turns[k])),
                bolt_heights=None if spans is None else spans[k],
                chosen=abs(float(turns[k]) - self.task.chosen[self.side].reached) < _SAME,
            )
            for k in shown[np.argsort(turns[shown])]
        )

    def _turns_within(self, within: float) -> tuple[float, float]:
        """Turns of the lowest and highest height listed, no further than the linkage goes."""
        reached = self.heights.found.reached & (np.abs(self.heights.grid - self._wanted) <= within + 0.01)
        turn = self.heights.found.turn[self.side][reached]
        return (float(turn.min()), float(turn.max())) if len(turn) else (0.0, 0.0)

    def _bolt_heights(self, pairs: list[TeethPair], bolt: Bolt) -> list[tuple[float, float] | None] | None:
        if not bolt.step:
            return None
        ends = [np.array([pair.turn + end * bolt.step for pair in pairs]) for end in (bolt.down, bolt.up)]
        base = self.task.found_height(self.side) - self.task.stands[self.side]
        low, high = (base - self.heights.lower_of(self.side, turns) for turns in ends)
        return [None if np.isnan(a + b) else (float(a), float(b)) for a, b in zip(low, high, strict=True)]

    def _end(self, at: str) -> float | None:
        """How much lower than where it stands a side is at a hard end of its travel [m]."""
        met = self.task.ends[at]
        if met is None:
            return None
        return met.travel if at == "bump" else -met.travel

    def _twist_at(self, at: str, turn: float) -> float | None:
        end = self._end(at)
        return None if end is None else self._wound + turn + self.task.turns.arm_angle(self.side, end)

    def _stress_at(self, at: str, turn: float) -> float | None:
        twist = self._twist_at(at, turn)
        return None if twist is None else float(self._whole.shear_stress(twist).reshape(-1)[0])

    def _places(self, limit: float | None) -> tuple[BarPlace, ...]:
        """The bar with its chosen index at full droop, at rest and at full bump."""
        turn = self.task.chosen[self.side].reached
        ends: list[tuple[str, float]] = [("at rest", 0.0)]
        for at, place in (("droop", 0), ("bump", len(ends) + 1)):
            met, end = self.task.ends[at], self._end(at)
            if met is not None and end is not None:
                ends.insert(place, (f"full {at}: {met.name}", end))
        return tuple(self._place(name, lower, turn, limit) for name, lower in ends)

    def _place(self, name: str, lower: float, turn: float, limit: float | None) -> BarPlace:
        whole = self._whole
        twist = self._wound + turn + self.task.turns.arm_angle(self.side, lower)
        torque, stress, bar_share = (
            float(np.asarray(value).reshape(-1)[0])
            for value in (whole.law.force(np.asarray(twist)), whole.shear_stress(twist), whole.shares["bar"])
        )
        energy = float(np.asarray(whole.law.energy(np.asarray(twist))).reshape(-1)[0])
        margin = None if limit is None else limit - abs(stress)
        return BarPlace(name, lower, twist, twist * bar_share, torque, stress, energy, margin)


def _finest(bar: TorsionBarSection) -> float:
    if not bar.splines_arm or not bar.splines_anchor:
        return 0.0
    return finest_step(bar.splines_arm, bar.splines_anchor)


def _fewest(pairs: list[TeethPair]) -> list[TeethPair]:
    """The pairs with the fewest teeth, by rising turn."""
    by_teeth = sorted(pairs, key=lambda pair: abs(pair.arm) + abs(pair.anchor))[:_BOLT_ROWS]
    return sorted(by_teeth, key=lambda pair: pair.turn)


def _height(hanging: HangingPoint | None, angle: float) -> float | None:
    return None if hanging is None else float(hanging.over_pivots(angle)[0])
