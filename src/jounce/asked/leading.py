"""Which of an answer's numbers come first, and what they are called: what the sentence names leads."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from jounce.asked.wording import spelled
from jounce.checks import Check

__all__ = ["asked_first", "called", "of_axles"]

_NAMED: tuple[tuple[str, str], ...] = (
    (r"head ?lights?|headlamps?|lamps?|scheinwerfer\w*|licht", r"lamp|pitch|nose"),
    (r"drive ?shafts?|cv joints?|antriebswelle\w*|gelenkwelle\w*|halbwelle\w*", r"shaft"),
    (r"speedo\w*|tacho\w*", r"speedometer"),
    (r"brake hoses?|bremsschl\w*", r"hose"),
    (r"roll cent\w*|rollzentr\w*|momentanzentr\w*", r"roll centre"),
    (r"toe|spur|tracking", r"\btoe\b"),
    (r"camber|sturz", r"camber, to the road"),
    (r"caster|nachlauf", r"caster"),
    (r"wear|worn|verschlei\w*|abnutz\w*|abgefahren", r"toe, per wheel|camber, to the road"),
    (r"squats?|squatting|eintauch\w*|nickt?|dives?|dips?", r"pitch|travel"),
)
"""What a sentence may name, and the labels of the numbers that tell it."""
_CALLED = {
    "ARC-01": "way up until the tyre meets the arch",
    "WHL-01": "gap left at full lock",
    "NER-01": "gap left",
    "GND-01": "left under the lowest point",
    "GND-02": "over the road",
    "GND-03": "over the road, laden",
}


def asked_first(text: str, labels: Sequence[str], first: Iterable[str] = ()) -> list[int]:
    """The order in which numbers are told: what the sentence names, then what its kind leads with, then as they stand.

    Args:
        text: the sentence
        labels: what the numbers are called
        first: pieces of labels that lead, whatever the sentence says

    >>> asked_first("are the drive shafts ok", ["front track", "front outer drive shaft angle"])
    [1, 0]
    """
    said = spelled(text)
    wanted = [label for words, label in _NAMED if re.search(rf"\b(?:{words})\b", said)]
    wanted += [re.escape(piece) for piece in first]

    def rank(k: int) -> int:
        return next((n for n, pattern in enumerate(wanted) if re.search(pattern, labels[k])), len(wanted))

    return sorted(range(len(labels)), key=rank)


def called(check: Check) -> str:
    """What the value of a check is called: as a quantity where its question would be hard to read as one.

    Args:
        check: a check with a value
    """
    name = _CALLED.get(check.code)
    if name is None:
        return check.question.removesuffix("?")
    which = re.search(
        r"\((front|rear)\)|the (left|right) (front|rear)|keep off the ([\w ]+)\?|Is the ([\w ]+) high", check.question
    )
    axle = re.search(r"\b(?:front|rear)\b", check.question)
    side = re.search(r"\b(?:left|right)\b", check.question)
    where = " ".join(one.group() for one in (axle, side) if one is not None)
    off = next((text for text in (which.groups()[3:] if which else ()) if text), "")
    if check.code == "NER-01" and off:
        return f"{where} tyre: gap to the {off}"
    return f"{where or off}: {name}" if where or off else name


def of_axles(checks: Sequence[Check], axles: Sequence[str]) -> list[Check]:
    """The checks of the axles that are asked of, with those of the whole car.

    Args:
        checks: any
        axles: "front" or "rear"; empty for both
    """
    others = [axle for axle in ("front", "rear") if axles and axle not in axles]
    return [one for one in checks if not any(re.search(rf"\b{axle}\b", one.question) for axle in others)]
