"""The table of published numbers, collected from the validation tests themselves.

Which test proves a number is read from the test module's syntax: a number counts as used by every test that names the
value holding it, in its body, in its decorators, or through a fixture or helper of the module.
"""

from __future__ import annotations

import ast
import importlib
import inspect
from dataclasses import dataclass
from pathlib import Path

from tests.published import Published, published_in

FOLDER = "tests/validation"


@dataclass(frozen=True, slots=True)
class Entry:
    """One published number, the value that holds it, and the tests that compare the program with it."""

    number: Published
    held_by: str
    module: str
    tests: tuple[str, ...]


def validation_table(root: Path) -> str:
    """Every published number with its place, its tolerance and its tests, one table for each source."""
    found = entries(root)
    tests = {(entry.module, test) for entry in found for test in entry.tests}
    counted = f"{len(found)} published numbers are used by {len(tests)} tests."
    blocks = [counted]
    for source in sorted({entry.number.source for entry in found}):
        blocks.append(f"\n## {source}\n\n[What this source is](sources.md#{source})\n")
        blocks.append("| Quantity | Where | Printed | Agrees within | Seen | Test |\n" + "| --- " * 6 + "|")
        blocks += [_row(entry) for entry in found if entry.number.source == source]
    return "\n".join(blocks)


def entries(root: Path) -> list[Entry]:
    """Published numbers of all validation modules, by module and in the order of writing.

    Args:
        root: folder that holds ``tests``

    Returns:
        One entry for each number; ``tests`` is empty where no test names it.

    """
    found: list[Entry] = []
    for path in sorted((root / FOLDER).rglob("test_*.py")):
        name = ".".join(path.relative_to(root).with_suffix("").parts)
        held = published_in(importlib.import_module(name))
        uses = _tests_by_name(path.read_text("utf-8"))
        module = path.relative_to(root).as_posix()
        found += [
            Entry(number, holder, module, tuple(sorted(uses.get(holder, ()))))
            for holder, numbers in held.items()
            for number in numbers
        ]
    return found


def _tests_by_name(source: str) -> dict[str, set[str]]:
    """Tests of a module by each module-level name that they reach, directly or through other module-level names."""
    reached: dict[str, set[str]] = {}
    for node in ast.parse(source).body:
        for name in _defined(node):
            reached.setdefault(name, set()).update(_named(node))
    users: dict[str, set[str]] = {}
    for test in (name for name in reached if name.startswith("test_")):
        pending, seen = [test], {test}
        while pending:
            new = reached.get(pending.pop(), set()) - seen
            seen |= new
            pending += new
        for name in seen - {test}:
            users.setdefault(name, set()).add(test)
    return users


def _defined(node: ast.stmt) -> list[str]:
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        return [node.name]
    if isinstance(node, ast.AnnAssign):
        return [node.target.id] if isinstance(node.target, ast.Name) else []
    if isinstance(node, ast.Assign):
        return [part.id for target in node.targets for part in ast.walk(target) if isinstance(part, ast.Name)]
    return []


def _named(node: ast.stmt) -> set[str]:
    names = {part.id for part in ast.walk(node) if isinstance(part, ast.Name)}
    return names | {part.arg for part in ast.walk(node) if isinstance(part, ast.arg)}


def _row(entry: Entry) -> str:
    number = entry.number
    within = (
        f"{100 * number.rel:.2g} % of the value: {number.tolerance_note}" if number.rel else "half of the last digit"
    )
    remark = f"<br>{number.note}" if number.note else ""
    tests = "<br>".join(f"`{name}`" for name in (entry.module.removeprefix(f"{FOLDER}/"), *entry.tests))
    cells = (f"{number.quantity}{remark}", number.where, f"`{number.printed}`", within, number.status, tests)
    return "| " + " | ".join(inspect.cleandoc(cell).replace("|", "\\|").replace("\n", " ") for cell in cells) + " |"
