"""A page in the house's words: its texts and the names of its controls, never what somebody typed."""

from __future__ import annotations

import json
import re
import threading
from collections.abc import Iterable, Iterator
from html import escape, unescape
from importlib.resources import files

from jounce.web.field_signs import form_shown
from jounce.web.script_words import chart_in_words, script_texts
from jounce.words.phrases import Phrases, phrase_of
from jounce.words.signs import PROGRAM, ProgramWords, held_together

__all__ = ["MissingPhrases", "NotingTranslator", "phrase_file", "program_phrases", "spoken", "unspoken"]

_MOST = 5000
"""Phrases that are remembered: a book with many names must not fill the memory."""

_PIECES = re.compile(r"<(script|style|textarea|pre|code)\b[^>]*>.*?</\1>|<[^>]*>|[^<]+", re.DOTALL)
_NAMES = re.compile(r'\b(aria-label|title|placeholder|alt)="([^"]*)"')
_OPTION = re.compile(r"<option((?:(?!\svalue=)[^>])*)>([^<]*)")
"""A choice that is sent as it is called, and so must be sent as the program calls it."""
_SUGGESTED = re.compile(r'(<input\b[^>]*\bvalue=")([^"]*)("[^>]* data-said\b)')
"""What the program suggests to be kept as it is: the house keeps it in its own words."""
_FORM = re.compile(r"<form\b.*?</form>", re.DOTALL)
_CHART = re.compile(r'\bdata-chart="([^"]*)"')
_JINJA = re.compile(r"\{%.*?%\}|\{\{.*?\}\}|\{#.*?#\}", re.DOTALL)
_LETTERS = re.compile(r"[^\W\d_]{2}")


class MissingPhrases:
    """Phrases that pages said since the start and for which the house has no words yet."""

    def __init__(self) -> None:
        self._phrases: set[str] = set()
        self._lock = threading.Lock()

    def add(self, phrases: set[str]) -> None:
        """Remember some, as long as there is room."""
        with self._lock:
            for phrase in phrases:
                if len(self._phrases) < _MOST:
                    self._phrases.add(phrase)

    def all(self) -> set[str]:
        """What was heard."""
        with self._lock:
            return set(self._phrases)


class NotingTranslator:
    """The house's words for paper, which notes what has none yet.

    Args:
        house: the words
        heard: where it is noted

    """

    def __init__(self, house: Phrases, heard: MissingPhrases) -> None:
        self._house, self._heard = house, heard

    @property
    def language(self) -> str:
        """Code of the language."""
        return self._house.language

    @property
    def decimal(self) -> str:
        """Decimal sign of numbers."""
        return self._house.decimal

    def said(self, text: str) -> str:
        """A text in the house's words."""
        self._heard.add(self._house.missing(text))
        return self._house.said(text)


def phrase_file(house: Phrases | None, texts: Iterable[str]) -> str:
    """The house's words as a file to go on with: what is said already, then every text that has no words yet, empty.

    Args:
        house: the words so far
        texts: the program's texts
    """
    there = {} if house is None else dict(house.phrases)
    lacking = {*texts} - {" ".join(text.split()) for text in there}
    missing = sorted((text for text in lacking if house is None or not house.knows(text)), key=str.casefold)
    head = {"language": "en" if house is None else house.language, "decimal": "." if house is None else house.decimal}
    lines = [f"{key} = {_toml(value)}" for key, value in head.items()]
    lines += ["", "# The program's text = the house's text; an empty one stays the program's. {0}, {1} are numbers,"]
    lines += ["# {a}, {b} any words: one line for a whole family of texts."]
    lines += ["[phrases]", *(f"{_toml(text)} = {_toml(said)}" for text, said in there.items())]
    lines += [f'{_toml(text)} = ""' for text in missing]
    return "\n".join(lines) + "\n"


def _toml(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)  # a TOML basic string is written as JSON writes it


def spoken(page: str, phrases: Phrases | None) -> str:
    """A whole page in the house's words, its numbers with the house's signs.

    Args:
        page: HTML, its texts escaped
        phrases: the house's words; None for the program's own
    """
    says: Phrases | ProgramWords = PROGRAM if phrases is None else phrases

    def suggested(found: re.Match[str]) -> str:
        said = says.said(unescape(found[2]))
        return found[0] if said == unescape(found[2]) else f"{found[1]}{escape(said)}{found[3]}"

    def piece(found: re.Match[str]) -> str:
        text = found[0]
        if phrases is None and "-" not in text:
            return text
        if not text.startswith("<"):
            return _around(text, says)
        if found[1] is not None:
            return text
        if text.startswith("<html"):
            return re.sub(r'lang="[^"]*"', f'lang="{says.language}"', text)
        if text.startswith("<figure"):
            text = _CHART.sub(lambda data: f'data-chart="{escape(chart_in_words(unescape(data[1]), says))}"', text)
        text = _SUGGESTED.sub(suggested, text)
        return _NAMES.sub(lambda name: f'{name[1]}="{escape(says.said(unescape(name[2])))}"', text)

    def sent_so(option: re.Match[str]) -> str:
        value = " ".join(option[2].split()).replace('"', "&quot;")
        return f'<option{option[1]} value="{value}">{option[2]}'

    page = _FORM.sub(lambda form: form_shown(form[0], says.decimal), page)
    return _PIECES.sub(piece, page if phrases is None else _OPTION.sub(sent_so, page))


def unspoken(page: str, phrases: Phrases) -> set[str]:
    """The phrases of a page for which the house has no words of its own.

    Args:
        page: HTML as the program says it
        phrases: the house's words
    """
    return {lacking for text in _texts_of(page) for lacking in phrases.missing(text)}


def program_phrases() -> list[str]:
    """The texts of the pages' templates and scripts, by alphabet; texts made of results are not among them."""
    found = set(script_texts())
    for file in files("jounce.web").joinpath("templates").iterdir():
        if file.name.endswith(".html"):
            text = _JINJA.sub("\x00", file.read_text("utf-8"))
            found |= {phrase_of(said)[0] for said in _texts_of(text) if "\x00" not in said}
    return sorted(found, key=str.casefold)


def _texts_of(page: str) -> Iterator[str]:
    for found in _PIECES.finditer(page):
        if found[1] is not None:
            continue
        texts = [name[2] for name in _NAMES.finditer(found[0])] if found[0].startswith("<") else [found[0]]
        for text in texts:
            said = unescape(text)
            if _LETTERS.search(phrase_of(said)[0]):
                yield said


def _around(text: str, phrases: Phrases | ProgramWords) -> str:
    inner = text.strip()
    if not inner:
        return text
    start = text.index(inner)
    said = phrases.said(unescape(inner))
    said = escape(said if phrases is PROGRAM else held_together(said), quote=False)
    return f"{text[:start]}{said}{text[start + len(inner) :]}"
