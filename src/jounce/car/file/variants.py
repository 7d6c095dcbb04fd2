"""One car document that stands for many: every variant has one input changed.

The numbers of the document become arrays with the variants along their first axis, and assembly, placing and all results
follow for all of them at once. Real changes give the effect of an error of finite size; an imaginary one gives the exact
derivative (see `jounce.behaviour.influence`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

import numpy as np

from jounce.car.file.inputs import InputRef, with_value
from jounce.car.file.section import Section
from jounce.numerics.arrays import Array

__all__ = ["varied"]

Varied = TypeVar("Varied", bound=Section)


def varied(
    document: Varied,
    inputs: Sequence[InputRef],
    changes: Array,
    own: Callable[[InputRef], bool] = lambda _: True,
) -> Varied:
    """The document with one variant for each input, in which that input alone is changed.

    Args:
        document: the car, or another document; its checks are not run again
        inputs: what is changed, from :func:`jounce.car.file.inputs.measured_inputs` or ``all_inputs`` of this document
        changes: change of each input, shape (inputs,) [SI]
        own: which of the inputs are this document's; it stays as it is in the variants of the others

    """
    changed = document
    for i, reference in enumerate(inputs):
        if not own(reference):
            continue
        value: Any = np.full(len(inputs), reference.value, dtype=np.asarray(changes).dtype)
        value[i] += changes[i]
        changed = with_value(changed, reference, value)
    return changed
