"""Print how long a placed position takes: a batch of 2,000 beside one at a time (ratios, measured in this run)."""

from __future__ import annotations

import sys
import time

import numpy as np
from tests.demo_axles import beam_axle, strut_axle

from jounce.behaviour.motions import AxleStates, place_axle


def main() -> None:
    """Time both demo axles."""
    lines = ["axle    batch of 2000 [us a state]   one alone [us]   ratio"]
    for name, stand in (("front", strut_axle()[1]), ("rear", beam_axle()[1])):
        travel = np.linspace(-0.07, 0.07, 2000)
        place_axle(stand, name, AxleStates(left=travel, right=travel))
        start = time.perf_counter()
        place_axle(stand, name, AxleStates(left=travel, right=travel))
        batch = (time.perf_counter() - start) / len(travel)
        start = time.perf_counter()
        for one in travel[::100]:
            place_axle(stand, name, AxleStates(left=one, right=one))
        alone = (time.perf_counter() - start) / len(travel[::100])
        lines.append(f"{name:6} {batch * 1e6:20.0f} {alone * 1e6:19.0f} {alone / batch:9.1f}")
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
