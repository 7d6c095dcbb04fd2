"""The shop: letterhead, prices, units and paper of the house, and the local rules that every job is held against."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from starlette.responses import Response

from jounce.book import Entry
from jounce.car.file.rewriting import rewritten
from jounce.checks.rules import parse_rules
from jounce.conventions.errors import InputError, JounceError
from jounce.conventions.typed import pointed, whole
from jounce.conventions.unit_table import UNIT_SETS
from jounce.questions.ledger import LEARNS
from jounce.quote.shop import Shop, parse_shop
from jounce.web.field_errors import beside
from jounce.web.kept_asked import KEPT_ASKED
from jounce.web.request import PageRequest, onward, page
from jounce.web.saving import keep, number_of
from jounce.web.shop_settings import local_rules, only_entry, put_in_only, shop_of

__all__ = ["keep_rules", "show"]

_NEW = "[shop]\n\n[quote]\n\n[house]\n"


@dataclass(frozen=True, slots=True)
class ShopField:
    """A field of the form: its key in the document, what it is called, how it is typed, what it asks for."""

    key: str
    label: str
    kind: Literal["text", "lines", "number", "choice"] = "text"
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    default: str = ""


FIELDS: tuple[tuple[str, tuple[ShopField, ...]], ...] = (
    (
        "On top of every sheet",
        (
            ShopField("shop.name", "Name of the shop"),
            ShopField(
                "shop.lines", "Address, telephone, anything else", "lines", "one line each, in the order of printing"
            ),
        ),
    ),
    (
        "On quotes",
        (
            ShopField("quote.currency", "Currency", hint="as on the shelf: EUR, USD …"),
            ShopField("quote.labour_rate", "An hour of work", "number", "before tax"),
            ShopField("quote.tax_name", "The tax is called", default="tax"),
            ShopField("quote.tax_percent", "The tax in percent", "number"),
            ShopField("quote.valid_days", "Days for which a quote holds", "number", default="30"),
            ShopField(
                "quote.number_prefix", "A quote's number begins with", hint="Q makes Q2031-0007; empty makes 2031-0007"
            ),
            ShopField(
                "quote.first_number",
                "First number of a year",
                "number",
                "1, unless quotes of this year were numbered elsewhere",
                default="1",
            ),
            ShopField("quote.note", "A sentence below the sums", hint="payment, warranty"),
        ),
    ),
    (
        "In this house",
        (
            ShopField(
                "house.units", "Units", "choice", "each browser may choose others", tuple((u, u) for u in UNIT_SETS)
            ),
            ShopField("house.paper", "Paper", "choice", "", (("a4", "A4"), ("letter", "US letter"))),
            ShopField(
                "house.address",
                "Address of the workbench on the phone",
                hint="https://workshop.local:8000 – with it sheets carry a code that leads back to the job",
            ),
            ShopField(
                "house.bands_learn",
                LEARNS,
                "choice",
                "± of planned cars × what the ledger found, and it is said beside them",
                (("no", "no"), ("yes", "yes")),
            ),
            ShopField(
                "house.questions_kept",
                KEPT_ASKED,
                "choice",
                "without names; they are looked at, and thrown away, on their own page",
                (("yes", "yes"), ("no", "no")),
            ),
        ),
    ),
)
_ALL = tuple(one for _, fields in FIELDS for one in fields)


def show(ask: PageRequest) -> Response:
    """The shop as it is, or as it was typed with what is wrong beside it."""
    entry = only_entry(ask.book, "shop")
    if not ask.form:
        shop = shop_of(ask)
        shown = {one.key: one.default if shop is None else _shown(shop, one) for one in _ALL}
        return _page(ask, entry, shown)
    text = rewritten(_NEW if entry is None else entry.content, {one.key: _typed(ask, one) for one in _ALL})
    try:
        shop = parse_shop(text, "")
    except JounceError as error:
        shown = {one.key: ask.form.get(one.key, "") for one in _ALL}
        wrong, rest = beside(error, [one.key for one in _ALL])
        return _page(ask, entry, shown, wrong, rest)
    if entry is None:
        put_in_only(ask, "shop", shop.shop.name, text)
    else:
        keep(ask, replace(entry, name=shop.shop.name), text, "settings of the shop")
    return onward("/shop?kept=1")


def keep_rules(ask: PageRequest) -> Response:
    """The local rules as text, typed or from a file; what cannot be read comes back with what is wrong."""
    entry = only_entry(ask.book, "rules")
    text = ask.uploaded()
    if text is None:
        text = ask.form.get("rules")
    if text is None:
        return onward("/shop")
    try:
        name = parse_rules(text, "").name if text.strip() else "none"
    except JounceError as error:
        shop = shop_of(ask)
        shown = {one.key: one.default if shop is None else _shown(shop, one) for one in _ALL}
        return _page(ask, only_entry(ask.book, "shop"), shown, rules=text, rules_wrong=str(error))
    if entry is None:
        put_in_only(ask, "rules", name, text)
    elif entry.content != text:
        keep(ask, replace(entry, name=name), text, "local rules")
    return onward("/shop?kept=rules")


def _page(  # noqa: PLR0913, PLR0917  # what a form comes back with
    ask: PageRequest,
    entry: Entry | None,
    shown: dict[str, str],
    wrong: dict[str, str] | None = None,
    rest: list[str] | None = None,
    rules: str | None = None,
    rules_wrong: str = "",
) -> Response:
    kept = only_entry(ask.book, "rules")
    number = 0 if entry is None else number_of(ask, entry) if wrong or rest else entry.number
    return page(
        ask,
        "shop.html",
        422 if wrong or rest or rules_wrong else 200,
        entry=entry,
        number=number,
        groups=FIELDS,
        values=shown,
        wrong=wrong or {},
        rest=rest or [],
        rules_entry=kept,
        rules_read=None if rules_wrong else local_rules(ask),
        rules_text=rules if rules is not None else "" if kept is None else kept.content,
        rules_wrong=rules_wrong,
        kept=ask.query.get("kept", ""),
    )


def _typed(ask: PageRequest, field: ShopField) -> object:
    """What was typed as the document says it; nothing where the field is empty."""
    text = ask.form.get(field.key, "").strip()
    if field.kind == "lines":
        return [line.strip() for line in text.split("\n") if line.strip()]
    if not text:
        return None
    return _number(text) if field.kind == "number" else " ".join(text.split())


def _number(text: str) -> object:
    """A whole number where it is one; amounts stay text, so that their hundredths are exact."""
    try:
        plain = pointed(text).removesuffix("%").strip()
    except InputError:
        return text  # the shop's document refuses it as no number
    count = whole(plain)
    return plain if count is None else count


def _shown(shop: Shop, field: ShopField) -> str:
    section, key = field.key.split(".")
    value = getattr(getattr(shop, section), key)
    return "\n".join(value) if isinstance(value, tuple) else str(value)
