"""Five photographs rendered once for all tests of a run."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from jounce.photographs.intake import arrived
from jounce.photographs.seen import SeenPhoto, seen_in
from tests.photographs.rendering import Lens, Stand, Weather, photograph
from tests.photographs.scene import BITS, Corner, corner, telephone, walk


@dataclass(frozen=True)
class Rendered:
    """Photographs with their truth."""

    scene: Corner
    stands: list[Stand]
    lens: Lens
    files: list[bytes]
    seen: list[SeenPhoto]

    def true(self, photo: SeenPhoto, stand: Stand):
        """Where the corners of a photograph's tiles truly are, shape (tiles, 4, 2) [px]."""
        return np.array([self.lens.pictured(stand.seen(self.scene.tile(one).corners)) for one in photo.numbers])

    @property
    def off(self):
        """How far each found corner is off, and the side of its tile, shapes (corners, 2) and (corners,) [px]."""
        off = [one.corners - self.true(one, stand) for one, stand in zip(self.seen, self.stands, strict=True)]
        sides = [np.repeat(one.sides, 4) for one in self.seen]
        return np.concatenate(off).reshape(-1, 2), np.concatenate(sides)


def rendered(scene, stands, lens, weathers, seed=4) -> Rendered:
    """Photographs of a scene, one from each stand."""
    rng = np.random.default_rng(seed)
    files = [photograph(lens, stand, scene.tiles, BITS, rng, one) for stand, one in zip(stands, weathers, strict=True)]
    seen = [
        replace(seen_in(arrived(data, f"photo {number}.jpg")), as_on_film=26.0)
        for number, data in enumerate(files, start=1)
    ]
    return Rendered(scene, stands, lens, files, seen)


@pytest.fixture(scope="session")
def five() -> Rendered:
    """Five photographs of 1600 x 1200; the third through an S-curve, the fourth with glare and a bar before the lens."""
    weathers = [
        Weather(),
        Weather(),
        Weather(curve=1.0),
        Weather(glare=(900, 500, 60), bars=((300, 0, 340, 1200),)),
        Weather(),
    ]
    return rendered(corner(0.09, 0.075), walk(5), telephone(1600), weathers)
