"""Words of the field as they are written: where one was typed with one slip, or as it is said in a dialect.

A slip is a letter too few, too many, another one, or two the wrong way round. Only what is no ordinary word of its own is
put right, so that a camper does not become camber. Which words are ordinary and stand one slip from a word of the field was
looked up in the word lists of a spelling checker, English and German.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

from jounce.asked.concepts import concepts_in

__all__ = ["put_right"]

_ENDS = ("s", "n", "e", "en", "er", "es")
_SHORTEST = 5
"""Shorter words stand one slip from too many others."""
_LONG = 8
"""Of such words those that are one slip away mean the same: millimetre and millimeter."""
_FIELD_WORDS = """
    millimeter millimetre millimetres millimetern centimeter centimetre centimetres zentimeter zentimetern
    inches degrees front vorne rear hinterachse vorderachse hinten lower lowered lowering higher raise raised
    tiefer tieferlegen tiefergelegt tieferlegung hoeher absenken abgesenkt camber caster sturz nachlauf vorspur
    nachspur negativ negative negativer torsion spacers spurplatten distanzscheiben stabi stabilisator
    stabilizer drehstab drehstaebe drehstaeben drehstabfedern stiffer haerter verstellen einstellen springs
    damper dampers daempfer daempfern daempfung zugstufe druckstufe stossdaempfer shocks absorbers absorber
    steering lenkung suspension fahrwerk panhard panhardstab teeth zaehne umdrehung umdrehungen passenger
    passengers luggage gepaeck kofferraum people personen kilogramm steer droop rattle rattles klappern klappert
    helferfeder helferfedern vorspannfeder federweg einfedern ausfedern bodenwellen comfort comfortable comfy
    komfort komfortabel bequem alignment clearance coilover coilovers gewindefahrwerk rebound inspection
    eintragen gutachten wheels tyres reifen felgen arches kotfluegel radhaus uebersteuert untersteuert oversteer
    oversteers understeer understeers schleift schleifen rubbing adjustable verstellbar einstellbar spurstange
    domlager hinterrad vorderrad inside kurven corners luftfahrwerk frequency frequenz buehne hebebuehne
    springrate federrate gewicht weight height heights hoehe hoehen
"""
_FIELD = frozenset(_FIELD_WORDS.split())
"""Words by which amounts, axles and ways are told, and those of the field that are said most."""
_ORDINARY_WORDS = """
    abgelenkt ablenken absenden absorbed camper chamber clamber canter carter coaster caste castes cater custer
    comport damped dampen dapper decree decrees drool fegen feigen fellen felsen frequent frond frost gebaeck
    gedicht gericht gesicht gutachter haerte harter hither hingen hinken hinter hoere hoeren hoerer hoehle
    hoehlen hoefe hohen hoher insider itches itched klappen kuren kursen kurzen loner loser lover nachkauf
    overseer passender railed raided rained rasse rathaus ratte rears rearm redound reiben reife reifer reigen
    reihen reimen reinen reise reisen reiten reizen resound ribbing riefen robbing schliefen schweifen schweift
    schocks shacks sheer shucks smocks sneer socks spaces speed speer sprigs sprints stabil staffer stasi steed
    steel steep steher steuer stier stifter stocks strings sture sturm teethe tenth tiefe types vorstellbar
    vorstellen weigh weights weighty wright zaehe zaehle zaehlen zaeune
"""
_ORDINARY = frozenset(_ORDINARY_WORDS.split())
"""Ordinary words one slip from a word of the field."""


_DIALECT = {
    "drap": "drop", "doon": "down", "frnt": "front", "schepp": "schief", "schebb": "schief",
    "tiafa": "tiefer", "tiafer": "tiefer", "diafa": "tiefer", "tiefa": "tiefer", "hecha": "hoeher", "hoecha": "hoeher",
    "runta": "runter", "nunter": "runter", "obi": "runter", "owi": "runter", "zentimeta": "zentimeter",
    "millimeta": "millimeter", "voan": "vorne", "hintn": "hinten", "hinda": "hinten",
    "bissl": "bisschen", "bisserl": "bisschen", "bissel": "bisschen", "bisken": "bisschen",
}  # fmt: skip
"""Words as they are said in the south and the north, or cut short, and how they are written."""


def put_right(word: str) -> str:
    """A word as it was meant; as it is where it is known, ordinary, or may have been more than one.

    Args:
        word: in small plain letters

    >>> [put_right(word) for word in ("milimeter", "tiferlegen", "sturtz", "camper")]
    ['millimeter', 'tieferlegen', 'sturz', 'camper']
    """
    if word in _DIALECT:
        return _DIALECT[word]
    if len(word) < _SHORTEST or not word.isalpha() or word in _ORDINARY or _is_known(word) or concepts_in(word):
        return word
    meant = {one for rest in _shortened(word) for one in _by_slip().get(rest, ()) if _one_slip(one, word)}
    meant = {one for one in meant if one[0] == word[0]}
    return min(meant) if len(meant) == 1 or (meant and len(word) >= _LONG) else word


def _is_known(word: str) -> bool:
    """Whether it is a word of the field, or one with another end."""
    return word in _FIELD or any(
        f"{word}{end}" in _FIELD or (word.endswith(end) and word.removesuffix(end) in _FIELD) for end in _ENDS
    )


@cache
def _by_slip() -> Mapping[str, tuple[str, ...]]:
    """Words by each text that is left of them with at most one letter less."""
    found: dict[str, list[str]] = {}
    for word in sorted(_FIELD):
        for rest in _shortened(word):
            found.setdefault(rest, []).append(word)
    return {rest: tuple(words) for rest, words in found.items()}


def _shortened(word: str) -> Iterator[str]:
    yield word
    yield from dict.fromkeys(word[:k] + word[k + 1 :] for k in range(len(word)))


def _one_slip(one: str, other: str) -> bool:
    """Whether two words are one letter more, less, another, or two changed about, apart."""
    if len(one) > len(other):
        one, other = other, one
    k = next((k for k, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), len(one))
    if len(one) < len(other):
        return one[k:] == other[k + 1 :]
    return one[k + 1 :] == other[k + 1 :] or (
        one[k : k + 2] == other[k : k + 2][::-1] and one[k + 2 :] == other[k + 2 :]
    )
