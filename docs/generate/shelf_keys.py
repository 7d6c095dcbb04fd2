"""The tables of keys in the manual page of the shelf file, printed from the kinds of parts themselves."""

from __future__ import annotations

from generate.car_keys import table_of_keys
from jounce.shelf.kinds import KINDS
from jounce.shelf.part import Part

__all__ = ["shelf_tables"]


def shelf_tables() -> dict[str, str]:
    """A table of keys for what all parts have, ``part``, and for what each kind has besides."""
    head, rule, *common = table_of_keys(Part).splitlines()
    tables = {"part": "\n".join([head, rule, *common])}
    for kind, model in KINDS.items():
        own = [row for row in table_of_keys(model).splitlines() if row not in common]
        tables[kind] = "\n".join(own) if len(own) > 2 else "No keys of its own."
    return tables
