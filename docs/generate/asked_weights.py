"""Learns from the written examples what kind of question a sentence is, and writes the weights that the program ships.

The linear rule is the multinomial logistic regression of scikit-learn. How far the first kind has to lead is chosen on
examples that the rule of the moment has not seen: five parts, each asked of a rule that was learned from the other four.
"""

from __future__ import annotations

import hashlib
import math
import tomllib
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from sklearn.linear_model import LogisticRegression  # type: ignore[import-untyped]
from sklearn.model_selection import StratifiedKFold, cross_val_predict  # type: ignore[import-untyped]

from jounce.asked.concepts import CONCEPTS
from jounce.asked.kinds import KINDS, UNKNOWN
from jounce.asked.understanding import ONE, WEIGHTS_FILE, LearnedWeights, learned, packed, values_of
from jounce.asked.wording import pieces, plain

__all__ = ["Example", "digest", "examples", "learn"]

FOLDER = Path(__file__).with_name("asked_examples")
Example = tuple[str, str]
"""A kind and a sentence."""
_SEEN = {"c": 1, "l": 2, "w": 1}
"""In so many examples a piece has to be, by its block."""
_FREEDOM = 10.0
"""Inverse of the strength of regularisation."""
_PARTS = 5
_RIGHT = 0.95
"""Share of the examples not seen that has to be right where it is answered at once."""
_FULL = 127


def examples() -> list[Example]:
    """Every example of every language, in the order of the files.

    Raises:
        ValueError: a kind is not known, or one has no examples
    """
    found: list[Example] = []
    for path in sorted(FOLDER.glob("*.toml")):
        kinds = tomllib.loads(path.read_text("utf-8"))
        if set(kinds) != set(KINDS):
            raise ValueError(f"{path.name}: kinds differ from the program's: {sorted(set(kinds) ^ set(KINDS))}")
        found += [(kind, line.strip()) for kind, lines in kinds.items() for line in lines.splitlines() if line.strip()]
    return found


def digest(told: Sequence[Example]) -> str:
    """What changes when the examples or their pieces do.

    Args:
        told: the examples
    """
    return hashlib.sha256(repr((list(told), dict(CONCEPTS), [plain(text) for _, text in told])).encode()).hexdigest()


def learn(told: Sequence[Example]) -> LearnedWeights:
    """What follows from examples.

    Args:
        told: the examples
    """
    places, rarity = _pieces([text for _, text in told])
    rows = [values_of(text, places, rarity) for _, text in told]
    ends = np.cumsum([0, *(len(row) for row in rows)])
    values = np.array([value for row in rows for _, value in row])
    columns = np.array([place for row in rows for place, _ in row], dtype=np.int32)
    table = csr_array((values, columns, ends), shape=(len(rows), len(places)))
    kinds = np.array([kind for kind, _ in told])
    rule = LogisticRegression(C=_FREEDOM, max_iter=300)
    parts = StratifiedKFold(_PARTS, shuffle=True, random_state=1)
    margin = _margin(cross_val_predict(rule, table, kinds, cv=parts, method="predict_proba"), kinds)
    rule.fit(table, kinds)
    weights = np.asarray(rule.coef_.T, dtype=np.float64)
    scale = np.abs(weights).max(axis=0) / _FULL
    return LearnedWeights(
        tuple(str(kind) for kind in rule.classes_),
        places,
        rarity,
        np.rint(weights / scale).astype(np.int8),
        scale,
        np.asarray(rule.intercept_, dtype=np.float64),
        margin,
        digest(told),
    )


def _pieces(texts: Sequence[str]) -> tuple[dict[str, int], NDArray[np.int64]]:
    """Number of each piece that is there often enough, and how rare it is, in thousandths."""
    seen: dict[str, int] = {}
    for text in texts:
        for block, counts in pieces(text).items():
            for piece in counts:
                seen[f"{block[0]}{piece}"] = seen.get(f"{block[0]}{piece}", 0) + 1
    kept = sorted(piece for piece, count in seen.items() if count >= _SEEN[piece[0]])
    rarity = [round((math.log((1 + len(texts)) / (1 + seen[piece])) + 1) * ONE) for piece in kept]
    return {piece: place for place, piece in enumerate(kept)}, np.array(rarity, dtype=np.int64)


def _margin(shares: NDArray[np.float64], kinds: NDArray[np.str_]) -> float:
    """The least lead at which so many of those that are answered at once are right."""
    names = np.unique(kinds)
    order = np.argsort(-shares, axis=1)
    first = names[order[:, 0]]
    lead = np.take_along_axis(shares, order[:, :1], 1)[:, 0] - np.take_along_axis(shares, order[:, 1:2], 1)[:, 0]
    print(
        f"not seen: {np.mean(first == kinds):.3f} right at first, {_in_three(names[order[:, :3]], kinds):.3f} in three"
    )
    for margin in np.arange(0.05, 0.95, 0.01):
        at_once = (lead >= margin) & (first != UNKNOWN)
        if np.mean(first[at_once] == kinds[at_once]) >= _RIGHT:
            print(f"margin {margin:.2f}: {np.mean(at_once):.3f} answered at once")
            return round(float(margin), 2)
    return 1.0


def _in_three(three: NDArray[np.str_], kinds: NDArray[np.str_]) -> float:
    return float(np.mean((three == kinds[:, None]).any(axis=1)))


if __name__ == "__main__":
    told = examples()
    if not WEIGHTS_FILE.exists() or learned().digest != digest(told):
        content = packed(learn(told))
        WEIGHTS_FILE.write_bytes(content)
        print(f"wrote {WEIGHTS_FILE.name}: {len(content) / 1000:.0f} kB")
