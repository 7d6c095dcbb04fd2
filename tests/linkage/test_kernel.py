"""What is compiled: kept on disk under the name of its contents, and not loaded by who does not need it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from jounce.elements.tyres import shared_slip
from jounce.numerics import compiled
from jounce.numerics.compiled import in_runs
from jounce.search.kernels.rolling import roll_states


def test_help_does_not_load_the_compiler():
    code = "import sys, jounce.cli.app; sys.exit('numba' in sys.modules)"

    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0  # noqa: S603


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
