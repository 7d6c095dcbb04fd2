"""Pivots worked out from photographs as long work, and what is shown of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import Impossible, JounceError
from jounce.numerics.arrays import Array
from jounce.photographs.answer import Photographed, photographed
from jounce.photographs.car_axes import CarAxes, CarPivot, car_axes, in_car_axes
from jounce.photographs.overlay import Laid, laid_over
from jounce.photographs.survey import TiledPivot, parse_survey
from jounce.web.background import TaskControl
from jounce.web.photographing.kept import KeptPhoto
from jounce.web.picture.standing import shown_as_found

__all__ = ["PlacedPivots", "overlaid", "placed"]

_STEP = 0.04  # share of what is left that a step of the adjustment takes: how many it needs, nobody knows before


@dataclass(frozen=True, slots=True)
class PlacedPivots:
    """What photographs tell of a car.

    Attributes:
        found: every tile and pivot, in axes of the photographs' own
        photos: those that were looked at
        pivots: in the car's axes; none where something that these need is missing
        axes: where the car's axes lie; None where something is missing
        lacks: what is missing for them, in words

    """

    found: Photographed
    photos: tuple[KeptPhoto, ...]
    pivots: tuple[CarPivot, ...]
    axes: CarAxes | None
    lacks: str

    @property
    def used(self) -> list[KeptPhoto]:
        """Photographs that were used, in the order of the adjustment."""
        named = {one.seen.name: one for one in self.photos}
        return [named[name] for name in self.found.net.names]

    @property
    def date(self) -> str:
        """Day on which the first one came in."""
        return min(one.at for one in self.photos).date().isoformat()


def placed(photos: Sequence[KeptPhoto], survey_text: str, hand: TaskControl) -> PlacedPivots:
    """Work the pivots out.

    Args:
        photos: the photographs
        survey_text: TOML: what was stuck where
        hand: hears progress, says when to stop

    Raises:
        JounceError: too few photographs or tiles, or they do not hang together; or it was stopped
    """
    survey = parse_survey(survey_text, "what was stuck where")
    share = 0.0

    def told(step: str) -> None:
        nonlocal share
        if hand.stopped():
            raise Impossible("It was stopped before the pivots were placed.")
        share += _STEP * (1 - share)
        hand.tell(share, step)

    found = photographed(tuple(one.seen for one in photos), survey, told)
    try:
        axes = car_axes(found.net, survey, found.pivots)
        pivots = in_car_axes(found.net, survey, found.pivots)
    except JounceError as lack:
        return PlacedPivots(found, tuple(photos), (), None, str(lack))
    return PlacedPivots(found, tuple(photos), pivots, axes, "")


def overlaid(result: PlacedPivots, photo_id: str, picture: bytes, car_text: str) -> bytes:
    """The lines of a car's model and the photographed pivots over one of the photographs, as JPEG.

    Args:
        result: what was worked out
        photo_id: id of the picture
        picture: the picture
        car_text: TOML of the car whose lines are drawn

    Raises:
        Impossible: the photograph was not used, or the car's axes are not known
    """
    used = result.used
    place = next((k for k, one in enumerate(used) if one.id == photo_id), None)
    if place is None or result.axes is None:
        raise Impossible("Nothing can be laid over this photograph: it was not used, or the car's axes are not known.")
    found = result.found
    axes = result.axes
    laid = Laid(
        [axes.in_net(line) for line in _lines(car_text)],
        np.array([one.place for one in found.pivots]).reshape(-1, 3),
        [one.label for one in found.pivots],
        *_tiles_and_stems(found, place),
    )
    return laid_over(picture, laid, found.net.state, place, found.net.views.size, used[place].seen.turns)


def _tiles_and_stems(found: Photographed, photo: int) -> tuple[Array, Array]:
    """Corners of the tiles that face a photograph, and from each pivot's tile to it, shapes (n, 4, 3), (n, 2, 3) [m]."""
    net = found.net
    camera = -net.state.turned[photo].T @ net.state.shift[photo]
    facing = np.sum((camera - net.state.tile_centre) * net.state.tile_turned[:, :, 2], axis=1) > 0
    stems = [
        np.stack([net.state.tile_centre[net.place(one.pivot.tile)], one.place])
        for one in found.pivots
        if isinstance(one.pivot, TiledPivot)
    ]
    return net.state.corners(net.views.sides)[facing], np.array(stems).reshape(-1, 2, 3)


def _lines(car_text: str) -> list[Array]:
    """Parts of both axles as the layout tells them, where the car stands as found, shapes (points, 3) [m]."""
    lines = []
    for axle in shown_as_found(car_text).axles:
        for _, points in axle.model.linkage.drawing:
            line = np.array([np.real(np.atleast_2d(point.at)[0]) for point in points], dtype=np.float64)
            if len(line) > 1:
                lines.append(line)
    return lines
