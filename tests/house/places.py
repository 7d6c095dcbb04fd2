"""Where things lie, and which files the house keeps."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"

_NOT_KEPT = {"build", "dist", "__pycache__"}  # and every folder with a leading dot but .ci: see .gitignore


def kept_files() -> Iterator[Path]:
    """Every file that belongs to the house: what is committed, whether or not the folder is a repository."""
    pending = [ROOT]
    while pending:
        for path in sorted(pending.pop().iterdir()):
            if not path.is_dir():
                yield path
            elif path.name == ".ci" or not (
                path.name in _NOT_KEPT or path.name.startswith(".") or path.name.endswith(".egg-info")
            ):
                pending.append(path)


def text_of(path: Path) -> str:
    """Text of a file, or nothing for a file that is no text."""
    try:
        return path.read_text("utf-8")
    except UnicodeDecodeError:
        return ""
