"""The parts shelf for programs: what there is, what fits a car, filling it, and what a package costs."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from jounce.conventions.errors import InputError, InputProblems, at
from jounce.quote.quote import QuotedPackage, QuotedWork, priced
from jounce.shelf.book_entries import documents_of, part_of, shelf_of
from jounce.shelf.csv_in import parse_csv
from jounce.shelf.fit.to_car import fit
from jounce.shelf.kinds import KINDS
from jounce.shelf.toml import parse_toml
from jounce.web.api.of_book import ENTRY_PATH, entry_of
from jounce.web.api.operation import JSON, TOML, Call, Operation, OperationAnswer, Parameter
from jounce.web.api.plain import plain
from jounce.web.api.schemas import Schema, choice, listed, objects, or_null, text, whole
from jounce.web.api.schemas import number as a_number
from jounce.web.case_cache import car_read
from jounce.web.shop_settings import shop_of

__all__ = ["OPERATIONS"]

CSV = "text/csv"
_MONEY: Schema = text('exact decimal money, as "12.50"')
_FIT: dict[str, Schema] = {
    "verdict": choice("fits, does not fit, or unknown", "fits", "does not fit", "unknown"),
    "axle": choice("at which axle", "front", "rear"),
    "reasons": listed(text("why it does not fit, or what has to be measured, in metric units")),
}
_PART: dict[str, Schema] = {
    "entry": text("id of its entry"),
    "code": text("the shop's code"),
    "kind": choice("what it is", *KINDS),
    "name": text("its name"),
    "maker": text("who makes it"),
    "price": or_null(_MONEY),
    "currency": text("of the price"),
    "stock": or_null(whole("how many are there")),
}
_CAR = Parameter("car", "query", text("id of a car: also tell whether each part fits it", 1, 64), required=False)


def _list(call: Call) -> Any:
    query = call.query
    words = str(query.get("words", "")).casefold().split()
    car = car_read(entry_of(call, "car", query["car"]).content) if "car" in query else None
    found = []
    for entry in call.ask.book.entries("part"):
        part = part_of(entry.content)
        there = f"{part.code} {part.name} {part.maker}".casefold()
        if query.get("kind", part.KIND) != part.KIND or not all(word in there for word in words):
            continue
        if query.get("in_stock") and not part.stock:
            continue
        told = {
            "entry": entry.id,
            "code": part.code,
            "kind": part.KIND,
            "name": part.name,
            "maker": part.maker,
            "price": part.price,
            "currency": part.currency,
            "stock": part.stock,
        }
        found.append(told | ({} if car is None else {"fit": _fitted(part, car)}))
    return {"parts": plain(found)}


def _fit(call: Call) -> Any:
    part = part_of(entry_of(call, "part").content)
    return _fitted(part, car_read(entry_of(call, "car", call.query["car"]).content))


def _fitted(part: Any, car: Any) -> dict[str, Any]:
    found = fit(part, car)
    return {
        "verdict": str(found.verdict),
        "axle": found.end.value,
        "reasons": [reason.sentence() for reason in found.reasons],
    }


def _fill(call: Call) -> Any:
    """All parts of a file, or none."""
    media = call.ask.query.get("media", TOML)
    reading = parse_csv(call.body, "", call.query.get("kind", "")) if media == CSV else parse_toml(call.body, "")
    if reading.problems:
        raise InputProblems(reading.problems)
    if not reading.good.parts:
        raise InputError("There is no part in it", todo="Write one as [coil.CODE].", place="body")
    return plain(call.ask.book.fill("part", documents_of(reading.good), "from a program"))


def _quote(call: Call) -> Any:
    shop = shop_of(call.ask)
    if shop is None:
        raise InputError("Money needs the shop's prices", todo="Fill in the shop first.")
    shelf = shelf_of(entry.content for entry in call.ask.book.entries("part"))
    work = [QuotedWork(one["name"], Decimal(str(one["hours"]))) for one in call.body.get("work", ())]
    found = []
    for number, package in enumerate(call.body["packages"]):
        with at(f"body.packages[{number}]"):
            parts = [(shelf.part(one["code"]), int(one.get("count", 1))) for one in package["parts"]]
            found.append(_told(priced(package["name"], parts, work, shop.quote)))
    return {"packages": found}


def _told(package: QuotedPackage) -> dict[str, Any]:
    return {
        "name": package.name,
        "lines": plain(
            [
                {name: getattr(line, name) for name in ("code", "name", "quantity", "unit", "price", "total")}
                for line in (*package.part_lines, *package.work_lines)
            ]
        ),
        "net": str(package.net),
        "tax": str(package.tax),
        "gross": str(package.gross),
        "unpriced": list(package.unpriced),
        "hours_unknown": list(package.hours_unknown),
    }


_GROUP = "Parts"
OPERATIONS = (
    Operation(
        "GET",
        "/v1/parts",
        "listParts",
        _GROUP,
        "List the parts of the shelf",
        _list,
        OperationAnswer(
            "the parts, by code",
            objects(
                "Parts.",
                {"parts": listed(objects("A part.", _PART | {"fit": objects("At the car.", _FIT)}, optional=("fit",)))},
            ),
        ),
        parameters=(
            Parameter("kind", "query", choice("only this kind", *KINDS), required=False),
            Parameter("words", "query", text("words in code, name or maker", 1, 200), required=False),
            Parameter("in_stock", "query", {"type": "boolean", "description": "only what is there"}, required=False),
            _CAR,
        ),
        problems=(404,),
    ),
    Operation(
        "GET",
        "/v1/parts/{entry}/fit",
        "fitPart",
        _GROUP,
        "Whether a part fits a car",
        _fit,
        OperationAnswer("fits, does not fit, or unknown", objects("A fit.", _FIT)),
        parameters=(ENTRY_PATH, Parameter("car", "query", text("id of the car", 1, 64))),
        problems=(404,),
    ),
    Operation(
        "POST",
        "/v1/parts",
        "fillShelf",
        _GROUP,
        "Fill the shelf from a document",
        _fill,
        OperationAnswer(
            "how many parts",
            objects(
                "Counts.",
                {
                    "new": whole("parts that were not there"),
                    "changed": whole("parts that got a next version"),
                    "same": whole("parts that are there as they are"),
                },
            ),
        ),
        "All parts or none.",
        (Parameter("kind", "query", choice("kind of the parts of a CSV without that column", *KINDS), required=False),),
        {TOML: text("a shelf document"), CSV: text("a table of parts")},
    ),
    Operation(
        "POST",
        "/v1/quote",
        "quotePackages",
        _GROUP,
        "What packages of parts cost",
        _quote,
        OperationAnswer(
            "lines, sums and tax",
            objects(
                "Packages.",
                {
                    "packages": listed(
                        objects(
                            "A package.",
                            {
                                "name": text("its name"),
                                "lines": listed(
                                    objects(
                                        "A line; money before tax.",
                                        {
                                            "code": text("code of the part; empty for work"),
                                            "name": text("what it is"),
                                            "quantity": text("lots, or hours"),
                                            "unit": text("what is counted"),
                                            "price": or_null(_MONEY),
                                            "total": or_null(_MONEY),
                                        },
                                    )
                                ),
                                "net": _MONEY,
                                "tax": _MONEY,
                                "gross": _MONEY,
                                "unpriced": listed(text("code of a part without a price: the sums are without it")),
                                "hours_unknown": listed(text("code of a part whose fitting time is not known")),
                            },
                        )
                    )
                },
            ),
        ),
        "Prices are those of the shelf, rates and tax those of the shop.",
        body={
            JSON: objects(
                "What is offered.",
                {
                    "packages": listed(
                        objects(
                            "A package.",
                            {
                                "name": text("its name", 1, 40),
                                "parts": listed(
                                    objects(
                                        "A part.",
                                        {"code": text("its code", 1, 80), "count": whole("lots of it", 1, 999)},
                                        optional=("count",),
                                    ),
                                    least=1,
                                    most=50,
                                ),
                            },
                        ),
                        least=1,
                        most=10,
                    ),
                    "work": listed(
                        objects(
                            "Work besides fitting, in every package.",
                            {"name": text("what is done", 1, 100), "hours": a_number("how long", "h", 0.01, 200.0)},
                        ),
                        most=20,
                    ),
                },
                optional=("work",),
            )
        },
    ),
)
