"""The car about where it sits, linear: exact masses, stiffness, dampers and road along its seven freedoms.

Straight ahead the tyres give nothing along the road, so the car as a whole keeps still fore-and-aft and sideways: the
motion of all masses together in the road's plane is taken out. It does not yaw.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.ride.dampers import measuring_dampers
from jounce.behaviour.ride.vibration import Vibration
from jounce.behaviour.road.around import around, perturbed, tangent
from jounce.behaviour.road.attitude import Attitude, attitude
from jounce.behaviour.road.axle_path import damper_measures
from jounce.behaviour.road.equilibrium import AtRest, at_rest
from jounce.behaviour.road.forces import FREEDOMS, TRAVELS, acted
from jounce.behaviour.road.loading import Loading, steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.conventions.axes import Corner
from jounce.conventions.errors import Impossible
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array, numbers
from jounce.numerics.complex_step import STEP

CORNERS = 4


@dataclass(frozen=True, slots=True)
class SmallMotions:
    """The car about where it sits.

    Attributes:
        car: the car
        rest: where it sits, one state
        undamped: masses, stiffness and road, without dampers
        damper_rate: growth of each damper's length per freedom, corners as the wheels, shape (4, 7) [- or m/rad]
        tyre_rate: of each tyre where it stands, shape (4,) [N/m]
        load: of each tyre there, shape (4,) [N]
        foot: wheel centres on the road's plane, shape (4, 2) [m]
        body_at: centre of the body with what is aboard, from the body's origin, road axes, shape (3,) [m]
        body_mass: mass of it [kg]

    """

    car: RoadCar
    rest: AtRest
    undamped: Vibration
    damper_rate: Array
    tyre_rate: Array
    load: Array
    foot: Array
    body_at: Array
    body_mass: float

    @property
    def corners(self) -> tuple[Corner, ...]:
        """Axle and side of each wheel, in the order of all arrays."""
        return tuple((name, side) for name in self.car.names for side in SIDES)

    @property
    def wheelbase(self) -> float:
        """Distance of the axles' middles along the road [m]."""
        x = self.foot[:, 0]
        return float(0.5 * (x[0] + x[1] - x[2] - x[3]))

    def damped(self, damping: Mapping[Corner, float]) -> Vibration:
        """The system with dampers.

        Args:
            damping: force per rod speed of each damper [N s/m]
        """
        each = np.array([damping[corner] for corner in self.corners])
        return self.undamped.with_damping(self.damper_rate.T @ (each[:, None] * self.damper_rate))

    def raised(self, at: Array) -> Array:
        """Rise of a point of the body per freedom, shape (7,) [- or m/rad].

        Args:
            at: the point, body axes as found, shape (3,) [m]
        """
        body = attitude(*self.rest.freedoms[:, :3].T)
        up = np.zeros(FREEDOMS)
        up[:3] = body.moves(body.turned(np.reshape(at, (1, 3))))[0, :, 2]
        return up


def small_motions(car: RoadCar, own_inertia: Array) -> SmallMotions:
    """Linearise a car about where it sits.

    Args:
        car: the car, with what is aboard
        own_inertia: principal moments of its body, see `inertia.body_inertia` [kg m²]

    Raises:
        Impossible: the car finds no rest
    """
    rest = at_rest(car, steady())
    if not rest.reached[0]:
        raise Impossible("The car finds no rest on its wheels: a spring may be far too soft, short or loose.")
    _, slope, _ = tangent(car, rest.freedoms, steady())
    stiffness = -0.5 * (slope[0] + slope[0].T)  # symmetric but for rounding: everything that acts here has an energy
    push, tyre_rate = _road(car, rest)
    body = attitude(*rest.freedoms[:, :3].T)
    masses, places = car.body_masses()
    system = Vibration(moving_masses(car, rest, body, own_inertia), np.zeros((FREEDOMS, FREEDOMS)), stiffness, push)
    return SmallMotions(
        car,
        rest,
        system,
        _damper_rates(car, rest),
        tyre_rate,
        rest.acted.load[0].ravel(),
        rest.acted.centre[0].reshape(CORNERS, 3)[:, :2],
        body.turned((masses @ places / masses.sum())[None])[0],
        float(masses.sum()),
    )


def held(motions: SmallMotions, own_inertia: Array) -> Vibration:
    """The same car, its tyres held sideways by the road as when it is rocked by hand: only its own sliding is free.

    In `SmallMotions.undamped` nothing holds the tyres sideways: in quick swings they follow the body's roll freely.

    Args:
        motions: the car about where it sits
        own_inertia: principal moments of its body [kg m²]
    """
    car, rest = motions.car, motions.rest
    near = around(car, rest.freedoms, steady())
    spread = steady(np.zeros(FREEDOMS))  # one state for each perturbed freedom
    moved = acted(car, perturbed(rest.freedoms), near.perturbed, spread).foot.imag / STEP
    body = attitude(*rest.freedoms[:, :3].T)
    mass = moving_masses(car, rest, body, own_inertia, feet=moved.reshape(FREEDOMS, CORNERS, 3).mean(axis=1))
    return replace(motions.undamped, mass=mass)


def moving_masses(car: RoadCar, rest: AtRest, body: Attitude, own_inertia: Array, feet: Array | None = None) -> Array:
    """Kinetic energy per squares of the freedoms' speeds, twice; the whole car's sliding taken out.

    Sideways the car slides as nothing holds it; or, where the mean of its ``feet`` per freedom is given (7, 3), so that
    they stay where they are.
    """
    mass, at = car.body_masses()
    ways = np.zeros((len(mass) + CORNERS, FREEDOMS, 3))
    ways[: len(mass), :3] = body.moves(body.turned(at[None]))[0]
    for axle, (path, travels) in enumerate(zip(rest.paths, TRAVELS, strict=True)):
        rows = slice(len(mass) + 2 * axle, len(mass) + 2 * axle + 2)
        ways[rows, :3] = body.moves(body.turned(path.centre))[0]
        ways[rows, travels] = np.einsum("ij,sju->sui", body.rotation[0], path.centre_rate[0])
    every = np.concatenate((mass, car.unsprung.ravel()))
    sliding = np.einsum("m,mwx->wx", every, ways) / every.sum()
    if feet is not None:
        sliding[:, 1] = feet[:, 1]
    ways[..., :2] -= sliding[:, :2]
    turning = np.zeros((FREEDOMS, 3))
    turning[1:3] = np.stack(([0.0, 1.0, 0.0], body.roll_axis[0])) @ body.rotation[0]  # in the body's own axes
    return np.asarray(np.einsum("m,mwx,mvx->wv", every, ways, ways) + (turning * own_inertia) @ turning.T)


def _road(car: RoadCar, rest: AtRest) -> tuple[Array, Array]:
    """Force along the freedoms per height of the ground under each wheel (7, 4), and the tyres' rates (4,)."""
    ground = numbers(1j * STEP * np.eye(CORNERS).reshape(CORNERS, 2, 2))
    still = np.zeros(CORNERS)
    there = (rest.paths[0].take(np.zeros(CORNERS, int)), rest.paths[1].take(np.zeros(CORNERS, int)))
    at = numbers(np.repeat(rest.freedoms, CORNERS, axis=0) + 0j)
    found = acted(car, at, there, Loading(still, still, ground, still))
    rate = np.diagonal(found.load.reshape(CORNERS, CORNERS)).imag / STEP
    return np.asarray(found.unbalanced.imag.T / STEP), np.asarray(rate)


def _damper_rates(car: RoadCar, rest: AtRest) -> Array:
    rates = np.zeros((CORNERS, FREEDOMS))
    for axle, travels in enumerate(TRAVELS):
        measured = measuring_dampers(car.axles[axle])
        path, _ = measured.at(rest.freedoms[:, travels])
        for side, name in enumerate(damper_measures(measured.axle)):
            rates[2 * axle + side, travels] = path.measure_rate[0, measured.row[name]]
    return rates
