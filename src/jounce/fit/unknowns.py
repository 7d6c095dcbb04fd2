"""What a fit may move: the numbers of the car file, each within its ±, or within a wider one where it is not known."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import InputRef, all_inputs, measured
from jounce.car.file.quantity import suggestion
from jounce.conventions.certainty import DEVIATIONS_TYPED
from jounce.conventions.errors import InputError, at
from jounce.conventions.units import read
from jounce.fit.least_squares import KnownBefore

__all__ = ["flat", "known_of", "unknowns"]


def unknowns(document: CarDocument, wider: Mapping[str, object]) -> tuple[InputRef, ...]:
    """Numbers of a car with a ±.

    Args:
        document: the car
        wider: ± that stands instead of the file's, by the place of a number, a point or a section:
            ``front.torsion_bar.diameter``, ``front.pivots``; as "16 %" it is a share of the value

    Raises:
        InputError: a place that the car file has not, or a ± that cannot be read
    """
    inputs = {one.path: one for one in all_inputs(document)}
    for place, written in wider.items():
        with at(f"plus_minus.{place}"):
            own = [one for path, one in inputs.items() if path == place or path.startswith(f"{place}.")]
            if not own:
                todo = suggestion(place, {*inputs, *(path.rpartition(".")[0] for path in inputs)})
                raise InputError("The car has no such number", found=f'"{place}"', todo=todo)
            for one in own:
                inputs[one.path] = replace(one, plus_minus=_plus_minus(one, written))
    return tuple(measured(list(inputs.values())))


def known_of(inputs: Sequence[InputRef]) -> KnownBefore:
    """What is known beforehand of some numbers: a ± is two standard deviations.

    Args:
        inputs: the numbers
    """
    return KnownBefore(
        np.array([one.value for one in inputs]),
        np.array([one.plus_minus / DEVIATIONS_TYPED for one in inputs]),
    )


def flat(table: Mapping[str, object], before: str = "") -> Iterator[tuple[str, object]]:
    """Entries of nested tables by their dotted names.

    Args:
        table: as read from a file
        before: name of the table itself
    """
    for key, value in table.items():
        name = f"{before}.{key}" if before else key
        if isinstance(value, Mapping):
            yield from flat(value, name)
        else:
            yield name, value


def _plus_minus(reference: InputRef, written: object) -> float:
    if isinstance(written, str) and written.strip().endswith("%"):
        share = _percent(written)
        if not reference.value:
            raise InputError("A share of nothing is nothing", found=f'"{written}"', todo="Give the ± with its unit.")
        return share * abs(reference.value)
    size = read(written, reference.kind)
    if not size > 0:
        raise InputError("A ± is above zero", found=repr(written), todo="Say how far it may be off.")
    return size


def _percent(written: str) -> float:
    try:
        share = float(written.strip().removesuffix("%").replace(",", ".")) / 100
    except ValueError:
        share = 0.0
    if not 0 < share <= 1:
        raise InputError("This is no share", found=f'"{written}"', allowed='above "0 %" to "100 %"', todo="Correct it.")
    return share
