"""What acts on the car in a batch of states, by virtual work along its seven freedoms.

The freedoms are the body's heave, pitch and roll and the four wheel travels (front left, front right, rear left, rear
right). Forward, sideways and in yaw the car is held by what the tyres must give: their sums follow from the
accelerations. Weights and inertia act at the masses; a tyre's vertical force at its lowest point; its lateral and
longitudinal force where the wheel's plane meets the ground, on the carrier - but a driving force's torque about the
wheel's axis comes through the drive shafts from the body; only a driven beam takes it itself.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from jounce.behaviour.road.attitude import UP, Attitude, attitude
from jounce.behaviour.road.axle_path import AxlePath
from jounce.behaviour.road.loading import Loading
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.sharing import longitudinal
from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross

FREEDOMS = 7
_ROUNDS = 4  # of sharing: each brings it some four digits closer, while yaw is in balance to rounding after any
_STILL = 1e-9  # lateral force of an axle that counts as none [N]
HEAVE, PITCH, ROLL = 0, 1, 2
TRAVELS = (slice(3, 5), slice(5, 7))
"""Where the travels of front and rear axle are among the freedoms."""


@dataclass(frozen=True, slots=True)
class ForceState:
    """Forces in a batch of states; wheels are (front, rear) x (left, right).

    Attributes:
        unbalanced: generalised force that no element holds, along the freedoms, shape (states, 7) [N or N m]
        load: vertical load of each tyre, shape (states, 2, 2) [N]
        lateral: lateral force of each tyre, positive to the left, same shape [N]
        ahead: longitudinal force of each tyre, positive forward, same shape [N]
        centre: wheel centres, road axes, shape (states, 2, 2, 3) [m]
        axis: wheel axes, unit, pointing left, road axes, same shape [-]
        foot: where the wheels' planes meet the ground, same shape [m]
        ground: height of the ground under each wheel above where it was as found, shape (states, 2, 2) [m]
        body_centre: centre of gravity of the body and what is aboard, road axes, shape (states, 3) [m]
        split: shares of each axle's lateral force on its two tyres, shape (states, 2, 2) [-]

    """

    unbalanced: Array
    load: Array
    lateral: Array
    ahead: Array
    centre: Array
    axis: Array
    foot: Array
    ground: Array
    body_centre: Array
    split: Array

    def take(self, states: Array | slice) -> ForceState:
        """Some of the states."""
        return ForceState(*(getattr(self, field.name)[states] for field in fields(self)))


def acted(
    car: RoadCar,
    freedoms: Array,
    paths: tuple[AxlePath, AxlePath],
    acting: Loading,
    split: Array | None = None,
    rounds: int = 0,
) -> ForceState:
    """All forces in a batch of states.

    Args:
        car: the car
        freedoms: heave, pitch, roll and travels, shape (states, 7) [m or rad]
        paths: both axles at these travels
        acting: what happens to the car, spread over the states
        split: shares of each axle's lateral force on its left and right tyre, shape (states, 2, 2) [-]; found from the
            tyres when left out
        rounds: how often given shares are brought closer to the tyres'; one carries what perturbs the state, held by none
    """
    body = attitude(*freedoms[:, :3].T)
    pull = np.stack((-acting.ahead, -acting.across, np.full(len(freedoms), -GRAVITY)), -1)  # per mass
    wheels = _Wheels(car, body, paths, acting)
    load = wheels.loads()
    ahead = _longitudinal(car, acting, load)
    body_centre = _body_centre(car, body)
    demand = _Demand(car, acting, wheels, (ahead, body_centre))
    if split is None:
        split, rounds = np.full((len(load), 2, 2), 0.5), _ROUNDS
    for _ in range(rounds):
        split = _shared(car, load, demand.by(split), split)
    lateral = split * demand.by(split)[..., None]
    along = np.concatenate((ahead[..., None], lateral[..., None], np.zeros_like(load)[..., None]), axis=-1)
    force = _body_weights(car, body, pull)
    force = force + wheels.work(car.unsprung[..., None] * pull[:, None, None], load, along, ahead)
    pulls = [elastic_pull(car, axle, path) for axle, path in enumerate(paths)]
    force = force.astype(np.result_type(force, *pulls))  # springs alone may carry what perturbs a car of many
    for pull_of_axle, travels in zip(pulls, TRAVELS, strict=True):
        force[:, travels] = force[:, travels] - pull_of_axle
    places = (wheels.centre, wheels.axis, wheels.foot, acting.ground, body_centre, split)
    return ForceState(force, load, lateral, ahead, *places)


def elastic_pull(car: RoadCar, axle: int, path: AxlePath) -> Array:
    """Derivative of the elements' energy by both travels of an axle, shape (states, 2) [N]."""
    on_body = car.axles[axle]
    total = np.zeros_like(path.measure_rate[:, 0])
    for element in on_body.axle.elements.values():
        row = on_body.row[element.measure]
        force = element.sense * element.law.force(element.displacement(path.measure[:, row]))
        total = total + force[:, None] * path.measure_rate[:, row]
    return total


class _Wheels:
    """The four wheels on the road."""

    def __init__(self, car: RoadCar, body: Attitude, paths: tuple[AxlePath, AxlePath], acting: Loading) -> None:
        self.car, self.body, self.acting = car, body, acting
        self.arm = body.turned(np.stack([path.centre for path in paths], 1))
        self.centre = self.arm + body.heave[:, None, None, None] * UP
        self.axis = body.turned(np.stack([path.axis for path in paths], 1))
        self.paths = paths
        self.upright = np.sqrt(1 - self.axis[..., 2] ** 2)  # sine of the angle between axis and vertical
        rise = self.centre[..., 2] - car.road_height - acting.ground
        down = (UP - self.axis[..., 2:] * self.axis) / self.upright[..., None]
        self.foot = self.centre - down * (rise / self.upright)[..., None]

    def loads(self) -> Array:
        """Vertical load of each tyre, zero off the road, shape (states, 2, 2) [N]."""
        height = self.centre[..., 2] - self.car.radius * self.upright - self.acting.ground
        loads = [
            [tyre.law.force(tyre.displacement(height[:, axle, side])) for side, tyre in enumerate(tyres)]
            for axle, tyres in enumerate(self.car.tyres)
        ]
        return np.stack([np.stack(both, -1) for both in loads], 1)

    def work(self, weight: Array, load: Array, along: Array, driving: Array) -> Array:
        """Generalised forces of weights at the wheel centres and of the road, shape (states, 7).

        Args:
            weight: force at each wheel centre, shape (states, 2, 2, 3) [N]
            load: vertical load of each tyre [N]
            along: force in the road's plane at each foot, shape (states, 2, 2, 3) [N]
            driving: longitudinal force of each tyre; what drives turns no carrier [N]
        """
        arm, foot = self.arm, self.foot - self.body.heave[:, None, None, None] * UP
        total: Array = np.zeros((len(arm), FREEDOMS), np.result_type(arm, load, along))
        lean = self.car.radius * self.axis[..., 2] / self.upright
        moves = self.body.moves(arm)
        rise = moves[..., 2] + lean[..., None] * self.body.turns(self.axis)[..., 2]
        total[:, :3] = np.einsum("nasx,naswx->nw", weight, moves)
        total[:, :3] += np.einsum("nas,nasw->nw", load, rise)
        total[:, :3] += np.einsum("nasx,naswx->nw", along, self.body.moves(foot))
        moved, turned, swung = (self._turned(name) for name in ("centre_rate", "turn_rate", "axis_rate"))
        offset = self.foot - self.centre
        at_foot = np.stack([cross(turned[..., k], offset) for k in (0, 1)], -1)
        rising = moved[..., 2, :] + lean[..., None] * swung[..., 2, :]
        by_travel = (
            np.einsum("nasx,nasxu->nau", weight + along, moved)
            + np.einsum("nas,nasu->nau", load, rising)
            + np.einsum("nasx,nasxu->nau", along, at_foot)
        )
        drives = (driving.real > 0) & ~np.array([self.car.live(axle) for axle in (0, 1)])[:, None]
        if drives.any():
            drive = np.where(drives[..., None], driving[..., None] * AHEAD, 0.0)
            by_travel = by_travel - shaft_work(offset, drive, self.axis, turned)
        total[:, TRAVELS[0].start :] = by_travel.reshape(len(total), -1)
        return total

    def _turned(self, name: str) -> Array:
        """A rate of both axles in the road's axes, shape (states, 2, 2, 3, 2)."""
        rate = np.stack([getattr(path, name) for path in self.paths], 1)
        return np.asarray(np.einsum("nij,nasju->nasiu", self.body.rotation, rate))


AHEAD = np.array([1.0, 0.0, 0.0])


def shaft_work(offset: Array, drive: Array, axis: Array, turned: Array) -> Array:
    """Work per travel of the torque that drive shafts, and not the carriers, take off the wheels.

    Args:
        offset: from wheel centre to foot, shape (..., 2, 3) [m]
        drive: driving force of each wheel, shape (..., 2, 3) [N]
        axis: wheel axes, shape (..., 2, 3) [-]
        turned: turn of the carriers per travel, shape (..., 2, 3, 2) [rad/m]

    Returns:
        Shape (..., 2) [N]
    """
    torque = np.sum(cross(offset, drive) * axis, axis=-1)
    return np.asarray(np.einsum("...s,...sx,...sxu->...u", torque, axis, turned))


def _body_weights(car: RoadCar, body: Attitude, pull: Array) -> Array:
    """Generalised forces of the masses fixed to the body, shape (states, 7)."""
    mass, at = car.body_masses()
    arm = body.turned(np.broadcast_to(at, (len(pull), *at.shape[-2:])))
    total = np.zeros((len(pull), FREEDOMS), np.result_type(arm, pull, mass))
    total[:, :3] = np.einsum("nm,nx,nmwx->nw", np.broadcast_to(mass, arm.shape[:-1]), pull, body.moves(arm))
    return total


def _body_centre(car: RoadCar, body: Attitude) -> Array:
    mass, at = car.body_masses()
    middle = np.einsum("...m,...mx->...x", mass, at) / mass.sum(axis=-1)[..., None]
    return np.asarray(body.turned(np.broadcast_to(middle, (len(body.heave), 3))) + body.heave[:, None] * UP)


def _longitudinal(car: RoadCar, acting: Loading, load: Array) -> Array:
    """Longitudinal force of each tyre that holds the car in its acceleration, shape (states, 2, 2) [N]."""
    demand = (car.mass * acting.ahead)[:, None] * car.driveline.shares(acting.ahead)
    return longitudinal(load.reshape(-1, 2), demand.reshape(-1), car.driveline.friction).reshape(load.shape)


class _Demand:
    """Lateral force of each axle that holds the car sideways and does not turn it in yaw."""

    def __init__(self, car: RoadCar, acting: Loading, wheels: _Wheels, known: tuple[Array, Array]) -> None:
        ahead, body_centre = known
        self.wanted = car.mass * acting.across
        self.forward = wheels.foot[..., 0]
        turning = np.einsum("nas,nas->n", wheels.foot[..., 1], ahead)
        self.moment = _inertia_in_yaw(car, wheels, acting, body_centre) + turning

    def by(self, split: Array) -> Array:
        """Where an axle's force acts depends a little on how its tyres share it; shape (states, 2) [N]."""
        mean = np.einsum("nas,nas->na", split, self.forward)
        front = (self.moment - mean[:, 1] * self.wanted) / (mean[:, 0] - mean[:, 1])
        return np.stack((front, self.wanted - front), -1)


def _shared(car: RoadCar, load: Array, demand: Array, split: Array) -> Array:
    """Shares of an axle's force on its two tyres; as they were where there is no force, shape (states, 2, 2) [-]."""
    if car.sharing[0] == car.sharing[1]:
        given = car.sharing[0].lateral(load.reshape(-1, 2), demand.reshape(-1)).reshape(load.shape)
    else:
        given = np.stack([car.sharing[a].lateral(load[:, a], demand[:, a]) for a in (0, 1)], axis=1)
    still = (np.abs(demand.real) < _STILL)[..., None]
    return np.asarray(np.where(still, split, given / np.where(still, 1.0, demand[..., None])))


def _inertia_in_yaw(car: RoadCar, wheels: _Wheels, acting: Loading, body_centre: Array) -> Array:
    """Moment about the road's vertical at the body's origin with which the masses resist, shape (states,) [N m]."""
    hanging = np.broadcast_to(car.unsprung, wheels.centre.shape[:-1])
    body_mass = np.asarray(car.mass - car.unsprung.sum(axis=(-2, -1)))
    centre = body_mass[..., None] * body_centre + np.einsum("nas,nasx->nx", hanging, wheels.centre)
    return np.asarray(centre[:, 0] * acting.across - centre[:, 1] * acting.ahead)
