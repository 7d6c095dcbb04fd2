"""Saving an entry from a form: nobody's work is overwritten unseen."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from starlette.responses import Response

from jounce.book import Entry, Version
from jounce.book.book import Overtaken
from jounce.car.file.reading import parse_car
from jounce.checks.rules import parse_rules
from jounce.conventions.errors import JounceError
from jounce.conventions.typed import whole
from jounce.job.apply import problems_between
from jounce.job.file import parse_job
from jounce.quote.kept import parse_quote
from jounce.quote.progress import parse_progress
from jounce.quote.shop import parse_shop
from jounce.web.request import PageRequest, onward, page
from jounce.web.undo import mark
from jounce.words.phrases import parse_phrases

__all__ = ["Since", "Taken", "keep", "number_of", "onward_saved", "read_whole", "since_opened", "taken_page"]


class Taken(Exception):
    """Somebody else saved the entry meanwhile."""

    def __init__(self, entry: Entry, overtaken: Overtaken) -> None:
        super().__init__(str(overtaken))
        self.entry, self.overtaken = entry, overtaken


def number_of(ask: PageRequest, entry: Entry) -> int:
    """Version from which a form was made.

    Args:
        ask: the request with its form
        entry: what it changes
    """
    given = whole(ask.form.get("number", ""))
    return entry.number if given is None else given


@dataclass(frozen=True, slots=True)
class Since:
    """What was saved since a form was opened.

    Attributes:
        before: the entry as the form showed it
        changed: the version that changed a field last, by the field's key; fields nobody changed are not there
        note: what is said of putting both changes together; empty where nothing was saved meanwhile

    """

    before: Entry
    changed: Mapping[str, Version]
    note: str

    def told(self, key: str, now: str) -> str:
        """What is said beside a field that two people changed.

        Args:
            key: the field
            now: what stands there now
        """
        theirs = self.changed[key]
        when = theirs.at.strftime("%Y-%m-%d %H:%M")
        return (
            f"{theirs.by} saved “{now or 'nothing'}” here on {when} UTC (version {theirs.entry.number}), after you opened "
            "this page. Save again to put yours in its place, or type theirs."
        )


def since_opened(ask: PageRequest, entry: Entry, shown: Callable[[str], Mapping[str, object]]) -> Since:
    """What others saved since the form was opened, field by field.

    Args:
        ask: the request with its form
        entry: the entry as it is now
        shown: what the fields show of a document, by key
    """
    number = number_of(ask, entry)
    versions = (
        [one for one in ask.book.versions(entry.id) if one.entry.number >= number] if number < entry.number else []
    )
    if not versions or versions[0].entry.number != number:
        return Since(entry, {}, "")
    changed: dict[str, Version] = {}
    fields = [shown(one.entry.content) for one in versions]
    for version, old, new in zip(versions[1:], fields, fields[1:], strict=False):
        changed |= {key: version for key in {*old, *new} if old.get(key) != new.get(key)}
    last = versions[-1]
    return Since(versions[0].entry, changed, f"; put together with version {last.entry.number} by {last.by}")


def keep(ask: PageRequest, entry: Entry, content: str, note: str = "", *, number: int | None = None) -> Entry:
    """Check a document and save it as the next version.

    Args:
        ask: the request with its form
        entry: the entry as it is now
        content: its new document
        note: what is said about the change
        number: version that the document was made from; that of the form where it is left out

    Raises:
        Taken: somebody else saved it since the form was opened
        JounceError: what is wrong with the document; nothing is saved
    """
    number = number_of(ask, entry) if number is None else number
    name = read_whole(ask, replace(entry, content=content))
    try:
        return ask.book.save(replace(entry, name=name, content=content, number=number), note)
    except Overtaken as overtaken:
        raise Taken(entry, overtaken) from None


def onward_saved(address: str, entry: Entry) -> Response:
    """On to another page, which says what was saved and can undo it.

    Args:
        address: the page, without a query
        entry: as it was saved
    """
    return onward(f"{address}?{mark(entry)}")


def read_whole(ask: PageRequest, entry: Entry) -> str:
    """Read a car or a job as a whole and give the name that it says; anything else keeps its own.

    Args:
        ask: the request
        entry: what is to be read

    Raises:
        JounceError: what is wrong with it
    """
    if entry.kind == "car":
        return parse_car(entry.content, entry.name).car.name
    if entry.kind == "shop":
        return parse_shop(entry.content, entry.name).shop.name
    if entry.kind == "phrases":
        return parse_phrases(entry.content, entry.name).language
    if entry.kind == "quote":
        return parse_quote(entry.content).quote.number
    if entry.kind == "progress":
        parse_progress(entry.content)
    if entry.kind == "rules" and entry.content.strip():
        return parse_rules(entry.content, entry.name).name
    if entry.kind != "job":
        return entry.name
    document = parse_job(entry.content, entry.name)
    if entry.belongs_to is not None:
        owner = ask.book.entry(entry.belongs_to)
        problems = problems_between(parse_car(owner.content, owner.name), document)
        if problems:
            raise JounceError("\n".join(str(problem) for problem in problems))
    return document.job.name


def taken_page(ask: PageRequest, taken: Taken) -> Response:
    """Shows the other's change, and offers to put one's own on top of it or to drop it.

    Args:
        ask: the form that came too late
        taken: what was saved meanwhile
    """
    theirs, opened = taken.overtaken.theirs, number_of(ask, taken.entry)
    before = next((v.entry.content for v in ask.book.versions(taken.entry.id) if v.entry.number == opened), "")
    lines = list(difflib.unified_diff(before.splitlines(), theirs.entry.content.splitlines(), lineterm="", n=1))[2:]
    mine = {name: value for name, value in ask.form.items() if name != "number"}
    return page(
        ask, "taken.html", 409, message=str(taken.overtaken), lines=lines, mine=mine, number=theirs.entry.number
    )
