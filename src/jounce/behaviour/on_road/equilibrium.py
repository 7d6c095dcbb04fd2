"""Where the car comes to rest under what acts on it: a batched Newton on its seven freedoms.

The Jacobian is exact: the forces are worked out once more with an imaginary perturbation of each freedom.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.on_road.acting import Acting
from jounce.behaviour.on_road.axle_path import AxleOnBody, AxlePath
from jounce.behaviour.on_road.forces import FREEDOMS, TRAVELS, Acted, acted, split_better
from jounce.behaviour.on_road.road_car import RoadCar
from jounce.numerics.arrays import Array, BoolArray
from jounce.numerics.perturbation import STEP

TOLERANCE = 1e-6
"""Largest unbalanced generalised force at rest [N or N m]."""
_ITERATIONS = 60
_PATIENCE = 25  # rounds that come no closer to balance before a state is given up: a car past tipping over has no rest
_CLOSER = 0.9  # of the smallest forces so far: what counts as closer
_SOFTEST = 1.0  # stiffness that a freedom is given at the least on the way [N/m or N m/rad]
_LONGEST = 0.03  # of one step: stops and lift-off bend sharply [m or rad]
_SHORT = 2e-3  # a step that leads nowhere new [m or rad]
_FEW = 4  # states for which a guess does not pay
_NO_GUESS = 1e12  # condition of the slope from which on it says nothing
_FARTHEST = 0.05  # of a guess: stops bend what lies beyond [m or rad]
_WORSE = 2.0  # how much further from balance a step may lead: stops and lift-off make good steps look bad
_HALVINGS = 6  # of a step that leads where the linkage does not reach


@dataclass(frozen=True, slots=True)
class AtRest:
    """States at rest.

    Attributes:
        freedoms: heave, pitch, roll, travels, shape (states, 7) [m or rad]
        reached: which states came to rest
        paths: both axles there
        acted: all forces there

    """

    freedoms: Array
    reached: BoolArray
    paths: tuple[AxlePath, AxlePath]
    acted: Acted

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
            (front.take(states), rear.take(states)),
            self.acted.take(states),
        )


def at_rest(car: RoadCar, acting: Acting, start: Array | None = None) -> AtRest:
    """Let the car come to rest in a batch of states.

    Args:
        car: the car
        acting: what happens to it
        start: freedoms to start from, shape (states, 7); as found when left out

    Returns:
        The batch; look at ``reached``.
    """
    at = _guessed(car, acting) if start is None else np.array(start, dtype=np.float64)
    ended = np.zeros(len(at), dtype=np.bool_)
    split = np.full((len(at), 2, 2), 0.5)
    closest, since = np.full(len(at), np.inf), np.zeros(len(at), dtype=np.intp)
    for _ in range(_ITERATIONS):
        states = np.flatnonzero(~ended)
        if not len(states):
            break
        part, near = acting.take(states), around(car, at[states], acting.take(states))
        # The tyres' shares change little on the way: each round brings them up to date beside Newton's step.
        split[states] = split_better(car, at[states], near.still, part, split[states])
        force, slope = _slope(car, at[states], near, part, split[states])
        size = np.abs(force).max(axis=1)
        closer = size < _CLOSER * closest[states]
        closest[states] = np.where(closer, size, closest[states])
        since[states] = np.where(closer, 0, since[states] + 1)
        ended[states] = (near.reached & (size <= TOLERANCE)) | (since[states] >= _PATIENCE)
        at[states] += _step(car, at[states], part, (force, slope, near.reached), split[states])
    paths, reached = _placed(car, at, acting)
    now = acted(car, at, paths, acting, split)
    return AtRest(at, reached & (np.abs(now.unbalanced).max(axis=1) <= TOLERANCE), paths, now)


def _guessed(car: RoadCar, acting: Acting) -> Array:
    """As found on the ground that there is, and as far from it as the car's slope there says for its accelerations."""
    at = np.zeros((len(acting), FREEDOMS))
    at[:, 0] = acting.ground.mean(axis=(1, 2))
    if len(acting) < _FEW:
        return at
    found, none = np.zeros((3, FREEDOMS)), np.zeros(3)
    one = Acting(np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, -1.0]), np.zeros((3, 2, 2)), none)
    force, slope, reached = tangent(car, found, one)
    if not reached.all() or np.linalg.cond(slope[0]) > _NO_GUESS:
        return at
    still, across, braked = (np.linalg.solve(slope[0], -row) for row in force)
    at += still + acting.across[:, None] * (across - still) - acting.ahead[:, None] * (braked - still)
    size = np.maximum(np.abs(at[:, 1:]).max(axis=1), 1e-300)
    at[:, 1:] *= np.minimum(1.0, _FARTHEST / size)[:, None]
    return at


def _step(car: RoadCar, at: Array, acting: Acting, about: tuple[Array, Array, BoolArray], split: Array) -> Array:
    """Newton's step, none where the state is at rest.

    Shortened where it is long, where the linkage does not reach, and where it leads to forces much further from balance:
    a wheel that lifts and lands in turn is caught so.
    """
    force, slope, reached = about
    step: Array = np.asarray(np.linalg.solve(_downhill(slope), force[..., None])[..., 0], dtype=np.float64)
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


def _placed(car: RoadCar, at: Array, acting: Acting) -> tuple[tuple[AxlePath, AxlePath], BoolArray]:
    (front, there), (rear, here) = (
        on_body.at(at[:, travels], acting.rack) for on_body, travels in zip(car.axles, TRAVELS, strict=True)
    )
    return (front, rear), there & here


@dataclass(frozen=True, slots=True)
class Around:
    """Both axles in a batch of states, and as each freedom perturbs them.

    Attributes:
        still: front and rear axle in the states
        perturbed: both axles for each perturbed freedom in turn, then unperturbed as often as was asked for
        reached: which states the linkages reach, shape (states,)

    """

    still: tuple[AxlePath, AxlePath]
    perturbed: tuple[AxlePath, AxlePath]
    reached: BoolArray


def around(car: RoadCar, at: Array, acting: Acting, more: int = 0) -> Around:
    """Place both axles in a batch of states and for each perturbed freedom.

    Args:
        car: the car
        at: freedoms, shape (states, 7) [m or rad]
        acting: what happens to it
        more: further copies of the unperturbed states, for what else is to be perturbed
    """
    front, rear = (_perturbed(on_body, at, axle, acting, more) for axle, on_body in enumerate(car.axles))
    return Around((front[0], rear[0]), (front[1], rear[1]), front[2] & rear[2])


def perturbed(at: Array, more: int = 0) -> Array:
    """Freedoms of a batch, each perturbed in turn, then as they are, shape ((7 + more) x states, 7) [m or rad]."""
    ways = 1j * STEP * np.eye(FREEDOMS + more, FREEDOMS)
    return np.asarray((at[None] + ways[:, None]).reshape(-1, FREEDOMS))


def tangent(car: RoadCar, at: Array, acting: Acting, split: Array | None = None) -> tuple[Array, Array, BoolArray]:
    """How the unbalanced forces change with the freedoms; at rest the negative of it is the car's stiffness.

    Args:
        car: the car
        at: freedoms, shape (states, 7) [m or rad]
        acting: what happens to it
        split: shares of the tyres in each axle's lateral force, held; found and followed when left out

    Returns:
        Unbalanced forces (states, 7), their derivative by the freedoms (states, 7, 7), and which states are reached
    """
    near = around(car, at, acting)
    return *_slope(car, at, near, acting, split), near.reached


def _slope(car: RoadCar, at: Array, near: Around, acting: Acting, split: Array | None) -> tuple[Array, Array]:
    held = None if split is None else np.concatenate([split] * FREEDOMS)
    forces = acted(car, perturbed(at), near.perturbed, acting.repeated(FREEDOMS), held).unbalanced
    found = forces.reshape(FREEDOMS, len(at), FREEDOMS)
    return found[0].real, np.asarray(found.imag.transpose(1, 2, 0) / STEP)


def _perturbed(
    on_body: AxleOnBody, at: Array, axle: int, acting: Acting, more: int
) -> tuple[AxlePath, AxlePath, BoolArray]:
    """An axle as it is, then for each perturbed freedom in turn; only its own two travels move it."""
    travels = TRAVELS[axle]
    moved = np.concatenate([at[:, travels] + 1j * STEP * way for way in np.eye(2)])
    path, reached = on_body.at(moved, np.concatenate([acting.rack, acting.rack]))
    count = len(at)
    still = path.take(slice(count)).real
    parts = [still] * (FREEDOMS + more)
    parts[travels] = [path.take(slice(count)), path.take(slice(count, None))]
    return still, AxlePath.joined(parts), reached[:count] & reached[count:]
