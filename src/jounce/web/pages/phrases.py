"""The language of the pages, and the house's own words for what they say."""

from __future__ import annotations

from starlette.responses import Response

from jounce.conventions.errors import JounceError
from jounce.web.language import phrase_file, program_phrases
from jounce.web.request import PageRequest, onward, page
from jounce.web.saving import keep
from jounce.web.shop_settings import house_phrases, only_entry, put_in_only
from jounce.words.phrases import Phrases, language_phrases, parse_phrases
from jounce.words.shipped import LANGUAGES

__all__ = ["show", "to_go_on"]


def show(ask: PageRequest) -> Response:
    """How much is said in the house's words, and the file; what cannot be read comes back with what is wrong."""
    entry = only_entry(ask.book, "phrases")
    text = ask.uploaded()
    if "language" in ask.form:
        text = _chosen(ask.form["language"])
    if text is None:
        text = ask.form.get("phrases")
    if text is None:
        return _page(ask, "" if entry is None else entry.content)
    try:
        language = parse_phrases(text, "").language
    except JounceError as error:
        return _page(ask, text, str(error))
    if entry is None:
        put_in_only(ask, "phrases", language, text)
    elif entry.content != text:
        keep(ask, entry, text, "words of the house")
    return onward("/shop/phrases?kept=1")


def _chosen(code: str) -> str:
    """The file of a language without words of the house's own; English where the program does not come with it."""
    house = language_phrases(code) if code in LANGUAGES else Phrases(language="en")
    return phrase_file(house, ())


def to_go_on(ask: PageRequest) -> Response:
    """The file with all that has no words yet, empty, to be filled in at leisure."""
    text = phrase_file(house_phrases(ask.book), (*program_phrases(), *ask.heard.all()))
    name = "phrases.toml"
    return Response(
        text, media_type="application/toml", headers={"content-disposition": f'attachment; filename="{name}"'}
    )


def _page(ask: PageRequest, text: str, wrong: str = "") -> Response:
    return page(
        ask,
        "phrases.html",
        422 if wrong else 200,
        entry=only_entry(ask.book, "phrases"),
        house=house_phrases(ask.book),
        text=text,
        wrong=wrong,
        heard=len(ask.heard.all()),
        languages={"en": "English", **LANGUAGES},
        kept="kept" in ask.query,
    )
