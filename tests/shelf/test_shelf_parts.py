"""A part on the shelf: strict in what it says, free in what it does not say; and what it becomes in a car."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from math import pi
from pathlib import Path

import pytest

from generate.shelf_keys import shelf_tables
from jounce.car.parts import Spring, TorsionBarSection
from jounce.conventions.errors import InputProblems
from jounce.job.document import NewAntiRollBar, SecondAntiRollBar
from jounce.shelf.describe import known_rows, stock_of, unknown_rows
from jounce.shelf.fit import FitVerdict, fit
from jounce.shelf.kinds import KINDS
from jounce.shelf.kinds.coils import CoilPart
from jounce.shelf.kinds.dampers import BumpStopPart, DamperPart
from jounce.shelf.remarks import remarks_on
from tests.shelf.shelf_parts import demo_car, demo_shelf, part

PAGE = Path(__file__).parents[2] / "docs" / "shelf-file.md"


def refused(kind: str, text: str) -> list[str]:
    """Messages for a part that is not accepted."""
    with pytest.raises(InputProblems) as caught:
        part(kind, text)
    return [problem.message for problem in caught.value.problems]


def test_a_part_may_know_nothing_of_itself() -> None:
    for kind in KINDS:
        more = {"damper": 'form = "plain"\n', "bush": 'joint = "arm"\n'}.get(kind, "")
        one = part(kind, more)

        if kind != "small_part":
            assert one.unknown, kind
        if kind not in ("damper", "small_part"):
            assert one.mechanics is None, kind


def test_a_torsion_bar_becomes_that_of_the_car_file() -> None:
    bar = part(
        "torsion_bar", 'diameter = "22 ± 0.05 mm"\nactive_length = 900\nsplines_arm = 40\noverall_length = 985\n'
    )
    section = bar.mechanics

    assert isinstance(section, TorsionBarSection)
    assert (section.diameter, section.splines_arm) == (bar.diameter, 40)
    assert bar.unknown == ("splines_anchor", "spline_diameter_arm", "spline_diameter_anchor")


def test_a_coil_by_its_wire_has_the_rate_that_follows_from_it() -> None:
    """``G d⁴ / (8 D³ n)`` with D = inside + d."""
    coil = part("coil", "wire = 11\ninner_diameter = 97\nactive_turns = 5\nshear_modulus = 80\n")

    assert isinstance(coil.mechanics, Spring)
    assert coil.mechanics.first_rate == pytest.approx(80e9 * 0.011**4 / (8 * 0.108**3 * 5), rel=1e-12)
    assert coil.unknown == ("free_length", "solid_length")


def test_a_coil_without_rate_and_wire_is_no_spring_yet() -> None:
    coil = part("coil", "free_length = 268\ninner_diameter = 97\n")

    assert coil.mechanics is None
    assert [key for key, _ in unknown_rows(coil)] == ["rate", "solid_length"]


def test_inside_diameter_follows_from_wire_and_either_other_one() -> None:
    for other in ("mean_diameter = 108", "outer_diameter = 119", "inner_diameter = 97"):
        coil = part("coil", f"wire = 11\n{other}\nactive_turns = 5\n")

        assert isinstance(coil, CoilPart)
        assert coil.inside.value == pytest.approx(0.097, rel=1e-9)


@pytest.mark.parametrize(
    ("kind", "text", "words"),
    [
        ("coil", "free_length = 100\nsolid_length = 110\n", "not longer free than solid"),
        (
            "coil",
            "rate = 25\nfree_length = 60\nwire = 12\ninner_diameter = 97\ntotal_turns = 6\nends = 'closed-ground'\n",
            "free",
        ),
        ("damper", 'form = "plain"\nclosed_length = 300\nopen_length = 290\n', "not longer open"),
        ("torsion_bar", "diameter = 22\nactive_length = 900\ninner_diameter = 23\n", "bore is not smaller"),
        ("panhard", "shortest = 850\nlongest = 840\nthread_pitch = 1.5\n", "not above its shortest"),
        ("coil", "wire = 3\nmean_diameter = 151\nactive_turns = 5\n", "spring index"),
        ("drop_link", "shortest = 80\nlongest = 70\n", "below its shortest"),
        ("coil", "rate = 25\nprice = 12\n", "no currency"),
        ("coil", 'rate = 25\nprice = "12 EUR"\ncurrency = "EUR"\n', "not a price"),
        ("coil", 'rate = 25\nprice = -1\ncurrency = "EUR"\n', "not a price"),
        ("coil", "rate = 25\nstock = -1\n", "too small"),
        ("roll_bar", "diameter = 18\narm_end = [45, -500, 236]\n", "other side of the car"),
    ],
)
def test_what_cannot_be_is_refused(kind: str, text: str, words: str) -> None:
    assert any(words in message for message in refused(kind, text))


def test_a_code_is_plain() -> None:
    assert any("This code cannot be used" in message for message in refused_code("a b"))
    assert part("coil", "rate = 25\n", code="25").code == "25"


def refused_code(code: str) -> list[str]:
    with pytest.raises(InputProblems) as caught:
        part("coil", "rate = 25\n", code=f'"{code}"')
    return [problem.message for problem in caught.value.problems]


def test_prices_are_exact() -> None:
    prices = [part("coil", f'price = {text}\ncurrency = "EUR"\n').price for text in ("0.10", "0.20")]

    assert sum(prices, Decimal(0)) == Decimal("0.30")


def test_bars_become_the_sections_of_a_job() -> None:
    points = "diameter = 15\narm_end = [45, 500, 250]\nbend = [250, 440, 238]\nbush = [250, 340, 238]\n"
    second = part("roll_bar", f'place = "front"\nrole = "second"\n{points}')
    rear = part("roll_bar", f'role = "on-tube"\n{points}link_end = [45, 500, 450]\n')

    assert isinstance(second.mechanics, SecondAntiRollBar)
    assert second.mechanics.bush.xyz == pytest.approx([0.25, 0.34, 0.238], rel=1e-12)
    assert isinstance(rear.mechanics, NewAntiRollBar)
    assert part("roll_bar", f'role = "on-tube"\n{points}').unknown[0] == "link_end"


@pytest.mark.parametrize(("given", "remarked"), [(25, False), (24.2, False), (29, True)])
def test_a_rate_that_does_not_follow_from_its_wire_is_remarked_upon(given: float, *, remarked: bool) -> None:
    turns = 78.5e9 * 0.011**4 / (8 * 0.108**3 * 25000)
    coil = part("coil", f"rate = {given}\nwire = 11\ninner_diameter = 97\nactive_turns = {turns}\n")

    assert any("follows from wire" in remark for remark in remarks_on(coil)) is remarked


def test_stock_is_told_in_words() -> None:
    texts = ("stock = 2\n", "stock = 0\nlead_time_days = 8\n", "stock = 0\n", "", "lead_time_days = 8\n")

    assert [stock_of(part("coil", text)) for text in texts] == [
        "2 in stock",
        "8 days",
        "out of stock",
        "stock unknown",
        "stock unknown, 8 days",
    ]


def test_a_value_is_shown_with_band_unit_and_origin() -> None:
    one = part("coil", 'rate = { value = 25, plus_minus = 0.5, from = "bench" }\n')

    assert ("rate", "25 ± 0.5 N/mm", "bench") in known_rows(one)
    assert ("rate", "142.8 ± 2.86 lbf/in", "bench") in known_rows(one, "inch")


def test_what_a_change_of_units_leaves_behind_is_not_shown() -> None:
    """0.05 mm is 0.0019685 in: nobody's calliper reads so far, and three figures say as much."""
    bar = part("torsion_bar", 'diameter = "22.5 ± 0.05 mm"\n')

    assert ("diameter", "0.886 ± 0.00197 in") in [row[:2] for row in known_rows(bar, "inch")]
    assert ("diameter", "22.5 ± 0.05 mm") in [row[:2] for row in known_rows(bar)]


# -------------------------------------------------------------------------------------------------- the demo shelf


def test_the_demo_shelf_is_large_and_of_every_kind() -> None:
    kinds = Counter(one.KIND for one in demo_shelf().parts)

    assert sum(kinds.values()) >= 120
    assert set(kinds) == set(KINDS)


def test_the_demo_shelf_has_parts_that_fit_that_do_not_and_that_nobody_knows() -> None:
    verdicts = Counter(fit(one, demo_car()).verdict for one in demo_shelf().parts)

    assert verdicts[FitVerdict.FITS] >= 60
    assert verdicts[FitVerdict.DOES_NOT_FIT] >= 15
    assert verdicts[FitVerdict.UNKNOWN] >= 5
    assert any(not one.stock for one in demo_shelf().parts)
    assert any(one.stock for one in demo_shelf().parts)


def test_numbers_of_the_demo_shelf_are_plausible() -> None:
    """No coil is over-stressed when solid, every stop ends below its height, damper forces rise with speed."""
    for coil in demo_shelf().of_kind(CoilPart):
        section = coil.mechanics
        assert not remarks_on(coil), coil.code
        if isinstance(section, Spring) and coil.wire and section.coil and coil.free_length and section.solid:
            force = section.first_rate * (coil.free_length.value - section.solid)
            assert 8 * force * section.coil / (pi * coil.wire.value**3) < 1300e6, coil.code
    for stop in demo_shelf().of_kind(BumpStopPart):
        assert not stop.curve or stop.curve[-1][0] < stop.free_height.value, stop.code
    for damper in demo_shelf().of_kind(DamperPart):
        for column in (1, 2):
            forces = [row[column] for row in damper.curve or ()]
            assert forces == sorted(forces), damper.code


def test_no_part_of_the_demo_shelf_is_unusual() -> None:
    assert [remark for one in demo_shelf().parts for remark in remarks_on(one)] == []


# ------------------------------------------------------------------------------------------------------ the page


def test_the_page_has_every_kind() -> None:
    page = PAGE.read_text("utf-8")

    assert all(f"<!-- keys of {name} -->" in page for name in shelf_tables())


def test_every_key_says_what_it_is() -> None:
    for kind in KINDS.values():
        for key, field in kind.model_fields.items():
            assert field.description, f"{kind.KIND}.{key}"
            assert not field.description.endswith("."), f"{kind.KIND}.{key}"
        for keys in (*kind.NEEDED, *kind.FITTING, kind.CARRIED):
            assert set(keys) <= set(kind.model_fields), kind.KIND


def test_what_a_part_carries_into_the_car_file_has_a_key_there() -> None:
    for kind in KINDS.values():
        if kind.MECHANICS is not None:
            assert set(kind.CARRIED) <= set(kind.MECHANICS.model_fields), kind.KIND
