"""How exact pivots are by number of photographs and size of the tiles: the table of the page on photographs.

Run as ``python -m tests.photographs.accuracy``; it prints the rows that the page has. The errors of a shop are put on the
true places of the corners, six draws of seven pivots for each entry, then as many of
the pointer; a tile under 24 pixels is taken for not found.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jounce.photographs.pivots import found_pivots
from jounce.photographs.pointer import pointed, touched_pivots
from jounce.photographs.solving import netted
from tests.photographs.pointing import TOUCHED, pointing, seen
from tests.photographs.scene import corner, telephone, walk
from tests.photographs.shop import Errors, walked
from tests.photographs.test_solving import errors_of, root_mean_square

SIZES = ((0.060, 0.040), (0.040, 0.030), (0.030, 0.020), (0.020, 0.015))
PHOTOS = (6, 12, 20)
DRAWS = 6
SMALLEST = 24  # px
SITS = (0.3e-3, 0.1e-3)  # m: how well the tip sits on a point, and in its mark


def entry(photos, sizes) -> str:
    """Root mean square in space and 95 % of one axis [mm], and how often the stated 95 % holds."""
    scene, every, stated = corner(*sizes), [], []
    for seed in range(DRAWS):
        given = walked(scene, walk(photos), telephone(), Errors(), seed)
        shots = []
        for one in given.photos:
            kept = one.sides >= SMALLEST
            shots.append(replace(one, numbers=tuple(np.array(one.numbers)[kept].tolist()), corners=one.corners[kept]))
        net = netted(shots, given.survey)
        off, deviation = errors_of(net, found_pivots(net, given.survey), scene, given.true)
        every.append(off)
        stated.append(deviation)
    off, deviation = np.concatenate(every), np.concatenate(stated)
    holds = np.mean(np.abs(off) <= 1.96 * deviation)
    return f"{1e3 * root_mean_square(off):.2f} / {1e3 * np.quantile(np.abs(off), 0.95):.2f} / {100 * holds:.0f} %"


def pointer_entry(each) -> str:
    """The same for two points that the pointer touches: six swings, ``each`` photographs of each stand."""
    every, stated, errors = [], [], Errors()
    for seed in range(DRAWS):
        rng = np.random.default_rng(seed)
        bent = {
            number: np.column_stack([rng.normal(0, errors.print_, (4, 2)), rng.normal(0, errors.paper, 4)])
            for number in range(104)
        }
        plain = corner(0.06)
        scene = replace(plain, tiles=tuple(replace(one, bent=bent[one.number]) for one in plain.tiles))
        given = pointing(scene, each=each, bent=bent)
        sits = [SITS[one.point == "mark"] * rng.normal(size=3) for one in given.survey.pointer]
        boards = [
            [replace(one, centre=one.centre + off) for one in mine]
            for mine, off in zip(given.boards, sits, strict=True)
        ]
        stands = tuple(replace(one, deviation=SITS[one.point == "mark"]) for one in given.survey.pointer)
        survey = replace(given.survey, pointer=stands)
        net = netted(seen(replace(given, boards=boards), seed=seed), survey)
        true = {f"left {point}": place for point, place in TOUCHED.items()}
        off, deviation = errors_of(net, touched_pivots(net, pointed(net, survey)), scene, true)
        every.append(off)
        stated.append(deviation)
    off, deviation = np.concatenate(every), np.concatenate(stated)
    holds = np.mean(np.abs(off) <= 1.96 * deviation)
    return f"{1e3 * root_mean_square(off):.2f} / {1e3 * np.quantile(np.abs(off), 0.95):.2f} / {100 * holds:.0f} %"


if __name__ == "__main__":
    for each in (2, 3):
        print(f"the pointer, {each} photographs of each stand:", pointer_entry(each), flush=True)  # noqa: T201
    print("| tiles |", " | ".join(f"{photos} photographs" for photos in PHOTOS), "|")  # noqa: T201
    print("| --- |" + " --- |" * len(PHOTOS))  # noqa: T201
    for sizes in SIZES:
        row = [entry(photos, sizes) for photos in PHOTOS]
        print(f"| {1e3 * sizes[0]:.0f} / {1e3 * sizes[1]:.0f} mm |", " | ".join(row), "|", flush=True)  # noqa: T201
