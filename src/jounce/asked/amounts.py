"""Amounts in a sentence: numbers with their units, and where, of what and which way they are meant; English and German."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache

from jounce.asked.angles import SaidAngle, angles_in
from jounce.asked.concepts import found_in
from jounce.asked.fractions import as_decimals, largest_of_ranges
from jounce.asked.places import AXLE_WORDS, NAMED_AXLE
from jounce.asked.wheel_sizes import SaidSize, plurals_as_digits, sizes_in
from jounce.asked.wheels_apart import wheels_apart
from jounce.asked.wording import plain, spelled
from jounce.conventions.units import INCH, MM, POUND

__all__ = ["AmountUnit", "SaidAmount", "Wording", "told_in"]


class AmountUnit(StrEnum):
    """What an amount counts; numbers of it are SI, counts as they are."""

    LENGTH = "length"  # [m]
    ANGLE = "degrees"
    TEETH = "teeth"
    TURNS = "turns"
    MASS = "kg"
    PEOPLE = "people"
    PASSENGERS = "people besides the driver"
    RATE = "N/m"
    FREQUENCY = "Hz"
    LATERAL = "g"
    MONEY = "money"
    CLICKS = "clicks"
    SHARE = "%"
    WAY = "km"
    WHEEL = "inches of wheel"
    BARE = "number"


@dataclass(frozen=True, slots=True)
class SaidAmount:
    """One amount.

    Attributes:
        value: SI, or as it is counted
        unit: what it counts
        place: "front", "rear" or "" where nothing is said
        start: character where it begins, in the spelled sentence

    """

    value: float
    unit: AmountUnit
    place: str = ""
    start: int = 0


@dataclass(frozen=True, slots=True)
class Wording:
    """What a sentence tells besides its kind.

    Attributes:
        amounts: all that there are, in their order
        lower: how much lower each axle shall stand, by "front" and "rear", negative for higher [m]
        bar: diameter of front torsion bars [m]; None where none is named
        roll_bar: diameter of an anti-roll bar [m]; None where none is named
        places: "front", "rear", as far as named
        sides: "left", "right", "inside", as far as named
        either: what is put to choose, such as ("torsion-bar", "spring")
        without: parts that shall go, or not be
        a_little: whether "a bit" is said in place of an amount
        offset: offset of other wheels [m]; None where none is named
        spacer: thickness of wheel spacers [m]; None where none is named
        unsized: whether it is to be lower or higher, and it is not said by how much
        ranges: what was said as a range, of which the larger end is taken
        load_at: "front" or "seats" where a load is told to be there or taken from there; "" elsewhere
        rolls: whether the balance, the lean or the anti-roll bar is spoken of
        angles: camber, toe and caster that are wanted
        further_out: by how much the wheels stand, or shall stand, further out; None where nothing is said of it [m]
        person: mass of each of the people; None where it is not told [kg]
        taken_out: whether parts or loads are told to be out of the car
        thick: what would be the diameter of a bar, if bars are asked of without being named; None where none may be [m]
        sizes: sizes of other tyres and rims, by "front" and "rear", as far as named

    """

    amounts: tuple[SaidAmount, ...] = ()
    lower: Mapping[str, float] | None = None
    bar: float | None = None
    roll_bar: float | None = None
    places: tuple[str, ...] = ()
    sides: tuple[str, ...] = ()
    either: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    a_little: bool = False
    offset: float | None = None
    spacer: float | None = None
    unsized: bool = False
    sizes: Mapping[str, SaidSize] = field(default_factory=dict)
    ranges: tuple[str, ...] = ()
    load_at: str = ""
    rolls: bool = False
    angles: tuple[SaidAngle, ...] = ()
    further_out: float | None = None
    person: float | None = None
    taken_out: bool = False
    thick: float | None = None

    def of(self, unit: AmountUnit) -> tuple[float, ...]:
        """Numbers of one unit.

        Args:
            unit: which
        """
        return tuple(one.value for one in self.amounts if one.unit is unit)


_U = AmountUnit
_UNITS: tuple[tuple[str, AmountUnit, float], ...] = (
    (r"n ?/ ?mm|newtons? (?:per|pro|je) (?:mm|millimet(?:er|re))", _U.RATE, 1000.0),
    (r"kgf? ?/ ?mm|k(?= ?springs?\b)|kgs?(?= springs?\b)", _U.RATE, 9806.65),
    (r"lbs? ?/ ?in(?:ch)?|pounds? per inch", _U.RATE, 175.126835),
    (r"mm|mil|mils|mill|millimet(?:er|re)s?n?", _U.LENGTH, MM),
    (r"cm|centimet(?:er|re)s?|zentimetern?", _U.LENGTH, 0.01),
    (
        r"inch(?:es)?|zoll|(?<=\d)in|in(?=(?: (?:lower|drop|down|off|wheel|higher|up|all round))| ?[,.?!)]| ?$)|\"",
        _U.LENGTH,
        INCH,
    ),
    (r"thou", _U.LENGTH, 0.001 * INCH),
    (r"teeth|tooth|splines?|notch(?:es)?|zaehnen?|zahn|kerben?", _U.TEETH, 1.0),
    (r"turns?|umdrehung(?:en)?|revolutions?", _U.TURNS, 1.0),
    (r"kgs?|kilos?|kilogramm?s?", _U.MASS, 1.0),
    (r"stones?|(?<=[02-9])st|(?<=11)st", _U.MASS, 14 * POUND),
    (r"zentnern?", _U.MASS, 50.0),
    (r"hundredweight|cwt", _U.MASS, 112 * POUND),
    (
        r"lbs?|pounds?(?= (?:of|heavier|lighter|more|less|aboard|in the|on the|up front|over the))",
        _U.MASS,
        POUND,
    ),
    (
        r"passengers?|kids?|child(?:ren)?|mates?|friends?|mitfahrern?|beifahrern?|kindern?|kind|freunden?|kumpels?",
        _U.PASSENGERS,
        1.0,
    ),
    (
        r"people|persons?|adults?|of us|blokes?|lads?|guys|leuten?|leut|personen|erwachsenen?|mann|maennern?|kerlen?",
        _U.PEOPLE,
        1.0,
    ),
    (r"hz|hertz", _U.FREQUENCY, 1.0),
    (r"deg(?:rees?)?|grad", _U.ANGLE, 1.0),
    (r"g", _U.LATERAL, 1.0),
    (r"euros?|eur|quid|pounds?|dollars?|bucks|francs?|franken|€|\$|£", _U.MONEY, 1.0),
    (r"clicks?|klicks?", _U.CLICKS, 1.0),
    (r"%|percent|per cent|prozent", _U.SHARE, 1.0),
    (r"km|kilometers?|kilometres?|kilometern?", _U.WAY, 1.0),
    (r"miles?|meilen", _U.WAY, 1.609344),
)  # fmt: skip
_ET = re.compile(r"\bet ?\d{1,2}")
_AMOUNT = re.compile(
    r"(?P<sign>(?:(?<![\w.])[-+]|\bminus|\bplus) ?)?(?<![\w.,/])(?P<money>[€$£] ?)?"
    r"(?P<number>\d+(?:[.,]\d+)?)(?: an?(?= ))? ?"
    rf"(?:(?P<unit>{'|'.join(pattern for pattern, _, _ in _UNITS)})(?![a-z/]))?"
)
_PLACES = {
    **AXLE_WORDS,
    "both": r"both|all round|all around|all four|rundum|ueberall|beide[nr]?|the whole car|the car|each end",
}
_SIDES = {
    "left": r"left|nearside|passenger side|links?|linke[rnms]?|beifahrerseite",
    "right": r"right(?! at| away| now| height)|offside|driver'?s? side|rechts?|rechte[rnms]?|fahrerseite",
    "inside": r"inside|inner|kurveninner\w*|innere?[rsn]?",
}
_DOWN = re.compile(
    r"\b(?:lower(?:ed|ing|s)?|drop(?:ped|ping|s)?|down|less|slam\w*|bring it down|off the (?:height|front|rear|back|nose)|"
    r"tiefer\w*|tief|runter\w*|"
    r"herunter\w*|absenk\w*|abgesenkt|senken|niedriger|low)\b"
)
_UP = re.compile(r"\b(?:rais(?:e|ed|ing)|lift(?:ed|ing)?|higher|up|taller|hoeher\w*|anheben|hoch|rauf|angehoben)\b")
_STATE = re.compile(
    r"\b(?:sits?|stands?|is|hangs?|steht|sitzt|haengt|ist|liegt)\b(?! (?:it|that|there|possible|es|das))"
    r"[^,.?]{0,18}?\d[\d.,]* ?(?:mm|cm)?"
    r" (?:too )?(?:low|high|lower|higher|tiefer|hoeher|zu tief|zu hoch)\b(?! possible)"
)
_WISH = re.compile(r"\b(?:if|when|once|wenn|falls|go|want|should|going|am|bei|with|mit)\b")
_TEETH = re.compile(r"\b(?:teeth|tooth|splines?|notch(?:es)?|zahn|zaehnen?|kerben?)\b")
_FOR_A_HEIGHT = re.compile(r"\b(?:for|by|um|fuer|per)(?: another| a| an| etwa| about)?\s*$")
_BAR_BEHIND = re.compile(r"[\d.,]+ ?(?:mm|inch)? ?(?:er)? ?(?:front |torsion )?(?:bars?|ones|staeb\w*|dreh\w*)")
_INSTEAD = r"instead of|than|replac\w+|anstatt|statt|anstelle von|gegenueber|over|versus|vs"
_OLD = re.compile(
    rf"\b(?:{_INSTEAD}|from|als|von)(?: (?:the|my|its|a|an|stock|standard|original\w*|die|den|der|dem|das|meinen?|"
    r"serie\w*|normalen?))* $"
)
_OLD_FOR_SURE = re.compile(rf"\b(?:{_INSTEAD})(?: \w+)? $")
"""What is told before the part that is there, which another one is to take the place of."""
_UNSIZED = re.compile(
    r"\b(?:lower(?:ed|ing|s)?|drop(?:ped|ping)?|slam\w*|rais(?:e|ed|ing)|tieferleg\w*|tiefergelegt\w*|absenk\w*|abgesenkt)\b"
)
_NOT_WANTED = re.compile(r"\b(?:not|don t|dont|doesn t|without|never|ohne|nicht|kein\w*)(?: \w+){0,2} $")
"""What stands before a height that is not wanted."""
_LITTLE = re.compile(r"\b(?:a bit|a little|a touch|slightly|bisschen|etwas|ein wenig|a tad)\b")
_NONE = re.compile(
    r"\b(?:without|no|not|remove|delete|ohne|keine?n?|nicht|weg|raus|take off|get rid of|disconnect|instead of|statt)\b"
)
_TAKEN_OFF = (
    re.compile(r"\b(?:take|leave|get|unbolt)\b(.{2,40}?)\b(?:off|out|away)\b"),
    re.compile(
        r"\b(?:den|die|das|der|kann ich|ich)\b(.{2,40}?)\b(?:ausbauen|abbauen|weglassen|wegbauen|aushaengen|rausnehmen)\b"
    ),
)
_TAKEN_OUT = re.compile(
    r"\b(?:removed?|removing|threw out|thrown out|take out|took out|taken out|stripped|gutted|binned|lighter|saved?|less|"
    r"without|raus\w*|ausgebaut|ausbauen|entfernt?|entfernen|weniger|leichter|ohne|gespart|erleichtert|weg)\b"
    r"|\baus (?:dem|der) (?:kofferraum|auto|wagen)\b|\bout of the (?:boot|car|back)\b"
)
"""What makes a mass one that the car has no more."""
_OUT_OF_IT = re.compile(
    r"\b(?:removed?|removing|threw out|thrown out|take out|took out|taken out|stripped|gutted|binned|raus\w*|ausgebaut|"
    r"ausbauen|entfernt?|entfernen)\b|\b(?:took|take|taken|are|is|pulled|got)\b.{0,30}\bout\b"
)
"""What tells that parts of the car are out of it."""
_LOAD_AT = {
    "seats": r"seats?|bench|sitze?n?|rueckbank|rueck(?:sitz)?bank\w*|ruecksitz\w*|rear passengers?",
    "front": r"engine|motor\w*|bonnet|hood|up front|in front|over the front|front end|nose|vorn|vorne|gearbox|getriebe",
}
"""Where a load is told to be; in the boot otherwise."""
_ROLLS = re.compile(r"\b(?:roll\w*|lean\w*|balance|wank\w*|neig\w*|rollwinkel|share|anteil)\b")
_GAP = re.compile(
    r"\b(?:gap|room|clearance|luft|platz|abstand|spalt|rubs? at|n ?/ ?mm|hz|bars?|staeb\w*|stabi\w*|toe|spur|track|"
    r"height|hoehe|wheels?|rims?|felgen?|spacers?|spurplatten?|offset)\b"
)
"""Of what a front and a rear length may be told besides how much lower they are wanted."""
_USUAL_LOWER, _MOST_LOWER = 10 * MM, 150 * MM
_BARS, _ROLL_BARS = (14.0, 35.0), (8.0, 40.0)
_AXLES = ("front", "rear")
_PARTS = ("torsion-bar", "spring", "damper", "roll-bar", "panhard", "coil-over", "helper")


def told_in(text: str) -> Wording:
    """Amounts, places and parts of a sentence.

    Args:
        text: as it was typed

    >>> found = told_in("front 40 mm lower, rear an inch and 22s")
    >>> {place: round(value, 4) for place, value in found.lower.items()}
    {'front': 0.04, 'rear': 0.0254}
    >>> told_in("sits 8 mm low on the left, what do I adjust").lower
    {'front': -0.008, 'rear': -0.008}
    """
    sizes, rest = sizes_in(spelled(plurals_as_digits(text)))
    said, ranges = largest_of_ranges(_written_out(rest))
    said, person = _people_of(said)
    found = [
        *(SaidAmount(float(rim), _U.WHEEL) for rim in dict.fromkeys(one.rim for one in sizes.values() if one.rim)),
        *_amounts(said),
    ]
    bars = _diameters(said, found)
    used = {id(one) for one in (*bars.values(),) if one is not None}
    apart = wheels_apart(said, [one for one in found if one.unit in {_U.LENGTH, _U.BARE}])
    used |= {id(one) for one in found if one.start in apart.used}
    angles = angles_in(said, *([one for one in found if one.unit is unit] for unit in (_U.ANGLE, _U.BARE, _U.LENGTH)))
    used |= {id(one) for one in found if any(one.start == angle.start for angle in angles)}
    left = [one for one in found if id(one) not in used]
    lower = _lower(said, left) or _by_teeth(said, left) or _pair(said, left)
    return Wording(
        tuple(found),
        lower,
        None if (bar := bars["torsion-bar"]) is None else _metres(bar),
        None if (bar := bars["roll-bar"]) is None else _metres(bar),
        tuple(place for place, words in NAMED_AXLE.items() if words.search(said)),
        tuple(side for side, words in _SIDES.items() if re.search(rf"\b(?:{words})\b", said)),
        _either(plain(text)),
        _without(plain(text)),
        bool(_LITTLE.search(said)),
        apart.offset,
        apart.spacer,
        lower is None and any(not _NOT_WANTED.search(said[: one.start()]) for one in _UNSIZED.finditer(said)),
        sizes,
        ranges,
        next((place for place, words in _LOAD_AT.items() if re.search(rf"\b(?:{words})\b", said)), ""),
        any(found_in("roll-bar", plain(text))) or bool(_ROLLS.search(said)),
        angles,
        apart.further_out,
        person,
        bool(_OUT_OF_IT.search(said)),
        None if lower or (thick := _wanted_of(said, found, _BARS)) is None else _metres(thick),
    )


def _written_out(said: str) -> str:
    """A sentence with a single inch, tooth or turn as a number, "40/30" as two numbers, and what else is said short."""
    said = re.sub(r"\b(viertel|halbe?|dreiviertel)(?=umdrehung)", r"\1 ", said)
    said = re.sub(
        r"\b(?:an|one|a|ein|einen|eine) "
        r"(?=inch|zoll|tooth|turn|zahn|cm|zentimeter|centimet|umdreh|(?:more |mehr )?(?:grad\b|deg\b|degree))",
        "1 ",
        as_decimals(said),
    )
    said = _COUPLE.sub("2 ", said)
    said = re.sub(
        r"(?<![\d.,/])(?<!\d )\b(?=(?:inch|zoll) (?:lower|higher|down|drop|tiefer|hoeher|runter)\b)", "1 ", said
    )
    said = _STONE_AND_POUNDS.sub(lambda found: f"{14 * int(found[1]) + int(found[2])} lbs of", said)
    said = _TOGETHER.sub(lambda found: f"{found[1] or _TOGETHER_AS[found[2]]} people", said)
    said = re.sub(r"(?<![\d/])([-+]?\d{2,3}) ?/ ?([-+]?\d{2,3})(?![\d/]|[ r]{1,2}\d)", r"\1 , \2", said)
    if {"f", "r"} <= {found[1] for found in _AXLE_LETTER.finditer(said)}:
        said = _AXLE_LETTER.sub(lambda found: f" {_LETTERS[found[1]]} ", said)
    return _same_unit(said)


_COUPLE = re.compile(
    r"\b(?:a couple(?: of)?|couple of|ein paar) "
    r"(?=teeth|turns|zaehne|umdrehungen|people|leute|cm|centim|zentim|inches|zoll|mm\b|mil)"
)
_STONE_AND_POUNDS = re.compile(
    r"(?<![\d.,])(\d{1,2}) ?(?:stone|st) (\d{1,2})(?: ?(?:lbs?|pounds?))?(?![\d.,/]|\s?(?:mm|cm|kg))"
)
_TOGETHER = re.compile(r"(?<![\d.,-])([2-6]) up\b|\bzu (zweit|dritt|viert|fuenft|sechst)\b")
_TOGETHER_AS = {"zweit": 2, "dritt": 3, "viert": 4, "fuenft": 5, "sechst": 6}
_AXLE_LETTER = re.compile(r"(?:(?<=\d)|(?<=\d )|(?<!\S))([fr])(?:(?= ?[-+]?\d)|(?![\w/]))")
_LETTERS = {"f": "front", "r": "rear"}
_LARGE_UNIT = re.compile(r"(?<=\d) ?(cm|centimet(?:er|re)s?|zentimetern?|inch(?:es)?|zoll|\")(?![a-z])")
_AXLE = "|".join(AXLE_WORDS.values())
_BARE_AT_AXLE = re.compile(
    rf"\b(?:{_AXLE})(?: (?:by|um|about|etwa|ca))? (?:[12]\d?|\d)(?:[.,]\d+)?"
    rf"(?= ?(?:$|[,;.?!](?!\d)| and\b| und\b| but\b| lower| tiefer| down| runter))"
    rf"|(?<![\d.,])(?:[12]\d?|\d)(?:[.,]\d+)?(?= (?:at the |at |in the )?(?:{_AXLE})\b)"
)


def _same_unit(said: str) -> str:
    """A sentence in which a small number of one axle has the unit of the other's: "3 cm in front and the rear 2"."""
    units = {found[1] for found in _LARGE_UNIT.finditer(said)}
    if len(units) != 1:
        return said
    (unit,) = units
    return _BARE_AT_AXLE.sub(lambda found: f"{found.group()} {unit}", said)


_PERSON = (
    r"(?:people|persons?|adults?|passengers?|blokes?|lads?|chaps?|guys|ladies|women|men|kids?|leute|personen|person|"
    r"erwachsene|mann|mitfahrer|beifahrer|kerle|kerl|mates?|friends?|freunde?|kumpels?)"
)
_OF_SO_MUCH = re.compile(
    rf"(?:(?P<count>\b[1-9]) )?(?P<mass>\d{{1,3}}(?:[.,]\d)?) ?(?P<unit>kgs?|kilos?|stone|lbs(?: of)?|pounds?)"
    rf" (?:heavy |schwere[nr]? )?(?P<who>{_PERSON})\b"
)
_EACH_OF = re.compile(
    rf"(?P<who>{_PERSON})(?: of| at| with| mit| von| zu| a)?(?: je)? (?P<mass>\d{{2,3}}(?:[.,]\d)?) ?"
    r"(?P<unit>kgs?|kilos?|stone|lbs(?: of)?)"
    r"(?: each| apiece| per person| pro (?:nase|person|mann))?"
)
_PER_UNIT = {"k": 1.0, "s": 14 * POUND, "l": POUND, "p": POUND}


def _people_of(said: str) -> tuple[str, float | None]:
    """The sentence with people in place of what each of them weighs, and that [kg]."""
    found = _OF_SO_MUCH.search(said) or _EACH_OF.search(said)
    if found is None:
        return said, None
    mass = float(found["mass"].replace(",", ".")) * _PER_UNIT[found["unit"][0]]
    count = (found["count"] or "1") + " " if "count" in found.groupdict() else ""
    return said[: found.start()] + count + found["who"] + said[found.end() :], mass


def _amounts(said: str) -> Iterator[SaidAmount]:
    """Every amount but offsets of wheels, which are told apart."""
    offsets = [one.span() for one in _ET.finditer(said)]
    for match in _AMOUNT.finditer(said):
        if any(start <= match.start("number") < end for start, end in offsets):
            continue
        value = float(match["number"].replace(",", "."))
        sign = -1.0 if (match["sign"] or "").strip() in {"-", "minus"} else 1.0
        unit, factor = (_U.MONEY, 1.0) if match["money"] else _unit_named(said, *match.span("unit"))
        if unit is _U.MASS and factor < 1 and "spring" in said:  # the trade says a spring of so many pounds
            unit, factor = _U.RATE, 175.126835
        if unit is _U.MASS and sign > 0 and _TAKEN_OUT.search(said):
            sign = -1.0
        if unit is _U.PEOPLE and _BEHIND_THE_DRIVER.match(said, match.end()):
            unit = _U.PASSENGERS
        yield SaidAmount(sign * value * factor, unit, "", match.start("number"))


_BEHIND_THE_DRIVER = re.compile(
    r" (?:\w+ )?(?:in the (?:back|rear)|on the back seat|hinten|auf der rueckbank|beside me|neben mir)\b"
)


def _unit_named(said: str, start: int, end: int) -> tuple[AmountUnit, float]:
    """The unit that stands at a place of a sentence; what is behind it may tell pounds of mass from those of money."""
    for pattern, unit, factor in _UNITS if start >= 0 else ():
        found = _unit_pattern(pattern).match(said, start)
        if found is not None and found.end() == end:
            return unit, factor
    return _U.BARE, 1.0


@cache
def _unit_pattern(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"(?:{pattern})(?![a-z/])")


def _metres(one: SaidAmount) -> float:
    return one.value * (MM if one.unit is _U.BARE else 1.0)


def _diameters(said: str, found: list[SaidAmount]) -> dict[str, SaidAmount | None]:
    """The amounts that are diameters of bars: the last named of those that can be one, which is the new one."""
    text = plain(said)
    told: dict[str, SaidAmount | None] = {"torsion-bar": None, "roll-bar": None}
    for part, (low, high) in (("roll-bar", _ROLL_BARS), ("torsion-bar", _BARS)):
        if not any(found_in(part, text)) or (part == "torsion-bar" and told["roll-bar"] is not None):
            continue
        told[part] = _wanted_of(said, found, (low, high))
    return told


def _wanted_of(said: str, found: list[SaidAmount], sizes: tuple[float, float]) -> SaidAmount | None:
    """The diameter that is wanted of those that can be one [mm]: the last that is not told as the one that is there."""
    fits = [one for one in found if one.unit in {_U.BARE, _U.LENGTH} and sizes[0] <= _in_mm(one) <= sizes[1]]
    fits = [one for one in fits if not re.match(r"[\d.,]+ ?(?:mm|cm)? (?:lower|tiefer|down|less)", said[one.start :])]
    fits = [one for one in fits if not _FOR_A_HEIGHT.search(said[: one.start]) or _BAR_BEHIND.match(said[one.start :])]
    here = [[one for one in fits if not old.search(said[: one.start])] for old in (_OLD, _OLD_FOR_SURE)]
    return next((some[-1] for some in (*here, fits) if some), None)


def _in_mm(one: SaidAmount) -> float:
    return one.value / MM if one.unit is _U.LENGTH else one.value


def _lower(said: str, found: list[SaidAmount]) -> dict[str, float] | None:
    """How much lower each axle is wanted; None where nothing is said of it."""
    down, up = _DOWN.search(said), _UP.search(said)
    lengths = [one for one in found if one.unit is _U.LENGTH and abs(one.value) <= _MOST_LOWER]
    bare = [one for one in found if one.unit is _U.BARE and 5 <= abs(one.value) <= _MOST_LOWER / MM]
    signed = [one for one in (*lengths, *bare) if one.value < 0]
    if not (down or up or signed):
        return None
    if not lengths or signed or len(_named(said)) > len(lengths):
        lengths = sorted({*lengths, *bare}, key=lambda one: one.start)
    if not lengths:
        little = _USUAL_LOWER if _LITTLE.search(said) else None
        return None if little is None else dict.fromkeys(_named(said), little * (1.0 if down else -1.0))
    way = -1.0 if up and not down else 1.0
    if _STATE.search(said) and not _WISH.search(said[: _STATE.search(said).start()]):  # type: ignore[union-attr]
        way = -way  # it sits so much too low, and is to come up again
    wanted: dict[str, float] = {}
    if len(lengths) == len(_AXLES) and not re.search(rf"\b(?:{_PLACES['front']}|{_PLACES['rear']})\b", said):
        both = [abs(one.value) * (MM if one.unit is _U.BARE else 1.0) * way for one in lengths]
        return dict(zip(_AXLES, both, strict=True))
    for k, one in enumerate(lengths):
        size = abs(one.value) * (MM if one.unit is _U.BARE else 1.0)
        start = lengths[k - 1].start + 2 if k else 0
        end = lengths[k + 1].start if k + 1 < len(lengths) else len(said)
        for place in _place_of(said, one, (start, end), set(wanted)):
            wanted.setdefault(place, size * way)
    return wanted or None


def _by_teeth(said: str, found: list[SaidAmount]) -> dict[str, float] | None:
    """How much lower the front is wanted where only teeth and a length are named: "how many splines for 30 mm"."""
    lengths = [one.value for one in found if one.unit is _U.LENGTH and 0 < one.value <= _MOST_LOWER]
    return {"front": lengths[0]} if lengths and _TEETH.search(said) else None


def _pair(said: str, found: list[SaidAmount]) -> dict[str, float] | None:
    """How much lower each axle is wanted where nothing is told but two lengths of two axles: "40 vorn 30 hinten"."""
    told = [one for one in found if one.unit in {_U.LENGTH, _U.BARE} and 5 <= _in_mm(one) <= _MOST_LOWER / MM]
    if len(told) != len(_AXLES) or len(told) != len(found) or _GAP.search(said):
        return None
    if all(words.search(said) for words in NAMED_AXLE.values()):
        wanted: dict[str, float] = {}
        for k, one in enumerate(told):
            within = (told[0].start + 2, len(said)) if k else (0, told[1].start)
            for place in _place_of(said, one, within, set(wanted)):
                wanted.setdefault(place, _metres(one))
        return wanted if len(wanted) == len(_AXLES) else None
    if re.search(r"\b\d\d , \d\d (?:springs?|federn?|kit|tiefer\w*|drop|lowering)", said):
        return dict(zip(_AXLES, map(_metres, told), strict=True))
    return None


def _named(said: str) -> tuple[str, ...]:
    """The axles that a text names; both where it names none."""
    named = tuple(place for place, words in NAMED_AXLE.items() if words.search(said))
    return named if named and not re.search(rf"\b(?:{_PLACES['both']})\b", said) else ("front", "rear")


def _place_of(said: str, one: SaidAmount, within: tuple[int, int], had: set[str]) -> tuple[str, ...]:
    """The axles of which an amount is told: the nearest named between its neighbours that none had yet, or both."""
    start, end = within
    near: list[tuple[int, str]] = []
    for place, words in _PLACES.items():
        for match in re.finditer(rf"\b(?:{words})\b", said[start:end]):
            at = start + match.start()
            far = one.start - (at + len(match.group())) if at < one.start else at - one.start
            between = said[min(at, one.start) : max(at, one.start)]
            near.append((far + (40 if re.search(r"[,;]| and | und ", between) else 0), place))
    if not near:
        return ("front", "rear")
    place = min([one for one in near if one[1] not in had] or near)[1]
    return ("front", "rear") if place == "both" else (place,)


def _either(text: str) -> tuple[str, ...]:
    """Parts that are put to choose: those named on both sides of "or"."""
    parts = re.split(r"\b(?:or|oder)\b", text, maxsplit=1)
    if len(parts) < 2:
        return ()
    sides = [[name for name in _PARTS if any(found_in(name, side))] for side in parts]
    if not sides[0] and re.search(r"\b(?:bars?|staebe?)\b", parts[0]):
        sides[0] = ["torsion-bar"]
    return tuple(dict.fromkeys(name for side in sides for name in side)) if all(sides) else ()


def _without(text: str) -> tuple[str, ...]:
    """Parts that stand behind a word of doing without."""
    found = []
    for match in _NONE.finditer(text):
        behind = text[match.end() : match.end() + 30]
        if match.group() in {"instead of", "statt"} and re.match(r" (?:the |my |die |den |der )?#", behind):
            continue  # a size that another takes the place of: the part stays
        found += [name for name in _PARTS if any(start < 12 for start, _ in found_in(name, behind))]
    for pattern in _TAKEN_OFF:
        for match in pattern.finditer(text):
            found += [name for name in _PARTS if any(found_in(name, match[1]))]
    return tuple(dict.fromkeys(found))
