"""The quote for the customer, and the shop's own list of what to order and to prepare for it."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from decimal import Decimal

from jounce.conventions.errors import InputError
from jounce.job.wording import parts_of
from jounce.quote.orders import OrderLine, grouped, latest_days, order_lines, to_prepare
from jounce.quote.quote import QuotedPackage, rounded
from jounce.quote.shop import Shop
from jounce.search.packaged import beside_the_plan
from jounce.sheets.blocks import Block, Cautions, Cell, Heading, Points, Signatures, TableBlock, Words
from jounce.sheets.cautions import LAW, TOOL, cautions
from jounce.sheets.corner_feel import feel_blocks
from jounce.sheets.paperwork import Printout

_ON_REQUEST = "on request"


def quote(out: Printout) -> list[Block]:
    """The quote: each package with its sums, and what the car feels like with just its parts.

    Args:
        out: what is printed

    Raises:
        InputError: no shop or nothing offered
    """
    shop = _shop(out)
    packages = [offer.package for offer in out.offers]
    blocks: list[Block] = [Words(_validity(out, shop))]
    if len(packages) > 1:
        blocks += [Heading("Packages side by side"), _side_by_side(packages, shop)]
    for offer in out.offers:
        own = out.of_offer(offer)
        name = f": package {offer.package.name}" if len(packages) > 1 else ""
        blocks += [*_package(offer.package, shop), Heading(f"What it does to the car{name}")]
        blocks += [Points(parts_of(offer.case.change_list, out.units)), *_beside(offer.package), *feel_blocks(own)]
    if shop.quote.note:
        blocks.append(Words(shop.quote.note))
    warned = [line for offer in out.offers for line in cautions(out.of_offer(offer), (LAW, TOOL))]
    return [*blocks, Cautions(list(dict.fromkeys(warned))), Signatures(("ordered: package", "signature", "date"))]


def _beside(package: QuotedPackage) -> Iterator[Block]:
    others = beside_the_plan(package.parts)
    if others:
        yield Words(f"In the price, and not in what is worked out: {', '.join(part.name for part in others)}.")


def order_list(out: Printout) -> list[Block]:
    """Orders by supplier, and what has to be measured, machined or prepared.

    Args:
        out: what is printed

    Raises:
        InputError: no shop or nothing offered
    """
    _shop(out)
    blocks: list[Block] = []
    for package in (offer.package for offer in out.offers):
        lines = order_lines(package.parts)
        if len(out.offers) > 1:
            blocks.append(Heading(f"Package: {package.name}"))
        for supplier, own in grouped(lines).items():
            head = ["part", "code", "needed", "from stock", "to order", "days", "ordered on"]
            blocks += [Heading(f"From {supplier}"), TableBlock(head, [_order(line) for line in own], words=2)]
        if package.not_on_shelf:
            blocks += [
                Heading("Not on the shelf: to be found, priced and ordered"),
                Points(package.not_on_shelf, tick=True),
            ]
        blocks.append(Words(_complete(lines, package)))
        prepare = [f"{one.part.code}, {one.part.name}: {one.what}" for one in to_prepare(package.parts)]
        work = [f"{one.name}: {_plain(one.hours)} h" for one in package.work]
        blocks += [
            Heading("To machine, to prepare or to measure; further work"),
            Points([*prepare, *work] or ["Nothing is noted on the shelf, and no further work was named."], tick=True),
        ]
    blocks.append(
        Words("Rate every spring of a batch on the bench before it is fitted: catalogue rates are not measurements.")
    )
    return [*blocks, Signatures(("ordered by", "checked on arrival by", "date"))]


def _shop(out: Printout) -> Shop:
    if out.look.shop is None:
        raise InputError("Money needs the shop's file", todo="Name it: --shop shop.toml.")
    if not out.offers:
        raise InputError("Nothing is offered", todo="Name parts: --shelf shelf.toml --part CODE.")
    return out.look.shop


def _validity(out: Printout, shop: Shop) -> str:
    money = (
        f"All prices in {shop.quote.currency}; sums without and with {shop.quote.tax_percent} % {shop.quote.tax_name}."
    )
    if out.quoted is not None:
        head = out.quoted
        told = f"Quote {head.mark}, of {head.date}; holds until {head.valid_until}."
        return f"{told} {money}"
    day = out.case.change_list.job.date if out.case.job is not None else None
    if day is None:
        return f"Holds for {shop.quote.valid_days} days from the day on which the shop signs it. {money}"
    until = day + datetime.timedelta(days=shop.quote.valid_days)
    return f"Quote of {day}; holds until {until}. {money}"


def _side_by_side(packages: Sequence[QuotedPackage], shop: Shop) -> TableBlock:
    rows: list[list[Cell]] = [
        ["parts", *(_sum([line.total for line in one.part_lines]) for one in packages)],
        [f"work, {shop.quote.labour_rate} an hour", *(_sum([x.total for x in one.work_lines]) for one in packages)],
        [f"{shop.quote.tax_name} {shop.quote.tax_percent} %", *(_money(one.tax) for one in packages)],
        [f"to pay, {shop.quote.currency}", *(f"{_from(one)}{_money(one.gross)}" for one in packages)],
    ]
    return TableBlock(["", *(one.name for one in packages)], rows, total=1)


def _package(package: QuotedPackage, shop: Shop) -> Iterator[Block]:
    yield Heading(f"Package: {package.name}")
    rows: list[list[Cell]] = [
        [line.name, line.code, f"{_plain(line.quantity)} {line.unit}", _price(line.price), _price(line.total)]
        for line in (*package.part_lines, *package.work_lines)
    ]
    tax = f"{shop.quote.tax_name} {shop.quote.tax_percent} %"
    rows += [
        [f"sum{' of what is priced' if package.unpriced else ''}", "", "", "", _money(package.net)],
        [tax, "", "", "", _money(package.tax)],
        [f"to pay, {shop.quote.currency}", "", "", "", f"{_from(package)}{_money(package.gross)}"],
    ]
    yield TableBlock(["parts and work", "code", "quantity", "each", f"{shop.quote.currency}"], rows, words=2, total=3)
    if package.unpriced:
        yield Words(f"No price is known of {', '.join(package.unpriced)}: the sum is without it.")
    if package.hours_unknown:
        yield Words(f"No fitting time is noted for {', '.join(package.hours_unknown)}: work on it is not in the sum.")


def _order(line: OrderLine) -> list[Cell]:
    counts = [str(line.needed), *("ask" if n is None else str(n) for n in (line.from_stock, line.to_order))]
    waits = line.to_order is None or line.to_order > 0
    days = "–" if not waits else "ask" if line.lead_time_days is None else str(line.lead_time_days)
    return [line.part.name, line.part.code, *counts, days, None if waits else "–"]


def _complete(lines: list[OrderLine], package: QuotedPackage) -> str:
    days = latest_days(lines)
    if package.not_on_shelf:
        return "When all is there is not known: some parts are not on the shelf."
    if days is None:
        return "When all is there is not known: a stock or a lead time is not noted."
    return f"All is there {days} days after ordering." if days else "All is in stock."


def _from(package: QuotedPackage) -> str:
    return "from " if package.at_least else ""


def _sum(amounts: list[Decimal | None]) -> str:
    return _money(sum((amount for amount in amounts if amount is not None), Decimal(0)))


def _price(amount: Decimal | None) -> str:
    return _ON_REQUEST if amount is None else _money(amount)


def _money(amount: Decimal) -> str:
    return f"{rounded(amount):.2f}"


def _plain(number: Decimal) -> str:
    return f"{number.normalize():f}"
