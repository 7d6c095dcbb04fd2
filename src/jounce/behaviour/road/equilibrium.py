"""Where the car comes to rest under what acts on it.

The car is put to rest standing, by a batched Newton on its seven freedoms; from there each state is come to along its
load, growing from none (`followed`), and put to rest exactly by the same Newton. The Jacobian is exact: the forces are
worked out once more with an imaginary perturbation of each freedom. Its negative is the stiffness; a rest counts only
where that is positive.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.road.around import around, slope_near
from jounce.behaviour.road.axle_path import AxlePath
from jounce.behaviour.road.followed import TOLERANCE, FollowedPath, Follower, PathEnd
from jounce.behaviour.road.forces import FREEDOMS, TRAVELS, ForceState, acted
from jounce.behaviour.road.loading import Loading, LoadPath
from jounce.behaviour.road.road_car import RoadCar
from jounce.numerics.arrays import Array, BoolArray, IntArray

_ITERATIONS = 60
_PATIENCE = 25  # rounds that come no closer to balance before a state is given up
_CLOSER = 0.9  # of the smallest forces so far: what counts as closer
_SOFTEST = 1.0  # stiffness that a freedom is given at the least on the way [N/m or N m/rad]
_LONGEST = 0.03  # of one step: stops and lift-off bend sharply [m or rad]
_SHORT = 2e-3  # a step that leads nowhere new [m or rad]
_WORSE = 2.0  # how much further from balance a step may lead: stops and lift-off make good steps look bad
_HALVINGS = 6  # of a step that leads where the linkage does not reach
_SAME = 0.02  # how far from its way a state may be put to rest [m or rad]


@dataclass(frozen=True, slots=True)
class AtRest:
    """States at rest.

    Attributes:
        freedoms: heave, pitch, roll, travels, shape (states, 7) [m or rad]
        reached: which states came to rest, stable, on the way from the car standing
        ends: for each state, that it rests or why there is nothing to tell of it
        paths: both axles there
        acted: all forces there

    """

    freedoms: Array
    reached: BoolArray
    ends: tuple[PathEnd, ...]
    paths: tuple[AxlePath, AxlePath]
    acted: ForceState

    @property
    def travel(self) -> Array:
        """Wheel travels from as found, (front, rear) x (left, right), shape (states, 2, 2) [m]."""
        return self.freedoms[:, 3:].reshape(-1, 2, 2)

    @property
    def roll(self) -> Array:
        """Roll of the body, positive right side down, shape (states,) [rad]."""
        return self.freedoms[:, 2]

    @property
    def pitch(self) -> Array:
        """Pitch of the body, positive nose down, shape (states,) [rad]."""
        return self.freedoms[:, 1]

    @property
    def body_height(self) -> Array:
        """Height of the body's centre of gravity, with what is aboard, shape (states,) [m]."""
        return self.acted.body_centre[:, 2]

    def take(self, states: Array | slice) -> AtRest:
        """Some of the states."""
        front, rear = self.paths
        return AtRest(
            self.freedoms[states],
            self.reached[states],
            tuple(np.array(self.ends, dtype=object)[states]),
            (front.take(states), rear.take(states)),
            self.acted.take(states),
        )


def at_rest(car: RoadCar, acting: Loading, start: Array | None = None) -> AtRest:
    """Let the car come to rest in a batch of states.

    Each state is come to from the car standing, its accelerations growing together; uneven ground and a turned rack are
    there from the start.

    Args:
        car: the car
        acting: what happens to it
        start: freedoms at rest or nearly, shape (states, 7), from which no way is followed; found when left out

    Returns:
        The batch; look at ``reached``.
    """
    if start is not None:
        return _settled(car, acting, np.array(start, dtype=np.float64))
    size = np.hypot(acting.across, acting.ahead)
    pulled = np.flatnonzero(size > 0)
    level = np.column_stack((acting.ground.reshape(-1, 4), acting.rack))
    first, ground = np.unique(level, axis=0, return_index=True)[1], np.unique(level, axis=0, return_inverse=True)[1]
    standing = _standing(car, acting.take(first))
    if not len(pulled):
        return standing.take(np.ravel(ground))
    return _along(car, acting, standing, np.ravel(ground), pulled)


def _along(car: RoadCar, acting: Loading, standing: AtRest, ground: IntArray, pulled: IntArray) -> AtRest:
    """States that accelerations pull from where the car stands, each along the line of its own."""
    size = np.hypot(acting.across, acting.ahead)
    heading = np.column_stack((acting.across, acting.ahead))[pulled] / size[pulled, None]
    rows = np.column_stack((heading.round(12), ground[pulled]))
    _, first, ray = np.unique(rows, axis=0, return_index=True, return_inverse=True)
    ray, begin = np.ravel(ray), ground[pulled][first]
    most = np.array([size[pulled][ray == k].max() for k in range(len(first))])
    held = acting.take(pulled[first])
    none = np.zeros(len(first))
    growing = LoadPath(replace(held, across=none, ahead=none), heading[first, 0], heading[first, 1])
    good = np.flatnonzero(standing.reached[begin])
    ways: list[FollowedPath] = [FollowedPath((), None, standing.ends[k]) for k in begin]
    if len(good):
        sub = LoadPath(growing.held.take(good), growing.across[good], growing.ahead[good])
        for k, way in zip(good, Follower(car, sub).ways(standing.freedoms[begin[good]], most[good]), strict=True):
            ways[k] = way
    still = FollowedPath((), None, PathEnd.RESTS)
    by_state = [still] * len(acting)
    for state, k in zip(pulled, ray, strict=True):
        by_state[state] = ways[k]
    return rests_on(car, acting, by_state, size, standing.freedoms[ground])


def rests_on(car: RoadCar, acting: Loading, ways: Sequence[FollowedPath], size: Array, start: Array) -> AtRest:
    """States on ways that were followed, put to rest exactly.

    Args:
        car: the car
        acting: what happens to it in each state
        ways: the way of each state
        size: where on it the state is, shape (states,) [m/s²]
        start: freedoms of a state whose way has no nodes, shape (states, 7) [m or rad]
    """
    at, split = np.array(start, dtype=np.float64), np.full((len(acting), 2, 2), 0.5)
    on_way = np.array(
        [way.end is PathEnd.RESTS if not way.nodes else s <= way.farthest for way, s in zip(ways, size, strict=True)]
    )
    for k, way in enumerate(ways):
        if way.nodes:
            at[k], split[k] = way.between(min(float(size[k]), way.farthest))
    guess = at.copy()
    found = _settled(car, acting, at, split, on_way)
    near = np.abs(found.freedoms - guess).max(axis=1) <= _SAME
    ends = list(found.ends)
    for k, way in enumerate(ways):
        if not on_way[k]:
            ends[k] = way.end
    for k, way in enumerate(ways):
        if on_way[k] and way.nodes and not (found.reached[k] and near[k]):
            ends[k] = PathEnd.LOST
    return replace(found, ends=tuple(ends), reached=np.array([end is PathEnd.RESTS for end in ends]))


def _standing(car: RoadCar, acting: Loading) -> AtRest:
    """The car without accelerations, from as found, or from where it is known to stand, on the ground that there is."""
    at = np.zeros((len(acting), FREEDOMS))
    if car.stands is not None:
        at += car.stands
    at[:, 0] += acting.ground.mean(axis=(1, 2))
    none = np.zeros(len(acting))
    return _settled(car, replace(acting, across=none, ahead=none), at)


def _settled(
    car: RoadCar, acting: Loading, at: Array, split: Array | None = None, looked_at: BoolArray | None = None
) -> AtRest:
    """Newton from near a rest; states that are not looked at stay where they are.

    Args:
        car: the car
        acting: what happens to it
        at: freedoms to start from, shape (states, 7), changed [m or rad]
        split: the tyres' shares there, changed; even when left out
        looked_at: which states; all when left out
    """
    ended = np.zeros(len(at), dtype=np.bool_) if looked_at is None else ~looked_at
    split = np.full((len(at), 2, 2), 0.5) if split is None else split
    stable = np.zeros(len(at), dtype=np.bool_)
    closest, since = np.full(len(at), np.inf), np.zeros(len(at), dtype=np.intp)
    for _ in range(_ITERATIONS):
        states = np.flatnonzero(~ended)
        if not len(states):
            break
        part, near = acting.take(states), around(car, at[states], acting.take(states))
        # The tyres' shares change little on the way: each round brings them up to date beside Newton's step.
        force, slope, split[states] = slope_near(car, at[states], near, part, split[states], rounds=1)
        size = np.abs(force).max(axis=1)
        closer = size < _CLOSER * closest[states]
        closest[states] = np.where(closer, size, closest[states])
        since[states] = np.where(closer, 0, since[states] + 1)
        rests = near.reached & (size <= TOLERANCE)
        stable[states[rests]] = positive(slope[rests])
        ended[states] = rests | (since[states] >= _PATIENCE)
        at[states] += _step(
            car, at[states], part, (force, slope, near.reached), split[states], downhill=looked_at is None
        )
    paths, reached = _placed(car, at, acting)
    now = acted(car, at, paths, acting, split)
    balanced = np.abs(now.unbalanced).max(axis=1) <= TOLERANCE
    ends = tuple(
        PathEnd.LINKAGE if not there else PathEnd.LOST if not still else PathEnd.RESTS if firm else PathEnd.UNSTABLE
        for there, still, firm in zip(reached, balanced, stable, strict=True)
    )
    return AtRest(at, reached & balanced & stable, ends, paths, now)


def positive(slope: Array) -> BoolArray:
    """Whether the stiffness, the negative of the forces' slope, is positive: the car comes back when it is pushed.

    Args:
        slope: derivative of the unbalanced forces, shape (states, 7, 7)
    """
    return np.asarray((np.linalg.eigvals(-slope).real > 0).all(axis=-1))


def _step(
    car: RoadCar, at: Array, acting: Loading, about: tuple[Array, Array, BoolArray], split: Array, *, downhill: bool
) -> Array:
    """Newton's step, none where the state is at rest.

    Shortened where it is long, where the linkage does not reach, and where it leads to forces much further from balance:
    a wheel that lifts and lands in turn is caught so.
    """
    force, slope, reached = about
    stiffness = _downhill(slope) if downhill else -slope
    step: Array = np.asarray((np.linalg.pinv(stiffness) @ force[..., None])[..., 0], dtype=np.float64)
    step *= np.minimum(1.0, _LONGEST / np.maximum(np.abs(step).max(axis=1), 1e-300))[:, None]
    size = np.abs(force).max(axis=1)
    step[reached & (size <= TOLERANCE)] = 0.0
    looking = np.flatnonzero(np.abs(step).max(axis=1) > _SHORT)
    for _ in range(_HALVINGS):
        if not len(looking):
            break
        there, part = at[looking] + step[looking], acting.take(looking)
        paths, found = _placed(car, there, part)
        worse = np.abs(acted(car, there, paths, part, split[looking]).unbalanced).max(axis=1) > _WORSE * size[looking]
        looking = looking[~found | worse]
        step[looking] *= 0.5
    return step


def _downhill(slope: Array) -> Array:
    """The car's stiffness, made one that holds it: Newton's step then leads towards a rest and never to a hilltop.

    A freedom that nothing holds (a coil that is loose there, all wheels off the ground) counts as held a little; one
    that is pushed away from where it is (beyond tipping) as held as much. Where all are held nothing is changed.
    Source: Nocedal and Wright, Numerical Optimization, 2nd ed., 3.4 (modified eigenvalues).
    """
    held, way = np.linalg.eigh(-0.5 * (slope + slope.transpose(0, 2, 1)))
    more = np.maximum(np.abs(held), _SOFTEST) - held
    return np.asarray(-slope + (way * more[:, None, :]) @ way.transpose(0, 2, 1))


def _placed(car: RoadCar, at: Array, acting: Loading) -> tuple[tuple[AxlePath, AxlePath], BoolArray]:
    (front, there), (rear, here) = (
        on_body.at(at[:, travels], acting.rack) for on_body, travels in zip(car.axles, TRAVELS, strict=True)
    )
    return (front, rear), there & here
