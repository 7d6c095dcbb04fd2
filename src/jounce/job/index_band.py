"""How far the height that an index gives may be off because of what was measured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from jounce.behaviour.bands import Standing, reaches
from jounce.behaviour.sits import loaded
from jounce.car.assembly import axle_model
from jounce.car.document import CarDocument
from jounce.car.inputs import InputRef, measured_inputs, with_value
from jounce.car.model import AXLES, AxleModel, AxleName
from jounce.job.index_heights import StandingTurns
from jounce.layouts.naming import SIDES, SideName

_SMALL = 1e-4  # each way, for the slope of the turn over the height [m]

_Pair = tuple[InputRef | None, InputRef | None]


def height_bands(
    document: CarDocument, planned: CarDocument, axle: AxleName, standing: Standing
) -> dict[SideName, float]:
    """Half width of the band of each side's standing height, its index being kept [m].

    Every stated ± of the car and of its new parts is followed through what the bar carried as found and through what it
    must carry where it stands; a quantity that both share errs alike in both. Effects are added as squares, the ± of the
    height as found is not in it.

    Args:
        document: the car as measured
        planned: the same with the planned parts
        axle: which axle
        standing: where it comes to stand
    """
    nominal = _turns(document, planned, axle, standing)
    high, low = (nominal.at(lower).turn for lower in (_SMALL, -_SMALL))
    moved_inputs = _moved_together(document, planned, axle)
    if not moved_inputs:
        return dict.fromkeys(SIDES, 0.0)
    moved = _turns(
        _varied(document, [pair[0] for pair in moved_inputs]),
        _varied(planned, [pair[1] for pair in moved_inputs]),
        axle,
        standing,
    ).at(0.0)
    here = nominal.at(0.0).turn
    bands: dict[SideName, float] = {}
    for side in SIDES:
        slope = float((high[side] - low[side])[0]) / (2 * _SMALL)
        change = (moved.turn[side] - here[side]) / slope
        bands[side] = float(np.sqrt(np.sum(change[moved.reached] ** 2)))
    return bands


def _turns(document: CarDocument, planned: CarDocument, axle: AxleName, standing: Standing) -> StandingTurns:
    found = loaded(axle_model(document, axle))[1]
    model = axle_model(planned, axle)
    wound = {side: found[side].displacement for side in SIDES}
    return StandingTurns(model, wound, standing.states(model), _loads(model, standing))


def _loads(model: AxleModel, standing: Standing) -> Mapping[SideName, np.ndarray]:
    return {side: model.corner_load[side] + standing.load_change.get((model.name, side), 0.0) for side in SIDES}


def _moved_together(document: CarDocument, planned: CarDocument, axle: AxleName) -> list[_Pair]:
    """Inputs of both documents that reach the axle; one that stands in both alike is moved in both at once."""
    found, new = (dict(_inputs(one, axle)) for one in (document, planned))
    pairs: list[_Pair] = []
    for path, ref in found.items():
        other = new.get(path)
        same = other is not None and (other.value, other.plus_minus, other.origin) == (
            ref.value,
            ref.plus_minus,
            ref.origin,
        )
        pairs.append((ref, other if same else None))
    together = {pair[1].path for pair in pairs if pair[1] is not None}
    return pairs + [(None, ref) for path, ref in new.items() if path not in together]


def _inputs(document: CarDocument, axle: AxleName) -> Iterator[tuple[str, InputRef]]:
    for ref in measured_inputs(document):
        if ref.path.partition(".")[0] not in AXLES or reaches(ref, axle):
            yield ref.path, ref


def _varied(document: CarDocument, inputs: list[InputRef | None]) -> CarDocument:
    """The document with one variant for each input, moved by its ± where the document has it."""
    changed = document
    for k, ref in enumerate(inputs):
        if ref is not None:
            value = np.full(len(inputs), ref.value)
            value[k] += ref.plus_minus
            changed = with_value(changed, ref, value)  # type: ignore[arg-type]  # variants stand where a number stood
    return changed
