"""A class name stands for one thing: none is given twice in the program."""

from __future__ import annotations

import ast
from collections import Counter
from pathlib import Path

from tests.house.places import ROOT

TWICE = {"Plan"}
"""Names that still stand twice; the list may only become shorter."""


def classes(file: Path) -> list[str]:
    """Names of the classes of a file, inner ones too."""
    return [node.name for node in ast.walk(ast.parse(file.read_text())) if isinstance(node, ast.ClassDef)]


def test_no_class_name_stands_twice() -> None:
    names = Counter(name for file in (ROOT / "src").rglob("*.py") for name in classes(file))

    assert {name for name, count in names.items() if count > 1} == TWICE
