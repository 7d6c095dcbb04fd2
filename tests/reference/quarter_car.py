"""One corner as two masses on two springs, undamped: the plain model beside which the whole car's modes are read."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class QuarterCarModes:
    """Body mode and wheel-hop mode, in this order along the last axis.

    ``angular_frequency`` in rad/s; ``wheel_per_body`` is the wheel's movement per movement of the body in that mode
    (positive: together, negative: against each other).
    """

    angular_frequency: Array
    wheel_per_body: Array

    @property
    def frequency(self) -> Array:
        """Natural frequencies [Hz]."""
        return np.asarray(self.angular_frequency / (2 * np.pi))


def undamped_modes(
    sprung_mass: float | Array, unsprung_mass: float | Array, ride_spring_rate: float | Array, tyre_rate: float | Array
) -> QuarterCarModes:
    """Natural frequencies and shapes of a sprung mass on a wheel on a tyre.

    ``K x = w² M x`` with ``M = diag(m_s, m_u)``, ``K = [[k_s, -k_s], [-k_s, k_s + k_t]]``.

    Args:
        sprung_mass: m_s, carried by one wheel, without the wheel's own [kg]
        unsprung_mass: m_u [kg]
        ride_spring_rate: k_s, the wheel rate, tyre excluded [N/m]
        tyre_rate: k_t, vertical [N/m]

    Returns:
        Both modes, shape (..., 2)

    Raises:
        InputError: a mass or rate that is not positive

    Source: Barton & Fieldhouse, Automotive Chassis Engineering, 2018, chapter 3.

    >>> undamped_modes(250.0, 30.0, 18e3, 160e3).frequency.round(3)
    array([ 1.28 , 12.267])

    """
    masses = (("sprung mass", sprung_mass), ("unsprung mass", unsprung_mass))
    rates = (("wheel rate", ride_spring_rate), ("tyre rate", tyre_rate))
    for (name, value), unit in [(pair, "kg") for pair in masses] + [(pair, "N/m") for pair in rates]:
        _check_positive(name, value, unit)
    body, wheel, spring, tyre = np.broadcast_arrays(
        *(np.asarray(x, float) for x in (sprung_mass, unsprung_mass, ride_spring_rate, tyre_rate))
    )
    coupling = -spring / np.sqrt(body * wheel)
    scaled = np.stack([spring / body, coupling, coupling, (spring + tyre) / wheel], -1).reshape(*body.shape, 2, 2)
    square, shape = np.linalg.eigh(scaled)
    wheel_per_body = shape[..., 1, :] / shape[..., 0, :] * np.sqrt(body / wheel)[..., None]
    return QuarterCarModes(np.sqrt(square), wheel_per_body)


def _check_positive(name: str, value: float | Array, unit: str) -> None:
    values = np.atleast_1d(np.asarray(value, float))
    bad = values[~(np.isfinite(values) & (values > 0))]
    if bad.size:
        raise InputError(
            f"The {name} of a quarter car is not positive",
            found=f"{bad[0]:.6g} {unit}",
            allowed=f"more than 0 {unit}",
            todo="Check the number and its unit.",
        )
