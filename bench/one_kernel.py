"""The smallest compiled function: what the compiler's own start takes, before any mechanics."""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array
from jounce.numerics.compiled import compiled


@compiled
def first_of(values: Array) -> float:
    """The first of some values [as given]."""
    return float(values[0])


if __name__ == "__main__":
    first_of(np.ones(1))
