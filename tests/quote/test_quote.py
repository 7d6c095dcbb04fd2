"""Money by hand: lines, sums, tax rounded once; orders from stock and lead times; the shop file."""

from __future__ import annotations

from decimal import Decimal
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.conventions.errors import InputError, InputProblems
from jounce.quote.orders import grouped, latest_days, order_lines, to_prepare
from jounce.quote.quote import QuotedWork, priced, rounded, same_parts
from jounce.quote.shop import Terms, parse_shop
from jounce.shelf.kinds.coils import CoilPart
from jounce.shelf.kinds.small import SmallPart
from jounce.shelf.toml import parse_toml

TERMS = Terms(currency="EUR", labour_rate="72.00", tax_percent=20)
HOURS = [QuotedWork("alignment", Decimal("1.5"))]


def part(code="A-1", **told):
    given = {"name": "bracket", "place": "front", "price": "145", "currency": "EUR", "labour_hours": 2.5} | told
    return SmallPart(code=code, **given)


def test_a_package_by_hand():
    """145.00 and (2.5 + 1.5) h at 72.00 make 433.00; 20 % of it 86.60."""
    package = priced("good", [(part(), 1)], HOURS, TERMS)

    assert [line.total for line in package.work_lines] == [Decimal("180.00"), Decimal("108.00")]
    assert (package.net, package.tax, package.gross) == (Decimal("433.00"), Decimal("86.60"), Decimal("519.60"))
    assert package.hours == Decimal(4)


def test_two_lots_cost_and_take_twice():
    package = priced("good", [(part(), 2)], [], TERMS)

    assert package.net == 2 * Decimal("145.00") + 2 * Decimal("180.00")


def test_tax_is_rounded_once_and_half_a_cent_goes_up():
    """5 % of 0.05 + 0.05 is half a cent, so 0.01; line by line, 0.0025 would twice be 0.00."""
    terms = Terms(currency="EUR", labour_rate=0, tax_percent=5)
    cheap = [part("A-1", price="0.05", labour_hours=0), part("A-2", price="0.05", labour_hours=0)]

    assert priced("x", [(one, 1) for one in cheap], [], terms).tax == Decimal("0.01")
    assert rounded(Decimal("0.025")) == Decimal("0.03")
    assert rounded(Decimal("2.344999")) == Decimal("2.34")


def test_what_is_not_known_is_told_and_left_out():
    package = priced("x", [(part(price=None, currency="", labour_hours=None), 1), (part("B-1"), 1)], [], TERMS)

    assert package.unpriced == ("A-1",)
    assert package.hours_unknown == ("A-1",)
    assert package.net == Decimal("145.00") + Decimal("180.00")


def test_another_currency_a_count_of_none_and_an_empty_package_are_refused():
    with pytest.raises(InputError, match="another currency"):
        priced("x", [(part(currency="GBP"), 1)], [], TERMS)
    with pytest.raises(InputError, match="at least once"):
        priced("x", [(part(), 0)], [], TERMS)
    with pytest.raises(InputError, match="nothing in the package"):
        priced("x", [], [], TERMS)


@given(
    st.lists(
        st.tuples(st.decimals(0, 5000, places=2), st.integers(1, 9), st.integers(0, 80).map(lambda h: h / 4)),
        min_size=1,
    ),
    st.decimals(0, 30, places=1),
)
def test_sums_close_whatever_is_bought(bought, percent):
    terms = Terms(currency="EUR", labour_rate="66.66", tax_percent=percent)
    parts = [(part(f"A-{k}", price=str(price), labour_hours=hours), n) for k, (price, n, hours) in enumerate(bought)]
    package = priced("x", parts, [], terms)
    lines = [*package.part_lines, *package.work_lines]

    assert package.gross - package.tax == package.net == sum(line.total for line in lines)
    assert abs(package.tax - package.net * percent / 100) <= Decimal("0.005")
    assert all(line.total == rounded(line.total) for line in lines)


def test_orders_take_from_stock_first_and_add_counts_of_one_code():
    scarce = part("A-1", stock=1, lead_time_days=12, maker="Ostrel Bars")
    there = part("B-1", stock=5, maker="Ostrel Bars")
    lines = order_lines([(scarce, 2), (there, 1), (scarce, 1)])

    assert [(x.part.code, x.needed, x.from_stock, x.to_order) for x in lines] == [("A-1", 3, 1, 2), ("B-1", 1, 1, 0)]
    assert latest_days(lines) == 12
    assert latest_days(lines[1:]) == 0
    assert list(grouped(lines)) == ["Ostrel Bars"]
    assert same_parts([(scarce, 2), (scarce, 1)]) == [(scarce, 3)]


def test_a_stock_or_a_lead_time_that_is_not_noted_leaves_the_day_open():
    assert latest_days(order_lines([(part(stock=None, lead_time_days=3), 1)])) is None
    assert latest_days(order_lines([(part(stock=0, lead_time_days=None), 1)])) is None
    assert list(grouped(order_lines([(part(), 1)]))) == ["a supplier not noted"]


def test_orders_go_to_who_sells_not_to_who_makes():
    sold = part("A-1", maker="Ostrel Bars", supplier="Hartmere Spring Trade")
    other = part("B-1", maker="Kelbrun Rods", supplier="Hartmere Spring Trade")
    direct = part("C-1", maker="Ostrel Bars")
    told = {
        name: [line.part.code for line in own]
        for name, own in grouped(order_lines([(p, 1) for p in (sold, other, direct)])).items()
    }

    assert told == {"Hartmere Spring Trade": ["A-1", "B-1"], "Ostrel Bars": ["C-1"]}


def test_every_demo_part_says_from_whom_it_is_ordered():
    parts = parse_toml(files("jounce.demo").joinpath("shelf.toml").read_text("utf-8"), "shelf.toml").good.parts

    assert len(parts) > 200
    assert all(part.supplier for part in parts)


def test_notes_and_unknown_numbers_are_to_be_prepared():
    coil = CoilPart(code="C-1", name="coil", place="rear", supplier_note="rate it on the bench")
    told = [one.what for one in to_prepare([(coil, 2)])]

    assert told[0] == "rate it on the bench"
    assert len(told) > 1
    assert all(text.startswith("measure: ") for text in told[1:])


def test_the_demo_shop_reads_and_a_wrong_one_tells_everything():
    text = files("jounce.demo").joinpath("shop.toml").read_text("utf-8")

    assert parse_shop(text, "shop.toml").quote.labour_rate == Decimal("72.00")
    with pytest.raises(InputProblems) as told:
        parse_shop(text.replace('"72.00"', '"dear"').replace("valid_days = 30", "valid_days = 0"), "shop.toml")
    assert len(told.value.problems) == 2
    assert "not an amount" in str(told.value)
