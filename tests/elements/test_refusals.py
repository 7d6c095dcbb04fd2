"""What no real part can have is refused in words that say what was found and what to do."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from jounce.conventions.errors import InputError
from jounce.elements.bars.anti_roll_bar import StraightArmBar
from jounce.elements.bars.materials import hot_formed_solid_stress_limit, warm_modulus
from jounce.elements.bars.torsion_bar import TorsionBar, effective_length
from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.elements.law import OneSided
from jounce.elements.springs.coil import Ends, active_turns, helical_rate, rate_from_wire, solid_length
from jounce.elements.springs.coil_spring import CoilSpring
from jounce.elements.springs.coil_stack import Stack
from jounce.elements.springs.coil_stress import wahl_factor
from jounce.elements.springs.series import series_rate
from jounce.elements.stops.bump_stop import BumpStop, polynomial_stop
from jounce.elements.tyres.tyre import Tyre
from tests.reference.quarter_car import undamped_modes


def _rows(*numbers: float) -> np.ndarray:
    return np.array(numbers)


REFUSED: dict[str, tuple[Callable[[], object], str]] = {
    "bar in mm": (lambda: TorsionBar(21.5, 1.05, 78.5e9), r"bar diameter.*found 21500 mm; allowed: 1 to 200 mm"),
    "bar without a length": (lambda: TorsionBar(0.02, 0.0, 78.5e9), r"active length.*found 0 mm"),
    "bar length unknown to the computer": (lambda: TorsionBar(0.02, np.nan, 78.5e9), r"active length.*found nan mm"),
    "modulus in GPa": (lambda: TorsionBar(0.02, 1.0, 78.5), r"shear modulus.*allowed: 1 to 500 GPa"),
    "one bore of several": (
        lambda: TorsionBar(0.02, 1.0, 78.5e9, _rows(0.0, 0.02)),
        r"bore of the torsion bar must be smaller.*found 20 mm in 20 mm. Check both",
    ),
    "negative bore": (lambda: TorsionBar(0.02, 1.0, 78.5e9, -0.001), r"bore of the torsion bar.*found -0.001 m"),
    "head thinner than the shank": (
        lambda: effective_length(1.0, 0.02, 0.018, 0.01, 0.5),
        r"found a step of -1 mm; allowed: 0 to the fillet radius, 10 mm",
    ),
    "step higher than its fillet": (lambda: effective_length(1.0, 0.02, 0.05, 0.01, 0.5), r"found a step of 15 mm"),
    "fillets longer than the shank": (
        lambda: effective_length(0.01, 0.02, 0.03, 0.01, 0.5),
        r"shank between the fillets",
    ),
    "share of more than one": (lambda: effective_length(1.0, 0.02, 0.03, 0.01, 1.5), r"fillet share nu.*0 to 1"),
    "negative rate in series": (lambda: series_rate(1e3, -1.0), r"rate in series.*found -1 N/m"),
    "one-sided law that pulls": (lambda: OneSided(-1.0), r"spring rate.*found -1"),
    "wire in mm": (lambda: helical_rate(81.5e9, 12, 0.1, 8), r"wire diameter.*found 12000 mm"),
    "coil as thick as its wire": (lambda: helical_rate(81.5e9, 0.012, 0.012, 8), r"spring index D/d.*found 1"),
    "no turns": (lambda: helical_rate(81.5e9, 0.012, 0.1, 0), r"active turns.*found 0.*Count the turns that move"),
    "all turns dead": (lambda: rate_from_wire(81.5e9, 0.012, 0.112, 2, 2), r"active turns.*found 0"),
    "turns for no rate": (lambda: active_turns(81.5e9, 0.012, 0.1, 0.0), r"spring rate.*found 0 N/m"),
    "index of one": (lambda: wahl_factor(1.0), r"spring index"),
    "solid without turns": (lambda: solid_length(0, 0.012, Ends.CLOSED), r"total turns"),
    "solid longer than free": (
        lambda: CoilSpring(2e4, 0.12, 0.3),
        r"found 300 mm solid, 120 mm free. Exchange the two lengths",
    ),
    "spring without rate": (lambda: CoilSpring(0.0, 0.3), r"spring rate.*found 0 N/mm"),
    "empty stack": (lambda: Stack(()), r"A stack has no springs. Give at least one"),
    "lever in mm": (lambda: StraightArmBar(0.02, 250, 0.08, 0.06, 0.4), r"lever of the bar's arm.*found 250000 mm"),
    "arms that cross": (lambda: StraightArmBar(0.02, 0.25, -0.5, 0.06, 0.4), r"half of the bar's width.*found -40 mm"),
    "rubber as Poisson's ratio": (
        lambda: StraightArmBar(0.02, 0.25, 0.08, 0.06, 0.4, poisson=0.6),
        r"Poisson's ratio.*found 0.6; allowed: 0 to 0.5. Steel has about 0.3",
    ),
    "stop that softens": (
        lambda: BumpStop(_rows(0.0, 0.01, 0.02), _rows(0.0, 300.0, 200.0)),
        r"rows of a bump stop must rise; found 0 mm 0 N, 10 mm 300 N, 20 mm 200 N",
    ),
    "stop out of order": (lambda: BumpStop(_rows(0.0, 0.02, 0.01), _rows(0.0, 1.0, 2.0)), r"must rise"),
    "stop with a force at touch": (
        lambda: BumpStop(_rows(0.0, 0.02), _rows(50.0, 100.0)),
        r"no force at touch.*found first row 0 mm 50 N",
    ),
    "stop without force": (lambda: BumpStop(_rows(0.0, 0.02), _rows(0.0, 0.0)), r"some force later"),
    "stop of one touch": (lambda: BumpStop(_rows(0.0), _rows(0.0)), r"some force later"),
    "stop with a missing force": (lambda: BumpStop(_rows(0.0, 0.02), _rows(0.0)), r"2 compressions, 1 forces"),
    "stop of nothing": (lambda: BumpStop(_rows(), _rows()), r"at least one row"),
    "stop with a force that is no number": (lambda: BumpStop(_rows(0.0, 0.02), _rows(0.0, np.nan)), r"must rise"),
    "polynomial that falls inside": (
        lambda: polynomial_stop([1e4, -8e5, 2e7], 0.03),
        r"must rise.*found a slope of -666.667 N/m at 13.3333 mm",
    ),
    "polynomial of nothing": (lambda: polynomial_stop([], 0.03), r"finite coefficients"),
    "polynomial without force": (lambda: polynomial_stop([0.0], 0.03), r"must rise"),
    "rebound with a sign": (
        lambda: ForceVelocity(_rows(0.1), _rows(100.0), _rows(-300.0)),
        r"rebound force of a damper curve \(written without sign\).*found -300 N",
    ),
    "speeds out of order": (
        lambda: ForceVelocity(_rows(0.3, 0.1), _rows(1.0, 2.0), _rows(1.0, 2.0)),
        r"speeds of a damper curve must rise; found 0.3, 0.1 m/s",
    ),
    "curve at rest only": (lambda: ForceVelocity(_rows(0.0), _rows(0.0), _rows(0.0)), r"one of them above zero"),
    "gas force in the curve": (
        lambda: ForceVelocity(_rows(0.0, 0.1), _rows(80.0, 100.0), _rows(0.0, 300.0)),
        r"found 80 N bump, 0 N rebound at 0 m/s; allowed: 0 N. Give the gas force as gas_force",
    ),
    "curve with a missing force": (
        lambda: ForceVelocity(_rows(0.1, 0.2), _rows(1.0), _rows(1.0, 2.0)),
        r"2 speeds, 1 bump forces, 2 rebound forces",
    ),
    "infinite damper": (
        lambda: ForceVelocity(_rows(0.1, np.inf), _rows(1.0, 2.0), _rows(1.0, 2.0)),
        r"must rise; found 0.1, inf m/s",
    ),
    "tyre that pulls": (lambda: Tyre(-1.0), r"vertical stiffness of the tyre"),
    "tyre under a negative load": (lambda: Tyre(2e5).law_about(-5.0), r"vertical load of the tyre.*found -5 N"),
    "glowing steel": (lambda: warm_modulus(78.5e9, 900.0), r"steel temperature.*found 900 °C"),
    "bar outside the chart": (lambda: hot_formed_solid_stress_limit(0.008), r"found 8 mm; allowed: 10 to 50 mm"),
    "corner without a wheel": (lambda: undamped_modes(250.0, 0.0, 2e4, 2e5), r"unsprung mass.*found 0 kg"),
    "corner on a rigid tyre": (lambda: undamped_modes(250.0, 30.0, 2e4, np.inf), r"tyre rate.*found inf N/m"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_refused_in_plain_words(case: str):
    build, words = REFUSED[case]

    with pytest.raises(InputError, match=words):
        build()
