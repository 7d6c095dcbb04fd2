"""Reading parts from CSV: one kind to a file, or all kinds in one file with a column ``kind``."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from jounce.car.file.bounds import check_size, check_table
from jounce.conventions.errors import InputError, at
from jounce.shelf.columns import KIND_HEAD, ShelfColumn, all_models, columns_of, unknown_head
from jounce.shelf.kinds import KINDS
from jounce.shelf.parse import MOST_WRONG, PartEntry, Reading, read_entries, unknown_kind
from jounce.shelf.part import Part

__all__ = ["GUARD", "ROW_MARK", "csv_entries", "parse_csv"]

ROW_MARK = "|"
"""Parts the rows of a curve within one cell; blanks part the numbers of a row."""
GUARD = "'"
"""Stands before a text that a spreadsheet would take for a formula."""

_DELIMITERS = ";,\t"
_COMMA = re.compile(r"(?<=\d),(?=\d)")
_POINT = re.compile(r"\d\.\d")
_HAS_UNIT = re.compile(r"[^\W\d_](?<![eE])|[%°'\"′″]|[eE](?![+-]?\d)")
MIXED = "Decimal signs are mixed: this file has numbers with a comma and numbers with a point"


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of the file: number of its first line, and its cells."""

    number: int
    cells: list[str]


def parse_csv(text: str, name: str, kind: str = "") -> Reading:
    """Read the text of a CSV file.

    Args:
        text: the content of the file
        name: name of the file, for messages
        kind: kind of its parts; empty for a file with a column ``kind``

    Raises:
        InputError: the file has no head
    """
    with at(name):
        entries, problems = csv_entries(text, kind)
    return read_entries(entries, problems)


def csv_entries(text: str, kind: str = "") -> tuple[list[PartEntry], list[InputError]]:
    """The parts of a CSV file as written, and what is wrong with the file as such.

    Args:
        text: the content of the file
        kind: kind of its parts; empty for a file with a column ``kind``

    Raises:
        InputError: the file has no head
    """
    check_size(len(text), text)
    check_table(text)
    delimiter = _delimiter(text)
    lines = list(_lines(text, delimiter))
    if not lines:
        raise InputError("The file is empty", todo="Its first line names the columns.")
    heads = [cell.strip() for cell in lines[0].cells]
    if KIND_HEAD not in heads and not kind:
        todo = f'Add a column "{KIND_HEAD}", or say which kind the file holds: its name is the kind, as in coil.csv.'
        raise InputError("It is not clear which parts these are", allowed=", ".join(KINDS), todo=todo)
    models = (KINDS[kind],) if KIND_HEAD not in heads else all_models()
    problems = _head_problems(heads, models, f"line {lines[0].number}")
    comma = delimiter != "," and any(_COMMA.search(cell) for cell in _number_cells(lines[1:], heads, models))
    entries: list[PartEntry] = []
    wrong = len(problems)
    for line in lines[1:]:
        row = _Row(line, heads, kind, comma=comma)
        problem = row.problem
        place = f"line {line.number}"
        entries.append(row.entry() if problem is None else PartEntry("", "", {}, place, broken=(problem,)))
        wrong += len(entries[-1].broken)
        if wrong > MOST_WRONG:  # it is some other file: what follows is not looked at
            break
    return entries, problems


@dataclass(frozen=True, slots=True)
class _Row:
    """A line that tells a part."""

    line: _Line
    heads: Sequence[str]
    file_kind: str
    comma: bool

    @property
    def cells(self) -> dict[str, str]:
        """Cells that say something, by their heads."""
        pairs = zip(self.heads, self.line.cells, strict=False)
        return {head: cell.strip() for head, cell in pairs if cell.strip()}

    @property
    def kind(self) -> str:
        """Word of the part's kind."""
        return self.cells.get(KIND_HEAD, self.file_kind)

    @property
    def problem(self) -> InputError | None:
        """Why the line tells no part at all; None if it does."""
        place = f"line {self.line.number}"
        extra = [cell for cell in self.line.cells[len(self.heads) :] if cell.strip()]
        if extra:
            todo = "Quote cells that hold the sign between columns, or count the columns."
            return InputError("The line has more cells than the head", found=repr(extra[0]), todo=todo, place=place)
        if self.kind not in KINDS:
            return unknown_kind(self.kind, f"{place}, {KIND_HEAD}")
        if "code" not in self.cells:
            return InputError('"code" is missing', todo="Give the part a code of the shop's own.", place=place)
        return None

    def entry(self) -> PartEntry:
        """The part as written."""
        columns = columns_of(KINDS[self.kind])
        cells, place = self.cells, f"line {self.line.number}, {self.cells['code']}"
        given: dict[str, dict[str, tuple[str, Any]]] = {}
        broken: list[InputError] = []
        for head, cell in cells.items():
            column = columns.get(head)
            if column is None:
                if head != KIND_HEAD and any(head in columns_of(model) for model in all_models()):
                    broken.append(_not_of_kind(cell, self.kind, f"{place}, {head}"))
                continue
            try:
                value = _value(column, cell, comma=self.comma)
            except InputError as problem:
                problem.place = f"{place}, {head}"
                broken.append(problem)
                continue
            parts = given.setdefault(column.key, {})
            if column.what in parts:
                message = f"{column.key} is given twice"
                broken.append(InputError(message, todo="Keep one of the columns.", place=f"{place}, {head}"))
            parts[column.what] = (head, value)
        written: dict[str, Any] = {}
        places: dict[str, str] = {}
        for key, parts in given.items():
            if "value" not in parts:
                head = next(iter(parts.values()))[0]
                todo = "Fill in the value, or empty this cell."
                broken.append(InputError(f"{key} has no value", todo=todo, place=f"{place}, {head}"))
                continue
            written[key] = _long_form(columns[parts["value"][0]], {what: value for what, (_, value) in parts.items()})
            places[key] = f"{place}, {parts['value'][0]}"
        return PartEntry(self.kind, str(written.pop("code", "")), written, place, places, tuple(broken))


def _long_form(column: ShelfColumn, parts: dict[str, Any]) -> Any:
    """Value, band and origin of one key, in the form in which a TOML file writes them."""
    if column.form not in {"measured", "point"}:
        return parts["value"]
    key = "at" if column.form == "point" else "value"
    return {key: parts["value"]} | {what: value for what, value in parts.items() if what != "value"}


def _value(column: ShelfColumn, cell: str, *, comma: bool) -> Any:
    """What a cell says.

    Raises:
        InputError: decimal signs are mixed
    """
    if not column.numeric:
        return cell.removeprefix(GUARD)
    if comma and _POINT.search(cell):
        raise InputError(MIXED, found=repr(cell), todo="Write all of them with a comma.")
    text = _COMMA.sub(".", cell) if comma else cell
    if column.form == "rows":
        return [_row(row) for row in text.split(ROW_MARK)]
    if column.form == "point":
        return _row(text)
    if column.form == "measured" and column.unit != "-" and not _HAS_UNIT.search(text):
        return f"{text} {column.unit}"
    return text


def _row(text: str) -> list[str]:
    """Numbers parted by blanks; a word after a number is its unit."""
    return re.findall(r"\S+(?:\s+[^\W\d_]\S*)?", text)


def _not_of_kind(cell: str, kind: str, place: str) -> InputError:
    todo = "Empty the cell, or correct the kind."
    return InputError(f'A part of the kind "{kind}" has no such column', found=repr(cell), todo=todo, place=place)


def _delimiter(text: str) -> str:
    """The sign between columns: of the three in use, the one that the head has most of."""
    head = next((line for line in text.splitlines() if line.strip()), "")
    return max(_DELIMITERS, key=head.count)


def _lines(text: str, delimiter: str) -> Iterator[_Line]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    before = 0
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield _Line(before + 1, cells)
            before = reader.line_num
    except csv.Error as error:
        todo = "Look for a quotation mark that is not closed."
        raise InputError(f"The file is not valid CSV: {error}", todo=todo, place=f"line {before + 1}") from None


def _head_problems(heads: Sequence[str], models: tuple[type[Part], ...], place: str) -> list[InputError]:
    known = {KIND_HEAD, *(head for model in models for head in columns_of(model))}
    problems = [unknown_head(head, models, place) for head in heads if head and head not in known]
    twice = sorted({head for head in heads if head and heads.count(head) > 1})
    problems += [InputError(f'The column "{head}" stands twice', todo="Keep one.", place=place) for head in twice]
    if "code" not in heads:
        problems.append(InputError('There is no column "code"', todo="Add it: the shop's own code.", place=place))
    return problems


def _number_cells(lines: Sequence[_Line], heads: Sequence[str], models: tuple[type[Part], ...]) -> Iterator[str]:
    numeric = {head for model in models for head, column in columns_of(model).items() if column.numeric}
    for line in lines:
        yield from (cell for head, cell in zip(heads, line.cells, strict=False) if head in numeric)
