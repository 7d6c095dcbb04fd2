"""A sentence with numbers in it: kept as numbers, and told in whichever units the reader uses."""

from __future__ import annotations

from dataclasses import dataclass, replace

from jounce.conventions.units import Kind, to_display, unit_of

__all__ = [
    "Amount",
    "Sentence",
    "acceleration",
    "angle",
    "force",
    "length",
    "say",
    "stress",
    "thickness",
    "thickness_told",
]


_MOST_FINER = 3
"""Decimals more than usual: a difference beyond them is none that anybody could measure."""


@dataclass(frozen=True, slots=True)
class Amount:
    """A number of a sentence [SI]; ``fewer`` is by how many decimals it is told more coarsely, negative more finely."""

    value: float
    kind: Kind
    sign: bool = False
    fewer: int = 0

    @property
    def finer(self) -> Amount:
        """The same with one more decimal."""
        return replace(self, fewer=self.fewer - 1)

    def said(self, units: str) -> str:
        """The number with its unit.

        Args:
            units: unit set to tell it in
        """
        unit = unit_of(self.kind, units)
        decimals = max(0, unit.decimals - self.fewer)
        rounded = round(float(to_display(self.value, self.kind, units)), decimals) + 0.0  # turns -0.0 into 0.0
        text = f"{rounded:{'+' if self.sign and rounded else ''}.{decimals}f}"
        return text if unit.symbol == "-" else f"{text} {unit.symbol}"


@dataclass(frozen=True, slots=True)
class Sentence:
    """A pattern with a pair of braces for each thing that stands in it."""

    pattern: str
    things: tuple[Amount | Sentence | str, ...] = ()

    def said(self, units: str = "metric") -> str:
        """The sentence in words.

        Args:
            units: unit set to tell its numbers in

        >>> say("{} until {}.", length(0.045), "the damper is closed").said("inch")
        '1.77 in until the damper is closed.'
        """
        told = (thing if isinstance(thing, str) else thing.said(units) for thing in self.things)
        return self.pattern.format(*told)

    def apart(self, one: float, other: float, units: str) -> Sentence:
        """The sentence with as many more decimals, up to three, as two different numbers in it need to read differently.

        "0.30 g, 0.30 g wanted" would leave the reader wondering what is wrong.

        Args:
            one: a number [SI]
            other: a number that it is held to [SI]
            units: unit set in which they are told

        >>> say("{}, {} wanted.", length(0.0998, fine=True), length(0.1, fine=True)).apart(0.0998, 0.1, "inch").said("inch")
        '3.929 in, 3.937 in wanted.'
        """
        told = self
        for _ in range(_MOST_FINER):
            amounts = [thing for thing in told.things if isinstance(thing, Amount)]
            ones, others = ({a.said(units) for a in amounts if a.value == value} for value in (one, other))
            if one == other or not ones & others:
                break
            told = replace(
                told,
                things=tuple(
                    thing.finer if isinstance(thing, Amount) and thing.value in {one, other} else thing
                    for thing in told.things
                ),
            )
        return told


def say(pattern: str, *things: Amount | Sentence | str) -> Sentence:
    """A sentence.

    Args:
        pattern: its words, a pair of braces for each thing
        things: what stands in it, in order
    """
    return Sentence(pattern, things)


def length(value: float, *, sign: bool = False, fine: bool = False) -> Amount:
    """A length [m], to the millimetre or, where it is ``fine``, to a tenth of one."""
    return Amount(value, Kind.LENGTH, sign, 0 if fine else 1)


def thickness(value: float) -> Amount:
    """A thickness of a shim [m], to a hundredth of a millimetre: they come in quarters and tenths."""
    return Amount(value, Kind.LENGTH, fewer=-1)


def thickness_told(value: float, band: float, units: str) -> str:
    """A thickness with its ±, where that is more than nothing.

    Args:
        value: the thickness [m]
        band: its ± [m]
        units: unit set to tell them in

    >>> thickness_told(0.001, 6e-5, "metric"), thickness_told(0.001, 0.0, "metric")
    ('1.00 ± 0.06 mm', '1.00 mm')
    """
    number, _, symbol = thickness(value).said(units).partition(" ")
    width = thickness(band).said(units).partition(" ")[0]
    return f"{number} ± {width} {symbol}" if any(digit in "123456789" for digit in width) else f"{number} {symbol}"


def acceleration(value: float) -> Amount:
    """An acceleration [m/s²]."""
    return Amount(value, Kind.ACCELERATION)


def angle(value: float, *, sign: bool = False) -> Amount:
    """An angle [rad]."""
    return Amount(value, Kind.ANGLE, sign)


def force(value: float) -> Amount:
    """A force [N]."""
    return Amount(value, Kind.FORCE)


def stress(value: float) -> Amount:
    """A stress [Pa]."""
    return Amount(value, Kind.STRESS)
