"""Lines of a phrase file that serve a family of texts: words stand where the line has a letter in braces."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

__all__ = ["KEY", "NUMBER", "PLACE", "Family", "families_of", "filled"]

NUMBER = r"(?<![\w.])(?<!\w-)[+−-]?(?:\d{1,3}(?:,\d{3})++|\d++)(?:\.\d++)?(?![\w.]*\.\w)(?!-\d)"
"""A number as it stands in a text, thousands by commas; parts of codes, names of files and days are none."""

PLACE = re.compile(r"\{(\d+|[a-z])\}")
"""A place in a line: a figure in braces for a number, a letter for words."""

KEY = re.compile(r"[a-z][a-z0-9_]*(?:\.[a-z0-9_]+)*")
"""A key of a file, as it is written in one."""

_QUOTED = re.compile(r'"\{([a-z])\}"')
_A_NUMBER = rf"(?:\{{\d+\}}|{NUMBER})"


@dataclass(frozen=True, slots=True)
class Family:
    """A line with places for words.

    Attributes:
        text: the program's text
        said: the house's text
        shape: finds the places in a text
        anchor: the longest piece between the places: what has it not is not of the family
        quoted: places in quotation marks: a key of a file there is typed as it is, in any language

    """

    text: str
    said: str
    shape: re.Pattern[str]
    anchor: str
    quoted: frozenset[str]

    def spelt(self, place: str, word: str) -> bool:
        """Whether a word at a place is a key of a file, which no language changes.

        Args:
            place: letter of the place
            word: what stands there
        """
        return place in self.quoted and KEY.fullmatch(word) is not None

    def places_in(self, text: str) -> Mapping[str, str] | None:
        """What stands at each place of a text; None where the text is not of the family.

        Args:
            text: as the program says it, white space told once
        """
        found = self.shape.fullmatch(text) if self.anchor in text else None
        return None if found is None else {name[1:]: word for name, word in found.groupdict().items()}


def families_of(lines: Mapping[str, str]) -> tuple[Family, ...]:
    """Lines with places for words, the one that says most itself in front.

    Args:
        lines: the program's text = the house's text, white space told once
    """
    families = [
        _family(text, said) for text, said in lines.items() if any(not p.isdigit() for p in PLACE.findall(text))
    ]
    return tuple(sorted(families, key=lambda one: (-len(PLACE.sub("", one.text)), one.text)))


def filled(line: str, places: Mapping[str, str]) -> str:
    """A line with what stands at its places; a place that is not told stays as it is.

    Args:
        line: the house's text
        places: what stands there, by figure or letter
    """
    return PLACE.sub(lambda found: places.get(found[1], found[0]), line)


def _family(text: str, said: str) -> Family:
    pieces = PLACE.split(text)
    shape = "".join(_shaped(piece, place=bool(n % 2)) for n, piece in enumerate(pieces))
    return Family(
        text, said, re.compile(shape, re.DOTALL), max(_literal(pieces), key=len), frozenset(_QUOTED.findall(text))
    )


def _literal(pieces: list[str]) -> Iterable[str]:
    return pieces[::2]


def _shaped(piece: str, *, place: bool) -> str:
    if not place:
        return re.escape(piece)
    return f"(?P<_{piece}>{_A_NUMBER if piece.isdigit() else '.+?'})"
