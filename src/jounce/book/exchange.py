"""A book, or one car or job of it, as plain files: kept, mailed, read by anybody, and taken in again.

A folder holds one folder for each entry, named by kind, name and the beginning of its id. In it lie the newest document
as it is (``car.toml``, ``job.toml``, ``customer.txt`` …), ``history.json`` with every version and all that sheets of a
job promised, and the attached files. What was found is a measurement, an entry like others.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import re
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from math import isfinite
from pathlib import Path
from typing import Any, TypeVar

from jounce.book.book import Book
from jounce.book.entries import KINDS, ONLY_ONE, Attachment, Entry, Kept, Version
from jounce.book.promises import Promise
from jounce.car.file.writing import make_folder, sync_folder, write_whole
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind
from jounce.ledger.outcome import PromisedNumber

Plain = TypeVar("Plain", bool, int, str)

FORM = 1
"""Form of the files written; a reader refuses a newer one."""
_HISTORY = "history.json"
_PLAIN = ("customer", "measurement")
"""Kinds whose newest document is written as plain text; the others are TOML."""


def write_out(book: Book, folder: Path, entry_id: str | None = None) -> int:
    """Write entries as plain files, those that were taken out too; only their owner may read them.

    Args:
        book: the book
        folder: a folder that does not exist yet
        entry_id: one entry with all that belongs to it and what it belongs to; the whole book when left out

    Returns:
        How many entries were written

    Raises:
        InputError: the folder exists or cannot be made, the disk is full, or there is no such entry
    """
    if folder.exists() or folder.is_symlink():
        raise InputError("There is such a folder already", todo="Choose another name.", place=str(folder))
    everything = book.whole()
    promised: dict[str, list[Promise]] = {}
    for one in book.promises():
        promised.setdefault(one.job, []).append(one)
    wanted = everything if entry_id is None else _family(everything, book.entry(entry_id).id)
    make_folder(folder.parent)
    try:
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".") as within:
            unfinished = Path(within) / "export"
            unfinished.mkdir(mode=0o700)
            for kept in wanted:
                _write_entry(book, unfinished, kept, promised.get(kept.entry.id, ()))
            unfinished.rename(folder)
            sync_folder(folder.parent)
    except (OSError, InputError) as error:
        reason = getattr(error, "strerror", None) or getattr(error, "message", str(error))
        todo = "Check that the folder may be written to and that the disk has room; nothing was left there."
        raise InputError(f"The entries cannot be written ({reason})", todo=todo, place=str(folder)) from None
    return len(wanted)


def take_in(book: Book, folder: Path) -> int:
    """Read entries from plain files, all or none.

    A book that has a shop or local rules of its own keeps them and leaves those of the files aside.

    Args:
        book: the book
        folder: a folder made by `write_out`

    Returns:
        How many entries were read

    Raises:
        InputError: a file is missing, damaged or of a newer form, an entry is there with other versions, or what one
            belongs to is missing
    """
    places = sorted(path.parent for path in folder.glob(f"*/{_HISTORY}"))
    if not places:
        raise InputError("This folder holds no entries of a book", todo="Check the folder.", place=str(folder))
    own = {kind: entry.id for kind in ONLY_ONE for entry in book.entries(kind)}
    read = [
        one
        for one in map(_read_entry, places)
        if (last := one.versions[-1].entry).removed or own.get(last.kind, last.id) == last.id
    ]
    order = {kind: number for number, kind in enumerate(KINDS)}
    read.sort(key=lambda one: order[one.versions[-1].entry.kind])
    book.put_back(
        (one.versions for one in read),
        (_file(one.folder, told) for one in read for told in one.files),
        (promise for one in read for promise in one.promised),
    )
    return len(read)


def _family(everything: list[Kept], entry_id: str) -> list[Kept]:
    """An entry with all above it and all below it."""
    by_id = {kept.entry.id: kept for kept in everything}
    above: list[str] = []
    upper = by_id[entry_id].entry.belongs_to
    while upper is not None:
        above.insert(0, upper)
        upper = by_id[upper].entry.belongs_to
    found = [entry_id]
    for one in found:  # which grows meanwhile
        found += [kept.entry.id for kept in everything if kept.entry.belongs_to == one]
    return [by_id[one] for one in (*above, *found)]


def _write_entry(book: Book, folder: Path, kept: Kept, promised: Sequence[Promise]) -> None:
    entry = kept.entry
    plain = re.sub(r"[^\w-]+", "-", entry.name).strip("-").lower()[:40] or "unnamed"
    own = folder / f"{entry.kind}-{plain}-{entry.id[:8]}"
    number = 1
    while own.exists():
        number += 1
        own = folder / f"{entry.kind}-{plain}-{entry.id[:8]}-{number}"
    own.mkdir(mode=0o700)
    write_whole(own / f"{entry.kind}.{'txt' if entry.kind in _PLAIN else 'toml'}", entry.content, private=True)
    files = []
    for number, attachment in enumerate(kept.files, start=1):
        name = _file_name(number, attachment)
        write_whole(own / name, book.content_of(attachment.id), private=True)
        files.append({**_dated(attachment), "file": name})
    history = {
        "form": FORM,
        "entry": {"id": entry.id, "kind": entry.kind},
        "versions": [_told(version) for version in kept.versions],
        "files": files,
    }
    own_promises = [_promise_told(one) for one in promised if one.number <= entry.number]
    if own_promises:  # of versions that are written, should one have been saved meanwhile
        history["promised"] = own_promises
    write_whole(own / _HISTORY, json.dumps(history, indent=2, ensure_ascii=False) + "\n", private=True)


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


@dataclass(frozen=True, slots=True)
class _WrittenOut:
    """Folder of an entry, its versions, what is told of its files, and what was promised of it."""

    folder: Path
    versions: list[Version]
    files: list[dict[str, Any]]
    promised: list[Promise]


def _read_entry(folder: Path) -> _WrittenOut:
    place = folder / _HISTORY
    with _damage_told(place):
        told = json.loads(place.read_text(encoding="utf-8"))
        _check_form(told, place)
        versions = [_version(told["entry"], one) for one in told["versions"]]
        if [version.entry.number for version in versions] != list(range(1, len(versions) + 1)):
            raise ValueError("its versions are not numbered 1, 2, 3 …")
        job = versions[-1].entry
        promised = [_promise(job, one) for one in told.get("promised", ())]  # earlier programs wrote none
        return _WrittenOut(folder, versions, [dict(one) for one in told["files"]], promised)


@contextmanager
def _damage_told(place: Path) -> Iterator[None]:
    try:
        yield
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise InputError(
            "This is no entry of a book, or it is damaged",
            found=f"{type(error).__name__}: {error}",
            todo="Take the file from where it came from again; nothing was read in.",
            place=str(place),
        ) from None


def _check_form(told: dict[str, Any], place: Path) -> None:
    if told["form"] > FORM:
        found = str(told["form"])
        raise InputError(
            "These files are of a newer form", found=found, todo="Use the newer program.", place=str(place)
        )
    if told["entry"]["kind"] not in KINDS or not told["versions"]:
        raise InputError("This is no entry of a book", todo="Check the folder; nothing was read in.", place=str(place))


def _version(entry: dict[str, Any], told: dict[str, Any]) -> Version:
    belongs_to = told["belongs_to"]
    return Version(
        Entry(
            _is(entry["id"], str),
            entry["kind"],
            _is(told["name"], str),
            _is(told["content"], str),
            None if belongs_to is None else _is(belongs_to, str),
            _is(told["number"], int),
            _is(told["removed"], bool),
        ),
        datetime.datetime.fromisoformat(told["at"]),
        _is(told["by"], str),
        _is(told["note"], str),
    )


def _promise_told(one: Promise) -> dict[str, Any]:
    number = one.promised
    return {
        "number": one.number,
        "owner_number": one.owner_number,
        "sheet": one.sheet,
        "tool": one.tool,
        "at": one.at.isoformat(),
        "by": one.by,
        **asdict(number),
        "kind": number.kind.value,
    }


def _promise(job: Entry, told: dict[str, Any]) -> Promise:
    if job.kind != "job" or not 1 <= _is(told["number"], int) <= job.number:
        raise ValueError("a promise of a version that is not there")
    value, band, widened = (float(told[name]) for name in ("value", "band", "widened"))
    if not all(map(isfinite, (value, band, widened))) or not band > 0 or not widened > 0:
        raise ValueError("a promise without a band")
    words = {name: _is(told[name], str) for name in ("sheet", "tool", "by", "key", "layout")}
    return Promise(
        job.id,
        told["number"],
        _is(told["owner_number"], int),
        words["sheet"],
        words["tool"],
        datetime.datetime.fromisoformat(told["at"]),
        words["by"],
        PromisedNumber(words["key"], Kind(told["kind"]), value, band, widened, words["layout"]),
    )


def _is(value: object, kind: type[Plain]) -> Plain:
    """The value, which must be of a kind."""
    if not isinstance(value, kind):
        raise TypeError(f"{value!r} is no {kind.__name__}"[:200])
    return value


def _file(folder: Path, told: dict[str, Any]) -> tuple[Attachment, bytes]:
    with _damage_told(folder / _HISTORY):
        content = (folder / Path(told["file"]).name).read_bytes()
        if hashlib.sha256(content).hexdigest() != told["sha256"] or len(content) != told["size"]:
            raise InputError(
                "An attached file is not the one that was written out", found=told["name"], todo="Fetch it again."
            )
        removed = told.get("removed_at")  # files written by an earlier program do not tell
        attachment = Attachment(
            _is(told["id"], str),
            _is(told["entry"], str),
            _is(told["name"], str),
            _is(told["media_type"], str),
            told["sha256"],
            told["size"],
            datetime.datetime.fromisoformat(told["at"]),
            _is(told["by"], str),
            None if removed is None else datetime.datetime.fromisoformat(removed),
            _is(told.get("removed_by", ""), str),
        )
    return attachment, content
