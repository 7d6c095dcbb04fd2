"""All photographs and tiles placed together: least squares over every corner that was seen.

Unknown are the lens, the printer's scale, each photograph's stand and what is its own (focus, stabiliser, rows read one
after the other, edge spread), each tile's place and how far its corners lie off a flat, true square. What is known of them
before is weighed in. Weights fall with what a corner leaves over, after Cauchy; their measure is the middle of what
is left.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.linalg import LinAlgError, cho_factor, cho_solve

from jounce.conventions.errors import NotConverged
from jounce.numerics.arrays import Array, BoolArray, IntArray
from jounce.numerics.rotations import cross_matrix
from jounce.photographs.camera import bent, bent_with_slopes
from jounce.photographs.net import GLOBAL, PER_PHOTO, PER_TILE, NetState, Ruler, Views

__all__ = ["Adjusted", "Beforehand", "adjusted", "length_of", "residuals", "with_slopes"]

_MOST_ROUNDS = 80
_STEADY = 1e-6  # of the cost, two rounds running
_PATIENT, _NEARLY = 30, 0.05
"""After so many rounds it is at rest where the cost falls by so little: half the square of a step in deviations, so that
nothing moves by more than a third of its own deviation. Where a lens bends otherwise than the model can much lies in the
tails, and rounds would go on by hundredths of a deviation for ever."""
_CAUCHY = 3.0
_LEAST_NOISE = 0.01  # px
_CALMER = 2.0  # the noise falls by no more in one step: what is far off at first is no outlier yet
_ROUGH_NOISE, _ROUGH_STEADY, _ROUGH_ROUNDS = 1.0, 1e-2, 20  # px, share of the cost, rounds
_BIGGEST = 1e12  # of the damping


@dataclass(frozen=True, slots=True)
class Beforehand:
    """What is known before any photograph is looked at: value and one standard deviation.

    Attributes:
        focal: of the lens, and its deviation [px]
        centre: its deviation from the middle of the sensor [px]
        bend: deviation of k1, k2, p1, p2, k3 from none [-]
        print_scale: deviation of the printer's scale from 1 [-]
        own: deviation of a photograph's edge spread [px], focal share [-], centre u, v [px], shear u, v [px]
        paper: deviation of a corner in its tile's plane, twice, and out of it [m]

    """

    focal: tuple[float, float]
    centre: float = 60.0
    bend: tuple[float, float, float, float, float] = (0.3, 0.5, 0.01, 0.01, 0.5)
    print_scale: float = 0.005
    own: tuple[float, float, float, float, float, float] = (0.3, 0.005, 10.0, 10.0, 3.0, 3.0)
    paper: tuple[float, float, float] = (0.05e-3, 0.05e-3, 0.15e-3)


@dataclass(frozen=True, slots=True)
class Adjusted:
    """Where everything came to stand.

    Attributes:
        state: camera, photographs, tiles
        left: what each corner leaves over, shape (views, 4, 2) [px]
        noise: of a corner, one standard deviation [px]
        normal: the normal matrix, priors and rulers in it, shape (unknowns, unknowns)
        rounds: how many steps it took

    """

    state: NetState
    left: Array
    noise: float
    normal: Array
    rounds: int

    @property
    def off(self) -> Array:
        """How far each corner lies off, not a number where it was not seen, shape (views, 4) [px]."""
        return np.asarray(np.linalg.norm(self.left, axis=-1))


def residuals(views: Views, state: NetState) -> Array:
    """What the state says of each corner less where it was seen, shape (views, 4, 2) [px].

    Args:
        views: what was seen
        state: where everything stands
    """
    return _pictured(views, state)[0]


def with_slopes(views: Views, state: NetState) -> tuple[Array, Array]:
    """What each corner leaves over, and its slopes by everything that bears on it.

    Args:
        views: what was seen
        state: where everything stands

    Returns:
        Residuals, shape (views, 4, 2) [px], and slopes by the 10 global, 12 photograph's and 18 tile's unknowns,
        shape (views, 4, 2, 40) [px per unit]
    """
    left, rays, seen, arm = _pictured(views, state)
    place, by_ray, by_bend = bent_with_slopes(rays, state.lens[3:])
    focal = state.lens[0] * (1 + state.own[views.photo, 1])[:, None, None]
    turned = state.turned[views.photo]
    tile_turned = state.tile_turned[views.tile]
    depth = seen[..., 2]
    by_seen = np.zeros((*left.shape, 3))
    by_seen[..., 0, 0] = by_seen[..., 1, 1] = 1 / depth
    by_seen[..., 2] = -rays / depth[..., None]
    by_seen = focal[..., None] * (by_ray @ by_seen)  # views, 4, 2, 3
    by_point = by_seen @ turned[:, None]
    slopes = np.zeros((*left.shape, GLOBAL + PER_PHOTO + PER_TILE))
    slopes[..., 0] = place * (1 + state.own[views.photo, 1])[:, None, None]
    slopes[..., 0, 1] = slopes[..., 1, 2] = 1
    slopes[..., 3:8] = focal[..., None] * by_bend
    flat = state.flat(views.sides)[views.tile] / np.array([*state.print_scale, 1.0])
    for axis in range(2):
        along = tile_turned[:, None, :, axis] * flat[..., axis, None]
        slopes[..., 8 + axis] = (by_point @ along[..., None])[..., 0]
    slopes[..., 10:13] = -by_seen @ cross_matrix(seen - state.shift[views.photo][:, None])
    slopes[..., 13:16] = by_seen
    slopes[..., 16] = views.spread
    slopes[..., 17] = state.lens[0] * place
    slopes[..., 0, 18] = slopes[..., 1, 19] = 1
    slopes[..., 0, 20] = slopes[..., 1, 21] = views.rows
    slopes[..., 22:25] = -by_point @ cross_matrix(arm)
    slopes[..., 25:28] = by_point
    by_own = by_point @ tile_turned[:, None]
    for corner in range(4):
        start = 28 + 3 * corner
        slopes[:, corner, :, start : start + 3] = by_own[:, corner]
    return left, slopes


def _pictured(views: Views, state: NetState) -> tuple[Array, Array, Array, Array]:
    """Residuals, rays, points as seen, and corners from the tile's centre in the scene."""
    own = (state.flat(views.sides) + state.deviation)[views.tile]
    arm = np.einsum("vij,vcj->vci", state.tile_turned[views.tile], own)
    point = arm + state.tile_centre[views.tile][:, None]
    seen = np.einsum("vij,vcj->vci", state.turned[views.photo], point) + state.shift[views.photo][:, None]
    depth = seen[..., 2]
    seen[..., 2] = np.where(depth > 1e-3, depth, 1e-3)  # behind the camera: far off, and no division by nothing
    rays = seen[..., :2] / seen[..., 2:]
    rays = np.clip(rays, -3, 3)
    place = bent(rays, state.lens[3:])
    mine = state.own[views.photo][:, None]
    told = (
        state.lens[0] * (1 + mine[..., 1:2]) * place
        + state.lens[1:3]
        + mine[..., 0:1] * views.spread
        + mine[..., 2:4]
        + mine[..., 4:6] * views.rows[..., None]
    )
    return told - views.corners, rays, seen, arm


def _noise(left: Array, unknowns: int) -> float:
    """Of a corner, by the middle of what is left; unknowns that only the corners tell take their share [px]."""
    known = np.abs(left[np.isfinite(left)])
    middle = 1.4826 * float(np.median(known))
    spare = max(len(known) - unknowns, 0.25 * len(known))
    return max(middle * float(np.sqrt(len(known) / spare)), _LEAST_NOISE)


def _widest(left: Array) -> float:
    """The noise to begin with: nine of ten corners have their full say [px]."""
    return float(np.quantile(np.abs(left[np.isfinite(left)]), 0.9))


def _cost(left: Array, noise: float) -> float:
    squared = np.nansum(left**2, axis=-1) / (_CAUCHY * noise) ** 2
    return float(0.5 * _CAUCHY**2 * np.sum(np.log1p(squared)))


def _before(state: NetState, known: Beforehand, size: tuple[int, int]) -> tuple[Array, Array]:
    """Weight and distance of each unknown from what is known of it; weight 0 where nothing is."""
    weight, off = np.zeros(state.unknowns), np.zeros(state.unknowns)
    deviation = np.array([known.focal[1], known.centre, known.centre, *known.bend, *[known.print_scale] * 2])
    weight[:GLOBAL] = 1 / deviation**2
    middle = [known.focal[0], (size[0] - 1) / 2, (size[1] - 1) / 2, 0, 0, 0, 0, 0, 1, 1]
    off[:GLOBAL] = np.concatenate([state.lens, state.print_scale]) - middle
    photos = GLOBAL + PER_PHOTO * len(state.shift)
    weight[GLOBAL:photos].reshape(-1, PER_PHOTO)[:, 6:] = 1 / np.array(known.own) ** 2
    off[GLOBAL:photos].reshape(-1, PER_PHOTO)[:, 6:] = state.own
    weight[photos:].reshape(-1, PER_TILE)[:, 6:] = 1 / np.tile(known.paper, 4) ** 2
    off[photos:].reshape(-1, PER_TILE)[:, 6:] = state.deviation.reshape(-1, 12)
    return weight, off


def _whole_cost(views: Views, state: NetState, known: Beforehand, rulers: Sequence[Ruler], noise: float) -> float:
    weight, off = _before(state, known, views.size)
    rule = sum(((length_of(state, one) - one.length) / one.deviation) ** 2 for one in rulers)
    return _cost(residuals(views, state), noise) + 0.5 * float(weight @ off**2) + 0.5 * rule


def length_of(state: NetState, ruler: Ruler) -> float:
    """Distance between a known length's two tiles by where these stand [m].

    Args:
        state: where everything stands
        ruler: the known length
    """
    a, b = ruler.tiles
    return float(np.linalg.norm(state.tile_centre[a] - state.tile_centre[b]))


def _places(views: Views, state: NetState) -> IntArray:
    """Where the 40 unknowns of each view stand among all, shape (views, 40)."""
    photos = GLOBAL + PER_PHOTO * len(state.shift)
    return np.concatenate(
        [
            np.broadcast_to(np.arange(GLOBAL), (len(views.photo), GLOBAL)),
            GLOBAL + PER_PHOTO * views.photo[:, None] + np.arange(PER_PHOTO),
            photos + PER_TILE * views.tile[:, None] + np.arange(PER_TILE),
        ],
        axis=1,
    )


def _normal(
    views: Views, state: NetState, known: Beforehand, rulers: Sequence[Ruler], noise: float
) -> tuple[Array, Array]:
    """Normal matrix and right-hand side of one step."""
    left, slopes = with_slopes(views, state)
    seen: BoolArray = np.asarray(np.all(np.isfinite(left), axis=-1))
    left = np.where(seen[..., None], left, 0)
    say = 1 / (1 + np.sum(left**2, axis=-1) / (_CAUCHY * noise) ** 2) / noise**2
    weight: Array = np.asarray(np.where(seen, say, 0.0), dtype=np.float64)
    rows = slopes.reshape(len(left), 8, -1)
    weighed = rows * np.repeat(weight, 2, axis=1)[..., None]
    blocks = np.swapaxes(weighed, 1, 2) @ rows
    sides = np.einsum("vri,vr->vi", weighed, left.reshape(len(left), 8))
    places = _places(views, state)
    count = state.unknowns
    where = (places[:, :, None] * count + places[:, None, :]).ravel()
    matrix: Array = np.asarray(np.bincount(where, blocks.ravel(), count * count), dtype=np.float64).reshape(
        count, count
    )
    right: Array = np.asarray(np.bincount(places.ravel(), sides.ravel(), count), dtype=np.float64)
    before, off = _before(state, known, views.size)
    matrix[np.arange(count), np.arange(count)] += before
    right += before * off
    photos = GLOBAL + PER_PHOTO * len(state.shift)
    for one in rulers:
        between = state.tile_centre[one.tiles[0]] - state.tile_centre[one.tiles[1]]
        row = np.zeros(count)
        for tile, sign in zip(one.tiles, (1.0, -1.0), strict=True):
            start = photos + PER_TILE * tile + 3
            row[start : start + 3] = sign * between / np.linalg.norm(between) / one.deviation
        matrix += np.outer(row, row)
        right += row * (length_of(state, one) - one.length) / one.deviation
    return matrix, -right


def adjusted(
    views: Views,
    start: NetState,
    known: Beforehand,
    rulers: Sequence[Ruler] = (),
    told: Callable[[int], None] | None = None,
    *,
    roughly: bool = False,
) -> Adjusted:
    """Camera, photographs and tiles by least squares.

    Args:
        views: what was seen
        start: from where to begin
        known: what is known before
        rulers: distances that are known
        told: is told the number of each step; may raise to stop
        roughly: only so far that a better start can be made of it; corners are taken for a pixel off at least

    Raises:
        NotConverged: it did not come to rest
    """
    state, damping, steady, noise = start, 1e-3, 0, _widest(residuals(views, start))
    least, most = (_ROUGH_NOISE, _ROUGH_ROUNDS) if roughly else (0.0, _MOST_ROUNDS)
    only_seen = 8 + 6 * (len(start.shift) + len(start.tile_centre))
    for number in range(most):
        if told is not None:
            told(number)
        settled = max(_noise(residuals(views, state), only_seen), least)
        is_calm = settled >= noise / _CALMER
        noise = max(settled, noise / _CALMER)
        cost = _whole_cost(views, state, known, rulers, noise)
        matrix, right = _normal(views, state, known, rulers, noise)
        scale = 1 / np.sqrt(np.maximum(np.diag(matrix), 1e-20))
        even = matrix * scale[:, None] * scale
        better, new_cost = state, cost
        while damping < _BIGGEST:
            step = _step(even, right * scale, damping)
            if step is not None:
                better = state.moved(step * scale)
                new_cost = _whole_cost(views, better, known, rulers, noise)
                if new_cost < cost:
                    break
            damping *= 10
        else:
            return _rested(views, state, known, rulers, number)
        damping = max(damping / 10, 1e-9)
        rest = max((_ROUGH_STEADY if roughly else _STEADY) * (1 + cost), 0.0 if number < _PATIENT else _NEARLY)
        steady = steady + 1 if is_calm and cost - new_cost < rest else 0
        state = better
        if steady >= 2:
            return _rested(views, state, known, rulers, number)
    if roughly:
        return _rested(views, state, known, rulers, most)
    raise NotConverged(
        f"The photographs did not settle in {_MOST_ROUNDS} steps; their numbers must not be used. Most often the tiles are "
        "too small in them: take them from nearer, or print larger tiles; and look whether a tile was moved on the way."
    )


def _step(even: Array, right: Array, damping: float) -> Array | None:
    try:
        return np.asarray(cho_solve(cho_factor(even + damping * np.eye(len(even))), right))
    except LinAlgError:
        return None


def _rested(views: Views, state: NetState, known: Beforehand, rulers: Sequence[Ruler], rounds: int) -> Adjusted:
    left = residuals(views, state)
    noise = _noise(left, 8 + 6 * (len(state.shift) + len(state.tile_centre)))
    return Adjusted(state, left, noise, _normal(views, state, known, rulers, noise)[0], rounds)
