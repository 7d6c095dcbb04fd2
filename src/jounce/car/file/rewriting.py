"""Changing single values and whole tables in the text of a car or job file; its comments and the order of its keys stay."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from jounce.conventions.errors import InputError

__all__ = ["as_text", "rewritten", "with_tables"]


def as_text(document: Mapping[str, Any]) -> str:
    r"""A whole document as text.

    Args:
        document: its keys and tables

    >>> as_text({"wanted": {"front": {"lower": 30}}})
    '[wanted.front]\nlower = 30\n'
    """
    return tomlkit.dumps(document)


def rewritten(text: str, values: Mapping[str, object]) -> str:
    r"""The text with other values.

    Args:
        text: TOML
        values: new value of each key by its full name, as in ``wanted.front.lower``; None takes the key out

    Returns:
        The new text; tables that are missing are made

    Raises:
        InputError: the text is no TOML, or a name leads through something that is no table

    >>> rewritten("[wanted.front]\nlower = 35 # as the customer asked", {"wanted.front.lower": "30 mm"})
    '[wanted.front]\nlower = "30 mm" # as the customer asked'
    """
    try:
        document = tomlkit.parse(text)
        for name, value in values.items():
            *path, key = name.split(".")
            _set(_table(document, path, make=value is not None), key, value)
    except TOMLKitError as error:
        raise InputError(f"The file is not valid TOML: {error}", todo="Correct the text first.") from None
    return tomlkit.dumps(document)


def with_tables(text: str, tables: Mapping[str, str]) -> str:
    r"""The text with whole tables in place of those it has, or added to it.

    Args:
        text: TOML
        tables: TOML of each new table by its full name, which is also its head

    Raises:
        InputError: the text is no TOML, or a name leads through something that is no table

    >>> with_tables("[a]\nb = 1\n\n[c]\n", {"a": "[a]\nd = 2"})
    '[a]\nd = 2\n\n[c]\n'
    """
    try:
        document = tomlkit.parse(text)
        for name, written in tables.items():
            *path, key = name.split(".")
            new: Any = tomlkit.parse(written.rstrip("\n") + "\n\n")
            for step in (*path, key):
                new = new[step]
            _table(document, path, make=True)[key] = new
    except TOMLKitError as error:
        raise InputError(f"The file is not valid TOML: {error}", todo="Correct the text first.") from None
    return tomlkit.dumps(document)


def _table(document: MutableMapping[str, Any], path: list[str], *, make: bool) -> MutableMapping[str, Any]:
    for step in path:
        if step not in document:
            if not make:
                return {}
            document[step] = tomlkit.table()
        below = document[step]
        if not isinstance(below, MutableMapping):
            raise InputError("This is no table", found=step, todo="Correct the text first.")
        document = below
    return document


def _set(table: MutableMapping[str, Any], key: str, value: object) -> None:
    if value is None:
        table.pop(key, None)
        return
    if isinstance(value, Mapping):  # a number with its ± and origin stays on its line
        told = tomlkit.inline_table()
        told.update(value)
        value = told
    table[key] = value
