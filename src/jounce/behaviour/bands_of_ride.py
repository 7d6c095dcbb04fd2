"""How far modes, damping ratios and ride frequencies may be off: every stated ± followed through the swinging car.

One car for each error, of the size of its shown band, all linearised at once where each comes to rest; what an error does
adds up as squares. Damper curves come from a bench as tables without a ±: what they may be off is not in it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.bands import RestPlace, Slopes, VariedCar, settings_of
from jounce.behaviour.ride.dampers import measuring_dampers
from jounce.behaviour.ride.inertia import estimated_inertia
from jounce.behaviour.ride.modes import modes, ride_ends
from jounce.behaviour.ride.small_motions import SmallMotions, moving_masses
from jounce.behaviour.ride.vibration import Vibration
from jounce.behaviour.road.attitude import attitude
from jounce.behaviour.road.axle_path import AxleOnBody, AxlePath, damper_measures
from jounce.behaviour.road.forces import FREEDOMS, TRAVELS, acted
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.road_car import RoadCar, road_car
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AXLES, AxleModel
from jounce.conventions.axes import Corner
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP

__all__ = ["ride_bands", "ride_numbers", "swinging_cars"]


def ride_bands(
    car: VariedCar, slopes: Slopes, motions: SmallMotions, damping: Mapping[Corner, float] | None
) -> dict[str, float]:
    """Half widths of the bands (9 in 10) of what `ride_numbers` tells.

    Args:
        car: the car and how it varies
        slopes: its derivatives where it stands
        motions: the same about where it sits
        damping: force per rod speed of each damper, None where one is not known [N s/m]
    """
    place = slopes.place
    if not slopes.inputs:
        return {}
    changes = np.array([one.plus_minus * SHOWN_PER_TYPED for one in slopes.inputs])
    variants = car.varied(slopes.inputs, changes)
    models: dict[str, AxleModel] = {axle: variants.axle(axle) for axle in AXLES}
    at = place.freedoms + slopes.rest.freedoms * changes[:, None]
    many = swinging_cars(motions, (variants.document, models, place), at)
    if not all(np.isfinite(one.undamped.stiffness).all() and np.isfinite(one.undamped.mass).all() for one in many):
        return {}  # an error of this size takes the car where it does not stand
    still = ride_numbers(motions, damping)
    called = {mode.name: mode.shape for mode in modes(motions)}
    each = [ride_numbers(one, damping, called) for one in many]
    found = {name: float(np.sqrt(sum((one[name] - value) ** 2 for one in each))) for name, value in still.items()}
    return {name: band for name, band in found.items() if np.isfinite(band)}


def ride_numbers(
    motions: SmallMotions, damping: Mapping[Corner, float] | None, called: Mapping[str, Array] | None = None
) -> dict[str, float]:
    """Frequencies of a car's modes by their names and ``.ratio`` of their damping, and of its two ends [Hz, -].

    Args:
        motions: the car about where it sits
        damping: force per rod speed of each damper, None where one is not known [N s/m]
        called: shapes that the modes are named after, as of `modes`
    """
    told: dict[str, float] = {}
    for mode in modes(motions, None if damping is None else motions.damped(damping), called):
        told[mode.name] = mode.frequency
        if mode.damping is not None:
            told[f"{mode.name}.ratio"] = mode.damping.ratio
    ends = ride_ends(motions)
    return told | {axle: float(ends.frequency[k]) for k, axle in enumerate(AXLES)} | {"ends": ends.ratio}


@dataclass(frozen=True, slots=True)
class _Standing:
    """Many cars where they stand: freedoms (cars, 7), and both axles as they are and as their own travels perturb them."""

    car: RoadCar
    at: Array
    paths: tuple[tuple[AxlePath, ...], ...]

    def path(self, axle: int, freedom: int) -> AxlePath:
        """An axle with one freedom of the car perturbed."""
        own = range(*TRAVELS[axle].indices(FREEDOMS))
        return self.paths[axle][1 + own.index(freedom) if freedom in own else 0]


def swinging_cars(
    motions: SmallMotions, many: tuple[CarDocument, Mapping[str, AxleModel], RestPlace], at: Array
) -> list[SmallMotions]:
    """Many cars, each about where it sits; tyres' shares in naming the modes are those of the one that they vary.

    Args:
        motions: the car that they vary
        many: the document that stands for them, their axles, and where the one stands
        at: freedoms at rest, shape (cars, 7) [m or rad]
    """
    document, models, place = many
    settings = {name: value for model in models.values() for name, value in settings_of(model, place.adjusted).items()}
    height = document.mass.centre_of_gravity_height.value
    car = road_car(models["front"], models["rear"], height, settings, motions.car.driveline)  # type: ignore[arg-type]
    front, rear = (measuring_dampers(on_body) for on_body in car.axles)
    car = replace(car, axles=(front, rear), sharing=motions.car.sharing)
    standing = _Standing(car, at, tuple(_around(car.axles[k], at[:, TRAVELS[k]]) for k in (0, 1)))
    stiffness, rates = _stiffness(standing), _damper_rates(standing)
    own = _own_inertia(car, document, len(at))
    return [_one(motions, standing, k, (stiffness[k], rates[k], own[k])) for k in range(len(at))]


def _around(axle: AxleOnBody, travels: Array) -> tuple[AxlePath, ...]:
    return tuple(axle.at(travels + 1j * STEP * way)[0] for way in np.vstack((np.zeros(2), np.eye(2))))


def _stiffness(standing: _Standing) -> Array:
    """Of each car, shape (cars, 7, 7)."""
    columns = []
    for freedom, way in enumerate(np.eye(FREEDOMS)):
        paths = (standing.path(0, freedom), standing.path(1, freedom))
        spread = steady(np.zeros(len(standing.at)))
        columns.append(acted(standing.car, standing.at + 1j * STEP * way, paths, spread).unbalanced.imag / STEP)
    slope = np.stack(columns, -1)
    return np.asarray(-0.5 * (slope + slope.swapaxes(1, 2)))


def _damper_rates(standing: _Standing) -> Array:
    """Growth of each damper's length per freedom, shape (cars, 4, 7)."""
    rates = np.zeros((len(standing.at), 4, FREEDOMS))
    for k, travels in enumerate(TRAVELS):
        on_body = standing.car.axles[k]
        for side, name in enumerate(damper_measures(on_body.axle)):
            rates[:, 2 * k + side, travels] = standing.paths[k][0].measure_rate[:, on_body.row[name]].real
    return rates


def _own_inertia(car: RoadCar, document: CarDocument, count: int) -> Array:
    """Principal moments of each body, see `inertia.body_inertia`, shape (cars, 3) [kg m²]."""
    still = [axle.at(np.zeros((count, 2)))[0].centre.real for axle in car.axles]
    centre = np.broadcast_to(car.sprung_centre, (count, 3))[:, None]
    at = np.concatenate((*still, centre), axis=1)
    unsprung = np.broadcast_to(car.unsprung, (count, 2, 2)).reshape(count, 4)
    masses = np.concatenate((unsprung, np.broadcast_to(car.sprung_mass, count)[:, None]), axis=1)
    apart = at - np.einsum("ci,cix->cx", masses, at)[:, None] / masses.sum(axis=1)[:, None, None]
    square = (apart**2).sum(axis=2, keepdims=True) - apart**2
    guesses = [estimated_inertia(float(mass)) for mass in np.broadcast_to(document.mass.total, count)]
    whole = np.array([(one.roll, one.pitch, one.yaw) for one in guesses])
    for k, given in enumerate((document.mass.roll_inertia, document.mass.pitch_inertia)):
        if given is not None:
            whole[:, k] = given.value
    return np.asarray(whole - np.einsum("ci,cix->cx", masses, square))


def _one(motions: SmallMotions, standing: _Standing, k: int, own: tuple[Array, Array, Array]) -> SmallMotions:
    stiffness, rates, inertia = own
    many, count, one = standing.car, len(standing.at), slice(k, k + 1)
    car = replace(
        motions.car,
        sprung_mass=np.broadcast_to(many.sprung_mass, count)[k],
        sprung_centre=np.broadcast_to(many.sprung_centre, (count, 3))[k],
        unsprung=np.broadcast_to(many.unsprung, (count, 2, 2))[k],
    )
    paths = (standing.paths[0][0].take(one).real, standing.paths[1][0].take(one).real)
    rest = replace(motions.rest, freedoms=standing.at[one], paths=paths)
    body = attitude(*rest.freedoms[:, :3].T)
    masses, places = car.body_masses()
    system = Vibration(
        moving_masses(car, rest, body, inertia), np.zeros((FREEDOMS, FREEDOMS)), stiffness, motions.undamped.push
    )
    return replace(
        motions,
        car=car,
        rest=rest,
        undamped=system,
        damper_rate=rates,
        foot=np.concatenate([body.turned(path.centre)[0] for path in paths])[:, :2],
        body_at=body.turned((masses @ places / masses.sum())[None])[0],
        body_mass=float(masses.sum()),
    )
