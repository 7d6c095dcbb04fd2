"""Random roads: the classes of ISO 8608, the closed forms of Gobbi & Mastinu for a quarter car, ISO 2631-1 weighting."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from jounce.behaviour.ride.comfort import reactions, seat_weighting
from jounce.behaviour.ride.road_surface import CLASSES, Road, coherence, road_class
from jounce.behaviour.ride.vibration import Output, Vibration, spectra
from jounce.conventions.errors import InputError
from jounce.conventions.units import KM_PER_H
from tests.published import Published
from tests.reference.white_road import speed_intensity, white_variances

PLACE = np.zeros((1, 2))
BODY, WHEEL, SPRING, TYRE, DAMPER = 240.0, 36.0, 16e3, 160e3, 980.0
CLOSED = {"source": "gobbi-mastinu", "where": "quarter car, closed forms", "status": "F"}
ACCELERATION = Published(quantity="variance of the body's acceleration per intensity", printed="1986.961451", **CLOSED)
STROKE = Published(quantity="variance of the stroke per intensity", printed="0.1408163265", **CLOSED)
LOAD = Published(quantity="variance of the tyre load per intensity", printed="513415918.37", **CLOSED)

ISO = {"source": "iso-8608", "where": "table of classes, geometric means at 0.1 cycles/m", "status": "P"}
CLASS_MEANS = {
    letter: Published(quantity=f"roughness of class {letter}", printed=digits, unit=1e-6, **ISO)
    for letter, digits in zip("ABCDEFGH", ("16", "64", "256", "1024", "4096", "16384", "65536", "262144"), strict=True)
}
AT_ONE_RADIAN = [
    Published(
        quantity=f"roughness of class {letter} at 1 rad/m",
        source="iso-8608",
        where="table of classes, at 1 rad/m",
        printed=digits,
        unit=1e-6,
        status="P",
        rel=0.006,
        tolerance_note="the standard's two tables are rounded each for itself",
    )
    for letter, digits in zip("ABCDE", ("1", "4", "16", "64", "256"), strict=True)
]

NOMINAL = (0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10, 12.5)
NOMINAL += (16, 20, 25, 31.5, 40, 50, 63, 80)
PRINTED = (
    "31.2 48.6 79.0 121 182 263 352 418 459 477 482 484 494 531 631 804 967 1039 1054 1036 988 902 768 636 513 405"
)
PRINTED += " 314 246 186 132"
WEIGHTS = [
    Published(
        quantity=f"weight Wk at {frequency:g} Hz",
        source="iso-2631-1",
        where="Table 3",
        printed=digits,
        unit=1e-3,
        status="P" if frequency >= 0.5 else "M",
        rel=0.005,
        tolerance_note="the table holds for exact third octaves, the nominal frequencies differ from them",
    )
    for frequency, digits in zip(NOMINAL, PRINTED.split(), strict=True)
]


def quarter_car():
    coupled = np.array([[1.0, -1.0], [-1.0, 1.0]])
    system = Vibration(
        np.diag([BODY, WHEEL]), DAMPER * coupled, SPRING * coupled + np.diag([0.0, TYRE]), np.array([[0.0], [TYRE]])
    )
    outputs = (
        Output("acceleration", np.zeros(2), np.array([1.0, 0.0]), np.zeros(1)),
        Output("stroke", np.array([-1.0, 1.0]), np.zeros(2), np.zeros(1)),
        Output("load", np.array([0.0, -TYRE]), np.zeros(2), np.array([TYRE])),
    )
    return system, outputs


def closed_forms():
    """The three formulas themselves, the wheel 1 and the body 2."""
    m1, m2, k1, k2, r2 = WHEEL, BODY, TYRE, SPRING, DAMPER
    both = m1 + m2
    return 0.5 * np.array(
        [
            both * k2**2 / (m2**2 * r2) + k1 * r2 / m2**2,
            both / r2,
            both**3 * k2**2 / (m2**2 * r2)
            - 2 * m1 * both * k1 * k2 / (m2 * r2)
            + k1**2 * m1 / r2
            + k1 * r2 * both**2 / m2**2,
        ]
    )


def test_white_road_by_the_closed_forms() -> None:
    found = white_variances(*quarter_car(), 1.0)

    assert [ACCELERATION.match(), STROKE.match(), LOAD.match()] == found.tolist()
    assert found == pytest.approx(closed_forms(), rel=1e-10)


def test_white_road_by_spectra_over_a_wide_band() -> None:
    """The same road as the car's own spectra code sees it: one-sided density of the height 2 q / w²."""
    system, outputs = quarter_car()
    frequency = np.geomspace(1e-4, 1e8, 200_001)  # the load's spectrum falls but slowly
    ground = (2.0 / (2 * np.pi * frequency) ** 2)[:, None, None]
    density = spectra(system, outputs, frequency, ground)
    found = np.trapezoid(density * frequency[:, None], np.log(frequency), axis=0)

    assert found == pytest.approx(closed_forms(), rel=1e-6)


@pytest.mark.parametrize(
    ("letter", "expected"),
    [
        ("A", (0.3734335, 3.143729e-3, 189.8249)),
        ("B", (0.7468671, 6.287458e-3, 379.6499)),
        ("C", (1.4937342, 12.574916e-3, 759.2998)),
    ],
)
def test_classes_of_road_at_80_km_h(letter, expected) -> None:
    intensity = speed_intensity(road_class(letter), 80 * KM_PER_H)
    found = np.sqrt(white_variances(*quarter_car(), intensity))

    assert found == pytest.approx(expected, rel=3e-7)  # half of the last digit given


def test_class_b_within_the_band_of_comfort() -> None:
    system, outputs = quarter_car()
    frequency = np.geomspace(0.5, 80.0, 20_001)
    ground = road_class("B").heights(frequency, 80 * KM_PER_H, PLACE)
    found = np.sqrt(np.trapezoid(spectra(system, outputs, frequency, ground), frequency, axis=0))

    def density(at: float, k: int) -> float:
        return float(
            spectra(system, outputs, np.array([at]), road_class("B").heights(np.array([at]), 80 * KM_PER_H, PLACE))[
                0, k
            ]
        )

    adaptive = [np.sqrt(quad(density, 0.5, 80, args=(k,), points=[1.25, 11], limit=500)[0]) for k in range(3)]

    assert found == pytest.approx(adaptive, rel=1e-6)
    assert found == pytest.approx([0.746046, 6.267379e-3, 373.421], rel=3e-5)  # from a coarser independent quadrature


@pytest.mark.parametrize("letter", CLASS_MEANS)
def test_class(letter) -> None:
    assert CLASSES[letter] == CLASS_MEANS[letter].match()
    assert road_class(letter.lower()).density(0.1) == pytest.approx(CLASSES[letter])


@pytest.mark.parametrize("printed", AT_ONE_RADIAN, ids=lambda p: p.quantity)
def test_class_at_one_radian_per_metre(printed) -> None:
    """The trap: the same road has 16 times less at 1 rad/m, per rad/m."""
    road = road_class(printed.quantity.split()[3])
    per_radian = road.density(1 / (2 * np.pi)) / (2 * np.pi)

    assert per_radian == printed.match()


def test_slope_of_a_class_is_as_published() -> None:
    assert road_class("A").slope_density() == pytest.approx(6.31655e-6, rel=1e-6)
    assert road_class("D").slope_density() == pytest.approx(404.259e-6, rel=1e-6)


def test_an_unknown_class_is_refused_with_all_classes() -> None:
    with pytest.raises(InputError, match="H barely to be driven on"):
        road_class("K")


@pytest.mark.parametrize("apart", [0.4, 1.4])
@pytest.mark.parametrize("wavenumber", [0.02, 0.1, 0.5])
def test_coherence_by_summing_waves_of_all_directions(apart, wavenumber) -> None:
    """An isotropic surface has the density k⁻³ in the plane; a track sees all waves with its wavenumber along it."""
    across = np.sinh(np.linspace(-14, 14, 400_001)) * wavenumber
    plane = (wavenumber**2 + across**2) ** -1.5
    track = np.trapezoid(plane, across)
    both = np.trapezoid(plane * np.cos(2 * np.pi * across * apart), across)

    assert coherence(np.array(wavenumber), np.array(apart)) == pytest.approx(both / track, rel=2e-5, abs=1e-6)


@pytest.mark.parametrize(("frequency", "printed"), list(zip(NOMINAL, WEIGHTS, strict=True)))
def test_seat_weighting(frequency, printed) -> None:
    assert seat_weighting(np.array(frequency)) == printed.match()


@pytest.mark.parametrize(
    ("weighted", "words"),
    [
        (0.2, ("not uncomfortable",)),
        (0.4, ("a little uncomfortable",)),
        (0.9, ("fairly uncomfortable", "uncomfortable")),
        (1.4, ("uncomfortable", "very uncomfortable")),
        (3.0, ("extremely uncomfortable",)),
    ],
)
def test_words_overlap_as_in_the_annex(weighted, words) -> None:
    assert reactions(weighted) == words


def test_a_road_four_times_as_rough_shakes_twice_as_much() -> None:
    rough, smooth = Road("rough", 64e-6), Road("smooth", 16e-6)
    frequency = np.array([0.7, 11.0])

    assert rough.heights(frequency, 20.0, np.zeros((1, 2))) == pytest.approx(
        4 * smooth.heights(frequency, 20.0, np.zeros((1, 2)))
    )
