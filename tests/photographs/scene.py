"""A corner of a car with tiles on it, 1.5 m wide, and a walk round it with a telephone."""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np

from tests.photographs.rendering import Lens, Stand, Stuck, facing, looking

FAMILY = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
BITS = {number: FAMILY.generateImageMarker(number, 8) > 0 for number in range(104)}
PIVOTS = (60, 61, 62, 63, 64, 65, 66)
RULER = (0, 5)
MIDDLE = np.array([0.0, 0.6, 0.3])


@dataclass(frozen=True)
class Corner:
    """Tiles, and how far behind its paper each pivot lies [m]."""

    tiles: tuple[Stuck, ...]
    behind: dict[int, float]

    def tile(self, number) -> Stuck:
        return next(one for one in self.tiles if one.number == number)

    def pivot(self, number):
        one = self.tile(number)
        return one.centre - self.behind[number] * one.turned[:, 2]

    @property
    def ruler(self) -> float:
        return float(np.linalg.norm(self.tile(RULER[0]).centre - self.tile(RULER[1]).centre))

    def without(self, *numbers) -> Corner:
        return replace(self, tiles=tuple(one for one in self.tiles if one.number not in numbers))


def corner(control=0.04, pivots=0.03, seed=3) -> Corner:
    """Six tiles on the sill, ten on the floor, five on wing and wheel, seven on pivots; a pair a metre apart."""
    rng = np.random.default_rng(seed)
    tiles = []
    for number, x in enumerate(np.linspace(-0.6, 0.6, 6)):
        out = (0.15 * rng.normal(), 1, 0.1 * rng.normal())
        tiles.append(Stuck(number, control, facing(out), np.array([x, 0.7 + 0.02 * rng.normal(), 0.22])))
    for number in range(6, 16):
        x, y = -0.65 + 0.32 * ((number - 6) % 5), 0.85 + 0.22 * ((number - 6) // 5)
        out = (0.02 * rng.normal(), 0.05, 1)
        tiles.append(Stuck(number, control, facing(out, (0, -1.0, 0)), np.array([x, y, 0.01 * rng.random()])))
    for number, (x, z) in zip(
        range(16, 21), ((-0.3, 0.75), (0.3, 0.75), (0.0, 0.85), (-0.5, 0.6), (0.5, 0.6)), strict=True
    ):
        out = (0.3 * rng.normal(), 1, 0.3 * rng.normal())
        tiles.append(Stuck(number, control, facing(out), np.array([x, 0.72 + 0.05 * rng.random(), z])))
    behind = {}
    for number, x in zip(PIVOTS, np.linspace(-0.42, 0.42, 7), strict=True):
        out = (0.4 * rng.normal(), 1, 0.3 * rng.normal())
        place = np.array([x, 0.45 + 0.15 * rng.random(), 0.38 + 0.14 * rng.random()])
        tiles.append(Stuck(number, pivots, facing(out), place))
        behind[number] = 0.02 + 0.02 * rng.random()
    return Corner(tuple(tiles), behind)


def walk(photos=20, distance=1.45, seed=5) -> list[Stand]:
    """Round the corner at two heights, each third photograph with the telephone on edge."""
    rng = np.random.default_rng(seed)
    stands = []
    for number in range(photos):
        turn = np.radians(-55 + 110 * number / max(photos - 1, 1))
        far = distance * (1 + 0.1 * rng.normal())
        high = (0.35, 0.95)[number % 2] + 0.05 * rng.normal()
        place = MIDDLE + np.array([far * np.sin(turn), far * np.cos(turn), high])
        roll = (np.pi / 2 if number % 3 == 2 else 0.0) + 0.05 * rng.normal()
        stands.append(looking(place, MIDDLE + 0.05 * rng.normal(size=3), roll))
    return stands


def telephone(pixels=4000) -> Lens:
    """A lens of 26 mm, as on film, that bends a little."""
    focal = 3004.6 * pixels / 4000
    return Lens(focal, pixels, pixels * 3 // 4, (pixels * 0.5018, pixels * 0.372), 0.05, 0.012)
