"""One car document that stands for many: every variant has one input changed.

The numbers of the document become arrays with the variants along their first axis, and assembly, placing and all results
follow for all of them at once. Real changes give the effect of an error of finite size; an imaginary one gives the exact
derivative (see `jounce.behaviour.sensitivities`).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from jounce.car.document import CarDocument
from jounce.car.inputs import InputRef, with_value
from jounce.numerics.arrays import Array

__all__ = ["varied"]


def varied(document: CarDocument, inputs: Sequence[InputRef], changes: Array) -> CarDocument:
    """The document with one variant for each input, in which that input alone is changed.

    Args:
        document: the car; its checks are not run again
        inputs: what is changed, from :func:`jounce.car.inputs.measured_inputs` or ``all_inputs`` of this document
        changes: change of each input, shape (inputs,) [SI]

    """
    changed = document
    for i, reference in enumerate(inputs):
        value: Any = np.full(len(inputs), reference.value, dtype=np.asarray(changes).dtype)
        value[i] += changes[i]
        changed = with_value(changed, reference, value)
    return changed
