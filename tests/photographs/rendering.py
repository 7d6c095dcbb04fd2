"""Photographs of tiles with known truth, by a way of its own: nothing here comes from the part that solves them.

The lens is a *division* model, from the picture to the ray, where the solver knows a polynomial from the ray to the
picture. Every pixel is the light that falls on its whole area, 64 evenly spread points, then blurred, made
noisy, sharpened, put through a tone curve and compressed, as a telephone does.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter, zoom

CELLS = 8  # across the tag with its black border
TOUCHING = 1.6  # cells: side of the black square that touches each corner
PAPER = 6.6  # cells from the tile's centre to the edge of its paper
_PLASTIC = 1.32471795724474602596  # its powers spread points evenly over a square
_SPREAD = np.stack([np.arange(64) / _PLASTIC % 1, np.arange(64) / _PLASTIC**2 % 1])
_SPREAD -= _SPREAD.mean(axis=1, keepdims=True)
_CORNERS = np.array([[0, -0.5, 0.5, 0.5, -0.5], [0, -0.5, -0.5, 0.5, 0.5]])
WHITE, BLACK, AROUND = 0.75, 0.04, 0.18  # light that comes back


@dataclass(frozen=True)
class Lens:
    """A lens that bends rays: ``ray = point / (1 + one r² + two r⁴)``, all in focal lengths."""

    focal: float
    width: int
    height: int
    centre: tuple[float, float]
    one: float = 0.0
    two: float = 0.0
    shear: tuple[float, float] = (0.0, 0.0)  # px over the height: rows are read one after the other

    def rays(self, u, v):
        """Direction, as x and y at depth 1, of points of the picture (the centre of the first pixel is 0, 0)."""
        row = (v - self.height / 2) / self.height
        x = (u - self.shear[0] * row - self.centre[0]) / self.focal
        y = (v - self.shear[1] * row - self.centre[1]) / self.focal
        r2 = x * x + y * y
        bent = 1 + self.one * r2 + self.two * r2 * r2
        return x / bent, y / bent

    def pictured(self, points):
        """Where points before the camera, shape (..., 3), come to lie: Newton's way against the rays."""
        want = points[..., :2] / points[..., 2:]
        at = want * self.focal + np.asarray(self.centre)
        for _ in range(30):
            x, y = self.rays(at[..., 0], at[..., 1])
            at = at + (want - np.stack([x, y], axis=-1)) * self.focal
        return at


@dataclass(frozen=True)
class Stuck:
    """A tile where it is stuck: its number, side of the tag [m], turning (columns: right, up, out) and centre."""

    number: int
    side: float
    turned: np.ndarray
    centre: np.ndarray
    bent: np.ndarray = field(default_factory=lambda: np.zeros((4, 3)))  # how far its corners lie off, tile's own axes

    @property
    def corners(self):
        """Upper left, upper right, lower right, lower left of the tag."""
        half = self.side / 2
        flat = np.array([[-half, half, 0], [half, half, 0], [half, -half, 0], [-half, -half, 0]])
        return self.centre + (flat + self.bent) @ self.turned.T


@dataclass(frozen=True)
class Stand:
    """Where the camera stands: ``seen = turned @ point + shift``; x right, y down, z ahead."""

    turned: np.ndarray
    shift: np.ndarray

    def seen(self, points):
        return points @ self.turned.T + self.shift

    @property
    def place(self):
        return -self.turned.T @ self.shift


def looking(place, target, roll=0.0):
    """A camera at a place that looks at a target, turned about its own axis by roll [rad]."""
    ahead = np.asarray(target, float) - place
    ahead /= np.linalg.norm(ahead)
    right = np.cross(ahead, [0, 0, 1.0])
    right /= np.linalg.norm(right)
    down = np.cross(ahead, right)
    c, s = np.cos(roll), np.sin(roll)
    turned = np.stack([c * right + s * down, -s * right + c * down, ahead])
    return Stand(turned, -turned @ place)


def facing(out, up=(0, 0, 1.0)):
    """Turning of a tile whose face looks along ``out``."""
    out = np.asarray(out, float) / np.linalg.norm(out)
    right = np.cross(up, out)
    right /= np.linalg.norm(right)
    return np.stack([right, np.cross(out, right), out], axis=1)


@dataclass(frozen=True)
class Weather:
    """What spoils a photograph."""

    blur: float = 0.9
    noise: float = 0.004
    sharpen: float = 0.3
    curve: float = 0.0  # share of an S-curve on top of the usual one
    quality: int = 88
    glare: tuple[float, float, float] | None = None  # u, v, radius [px]
    bars: tuple[tuple[int, int, int, int], ...] = ()  # something before the lens: left, upper, right, lower


def pattern(bits, u, v):
    """Light that comes back from a tile at u right and v up, in cells from its centre."""
    column = np.clip((u + CELLS / 2).astype(int), 0, CELLS - 1)
    row = np.clip((CELLS / 2 - v).astype(int), 0, CELLS - 1)
    inside = (np.abs(u) < CELLS / 2) & (np.abs(v) < CELLS / 2)
    far = CELLS / 2 + TOUCHING
    touching = (np.abs(u) >= CELLS / 2) & (np.abs(v) >= CELLS / 2) & (np.abs(u) < far) & (np.abs(v) < far)
    dark = np.where(inside, ~bits[row, column], touching)
    return np.where(dark, BLACK, WHITE)


def light(lens: Lens, stand: Stand, tiles: Sequence[Stuck], bits, rng) -> np.ndarray:
    """The light on each pixel, before the lens blurs it."""
    shape = (lens.height, lens.width)
    rough = zoom(rng.normal(0, 1, (lens.height // 40 + 2, lens.width // 40 + 2)), 40, order=1)[: shape[0], : shape[1]]
    picture = AROUND * np.exp(0.35 * rough)
    depth = [float(stand.seen(tile.centre)[2]) for tile in tiles]
    for place in np.argsort(depth)[::-1]:
        tile = tiles[place]
        cell = tile.side / CELLS
        if depth[place] < 0.2 or (stand.place - tile.centre) @ tile.turned[:, 2] < 0.15 * depth[place]:
            continue
        edge = PAPER * cell * np.array([[-1, 1, 0], [1, 1, 0], [1, -1, 0], [-1, -1, 0]])
        outline = lens.pictured(stand.seen(tile.centre + edge @ tile.turned.T))
        low = np.maximum(np.floor(outline.min(axis=0)).astype(int) - 3, 0)
        high = np.minimum(np.ceil(outline.max(axis=0)).astype(int) + 4, [lens.width, lens.height])
        if np.any(high - low < 4):
            continue
        u, v = np.meshgrid(np.arange(low[0], high[0], dtype=float), np.arange(low[1], high[1], dtype=float))
        x, y = lens.rays(u, v)
        turned, centre = stand.turned @ tile.turned, stand.seen(tile.centre)
        out = turned[:, 2]
        far = (out @ centre) / (out[0] * x + out[1] * y + out[2])
        hit = np.stack([x * far, y * far, far], axis=-1) - centre
        a, b = hit @ turned[:, 0] / cell, hit @ turned[:, 1] / cell
        (a_v, a_u), (b_v, b_u) = np.gradient(a), np.gradient(b)
        near = np.maximum(np.abs(a), np.abs(b)) < PAPER + 2 * np.abs([a_u, a_v, b_u, b_v]).max()
        rough_u, rough_v = _CORNERS[0][:, None, None], _CORNERS[1][:, None, None]
        five = _on_paper(bits[tile.number], a + a_u * rough_u + a_v * rough_v, b + b_u * rough_u + b_v * rough_v)
        even = np.all(five == five[0], axis=0)
        value, share = np.where(five[0] > 0, five[0], 0.0), (five[0] > 0).astype(float)
        where = np.nonzero(near & ~even)
        du, dv = _SPREAD[0][:, None], _SPREAD[1][:, None]
        fine = _on_paper(
            bits[tile.number],
            a[where] + a_u[where] * du + a_v[where] * dv,
            b[where] + b_u[where] * du + b_v[where] * dv,
        )
        value[where], share[where] = np.where(fine > 0, fine, 0).mean(axis=0), (fine > 0).mean(axis=0)
        part = picture[low[1] : high[1], low[0] : high[0]]
        part[:] = part * (1 - share) + value
    return picture


def _on_paper(bits, a, b):
    """Light of a tile, -1 beside its paper."""
    return np.where((np.abs(a) < PAPER) & (np.abs(b) < PAPER), pattern(bits, a, b), -1.0)


def photograph(lens: Lens, stand: Stand, tiles, bits, rng, weather: Weather = Weather()) -> bytes:
    """A JPEG of the tiles from a stand; ``bits`` tells per number which of the 8 x 8 cells are white."""
    picture = light(lens, stand, tiles, bits, rng)
    if weather.glare:
        v, u = np.indices(picture.shape)
        off = ((u - weather.glare[0]) ** 2 + (v - weather.glare[1]) ** 2) / weather.glare[2] ** 2
        picture = picture + 1.5 * np.exp(-off * 2)
    for left, upper, right, lower in weather.bars:
        picture[upper:lower, left:right] = 0.1
    picture = gaussian_filter(picture, weather.blur)
    picture = picture + weather.noise * np.sqrt(np.maximum(picture, 0.02) / 0.2) * rng.normal(0, 1, picture.shape)
    picture = picture + weather.sharpen * (picture - gaussian_filter(picture, 1.2))
    toned = np.clip(picture, 0, 1) ** (1 / 2.2)
    toned = (1 - weather.curve) * toned + weather.curve * toned * toned * (3 - 2 * toned)
    out = io.BytesIO()
    Image.fromarray((toned * 255 + 0.5).astype(np.uint8)).convert("RGB").save(out, "JPEG", quality=weather.quality)
    return out.getvalue()
