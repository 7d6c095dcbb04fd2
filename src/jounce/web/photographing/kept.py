"""A car's photographs in the book: an entry of its own, whose text says what was stuck where, with two files for each.

The one file is the picture freed of all that tells of place or owner, the other one what was found in it.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from jounce.book import Book, Entry
from jounce.conventions.errors import InputError
from jounce.photographs.answer import MOST_PHOTOS
from jounce.photographs.intake import arrived
from jounce.photographs.record import record_of, recorded
from jounce.photographs.seen import SeenPhoto, are_one, seen_in

__all__ = ["KeptPhoto", "begun", "kept_photos", "photographs_of", "put_in", "taken_out"]

_NAME = "photographs of tiles"
_PICTURE, _RECORD = "image/jpeg", "application/json"


@dataclass(frozen=True, slots=True)
class KeptPhoto:
    """A photograph in the book.

    Attributes:
        id: of the picture's file
        at: when it came in
        seen: what it shows

    """

    id: str
    at: datetime.datetime
    seen: SeenPhoto


def photographs_of(book: Book, car: Entry) -> Entry | None:
    """The entry that holds a car's photographs; None where there are none yet.

    Args:
        book: the book
        car: the car
    """
    entries = [one for one in book.entries("measurement", car.id) if one.name.startswith(_NAME)]
    return entries[0] if entries else None


def begun(book: Book, car: Entry) -> Entry:
    """The entry that holds a car's photographs, made where there is none.

    Args:
        book: the book
        car: the car
    """
    return photographs_of(book, car) or book.add("measurement", f"{_NAME}, {car.name}"[:200], "", car.id)


def kept_photos(book: Book, entry: Entry | None) -> tuple[KeptPhoto, ...]:
    """Photographs that were not taken out, by the number that each got as it came in.

    Args:
        book: the book
        entry: what holds them; None where there is none yet

    Raises:
        InputError: what was found in one cannot be read
    """
    if entry is None:
        return ()
    files = book.attachments(entry.id, removed=True)
    records = {one.name: one.id for one in files if one.media_type == _RECORD}
    pictures = [one for one in files if one.media_type == _PICTURE and one.id in records]
    return tuple(
        KeptPhoto(one.id, one.at, recorded(book.content_of(records[one.id]).decode(), f"photograph {number}"))
        for number, one in enumerate(pictures, start=1)
        if one.removed_at is None
    )


def put_in(book: Book, car: Entry, data: bytes) -> KeptPhoto:
    """Look at a photograph and keep it without anything that tells of place or owner.

    Args:
        book: the book
        car: the car under which it was taken
        data: the file as it came

    Raises:
        Impossible: the extra is not installed
        InputError: it is no photograph, it is there already, or there are too many
    """
    photo = arrived(data, "the photograph")
    seen = seen_in(photo)
    entry = begun(book, car)
    there = kept_photos(book, entry)
    if len(there) >= MOST_PHOTOS:
        raise InputError("These are too many photographs", allowed=f"up to {MOST_PHOTOS}", todo="Twenty are good.")
    same = next((one for one in there if are_one(one.seen, seen)), None)
    if same is not None:
        raise InputError("This photograph is here already", found=same.seen.name, todo="Send another one.")
    made = book.attach(entry.id, "photograph of tiles", _PICTURE, photo.kept)
    book.attach(entry.id, made.id, _RECORD, record_of(seen).encode())
    return next(one for one in kept_photos(book, entry) if one.id == made.id)


def taken_out(book: Book, photos: Sequence[KeptPhoto], which: str) -> None:
    """Take a photograph out of the list; its content stays in the book.

    Args:
        book: the book
        photos: those of the car
        which: id of its picture; empty for all of them

    Raises:
        InputError: there is no such photograph here
    """
    some = [one for one in photos if which in {one.id, ""}]
    if which and not some:
        raise InputError("There is no such photograph here", found=which[:40], todo="Look at the list.")
    for one in some:
        book.take_out(one.id)
