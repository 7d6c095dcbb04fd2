"""Reading a car file, with all its problems told at once, and writing a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
import tomllib
from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from jounce.car.document import CarDocument
from jounce.car.lines import lines_of_keys
from jounce.car.problems import problems_of
from jounce.car.section import Section
from jounce.conventions.errors import InputError, InputProblems

__all__ = ["parse_car", "parse_document", "read_car", "read_text", "read_toml", "write_whole"]

Document = TypeVar("Document", bound=Section)


def read_car(path: Path | str) -> CarDocument:
    """Read a car file.

    Args:
        path: the file, TOML in UTF-8

    Raises:
        InputError: the file cannot be read or is no TOML
        InputProblems: all that is wrong with its content
    """
    return parse_car(read_text(Path(path)), str(path))


def parse_car(text: str, name: str) -> CarDocument:
    """Read the text of a car file.

    Args:
        text: the content of the file
        name: name of the file, for messages

    Raises:
        InputError: the text is no TOML
        InputProblems: all that is wrong with its content
    """
    return parse_document(text, name, CarDocument)


def parse_document(text: str, name: str, model: type[Document]) -> Document:
    """Read the text of a file of any kind, all its problems told at once.

    Args:
        text: the content of the file
        name: name of the file, for messages
        model: what the file must hold

    Raises:
        InputError: the text is no TOML
        InputProblems: all that is wrong with its content
    """
    written = read_toml(text, name)
    try:
        return model.model_validate(written)
    except ValidationError as error:
        problems = problems_of(error, written, lines_of_keys(text), model)
    raise InputProblems(problems, place=name)


def read_text(path: Path) -> str:
    """Content of a text file.

    Args:
        path: the file, in UTF-8, with or without a byte order mark

    Raises:
        InputError: there is no such file, or it cannot be read as text
    """
    try:
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise InputError("There is no such file", todo="Check the name and the folder.", place=str(path)) from None
    except UnicodeDecodeError:
        raise InputError("The file is not text in UTF-8", todo="Save it as UTF-8.", place=str(path)) from None
    except OSError as error:
        reason = error.strerror or "unknown reason"
        raise InputError(f"The file cannot be read ({reason})", todo="Check the name.", place=str(path)) from None


def read_toml(text: str, name: str) -> dict[str, object]:
    """Content of a TOML text.

    Args:
        text: the content of the file
        name: name of the file, for messages

    Raises:
        InputError: the text is no TOML, with line and column
    """
    try:
        return tomllib.loads(text)
    except ValueError as error:  # the parser's own, and a whole number of thousands of digits
        todo = 'Correct this line: texts and numbers with units stand in quotation marks ("22.5 mm"), keys appear once.'
        raise InputError(f"The file is not valid TOML: {error}", todo=todo, place=name) from None
    except RecursionError:
        raise InputError(
            "The file is nested too deeply", todo="Write sections as [front.pivots].", place=name
        ) from None


def write_whole(path: Path | str, content: str | bytes) -> None:
    """Write a file so that a reader finds the old content or the new one, never a part.

    Args:
        path: the file; its folder must exist
        content: the new content, text or bytes

    Raises:
        InputError: the folder is missing or the file cannot be written; an old file is then unchanged
    """
    path = Path(path)
    data = content.encode() if isinstance(content, str) else content
    temporary = ""
    try:
        with tempfile.NamedTemporaryFile("wb", dir=path.parent, prefix=f".{path.name}.", delete=False) as file:
            temporary = file.name
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).chmod(_mode(path))
        Path(temporary).replace(path)
    except OSError as error:
        if temporary:
            Path(temporary).unlink(missing_ok=True)
        reason = error.strerror or "unknown reason"
        todo = "Check that the folder exists and may be written to."
        raise InputError(f"The file cannot be written ({reason})", todo=todo, place=str(path)) from None


def _mode(path: Path) -> int:
    """Permissions of the file that is replaced, or those that a new file gets here."""
    if path.exists():
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
