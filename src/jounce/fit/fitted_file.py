"""A car file with the fitted numbers in place of the measured ones: one consistent set, each with what was measured.

Fitted numbers belong together and are not known singly: each keeps the ± that is left of its own, and its origin says
"fitted together" with the former value. Bands from the new file take the numbers for independent, which they are not: as a
rule they are wider than those of the fit, and for a combination that no reading felt they may be a little narrower.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import COORDINATES, InputRef, all_inputs
from jounce.car.file.reading import parse_car, read_toml
from jounce.car.file.rewriting import rewritten
from jounce.conventions.certainty import DEVIATIONS_TYPED
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.units import to_display, unit_of
from jounce.fit.car_fit import CarFit

__all__ = ["FITTED", "fitted_before", "fitted_text"]

FITTED = "fitted together"
"""How the origin of a fitted number begins."""

_MOVED = 1e-2  # of its deviation: what moved less stays as it is written
_DIGITS = 8
_SAME = 1e-5  # of its deviation: what rounding in the file may change


@dataclass(frozen=True, slots=True)
class _Fitted:
    """A number before and after, with the ± that is left of it [SI]."""

    before: InputRef
    value: float
    plus_minus: float


def fitted_text(text: str, fit: CarFit) -> str:
    """The text of a car file with the fitted numbers.

    Args:
        text: the car file that was fitted
        fit: the fit

    Raises:
        Impossible: the readings do not belong to the car
        InputError: a number stands in the file in a form that cannot be rewritten
    """
    if not fit.belongs:
        raise Impossible(
            "The readings and this car do not belong together: nothing is taken over. Look for what was read on another "
            "car, at another height or with a wrong sign."
        )
    left = np.sqrt(np.diag(fit.used.covariance)) * DEVIATIONS_TYPED
    stated = {one.path: one.plus_minus for one in all_inputs(fit.document)}
    moved = {
        one.path: _Fitted(one, float(value), float(wide))
        for one, value, wide, by in zip(fit.inputs, fit.used.values, left, fit.used.moved, strict=True)
        if abs(by) > _MOVED or one.plus_minus != stated[one.path]  # a ± that the readings widened is kept
    }
    changes: dict[str, object] = {}
    for path, one in moved.items():
        if one.before.coordinate is None:
            changes |= _number(path, one)
    for point in {path.rpartition(".")[0] for path, one in moved.items() if one.before.coordinate is not None}:
        changes[point] = _point(point, moved, fit.document)
    new = rewritten(text, _whole_lists(changes, read_toml(text, "")))
    _check(parse_car(new, "the fitted car"), moved)
    return new


def fitted_before(document: CarDocument) -> int:
    """How many numbers of a car were fitted before: the same readings must not be used again.

    Args:
        document: the car
    """
    return sum(one.origin.startswith(FITTED) for one in all_inputs(document))


def _number(path: str, one: _Fitted) -> Mapping[str, object]:
    kind = one.before.kind
    symbol = unit_of(kind).symbol.removesuffix("-")
    told = {
        "value": f"{to_display(one.value, kind):.{_DIGITS}g} {symbol}".strip(),
        "plus_minus": f"{to_display(one.plus_minus, kind):.3g} {symbol}".strip(),
        "from": f"{FITTED}; before {to_display(one.before.value, kind):.6g} ± "
        f"{to_display(one.before.plus_minus, kind):.3g} {symbol}".strip()
        + _origin(one.before.origin),
    }
    if path.endswith(".alignment.toe"):
        return {path: told, f"{path}_diameter": None}
    return {path: told}


def _point(point: str, moved: Mapping[str, _Fitted], document: CarDocument) -> Mapping[str, object]:
    """A point with its three coordinates, those that stay among them [mm]."""
    refs = {one.path: one for one in all_inputs(document)}
    before = [refs[f"{point}.{name}"] for name in COORDINATES]
    own = [moved.get(one.path) for one in before]
    after = [one.value if found is None else found.value for one, found in zip(before, own, strict=True)]
    widest = max(found.plus_minus for found in own if found is not None)
    old = ", ".join(f"{1e3 * one.value:.6g}" for one in before)
    return {
        "at": [round(1e3 * value, 5) + 0.0 for value in after],
        "plus_minus": f"{1e3 * widest:.3g} mm",
        "from": f"{FITTED}; before [{old}] ± {1e3 * before[0].plus_minus:.3g} mm{_origin(before[0].origin)}",
    }


def _origin(origin: str) -> str:
    return f": {origin}" if origin else ""


def _whole_lists(changes: Mapping[str, object], written: Mapping[str, object]) -> dict[str, object]:
    """Points that stand in a list are written with the whole of it."""
    told: dict[str, object] = {}
    for path, value in changes.items():
        owner, _, number = path.rpartition(".")
        if not number.isdigit():
            told[path] = value
            continue
        if owner not in told:
            old = _value_at(written, owner)
            if not isinstance(old, list):
                raise InputError(
                    "This list of points cannot be rewritten", todo="Write it out in the car file.", place=owner
                )
            told[owner] = list(old)
        rows = told[owner]
        if isinstance(rows, list):
            rows[int(number) - 1] = value
    return told


def _value_at(written: object, key: str) -> object:
    for step in key.split("."):
        written = written.get(step) if isinstance(written, Mapping) else None
    return written


def _check(new: CarDocument, moved: Mapping[str, _Fitted]) -> None:
    """Whether the new file says what was fitted."""
    told = {one.path: one.value for one in all_inputs(new)}
    wrong: Sequence[str] = [
        path
        for path, one in moved.items()
        if path not in told or abs(told[path] - one.value) > _SAME * one.before.plus_minus
    ]
    if wrong:
        raise InputError(
            "This number stands in the car file in a form that cannot be rewritten",
            found=", ".join(wrong[:3]),
            todo="Write it as a plain number with its unit, and fit again.",
        )
