"""The torsion bar's section: its length in one of two forms, its steel by name, what gives behind it by name."""

from __future__ import annotations

from importlib.resources import files

import numpy as np
import pytest

from jounce.behaviour.bands import as_found_standing, figures
from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import all_inputs
from jounce.car.file.reading import parse_car
from jounce.car.file.variants import varied
from jounce.car.mechanics.torsion_bars import bar_in_series, stress_limit, torsion_bar
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import GPA, MPA
from jounce.elements.bars.torsion_bar import TorsionBar, effective_length, fillet_share_by_torsion
from jounce.numerics.complex_step import STEP

TEXT = files("jounce.demo").joinpath("brisk-14.toml").read_text("utf-8")
LENGTH = 'active_length = "900 mm ± 5 mm"\n'
ENDS = 'shank_length = "930 ± 2 mm"\nhead_diameter = 27\nfillet_radius = "40 ± 2 mm"\n'


def car(bar: str, old: str = LENGTH) -> CarDocument:
    start = TEXT.index("[front.torsion_bar]")
    head, rest = TEXT[:start], TEXT[start:]
    assert old in rest
    return parse_car(head + rest.replace(old, bar, 1), "car")


def section(document: CarDocument):
    return document.front.left.torsion_bar


def problems(bar: str, old: str = LENGTH) -> str:
    with pytest.raises(InputProblems) as caught:
        car(bar, old)
    return str(caught.value)


def test_length_from_head_to_head():
    bar = torsion_bar(section(car(ENDS + "fillet_share = 0.6\n")))

    assert bar.active_length == pytest.approx(float(effective_length(0.930, 0.021, 0.027, 0.040, 0.6)), rel=1e-14)


def test_a_share_that_is_not_given_is_computed():
    bar = torsion_bar(section(car(ENDS)))
    share = fillet_share_by_torsion(0.021, 0.027, 0.040)

    assert bar.active_length == pytest.approx(float(effective_length(0.930, 0.021, 0.027, 0.040, share)), rel=1e-14)


@pytest.mark.parametrize(
    "bar",
    [
        "",
        LENGTH + ENDS,
        LENGTH + "fillet_share = 0.6\n",
        "shank_length = 930\nhead_diameter = 27\n",
        "fillet_share = 0.6\n",
    ],
)
def test_a_length_in_no_form_or_in_both_is_refused(bar: str):
    message = problems(bar)

    assert "front.torsion_bar.active_length" in message
    assert "active_length, or shank_length, head_diameter, fillet_radius" in message


@pytest.mark.parametrize(("shank", "head", "radius"), [(930, 20, 40), (930, 110, 40), (150, 60, 200)])
def test_heads_that_do_not_fit_are_refused_at_the_fillet(shank: int, head: int, radius: int):
    """Thinner than the shank; a step higher than the fillet; fillets longer than the shank."""
    text = f"shank_length = {shank}\nhead_diameter = {head}\nfillet_radius = {radius}\n"

    assert "front.torsion_bar.fillet_radius" in problems(text)


def test_the_steel_gives_its_modulus_and_a_given_modulus_goes_before_it():
    by_word = section(car(LENGTH + 'steel = "chrome-vanadium"\n'))
    own = section(car(LENGTH + 'steel = "chrome-vanadium"\nshear_modulus = "79 ± 0.5 GPa"\n'))

    assert by_word.shear_modulus.value == pytest.approx(77.2 * GPA, rel=1e-3)
    assert "Machinery" in by_word.shear_modulus.origin
    assert own.shear_modulus.value == 79 * GPA
    assert own.shear_modulus.plus_minus == 0.5 * GPA


def test_an_unknown_steel_is_refused_with_those_that_are_known():
    message = problems(LENGTH + 'steel = "unobtainium"\n')

    assert "hot-formed" in message
    assert "music-wire" in message


@pytest.mark.parametrize(
    ("more", "limit", "words"),
    [
        ("", 700 * MPA, "not preset: DIN 2091"),
        ("preset = true\n", 1020 * MPA, "preset: DIN 2091"),
        ('steel = "hot-formed"\npreset = true\n', 1020 * MPA, "preset: DIN 2091"),
        ('steel = "music-wire"\npreset = true\n', None, "no published limit at hand for music wire"),
        ('steel = "music-wire"\nstress_limit = 850\n', 850 * MPA, "given with the bar"),
    ],
)
def test_the_permissible_stress_is_given_published_or_unknown(more: str, limit: float | None, words: str):
    found, source = stress_limit(section(car(LENGTH + more)))

    assert found == limit
    assert source.startswith(words)


TUBE = "\n[front.torsion_bar.tube]\ndiameter = 45\ninner_diameter = 39\nlength = 600\n"
ANCHOR = 'anchor_rate = "900 N·m/deg"\nlever_rate = "1500 N·m/deg"\n'


def test_parts_behind_the_bar_have_names_and_add_their_give():
    document = car("[front.damper]\n", "[front.damper]\n")
    giving = car(TUBE + "\n[front.damper]\n", "[front.damper]\n")
    giving_all = parse_car(_with(LENGTH + ANCHOR, TUBE), "car")
    tube = TorsionBar(0.045, 0.6, 78.5 * GPA, 0.039).rate
    bar = bar_in_series(section(document)).rate

    assert set(bar_in_series(section(giving_all)).others) == {"tube", "anchor", "lever"}
    assert bar_in_series(section(giving)).rate == pytest.approx(1 / (1 / bar + 1 / tube), rel=1e-14)
    parts = (bar, tube, np.degrees(900.0), np.degrees(1500.0))
    assert bar_in_series(section(giving_all)).rate == pytest.approx(1 / sum(1 / part for part in parts), rel=1e-13)


def _with(bar: str, tube: str) -> str:
    start = TEXT.index("[front.torsion_bar]")
    rest = TEXT[start:].replace(LENGTH, bar, 1).replace("[front.damper]\n", tube + "\n[front.damper]\n", 1)
    return TEXT[:start] + rest


def test_a_whole_and_its_parts_are_not_both_given():
    assert "What gives besides the bar is given twice" in problems(LENGTH + ANCHOR + 'series_rate = "500 N·m/deg"\n')


@pytest.mark.parametrize("tube", ["rate = 300\nlength = 600\n", "diameter = 45\nlength = 600\n", ""])
def test_a_tube_has_a_rate_or_dimensions(tube: str):
    with pytest.raises(InputProblems, match="A tube has a rate, or a diameter"):
        parse_car(_with(LENGTH, f"\n[front.torsion_bar.tube]\n{tube}"), "car")


def test_a_tube_without_a_wall_is_refused():
    with pytest.raises(InputProblems, match="bore is not smaller"):
        parse_car(_with(LENGTH, TUBE.replace("39", "45")), "car")


def test_every_number_of_the_bar_moves_the_wheel_rate():
    """By imaginary perturbation, against differences of two cars read with the number changed."""
    document = parse_car(_with(ENDS + ANCHOR, TUBE), "car")
    inputs = [ref for ref in all_inputs(document) if ref.path.startswith("front.torsion_bar.") and ref.value]
    names = {ref.path.removeprefix("front.torsion_bar.") for ref in inputs}

    assert {"shank_length", "head_diameter", "fillet_radius", "anchor_rate", "tube.length", "tube.diameter"} <= names
    standing = as_found_standing()
    key = "front.left.wheel_rate"
    exact = figures(varied(document, inputs, np.full(len(inputs), 1j * STEP)), "front", standing)[key].imag / STEP
    steps = np.array([1e-5 * max(ref.value, 1e-3) for ref in inputs])
    high, low = (figures(varied(document, inputs, way * steps), "front", standing)[key] for way in (1, -1))
    by_difference = (high - low) / (2 * steps)

    np.testing.assert_allclose(exact, by_difference, rtol=1e-5, atol=1e-7 * np.abs(by_difference).max())
    moved = {ref.path: value for ref, value in zip(inputs, exact, strict=True)}
    assert moved["front.torsion_bar.tube.length"] < 0 < moved["front.torsion_bar.anchor_rate"]
