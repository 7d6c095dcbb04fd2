"""The worked numbers of the theory pages are run as they stand there."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest

THEORY = Path(__file__).parents[2] / "docs" / "theory"
PAGES = (
    "torsion-bar",
    "coil",
    "coil-stack",
    "roll-bar",
    "bent-bar",
    "bump-stop",
    "damper",
    "tyre",
    "bushes",
    "loads",
    "rod-buckling",
)


@pytest.mark.parametrize("page", PAGES)
def test_worked_number(page: str):
    failed, attempted = doctest.testfile(str(THEORY / f"{page}.md"), module_relative=False, encoding="utf-8")

    assert attempted >= 2, f"{page}.md has no worked number"
    assert failed == 0
