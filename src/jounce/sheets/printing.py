"""From blocks to a PDF: the head of every sheet, and the typesetter."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from importlib.resources import files
from typing import Any

import typst

from jounce.sheets.blocks import Block, as_data
from jounce.sheets.paperwork import Printout, Translator, identity_of
from jounce.words.signs import PROGRAM


def printed(name: str, blocks: Sequence[Block], out: Printout) -> bytes:
    """A sheet as PDF.

    Args:
        name: what the sheet is called
        blocks: its content
        out: what is printed
    """
    data = {
        "name": name,
        **_head(out),
        "blocks": as_data(blocks),
        "words": {"cautions": "Cautions", "page": "page", "of": "of"},
    }
    said = in_words_of(out.look.speaks, data, ("name", "identity", "subtitle", "blocks", "words"))
    return set_sparing_paper("house.typ", said)


def in_words_of(speaks: Translator | None, data: dict[str, Any], parts: Sequence[str]) -> dict[str, Any]:
    """The data of a template with some of its parts in the house's words, and their language.

    Args:
        speaks: the house's words; None for the program's own
        data: what the template is given
        parts: names of the parts that are said
    """
    says = PROGRAM if speaks is None else speaks
    said = {part: _spoken(data[part], says) for part in parts}
    return {**data, **said, "language": says.language.partition("-")[0]}


_NO_TEXT = ("kind", "pictures")


def _spoken(part: Any, speaks: Translator) -> Any:
    """The same data with its texts in other words; names of blocks and pictures stay."""
    if isinstance(part, str):
        return speaks.said(part)
    if isinstance(part, dict):
        return {key: value if key in _NO_TEXT else _spoken(value, speaks) for key, value in part.items()}
    if isinstance(part, list | tuple):
        return [_spoken(value, speaks) for value in part]
    return part


def typeset(template: str, data: dict[str, Any]) -> bytes:
    """A template of this room set with data; only the fonts that come with the typesetter are used.

    Args:
        template: name of the template
        data: what it is given; every text in it is set as text, never as markup
    """
    pdf = typst.compile(
        files("jounce.sheets").joinpath(template).read_bytes(),
        format="pdf",
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data)},
    )
    if not isinstance(pdf, bytes):
        raise TypeError("the typesetter gave no document")
    return pdf


def set_sparing_paper(template: str, data: dict[str, Any], pages: int = 1) -> bytes:
    """A template set as it is meant to be, or tighter where that saves a page: a few lines alone are a missed caution.

    Args:
        template: name of the template, which sets tight what is told to be
        data: what it is given, as of `typeset`
        pages: of a sheet of so many pages none is to be saved
    """
    roomy = typeset(template, data | {"tight": False})
    if _pages_of(roomy) <= pages:
        return roomy
    tight = typeset(template, data | {"tight": True})
    return tight if _pages_of(tight) < _pages_of(roomy) else roomy


def _pages_of(pdf: bytes) -> int:
    """Pages of a document that the typesetter made."""
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


def lead_back_of(out: Printout) -> dict[str, str]:
    """What a template draws of the code in the corner; empty texts where there is none.

    Args:
        out: what is printed
    """
    own = out.look.lead_back
    return {"picture": "", "code": ""} if own is None else {"picture": own.picture, "code": own.code}


def _head(out: Printout) -> dict[str, Any]:
    car, look = out.case.car, out.look
    when = f"measured {car.measured.date}" if car.measured.date else "day of measurement not noted"
    title, identity, who = car.car.name, look.edition or "car as found", ""
    if out.case.job is not None:
        job = out.case.change_list.job
        title, who = f"{car.car.name}: {job.name}", job.customer
        identity = identity_of(out.case.change_list, look)
    if out.quoted is not None:
        identity = f"{out.quoted.mark} · {identity}"
    told = (who, when, f"aboard: {car.measured.aboard or 'not noted'}")
    return {
        "paper": look.paper,
        "title": title,
        "identity": identity,
        "subtitle": " · ".join(text for text in told if text),
        "letterhead": look.letterhead,
        "lead_back": lead_back_of(out),
    }
