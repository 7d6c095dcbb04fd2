"""Corners of tiles to a few hundredths of a pixel, in linear light.

A lens spreads light evenly to both sides of an edge; a picture's numbers are its 1/2.2 power, so that white grows and
every corner moves half a pixel or more. Undone first, the rest is a straight line fitted to each edge, and at each corner
the saddle that the tag and the black square touching it make: even an unknown tone curve leaves
a saddle's centre where it is.
"""

from __future__ import annotations

import numpy as np
from scipy.special import erf

from jounce.numerics.arrays import Array
from jounce.photographs.tiles import CELLS, TOUCHING
from jounce.photographs.vision import Bytes

__all__ = ["linear_light", "refined", "sharpness"]

_GAMMA = 2.2
_LIGHT = (np.arange(256) / 255.0) ** _GAMMA
_ALONG = 25  # samples along an edge
_ACROSS = 17  # and across it
_ROUNDS = 3
_CLIPPED = 3.0  # standard deviations
_GRID = 13  # samples of a saddle's window, each way
_REACH = 0.8  # of a cell: inside it a corner is a saddle and nothing else
_WIDEST = 7.0  # px
_NARROWEST = 2.0
_STEPS = 8
_FARTHEST = 2.5  # px from where the edges meet
_POOREST = 0.35  # of its contrast, root mean square: what looks less like a saddle is none


def linear_light(picture: Bytes) -> Array:
    """Light on each pixel, the usual tone curve undone, shape as given [-].

    Args:
        picture: numbers of the file [0 to 255]
    """
    return np.asarray(_LIGHT[picture])


def refined(light: Array, rough: Array) -> tuple[Array, Array]:
    """Corners of tiles to a few hundredths of a pixel.

    Args:
        light: linear, shape (height, width) [-]
        rough: corners that are a pixel or two off, shape (tiles, 4, 2) [px]

    Returns:
        Corners, shape (tiles, 4, 2) [px], and how wide the edge of each is blurred (standard deviation), shape (tiles, 4)
        [px]; not a number where a corner is covered, glared over or no saddle
    """
    if not len(rough):
        return np.zeros((0, 4, 2)), np.zeros((0, 4))
    met = rough
    for wide in (True, False, False):
        met = _edges_met(light, met, wide=wide)
    return _saddles(light, met)


def _sampled(light: Array, at: Array) -> Array:
    """Light between pixels, by straight lines; the edge goes on beyond the picture."""
    height, width = light.shape
    u, v = np.clip(at[..., 0], 0, width - 1.001), np.clip(at[..., 1], 0, height - 1.001)
    column, row = u.astype(np.intp), v.astype(np.intp)
    a, b = u - column, v - row
    upper = light[row, column] * (1 - a) + light[row, column + 1] * a
    lower = light[row + 1, column] * (1 - a) + light[row + 1, column + 1] * a
    return np.asarray(upper * (1 - b) + lower * b)


def _edges_met(light: Array, corners: Array, *, wide: bool) -> Array:
    """Where straight lines fitted to neighbouring edges meet, shape (tiles, 4, 2) [px]."""
    after = np.roll(corners, -1, axis=1)
    way = after - corners
    length = np.linalg.norm(way, axis=-1, keepdims=True)
    along = way / np.maximum(length, 1e-9)
    out = np.stack([along[..., 1], -along[..., 0]], axis=-1)  # to the left of a clockwise round, v down: outside
    cell = np.min(length, axis=1, keepdims=True) / CELLS
    reach = np.clip(0.45 * cell, 1.5, 6.0) + (1.0 if wide else 0.0)
    free = TOUCHING / CELLS + 0.05
    share = np.linspace(free, 1 - free, _ALONG)
    step = np.linspace(-1, 1, _ACROSS)
    base = corners[:, :, None] + share[:, None] * way[:, :, None]  # tiles, edges, along, 2
    off = step * reach  # tiles, edges (1), across
    at = base[..., None, :] + off[:, :, None, :, None] * out[:, :, None, None, :]
    slope = np.maximum(np.gradient(_sampled(light, at), axis=-1), 0)  # white outside
    peak = slope.max(axis=-1, keepdims=True)
    slope = np.where(slope > 0.25 * peak, slope, 0)
    total = slope.sum(axis=-1)
    place = (slope * off[:, :, None, :]).sum(axis=-1) / np.maximum(total, 1e-12)  # tiles, edges, along
    weight = (total > 0.3 * np.median(total, axis=-1, keepdims=True)).astype(np.float64)
    first, second = _line(share, place, weight)
    for _ in range(_ROUNDS):
        left = place - first[..., None] - second[..., None] * (share - 0.5)
        spread = np.sqrt((weight * left**2).sum(axis=-1) / np.maximum(weight.sum(axis=-1), 1))
        weight = weight * (np.abs(left) <= _CLIPPED * np.maximum(spread[..., None], 1e-3))
        first, second = _line(share, place, weight)
    start = corners + (first - 0.5 * second)[..., None] * out
    end = after + (first + 0.5 * second)[..., None] * out
    return _meeting(np.roll(start, 1, axis=1), np.roll(end, 1, axis=1), start, end)


def _line(share: Array, place: Array, weight: Array) -> tuple[Array, Array]:
    """Height at the middle and slope of straight lines through weighted places."""
    x = share - 0.5
    s0, s1, s2 = weight.sum(-1), (weight * x).sum(-1), (weight * x * x).sum(-1)
    p0, p1 = (weight * place).sum(-1), (weight * x * place).sum(-1)
    whole = np.where(s0 * s2 - s1 * s1 > 1e-9, s0 * s2 - s1 * s1, np.inf)
    return np.asarray((s2 * p0 - s1 * p1) / whole), np.asarray((s0 * p1 - s1 * p0) / whole)


def _meeting(a: Array, b: Array, c: Array, d: Array) -> Array:
    """Where the line through a and b meets that through c and d."""
    r, s = b - a, d - c
    across = r[..., 0] * s[..., 1] - r[..., 1] * s[..., 0]
    across = np.where(np.abs(across) > 1e-9, across, np.nan)
    t = ((c - a)[..., 0] * s[..., 1] - (c - a)[..., 1] * s[..., 0]) / across
    return np.asarray(a + t[..., None] * r)


def _saddles(light: Array, met: Array) -> tuple[Array, Array]:
    """The saddle at each corner: light is ``m + A erf(s1/w) erf(s2/w)``, with s1, s2 the distances to both edges.

    Centre, brightness, contrast and width by Gauss and Newton from where the edges meet; their directions stay.
    """
    before, after = np.roll(met, 1, axis=1) - met, np.roll(met, -1, axis=1) - met
    sides = np.stack([np.linalg.norm(before, axis=-1), np.linalg.norm(after, axis=-1)], axis=-1)
    one, two = before / sides[..., :1], after / sides[..., 1:]
    across_one = np.stack([one[..., 1], -one[..., 0]], axis=-1)
    across_two = np.stack([-two[..., 1], two[..., 0]], axis=-1)
    inside = np.sum(across_one * two, axis=-1, keepdims=True)
    across_one = across_one * np.sign(inside)  # both positive inside the tag
    across_two = across_two * np.sign(np.sum(across_two * one, axis=-1, keepdims=True))
    reach = np.clip(_REACH * sides / CELLS, _NARROWEST, _WIDEST)
    steps = np.linspace(-1, 1, _GRID)
    grid = (
        reach[..., 0, None, None, None] * steps[:, None, None] * one[..., None, None, :]
        + reach[..., 1, None, None, None] * steps[:, None] * two[..., None, None, :]
    ).reshape(*met.shape[:2], -1, 2)
    centre = met.copy()
    begun = np.where(np.isfinite(met), met, 0)[..., None, :]
    wide = np.full(met.shape[:2], 1.2)
    fitted = np.zeros((*met.shape[:2], grid.shape[2]))
    seen, contrast = fitted, np.ones(met.shape[:2])
    for _ in range(_STEPS):
        safe = np.where(np.isfinite(centre), centre, 0)
        seen = _sampled(light, begun + grid)
        off = grid + begun - safe[..., None, :]
        s1 = np.einsum("...gi,...i->...g", off, across_one) / wide[..., None]
        s2 = np.einsum("...gi,...i->...g", off, across_two) / wide[..., None]
        e1, e2 = erf(s1), erf(s2)
        d1, d2 = np.exp(-(s1**2)) * 2 / np.sqrt(np.pi), np.exp(-(s2**2)) * 2 / np.sqrt(np.pi)
        product = e1 * e2
        mean = product.mean(axis=-1, keepdims=True)
        middle = seen.mean(axis=-1, keepdims=True)
        size = ((product - mean) * (seen - middle)).sum(-1) / np.maximum(((product - mean) ** 2).sum(-1), 1e-9)
        fitted = middle + size[..., None] * (product - mean)
        by_centre = -((d1 * e2)[..., None] * across_one[..., None, :] + (e1 * d2)[..., None] * across_two[..., None, :])
        by_wide = -(d1 * e2 * s1 + e1 * d2 * s2)
        columns = np.concatenate(
            [
                size[..., None, None] * by_centre / wide[..., None, None],
                (size / wide)[..., None, None] * by_wide[..., None],
                np.ones((*product.shape, 1)),
                product[..., None],
            ],
            axis=-1,
        )
        normal = np.einsum("...gi,...gj->...ij", columns, columns) + 1e-9 * np.eye(5)
        right = np.einsum("...gi,...g->...i", columns, seen - fitted)
        fine = np.isfinite(normal).all(axis=(-1, -2)) & np.isfinite(right).all(axis=-1)
        step = np.zeros((*met.shape[:2], 5))
        step[fine] = np.linalg.solve(normal[fine], right[fine][..., None])[..., 0]
        centre = centre + np.clip(step[..., :2], -0.7, 0.7)
        wide = np.clip(wide + np.clip(step[..., 2], -0.4, 0.4), 0.4, 6.0)
        contrast = np.abs(size)
        sign = size
    left = np.sqrt(np.mean((seen - fitted) ** 2, axis=-1)) / np.maximum(contrast, 1e-9)
    good = (left < _POOREST) & (np.linalg.norm(centre - met, axis=-1) < _FARTHEST) & (sign < 0)
    height, width = light.shape
    good &= np.all((centre > 3) & (centre < np.array([width - 4, height - 4])), axis=-1)
    return np.where(good[..., None], centre, np.nan), np.where(good, wide / np.sqrt(2), np.nan)


def sharpness(widths: Array) -> float:
    """How wide a photograph's edges are blurred: the middle of its corners' [px].

    Args:
        widths: standard deviation of each corner's edges, not a number where there is none, any shape [px]

    Returns:
        Middle value [px]; infinity where there is none
    """
    known = widths[np.isfinite(widths)]
    return float(np.median(known)) if len(known) else float("inf")
