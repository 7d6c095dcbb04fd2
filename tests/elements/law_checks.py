"""A law's force is the slope of its energy, its stiffness the slope of its force: by an imaginary step, to rounding."""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

STEP = 1e-30


def check_derivatives(law, places, rtol=1e-12):
    """Energy, force and stiffness of a law at places away from its knots."""
    x = np.asarray(places) + 1j * STEP

    assert_allclose(law.energy(x).imag / STEP, law.force(x.real), rtol=rtol, atol=1e-9)
    assert_allclose(law.force(x).imag / STEP, law.stiffness(x.real), rtol=rtol, atol=1e-6)
    for function in (law.energy, law.force, law.stiffness):
        assert_allclose(function(x).real, function(x.real), rtol=1e-12, atol=1e-12)


def check_energy_is_the_area(law, low, high, rtol=1e-9):
    """Energy between two places by Gauss's rule over the force, piece by piece: needs no derivative of the law."""
    nodes, weights = np.polynomial.legendre.leggauss(12)
    edges = np.linspace(low, high, 401)
    middle, half = 0.5 * (edges[1:] + edges[:-1]), 0.5 * np.diff(edges)
    force = law.force((middle[:, None] + half[:, None] * nodes).ravel()).reshape(len(middle), -1)
    area = float((force @ weights * half).sum())

    assert_allclose(float(law.energy(np.array(high)) - law.energy(np.array(low))), area, rtol=rtol)
