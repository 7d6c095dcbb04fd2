"""Importing the library: nothing heavy until something is asked for; what it shows is what it has."""

from __future__ import annotations

import subprocess
import sys

import pytest

import jounce
import jounce.library

HEAVY = {"matplotlib", "numba", "numpy", "pydantic", "rich", "scipy", "sqlalchemy", "starlette", "tomlkit", "typer"}


def loaded_after(statement):
    code = f"{statement}\nimport sys; print(*sorted(name for name in sys.modules if '.' not in name))"
    return set(subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split())  # noqa: S603


def test_importing_it_loads_no_library():
    assert loaded_after("import jounce") & HEAVY == set()


def test_reading_a_car_loads_no_page_no_sheet_no_book_and_no_terminal():
    some = loaded_after("import jounce; jounce.read_car")

    assert {"numba", "numpy", "pydantic"} <= some
    assert some & (HEAVY - {"numba", "numpy", "pydantic", "scipy", "tomlkit"}) == set()


def test_every_name_that_it_shows_is_there():
    assert dir(jounce) == sorted(jounce.__all__)
    assert set(jounce.library.__all__) < set(jounce.__all__)
    assert [name for name in jounce.__all__ if not getattr(jounce, name).__doc__] == []


def test_a_name_that_is_none_is_refused_as_of_every_module():
    with pytest.raises(AttributeError, match="has no attribute 'read_boat'"):
        jounce.read_boat  # noqa: B018


def test_a_job_on_the_screen_loads_no_sheet_no_book_and_no_page():
    some = loaded_after("import jounce.cli.job")

    assert {"numba", "numpy", "pydantic", "typer"} <= some
    assert some & (HEAVY - {"numba", "numpy", "pydantic", "scipy", "tomlkit", "typer"}) == set()
