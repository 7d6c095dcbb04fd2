"""A book, or one car or job of it, as plain files: kept, mailed, read by anybody, and taken in again.

A folder holds one folder for each entry, named by kind, name and the beginning of its id. In it lie the newest document
as it is (``car.toml``, ``job.toml``, ``customer.txt`` …), ``history.json`` with every version, and the attached files.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import re
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from jounce.book.book import Book
from jounce.book.entries import KINDS, ONLY_ONE, Attachment, Entry, Version
from jounce.conventions.errors import InputError

FORM = 1
"""Form of the files written; a reader refuses a newer one."""
_HISTORY = "history.json"
_ENDINGS = {"car": "toml", "job": "toml", "part": "toml", "shop": "toml", "rules": "toml", "phrases": "toml"}


def write_out(book: Book, folder: Path, entry_id: str | None = None) -> int:
    """Write entries as plain files.

    Args:
        book: the book
        folder: a folder that does not exist yet
        entry_id: one entry with all that belongs to it and what it belongs to; the whole book when left out

    Returns:
        How many entries were written

    Raises:
        InputError: the folder exists, or there is no such entry
    """
    if folder.exists():
        raise InputError("There is such a folder already", todo="Choose another name.", place=str(folder))
    entries = list(_all(book)) if entry_id is None else _family(book, entry_id)
    unfinished = folder.with_name(folder.name + ".unfinished")
    unfinished.mkdir(parents=True)
    for entry in entries:
        _write_entry(book, unfinished, entry)
    unfinished.rename(folder)
    return len(entries)


def take_in(book: Book, folder: Path) -> int:
    """Read entries from plain files; all of them are read before the first one is written.

    A book that has a shop or local rules of its own keeps them and leaves those of the files aside.

    Args:
        book: the book
        folder: a folder made by `write_out`

    Returns:
        How many entries were read

    Raises:
        InputError: a file is missing, damaged or of a newer form, or an entry is there with other versions
    """
    read = [_read_entry(path.parent) for path in sorted(folder.glob(f"*/{_HISTORY}"))]
    if not read:
        raise InputError("This folder holds no entries of a book", todo="Check the folder.", place=str(folder))
    order = {kind: number for number, kind in enumerate(KINDS)}
    own: dict[str, str] = {kind: entry.id for kind in ONLY_ONE for entry in book.entries(kind)}
    read = [(v, files) for v, files in read if own.get(v[0].entry.kind, v[0].entry.id) == v[0].entry.id]
    read.sort(key=lambda one: order[one[0][0].entry.kind])
    for versions, _ in read:
        book.put_back(versions)
    for _, files in read:
        for attachment, content in files:
            book.put_file_back(attachment, content)
    return len(read)


def _all(book: Book) -> Iterator[Entry]:
    for kind in KINDS:
        yield from book.entries(kind)


def _family(book: Book, entry_id: str) -> list[Entry]:
    entry = book.entry(entry_id)
    above: list[Entry] = []
    while (above[0] if above else entry).belongs_to is not None:
        above.insert(0, book.entry(str((above[0] if above else entry).belongs_to)))
    found, waiting = [entry], [entry]
    while waiting:
        below = book.entries(belongs_to=waiting.pop().id)
        found += below
        waiting += below
    return above + found


def _write_entry(book: Book, folder: Path, entry: Entry) -> None:
    plain = re.sub(r"[^\w-]+", "-", entry.name).strip("-").lower()[:40] or "unnamed"
    own = folder / f"{entry.kind}-{plain}-{entry.id[:8]}"
    own.mkdir()
    (own / f"{entry.kind}.{_ENDINGS.get(entry.kind, 'txt')}").write_text(entry.content, encoding="utf-8")
    files = book.attachments(entry.id, removed=True)
    for number, attachment in enumerate(files, start=1):
        (own / _file_name(number, attachment)).write_bytes(book.content_of(attachment.id))
    history = {
        "form": FORM,
        "entry": {"id": entry.id, "kind": entry.kind},
        "versions": [_told(version) for version in book.versions(entry.id)],
        "files": [
            {**_dated(attachment), "file": _file_name(number, attachment)}
            for number, attachment in enumerate(files, start=1)
        ],
    }
    (own / _HISTORY).write_text(json.dumps(history, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")


def _dated(attachment: Attachment) -> dict[str, Any]:
    """An attachment as plain data, its times as text."""
    told = asdict(attachment) | {"at": attachment.at.isoformat()}
    return told | {"removed_at": None if attachment.removed_at is None else attachment.removed_at.isoformat()}


def _file_name(number: int, attachment: Attachment) -> str:
    plain = re.sub(r"[^\w.-]+", "-", attachment.name)[-80:]
    return f"{number:03d}-{plain}"


def _told(version: Version) -> dict[str, Any]:
    entry = version.entry
    return {
        "number": entry.number,
        "at": version.at.isoformat(),
        "by": version.by,
        "note": version.note,
        "name": entry.name,
        "belongs_to": entry.belongs_to,
        "removed": entry.removed,
        "content": entry.content,
    }


def _read_entry(folder: Path) -> tuple[list[Version], list[tuple[Attachment, bytes]]]:
    place = folder / _HISTORY
    try:
        told = json.loads(place.read_text(encoding="utf-8"))
        _check_form(told, place)
        versions = [_version(told["entry"], one) for one in told["versions"]]
        files = [_file(folder, one) for one in told["files"]]
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise InputError(
            "This is no entry of a book, or it is damaged",
            found=f"{type(error).__name__}: {error}",
            todo="Take the file from where it came from again; nothing was read in.",
            place=str(place),
        ) from None
    return versions, files


def _check_form(told: dict[str, Any], place: Path) -> None:
    if told["form"] > FORM:
        found = str(told["form"])
        raise InputError(
            "These files are of a newer form", found=found, todo="Use the newer program.", place=str(place)
        )
    if told["entry"]["kind"] not in KINDS or not told["versions"]:
        raise InputError("This is no entry of a book", todo="Check the folder; nothing was read in.", place=str(place))


def _version(entry: dict[str, Any], told: dict[str, Any]) -> Version:
    return Version(
        Entry(
            entry["id"],
            entry["kind"],
            told["name"],
            told["content"],
            told["belongs_to"],
            told["number"],
            told["removed"],
        ),
        datetime.datetime.fromisoformat(told["at"]),
        told["by"],
        told["note"],
    )


def _file(folder: Path, told: dict[str, Any]) -> tuple[Attachment, bytes]:
    content = (folder / Path(told["file"]).name).read_bytes()
    if hashlib.sha256(content).hexdigest() != told["sha256"]:
        raise InputError(
            "An attached file is not the one that was written out", found=told["name"], todo="Fetch it again."
        )
    names = ("id", "entry", "name", "media_type", "sha256", "size", "by")
    removed = told.get("removed_at")  # files written by an earlier program do not tell
    attachment = Attachment(
        **{name: told[name] for name in names},
        at=datetime.datetime.fromisoformat(told["at"]),
        removed_at=None if removed is None else datetime.datetime.fromisoformat(removed),
        removed_by=told.get("removed_by", ""),
    )
    return attachment, content
