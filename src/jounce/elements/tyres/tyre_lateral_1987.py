"""Lateral force of a tyre by the magic formula as it was first published: load in kN, slip in degrees, no camber.

Here slip and force are counted in the same sense: see `tyre_lateral`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError, check_range
from jounce.conventions.units import DEG, KN
from jounce.elements.tyres.magic_formula import MagicShape
from jounce.numerics.arrays import Array

_NO_LOAD = 1e-3  # below it a tyre gives nothing [N]
_COUNT = 8
_GRIP_FROM, _GRIP_TO = 0.02, 4.0  # peak per load that any tyre on any road has [-]


@dataclass(frozen=True, slots=True)
class MagicFormula1987:
    """Eight coefficients a1 to a8 for load in kN, slip in degrees, force in N; see `tyre_lateral` for the senses.

    ``D = a1 F² + a2 F``, ``B C D = a3 sin(a4 atan(a5 F))``, ``C`` = ``shape``, ``E = a6 F² + a7 F + a8``. ``grip``
    multiplies D and leaves the slope at no slip: another road or compound, same carcass. Under no load there is no force.
    ``known_to`` [N] is the highest load at which the coefficients were fitted.

    Valid for: zero camber, free rolling, slip angles to about 15 deg, loads up to ``known_to``.
    Source: E. Bakker, L. Nyborg and H. B. Pacejka, SAE 870421 (1987).

    >>> tyre = MagicFormula1987((-22.1, 1011, 1078, 1.82, 0.208, 0, -0.354, 0.707))
    >>> tyre.force(np.array([4000.0]), np.radians([4.0])).round(2).tolist()
    [3096.61]
    """

    coefficients: tuple[float, ...]
    grip: float = 1.0
    shape: float = 1.30
    known_to: float = 8000.0

    def __post_init__(self) -> None:
        if len(self.coefficients) != _COUNT or not np.all(np.isfinite(self.coefficients)):
            raise InputError(
                "A lateral force needs eight coefficients",
                found=f"{len(self.coefficients)}: {', '.join(f'{a:g}' for a in self.coefficients)}",
                allowed="a1 to a8, for load in kN, slip in deg, force in N",
            )
        check_range("grip of the tyre", self.grip, 0.1, 3.0, "", "1 is the grip of the coefficients.")
        check_range("shape factor C of the lateral force", self.shape, 1.0, 1.99, "", "1.3 is usual.")
        check_range("highest load of the tyre's data", self.known_to, 500, 100_000, "N", "Give it in newtons.")
        self._check_loads()

    def _check_loads(self) -> None:
        """Peak and slope above zero and a curvature below one, at every load that is known."""
        load = np.linspace(0.01, 1.0, 100) * self.known_to
        shape = self._shape(load)
        held = shape.peak / load
        good = (held > _GRIP_FROM) & (held < _GRIP_TO) & (shape.factor > 0) & (shape.curvature <= 1.0)
        if not np.all(good):
            raise InputError(
                "These coefficients give no lateral force that rises to a peak",
                found=f"D {float(shape.peak[~good][0]):.6g} N, B C D "
                f"{float((shape.peak * shape.shape * shape.factor)[~good][0]):.6g} N/deg, E "
                f"{float(shape.curvature[~good][0]):.6g} at {float(load[~good][0]):.6g} N",
                allowed=f"D {_GRIP_FROM:g} to {_GRIP_TO:g} of the load, B C D above zero, E up to 1",
                todo="Check the order and the units of a1 to a8: load in kN, slip in deg, force in N.",
            )

    def force(self, load: Array, slip: Array) -> Array:
        """Lateral force at a slip angle [rad] under a vertical load [N], in N."""
        return self.curve(load).value(slip)

    def stiffness(self, load: Array, slip: Array) -> Array:
        """Its derivative by slip; at no slip the cornering stiffness [N/rad]."""
        return self.curve(load).slope(slip)

    def peak_slip(self, load: Array) -> Array:
        """Slip at which it gives most under a load [N], in rad."""
        return self.curve(load).peak_slip()

    def peak(self, load: Array) -> Array:
        """Most that it gives under a load [N], in N."""
        return self.curve(load).peak

    def curve(self, load: Array) -> MagicShape:
        """Force [N] over slip [rad] under loads [N], any shape; it gives nothing off the road."""
        shape = self._shape(load)
        peak = np.asarray(np.where(np.real(load) > _NO_LOAD, shape.peak, 0.0))
        return MagicShape(peak, shape.shape, np.asarray(shape.factor / DEG), shape.curvature)

    def known(self, load: Array) -> Array:
        """Whether the coefficients reach a load [N], true or false [-]."""
        return np.asarray(np.real(load) <= self.known_to)

    def _shape(self, load: Array) -> MagicShape:
        a1, a2, a3, a4, a5, a6, a7, a8 = self.coefficients
        f = np.where(np.real(load) > _NO_LOAD, load, _NO_LOAD) / KN
        peak = np.asarray(self.grip * (a1 * f**2 + a2 * f))
        slope = np.asarray(a3 * np.sin(a4 * np.arctan(a5 * f)))
        curvature = np.asarray(a6 * f**2 + a7 * f + a8)
        return MagicShape(peak, np.asarray(self.shape), np.asarray(slope / (self.shape * peak)), curvature)
