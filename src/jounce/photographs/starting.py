"""Where photographs and tiles stand to begin with: from pairs of poses, never from a single tile in a single picture.

A flat square seen once may stand in two ways. The tile seen most gives the first photographs; every other tile is tried in
each way that any placed photograph allows, and the one that suits all of them is taken; photographs are placed again by all
tiles together. Some rounds of it, and the rest is the adjustment's.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.conventions.errors import Impossible
from jounce.numerics.arrays import Array, BoolArray
from jounce.photographs.adjustment import residuals
from jounce.photographs.camera import straightened
from jounce.photographs.net import NetState, Views
from jounce.photographs.tiles import flat_corners
from jounce.photographs.vision import Stand, planar_poses, posed

__all__ = ["Start", "placed_again", "started"]

_CLEAR = 2.0  # the second way leaves so many times what the first leaves
_ROUNDS = 6
_MOST_OFF = 25.0  # px: a corner farther off counts as that far
_FAIR = 20.0  # px: a tile that suits no better is not placed
_NEAREST = 0.05  # m before the camera
_FARTHEST = (6.0, 15.0, 40.0)  # px: how far off a corner may lie that speaks for a pose, tried in turn

_FACTORS = (1.0, 0.85, 1.18, 0.72, 1.4)  # of the focal length that was given
_LOST = 100.0  # px: a corner farther off counts as that far
_SOUND = 15.0  # px, in the middle: a start from which nothing else need be tried


@dataclass(frozen=True, slots=True)
class _Sight:
    """What was seen through a lens: rays of all corners, the tiles' own corners, both ways in which each view may stand."""

    views: Views
    rays: Array
    flat: list[Array]
    ways: Mapping[int, list[tuple[Stand, float]]]
    focal: float


@dataclass(frozen=True, slots=True)
class Start:
    """A beginning.

    Attributes:
        state: where everything stands; what could not be placed stands anywhere
        photos: which photographs are placed, shape (photos,)
        tiles: which tiles are placed, shape (tiles,)

    """

    state: NetState
    photos: BoolArray
    tiles: BoolArray


def started(views: Views, lens: Array, told: Callable[[], None] | None = None) -> Start:
    """A beginning from nothing but what was seen.

    The focal length is tried as given; where not everything finds its place by it, others are tried too.

    Args:
        views: what was seen
        lens: focal length, centre [px] and bend [-] to begin with, shape (8,)
        told: is called before each focal length that is tried; may raise to stop

    Raises:
        Impossible: no tile is seen from aside in any photograph
    """
    tried: list[tuple[float, Start]] = []
    for factor in _FACTORS:
        if told is not None:
            told()
        start = _once(views, np.array([lens[0] * factor, *lens[1:]]))
        left = np.linalg.norm(residuals(views, start.state), axis=-1)
        off = float(np.nanmean(np.minimum(left, _LOST)))
        tried.append((off, start))
        if start.photos.all() and start.tiles.all() and off < _SOUND:
            break
    return min(tried, key=lambda one: one[0])[1]


def _once(views: Views, lens: Array) -> Start:
    sight = _sight(views, lens)
    first = _first_tile(sight)
    tiles = {first: Stand(np.eye(3), np.zeros(3))}
    photos: dict[int, Stand] = {}
    for view, found in sight.ways.items():
        if views.tile[view] == first and _clear(found):
            photos[int(views.photo[view])] = found[0][0]
    for _ in range(_ROUNDS):
        _place_tiles(sight, photos, tiles, first)
        _place_photos(sight, photos, tiles)
    return _gathered(views, lens, photos, tiles)


def placed_again(views: Views, start: Start) -> Start:
    """The same once more with a lens that is known better: what stood in the wrong one of two ways finds the right one.

    Args:
        views: what was seen
        start: where everything stands by now
    """
    state = start.state
    sight = _sight(views, state.lens, float(state.print_scale.mean()))
    photos = {int(one): Stand(state.turned[one], state.shift[one]) for one in np.flatnonzero(start.photos)}
    tiles = {int(one): Stand(state.tile_turned[one], state.tile_centre[one]) for one in np.flatnonzero(start.tiles)}
    for _ in range(2):
        _place_photos(sight, photos, tiles)
        _place_tiles(sight, photos, tiles, -1)
    again = _gathered(views, state.lens, photos, tiles)
    return replace(again, state=replace(again.state, print_scale=state.print_scale))


def _sight(views: Views, lens: Array, print_scale: float = 1.0) -> _Sight:
    """What was seen through a lens, of tiles that a printer made so many times as large."""
    whole = np.isfinite(views.corners).all(axis=(1, 2))
    rays = np.full(views.corners.shape, np.nan)
    rays[whole] = straightened((views.corners[whole] - lens[1:3]) / lens[0], lens[3:])
    flat = [flat_corners(print_scale * float(side)) for side in views.sides]
    ways = {int(view): planar_poses(flat[views.tile[view]], rays[view]) for view in np.flatnonzero(whole)}
    return _Sight(views, rays, flat, {view: found for view, found in ways.items() if found}, float(lens[0]))


def _clear(found: list[tuple[Stand, float]]) -> bool:
    return len(found) == 1 or found[1][1] > _CLEAR * found[0][1]


def _first_tile(sight: _Sight) -> int:
    """The tile that most photographs see in one way only."""
    clear = [int(sight.views.tile[view]) for view, found in sight.ways.items() if _clear(found)]
    if not clear:
        raise Impossible(
            "No tile is seen clearly from aside in any photograph: how it stands cannot be told. Take photographs from "
            "nearer, and at a slant."
        )
    return int(np.argmax(np.bincount(clear)))


def _place_tiles(sight: _Sight, photos: dict[int, Stand], tiles: dict[int, Stand], first: int) -> None:
    """Each tile in the way that suits all placed photographs best."""
    views, ways = sight.views, sight.ways
    for tile in range(len(views.sides)):
        if tile == first:
            continue
        here = [view for view in ways if views.tile[view] == tile and int(views.photo[view]) in photos]
        if len(here) < 2 and not (here and _clear(ways[here[0]])):
            continue
        guesses = [
            Stand(camera.turned.T @ pose.turned, camera.undone(pose.shift))
            for view in here
            for camera in [photos[int(views.photo[view])]]
            for pose, _ in ways[view]
        ]
        corners = np.stack([guess.seen(sight.flat[tile]) for guess in guesses])
        stands = np.stack([photos[int(views.photo[view])].turned for view in here])
        shifts = np.stack([photos[int(views.photo[view])].shift for view in here])
        seen = corners[:, None] @ np.swapaxes(stands, 1, 2) + shifts[:, None]  # guesses, views, corners, 3
        ahead = seen[..., 2] > _NEAREST
        at = seen[..., :2] / np.where(ahead, seen[..., 2], 1)[..., None]
        off = np.where(ahead, sight.focal * np.linalg.norm(at - sight.rays[here], axis=-1), _MOST_OFF)
        scores = np.minimum(off, _MOST_OFF).mean(axis=(1, 2))
        if scores.min() < _FAIR:
            tiles[tile] = guesses[int(np.argmin(scores))]


def _place_photos(sight: _Sight, photos: dict[int, Stand], tiles: dict[int, Stand]) -> None:
    """Each photograph by all tiles that are placed, wrong ones among them left out."""
    views, rays = sight.views, sight.rays
    whole = np.isfinite(rays).all(axis=(1, 2))
    for photo in range(views.photos):
        here = [view for view in np.flatnonzero((views.photo == photo) & whole) if int(views.tile[view]) in tiles]
        if len(here) < 2:
            continue
        points = np.concatenate([tiles[int(views.tile[view])].seen(sight.flat[views.tile[view]]) for view in here])
        for farthest in _FARTHEST:
            pose = posed(points, rays[here].reshape(-1, 2), sight.focal, len(here), farthest)
            if pose is not None:
                photos[photo] = pose
                break


def _gathered(views: Views, lens: Array, photos: dict[int, Stand], tiles: dict[int, Stand]) -> Start:
    nowhere = Stand(np.eye(3), np.array([0.0, 0.0, 1.0]))
    stands = [photos.get(photo, nowhere) for photo in range(views.photos)]
    places = [tiles.get(tile, nowhere) for tile in range(len(views.sides))]
    state = NetState(
        lens.copy(),
        np.ones(2),
        np.stack([one.turned for one in stands]),
        np.stack([one.shift for one in stands]),
        np.zeros((len(stands), 6)),
        np.stack([one.turned for one in places]),
        np.stack([one.shift for one in places]),
        np.zeros((len(places), 4, 3)),
    )
    return Start(
        state,
        np.array([photo in photos for photo in range(views.photos)]),
        np.array([tile in tiles for tile in range(len(views.sides))]),
    )
