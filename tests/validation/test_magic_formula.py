"""Lateral tyre force: Bakker, Nyborg and Pacejka, SAE 870421 (1987), and Pacejka, 3rd ed. (2012), appendix 3.

Coefficients are published and were read in public transcriptions; neither source's tables of forces were seen: the forces
were computed from the coefficients by a second program.
"""

from __future__ import annotations

import numpy as np
import pytest

from jounce.conventions.errors import InputError
from jounce.elements.tyres.tyre_lateral import (
    EXAMPLE_205_60_R15,
    EXAMPLE_1987,
    EXAMPLE_TYRES,
    MagicFormula61,
    MagicFormula1987,
)
from tests.published import Published

DEG = float(np.radians(1.0))
LOADS = (2000.0, 4000.0, 6000.0, 8000.0)
SLIPS = (1, 2, 4, 6, 8, 10)


def _of_1987(quantity: str, printed: str, unit: float = 1.0) -> Published:
    return Published(
        quantity=quantity,
        source="sae-870421",
        where="coefficients of Tables 2 and 3",
        printed=printed,
        unit=unit,
        status="F",
    )


_FORCES = {
    2: "676.25 1197.06 1722.54 1885.92 1928.73 1932.82",
    4: "1009.38 1911.06 3096.61 3553.50 3676.79 3688.35",
    6: "1071.95 2110.43 3833.10 4794.42 5166.09 5264.56",
    8: "1029.93 2061.02 4011.22 5464.51 6253.25 6576.22",
}
FORCES_1987 = {
    (1e3 * load, slip): _of_1987(f"lateral force at {load} kN, {slip} deg", printed)
    for load, row in _FORCES.items()
    for slip, printed in zip(SLIPS, row.split(), strict=True)
}
PEAKS_1987 = {
    load: _of_1987(f"D at {load / 1e3:g} kN", printed)
    for load, printed in zip(LOADS, ("1933.60", "3690.40", "5270.40", "6673.60"), strict=True)
}
SLOPES_1987 = {
    load: _of_1987(f"B C D at {load / 1e3:g} kN, per degree", printed, unit=1 / DEG)
    for load, printed in zip(LOADS, ("708.777", "1027.335", "1076.149", "1028.827"), strict=True)
}
SENSITIVITY_1987 = {
    load: _of_1987(f"D per load at {load / 1e3:g} kN", printed)
    for load, printed in zip(LOADS, ("0.9668", "0.9226", "0.8784", "0.8342"), strict=True)
}


def _own_fit(quantity: str, printed: str, rel: float, unit: float = 1.0) -> Published:
    return Published(
        quantity=quantity,
        source="sae-870421",
        where="the paper's fit to each load by itself",
        printed=printed,
        unit=unit,
        status="M",
        rel=rel,
        tolerance_note="the polynomials over load smooth four fits: within 1.1 % for D and 1.4 % for B C D",
    )


_FITS = {2: (0.244, 1.50, 1936.0, -0.132), 4: (0.239, 1.19, 3650.0, -0.678), 6: (0.164, 1.27, 5237.0, -1.61)}
_FITS[8] = (0.112, 1.36, 6677.0, -2.16)
FITTED_PEAKS = {
    1e3 * load: _own_fit(f"D at {load} kN, own fit", f"{fit[2]:.0f}", 0.0115) for load, fit in _FITS.items()
}
FITTED_SLOPES = {
    1e3 * load: _own_fit(f"B C D at {load} kN, own fit, per degree", f"{b * c * d:.1f}", 0.014, 1 / DEG)
    for load, (b, c, d, _) in _FITS.items()
}


@pytest.mark.parametrize(("load", "slip"), FORCES_1987)
def test_forces_of_1987(load: float, slip: int):
    assert float(EXAMPLE_1987.force(np.array(load), np.radians(slip))) == FORCES_1987[load, slip].match()


@pytest.mark.parametrize("load", LOADS)
def test_peak_and_slope_of_1987(load: float):
    at = np.array(load)

    assert float(EXAMPLE_1987.peak(at)) == PEAKS_1987[load].match()
    assert float(EXAMPLE_1987.peak(at)) / load == SENSITIVITY_1987[load].match()
    assert float(EXAMPLE_1987.stiffness(at, np.array(0.0))) == SLOPES_1987[load].match()


@pytest.mark.parametrize("load", LOADS)
def test_the_paper_s_own_fits_lie_near(load: float):
    at = np.array(load)

    assert float(EXAMPLE_1987.peak(at)) == FITTED_PEAKS[load].match()
    assert float(EXAMPLE_1987.stiffness(at, np.array(0.0))) == FITTED_SLOPES[load].match()


def test_load_sensitivity_of_1987_by_searching_the_peak():
    load = np.array(LOADS)
    slip = np.radians(np.linspace(0.1, 40, 4000))
    most = EXAMPLE_1987.force(load[:, None], slip[None]).max(axis=1)

    assert most == pytest.approx([PEAKS_1987[one].value for one in LOADS], rel=1e-5)


def _of_2012(quantity: str, printed: str) -> Published:
    return Published(
        quantity=quantity, source="pacejka-2012", where="coefficients of appendix 3", printed=printed, status="F"
    )


_SLIPS_2012 = (-2, -4, -8, 2, 4, 8)
_FORCES_2012 = {
    2: "1075.0 1590.1 1772.4 -998.1 -1611.6 -1869.0",
    4: "1810.5 2932.2 3481.9 -1694.4 -2877.3 -3523.9",
    6: "2136.5 3787.5 5056.3 -1983.4 -3602.6 -4891.1",
}
FORCES_2012 = {
    (1e3 * load, slip): _of_2012(f"205/60R15: lateral force at {load} kN, {slip} deg", printed)
    for load, row in _FORCES_2012.items()
    for slip, printed in zip(_SLIPS_2012, row.split(), strict=True)
}
STIFFNESS_2012 = {
    load: _of_2012(f"205/60R15: cornering stiffness at {load / 1e3:g} kN [N/rad]", printed)
    for load, printed in ((2000.0, "-32948.488"), (4000.0, "-53353.127"), (6000.0, "-60753.122"))
}
FRICTION_2012 = {
    load: _of_2012(f"205/60R15: peak lateral force per load at {load / 1e3:g} kN", printed)
    for load, printed in ((2000.0, "0.91076"), (4000.0, "0.87850"), (6000.0, "0.84624"))
}


@pytest.mark.parametrize(("load", "slip"), FORCES_2012)
def test_forces_of_2012(load: float, slip: int):
    force = float(EXAMPLE_205_60_R15.signed_force(np.array(load), np.radians(slip)))

    assert force == FORCES_2012[load, slip].match()


@pytest.mark.parametrize("load", STIFFNESS_2012)
def test_stiffness_and_friction_of_2012(load: float):
    assert float(EXAMPLE_205_60_R15.cornering_stiffness(np.array(load))) == STIFFNESS_2012[load].match()
    assert float(EXAMPLE_205_60_R15.friction(np.array(load))) == FRICTION_2012[load].match()


def test_without_shifts_both_senses_are_the_mean_of_the_source_s():
    """To first order: the shifts move the curve, the difference of curvature bends it oppositely on the two sides."""
    load, slip = np.array(4000.0), np.radians(4.0)
    signed = [float(EXAMPLE_205_60_R15.signed_force(load, np.array(sense * slip))) for sense in (-1, 1)]

    assert float(EXAMPLE_205_60_R15.force(load, slip)) == pytest.approx((signed[0] - signed[1]) / 2, rel=2e-3)


@pytest.mark.parametrize("name", EXAMPLE_TYRES)
def test_the_slope_is_the_force_s_own(name: str):
    tyre, step = EXAMPLE_TYRES[name], 1e-20
    load = np.array([800.0, 2500.0, 5000.0])[:, None]
    slip = np.radians([0.5, 2.0, 5.0, 12.0])[None]
    slope = tyre.force(load, slip + 1j * step).imag / step

    assert tyre.stiffness(load, slip) == pytest.approx(slope, rel=1e-12)


@pytest.mark.parametrize("name", EXAMPLE_TYRES)
def test_a_tyre_off_the_road_gives_nothing(name: str):
    tyre = EXAMPLE_TYRES[name]

    assert tyre.force(np.array([0.0]), np.array([0.1])).tolist() == [0.0]
    assert tyre.stiffness(np.array([0.0]), np.array([0.1])).tolist() == [0.0]
    assert tyre.known_to == 8e3


def test_grip_scales_the_most_and_leaves_the_cornering_stiffness():
    slippery = MagicFormula1987(EXAMPLE_1987.coefficients, grip=0.5)
    load, none, much = np.array([4000.0]), np.array([0.0]), np.array([0.5])

    assert slippery.stiffness(load, none) == pytest.approx(EXAMPLE_1987.stiffness(load, none), rel=1e-12)
    assert slippery.force(load, much).max() < 0.56 * EXAMPLE_1987.force(load, much).max()


def test_coefficients_that_are_none_are_refused():
    with pytest.raises(InputError, match="eight coefficients"):
        MagicFormula1987((1.0, 2.0))
    with pytest.raises(InputError, match="lacks coefficients"):
        MagicFormula61(4000.0, {"pCy1": 1.3})
    with pytest.raises(InputError, match="grip"):
        MagicFormula1987(EXAMPLE_1987.coefficients, grip=10.0)
