"""The book itself: saving, finding, taking out and bringing back entries, with every version kept."""

from __future__ import annotations

import datetime
import hashlib
import uuid
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, Row, insert, select, update
from sqlalchemy.exc import DatabaseError

from jounce.book import tables
from jounce.book.backup import Copied, back_up
from jounce.book.entries import BELONGS_TO, KINDS, Attachment, Entry, EntryKind, Kept, PrintedSheet, Touched, Version
from jounce.book.kept_questions import HowUnderstood, KeptQuestion, clear_questions, keep_question, kept_questions
from jounce.book.promises import Promise, add_promises, promises, put_promises_back
from jounce.book.sheet_codes import code_for, sheet_behind
from jounce.conventions.errors import InputError, JounceError
from jounce.conventions.typed import whole
from jounce.ledger.outcome import PromisedNumber

LONGEST_NAME = 200
"""Characters of a name."""
READING = "reading"
"""Execution option of a connection that will only read."""
LARGEST_FILE = 50 * 2**20
"""Bytes of an attached file."""


class Overtaken(JounceError):
    """Somebody else saved the same entry meanwhile; ``theirs`` is what they saved."""

    def __init__(self, theirs: Version) -> None:
        when = theirs.at.astimezone().strftime("%Y-%m-%d %H:%M")
        super().__init__(
            f'"{theirs.entry.name}" was changed by {theirs.by} on {when}, after you opened it. '
            "Nothing was overwritten: look at that change, then save again."
        )
        self.theirs = theirs


@dataclass(frozen=True, slots=True)
class Filled:
    """How many entries were new, got a next version, and were there already as they are."""

    new: int
    changed: int
    same: int


class Book:
    """An open book; made by `jounce.book.opening.open_book`.

    Args:
        engine: its database
        place: file or address, for messages
        by: who writes
        read_only: whether nothing may be written

    """

    def __init__(self, engine: Engine, place: str, by: str, *, read_only: bool) -> None:
        self._engine = engine
        self.place = place
        self.by = by
        self.read_only = read_only

    def written_by(self, by: str) -> Book:
        """The same book in another person's hand."""
        return Book(self._engine, self.place, by, read_only=self.read_only)

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    # ------------------------------------------------------------------------------------------------- finding

    def entries(self, kind: EntryKind | None = None, belongs_to: str | None = None) -> list[Entry]:
        """Entries that were not taken out, by name.

        Args:
            kind: only this kind
            belongs_to: only those that belong to this entry
        """
        wanted = (
            select(tables.entry, tables.version.c.content)
            .join(tables.version, _current())
            .where(tables.entry.c.removed.is_(False))
        )
        if kind is not None:
            wanted = wanted.where(tables.entry.c.kind == kind)
        if belongs_to is not None:
            wanted = wanted.where(tables.entry.c.belongs_to == belongs_to)
        with self._reading() as connection:
            return [_entry(row) for row in connection.execute(wanted.order_by(tables.entry.c.name, tables.entry.c.id))]

    def entry(self, entry_id: str) -> Entry:
        """An entry as it is now.

        Raises:
            InputError: no such entry
        """
        wanted = select(tables.entry, tables.version.c.content).join(tables.version, _current())
        with self._reading() as connection:
            row = connection.execute(wanted.where(tables.entry.c.id == entry_id)).one_or_none()
        if row is None:
            raise InputError("The book has no such entry", found=entry_id, todo="Look it up in the list.")
        return _entry(row)

    def versions(self, entry_id: str) -> list[Version]:
        """All versions of an entry, the first one first."""
        self.entry(entry_id)
        with self._reading() as connection:
            return _versions(connection, entry_id)

    def attachments(self, entry_id: str, *, removed: bool = False) -> list[Attachment]:
        """Files of an entry, in the order they were put in.

        Args:
            entry_id: the entry
            removed: also those that were taken out
        """
        columns = [c for c in tables.attachment.c if c.name != "content"]
        wanted = select(*columns).where(tables.attachment.c.entry == entry_id).order_by(tables.attachment.c.at)
        if not removed:
            wanted = wanted.where(tables.attachment.c.removed_at.is_(None))
        with self._reading() as connection:
            return [_attachment(row) for row in connection.execute(wanted)]

    def attachment(self, attachment_id: str) -> Attachment:
        """A file as it is told of in lists, taken out or not.

        Raises:
            InputError: no such file
        """
        columns = [c for c in tables.attachment.c if c.name != "content"]
        with self._reading() as connection:
            row = connection.execute(select(*columns).where(tables.attachment.c.id == attachment_id)).one_or_none()
        if row is None:
            raise InputError("The book has no such file", found=attachment_id, todo="Look it up in the list.")
        return _attachment(row)

    def content_of(self, attachment_id: str) -> bytes:
        """Content of a file.

        Raises:
            InputError: no such file, or it is not what was put in
        """
        wanted = select(tables.attachment.c.content, tables.attachment.c.sha256)
        with self._reading() as connection:
            row = connection.execute(wanted.where(tables.attachment.c.id == attachment_id)).one_or_none()
        if row is None:
            raise InputError("The book has no such file", found=attachment_id, todo="Look it up in the list.")
        content = bytes(row.content)
        if hashlib.sha256(content).hexdigest() != row.sha256:
            raise InputError("This file is damaged", found=attachment_id, todo="Take it from the latest backup.")
        return content

    def touched(self) -> dict[str, Touched]:
        """When each entry was put in and touched last, by its id; a file that was put to it touches it too."""
        versions, files = tables.version, tables.attachment
        first = select(versions.c.entry, versions.c.at).where(versions.c.number == 1)
        last = select(versions.c.entry, versions.c.at, versions.c.by).join(tables.entry, _current())
        put = select(files.c.entry, files.c.at, files.c.by).order_by(files.c.at)
        with self._reading() as connection:
            begun = {row.entry: row.at for row in connection.execute(first)}
            latest = {row.entry: (row.at, row.by) for row in connection.execute(last)}
            for row in connection.execute(put):
                latest[row.entry] = max(latest[row.entry], (row.at, row.by))
        read = datetime.datetime.fromisoformat
        return {one: Touched(read(begun[one]), read(at), by) for one, (at, by) in latest.items()}

    def next_in_row(self, kind: EntryKind, beginning: str, first: int = 1) -> int:
        """The next number of entries that are counted: one more than the greatest, also of those taken out.

        Args:
            kind: of the entries
            beginning: of their names; the number follows it
            first: where counting begins
        """
        names = select(tables.entry.c.name).where(
            tables.entry.c.kind == kind, tables.entry.c.name.startswith(beginning, autoescape=True)
        )
        with self._reading() as connection:
            tails = [str(name)[len(beginning) :] for name in connection.execute(names).scalars()]
        return max([first, *(number + 1 for number in map(whole, tails) if number is not None)])

    def sheet_behind(self, code: str) -> PrintedSheet | None:
        """What a code on a printed sheet leads back to; None for one that no sheet has."""
        with self._reading() as connection:
            return sheet_behind(connection, code)

    def promises(self, job: str | None = None) -> list[Promise]:
        """Numbers that were promised on sheets, the earliest first.

        Args:
            job: only those of this job
        """
        with self._reading() as connection:
            return promises(connection, job)

    def kept_questions(self) -> list[KeptQuestion]:
        """What was asked in words, the latest first."""
        with self._reading() as connection:
            return kept_questions(connection)

    # -------------------------------------------------------------------------------------------------- saving

    def code_for(self, sheet: str, of: Entry, owner: Entry | None = None) -> str:
        """The code that stands on a printed sheet; the same for the same versions.

        Args:
            sheet: word of the kind of sheet
            of: the job or the car as it is printed
            owner: the car of a job as it is printed
        """
        with self._writing() as connection:
            return code_for(connection, sheet, of, owner, self.by)

    def promise(self, sheet: str, job: Entry, car: Entry, numbers: Iterable[PromisedNumber]) -> int:
        """Keep what a sheet promises; what was promised of the same versions before stays as it was.

        Args:
            sheet: word of the kind of sheet
            job: the job as it is printed
            car: its car as it is printed
            numbers: what stands on the sheet

        Returns:
            How many are new
        """
        with self._writing() as connection:
            return add_promises(connection, sheet, (job, car), numbers, self.by)

    def keep_question(self, text: str, kind: str, how: HowUnderstood) -> None:
        """Keep what was asked in words.

        Args:
            text: the sentence, without names
            kind: word of the kind of question that it was understood as, or that was chosen
            how: how it came to that kind
        """
        with self._writing() as connection:
            keep_question(connection, text, kind, how)

    def clear_questions(self) -> int:
        """Throw away all that was asked in words; tells how many sentences."""
        with self._writing() as connection:
            return clear_questions(connection)

    def add(self, kind: EntryKind, name: str, content: str, belongs_to: str | None = None, note: str = "") -> Entry:
        """Put a new entry in.

        Args:
            kind: what it is
            name: its name for people
            content: its document
            belongs_to: id of what it belongs to
            note: what is said about it

        Raises:
            InputError: no name, or it cannot belong there
        """
        new = Entry(str(uuid.uuid4()), kind, _named(name), content, belongs_to, 1)
        with self._writing() as connection:
            self._insert(connection, new, note)
        return new

    def save(self, changed: Entry, note: str = "") -> Entry:
        """Keep a changed entry as its next version.

        Args:
            changed: the entry with its new name or content; its number is that of the version it was made from
            note: what is said about the change

        Returns:
            The entry with its new number

        Raises:
            Overtaken: somebody else saved it meanwhile
            InputError: no such entry, no name, or it cannot belong there
        """
        with self._writing() as connection:
            return self._next(connection, changed, note)

    def fill(self, kind: EntryKind, contents: Mapping[str, str], note: str = "") -> Filled:
        """Put many entries of a kind in, all or none: one that is there by name gets a next version if it differs.

        Args:
            kind: what they are; a kind that belongs to nothing
            contents: document of each, by its name
            note: what is said about each that is new or changed

        Raises:
            InputError: a name that says nothing; then none is put in
        """
        named = {_named(name): content for name, content in contents.items()}
        count = {"new": 0, "changed": 0, "same": 0}
        wanted = (
            select(tables.entry, tables.version.c.content)
            .join(tables.version, _current())
            .where(tables.entry.c.removed.is_(False), tables.entry.c.kind == kind)
            .with_for_update(of=tables.entry)
        )
        with self._writing() as connection:
            there = {entry.name: entry for entry in map(_entry, connection.execute(wanted))}
            for name, content in named.items():
                known = there.get(name)
                if known is None:
                    self._insert(connection, Entry(str(uuid.uuid4()), kind, name, content, None, 1), note)
                    count["new"] += 1
                elif known.content == content:
                    count["same"] += 1
                else:
                    self._next(connection, replace(known, content=content), note)
                    count["changed"] += 1
        return Filled(**count)

    def remove(self, entry: Entry, note: str = "") -> Entry:
        """Take an entry out of the lists; its versions stay, and `restore` brings it back."""
        return self.save(replace(entry, removed=True), note or "taken out")

    def restore(self, entry_id: str, number: int) -> Entry:
        """Make an older version the newest one.

        Args:
            entry_id: the entry
            number: the version wanted

        Raises:
            InputError: no such version
        """
        now = self.entry(entry_id)
        for version in self.versions(entry_id):
            if version.entry.number == number:
                return self.save(replace(version.entry, number=now.number, removed=False), f"as in version {number}")
        raise InputError(
            "This entry has no such version",
            found=str(number),
            allowed=f"1 to {now.number}",
            todo="Choose one of its versions.",
        )

    def attach(self, entry_id: str, name: str, media_type: str, content: bytes) -> Attachment:
        """Put a file to an entry.

        Args:
            entry_id: the entry
            name: file name for people
            media_type: what it is, as in "image/jpeg"
            content: its bytes

        Raises:
            InputError: no such entry, or the file is too large
        """
        if len(content) > LARGEST_FILE:
            raise InputError(
                "The file is too large",
                found=f"{len(content) / 2**20:.0f} MB",
                allowed=f"up to {LARGEST_FILE / 2**20:.0f} MB",
                todo="Make the picture smaller.",
                place=name,
            )
        self.entry(entry_id)
        made = Attachment(
            str(uuid.uuid4()),
            entry_id,
            _named(name),
            media_type,
            hashlib.sha256(content).hexdigest(),
            len(content),
            _now(),
            self.by,
        )
        with self._writing() as connection:
            connection.execute(
                insert(tables.attachment).values(
                    id=made.id,
                    entry=made.entry,
                    name=made.name,
                    media_type=made.media_type,
                    sha256=made.sha256,
                    size=made.size,
                    at=made.at.isoformat(),
                    by=made.by,
                    content=content,
                )
            )
        return made

    def take_out(self, attachment_id: str) -> Attachment:
        """Take a file out of its entry's list; its content stays, and `bring_back` puts it there again.

        Raises:
            InputError: no such file
        """
        return self._marked(attachment_id, _now().isoformat(), self.by)

    def bring_back(self, attachment_id: str) -> Attachment:
        """Put a file that was taken out into its entry's list again.

        Raises:
            InputError: no such file
        """
        return self._marked(attachment_id, None, None)

    def _marked(self, attachment_id: str, at: str | None, by: str | None) -> Attachment:
        with self._writing() as connection:
            connection.execute(
                update(tables.attachment)
                .where(tables.attachment.c.id == attachment_id)
                .values(removed_at=at, removed_by=by)
            )
        return self.attachment(attachment_id)

    def back_up(self, to: Path) -> Copied:
        """Copy the whole book into a new file, and compare the two.

        Args:
            to: the copy

        Returns:
            What the copy holds

        Raises:
            InputError: the book is no file, the name is taken, or the copy cannot be written
        """
        if self._engine.dialect.name != "sqlite":
            raise InputError(
                "This book is a database on a server",
                todo="Use the server's own backup, or write the book out as plain files.",
                place=self.place,
            )
        return back_up(self._reading, to)

    # --------------------------------------------------------------------------------------------------- below

    def whole(self) -> list[Kept]:
        """Everything in the book as it is at one moment, what was taken out too; contents of files stay where they are."""
        columns = [c for c in tables.attachment.c if c.name != "content"]
        with self._reading(at_one_moment=True) as connection:
            versions = _versions(connection)
            files = [_attachment(row) for row in connection.execute(select(*columns).order_by(tables.attachment.c.at))]
        kept = {version.entry.id: Kept([], []) for version in versions}
        for version in versions:
            kept[version.entry.id].versions.append(version)
        for file in files:
            kept[file.entry].files.append(file)
        return list(kept.values())

    def put_back(
        self,
        entries: Iterable[list[Version]],
        files: Iterable[tuple[Attachment, bytes]],
        promised: Iterable[Promise] = (),
    ) -> None:
        """Put entries with all their versions and files in, as `exchange` reads them, all or none.

        Args:
            entries: all versions of each entry, the first one first; what an entry belongs to comes before it
            files: their files, read one by one; a file that is there already is left alone
            promised: what sheets of their jobs promised; what is there already is left alone

        Raises:
            InputError: an entry is there already with other versions, or cannot belong where it says
        """
        with self._writing() as connection:
            for versions in entries:
                self._put_entry_back(connection, versions)
            for attachment, content in files:
                self._put_file_back(connection, attachment, content)
            put_promises_back(connection, promised)

    def _put_entry_back(self, connection: Connection, versions: list[Version]) -> None:
        last = versions[-1].entry
        there = _versions(connection, last.id)
        if there == versions:
            return
        if there:
            raise InputError(
                "This entry is in the book already, with other versions",
                found=last.name,
                todo="Nothing was read in. Take it in under another book, or compare the two by hand.",
            )
        self._check_belongs(connection, last)
        connection.execute(insert(tables.entry).values(**_listed(last)))
        for version in versions:
            connection.execute(insert(tables.version).values(**_kept(version)))

    def _put_file_back(self, connection: Connection, attachment: Attachment, content: bytes) -> None:
        known = select(tables.attachment.c.id).where(tables.attachment.c.id == attachment.id)
        if connection.execute(known).one_or_none() is None:
            values = {name: getattr(attachment, name) for name in Attachment.__dataclass_fields__}
            removed = attachment.removed_at
            values |= {"at": attachment.at.isoformat(), "content": content}
            values |= {"removed_at": None if removed is None else removed.isoformat()}
            values |= {"removed_by": attachment.removed_by or None}
            connection.execute(insert(tables.attachment).values(**values))

    def _next(self, connection: Connection, changed: Entry, note: str) -> Entry:
        new = replace(changed, name=_named(changed.name), number=changed.number + 1)
        self._check_belongs(connection, new)
        if new.removed:
            self._check_alone(connection, new)
        elif connection.execute(select(tables.entry.c.removed).where(tables.entry.c.id == new.id)).scalar():
            self._check_owner(connection, new)
        done = connection.execute(
            update(tables.entry)
            .where(tables.entry.c.id == new.id, tables.entry.c.number == changed.number)
            .values(name=new.name, belongs_to=new.belongs_to, number=new.number, removed=new.removed)
        )
        if done.rowcount != 1:
            before = _versions(connection, new.id)
            if not before:
                raise InputError("The book has no such entry", found=new.id, todo="Look it up in the list.")
            raise Overtaken(before[-1])
        self._keep(connection, new, note)
        return new

    def _insert(self, connection: Connection, new: Entry, note: str) -> None:
        self._check_belongs(connection, new)
        self._check_owner(connection, new)
        connection.execute(insert(tables.entry).values(**_listed(new)))
        self._keep(connection, new, note)

    def _keep(self, connection: Connection, entry: Entry, note: str) -> None:
        connection.execute(insert(tables.version).values(**_kept(Version(entry, _now(), self.by, note))))

    def _check_belongs(self, connection: Connection, entry: Entry) -> None:
        if entry.kind not in KINDS:
            raise InputError("No such kind of entry", found=entry.kind, allowed=", ".join(KINDS), todo="Correct it.")
        if entry.belongs_to is None:
            return
        wanted = select(tables.entry.c.kind).where(tables.entry.c.id == entry.belongs_to)
        kind = connection.execute(wanted).scalar_one_or_none()
        allowed = BELONGS_TO[entry.kind]
        if kind not in allowed:
            raise InputError(
                f"A {entry.kind} cannot belong to that",
                found="no entry" if kind is None else kind,
                allowed=" or ".join(allowed) or "nothing",
                todo="Choose another entry.",
            )

    def _check_alone(self, connection: Connection, entry: Entry) -> None:
        wanted = select(tables.entry.c.name).where(
            tables.entry.c.belongs_to == entry.id, tables.entry.c.removed.is_(False)
        )
        names = list(connection.execute(wanted.order_by(tables.entry.c.name)).scalars())
        if names:
            more = f" and {len(names) - 3} more" if len(names) > 3 else ""
            raise InputError(
                f"“{entry.name}” is not taken out, for something belongs to it",
                found=", ".join(names[:3]) + more,
                todo="Leave it, or take that out first.",
            )

    def _check_owner(self, connection: Connection, entry: Entry) -> None:
        wanted = select(tables.entry.c.name).where(tables.entry.c.id == entry.belongs_to, tables.entry.c.removed)
        name = connection.execute(wanted).scalar()
        if name is not None:
            raise InputError(
                "What it belongs to was taken out of the book",
                found=name,
                todo="Bring that back first, by its history.",
            )

    @contextmanager
    def _reading(self, *, at_one_moment: bool = False) -> Iterator[Connection]:
        options: dict[str, Any] = {READING: True}
        if at_one_moment and self._engine.dialect.name == "postgresql":  # a file stands still for whoever reads it
            options["isolation_level"] = "REPEATABLE READ"
        with _told(self.place), self._engine.execution_options(**options).connect() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        if self.read_only:
            raise InputError("This book may only be read", todo="Make its file writable.", place=self.place)
        with _told(self.place), self._engine.begin() as connection:
            yield connection


@contextmanager
def _told(place: str) -> Iterator[None]:
    try:
        yield
    except DatabaseError as error:
        reason = str(error.orig).splitlines()[0]
        raise InputError(
            "The book could not be used",
            found=reason,
            todo="Nothing was half-written. Check disk and network, then try again.",
            place=place,
        ) from None


def _current() -> Any:
    return (tables.version.c.entry == tables.entry.c.id) & (tables.version.c.number == tables.entry.c.number)


def _named(name: str) -> str:
    name = " ".join(name.split())
    if not name or len(name) > LONGEST_NAME:
        raise InputError(
            "An entry needs a name",
            found=f"{len(name)} characters",
            allowed=f"1 to {LONGEST_NAME} characters",
            todo="Give it a name that you will know in ten years.",
        )
    return name


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)


def _listed(entry: Entry) -> dict[str, object]:
    return {
        "id": entry.id,
        "kind": entry.kind,
        "name": entry.name,
        "belongs_to": entry.belongs_to,
        "number": entry.number,
        "removed": entry.removed,
    }


def _kept(version: Version) -> dict[str, object]:
    entry = version.entry
    return {
        "entry": entry.id,
        "number": entry.number,
        "at": version.at.isoformat(),
        "by": version.by,
        "note": version.note,
        "name": entry.name,
        "belongs_to": entry.belongs_to,
        "removed": entry.removed,
        "content": entry.content,
    }


def _entry(row: Row[Any]) -> Entry:
    return Entry(row.id, row.kind, row.name, row.content, row.belongs_to, row.number, bool(row.removed))


def _versions(connection: Connection, entry_id: str | None = None) -> list[Version]:
    """All versions of an entry, or of every entry, the first one first."""
    wanted = select(tables.version, tables.entry.c.kind).join(tables.entry, tables.entry.c.id == tables.version.c.entry)
    if entry_id is not None:
        wanted = wanted.where(tables.version.c.entry == entry_id)
    return [
        Version(
            Entry(row.entry, row.kind, row.name, row.content, row.belongs_to, row.number, bool(row.removed)),
            datetime.datetime.fromisoformat(row.at),
            row.by,
            row.note,
        )
        for row in connection.execute(wanted.order_by(tables.version.c.entry, tables.version.c.number))
    ]


def _attachment(row: Row[Any]) -> Attachment:
    at = datetime.datetime.fromisoformat(row.at)
    removed = None if row.removed_at is None else datetime.datetime.fromisoformat(row.removed_at)
    told = (row.id, row.entry, row.name, row.media_type, row.sha256, row.size)
    return Attachment(*told, at, row.by, removed, row.removed_by or "")
