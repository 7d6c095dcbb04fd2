"""Numbers as their sources print them: text, unit and place kept together.

The tests in ``tests/validation`` compare the program with these objects, and ``docs/validation.md`` is printed from
them. Write each as a value of its module, alone or inside a list, tuple, dict or dataclass, and use it in a test of
that module::

    STRESS = Published(
        quantity="torsion bar shear stress",
        source="gere",
        where="Example 3-1, p. 196",
        printed="4527",
        unit=PSI,
        status="P",
    )

    def test_shear_stress() -> None:
        assert bar.shear_stress(250 * LBF_FT) == STRESS.match()

This module does not know the sources themselves: ``docs/sources.md`` lists them by key.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from decimal import Decimal, InvalidOperation
from types import ModuleType
from typing import Final, Literal, get_args

import pytest

__all__ = ["STATUS_MEANING", "Published", "published_in"]

Status = Literal["P", "M", "F", "D"]

STATUS_MEANING: Final[dict[Status, str]] = {
    "P": "published number, read in a copy or a public transcription of the source",
    "M": "published number, quoted from memory; its arithmetic was done again",
    "F": "published formula; the number was computed by an independent second method",
    "D": "derived here in closed form; no outside number",
}

_DIGIT_GROUPS = str.maketrans("", "", " \u00a0\u2009\u202f")
_MINUS_SIGNS = str.maketrans("\u2212", "-")


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """A number as a source prints it.

    Attributes:
        quantity: what the number is, in words
        source: key of the source in ``docs/sources.md``
        where: place in the source, such as "Example 4.2, p. 131"
        printed: the digits exactly as printed; spaces may group digits, an exponent may follow "e"
        unit: SI value of one of the printed unit, such as ``N_PER_MM``
        status: how far the number was seen, a key of ``STATUS_MEANING``
        rel: relative tolerance, only where half of the last printed digit would be too narrow
        tolerance_note: the sentence that says why ``rel`` is needed
        note: errata and remarks on the reading

    """

    quantity: str
    source: str
    where: str
    printed: str
    unit: float = 1.0
    status: Status = "P"
    rel: float = 0.0
    tolerance_note: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse an entry that could not be believed: no digits, no place, a tolerance without a reason."""
        for name in ("quantity", "source", "where"):
            if not getattr(self, name).strip():
                raise ValueError(f"published number {self.printed!r} has no {name}")
        if self.status not in get_args(Status):
            raise ValueError(f"{self.quantity}: status {self.status!r} is none of {', '.join(STATUS_MEANING)}")
        if self.unit == 0.0:
            raise ValueError(f"{self.quantity}: a unit of size zero would make every value match")
        if not 0.0 <= self.rel <= 0.1:
            raise ValueError(f"{self.quantity}: relative tolerance {self.rel} is outside 0 to 0.1")
        if (self.rel > 0.0) != bool(self.tolerance_note.strip()):
            raise ValueError(f"{self.quantity}: a looser tolerance and the sentence why go together")
        if not self._decimal().is_finite():
            raise ValueError(f"{self.quantity}: {self.printed!r} is not a finite number")

    @property
    def value(self) -> float:
        """The printed number in SI."""
        return float(self._decimal()) * self.unit

    @property
    def half_digit(self) -> float:
        """Half of the last printed digit, in SI: what rounding alone can explain."""
        exponent = self._decimal().as_tuple().exponent
        assert isinstance(exponent, int), "a finite decimal has a whole exponent"
        return 0.5 * 10.0**exponent * abs(self.unit)

    @property
    def tolerance(self) -> float:
        """Largest difference that still counts as equal, in SI."""
        return max(self.half_digit, self.rel * abs(self.value))

    def match(self) -> object:
        """What to compare with: equal to within half of the last printed digit, or ``rel`` where that is wider.

        >>> 31.2e6 / 6894.757293168361 == Published(
        ...     quantity="shear stress", source="gere", where="Example 3-1, p. 196", printed="4527"
        ... ).match()
        False
        >>> 4527.074 == Published(
        ...     quantity="shear stress", source="gere", where="Example 3-1, p. 196", printed="4527"
        ... ).match()
        True
        """
        return pytest.approx(self.value, rel=0.0, abs=self.tolerance)

    def _decimal(self) -> Decimal:
        try:
            return Decimal(self.printed.translate(_DIGIT_GROUPS).translate(_MINUS_SIGNS))
        except InvalidOperation:
            raise ValueError(f"{self.quantity}: {self.printed!r} is not a number as printed") from None


def published_in(module: ModuleType) -> dict[str, list[Published]]:
    """Published numbers of one module by the name of the value that holds them, in the order of writing."""
    found = {name: list(_published_inside(value)) for name, value in vars(module).items() if not name.startswith("__")}
    return {name: numbers for name, numbers in found.items() if numbers}


def _published_inside(value: object) -> Iterator[Published]:
    if isinstance(value, Published):
        yield value
    elif isinstance(value, Mapping):
        for part in value.values():
            yield from _published_inside(part)
    elif isinstance(value, Sequence) and not isinstance(value, str | bytes):
        for part in value:
            yield from _published_inside(part)
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            yield from _published_inside(getattr(value, field.name))
