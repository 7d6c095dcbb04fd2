"""What was saved last, as the next page tells it, and the way back from it: nobody else's change is lost by it.

The page that a form leads to is told the entry and its version in its address. Undoing saves the version before as the
next one, so that undoing once more redoes, and the list of versions keeps everything.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from jounce.book import Book, Entry
from jounce.book.book import Overtaken
from jounce.conventions.errors import InputError
from jounce.conventions.typed import whole

__all__ = ["Saved", "just_saved", "mark", "undone"]

UNDONE = "undone: "
"""How the note of a version begins that undoes another."""


@dataclass(frozen=True, slots=True)
class Saved:
    """The entry that was saved, as it is, and the sentence that says so."""

    entry: Entry
    told: str


def mark(entry: Entry) -> str:
    """What an address carries so that its page tells of the saving.

    Args:
        entry: as it was saved
    """
    return f"saved={entry.id}.{entry.number}"


def just_saved(book: Book, query: Mapping[str, str]) -> Saved | None:
    """What an address tells of, unless it was changed again since, or cannot be changed at all.

    Args:
        book: where it was saved
        query: of the address
    """
    entry_id, _, number = query.get("saved", "").rpartition(".")
    if book.read_only or whole(number) is None:
        return None
    try:
        latest = book.versions(entry_id)[-1]
    except InputError:
        return None
    entry, note = latest.entry, latest.note
    if str(entry.number) != number:
        return None
    if entry.removed:
        told = f"{entry.name} was taken out of the book."
    elif entry.number == 1:
        told = f"{entry.name} was put in the book."
    elif note.startswith(UNDONE):
        told = f"{entry.name}: {note}."
    else:
        told = f"Saved as version {number} of {entry.name}{f' ({note})' if note else ''}."
    return Saved(entry, told)


def undone(book: Book, entry_id: str, number: int) -> Entry:
    """Save the version before as the next one; what was put in is taken out, what was taken out comes back.

    Args:
        book: where it was saved
        entry_id: the entry
        number: the version to undo; it must still be the latest

    Returns:
        The entry with its new number

    Raises:
        Overtaken: somebody changed it since
        InputError: no such entry, or something belongs by now to what would be taken out
    """
    versions = {version.entry.number: version for version in book.versions(entry_id)}
    now = versions[max(versions)]
    if now.entry.number != number:
        raise Overtaken(now)
    before = versions.get(number - 1)
    if before is not None and not before.entry.removed:
        return book.save(replace(before.entry, number=number), f"{UNDONE}as in version {number - 1}")
    return book.remove(now.entry, f"{UNDONE}taken out")
