"""What a job costs in a sentence, held against sums by hand."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import cache

from jounce.quote.parts_named import parts_of_shelf
from jounce.sheets.job_money import money_of_job
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml
from tests.sheets.cases import demo_text, job_case, shop


@cache
def stock() -> Shelf:
    return parse_toml(demo_text("shelf.toml"), "shelf.toml").whole("shelf.toml")


def test_it_is_what_parts_and_hours_sum_to() -> None:
    case = job_case().case
    told, lacking = money_of_job(case, stock(), shop().quote)
    sums = re.findall(r"[\d,]+\.\d\d", told)
    assert len(sums) == 3
    assert all(f"{amount} {shop().quote.currency}" in told for amount in sums)  # no amount without its currency
    assert Decimal(sums[0].replace(",", "")) == sum(
        part.price * lots for part, lots in parts_of_shelf(case.change_list, stock())
    )
    net = sum(Decimal(amount.replace(",", "")) for amount in sums[:2])
    assert Decimal(sums[2].replace(",", "")) == round(net * (1 + shop().quote.tax_percent / 100), 2)
    assert ("at least" in told) == bool(lacking)
