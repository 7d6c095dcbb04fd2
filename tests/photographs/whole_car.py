"""The front of a demo car with tiles on both sides, and a walk round it: its pivots are known from its file."""

from __future__ import annotations

from importlib.resources import files

import numpy as np

from jounce.car.file.inputs import all_inputs
from jounce.car.file.reading import parse_car
from jounce.photographs.seen import SeenPhoto
from jounce.photographs.survey import KnownLength, Survey, TiledPivot
from tests.photographs.rendering import Stuck, facing, looking
from tests.photographs.scene import telephone
from tests.photographs.shop import pictured

TEXT = files("jounce.demo").joinpath("brisk-14.toml").read_text("utf-8")
CAR = parse_car(TEXT, "brisk-14.toml")
POINTS = ("wheel_centre", "ball_joint", "strut_foot", "tie_rod_outer")
FLOOR = tuple(range(10, 22))
OVER, BEHIND = 0.008, 0.03
SIGNS = {"left": np.ones(3), "right": np.array([1.0, -1.0, 1.0])}


def true_place(point):
    refs = {one.path: one.value for one in all_inputs(CAR)}
    return np.array([refs[f"front.pivots.{point}.{name}"] for name in "xyz"])


def tiles(seed=2):
    """Control tiles on both sills, the bumper and the floor; pivot tiles on four points of each side."""
    rng = np.random.default_rng(seed)
    told = []
    for number in range(4):
        side = 1 if number < 2 else -1
        told.append(
            Stuck(number, 0.06, facing((0, side, 0.1)), np.array([-0.5 - 0.4 * (number % 2), 0.75 * side, 0.25]))
        )
    for number in range(4, 10):
        place = np.array([0.55, -0.6 + 0.24 * (number - 4), 0.45 + 0.1 * rng.random()])
        told.append(Stuck(number, 0.06, facing((1, 0.3 * (number - 6.5), 0.1)), place))
    for number in FLOOR:
        turn = np.radians(-110 + 20 * (number - 10))
        place = np.array([1.15 * np.cos(turn), 1.25 * np.sin(turn), OVER])
        told.append(Stuck(number, 0.06, facing((0, 0, 1), (-np.cos(turn), -np.sin(turn), 0)), place))
    pivots = []
    for number, (side, point) in enumerate([(side, point) for side in SIGNS for point in POINTS], start=60):
        out = facing(SIGNS[side] * [0.3 * rng.normal(), 1, 0.2 * rng.normal()])
        told.append(Stuck(number, 0.04, out, true_place(point) * SIGNS[side] + BEHIND * out[:, 2]))
        pivots.append(TiledPivot(number, f"front.pivots.{point}", side, BEHIND, 0.3e-3))
    rule = KnownLength((4, 9), float(np.linalg.norm(told[4].centre - told[9].centre)), 0.15e-3)
    return told, Survey((rule,), tuple(pivots), (), FLOOR, OVER)


def walked_round(photos=24, seed=1):
    """Photographs from the left sill round the bumper to the right one, and what was stuck where."""
    rng = np.random.default_rng(seed)
    lens, (stuck, survey) = telephone(), tiles()
    shots = []
    for number in range(photos):
        turn = np.radians(-115 + 230 * number / (photos - 1))
        place = np.array([2.0 * np.cos(turn), 2.1 * np.sin(turn), (0.5, 1.2)[number % 2]])
        stand = looking(place, (0.35 * np.cos(turn), 0.45 * np.sin(turn), 0.25), (np.pi / 2 if number % 3 == 2 else 0))
        seen = {one.number: pictured(one, stand, lens) for one in stuck}
        seen = {one: where + rng.normal(0, 0.08, (4, 2)) for one, where in seen.items() if where is not None}
        shots.append(SeenPhoto(f"{number}.jpg", tuple(seen), np.array([*seen.values()]), (4000, 3000), 26.0, 0, 1.0))
    return shots, survey
