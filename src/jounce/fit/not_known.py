"""Parts that nobody may have measured on a car: how far their numbers may be off then, for a fit to find them out."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import all_inputs
from jounce.conventions.axes import ENDS

__all__ = ["UnknownPart", "unknown_parts", "wider_with"]

_PARTS: Mapping[str, tuple[str, Mapping[str, str]]] = {
    "torsion_bar": (
        "torsion bar (diameter ± 1.5 mm, length ± 10 mm, modulus ± 2 %)",
        {"diameter": "1.5 mm", "active_length": "10 mm", "shear_modulus": "2 %"},
    ),
    "spring": ("spring rate (± 20 %)", {"rate": "20 %"}),
    "leaf": ("leaf spring rate (± 20 %)", {"rate": "20 %"}),
    "cross_member": ("twist beam's cross-member (± 20 %)", {"rate": "20 %"}),
    "inner_bar": ("bar in the beam's tube (diameter ± 2 mm)", {"diameter": "2 mm"}),
    "roll_bar": ("anti-roll bar (diameter ± 1 mm)", {"diameter": "1 mm"}),
    "wheel": ("tyre rate (± 16 %)", {"tyre_rate": "16 %"}),
    "alignment": ("camber and toe, standing (± 0.5°, ± 0.3°)", {"camber": "0.5 deg", "toe": "0.3 deg"}),
}
"""Section of the car file: words, and ± of its numbers; common practice, no source."""


@dataclass(frozen=True, slots=True)
class UnknownPart:
    """A part of a car that may not be known.

    Attributes:
        key: axle and section of the car file: "front.torsion_bar"
        words: what it is, with how far its numbers may be off
        wider: its numbers that the car file has, by place, each with its ± as written

    """

    key: str
    words: str
    wider: Mapping[str, str]


def unknown_parts(document: CarDocument) -> Iterator[UnknownPart]:
    """The parts that a car has of which nobody may know the numbers.

    Args:
        document: the car
    """
    numbers = [one.path for one in all_inputs(document) if one.value]
    for axle in ENDS:
        for part, (words, by) in _PARTS.items():
            wider = {
                path: by[name]
                for path in numbers
                if (name := path.rpartition(".")[2]) in by and path.startswith(f"{axle}.") and f".{part}.{name}" in path
            }
            if wider:
                yield UnknownPart(f"{axle}.{part}", f"{axle} {words}", wider)


def wider_with(document: CarDocument, unknown: Collection[str], before: Mapping[str, object]) -> dict[str, object]:
    """± that stand instead of the car file's: of the parts that are not known, beside those that a file brought along.

    Args:
        document: the car
        unknown: keys of the parts that are not known
        before: ± as they stood
    """
    parts = list(unknown_parts(document))
    ours = {path for one in parts for path in one.wider}
    told = {path: value for path, value in before.items() if path not in ours}
    return told | {path: value for one in parts if one.key in unknown for path, value in one.wider.items()}
