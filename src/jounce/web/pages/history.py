"""Every version of an entry, the way back to one, and undoing the latest."""

from __future__ import annotations

import difflib
from dataclasses import replace

from starlette.responses import Response

from jounce.book import Entry
from jounce.book.book import Overtaken
from jounce.conventions.errors import InputError
from jounce.conventions.typed import whole
from jounce.web.pages.words import home_of
from jounce.web.request import PageRequest, onward, page
from jounce.web.saving import Taken, number_of, onward_saved
from jounce.web.undo import undone

__all__ = ["restore", "show", "undo"]


def show(ask: PageRequest) -> Response:
    """All versions, the newest first, each with what it changed."""
    entry = ask.book.entry(ask.path["entry"])
    versions = ask.book.versions(entry.id)
    before = [None, *versions[:-1]]
    told = [
        (version, [] if old is None else _changed(old.entry.content, version.entry.content))
        for old, version in zip(before, versions, strict=True)
    ]
    return page(ask, "history.html", entry=entry, told=told[::-1], home=home_of(entry))


def restore(ask: PageRequest) -> Response:
    """Make an older version the newest; the one it replaces stays in the list."""
    entry, wanted = ask.book.entry(ask.path["entry"]), ask.form.get("version", "")
    address = f"/entries/{entry.id}/history"
    if not ask.form:
        return onward(address)
    before = next((v.entry for v in ask.book.versions(entry.id) if str(v.entry.number) == wanted), None)
    if before is None:
        raise InputError(
            "This entry has no such version",
            found=wanted,
            allowed=f"1 to {entry.number}",
            todo="Choose one of its versions.",
        )
    try:
        kept = ask.book.save(
            replace(before, number=number_of(ask, entry), removed=False), f"as in version {before.number}"
        )
    except Overtaken as overtaken:
        raise Taken(entry, overtaken) from None
    return onward_saved(address, kept)


def undo(ask: PageRequest) -> Response:
    """Undo the version that a page told of, and go back to that page; a later change of anybody stays."""
    entry = ask.book.entry(ask.path["entry"])
    history = f"/entries/{entry.id}/history"
    if whole(ask.form.get("number", "")) is None:
        return onward(history)
    try:
        kept = undone(ask.book, entry.id, number_of(ask, entry))
    except Overtaken as overtaken:
        theirs = overtaken.theirs
        when = theirs.at.strftime("%Y-%m-%d %H:%M")
        told = f"“{entry.name}” was changed again by {theirs.by} on {when} UTC. Nothing was undone: look at it first."
        return page(ask, "refused.html", 409, error=told, back=history)
    return onward_saved(_home_without(kept) if kept.removed else _local(ask.form.get("then", ""), history), kept)


def _home_without(entry: Entry) -> str:
    """The page where an entry was listed that is taken out."""
    if entry.belongs_to is None or entry.kind == "car":
        return "/book"
    of_job = {"measurement": "proof", "progress": "state", "quote": "sheets"}
    step = of_job.get(entry.kind)
    return f"/cars/{entry.belongs_to}" if step is None else f"/jobs/{entry.belongs_to}/{step}"


def _local(address: str, otherwise: str) -> str:
    """An address of this workbench; what leads elsewhere is not followed."""
    plain = address.startswith("/") and address[1:2] not in {"/", "\\"} and address.isprintable()
    return address.partition("?")[0] if plain else otherwise


def _changed(old: str, new: str) -> list[str]:
    lines = difflib.unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=0)
    return [line for line in lines if line[:1] in "+-" and not line.startswith(("+++", "---"))]
