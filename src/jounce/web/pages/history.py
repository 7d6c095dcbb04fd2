"""Every version of an entry, and the way back to one."""

from __future__ import annotations

import difflib

from starlette.responses import Response

from jounce.web.asking import Ask, onward, page
from jounce.web.pages.words import home_of

__all__ = ["restore", "show"]


def show(ask: Ask) -> Response:
    """All versions, the newest first, each with what it changed."""
    entry = ask.book.entry(ask.path["entry"])
    versions = ask.book.versions(entry.id)
    before = [None, *versions[:-1]]
    told = [
        (version, [] if old is None else _changed(old.entry.content, version.entry.content))
        for old, version in zip(before, versions, strict=True)
    ]
    return page(ask, "history.html", entry=entry, told=told[::-1], home=home_of(entry))


def restore(ask: Ask) -> Response:
    """Make an older version the newest; the one it replaces stays in the list."""
    entry = ask.book.entry(ask.path["entry"])
    number = ask.form.get("number", "")
    if number.isdigit() and len(number) < 10:
        ask.book.restore(entry.id, int(number))
    return onward(f"/entries/{entry.id}/history")


def _changed(old: str, new: str) -> list[str]:
    lines = difflib.unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=0)
    return [line for line in lines if line[:1] in "+-" and not line.startswith(("+++", "---"))]
