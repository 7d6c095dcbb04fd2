"""Which kind of question a sentence is: weights learned from examples, the same answer on every machine.

A sentence's pieces are weighted by how rare they are, each block of pieces is brought to length one, and a linear rule
for each kind gives its score; shares follow by the logistic rule for several kinds. All sums are of whole numbers, so no
processor rounds them otherwise.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from jounce.asked.kinds import UNKNOWN
from jounce.asked.wording import pieces, plain

__all__ = ["ONE", "WEIGHTS_FILE", "LearnedWeights", "Understood", "learned", "packed", "understood", "values_of"]

WEIGHTS_FILE = Path(__file__).with_name("learned.npz")
"""Where the weights stand that the program understands by."""
ONE = 1000
"""What stands for one among whole numbers."""
_BLOCK_WEIGHT = {"concept": 0.7, "letters": 1.0, "words": 1.0}
_FEW = 3
_NUMBER_ALONE = re.compile(r"#+")
"""A sentence that is a number and nothing else asks nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class LearnedWeights:
    """What was learned from the examples.

    Attributes:
        kinds: words of the kinds
        places: number of each piece by its block and text
        rarity: of each piece, in thousandths
        weights: of each piece for each kind, whole numbers
        scale: what a weight of one of each kind is worth [-]
        start: score of each kind without any piece [-]
        margin: by this much the first kind has to lead where it is answered at once [-]
        digest: of the examples that it was learned from

    """

    kinds: tuple[str, ...]
    places: Mapping[str, int]
    rarity: NDArray[np.int64]
    weights: NDArray[np.int8]
    scale: NDArray[np.float64]
    start: NDArray[np.float64]
    margin: float
    digest: str


@dataclass(frozen=True, slots=True)
class Understood:
    """How a sentence was understood.

    Attributes:
        kind: the first kind; `UNKNOWN` where it is not understood
        near: the three nearest kinds that can be answered, the nearest first
        share: of the first kind [-]
        clear: whether the first kind leads so far that it is answered at once

    """

    kind: str
    near: tuple[str, ...]
    share: float
    clear: bool


def values_of(text: str, places: Mapping[str, int], rarity: NDArray[np.int64]) -> list[tuple[int, float]]:
    """Number and value of each known piece of a sentence, each block of length its weight.

    Args:
        text: the sentence
        places: number of each piece by its block and text
        rarity: of each piece, in thousandths
    """
    found: list[tuple[int, float]] = []
    for block, counts in pieces(text).items():
        told = [
            (place, round((1 + math.log(count)) * ONE) * int(rarity[place]))
            for piece, count in counts.items()
            if (place := places.get(f"{block[0]}{piece}")) is not None
        ]
        length = math.sqrt(sum(value * value for _, value in told))
        found += [(place, value / length * _BLOCK_WEIGHT[block]) for place, value in told]
    return found


def understood(text: str, by: LearnedWeights | None = None) -> Understood:
    """How a sentence is understood.

    Args:
        text: as it was typed
        by: what was learned; the program's own when left out

    >>> understood("will it rub if I go fifty lower on fourteens").kind
    'rub'
    """
    told = by or learned()
    shares = None if _NUMBER_ALONE.fullmatch(plain(text)) else _shares(text, told)
    if shares is None:
        return Understood(UNKNOWN, (), 0.0, clear=False)
    order = sorted(range(len(shares)), key=lambda k: (-shares[k], told.kinds[k]))
    kinds = [told.kinds[k] for k in order]
    lead = shares[order[0]] - shares[order[1]]
    near = tuple(kind for kind in kinds if kind != UNKNOWN)[:_FEW]
    return Understood(kinds[0], near, shares[order[0]], clear=lead >= told.margin and kinds[0] != UNKNOWN)


def _shares(text: str, told: LearnedWeights) -> list[float] | None:
    """Share of each kind to three decimals [-]; None where no piece of the sentence is known."""
    values = values_of(text, told.places, told.rarity)
    if not values:
        return None
    whole = np.array([round(value * ONE * ONE) for _, value in values], dtype=np.int64)
    rows = told.weights[[place for place, _ in values]].astype(np.int64)
    scores = (whole @ rows) / (ONE * ONE) * told.scale + told.start
    powers = [math.exp(score) for score in (scores - scores.max()).tolist()]
    return [round(power / math.fsum(powers), 3) for power in powers]


@cache
def learned() -> LearnedWeights:
    """What the program understands by."""
    with np.load(WEIGHTS_FILE, allow_pickle=False) as kept:
        names = bytes(kept["pieces"]).decode().split("\n")
        return LearnedWeights(
            tuple(bytes(kept["kinds"]).decode().split("\n")),
            {piece: place for place, piece in enumerate(names)},
            kept["rarity"].astype(np.int64),
            kept["weights"],
            kept["scale"],
            kept["start"],
            float(kept["margin"]),
            bytes(kept["digest"]).decode(),
        )


def packed(told: LearnedWeights) -> bytes:
    """What was learned as the file that the program reads.

    Args:
        told: what was learned
    """

    def text(words: Iterable[str]) -> NDArray[np.uint8]:
        return np.frombuffer("\n".join(words).encode(), dtype=np.uint8)

    out = BytesIO()
    np.savez_compressed(
        out,
        pieces=text(sorted(told.places, key=told.places.__getitem__)),
        kinds=text(told.kinds),
        rarity=told.rarity.astype(np.int16),
        weights=told.weights,
        scale=told.scale,
        start=told.start,
        margin=np.float64(told.margin),
        digest=text([told.digest]),
    )
    return out.getvalue()
