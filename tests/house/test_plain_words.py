"""Words that a mechanic has to read twice are not printed: in pages, sheets, scripts, messages and command lines."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import jounce

SOURCE = Path(jounce.__file__).parent
STUMBLED_ON = (
    "pressed with",  # in compression
    "bears being bent",
    "bears it",
    "may bear before",
    "cycles it bears",
    "a bar bears",
    "feigns",
    "wished for",
    "reckon",
    "who writes here",
    "not like this",
    "say what is offered",
    "turn in by",  # of a wheel, with a number that may be negative
    "turn out by",
    "rises by",
    "shall stand",
    "shall have",
    "shall carry",
    "shall be",
    "shall the car",
    "fails likewise",
)
"""Phrases that were met in the product and stumbled on."""


def printed() -> Iterator[tuple[str, str]]:
    """Every text that may come before a user's eyes, by its place."""
    for path in sorted(SOURCE.rglob("*")):
        place = str(path.relative_to(SOURCE))
        if path.suffix in {".html", ".typ", ".js"}:
            yield from ((f"{place}:{n}", line) for n, line in enumerate(path.read_text("utf-8").splitlines(), 1))
        elif path.suffix == ".py":
            yield from ((f"{place}:{n}", text) for n, text in _literals(path, with_help="cli" in path.parts))


def _literals(path: Path, *, with_help: bool) -> Iterator[tuple[int, str]]:
    """Texts in the source; docstrings only where a command shows them as its help."""
    tree = ast.parse(path.read_text("utf-8"))
    told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr) and not with_help}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            yield node.lineno, node.value


def test_no_phrase_that_was_stumbled_on_is_printed() -> None:
    texts = list(printed())
    found = [
        (place, phrase)
        for place, text in texts
        for phrase in STUMBLED_ON
        if re.search(rf"\b{phrase}", text, re.IGNORECASE)
    ]

    assert len(texts) > 5000  # all of the source was looked at
    assert found == []


def test_a_steer_that_may_be_negative_says_which_way_is_positive() -> None:
    """A row of which the other sign is met too names what + means, in place of a verb that the sign turns round."""
    rows = [text for place, text in printed() if place.startswith("conventions/driving") and " steer, " in text]

    assert set(rows) == {"rear wheels steer, + into the turn", "front wheels steer, + out of the turn"}
