"""What is refused is said in German: every text of an error in the source of the rooms whose errors pages show."""

from __future__ import annotations

import ast
import importlib
import pkgutil
import re
from collections.abc import Iterator
from pathlib import Path

import jounce
from jounce.car.file.section import Section
from jounce.web import serving  # noqa: F401  # with it all documents are known
from jounce.words.phrases import language_phrases

GERMAN = language_phrases("de")
SOURCE = Path(jounce.__file__).parent
ERRORS = {"InputError", "Impossible", "NotConverged", "JounceError", "_Words"}
PARTS = ("message", "found", "allowed", "todo")
NO_PAGE = (
    *("cli/", "library/", "numerics/", "linkage/", "behaviour/axle/drives.py", "conventions/"),
    *("book/", "car/file/writing.py", "search/on_cluster.py", "sheets/quote_sheet.py"),
    *("web/api/", "web/security/", "web/serving.py", "words/phrases.py"),
)
"""What only the command line, notebooks and other programs are told, who are told in English; and what tells of places
in phrase files, as which no phrase file can have it."""
_NOTATION = re.compile(r'"[^"]*"|\{\D[^}]*\}|^\[.*\]( .*=)?|\bZz\w*|\b(and|or|for|kg|mm|pip install.*)\b')
"""What is typed as it stands, names that stand for a value, and what joins two values."""


def written(node: ast.expr, word: str) -> str | None:
    """A text as it is written, with a word where a value is put in; None where it is made elsewhere."""
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) else None
    if isinstance(node, ast.JoinedStr):
        return "".join(str(part.value) if isinstance(part, ast.Constant) else word for part in node.values)
    return None


def texts() -> Iterator[tuple[str, ast.expr]]:
    """Each text of an error with the place where it is written."""
    for file in sorted(SOURCE.rglob("*.py")):
        place = file.relative_to(SOURCE).as_posix()
        if place.startswith(NO_PAGE):
            continue
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ERRORS:
                given = [*node.args[:1], *(one.value for one in node.keywords if one.arg in PARTS)]
                yield from ((f"{place}:{text.lineno}", text) for text in given)


def lacking(text: ast.expr) -> set[str]:
    """What of a text has no line, whether values in it are numbers or words."""
    least: set[str] | None = None
    for value in ("7", "Zz"):
        said = written(text, value)
        if said is None:
            return set()
        for told in (said, said.removesuffix(".")):
            without = {one for one in GERMAN.missing(told) if re.search("[a-z]{2}", _NOTATION.sub("", one))}
            least = without if least is None else min(least, without, key=len)
    return least or set()


def test_every_text_of_an_error_that_a_page_shows_has_its_line() -> None:
    told = list(texts())

    assert len(told) > 1000
    assert {place: without for place, text in told if (without := lacking(text))} == {}


def test_a_refusal_of_a_file_is_said_whole_but_for_its_keys() -> None:
    told = 'front.bar.diameter (line 3): The number is too small; found "-4 mm"; allowed: 0 or more. Correct it.'

    said = GERMAN.said(told)
    assert said.startswith(
        'front.bar.diameter (Zeile 3): Die Zahl ist zu klein; gefunden "−4 mm"; erlaubt: 0 oder mehr.'
    )
    assert said.endswith("Das berichtigen.")


def sections(above: type[Section]) -> Iterator[type[Section]]:
    """Every section that a file may have."""
    for one in above.__subclasses__():
        yield one
        yield from sections(one)


def test_what_a_file_must_have_is_named_in_german_where_it_is_missing() -> None:
    for module in pkgutil.walk_packages([str(SOURCE)], "jounce."):
        if not module.name.startswith(("jounce.__main__", "jounce.book", "jounce.cli")):
            importlib.import_module(module.name)
    fields = [field for one in sections(Section) for field in one.model_fields.values() if field.is_required()]
    told = {f"Add it: {field.description}." for field in fields if field.description}
    told |= {f"Add it: {one.MEANING}." for one in sections(Section) if hasattr(one, "MEANING")}

    assert len(told) > 150
    assert {text for text in told if GERMAN.missing(text)} == set()
