"""What an adjustment knows and seeks: tiles as they were seen, and the state of camera, photographs and tiles."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from jounce.numerics.arrays import Array, BoolArray, IntArray
from jounce.numerics.rotations import rotation_matrix
from jounce.photographs.tiles import flat_corners

__all__ = ["GLOBAL", "PER_PHOTO", "PER_TILE", "NetState", "Ruler", "Views"]

GLOBAL = 10  # lens (8), printer's scale along x and y
PER_PHOTO = 12  # turning 3, shift 3, edge spread, focal share, centre 2, rows' shear 2
PER_TILE = 18  # turning 3, centre 3, each corner's own deviation 4 x 3


@dataclass(frozen=True, slots=True)
class Ruler:
    """A known distance between the centres of two tiles.

    Attributes:
        tiles: places of the two among the tiles
        length: [m]
        deviation: one standard deviation [m]

    """

    tiles: tuple[int, int]
    length: float
    deviation: float


@dataclass(frozen=True)
class Views:
    """Every tile in every photograph.

    Attributes:
        photo: place of the photograph among them, shape (views,)
        tile: place of the tile among the tiles, shape (views,)
        corners: where its corners are seen, on the sensor; not a number where one is not, shape (views, 4, 2) [px]
        sides: side of each tile's tag, shape (tiles,) [m]
        size: width and height of the sensor [px]

    """

    photo: IntArray
    tile: IntArray
    corners: Array
    sides: Array
    size: tuple[int, int]

    @property
    def photos(self) -> int:
        """How many photographs there are."""
        return int(self.photo.max()) + 1 if len(self.photo) else 0

    @cached_property
    def rows(self) -> Array:
        """How far down the sensor each corner lies, from -0.5 to 0.5, shape (views, 4) [-]."""
        return np.asarray(np.nan_to_num(self.corners[..., 1]) / self.size[1] - 0.5)

    @cached_property
    def spread(self) -> Array:
        """How a corner moves where both its edges move outwards by one, shape (views, 4, 2) [-]."""
        seen = np.where(np.isfinite(self.corners), self.corners, np.nanmean(self.corners, axis=1, keepdims=True))
        after = np.roll(seen, -1, axis=1) - seen
        along = after / np.maximum(np.linalg.norm(after, axis=-1, keepdims=True), 1e-9)
        out = np.stack([along[..., 1], -along[..., 0]], axis=-1)
        both = np.stack([np.roll(out, 1, axis=1), out], axis=-2)
        flat = np.abs(np.linalg.det(both)) < 0.05
        both[flat] = np.eye(2)
        moved = np.linalg.solve(both, np.ones((*both.shape[:-1], 1)))[..., 0]
        return np.where(flat[..., None], 0.0, moved)

    def kept(self, which: BoolArray) -> Views:
        """Some of the views.

        Args:
            which: shape (views,)
        """
        return replace(self, photo=self.photo[which], tile=self.tile[which], corners=self.corners[which])


@dataclass(frozen=True, slots=True)
class NetState:
    """Where everything stands.

    Attributes:
        lens: focal length, centre [px], k1, k2, p1, p2, k3 [-], shape (8,)
        print_scale: what the printer made of x and y, shape (2,) [-]
        turned: of each photograph, shape (photos, 3, 3) [-]
        shift: of each photograph, shape (photos, 3) [m]
        own: of each photograph: edge spread [px], focal share [-], centre [px], rows' shear [px], shape (photos, 6)
        tile_turned: of each tile, its axes as columns, shape (tiles, 3, 3) [-]
        tile_centre: shape (tiles, 3) [m]
        deviation: of each tile's corners, in its own axes, shape (tiles, 4, 3) [m]

    """

    lens: Array
    print_scale: Array
    turned: Array
    shift: Array
    own: Array
    tile_turned: Array
    tile_centre: Array
    deviation: Array

    @property
    def unknowns(self) -> int:
        """How many numbers are sought."""
        return GLOBAL + PER_PHOTO * len(self.shift) + PER_TILE * len(self.tile_centre)

    def moved(self, step: Array) -> NetState:
        """The state after a step; turnings are put on from the left.

        Args:
            step: global, photographs, tiles, shape (unknowns,) [px, m, rad or -]
        """
        photos = GLOBAL + PER_PHOTO * len(self.shift)
        by_photo = step[GLOBAL:photos].reshape(-1, PER_PHOTO)
        by_tile = step[photos:].reshape(-1, PER_TILE)
        return NetState(
            self.lens + step[:8],
            self.print_scale + step[8:10],
            rotation_matrix(by_photo[:, :3]) @ self.turned,
            self.shift + by_photo[:, 3:6],
            self.own + by_photo[:, 6:],
            rotation_matrix(by_tile[:, :3]) @ self.tile_turned,
            self.tile_centre + by_tile[:, 3:6],
            self.deviation + by_tile[:, 6:].reshape(-1, 4, 3),
        )

    def stretched(self, share: float) -> NetState:
        """The state with every length so many times as large, the printer's scale among them; no photograph changes.

        Args:
            share: new over old [-]
        """
        return replace(
            self,
            print_scale=self.print_scale * share,
            shift=self.shift * share,
            tile_centre=self.tile_centre * share,
            deviation=self.deviation * share,
        )

    def flat(self, sides: Array) -> Array:
        """Corners of each tile in its own frame as printed, shape (tiles, 4, 3) [m].

        Args:
            sides: side of each tile's tag, shape (tiles,) [m]
        """
        scale = np.array([*self.print_scale, 1.0])
        return np.asarray(flat_corners(1.0) * sides[:, None, None] * scale)

    def corners(self, sides: Array) -> Array:
        """Corners of each tile in the scene, shape (tiles, 4, 3) [m].

        Args:
            sides: side of each tile's tag, shape (tiles,) [m]
        """
        own = self.flat(sides) + self.deviation
        return np.asarray(np.einsum("tij,tcj->tci", self.tile_turned, own) + self.tile_centre[:, None])
