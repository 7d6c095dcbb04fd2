"""A sentence with numbers in it: kept as numbers, and told in whichever units the reader uses."""

from __future__ import annotations

from dataclasses import dataclass

from jounce.conventions.units import Kind, to_display, unit_of

__all__ = ["Amount", "Sentence", "acceleration", "angle", "force", "length", "say", "stress", "thickness"]


@dataclass(frozen=True, slots=True)
class Amount:
    """A number of a sentence [SI]; ``fewer`` is by how many decimals it is told more coarsely, negative more finely."""

    value: float
    kind: Kind
    sign: bool = False
    fewer: int = 0

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
