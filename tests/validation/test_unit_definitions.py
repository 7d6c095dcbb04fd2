"""NIST Special Publication 811, Guide for the Use of the International System of Units, Appendix B; values published.

The exact factors follow from the definitions printed there (inch 0.0254 m, pound-force 4.448 221 615 260 5 N,
kilogram-force 9.806 65 N) by exact arithmetic, done again here as fractions.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from jounce.conventions.units import (
    DEG,
    INCH,
    KGF,
    KGF_PER_MM,
    KGF_PER_MM2,
    LBF,
    LBF_FT,
    LBF_FT_PER_DEG,
    LBF_IN,
    LBF_IN_PER_DEG,
    LBF_PER_IN,
    LBF_S_PER_IN,
    MPH,
    N_PER_MM,
    POUND,
    PSI,
    Kind,
    read,
)
from tests.published import Published

SOURCE = "nist-sp-811"
WHERE = "Appendix B"
PRINTED = {
    "inch": Published(quantity="inch in m", source=SOURCE, where=WHERE, printed="2.54e-2"),
    "pound-force": Published(quantity="pound-force in N", source=SOURCE, where=WHERE, printed="4.448 221 615 260 5"),
    "kilogram-force": Published(quantity="kilogram-force in N", source=SOURCE, where=WHERE, printed="9.806 65"),
    "rate": Published(quantity="pound-force per inch in N/m", source=SOURCE, where=WHERE, printed="1.751 268e+2"),
}

IN, LB_FORCE, KG_FORCE = Fraction("0.0254"), Fraction("4.4482216152605"), Fraction("9.80665")
RELATIVE = 1e-12


@pytest.mark.parametrize(
    ("name", "factor"), [("inch", INCH), ("pound-force", LBF), ("kilogram-force", KGF), ("rate", LBF_PER_IN)]
)
def test_printed_factor(name: str, factor: float) -> None:
    """The factors that the publication prints."""
    assert factor == PRINTED[name].match()


EXACT = [
    ("lbf/in in N/mm", LBF_PER_IN / N_PER_MM, LB_FORCE / IN / 1000, 0.17512683524647636),
    ("kgf/mm in N/mm", KGF_PER_MM / N_PER_MM, KG_FORCE, 9.80665),
    ("lbf/in in kgf/mm", LBF_PER_IN / KGF_PER_MM, LB_FORCE / IN / 1000 / KG_FORCE, 0.017857967322834647),
    ("lbf/ft in N/m", read("1 lbf/ft", Kind.SPRING_RATE), LB_FORCE / (12 * IN), 14.593902937206362),
    ("lbf·in in N·m", LBF_IN, LB_FORCE * IN, 0.11298482902761668),
    ("lbf·ft in N·m", LBF_FT, LB_FORCE * 12 * IN, 1.3558179483314003),
    ("psi in Pa", PSI, LB_FORCE / IN**2, 6894.757293168361),
    ("kgf/mm² in MPa", KGF_PER_MM2 / 1e6, KG_FORCE, 9.80665),
    ("lbf·s/in in N·s/m", LBF_S_PER_IN, LB_FORCE / IN, 175.12683524647636),
    ("slug·ft² in kg·m²", LBF / (12 * INCH) * (12 * INCH) ** 2, LB_FORCE * 12 * IN, 1.3558179483314),
    ("mph in m/s", MPH, IN * 12 * 5280 / 3600, 0.44704),
    ("lb in kg", POUND, LB_FORCE / KG_FORCE, 0.45359237),
]


@pytest.mark.parametrize(("name", "factor", "by_definition", "tabulated"), EXACT, ids=[row[0] for row in EXACT])
def test_exact_factor(name: str, factor: float, by_definition: Fraction, tabulated: float) -> None:
    """Each factor equals the definition and the table made from it."""
    assert factor == pytest.approx(float(by_definition), rel=RELATIVE, abs=0), name
    assert factor == pytest.approx(tabulated, rel=RELATIVE, abs=0), name


def test_torque_per_degree() -> None:
    """The degree is no fraction of the radian: the table only."""
    assert pytest.approx(6.473553852289629, rel=RELATIVE, abs=0) == LBF_IN_PER_DEG
    assert pytest.approx(77.68264622747556, rel=RELATIVE, abs=0) == LBF_FT_PER_DEG
    assert pytest.approx(LBF_FT_PER_DEG * DEG, rel=RELATIVE, abs=0) == LBF_FT


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("650 lbf/in", Kind.SPRING_RATE, 650 * LB_FORCE / IN),
        ("8 kgf/mm", Kind.SPRING_RATE, 8 * KG_FORCE * 1000),
        ("2.36 in", Kind.LENGTH, Fraction("2.36") * IN),
        ("7/8 in", Kind.LENGTH, Fraction(7, 8) * IN),
        ("640 lb", Kind.MASS, 640 * LB_FORCE / KG_FORCE),
        ("30 psi", Kind.PRESSURE, 30 * LB_FORCE / IN**2),
        ("50 lb-ft", Kind.TORQUE, 50 * LB_FORCE * 12 * IN),
    ],
)
def test_what_a_person_writes(text: str, kind: Kind, si: Fraction) -> None:
    """The reader applies the same factors."""
    assert read(text, kind) == pytest.approx(float(si), rel=RELATIVE, abs=0)
