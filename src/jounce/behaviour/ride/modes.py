"""The car's modes with plain names: the body's heave, pitch and roll, and the hop of its wheels."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import scipy  # its rooms open on use: optimisation is slow to import, and standing asks for no modes

from jounce.behaviour.ride.small_motions import SmallMotions
from jounce.behaviour.ride.vibration import DampedModes, Vibration, damped_modes, undamped_modes
from jounce.behaviour.road.forces import FREEDOMS, HEAVE, PITCH, ROLL
from jounce.behaviour.solving import inverted, solved
from jounce.numerics.arrays import Array, IntArray

BODY_MODES = ("heave", "pitch", "roll")


@dataclass(frozen=True, slots=True)
class Mode:
    """One mode.

    Attributes:
        name: what it is called: heave, pitch, roll, front or rear wheels hopping together or in turn
        share: how much of the pure motion of that name is in it, 0 to 1 [-]
        frequency: without dampers [Hz]
        shape: freedoms, largest rise of a wheel or of the body over an axle 1 m, shape (7,) [m or rad]
        node: where along the road the body stands still in it, ahead of the front axle [m]; NaN where nowhere
        damping: with dampers; None where their curves are not known

    """

    name: str
    share: float
    frequency: float
    shape: Array
    node: float
    damping: Damping | None = None


@dataclass(frozen=True, slots=True)
class Damping:
    """A mode with dampers: its natural frequency, the one seen [Hz], the ratio [-]; it may creep back unswinging."""

    frequency: float
    seen: float
    ratio: float
    swings: bool


@dataclass(frozen=True, slots=True)
class RideEnds:
    """Both ends of the body taken alone, front then rear, each shape (2,).

    ``rate`` of the pair of wheels with their tyres in series [N/m], ``mass`` of the body over it [kg], ``frequency`` [Hz].
    """

    rate: Array
    mass: Array
    frequency: Array

    @property
    def ratio(self) -> float:
        """Front ride frequency over rear [-]."""
        return float(self.frequency[0] / self.frequency[1])


def modes(
    motions: SmallMotions, system: Vibration | None = None, called: Mapping[str, Array] | None = None
) -> tuple[Mode, ...]:
    """Modes about where the car sits: body first, then wheels, each group from slow to fast.

    Args:
        motions: the car about where it sits
        system: the same with dampers; undamped alone when left out
        called: shapes (7,) that they are named after; those of `pure_motions` when left out. Of a car that hardly differs
            from another, that one's own: a mode that is as much heave as pitch keeps its name only so
    """
    found = undamped_modes(motions.undamped)
    pure = pure_motions(motions) if called is None else called
    alike = _alike(motions.undamped.mass, np.stack(list(pure.values()), 1), found.shape)
    rows, columns = _pairs(alike)
    damping = None if system is None else _paired(motions, found.shape, damped_modes(system))
    named = [
        Mode(
            list(pure)[row],
            float(alike[row, k]),
            float(found.frequency[k]),
            _scaled(motions, found.shape[:, k]),
            _node(found.shape[:, k]),
            None if damping is None else damping[k],
        )
        for row, k in zip(rows, columns, strict=True)
    ]
    return tuple(sorted(named, key=lambda mode: (mode.name not in BODY_MODES, mode.frequency)))


def pure_motions(motions: SmallMotions) -> Mapping[str, Array]:
    """Shapes that modes are named after: the body moving over resting wheels, or wheels under a resting body.

    Args:
        motions: the car about where it sits
    """
    rise = motions.undamped.push / motions.tyre_rate  # of each wheel per freedom
    x, y = motions.body_at[:2]
    body = {"heave": (1.0, 0.0, 0.0), "pitch": (x, 1.0, 0.0), "roll": (-y, 0.0, 1.0)}
    shapes: dict[str, Array] = {}
    for name, way in body.items():
        travels = solved(rise[3:].T, -rise[:3].T @ np.array(way))
        shapes[name] = np.array([*way, *travels])
    for axle, end in enumerate(motions.car.names):
        for kind, right in (("together", 1.0), ("in turn", -1.0)):
            shape = np.zeros(FREEDOMS)
            shape[3 + 2 * axle : 5 + 2 * axle] = 1.0, right
            shapes[f"{end} wheels hop {kind}"] = shape
    return shapes


def ride_ends(motions: SmallMotions) -> RideEnds:
    """Front and rear ride frequency: each end of the body alone on its two springs and tyres, the other end held.

    Args:
        motions: the car about where it sits
    """
    whole = motions.undamped.stiffness
    body, wheels = slice(HEAVE, ROLL), slice(3, FREEDOMS)
    condensed = whole[body, body] - whole[body, wheels] @ solved(whole[wheels, wheels], whole[wheels, body])
    front, rear = motions.foot[:2, 0].mean(), motions.foot[2:, 0].mean()
    lever = inverted(np.array([[1.0, -front], [1.0, -rear]]))  # heave and pitch of what the two ends rise
    rate = np.diagonal(lever.T @ condensed @ lever)
    share = (motions.body_at[0] - rear) / (front - rear)
    mass = motions.body_mass * np.array([share, 1 - share])
    return RideEnds(np.asarray(rate), mass, np.sqrt(rate / mass) / (2 * np.pi))


def _alike(mass: Array, pure: Array, shape: Array) -> Array:
    """Likeness of shapes, weighted by the masses that move: 1 alike, 0 strangers, shape (pure, shapes)."""
    moved = mass @ shape
    own = np.einsum("ik,ik->k", shape.conj(), moved).real
    ref = np.einsum("ik,ik->k", pure, mass @ pure)
    return np.asarray(np.abs(pure.T @ moved) ** 2 / (ref[:, None] * own))


def _pairs(alike: Array) -> tuple[IntArray, IntArray]:
    """Each row with the column that suits it, so that all together are most alike."""
    rows, columns = scipy.optimize.linear_sum_assignment(-alike)
    return np.asarray(rows), np.asarray(columns)


def _paired(motions: SmallMotions, shape: Array, found: DampedModes) -> list[Damping]:
    """The damped mode that belongs to each undamped one."""
    alike = _alike(motions.undamped.mass, shape, found.shape)
    rows, columns = _pairs(alike)
    which = dict(zip(rows.tolist(), columns.tolist(), strict=True))
    return [
        Damping(
            float(found.frequency[which[k]]),
            float(found.damped_frequency[which[k]]),
            float(found.ratio[which[k]]),
            bool(found.swings[which[k]]),
        )
        for k in range(shape.shape[1])
    ]


def _scaled(motions: SmallMotions, shape: Array) -> Array:
    """A shape whose largest rise of a wheel or of the body over one is 1 m upwards."""
    wheels = (motions.undamped.push / motions.tyre_rate).T @ shape
    x, y = motions.foot.T
    rises = np.concatenate((wheels, shape[HEAVE] - x * shape[PITCH] + y * shape[ROLL]))
    return np.asarray(shape / rises[np.argmax(np.abs(rises))])


def _node(shape: Array) -> float:
    """Where a shape's heave and pitch cancel, from the body's origin forward [m]."""
    return float(shape[HEAVE] / shape[PITCH]) if shape[PITCH] else float("nan")
