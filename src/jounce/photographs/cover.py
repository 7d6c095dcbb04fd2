"""What photographs still lack before anything is worked out: views of a tile, and what scale and axes need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from jounce.numerics.arrays import Array
from jounce.photographs.car_axes import FRONT_WHEEL
from jounce.photographs.ground import FEWEST_FLOOR
from jounce.photographs.pivots import FEWEST_PHOTOS, LEAST_ANGLE
from jounce.photographs.pointer import FEWEST_SWINGS
from jounce.photographs.seen import SeenPhoto
from jounce.photographs.solving import standing, usual_focal
from jounce.photographs.survey import GROUND, MARK, Survey
from jounce.photographs.tiles import KINDS, flat_corners
from jounce.photographs.vision import planar_poses

__all__ = ["TileCover", "covered", "still_missing"]

_UNCLEAR = 1.5  # times as large: what the worse of two poses leaves, below which either may be true
_SHARED = 4  # tiles that hold two photographs together
_FEW, _GOOD = 12, 20  # photographs
_SAME_LENS = 0.5  # mm as on film


@dataclass(frozen=True, slots=True)
class TileCover:
    """From where a tile was photographed.

    Attributes:
        number: of the tile
        photos: in how many photographs it is
        views: from each, the direction to the camera in the tile's axes: right, up, out, shape (views, 3) [-]
        angle: between the two farthest apart, where either of two poses may be true the smaller one [rad]

    """

    number: int
    photos: int
    views: Array
    angle: float


def covered(photos: Sequence[SeenPhoto], survey: Survey, numbers: Sequence[int]) -> tuple[TileCover, ...]:
    """From where tiles were photographed, each by itself: good enough to guide, and nothing to measure by.

    Args:
        photos: what each shows
        survey: what was stuck where
        numbers: of the tiles

    Raises:
        Impossible: the extra is not installed
    """
    told = []
    for number in numbers:
        seen = [one for one in photos if number in one.numbers]
        ways = [way for way in (_ways(one, survey, number) for one in seen) if way]
        angle = max((_least(a, b) for a, b in combinations(ways, 2)), default=0.0)
        told.append(TileCover(number, len(seen), np.array([way[0] for way in ways]).reshape(-1, 3), angle))
    return tuple(told)


def _ways(photo: SeenPhoto, survey: Survey, number: int) -> list[Array]:
    """Directions from a tile to the camera that one photograph allows, the likelier one first."""
    corners = photo.corners[photo.numbers.index(number)]
    if not np.isfinite(corners).all():
        return []
    rays = (corners - (np.array(photo.size) - 1) / 2) / usual_focal(photo)[0]
    poses = planar_poses(flat_corners(survey.side(number)), rays)
    if not poses:
        return []
    far = [one for place, one in enumerate(poses) if place == 0 or one[1] < _UNCLEAR * poses[0][1]]
    ways = [-stand.turned.T @ stand.shift for stand, _ in far]
    return [way / np.linalg.norm(way) for way in ways]


def _least(one: Sequence[Array], other: Sequence[Array]) -> float:
    return min(float(np.arccos(np.clip(a @ b, -1, 1))) for a, b in product(one, other))


def still_missing(photos: Sequence[SeenPhoto], survey: Survey) -> tuple[str, ...]:
    """What to photograph or to write down next, in words; empty where it can be worked out well.

    Args:
        photos: what each shows
        survey: what was stuck where

    Raises:
        Impossible: the extra is not installed
    """
    return (
        *_of_survey(survey),
        *_of_photos(standing(photos, survey)),
        *_of_pointer(photos, survey),
        *_of_tiles(photos, survey),
    )


def _of_survey(survey: Survey) -> Iterator[str]:
    if not survey.rulers:
        yield "A known length: a rule with two tiles on it, or a taped distance between two tiles."
    touched = sum(one.point == GROUND for one in survey.pointer)
    if len(survey.floor) + len(survey.heights) + touched < FEWEST_FLOOR:
        yield (
            "The ground: three tiles or more that lie on the floor, or on wheels with their height measured, or three "
            "places of the floor touched by the pointer."
        )
    if not survey.named:
        yield "Names: which tile sits at which pivot, and how far the joint lies behind the paper."
        return
    if not any(name.endswith(f" {FRONT_WHEEL}") for name in survey.named):
        yield "Where x begins: a tile on the middle of a front wheel."
    sides: dict[str, set[str]] = {}
    for name in survey.named:
        side, _, point = name.partition(" ")
        sides.setdefault(point, set()).add(side)
    if not any(len(one) == 2 for one in sides.values()):
        yield "The centre plane: one pivot at least with a tile on the left and on the right."


def _of_photos(photos: Sequence[SeenPhoto]) -> Iterator[str]:
    if not photos:
        yield f"Photographs: {_GOOD} are good, {_FEW} do."
        return
    if len(photos) < _FEW:
        yield f"{_FEW - len(photos)} more photographs: {_FEW} do, {_GOOD} are good."
    if len(photos) >= FEWEST_PHOTOS and len({one.turns % 2 for one in photos}) == 1:
        yield "Some with the telephone turned a quarter: so far it was held alike in all. They tell the lens."
    told = [one.as_on_film for one in photos if one.as_on_film is not None]
    if told and max(told) - min(told) > _SAME_LENS:
        yield "One lens for all: some were taken with another one or zoomed, and will be left out."
    for group in _groups(photos)[1:]:
        yield (f"{', '.join(group)}: fewer than {_SHARED} tiles shared with the others. Take one from halfway between.")


def _of_pointer(photos: Sequence[SeenPhoto], survey: Survey) -> Iterator[str]:
    marks = sum(one.point == MARK for one in survey.pointer)
    if survey.pointer and marks < FEWEST_SWINGS:
        yield f"Swings of the pointer in its mark: {marks} are named, {FEWEST_SWINGS} are needed, six are good."
    there = {photo.name: set(photo.numbers) for photo in photos}
    board = range(KINDS["pointer"].first, KINDS["pointer"].last + 1)
    for one in survey.pointer:
        lost = [name for name in one.photos if name not in there]
        if lost:
            yield f"{', '.join(lost)}: named for the pointer, and not among the photographs."
        elif not any(sum(number in there[name] for name in one.photos) > 1 for number in board):
            yield f"Two photographs of the pointer as it stood in {one.pictures} that show the same tile of its board."


def _groups(photos: Sequence[SeenPhoto]) -> list[list[str]]:
    """Names of photographs that hang together by shared tiles, the largest group first."""
    groups: list[list[SeenPhoto]] = []
    for photo in photos:
        near = [
            group for group in groups if any(len(set(photo.numbers) & set(other.numbers)) >= _SHARED for other in group)
        ]
        groups = [group for group in groups if group not in near]
        groups.append([photo, *(one for group in near for one in group)])
    return [[one.name for one in group] for group in sorted(groups, key=len, reverse=True)]


def _of_tiles(photos: Sequence[SeenPhoto], survey: Survey) -> Iterator[str]:
    if not photos:
        return
    names = {one.tile: one.name for one in survey.pivots}
    for one in covered(photos, survey, list(names)):
        if one.photos < FEWEST_PHOTOS:
            lack = FEWEST_PHOTOS - one.photos
            yield f"{_count(lack)} more that show{'s' if lack == 1 else ''} tile {one.number}, {names[one.number]}."
        elif one.angle < LEAST_ANGLE:
            yield (
                f"Two more of tile {one.number}, {names[one.number]}, from farther left, right or lower down: so far all "
                "are from one side."
            )
    seen = [number for photo in photos for number in photo.numbers]
    for number in dict.fromkeys([*(tile for one in survey.rulers for tile in one.tiles), *survey.floor]):
        if number not in names and seen.count(number) < 2:
            yield f"Two photographs that show tile {number}: it is in {seen.count(number) or 'none'}."


def _count(number: int) -> str:
    return {1: "One", 2: "Two", 3: "Three"}.get(number, str(number))
