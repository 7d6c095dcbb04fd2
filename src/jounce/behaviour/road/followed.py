"""States at rest followed along a growing acceleration, from the car without it to where there is no rest any more.

A state solved alone says nothing of its neighbours: near the end of a branch there are two rests, one stable and one
not, and beyond it there is none. So the way is followed by its length, not by the acceleration (pseudo-arclength
continuation): each step goes along the tangent and comes back to rest across it. The sense along the way is kept by the
sign of the determinant of the bordered slope, which holds through kinks too (a rubber that is met, a wheel that lifts).
While the acceleration grows along the way the stiffness is positive as it is standing; where it stops growing - a fold,
smooth or sharp - the stiffness has lost its sign: beyond it the car finds no rest.

Events on the way (a wheel that lifts, a wheel that spins) are told by functions that are zero there; acceleration and
freedoms of an event are found together by one Newton.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from enum import Enum

import numpy as np

from jounce.behaviour.road.around import around, perturbed
from jounce.behaviour.road.forces import FREEDOMS, ForceState, acted
from jounce.behaviour.road.loading import LoadPath
from jounce.behaviour.road.road_car import RoadCar
from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array, BoolArray, IntArray
from jounce.numerics.complex_step import STEP

TOLERANCE = 1e-6
"""Largest unbalanced generalised force at rest [N or N m]."""
SIZE = FREEDOMS
"""Where the size of the acceleration is among the unknowns, after the freedoms."""
_WEIGHT = np.append(np.ones(FREEDOMS), 0.01)  # 1 m/s² counts as 10 mm or 10 mrad of the way's length
_FIRST, _LONGEST, _SHORTEST = 0.02, 0.06, 2e-5  # steps along the way [m or rad]
_GROWS = 2.0  # of the last step, where that was easy
_ROUNDS, _EASY = 6, 3  # of Newton for one step
_ROUGH = 1e-5  # of the car's weight: how far from rest a point of the way may be
_ASTRAY, _ASTRAY_SHORT = 0.6, 3.0  # of a step, and of a short one past a kink: how far from the tangent the way may be
_SHORT = 2e-3  # [m or rad]
_STEPS = 200
_FOLD_ROUNDS = 30
_FOLD_NEAR = 5e-4  # of the acceleration at a fold [m/s²]
_EVENT_ROUNDS = 30
_EXACT, _EXACT_ALONE = 1e-12, 1e-15  # of an event's function over its change on the way, and by itself


class PathEnd(Enum):
    """What is known of a state, or of the end of a way: the car rests there, or why nothing is told of it."""

    RESTS = "rests"
    NO_REST = "no rest"
    UNSTABLE = "unstable"
    LINKAGE = "the linkage goes no further"
    LOST = "could not be worked out"


EventFunction = Callable[[ForceState, Array, IntArray], Array]
"""What tells events, rising to zero there: of forces, size of what grows and the cases; shape (rows, events)."""


@dataclass(frozen=True, slots=True)
class Node:
    """A state on the way of one case.

    Attributes:
        at: freedoms and size, shape (8,) [m, rad, m/s²]
        along: tangent of the way there, of length one in the way's own measure, shape (8,)
        told: what tells the events, shape (events,)
        split: shares of the tyres, shape (2, 2) [-]

    """

    at: Array
    along: Array
    told: Array
    split: Array


@dataclass(frozen=True, slots=True)
class FollowedPath:
    """The stable way of one case, in order.

    Attributes:
        nodes: states at rest, the acceleration growing from one to the next
        beyond: a state just past the fold, where the stiffness is not positive; None where there is no fold
        end: how the way ends

    """

    nodes: tuple[Node, ...]
    beyond: Node | None
    end: PathEnd

    @property
    def farthest(self) -> float:
        """Largest acceleration on it [m/s²]; zero where there is no rest without any."""
        return float(self.nodes[-1].at[SIZE]) if self.nodes else 0.0

    def between(self, size: float) -> tuple[Array, Array]:
        """Freedoms and the tyres' shares at a size on the way, by a cubic between its nodes.

        Args:
            size: of the acceleration [m/s²]
        """
        sizes = np.array([node.at[SIZE] for node in self.nodes])
        k = int(np.clip(np.searchsorted(sizes, size), 1, max(len(sizes) - 1, 1)))
        if len(sizes) == 1:
            return self.nodes[0].at[:SIZE], self.nodes[0].split
        low, high = self.nodes[k - 1], self.nodes[k]
        length = float(np.linalg.norm((high.at - low.at) * _WEIGHT))
        share = _solved(_sizes(low, high, length), size)
        return _cubic(low, high, length, share)[:SIZE], low.split + share * (high.split - low.split)


def _cubic(low: Node, high: Node, length: float, u: float) -> Array:
    one, other = low.along * length / _WEIGHT, high.along * length / _WEIGHT
    return np.asarray(
        low.at * (1 + 2 * u) * (1 - u) ** 2
        + high.at * u**2 * (3 - 2 * u)
        + one * u * (1 - u) ** 2
        - other * u**2 * (1 - u)
    )


def _sizes(low: Node, high: Node, length: float) -> Callable[[float], float]:
    """Size alone along the cubic between two nodes, in plain numbers: it is asked for some forty times a state."""
    first, last = float(low.at[SIZE]), float(high.at[SIZE])
    one, other = (float(node.along[SIZE]) * length / float(_WEIGHT[SIZE]) for node in (low, high))
    return lambda u: (
        first * (1 + 2 * u) * (1 - u) ** 2 + last * u**2 * (3 - 2 * u) + one * u * (1 - u) ** 2 - other * u**2 * (1 - u)
    )


def _solved(grows: Callable[[float], float], wanted: float) -> float:
    """Share in 0 to 1 at which a growing value is the wanted one."""
    low, high = 0.0, 1.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if grows(middle) < wanted else (low, middle)
    return 0.5 * (low + high)


def no_events(now: ForceState, size: Array, cases: IntArray) -> Array:
    """Tells nothing."""
    del size, cases
    return np.zeros((len(now.load), 0))


@dataclass(frozen=True, slots=True)
class _About:
    """Points of the way: unbalanced forces (n, 7) and events (n, k), their slopes by the eight unknowns, shares."""

    force: Array
    force_slope: Array
    told: Array
    told_slope: Array
    split: Array
    reached: BoolArray

    def put(self, rows: IntArray, fresh: _About) -> None:
        """Take some rows from another batch."""
        for field in fields(_About):
            getattr(self, field.name)[rows] = getattr(fresh, field.name)

    def node(self, k: int, at: Array, along: Array) -> Node:
        """One point of it."""
        return Node(at[k].copy(), along[k].copy(), self.told[k].copy(), self.split[k].copy())


class Follower:
    """Cases that are followed along their growing accelerations.

    Args:
        car: the car
        growing: the cases
        telling: what tells events

    """

    def __init__(self, car: RoadCar, growing: LoadPath, telling: EventFunction = no_events) -> None:
        self._car, self._growing, self._telling = car, growing, telling
        self._near = _ROUGH * car.mass * GRAVITY

    def ways(self, start: Array, most: Array | float, *, to_first: bool = False) -> tuple[FollowedPath, ...]:
        """The way of every case.

        Args:
            start: freedoms at rest without what grows, stable, shape (cases, 7) [m or rad]
            most: size to go to, for all cases or each its own [m/s²]
            to_first: whether to go no further than just past a case's first event
        """
        count = len(start)
        farthest = np.broadcast_to(np.asarray(most, float), (count,))
        at = np.concatenate((start, np.zeros((count, 1))), axis=1)
        first = self._about(np.arange(count), at, np.full((count, 2, 2), 0.5))
        along, sense = _tangents(first, None)
        walks = [_Walk(first.node(k, at, along), float(sense[k]), float(farthest[k])) for k in range(count)]
        for _ in range(_STEPS):
            cases = np.array([k for k, walk in enumerate(walks) if walk.going], dtype=np.intp)
            if not len(cases):
                break
            now = [walks[case] for case in cases]
            last = np.stack([walk.nodes[-1].at for walk in now])
            normal = np.stack([walk.nodes[-1].along for walk in now])
            step = np.array([walk.step for walk in now])
            guess = last + step[:, None] * normal / _WEIGHT
            found, there, rounds, about = self._corrected(
                cases, guess, normal, np.stack([w.nodes[-1].split for w in now])
            )
            turned, _ = _tangents(about, np.array([walk.sense for walk in now]))
            off = np.linalg.norm((found - guess) * _WEIGHT, axis=1)
            for k, walk in enumerate(now):
                if there[k] and off[k] <= (_ASTRAY if step[k] > _SHORT else _ASTRAY_SHORT) * step[k]:
                    walk.goes(about.node(k, found, turned), easy=bool(rounds[k] <= _EASY), to_first=to_first)
                else:
                    walk.shortens(reached=bool(about.reached[k]))
        self._close_in(walks)
        return tuple(FollowedPath(tuple(walk.nodes), walk.beyond, walk.end) for walk in walks)

    def events(self, brackets: Sequence[tuple[int, Node, Node, int]]) -> list[float | None]:
        """Sizes at which events come between two nodes of their cases.

        Args:
            brackets: case, node before, node after, number of the event

        Returns:
            Size of each [m/s²], None where it was not found
        """
        if not brackets:
            return []
        cases = np.array([case for case, *_ in brackets], dtype=np.intp)
        which = np.array([number for *_, number in brackets], dtype=np.intp)
        every = np.arange(len(brackets))
        low, high = (np.stack([pair[k].at for _, *pair, _ in brackets]) for k in (0, 1))
        before, after = (np.array([pair[k].told[n] for _, *pair, n in brackets]) for k in (0, 1))
        whole = np.maximum(np.abs(after - before), 1e-300)
        at = low + (before / (before - after))[:, None] * (high - low)
        about = self._about(cases, at, np.stack([one.split for _, one, _, _ in brackets]))
        there = np.zeros(len(brackets), dtype=np.bool_)
        for _ in range(_EVENT_ROUNDS):
            force, told = np.abs(about.force).max(axis=1), about.told[every, which]
            there = about.reached & (force <= TOLERANCE) & (np.abs(told) <= _EXACT * whole + _EXACT_ALONE)
            left = np.flatnonzero(~there & about.reached)
            if not len(left):
                break
            matrix = np.concatenate((about.force_slope[left], about.told_slope[left, which[left]][:, None]), axis=1)
            miss = np.concatenate((about.force[left], told[left, None]), axis=1)
            at[left] += _stepped(matrix, miss)
            about.put(left, self._about(cases[left], at[left], about.split[left]))
        return [float(at[k, SIZE]) if there[k] else None for k in every]

    def _close_in(self, walks: list[_Walk]) -> None:
        """Narrow each fold down between the last stable node and the first one beyond."""
        for _ in range(_FOLD_ROUNDS):
            pairs = [(k, walk.nodes[-1], walk.beyond) for k, walk in enumerate(walks) if walk.beyond is not None]
            wide = [(case, low, high, _top(low, high)) for case, low, high in pairs]
            wide = [one for one in wide if one[3][1] > _FOLD_NEAR]
            if not wide:
                return
            cases = np.array([case for case, *_ in wide], dtype=np.intp)
            chord = np.stack([(high.at - low.at) * _WEIGHT for _, low, high, _ in wide])
            normal = chord / np.linalg.norm(chord, axis=1)[:, None]
            shares = [top[0] * 0.5 ** walks[case].missed for case, _, _, top in wide]
            guess = np.stack(
                [low.at + s * (high.at - low.at) for s, (_, low, high, _) in zip(shares, wide, strict=True)]
            )
            split = np.stack([low.split for _, low, _, _ in wide])
            found, there, _, about = self._corrected(cases, guess, normal, split)
            turned, _ = _tangents(about, np.array([walks[case].sense for case in cases]))
            for k, case in enumerate(cases):
                walks[case].narrows(about.node(k, found, turned) if there[k] else None)

    def _corrected(
        self, cases: IntArray, guess: Array, normal: Array, split: Array
    ) -> tuple[Array, BoolArray, IntArray, _About]:
        """Rest in the plane through a guess across the way: where, whether found, after how many rounds, what is there."""
        at, rounds = guess.copy(), np.zeros(len(cases), dtype=np.intp)
        about = self._about(cases, at, split)
        for _ in range(_ROUNDS):
            left = np.flatnonzero(about.reached & (np.abs(about.force).max(axis=1) > self._near))
            if not len(left):
                break
            matrix = np.concatenate((about.force_slope[left], (normal[left] * _WEIGHT)[:, None]), axis=1)
            aside = np.einsum("ni,ni->n", (at - guess)[left] * _WEIGHT, normal[left])
            at[left] += _stepped(matrix, np.concatenate((about.force[left], aside[:, None]), axis=1))
            rounds[left] += 1
            about.put(left, self._about(cases[left], at[left], about.split[left]))
        return at, about.reached & (np.abs(about.force).max(axis=1) <= self._near), rounds, about

    def _about(self, cases: IntArray, at: Array, split: Array) -> _About:
        """Everything about one point of each of some cases, the tyres' shares brought up to date."""
        ways, freedoms, size = FREEDOMS + 1, at[:, :SIZE], at[:, SIZE]
        acting = self._growing.acting(cases, size)
        here = around(self._car, freedoms, acting, more=1)
        grown = np.concatenate((np.tile(size + 0j, FREEDOMS), size + 1j * STEP))
        every = np.tile(cases, ways)
        pushed = self._growing.acting(every, grown)
        now = acted(
            self._car, perturbed(freedoms, more=1), here.perturbed, pushed, np.concatenate([split] * ways), rounds=1
        )
        told = self._telling(now, grown, every)
        values = np.concatenate((now.unbalanced, told), axis=1).reshape(ways, len(cases), -1)
        slope = np.asarray(values.imag.transpose(1, 2, 0) / STEP)
        value = values[0].real
        shares = now.split[: len(cases)].real.copy()
        return _About(
            value[:, :SIZE].copy(),
            slope[:, :SIZE],
            value[:, SIZE:].copy(),
            slope[:, SIZE:],
            shares,
            here.reached.copy(),
        )


class _Walk:
    """One case on its way."""

    def __init__(self, first: Node, sense: float, most: float) -> None:
        self.nodes, self.sense, self.most = [first], sense, most
        self.beyond: Node | None = None
        self.end, self.step = PathEnd.LOST, _FIRST
        self.going, self.missed = True, 0

    def goes(self, node: Node, *, easy: bool, to_first: bool) -> None:
        """The next node, stable or past the fold."""
        if node.along[SIZE] <= 0:
            self.beyond, self.end, self.going = node, PathEnd.NO_REST, False
            return
        self.nodes.append(node)
        self.step = min(self.step * (_GROWS if easy else 1.0), _LONGEST)
        if node.at[SIZE] >= self.most or (to_first and (node.told >= 0).any()):
            self.end, self.going = PathEnd.RESTS, False

    def shortens(self, *, reached: bool) -> None:
        """The step was too long."""
        self.step *= 0.25
        if self.step < _SHORTEST:
            self.end, self.going = PathEnd.LOST if reached else PathEnd.LINKAGE, False

    def narrows(self, node: Node | None) -> None:
        """A node between the last stable one and the one beyond, or none where none was found."""
        self.missed = self.missed + 1 if node is None else 0
        if node is not None and node.along[SIZE] > 0:
            self.nodes.append(node)
        elif node is not None:
            self.beyond = node


def _stepped(matrix: Array, miss: Array) -> Array:
    """Newton's step of the eight unknowns, shortened where it is long."""
    step = -(np.linalg.pinv(matrix / _WEIGHT) @ miss[..., None])[..., 0] / _WEIGHT
    longest = np.maximum(np.abs(step[:, :SIZE]).max(axis=1), 1e-300)
    return np.asarray(step * np.minimum(1.0, _LONGEST / longest)[:, None])


def _tangents(about: _About, sense: Array | None) -> tuple[Array, Array]:
    """Unit tangents of the way, along which the bordered determinant keeps its sign; at the start the size grows."""
    slope = about.force_slope / _WEIGHT
    along = np.linalg.svd(slope)[2][:, -1]
    sign = np.linalg.slogdet(np.concatenate((slope, along[:, None]), axis=1))[0]
    if sense is None:
        up = np.where(along[:, SIZE] < 0, -1.0, 1.0)
        return along * up[:, None], sign * up
    return along * (sign * sense)[:, None], sense


def _top(low: Node, high: Node) -> tuple[float, float]:
    """Where on the way from a stable node to one beyond the fold the size is largest, and how much larger it can be.

    The tangents of both ends meet above the way: exact where the fold is sharp, an upper bound where it is smooth.
    """
    length = float(np.linalg.norm((high.at - low.at) * _WEIGHT))
    rise, fall = low.along[SIZE] / _WEIGHT[SIZE], high.along[SIZE] / _WEIGHT[SIZE]
    apart = float(high.at[SIZE] - low.at[SIZE])
    where = (apart - fall * length) / max(rise - fall, 1e-300)
    more = rise * where - max(0.0, apart)
    if not 0 <= where <= length or more < 0:  # the way stiffens between the two: their tangents say nothing yet
        return 0.5, rise * length
    return float(np.clip(where / length, 0.02, 0.98)), more
