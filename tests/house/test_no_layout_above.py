"""Above `layouts` and `car` no room knows one layout from another: what a car has is asked of its layout."""

from __future__ import annotations

from pathlib import Path

import pytest

from jounce.layouts.catalogue import LAYOUTS

SOURCE = Path(__file__).resolve().parents[2] / "src" / "jounce"
BELOW = {"layouts", "car", "linkage", "elements", "numerics", "conventions", "demo"}
FILES = sorted(path for path in SOURCE.rglob("*.py") if path.relative_to(SOURCE).parts[0] not in BELOW)
OF_ONE = (
    *LAYOUTS,
    *("".join(word.capitalize() for word in name.split("-")) + "Axle" for name in LAYOUTS),
    "layout.startswith",
    "layout ==",
    "layout !=",
)


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_no_room_above_names_a_layout(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert [word for word in OF_ONE if word in text] == []
