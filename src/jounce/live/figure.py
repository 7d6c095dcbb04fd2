"""A number that follows the hand, and how far a table of it may be off."""

from __future__ import annotations

from dataclasses import dataclass

from jounce.conventions.units import Kind

__all__ = ["LiveFigure"]

_STRICT = 0.005  # of a rate, a lean, a lift [-]
_NEAR = 1e-4  # of a length [m]


@dataclass(frozen=True, slots=True)
class LiveFigure:
    """A number that follows the hand.

    Attributes:
        key: its name
        label: its name for people; several of one label are told as the least of them
        kind: what it measures
        code: the check that holds to it; empty where none does
        least: what the check asks for at least; None without [SI]
        most: what the check asks for at most; None without [SI]
        times: key of the lever that it is multiplied by; empty where none
        rubbers: whether bump rubbers that touch sooner or later change it in a way that no table follows

    """

    key: str
    label: str
    kind: Kind
    code: str = ""
    least: float | None = None
    most: float | None = None
    times: str = ""
    rubbers: bool = False

    def missed(self, told: float, exact: float) -> float:
        """How far a number is off, in parts of what is allowed: a tenth of a millimetre, or half a hundredth of it [-].

        Args:
            told: what was told [SI]
            exact: what it is [SI]
        """
        return abs(told - exact) / (_NEAR if self.kind is Kind.LENGTH else _STRICT * abs(exact))
