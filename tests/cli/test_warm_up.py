"""What setting up compiles is all that any room compiles."""

from __future__ import annotations

import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.cli.warm_up import warm_up

DEMO = Path(str(files("jounce.demo")))
NOTHING_COMPILED = """
import sys
import numpy as np
from numba.core import event
from typer.testing import CliRunner
from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.cli.app import commands
from jounce.search import workers
from tests.linkage.linkages import strut_with_variants

car, job, shelf = sys.argv[1:]
workers.processors = lambda: 1  # the search works in this process, where compiling is seen
with event.install_recorder("numba:compile") as recorder:
    for pivot, places in (
        ("ball_joint", [(5, 655, 190)]),
        ("ball_joint", [(5, 655, 190), (5, 655, 195)]),
        ("arm_front", [(110, 330, 215), (110, 330, 220)]),
        ("arm_front", [(110, 330 + 1e-30j, 215)]),
    ):
        stand = strut_with_variants(pivot, places)
        placed = place_axle(stand, "front", AxleStates(left=0.02))
        line = stand.taken(tuple(stand.measures)).linearised(placed.pose)
        wheel_motions(placed, "front").second(line)
        line.hessian(line.value)
    stand = strut_with_variants("ball_joint", [(5, 655, 190)])
    place_axle(stand, "front", AxleStates(left=np.linspace(0.0, 0.02, 500), right=np.linspace(0.02, 0.0, 500)))
    for words in (
        ("ride", car, "--over", "pothole"),
        ("search", job, "--shelf", shelf, "--place", "inner bar", "--place", "rear dampers", "--why", "IB-22"),
    ):
        done = CliRunner().invoke(commands, words)
        assert done.exit_code == 0, done.output
found = sorted({str(e.data["dispatcher"].py_func.__name__) for _, e in recorder.buffer})
assert not found, found
"""


@pytest.mark.validation_long
def test_after_the_warm_up_nothing_is_compiled_any_more():
    """Whatever the linkage, its variants and imaginary parts, the drive and the search: all of the types compiled."""
    warm_up()
    named = (str(DEMO / name) for name in ("brisk-14.toml", "brisk-14-lower.toml", "shelf.toml"))
    run = subprocess.run([sys.executable, "-c", NOTHING_COMPILED, *named], check=False, capture_output=True, text=True)  # noqa: S603

    assert run.returncode == 0, run.stderr
