"""The tables of the page on photographs, printed from the keys that the reader knows."""

from __future__ import annotations

from jounce.photographs.survey import SURVEY_KEYS

__all__ = ["survey_tables"]


def survey_tables() -> dict[str, str]:
    """A table of the keys of each entry, by its word."""
    return {
        word: "\n".join(["| key | meaning |\n| --- | --- |", *(f"| `{key}` | {said} |" for key, said in keys.items())])
        for word, keys in SURVEY_KEYS.items()
    }
