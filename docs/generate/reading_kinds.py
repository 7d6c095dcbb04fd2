"""The tables of the manual page of the readings file, printed from the kinds of readings themselves."""

from __future__ import annotations

from jounce.conventions.units import to_display, unit_of
from jounce.fit.kinds import KINDS, ReadingKind
from jounce.fit.readings_file import ENTRY_KEYS

__all__ = ["reading_tables"]

_AT = {"wheel": "a wheel", "axle": "an axle", "points": "`between`", "car": "the whole car"}


def reading_tables() -> dict[str, str]:
    """A table of the keys of an entry, ``entry``, and one of the kinds of readings, ``kinds``."""
    keys = ["| key | form | meaning |\n| --- | --- | --- |"]
    keys += [f"| `{name}` | {key.form} | {key.said} |" for name, key in ENTRY_KEYS.items()]
    kinds = ["| what | at | besides | unit | usual ± | minutes | read |\n| --- | --- | --- | --- | --- | --- | --- |"]
    kinds += [_row(word, kind) for word, kind in KINDS.items()]
    return {"entry": "\n".join(keys), "kinds": "\n".join(kinds)}


def _row(word: str, kind: ReadingKind) -> str:
    unit = unit_of(kind.kind).symbol
    usual = f"{100 * kind.usual:g} %" if kind.share else f"{to_display(kind.usual, kind.kind):.3g} {unit}"
    besides = [name for name, has in (("bump", kind.travels), ("load", kind.weighted), ("aboard", kind.aboard)) if has]
    if kind.kind.value == "angle" and "toe" in word:
        besides.append("across")
    told = ", ".join(f"`{name}`" for name in besides)
    return f"| `{word}` | {_AT[kind.where]} | {told} | {unit} | {usual} | {kind.minutes:g} | {kind.said} |"
