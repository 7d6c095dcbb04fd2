"""Local rules as a file of the workshop's own: named limits with text, source and date, checked against the planned car.

The program knows no law. What a rule set says was written by its user, who has to keep it true; a limit here is a number
against a number.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jounce.car.file.document import CarDocument
from jounce.car.file.reading import read_text, read_toml
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.limits import LIMITS, USUAL, CheckLimits
from jounce.checks.rule_quantities import QUANTITIES
from jounce.conventions.errors import InputError, at
from jounce.conventions.units import Kind, read, show, unit_of
from jounce.job.plan import JobPlan
from jounce.job.sentence import Amount, say

__all__ = ["Rule", "RuleSet", "parse_rules", "read_rules", "rule_checks"]


@dataclass(frozen=True, slots=True)
class Rule:
    """One limit of a rule set.

    Attributes:
        name: what the user calls it
        what: the quantity, a word of `QUANTITIES`
        at_least: the value may not be below it, None where there is no such limit [SI]
        at_most: the value may not be above it, likewise [SI]
        text: the rule in words
        source: where it is written
        date: when it was looked up; None where that was not told

    """

    name: str
    what: str
    at_least: float | None
    at_most: float | None
    text: str
    source: str
    date: datetime.date | None


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The rules of one file, with what its user says of the whole of them, and limits of checks that the shop holds."""

    name: str
    note: str
    rules: tuple[Rule, ...]
    limits: CheckLimits = USUAL


NO_RULES = RuleSet("", "", ())
"""No rule of the user's own, and the usual limits."""


def read_rules(path: Path | str) -> RuleSet:
    """Read a rule set.

    Args:
        path: TOML file in UTF-8

    Raises:
        InputError: the file cannot be read, or the first entry that is wrong in it
    """
    return parse_rules(read_text(Path(path)), str(path))


def parse_rules(text: str, name: str) -> RuleSet:
    """Read the text of a rule set.

    Args:
        text: the content of the file
        name: name of the file, for messages

    Raises:
        InputError: the first entry that is wrong
    """
    with at(name):
        written = read_toml(text, "")
        unknown_keys = sorted(set(written) - {"rules", "rule", "limits"})
        own: Any = written.get("limits", {})
        head: Any = written.get("rules", {})
        entries: Any = written.get("rule", [])
        sound = isinstance(entries, list) and isinstance(head, dict) and isinstance(own, dict)
        if unknown_keys or not sound or not (entries or own):
            raise InputError(
                "This is no rule set",
                found=", ".join(unknown_keys) or "no rule",
                allowed="a section [rules], entries [[rule]], and sections [limits.…]",
                todo="The command example writes one to start from.",
            )
        with at("[rules]"):
            _refuse_unknown(head, ("name", "note"))
            title, note = (_text(head, key, required=key == "name") for key in ("name", "note"))
        with at("[limits]"):
            limits = CheckLimits({limit: _own_limit(limit, told) for limit, told in own.items()})
        return RuleSet(
            title, note, tuple(_rule(entry, number) for number, entry in enumerate(entries, start=1)), limits
        )


def _own_limit(limit: str, told: Any) -> tuple[float, str]:
    """A limit of a check that the shop holds in place of common practice: its value [SI] and its source."""
    if limit not in LIMITS:
        raise InputError("There is no such limit", found=limit, allowed=", ".join(LIMITS))
    with at(limit):
        if not isinstance(told, dict):
            raise InputError(
                "A limit has a value and a source", found=repr(told), allowed='{ value = "…", source = "…" }'
            )
        _refuse_unknown(told, ("value", "source"))
        value = _limit(told, "value", LIMITS[limit].kind)
        if value is None or not value > 0:
            raise InputError("A limit is above zero", found=repr(told.get("value")), place="value")
        return value, _text(told, "source", required=True)


_KEYS = ("name", "what", "at_least", "at_most", "text", "source", "date")


def _rule(entry: Any, number: int) -> Rule:
    with at(f"rule {number}"):
        if not isinstance(entry, dict):
            raise InputError(
                "This is no rule", found=repr(entry), allowed="[[rule]] with name, what, at_least or at_most"
            )
        _refuse_unknown(entry, _KEYS)
        what = entry.get("what")
        if not isinstance(what, str) or what not in QUANTITIES:
            raise InputError("A rule limits a quantity", found=repr(what), allowed=", ".join(QUANTITIES), place="what")
        kind = QUANTITIES[what].kind
        low, high = (_limit(entry, key, kind) for key in ("at_least", "at_most"))
        if low is None and high is None:
            raise InputError("The rule has no limit", todo="Give at_least or at_most, or both.")
        if low is not None and high is not None and low > high:
            raise InputError("at_least is above at_most", found=f"{show(low, kind)} and {show(high, kind)}")
        date = entry.get("date")
        if date is not None and not isinstance(date, datetime.date):
            raise InputError("The date is none", found=repr(date), allowed="for instance 2026-03-14", place="date")
        name, text, source = (_text(entry, key, required=key != "text") for key in ("name", "text", "source"))
        return Rule(name, what, low, high, text, source, date)


def _refuse_unknown(written: Mapping[str, Any], keys: tuple[str, ...]) -> None:
    for key in written:
        if key not in keys:
            raise InputError("Unknown key", found=key, allowed=", ".join(keys))


def _text(written: Mapping[str, Any], key: str, *, required: bool) -> str:
    value = written.get(key, "")
    if not isinstance(value, str) or (required and not value.strip()):
        raise InputError(f'"{key}" needs a text', found=repr(value), place=key)
    return value.strip()


def _limit(entry: Mapping[str, Any], key: str, kind: Kind) -> float | None:
    """A limit in SI: a number in the usual unit, or a text with its own."""
    value = entry.get(key)
    if value is None:
        return None
    with at(key):
        if isinstance(value, bool) or not isinstance(value, (int, float, str)):
            raise InputError("A limit is a number or a text with a unit", found=repr(value))
        return read(str(value), kind, unit_of(kind, "metric").symbol)


def rule_checks(rules: RuleSet, document: CarDocument, plan: JobPlan) -> list[Check]:
    """Every rule against the planned car, in the order of the file.

    Args:
        rules: the user's rule set
        document: the planned car's document
        plan: what came out
    """
    checks: list[Check] = []
    for number, rule in enumerate(rules.rules, start=1):
        for bound in ("at least", "at most"):
            limit = rule.at_least if bound == "at least" else rule.at_most
            if limit is not None:
                checks.append(_check(f"RUL-{number:02d}", rule, (bound, limit), document, plan))
    return checks


def _check(code: str, rule: Rule, limit: tuple[str, float], document: CarDocument, plan: JobPlan) -> Check:
    told = QUANTITIES[rule.what]
    bound, number = limit
    question = f"{rule.name}?"
    value = told.value(document, plan)
    asked = say("{} {} asked for", bound, Amount(number, told.kind))
    if value is None:
        return unknown(code, question, told.kind, say("{}; measure {}", asked, told.missing))
    good = value >= number if bound == "at least" else value <= number
    looked = "date not told" if rule.date is None else f"as of {rule.date.isoformat()}"
    return Check(
        code,
        question,
        verdict(good),
        say("{}: {}, {}.", told.words, Amount(value, told.kind), asked),
        told.kind,
        value,
        number,
        f"{rule.source}, {looked}",
        "at least" if bound == "at least" else "at most",
        rule.text,
        "Plan otherwise, or ask the authority and an inspector whether it can be approved.",
        lowering="car" if told.kind is Kind.LENGTH and bound == "at least" else "",
    )
