"""A pointer in the corner of a car: a board of four tiles on a stick, swung in a mark and set to points without tiles."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.spatial.transform import Rotation

from jounce.photographs.seen import SeenPhoto
from jounce.photographs.survey import KnownLength, PointerStand, Survey
from tests.photographs.rendering import Lens, Stand, Stuck, facing, looking
from tests.photographs.scene import RULER, Corner, corner, telephone
from tests.photographs.shop import pictured

TIP = np.array([0.012, -0.26, -0.018])  # on the board: right, up, out
MARK_AT = np.array([0.05, 1.0, 0.0])
TOUCHED = {"front.pivots.arm_front": np.array([0.25, 0.5, 0.3]), "front.pivots.arm_rear": np.array([-0.3, 0.55, 0.35])}
OUTWARDS = facing((0.0, 1.0, 0.35))
SWINGS = [(0, 0, 0), (32, 0, 20), (-30, 5, -25), (4, 30, 10), (-5, -28, -10), (20, 20, 35)]
NUMBERS = (100, 101, 102, 103)


def swung(degrees, most=1.0):
    """Turning of the board that is leaned about its own x and z and turned round its stick."""
    x, z, y = most * np.array(degrees, float)
    return OUTWARDS @ Rotation.from_euler("zxy", [z, x, y], degrees=True).as_matrix()


def board(turned, tip_at, side=0.04, tip=TIP, bent=None):
    """The four tiles of the board whose tip is at a place: in two rows, 1.6 sides apart."""
    half = 0.8 * side
    told = []
    for number, (right, up) in zip(NUMBERS, [(-half, half), (half, half), (-half, -half), (half, -half)], strict=True):
        centre = tip_at + turned @ (np.array([right, up, 0.0]) - tip)
        told.append(Stuck(number, side, turned, centre, np.zeros((4, 3)) if bent is None else bent[number]))
    return told


@dataclass(frozen=True)
class Pointed:
    """Stands of the pointer with what is true of them, and cameras for each."""

    scene: Corner
    survey: Survey
    boards: list[list[Stuck]]
    cameras: list[list[Stand]]

    def photos(self):
        """Name, camera and tiles of each photograph."""
        for place, (stand, cameras) in enumerate(zip(self.survey.pointer, self.cameras, strict=True)):
            for name, camera in zip(stand.photos, cameras, strict=True):
                yield name, camera, (*self.scene.tiles, *self.boards[place])


def pointing(scene=None, swings=SWINGS, most=1.0, each=2, side=0.04, bent=None, seed=4) -> Pointed:
    """The pointer swung in its mark, then set to two points, ``each`` photographs of each stand from different sides."""
    rng = np.random.default_rng(seed)
    scene = scene or corner()
    places = [("mark", MARK_AT)] * len(swings) + list(TOUCHED.items())
    turns = [swung(one, most) for one in swings] + [swung((8, -6, 12)), swung((-10, 9, -15))]
    boards, cameras, stands = [], [], []
    for number, ((point, tip_at), turned) in enumerate(zip(places, turns, strict=True)):
        boards.append(board(turned, tip_at, side, bent=bent))
        here = []
        for k in range(each):
            turn = np.radians(-25 + 50 * k / max(each - 1, 1) + 8 * rng.normal())
            place = np.array([1.5 * np.sin(turn), 0.6 + 1.5 * np.cos(turn), (0.7, 1.2)[(number + k) % 2]])
            here.append(looking(place, (0, 0.7, 0.3), np.pi / 2 if (number + k) % 3 == 2 else 0.0))
        cameras.append(here)
        names = tuple(f"photo {number * each + k + 1}" for k in range(each))
        stands.append(PointerStand(names, point, "left", 0.05e-3))
    sides = {one.number: one.side for one in scene.tiles} | dict.fromkeys(NUMBERS, side)
    survey = Survey((KnownLength(RULER, scene.ruler, 0.15e-3),), (), (), tuple(range(6, 16)), 0, sides, tuple(stands))
    return Pointed(scene, survey, boards, cameras)


def seen(given: Pointed, lens: Lens | None = None, noise=0.05, seed=1) -> list[SeenPhoto]:
    """What the photographs show, not rendered: true corners and a little noise."""
    rng = np.random.default_rng(seed)
    lens = lens or telephone()
    told = []
    for name, camera, tiles in given.photos():
        shown = {one.number: pictured(one, camera, lens) for one in tiles}
        shown = {one: where + noise * rng.normal(size=(4, 2)) for one, where in shown.items() if where is not None}
        told.append(SeenPhoto(name, tuple(shown), np.array([*shown.values()]), (lens.width, lens.height), 26.0, 0, 1.0))
    return told


def without_swings(survey: Survey, keep) -> Survey:
    """Some of the swings, all of the touches; photographs of the others show the pointer being moved."""
    marks = [one for one in survey.pointer if one.point == "mark"][:keep]
    return replace(survey, pointer=(*marks, *(one for one in survey.pointer if one.point != "mark")))
