"""The sentences kept apart from the examples: what is asked, and the kinds whose answer would do."""

import tomllib
from pathlib import Path

HERE = Path(__file__).parent
LANGUAGES = ("english", "german")


def asked(language):
    """Sentence and the kinds that answer it, of the suspension's questions."""
    for one in _read(language)["question"]:
        for wording in one["wordings"]:
            yield wording, {one["kind"], *one.get("also", ())}


def foreign(language):
    """Sentences of other things."""
    return _read(language)["foreign"]["wordings"]


def _read(language):
    return tomllib.loads((HERE / f"wordings_{language}.toml").read_text("utf-8"))
