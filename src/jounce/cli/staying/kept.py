"""What a staying process keeps: the files of all commands, and the compiled functions that an invented car and job use."""

from __future__ import annotations

from contextlib import redirect_stdout
from importlib import import_module
from importlib.resources import as_file, files
from io import StringIO

from jounce.cli.app import commands
from jounce.conventions.errors import JounceError

__all__ = ["keep_mechanics"]

_FILES = ("ask", "beside", "book", "check", "example", "fitted", "job", "questions", "rounds", "shelf", "travel")
"""Commands whose files are read; printing and photographs read large libraries and do so themselves."""
_USED = (
    ("settle", "yarrow-12.toml"),
    ("travel", "yarrow-12.toml"),
    ("corner", "yarrow-12.toml"),
    ("comply", "sedge-13.toml", "--axle", "rear"),
    ("loads", "yarrow-12.toml", "--axle", "front"),
    ("weigh", "yarrow-12.toml"),
    ("ask", "how much does it lean", "yarrow-12.toml"),
    ("job", "yarrow-12-lower.toml"),
)
"""Commands that are run once, each using functions that the ones before did not."""


def keep_mechanics() -> None:
    """Read and use once what later commands use."""
    for name in _FILES:
        import_module(f"jounce.cli.{name}")
    with as_file(files("jounce.demo")) as demo, redirect_stdout(StringIO()):
        for words in _USED:
            try:
                commands(
                    [str(demo / word) if word.endswith(".toml") else word for word in words], standalone_mode=False
                )
            except (JounceError, SystemExit):
                continue  # what could not be used once is read by the first command that needs it
