"""A walk with the errors of a shop put on the corners' true places, without rendering."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from jounce.photographs.seen import SeenPhoto
from jounce.photographs.survey import CheckDistance, KnownLength, Survey, TiledPivot
from tests.photographs.rendering import Lens, Stuck
from tests.photographs.scene import PIVOTS, RULER, Corner


@dataclass(frozen=True)
class Errors:
    """One standard deviation each."""

    picture: float = 0.05  # px
    paper: float = 0.15e-3  # out of flat
    print_: float = 0.05e-3
    offset: float = 0.3e-3
    tilt: float = np.radians(0.3)
    focus: float = 0.002
    stabiliser: float = 5.0  # px
    shear: float = 1.0  # px over the height
    waves: float = 0.15  # px
    sinking: float = 0.2e-3  # half way
    ruler: float = 0.3e-3


PICTURE_ONLY = Errors(paper=0, print_=0, offset=0, tilt=0, focus=0, stabiliser=0, shear=0, waves=0, sinking=0, ruler=0)


@dataclass(frozen=True)
class Walked:
    photos: list[SeenPhoto]
    survey: Survey
    true: dict[str, np.ndarray]


def point(number) -> str:
    return f"front.pivots.p{number}"


def walked(
    scene: Corner, stands, lens: Lens, errors: Errors, seed, moved=None, offsets=None, as_on_film=26.0
) -> Walked:
    """What photographs of a corner show; ``moved``: by how much half way; ``offsets``: typed wrong by."""
    rng = np.random.default_rng(seed)
    tiles = [
        replace(
            one,
            bent=np.column_stack([rng.normal(0, errors.print_, (4, 2)), rng.normal(0, errors.paper, 4)])
            if errors.paper
            else one.bent,
        )
        for one in scene.tiles
    ]
    phase = rng.uniform(0, 2 * np.pi, 4)
    photos = []
    for place, stand in enumerate(stands):
        own = replace(
            lens,
            focal=lens.focal * (1 + errors.focus * rng.normal()),
            centre=tuple(np.array(lens.centre) + errors.stabiliser * rng.normal(size=2)),
            shear=tuple(errors.shear * rng.normal(size=2)),
        )
        late = place >= len(stands) / 2
        numbers, corners = [], []
        for tile in tiles:
            shift = (
                np.array([0, 0, -errors.sinking * late])
                if tile.number in PIVOTS or tile.number < 6 or tile.number > 15
                else 0
            )
            if late and moved and tile.number in moved:
                shift = shift + moved[tile.number]
            there = replace(tile, centre=tile.centre + shift)
            seen = pictured(there, stand, own)
            if seen is None:
                continue
            waves = errors.waves * np.sin(seen[:, ::-1] / 300 + phase[:2]) * np.sin(seen / 230 + phase[2:]) * 2
            numbers.append(tile.number)
            corners.append(seen + waves + rng.normal(0, errors.picture, seen.shape))
        photos.append(SeenPhoto(f"photo {place + 1}", tuple(numbers), np.array(corners).reshape(-1, 4, 2),
                                (lens.width, lens.height), as_on_film, 0, 1.0))  # fmt: skip
    pivots, true = [], {}
    for number in (one for one in PIVOTS if any(tile.number == one for tile in scene.tiles)):
        tile = scene.tile(number)
        behind = scene.behind[number] + errors.offset * rng.normal()
        lean = errors.tilt * rng.normal(size=2)
        way = tile.turned @ np.array([lean[0], lean[1], np.sqrt(1 - lean @ lean)])
        true[f"left {point(number)}"] = tile.centre - behind * way
        typed = scene.behind[number] + (offsets or {}).get(number, 0)
        pivots.append(TiledPivot(number, point(number), "left", typed, 0.3e-3))
    rule = KnownLength(RULER, scene.ruler + errors.ruler * rng.normal(), 0.3e-3)
    names = list(true)
    checks = tuple(
        CheckDistance((a, b), float(np.linalg.norm(true[a] - true[b]) + 0.4e-3 * rng.normal()), 0.5e-3)
        for place, a in enumerate(names)
        for b in names[place + 2 : place + 4]
    )
    size = {tile.number: tile.side for tile in scene.tiles}
    return Walked(photos, Survey((rule,), tuple(pivots), checks, tuple(range(6, 16)), 0.0, size), true)


def pictured(tile: Stuck, stand, lens: Lens):
    """Corners of a tile, or None where it is not wholly in the picture, or seen too much from aside."""
    way = stand.place - tile.centre
    if way @ tile.turned[:, 2] < 0.25 * np.linalg.norm(way):
        return None
    seen = lens.pictured(stand.seen(tile.corners))
    inside = (seen > 5).all() and (seen < [lens.width - 5, lens.height - 5]).all()
    return seen if inside else None


def laid_on(found, true):
    """Points laid on true ones without stretching, and the turning: rows of ``found`` moved, shape (n, 3)."""
    a, b = found.mean(axis=0), true.mean(axis=0)
    u, _, v = np.linalg.svd((found - a).T @ (true - b))
    turned = v.T @ np.diag([1, 1, np.sign(np.linalg.det(v.T @ u.T))]) @ u.T
    return (found - a) @ turned.T + b, turned
