"""What is compiled: kept on disk under the name of its contents, and not loaded by who does not need it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from jounce.elements.tyres import shared_slip
from jounce.linkage.kernel import warm_up
from jounce.numerics import compiled
from jounce.numerics.compiled import in_runs
from jounce.search.kernels.rolling import roll_states


def test_help_does_not_load_the_compiler():
    code = "import sys, jounce.cli.app; sys.exit('numba' in sys.modules)"

    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0  # noqa: S603


NOTHING_COMPILED = """
import numpy as np
from numba.core import event
from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.linkage.kernel import warm_up
from tests.linkage.linkages import strut_with_variants

with event.install_recorder("numba:compile") as recorder:
    warm_up()
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
found = sorted({str(e.data["dispatcher"].py_func.__name__) for _, e in recorder.buffer})
assert not found, found
"""


def test_after_the_warm_up_nothing_is_compiled_any_more():
    """Whatever the linkage, its variants and imaginary parts: they are all of the types that were compiled."""
    warm_up()
    run = subprocess.run([sys.executable, "-c", NOTHING_COMPILED], check=False, capture_output=True, text=True)  # noqa: S603

    assert run.returncode == 0, run.stderr


def test_what_is_kept_goes_by_the_contents_of_the_room(tmp_path):
    (tmp_path / "one.py").write_text("1")
    before = compiled._folder(tmp_path)
    compiled._folder.cache_clear()
    (tmp_path / "one.py").write_text("2")

    assert compiled._folder(tmp_path) != before


def test_kept_code_is_not_used_when_a_room_that_it_calls_has_changed(tmp_path):
    """The search's kernels call those of tyres: these count among what their code was made of."""
    called = compiled._called(roll_states.py_func)
    (tmp_path / "called.py").write_text("one = 1")
    before = compiled._folder(tmp_path / "own", (tmp_path,))
    compiled._folder.cache_clear()
    (tmp_path / "called.py").write_text("one = 2")

    assert Path(shared_slip.__file__).parent in called
    assert compiled._folder(tmp_path / "own", (tmp_path,)) != before


def test_a_folder_that_cannot_be_written_is_no_hindrance(monkeypatch):
    def doubled(number: float) -> float:
        return 2 * number

    monkeypatch.setattr(compiled, "_folder", lambda *_: Path("/dev/null/nowhere"))

    assert compiled.compiled(doubled)(3.0) == 6.0


@pytest.mark.parametrize("states", [0, 1, 127, 128, 5000])
def test_runs_cover_every_state_once(states):
    seen = np.zeros(states, dtype=int)

    def run(first: int, last: int) -> None:
        seen[first:last] += 1

    in_runs(states, run)

    assert np.all(seen == 1)


def test_a_failure_in_another_run_is_not_lost():
    def run(first: int, last: int) -> None:  # noqa: ARG001
        if first:
            raise ArithmeticError("told")

    compiled_runs = compiled.os.cpu_count() or 1
    if compiled_runs > 1:
        with pytest.raises(ArithmeticError, match="told"):
            in_runs(1000, run)
