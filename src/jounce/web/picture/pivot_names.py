"""What the places of a linkage are called: by the keys of the car file, so that picture and file speak alike."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import MeasuredPoint
from jounce.car.file.walk import leaves
from jounce.numerics.arrays import Array

__all__ = ["Place", "pivot_keys", "pivot_names", "place_of"]

Place = tuple[float, ...]


def place_of(point: Array) -> Place:
    """A point as a key: to a thousandth of a millimetre.

    Args:
        point: its coordinates as found [m]
    """
    return tuple((np.round(np.ravel(point), 6) + 0.0).tolist())


def pivot_names(document: CarDocument) -> Mapping[Place, str]:
    """Names of all points of a car file by where they are as found, with their side.

    Args:
        document: the car
    """
    found: dict[Place, str] = {}
    for place, name, _ in _pivots(document):
        found.setdefault(place, name)
    return found


def pivot_keys(document: CarDocument) -> Mapping[str, str]:
    """Keys of the car file by the names of `pivot_names`.

    Args:
        document: the car
    """
    return {name: key for _, name, key in _pivots(document)}


def _pivots(document: CarDocument) -> Iterator[tuple[Place, str, str]]:
    for leaf in leaves(document):
        if not isinstance(leaf.value, MeasuredPoint):
            continue
        axle, *middle, last = leaf.name.split(".")
        words = " ".join([*(w for w in middle if w not in {"pivots", "left", "right"}), last]).replace("_", " ")
        both = [leaf.value, leaf.value.mirrored()] if len(leaf.paths) > 1 else [leaf.value]
        for point in both:
            side = "left" if point.y > 0 else "right"
            yield place_of(point.xyz), f"{axle} {side} {words}", leaf.name
