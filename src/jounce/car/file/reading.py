"""Reading a car file, with all its problems told at once."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from jounce.car.file.bounds import LARGEST, MOST_KEYS, MOST_KEYS_OF_DOCUMENT, check_keys, check_size
from jounce.car.file.document import CarDocument
from jounce.car.file.problems import problems_of
from jounce.car.file.section import Section
from jounce.car.file.toml_lines import lines_of_keys
from jounce.conventions.errors import InputError, InputProblems, at

__all__ = ["parse_car", "parse_document", "read_car", "read_text", "read_toml"]

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


def parse_document(text: str, name: str, model: type[Document], most_keys: int = MOST_KEYS_OF_DOCUMENT) -> Document:
    """Read the text of a file of any kind, all its problems told at once.

    Args:
        text: the content of the file
        name: name of the file, for messages
        model: what the file must hold
        most_keys: how many keys are read at most

    Raises:
        InputError: the text is no TOML
        InputProblems: all that is wrong with its content
    """
    written = read_toml(text, name, most_keys)
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
        InputError: there is no such file, it cannot be read as text, or it is too large
    """
    try:
        with path.open("rb") as file:  # a device or a pipe has no size to ask for, so no more than is wanted is read
            content = file.read(LARGEST + 1)
        text = content.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except FileNotFoundError:
        raise InputError("There is no such file", todo="Check the name and the folder.", place=str(path)) from None
    except UnicodeDecodeError:
        raise InputError("The file is not text in UTF-8", todo="Save it as UTF-8.", place=str(path)) from None
    except ValueError:  # the name itself, as with a sign in it that no file's name can have
        raise InputError("No file can have this name", found=repr(str(path)), todo="Correct the name.") from None
    except OSError as error:
        reason = error.strerror or "unknown reason"
        raise InputError(f"The file cannot be read ({reason})", todo="Check the name.", place=str(path)) from None
    with at(str(path)):
        check_size(len(content), text)
    return text


def read_toml(text: str, name: str, most_keys: int = MOST_KEYS) -> dict[str, object]:
    """Content of a TOML text.

    Args:
        text: the content of the file
        name: name of the file, for messages
        most_keys: keys and tables that it may have

    Raises:
        InputError: the text is no TOML, with line and column, or larger than any file of ours
    """
    with at(name):
        check_size(len(text), text)
        check_keys(text, most_keys)
    try:
        return tomllib.loads(text)
    except ValueError as error:  # the parser's own, and a whole number of thousands of digits
        todo = 'Correct this line: texts and numbers with units stand in quotation marks ("22.5 mm"), keys appear once.'
        raise InputError(f"The file is not valid TOML: {error}", todo=todo, place=name) from None
    except RecursionError:
        raise InputError(
            "The file is nested too deeply", todo="Write sections as [front.pivots].", place=name
        ) from None
