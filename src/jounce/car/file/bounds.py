"""How much a file may hold, looked at before it is read: what a small file can make of memory and time is bounded."""

from __future__ import annotations

import re

from jounce.conventions.errors import InputError

__all__ = [
    "DEEPEST",
    "LARGEST",
    "LONGEST_LINE",
    "MOST_KEYS",
    "MOST_KEYS_OF_DOCUMENT",
    "MOST_LINES",
    "check_keys",
    "check_size",
    "check_table",
]

LARGEST = 4 * 2**20
"""Bytes of a text file: a large parts shelf is a tenth of it."""
LONGEST_LINE = 20_000
"""Characters of a line: a curve of a thousand rows on one line fits."""
MOST_KEYS = 50_000
"""Keys and tables of a TOML file: a shelf of some four thousand parts."""
MOST_KEYS_OF_DOCUMENT = 5_000
"""The same of a car, a job, a shop: the largest demo car has 138."""
DEEPEST = 12
"""Names in one dotted key or head, as in ``front.left.torsion_bar``: three are used."""
MOST_LINES = 50_000
"""Lines of a CSV file."""

# Each text that is begun is taken to its end, closed or not, so that no place is looked at twice.
_TEXT = re.compile(
    r'"""(?:[^\\]|\\.)*?(?:"""|\Z)|\'\'\'.*?(?:\'\'\'|\Z)|"(?:[^"\\\n]|\\.)*"?|\'[^\'\n]*\'?|#[^\n]*',
    re.DOTALL,
)
_NAMES = re.compile(r"[\w\-.\"]+(?:[ \t]*\.[ \t]*[\w\-.\"]+)*")
_HEAD = re.compile(r"^[ \t]*\[", re.MULTILINE)


def check_size(size: int, text: str) -> None:
    """Refuse a text that is too long, or has too long a line.

    Args:
        size: its size [B]
        text: the content of a file

    Raises:
        InputError: it is
    """
    if size > LARGEST:
        raise InputError(
            "The file is too large",
            found=f"more than {LARGEST // 2**20} MB",
            allowed=f"up to {LARGEST // 2**20} MB",
            todo="Check that it is the right file; part a large shelf by kinds.",
        )
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > LONGEST_LINE:
            raise InputError(
                "The line is too long",
                found=f"{len(line)} characters",
                allowed=f"up to {LONGEST_LINE}",
                todo="Part it: a list may go over several lines.",
                place=f"line {number}",
            )


def check_keys(text: str, most: int) -> None:
    """Refuse a TOML text with more keys, or with deeper ones, than any file of ours has.

    Args:
        text: the content of a file
        most: keys and tables that it may have

    Raises:
        InputError: it has
    """
    bare = _TEXT.sub(lambda found: '""' + "\n" * found[0].count("\n"), text)
    count = bare.count("=") + len(_HEAD.findall(bare))
    if count > most:
        raise InputError(
            "The file has too many keys",
            found=f"{count} keys and tables",
            allowed=f"up to {most}",
            todo="Check that it is the right file.",
        )
    for number, line in enumerate(bare.split("\n"), start=1):
        if line.count(".") >= DEEPEST and any(run.count(".") >= DEEPEST for run in _NAMES.findall(line)):
            raise InputError(
                "A key has too many names in it",
                allowed=f"up to {DEEPEST}, parted by points",
                todo="Write sections as [front.pivots].",
                place=f"line {number}",
            )


def check_table(text: str) -> None:
    """Refuse a CSV text of too many lines.

    Args:
        text: the content of a file

    Raises:
        InputError: it has
    """
    count = text.count("\n")
    if count > MOST_LINES:
        raise InputError(
            "The file has too many lines",
            found=str(count),
            allowed=f"up to {MOST_LINES}",
            todo="Check that it is the right file; part a large one.",
        )
