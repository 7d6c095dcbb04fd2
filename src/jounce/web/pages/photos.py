"""Photos of a car, a job or a measurement: put in from a phone, shown, taken out and brought back."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.responses import Response

from jounce.book import Attachment, Entry
from jounce.conventions.errors import InputError
from jounce.web.pages.words import home_of
from jounce.web.request import PageRequest, onward, page

__all__ = ["LARGEST_PHOTO", "back", "out", "photos_of", "picture", "show", "type_by_bytes"]

LARGEST_PHOTO = 12 * 2**20
"""Bytes of a photo: a phone's are a third of it."""
_ENDINGS: Mapping[str, str] = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp"}


def type_by_bytes(content: bytes) -> str | None:
    """What a file is by how it begins, whatever it is called; None where it is no photo.

    Args:
        content: the file

    >>> type_by_bytes(bytes.fromhex("ffd8ffe0") + bytes(20)), type_by_bytes(b"<svg onload='...'>")
    ('image/jpeg', None)
    """
    if content.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return "image/webp"
    return None


def photos_of(ask: PageRequest, entry: Entry) -> list[Attachment]:
    """Photos of an entry that were not taken out, in the order they were put in.

    Args:
        ask: the request
        entry: the car, the job or the measurement
    """
    return [file for file in ask.book.attachments(entry.id) if file.media_type in _ENDINGS]


def show(ask: PageRequest) -> Response:
    """The photos of an entry; a form puts one in."""
    entry = ask.book.entry(ask.path["entry"])
    wrong = ""
    if ask.form or ask.files:
        try:
            _put_in(ask, entry)
        except InputError as error:
            wrong = str(error)
        else:
            return onward(f"/entries/{entry.id}/photos")
    every = [file for file in ask.book.attachments(entry.id, removed=True) if file.media_type in _ENDINGS]
    return page(
        ask,
        "photos.html",
        422 if wrong else 200,
        entry=entry,
        home=_home(ask, entry),
        photos=[file for file in every if file.removed_at is None],
        removed=[file for file in every if file.removed_at is not None],
        wrong=wrong,
        words=ask.form.get("words", ""),
        most=LARGEST_PHOTO // 2**20,
    )


def picture(ask: PageRequest) -> Response:
    """A photo itself; what is none by its bytes is never shown."""
    content = ask.book.content_of(ask.path["file"])
    kind = type_by_bytes(content)
    if kind is None:
        raise InputError("This file is no photo", todo="Look at the list of photos.")
    name = f"photo.{_ENDINGS[kind]}"
    return Response(
        content,
        media_type=kind,
        headers={
            "content-disposition": f'inline; filename="{name}"',
            "cache-control": "private, max-age=31536000, immutable",  # what a file holds never changes
        },
    )


def out(ask: PageRequest) -> Response:
    """Take a photo out of the list; its content stays in the book."""
    return _moved(ask, taken_out=True)


def back(ask: PageRequest) -> Response:
    """Bring a photo back that was taken out."""
    return _moved(ask, taken_out=False)


def _moved(ask: PageRequest, *, taken_out: bool) -> Response:
    file = ask.book.attachment(ask.path["file"])
    if file.media_type not in _ENDINGS:
        raise InputError("This file is no photo", found=file.name, todo="Look at the list of photos.")
    if ask.form:
        (ask.book.take_out if taken_out else ask.book.bring_back)(file.id)
    return onward(f"/entries/{file.entry}/photos")


def _put_in(ask: PageRequest, entry: Entry) -> None:
    content = ask.files.get("file", b"")
    if not content:
        raise InputError("There is no photo yet", todo="Choose one, or take one with the camera.")
    kind = type_by_bytes(content)
    if kind is None:
        raise InputError(
            "This is no photo that a browser can show",
            found=f"a file that begins with {content[:8].hex(' ')}",
            allowed="JPEG, PNG or WebP",
            todo="Send it from the phone as JPEG.",
        )
    if len(content) > LARGEST_PHOTO:
        raise InputError(
            "The photo is too large",
            found=f"{len(content) / 2**20:.1f} MB",
            allowed=f"up to {LARGEST_PHOTO // 2**20} MB",
            todo="Send a smaller size.",
        )
    words = " ".join(ask.form.get("words", "").split())[:150] or f"photo {len(photos_of(ask, entry)) + 1}"
    ask.book.attach(entry.id, words, kind, content)


def _home(ask: PageRequest, entry: Entry) -> str:
    """The page on which the photos stand."""
    if entry.kind == "measurement" and entry.belongs_to is not None:
        owner = ask.book.entry(entry.belongs_to)
        return f"/jobs/{owner.id}/proof" if owner.kind == "job" else f"/cars/{owner.id}"
    return f"/jobs/{entry.id}/found" if entry.kind == "job" else home_of(entry)
