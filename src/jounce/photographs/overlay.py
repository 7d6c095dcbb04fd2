"""The model laid over a photograph: where its points come to lie by the camera that was found, and the picture of it."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from importlib.util import find_spec
from itertools import pairwise

import numpy as np

from jounce.numerics.arrays import Array
from jounce.photographs.camera import bent
from jounce.photographs.net import NetState
from jounce.photographs.seen import on_sensor
from jounce.photographs.vision import needed

_HAS_PILLOW = find_spec("PIL") is not None
if _HAS_PILLOW:
    from PIL import Image, ImageDraw, ImageFont

__all__ = ["Laid", "in_photo", "laid_over", "small_picture"]

_WIDEST_RAY = 1.1  # beyond it no telephone sees, and a lens' polynomial means nothing
_NEAREST = 0.05  # m before the camera
_STEPS = 24  # pieces of a line, so that one that leaves the picture is drawn as far as it is in it
_LONGEST = 1400  # px of the picture that is shown
_SMALL = 480  # px of a small one
_LINE, _RING, _TILE, _EDGE = (0, 92, 170), (196, 60, 0), (0, 150, 60), (255, 255, 255)


@dataclass(frozen=True, slots=True)
class Laid:
    """What is laid over a photograph.

    Attributes:
        lines: of the model, each through its points, in the axes of the net, shapes (points, 3) [m]
        rings: round points that were photographed, in the axes of the net, shape (rings, 3) [m]
        words: beside each ring
        outlines: round each tile, where the photographs put its tag, in the axes of the net, shape (tiles, 4, 3) [m]
        stems: from the middle of a tile to the pivot behind it, in the axes of the net, shape (stems, 2, 3) [m]

    """

    lines: Sequence[Array]
    rings: Array
    words: Sequence[str]
    outlines: Array = field(default_factory=lambda: np.zeros((0, 4, 3)))
    stems: Array = field(default_factory=lambda: np.zeros((0, 2, 3)))


def in_photo(state: NetState, place: int, size: tuple[int, int], turns: int, points: Array) -> Array:
    """Where points come to lie in an upright photograph; not a number where the camera does not see, shape (n, 2) [px].

    Args:
        state: where everything stands
        place: of the photograph among them
        size: width and height of the sensor [px]
        turns: how often the photograph was turned a quarter to the right to stand upright [-]
        points: in the axes of the net, shape (n, 3) [m]
    """
    seen = points @ state.turned[place].T + state.shift[place]
    depth = np.where(seen[:, 2] > _NEAREST, seen[:, 2], np.nan)
    rays = seen[:, :2] / depth[:, None]
    rays = np.where(np.hypot(rays[:, 0], rays[:, 1])[:, None] < _WIDEST_RAY, rays, np.nan)
    own = state.own[place]
    flat = state.lens[0] * (1 + own[1]) * bent(rays, state.lens[3:]) + state.lens[1:3] + own[2:4]
    told = flat + own[4:6] * (flat[:, 1:] / size[1] - 0.5)
    return on_sensor(told, size, -turns)


def laid_over(photo: bytes, laid: Laid, state: NetState, place: int, size: tuple[int, int], turns: int) -> bytes:
    """A photograph with the model's lines and rings over it, as JPEG of at most 1400 px.

    Args:
        photo: upright, as it was kept
        laid: what is laid over it
        state: where everything stands
        place: of the photograph among those of the state
        size: width and height of the sensor by which the state was found; the picture may be larger or smaller [px]
        turns: how often it was turned a quarter to the right to stand upright [-]

    Raises:
        Impossible: the extra is not installed
    """
    needed()
    with Image.open(io.BytesIO(photo)) as opened:
        picture = opened.convert("RGB")
    picture.thumbnail((_LONGEST, _LONGEST))
    scale = picture.width / size[turns % 2]
    pen = ImageDraw.Draw(picture)
    thick = max(2, round(picture.width / 350))

    def draw(lines: Sequence[Array], colour: tuple[int, int, int], width: int) -> None:
        ways = [scale * in_photo(state, place, size, turns, _finely(line)) for line in lines]
        for shade, wide in ((_EDGE, width + 2), (colour, width)):
            for way in ways:
                for start, end in pairwise(way):
                    if np.isfinite([start, end]).all():
                        pen.line([*start.tolist(), *end.tolist()], fill=shade, width=wide)

    draw([np.concatenate([one, one[:1]]) for one in laid.outlines], _TILE, max(1, thick // 2))
    draw(laid.lines, _LINE, thick)
    draw(list(laid.stems), _RING, max(1, thick // 2))
    font = ImageFont.load_default(size=max(14, picture.width // 55))
    radius = 4 * thick
    rings = scale * in_photo(state, place, size, turns, laid.rings.reshape(-1, 3))
    for (u, v), word in zip(rings.tolist(), laid.words, strict=True):
        if np.isfinite([u, v]).all():
            box = (u - radius, v - radius, u + radius, v + radius)
            pen.ellipse(box, outline=_EDGE, width=thick + 2)
            pen.ellipse(box, outline=_RING, width=thick)
            pen.text((u + radius + 3, v - radius), word, fill=_RING, font=font, stroke_width=2, stroke_fill=_EDGE)
    return _as_jpeg(picture)


def small_picture(photo: bytes) -> bytes:
    """A photograph made small for a list, as JPEG.

    Args:
        photo: as it was kept

    Raises:
        Impossible: the extra is not installed
    """
    needed()
    with Image.open(io.BytesIO(photo)) as opened:
        opened.draft("RGB", (_SMALL, _SMALL))
        picture = opened.convert("RGB")
    picture.thumbnail((_SMALL, _SMALL))
    return _as_jpeg(picture)


def _finely(line: Array) -> Array:
    """A line through points, in small pieces, shape (n, 3) [m]."""
    share = np.linspace(0, 1, _STEPS, endpoint=False)[:, None]
    pieces = [a + share * (b - a) for a, b in pairwise(line)]
    return np.concatenate([*pieces, line[-1:]])


def _as_jpeg(picture: Image.Image) -> bytes:
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=85)
    return out.getvalue()
