"""A sentence made plain, and the pieces of it by which kinds of question are told from each other."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise

from jounce.asked.concepts import concepts_in
from jounce.asked.misspelt import put_right

__all__ = ["BLOCKS", "LONGEST", "pieces", "plain", "spelled"]

LONGEST = 400
"""Characters of a question; what is longer is cut there."""
BLOCKS = ("concept", "letters", "words")
"""Kinds of pieces; each weighs the same in a sentence, however many pieces of it there are."""

_LETTERS = {
    "ä": "ae",
    "ö": "oe",
    "ü": "ue",
    "ß": "ss",
    "’": "'",
    "–": "-",
    "−": "-",
    "—": " ",
    "½": ".5",
    "¼": ".25",
    "¾": ".75",
    "″": '"',
    "′": "'",
    "°": " deg ",
}
_UNITS = {
    "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11,
    "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18,
    "nineteen": 19, "zwei": 2, "drei": 3, "vier": 4, "fuenf": 5, "sechs": 6, "sieben": 7, "acht": 8, "neun": 9,
    "zehn": 10, "elf": 11, "zwoelf": 12, "dreizehn": 13, "vierzehn": 14, "fuenfzehn": 15, "sechzehn": 16,
    "siebzehn": 17, "achtzehn": 18, "neunzehn": 19, "zwo": 2, "zwoa": 2, "zwoi": 2, "twa": 2, "fuenfe": 5, "fuffzehn": 15,
    "fuchzehn": 15, "dozen": 12, "dutzend": 12,
}  # fmt: skip
_TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80,
    "ninety": 90, "zwanzig": 20, "dreissig": 30, "vierzig": 40, "fuenfzig": 50, "sechzig": 60, "siebzig": 70,
    "achtzig": 80, "neunzig": 90, "zwanzich": 20, "dreissich": 30, "vierzich": 40, "fuffzig": 50, "fuffzich": 50,
    "fuchzg": 50, "fuchzig": 50, "zwanzg": 20, "dreissg": 30, "vierzg": 40, "sechzg": 60,
}  # fmt: skip
_ONES = {"one": 1, "ein": 1, "eins": 1} | {word: n for word, n in _UNITS.items() if n < 10}
_GERMAN_PARTS = {"einhalb": 0.5, "einviertel": 0.25, "dreiviertel": 0.75}
_NOTHING = frozenset({"zero", "null"})
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_LONG_NUMBER = 3


def spelled(text: str) -> str:
    """A sentence in small plain letters, number words as digits, without what is no word.

    Args:
        text: as it was typed

    >>> spelled("Fünfzig tiefer auf Vierzehnern – geht das?")
    '50 tiefer auf 14 - geht das?'
    >>> spelled("twenty-four mil, twenty two's and half an inch")
    '24 mil, 22 and 0.5 an inch'
    >>> spelled("zwoa Zentimeta tiafa, fuffzich Milimeter")
    '2 zentimeter tiefer, 50 millimeter'
    """
    found = text[:LONGEST].casefold()
    for letter, told in _LETTERS.items():
        found = found.replace(letter, told)
    found = re.sub(r"(?<=[a-z])[-'](?=[a-z])", " ", found)
    return " ".join(_counted(" ".join(found.split()).split()))


def _counted(words: list[str]) -> Iterator[str]:
    """Words with their numbers as digits."""
    k = 0
    while k < len(words):
        word, end = _parted(words[k])
        number: float | None = _german(word)
        if number is None:
            number = _known(_TENS, word)
            after, end_after = _parted(words[k + 1]) if k + 1 < len(words) else ("", "")
            one = None if number is None or end else _known(_ONES, after)
            if number is not None and one is not None:
                k, number, end = k + 1, number + one, end_after
        if number is None:
            number = _known(_UNITS, word)
        if number is None:
            number = _part_of_one(word)
        if number is None and word in _NOTHING:
            number = 0.0
        if number is not None and k + 1 < len(words) and words[k + 1].rstrip(".,;:!?)") == "s":
            k += 1
        yield put_right(word) + end if number is None else f"{number:g}{end}"
        k += 1


def _parted(word: str) -> tuple[str, str]:
    """A word and the marks behind it."""
    bare = word.rstrip(".,;:!?)")
    return bare, word[len(bare) :]


def _part_of_one(word: str) -> float | None:
    return 0.5 if word in {"half", "halb", "halbe", "halben", "halber"} else None


def _german(word: str) -> float | None:
    """Number of a German word such as fuenfundzwanzig, zweieinhalb, anderthalb."""
    if word == "anderthalb":
        return 1.5
    for end, part in _GERMAN_PARTS.items():
        if word.endswith(end) and (whole := _ONES.get(word.removesuffix(end))) is not None:
            return whole + part
    one, und, ten = word.partition("und")
    found = _known(_TENS, ten)
    return float(found + _ONES[one]) if und and found is not None and one in _ONES else None


def _known(table: Mapping[str, int], word: str) -> int | None:
    """Number of a word, also where people speak of such wheels or bars: fourteens, vierzehner."""
    for end in ("", "s", "es", "er", "ern", "ers", "zoeller", "zoellern"):
        stem = word.removesuffix(end) if end else word
        if word.endswith(end) and stem in table:
            return table[stem]
    return None


def plain(text: str) -> str:
    """A sentence for comparing: small plain letters, each number only by how many digits it has.

    Args:
        text: as it was typed

    >>> plain("Can I go 50mm LOWER on 195/45R15's?")
    'can i go ## mm lower on ###/## r ## s'
    """
    found = spelled(text)
    found = _NUMBER.sub(lambda number: "#" * min(_LONG_NUMBER, len(re.split(r"[.,]", number.group())[0])), found)
    found = re.sub(r"#(?=[a-z])", "# ", re.sub(r"(?<=[a-z])#", " #", found))
    return " ".join(re.findall(r"(?:[a-z]+|#+)(?:/#+)*|[%+]", found))


def pieces(text: str) -> Mapping[str, Mapping[str, int]]:
    """The pieces of a sentence, by block, and how often each is there.

    Concepts and pairs of them; two to five letters within a word; words and pairs of neighbours.

    Args:
        text: as it was typed
    """
    made = plain(text)
    words = made.split()
    named = concepts_in(made)
    return {
        "concept": _counts([*named, *(f"{a}&{b}" for i, a in enumerate(named) for b in named[i + 1 :])]),
        "letters": _counts(letters for word in words for letters in _letters(f" {word} ")),
        "words": _counts([*words, *(f"{a} {b}" for a, b in pairwise(words))]),
    }


def _letters(word: str) -> Iterator[str]:
    for size in range(2, 6):
        yield from (word[k : k + size] for k in range(len(word) - size + 1))


def _counts(found: list[str] | Iterator[str]) -> Mapping[str, int]:
    counts: dict[str, int] = {}
    for piece in found:
        counts[piece] = counts.get(piece, 0) + 1
    return counts
