"""How exact pivots are by number of photographs and size of the tiles: the table of the page on photographs.

Run as ``python -m tests.photographs.accuracy``; it prints the rows that the page has. The errors of a shop are put on the
true places of the corners, three draws of seven pivots for each entry; a tile under 24 pixels is taken for not found.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jounce.photographs.pivots import found_pivots
from jounce.photographs.solving import netted
from tests.photographs.scene import corner, telephone, walk
from tests.photographs.shop import Errors, walked
from tests.photographs.test_solving import errors_of, root_mean_square

SIZES = ((0.060, 0.040), (0.040, 0.030), (0.030, 0.020), (0.020, 0.015))
PHOTOS = (6, 12, 20)
DRAWS = 3
SMALLEST = 24  # px


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


if __name__ == "__main__":
    print("| tiles |", " | ".join(f"{photos} photographs" for photos in PHOTOS), "|")  # noqa: T201
    print("| --- |" + " --- |" * len(PHOTOS))  # noqa: T201
    for sizes in SIZES:
        row = [entry(photos, sizes) for photos in PHOTOS]
        print(f"| {1e3 * sizes[0]:.0f} / {1e3 * sizes[1]:.0f} mm |", " | ".join(row), "|", flush=True)  # noqa: T201
