"""What a customer asks for, as somebody says it at the counter; no number of it needs a car to be understood."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from jounce.conventions.errors import InputError, check_range
from jounce.conventions.units import MM

__all__ = ["CORNERS", "FEELS", "MOST_LOWER", "USES", "CounterWish"]

FEELS: Mapping[str, str] = {"softer": "softer", "same": "as it is", "firmer": "firmer"}
"""What the springs are to do, by word: how it is said."""
CORNERS: Mapping[str, str] = {
    "0": "comfort",
    "1": "rather comfort",
    "2": "both",
    "3": "rather corners",
    "4": "corners",
}
"""From comfort to corners, by step: how it is said."""
USES: Mapping[str, str] = {"everyday": "every day", "brisk": "brisk road", "club": "road and club days"}
"""What the car is for, by word: how it is said."""
MOST_LOWER = 0.080
"""How much lower may be asked for at the counter [m]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class CounterWish:
    """A wish.

    Attributes:
        lower: how much lower both axles are to stand [m]
        feel: a word of `FEELS`
        corner: a step of `CORNERS`
        use: a word of `USES`
        laden: whether people and luggage ride along as a rule
        budget: most that the parts may cost, in the shelf's currency; infinite for no limit [money]

    """

    lower: float = 0.0
    feel: str = "same"
    corner: str = "2"
    use: str = "brisk"
    laden: bool = False
    budget: float = math.inf

    def __post_init__(self) -> None:
        for name, known in (("feel", FEELS), ("corner", CORNERS), ("use", USES)):
            word = getattr(self, name)
            if word not in known:
                raise InputError("This cannot be wished", found=f'"{word}"', allowed=", ".join(known.values()))
        check_range("How much lower", self.lower / MM, 0.0, MOST_LOWER / MM, "mm", "Choose a height on the slider.")
        if not self.budget >= 0:
            raise InputError(
                "The money is no amount", found=f"{self.budget:g}", todo="Give 0 or more, or leave it empty."
            )
