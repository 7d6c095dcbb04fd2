"""The shop book for programs: entries with every version, saved only on top of the version that was read."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from jounce.book import Book, Entry
from jounce.book.entries import KINDS, EntryKind, Version
from jounce.conventions.errors import InputError, JounceError
from jounce.shelf.book_entries import part_of
from jounce.web.api.operation import JSON, Call, Operation, OperationAnswer, Parameter
from jounce.web.api.problems import Refused
from jounce.web.api.schemas import Schema, choice, listed, objects, or_null, text, whole
from jounce.web.saving import read_whole

__all__ = ["ENTRY", "ENTRY_PATH", "OPERATIONS", "VERSION", "entry_of", "told_entry", "told_version"]

_HEAD: dict[str, Schema] = {
    "id": text("its name for programs"),
    "kind": choice("what it is", *KINDS),
    "name": text("its name for people"),
    "belongs_to": or_null(text("id of the entry that it belongs to")),
    "number": whole("number of this version; send it back when saving", 1),
    "removed": {"type": "boolean", "description": "whether it was taken out; its versions stay"},
}
_CONTENT: Schema = text("its document: TOML of a car, a job, a part, a shop or its rules; else plain text")
HEAD: Schema = objects("An entry as it stands in a list.", _HEAD)
ENTRY: Schema = objects("An entry with its document.", _HEAD | {"content": _CONTENT})
VERSION: Schema = objects(
    "An entry as it once was.",
    {
        "at": text("when it was written, ISO 8601"),
        "by": text("who wrote it"),
        "note": text("what was said about it"),
        "entry": ENTRY,
    },
)
ENTRY_PATH = Parameter("entry", "path", text("id of the entry", 1, 64))
_BY: Schema = text("who writes, for the record of changes; the house's own name when left out", 1, 60)
_NOTE: Schema = text("what is said about the change", most=1000)
_NUMBER: Schema = whole("number of the version that was read", 1)


def entry_of(call: Call, kind: EntryKind | None = None, entry_id: str | None = None) -> Entry:
    """The entry of a request.

    Args:
        call: the request
        kind: what it must be
        entry_id: its id; that of the address when left out

    Raises:
        Refused: there is none, or it is of another kind
    """
    wanted = call.path["entry"] if entry_id is None else entry_id
    try:
        entry = call.ask.book.entry(wanted)
    except InputError as error:
        raise Refused(404, error) from None
    if kind is not None and entry.kind != kind:
        raise Refused(
            404, InputError(f"This is no {kind}", found=entry.kind, todo="Look it up in the list of entries.")
        )
    return entry


def told_version(version: Version) -> dict[str, Any]:
    """A version as plain data."""
    return {
        "at": version.at.isoformat(),
        "by": version.by,
        "note": version.note,
        "entry": told_entry(version.entry),
    }


def _list(call: Call) -> Any:
    found = call.ask.book.entries(call.query.get("kind"), call.query.get("belongs_to"))
    return {"entries": [_head(entry) for entry in found]}


def _read(call: Call) -> Any:
    return told_entry(entry_of(call))


def _add(call: Call) -> Any:
    body = call.body
    entry = Entry("", body["kind"], body.get("name", ""), body["content"], body.get("belongs_to"), 0)
    if entry.belongs_to is not None:
        entry_of(call, entry_id=entry.belongs_to)
    name = _name_in(call, entry)
    return told_entry(_book(call).add(entry.kind, name, entry.content, entry.belongs_to, body.get("note", "")))


def _save(call: Call) -> Any:
    body, now = call.body, entry_of(call)
    changed = replace(
        now,
        content=body["content"],
        name=body.get("name", now.name),
        belongs_to=body.get("belongs_to", now.belongs_to),
        number=int(body["number"]),
    )
    changed = replace(changed, name=_name_in(call, changed), removed=False)
    return told_entry(_book(call).save(changed, body.get("note", "")))


def _remove(call: Call) -> Any:
    entry = replace(entry_of(call), number=int(call.query["number"]))
    return told_entry(_book(call).remove(entry))


def _versions(call: Call) -> Any:
    return {"versions": [told_version(version) for version in call.ask.book.versions(entry_of(call).id)]}


def _restore(call: Call) -> Any:
    now, wanted = entry_of(call), int(call.body["version"])
    for version in call.ask.book.versions(now.id):
        if version.entry.number == wanted:
            back = replace(version.entry, number=int(call.body["number"]), removed=False)
            return told_entry(_book(call).save(back, f"as in version {wanted}"))
    raise InputError(
        "This entry has no such version",
        found=str(wanted),
        allowed=f"1 to {now.number}",
        todo="Choose one of its versions.",
        place="body.version",
    )


def _book(call: Call) -> Book:
    """The book in the hand of whoever is named."""
    given = call.body if isinstance(call.body, dict) else call.query
    by = " ".join(str(given.get("by", "")).split())
    return call.ask.book.written_by(by) if by else call.ask.book


def _name_in(call: Call, entry: Entry) -> str:
    """The name that the document says, or the one that was given; the document is read as a whole first."""
    try:
        if entry.kind == "part":
            return part_of(entry.content).code
        return read_whole(call.ask, entry)
    except JounceError as error:
        error.place = ", ".join(filter(None, ("body.content", error.place)))
        raise


def _head(entry: Entry) -> dict[str, Any]:
    return {name: getattr(entry, name) for name in _HEAD}


def told_entry(entry: Entry) -> dict[str, Any]:
    """An entry with its document as plain data."""
    return _head(entry) | {"content": entry.content}


_SAVED = OperationAnswer("the entry as it is now", {"$ref": "#/components/schemas/Entry"})
_GROUP = "The book"
OPERATIONS = (
    Operation(
        "GET",
        "/v1/entries",
        "listEntries",
        _GROUP,
        "List the entries",
        _list,
        OperationAnswer("the entries, by name", objects("Entries.", {"entries": listed(HEAD)})),
        "Those that were taken out are not listed; they are read by their id.",
        (
            Parameter("kind", "query", choice("only this kind", *KINDS), required=False),
            Parameter("belongs_to", "query", text("only what belongs to this entry", 1, 64), required=False),
        ),
    ),
    Operation(
        "POST",
        "/v1/entries",
        "addEntry",
        _GROUP,
        "Put a new entry in",
        _add,
        replace(_SAVED, status=201),
        "A document is read as a whole first; one that is wrong is not kept. Cars, jobs and parts have the name that "
        "their document says.",
        body={
            JSON: objects(
                "A new entry.",
                {
                    "kind": choice("what it is", *KINDS),
                    "content": _CONTENT,
                    "name": text("its name for people", 1, 200),
                    "belongs_to": or_null(text("id of the entry that it belongs to", 1, 64)),
                    "note": _NOTE,
                    "by": _BY,
                },
                optional=("name", "belongs_to", "note", "by"),
            )
        },
        problems=(404,),
    ),
    Operation(
        "GET",
        "/v1/entries/{entry}",
        "readEntry",
        _GROUP,
        "Read an entry",
        _read,
        _SAVED,
        parameters=(ENTRY_PATH,),
        problems=(404,),
    ),
    Operation(
        "PUT",
        "/v1/entries/{entry}",
        "saveEntry",
        _GROUP,
        "Save an entry as its next version",
        _save,
        _SAVED,
        "`number` is that of the version that was read. If somebody saved the entry meanwhile nothing is overwritten: "
        "the answer is 409, and `newest` is what they saved.",
        (ENTRY_PATH,),
        {
            JSON: objects(
                "The entry as it is to be.",
                {
                    "number": _NUMBER,
                    "content": _CONTENT,
                    "name": text("its name for people", 1, 200),
                    "belongs_to": or_null(text("id of the entry that it belongs to", 1, 64)),
                    "note": _NOTE,
                    "by": _BY,
                },
                optional=("name", "belongs_to", "note", "by"),
            )
        },
        (404, 409),
    ),
    Operation(
        "DELETE",
        "/v1/entries/{entry}",
        "takeOutEntry",
        _GROUP,
        "Take an entry out of the lists",
        _remove,
        _SAVED,
        "Its versions stay, and `restoreEntry` brings it back.",
        (
            ENTRY_PATH,
            Parameter("number", "query", _NUMBER),
            Parameter("by", "query", _BY, required=False),
        ),
        problems=(404, 409),
    ),
    Operation(
        "GET",
        "/v1/entries/{entry}/versions",
        "listVersions",
        _GROUP,
        "Read every version of an entry",
        _versions,
        OperationAnswer(
            "the versions, the first one first",
            objects("Versions.", {"versions": listed({"$ref": "#/components/schemas/Version"})}),
        ),
        parameters=(ENTRY_PATH,),
        problems=(404,),
    ),
    Operation(
        "POST",
        "/v1/entries/{entry}/restore",
        "restoreEntry",
        _GROUP,
        "Make an older version the newest one",
        _restore,
        _SAVED,
        parameters=(ENTRY_PATH,),
        body={
            JSON: objects(
                "Which version, on top of which.",
                {"version": whole("the version wanted", 1), "number": _NUMBER, "by": _BY},
                optional=("by",),
            )
        },
        problems=(404, 409),
    ),
)
