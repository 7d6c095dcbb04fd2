"""What a person may write, what is refused and how, and that showing is the way back from reading."""

from __future__ import annotations

import math
import re
import subprocess
import sys

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.conventions.errors import InputError
from jounce.conventions.unit_table import DEFAULT_UNIT, UNIT_SETS, UNITS
from jounce.conventions.units import DEG, INCH, Kind, Unit, column, read, show, to_display, to_si, unit_of

LIBRARY = pint.UnitRegistry()
PER_DEGREE = 180 / math.pi


@pytest.mark.parametrize(
    ("written", "kind", "si"),
    [
        (22.5, Kind.LENGTH, 0.0225),
        ("22.5", Kind.LENGTH, 0.0225),
        ("22.5mm", Kind.LENGTH, 0.0225),
        ("  22.5 mm ", Kind.LENGTH, 0.0225),
        ("+1e1 mm", Kind.LENGTH, 0.01),
        ('7/8"', Kind.LENGTH, 0.875 * INCH),
        ("2 7/8 in", Kind.LENGTH, 2.875 * INCH),
        ("1 ft 2 in", Kind.LENGTH, 14 * INCH),
        ("-3 in", Kind.LENGTH, -3 * INCH),
        (1.25, Kind.ANGLE, 1.25 * DEG),
        ("1.25 deg", Kind.ANGLE, 1.25 * DEG),
        ("1.25°", Kind.ANGLE, 1.25 * DEG),
        ("0°30'", Kind.ANGLE, 0.5 * DEG),
        ("-0°30'", Kind.ANGLE, -0.5 * DEG),
        ("−0° 30′", Kind.ANGLE, -0.5 * DEG),
        ("1°30'36\"", Kind.ANGLE, 1.51 * DEG),
        ("12'", Kind.ANGLE, 0.2 * DEG),
        ("0.1 rad", Kind.ANGLE, 0.1),
        (25, Kind.SPRING_RATE, 25e3),
        ("25 N/mm", Kind.SPRING_RATE, 25e3),
        ("25 kN/m", Kind.SPRING_RATE, 25e3),
        ("8 kg/mm", Kind.SPRING_RATE, 78453.2),
        ("8 kgf / mm", Kind.SPRING_RATE, 78453.2),
        ("3 N·m/deg", Kind.TORSIONAL_RATE, 3 * PER_DEGREE),
        ("3 Nm/°", Kind.TORSIONAL_RATE, 3 * PER_DEGREE),
        ("3 N*m/rad", Kind.ROLL_STIFFNESS, 3.0),
        ("78.5", Kind.MODULUS, 78.5e9),
        ("700", Kind.STRESS, 700e6),
        ("0.7 kN/mm²", Kind.STRESS, 700e6),
        ("120 km/h", Kind.SPEED, 120 / 3.6),
        ("3 kg", Kind.FORCE, 3 * 9.80665),
        ("61 %", Kind.SHARE, 0.61),
        (61, Kind.SHARE, 0.61),
        ("90 1/min", Kind.FREQUENCY, 1.5),
        ("12 lb ft", Kind.TORQUE, 16.2698153799768),
    ],
)
def test_accepted(written: float | str, kind: Kind, si: float) -> None:
    assert read(written, kind) == pytest.approx(si, rel=1e-12, abs=0)


@pytest.mark.parametrize("text", ["650 lb/in", "650 lbs/in", "650 lbf/in", "650 lbf/inch"])
def test_trade_spellings_are_a_force_per_length(text: str) -> None:
    assert read(text, Kind.SPRING_RATE) == read("650 lbf/in", Kind.SPRING_RATE)


def test_pound_is_a_mass_or_a_force_by_what_is_asked() -> None:
    assert read("1 lb", Kind.FORCE) == pytest.approx(read("1 lb", Kind.MASS) * 9.80665, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("1 stone", Kind.MASS, 6.35029318),
        ("8 oz", Kind.MASS, 0.226796185),
        ("1.1 t", Kind.MASS, 1100.0),
        ("2 yard", Kind.LENGTH, 1.8288),
        ("40 thou", Kind.LENGTH, 1.016e-3),
        ("25 micron", Kind.LENGTH, 25e-6),
        ("2.5 daN/mm", Kind.SPRING_RATE, 25e3),
        ("250 N/cm", Kind.SPRING_RATE, 25e3),
        ("9 daN·m", Kind.TORQUE, 90.0),
        ("80 daN/mm²", Kind.STRESS, 800e6),
        ("0.22 MPa", Kind.PRESSURE, 0.22e6),
        ("1 ft/s", Kind.SPEED, 0.3048),
        ("1/4 turn", Kind.ANGLE, math.pi / 2),
    ],
)
def test_rare_units_of_the_trade_are_in_the_table(text: str, kind: Kind, si: float) -> None:
    """Yard, stone and ounce are exact by definition (NIST SP 811, Appendix B)."""
    assert read(text, kind) == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    "text",
    ["21 mm^9^9^9", "21 mm**9**9**9", "3 dyne·cm", "5 m²/m", "2 mm·mm/mm", "1 (mm)", "21 mm^" + "9" * 150, "9" * 5000],
)
def test_a_typed_unit_is_looked_up_and_never_worked_out(text: str) -> None:
    """No formula is made of it, so no power can be too high to be worked out: counted by the calls that are made."""
    calls = 0

    def count(*_: object) -> None:
        nonlocal calls
        calls += 1

    sys.setprofile(count)
    try:
        with pytest.raises(InputError, match=r"length|too long"):
            read(text, Kind.LENGTH)
    finally:
        sys.setprofile(None)

    assert calls < 20_000


@pytest.mark.parametrize(
    "written",
    ["", "  ", "abc", "mm", "--5", "5 mm 6", "1/0 in", "5 4 mm", "1e400", "nan", True, None, [1], math.nan, math.inf],
)
def test_what_is_no_length_is_refused(written: object) -> None:
    with pytest.raises(InputError, match="length"):
        read(written, Kind.LENGTH)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("3 N/mm", Kind.LENGTH),
        ("3 kg", Kind.LENGTH),
        ("22.5 mm", Kind.SPRING_RATE),
        ("5 kg/m", Kind.SPRING_RATE),
        ("5 N·m", Kind.TORSIONAL_RATE),
        ("5 J", Kind.ROLL_STIFFNESS),
        ("5 rad/s", Kind.FREQUENCY),
        ("5 ppm", Kind.ANGLE),
        ("61 kg", Kind.SHARE),
        ("5 m**9", Kind.LENGTH),
        ("5 __import__", Kind.LENGTH),
    ],
)
def test_unit_of_another_kind_is_refused_with_the_unit_found_and_what_is_allowed(text: str, kind: Kind) -> None:
    with pytest.raises(InputError) as caught:
        read(text, kind)

    assert caught.value.found.strip("'") in text
    assert DEFAULT_UNIT[kind] in caught.value.allowed or kind is Kind.MODULUS
    assert caught.value.todo


def test_capital_letters_get_a_suggestion_and_no_guess() -> None:
    with pytest.raises(InputError, match='Did you mean "kg"\\?'):
        read("292 Kg", Kind.MASS)


def test_decimal_comma_is_named() -> None:
    with pytest.raises(InputError, match=r"Write decimals with a point, not a comma\.$"):
        read("22,5 mm", Kind.LENGTH)


ALL_UNITS = [(kind, unit) for kind, units in UNITS.items() for unit in units]


@pytest.mark.parametrize(("kind", "unit"), ALL_UNITS, ids=[f"{kind}-{unit.symbol}" for kind, unit in ALL_UNITS])
def test_every_spelling_of_the_table_is_read_with_its_factor(kind: Kind, unit: Unit) -> None:
    for name in (unit.symbol, *unit.spellings):
        assert read(f"3 {name}", kind) == 3 * unit.factor, name


@pytest.mark.parametrize("kind", list(Kind))
def test_no_spelling_has_two_meanings_within_a_kind(kind: Kind) -> None:
    spellings = [name for unit in UNITS[kind] for name in (unit.symbol, *unit.spellings)]

    assert len(spellings) == len(set(spellings))


@pytest.mark.parametrize(
    ("kind", "symbol"),
    [(kind, unit.symbol) for kind, unit in ALL_UNITS if kind not in {Kind.SHARE, Kind.RATIO, Kind.MASS}],
)
def test_factors_agree_with_the_library(kind: Kind, symbol: str) -> None:
    """A second source for every factor: the general unit library."""
    text = symbol.replace("·", "*").replace("²", "**2").replace("³", "**3")
    if kind in {Kind.ACCELERATION, Kind.ANGLE_PER_ACCELERATION}:
        text = re.sub(r"\bg\b", "standard_gravity", text)  # the library's g is a gram
    expected = LIBRARY.Quantity(1.0, text).to_base_units().magnitude

    assert read(f"1 {symbol}", kind) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("unit_set", list(UNIT_SETS))
@pytest.mark.parametrize("kind", list(Kind))
@given(value=st.floats(-1e4, 1e4))
def test_reading_what_is_shown_gives_the_value_back(kind: Kind, unit_set: str, value: float) -> None:
    unit = unit_of(kind, unit_set)
    text = f"{to_display(value, kind, unit_set)!r} {unit.symbol.replace('-', '')}"

    assert read(text, kind, unit.symbol) == pytest.approx(value, rel=1e-12, abs=1e-290)
    assert to_si(to_display(value, kind, unit_set), kind, unit_set) == pytest.approx(value, rel=1e-12, abs=1e-290)


@pytest.mark.parametrize(
    ("kind", "metric", "inch", "kgf"),
    [
        (Kind.LENGTH, "mm", "in", "mm"),
        (Kind.ANGLE, "deg", "deg", "deg"),
        (Kind.SPRING_RATE, "N/mm", "lbf/in", "kgf/mm"),
        (Kind.MASS, "kg", "lb", "kg"),
        (Kind.FORCE, "N", "lbf", "kgf"),
        (Kind.TORQUE, "N·m", "lbf·ft", "kgf·m"),
        (Kind.MODULUS, "GPa", "psi", "kgf/mm²"),
        (Kind.RATIO_ANGLE, "deg/mm", "deg/in", "deg/mm"),
    ],
)
def test_unit_sets(kind: Kind, metric: str, inch: str, kgf: str) -> None:
    assert [unit_of(kind, unit_set).symbol for unit_set in ("metric", "inch", "kgf")] == [metric, inch, kgf]


def test_unknown_unit_set_is_refused() -> None:
    with pytest.raises(InputError, match="metric, inch, kgf"):
        unit_of(Kind.LENGTH, "imperial")


def test_arrays_are_converted_whole() -> None:
    shown = to_display(np.array([0.0254, 0.0508]), Kind.LENGTH, "inch")

    np.testing.assert_allclose(shown, [1, 2], rtol=1e-15)


@pytest.mark.parametrize(
    ("si", "kind", "unit_set", "text"),
    [
        (0.0225, Kind.LENGTH, "metric", "22.5 mm"),
        (-0.5 * DEG, Kind.ANGLE, "metric", "-0.50 deg"),
        (-1e-9, Kind.ANGLE, "metric", "0.00 deg"),
        (25e3, Kind.SPRING_RATE, "inch", "142.8 lbf/in"),
        (0.95, Kind.RATIO, "metric", "0.950"),
        (0.613, Kind.SHARE, "metric", "61.3 %"),
    ],
)
def test_shown_with_decimals_that_suit_the_unit(si: float, kind: Kind, unit_set: str, text: str) -> None:
    assert show(si, kind, unit_set) == text


def test_sign_is_shown_when_asked_for() -> None:
    assert show(0.5 * DEG, Kind.ANGLE, sign=True) == "+0.50 deg"
    assert show(0.0, Kind.ANGLE, sign=True) == "0.00 deg"


@pytest.mark.parametrize(
    ("kind", "unit_set", "name"),
    [
        (Kind.LENGTH, "metric", "x_mm"),
        (Kind.ANGLE, "metric", "x_deg"),
        (Kind.SPRING_RATE, "metric", "x_n_per_mm"),
        (Kind.LENGTH, "inch", "x_in"),
        (Kind.SPRING_RATE, "inch", "x_lbf_per_in"),
        (Kind.RATIO, "metric", "x"),
    ],
)
def test_column_names_carry_the_unit(kind: Kind, unit_set: str, name: str) -> None:
    assert column("x", kind, unit_set) == name


def test_suffixes_are_fit_for_names_and_distinct() -> None:
    for units in UNITS.values():
        suffixes = [unit.suffix for unit in units]

        assert len(set(suffixes)) == len(suffixes)
        assert all(not suffix or suffix.isidentifier() for suffix in suffixes)


def test_the_program_needs_no_general_unit_library() -> None:
    code = (
        "import sys; sys.modules['pint'] = None; from jounce.conventions.units import Kind, read; "
        "from jounce.conventions.errors import InputError\n"
        "try: read('3 furlong', Kind.LENGTH)\n"
        "except InputError: sys.exit(0)\n"
        "sys.exit(1)"
    )

    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0  # noqa: S603  # our own code
