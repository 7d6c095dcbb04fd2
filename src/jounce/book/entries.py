"""What a book holds: entries of a few kinds, their versions, and files that belong to them."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Final, Literal, get_args

EntryKind = Literal["customer", "car", "job", "part", "measurement", "shop", "rules", "phrases", "progress", "quote"]

KINDS: Final[tuple[EntryKind, ...]] = get_args(EntryKind)
"""Kinds of entries; a car may belong to a customer, a job and a measurement belong to a car, how far a job has come and
its quotes to the job.

A book has at most one entry of the kind "shop", the shop's own paper and prices, one of "rules", its local limits, and
one of "phrases", its own words for what the pages say.
"""

ONLY_ONE: Final[tuple[EntryKind, ...]] = ("shop", "rules", "phrases")
"""Kinds of which a book has at most one entry."""

BELONGS_TO: Final[dict[EntryKind, tuple[EntryKind, ...]]] = {
    "customer": (),
    "car": ("customer",),
    "job": ("car",),
    "measurement": ("car", "job"),
    "part": (),
    "shop": (),
    "rules": (),
    "phrases": (),
    "progress": ("job",),
    "quote": ("job",),
}
"""What an entry of a kind may belong to."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing in the book as it is now.

    Attributes:
        id: its name for programs, never used twice
        kind: what it is
        name: its name for people
        content: its document as text: TOML; plain text of a customer of whom nobody filled in the fields
        belongs_to: id of the entry that it belongs to; None for none
        number: number of this version, from 1
        removed: whether it was taken out; its versions stay

    """

    id: str
    kind: EntryKind
    name: str
    content: str
    belongs_to: str | None
    number: int
    removed: bool = False


@dataclass(frozen=True, slots=True)
class Version:
    """An entry as it once was, with when and by whom it was written and what was said about it."""

    entry: Entry
    at: datetime.datetime
    by: str
    note: str


@dataclass(frozen=True, slots=True)
class Touched:
    """When an entry was put in, when it was written last, and by whom."""

    begun: datetime.datetime
    last: datetime.datetime
    by: str


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that belongs to an entry: a photo, a printed sheet.

    Attributes:
        id: its name for programs
        entry: id of the entry
        name: file name for people
        media_type: what it is, as in "image/jpeg"
        sha256: check sum of the content, in hexadecimal
        size: length of the content in bytes
        at: when it was put in
        by: who put it in
        removed_at: when it was taken out of the list, None where it was not; the content stays
        removed_by: who took it out

    """

    id: str
    entry: str
    name: str
    media_type: str
    sha256: str
    size: int
    at: datetime.datetime
    by: str
    removed_at: datetime.datetime | None = None
    removed_by: str = ""


@dataclass(frozen=True, slots=True)
class PrintedSheet:
    """What a code on a printed sheet leads back to.

    Attributes:
        code: the letters and digits on the sheet
        sheet: word of the kind of sheet
        entry: id of the job or the car that it is of
        number: version of that
        owner_number: version of the car that a job belonged to; 0 for a sheet of a car
        at: when it was first printed so
        by: who printed it

    """

    code: str
    sheet: str
    entry: str
    number: int
    owner_number: int
    at: datetime.datetime
    by: str


@dataclass(frozen=True, slots=True)
class Kept:
    """An entry with all that is kept of it: its versions, the first one first, and its files in the order they came."""

    versions: list[Version]
    files: list[Attachment]

    @property
    def entry(self) -> Entry:
        """The entry as it is now."""
        return self.versions[-1].entry
