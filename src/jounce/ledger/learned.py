"""What a shop's ledger has made of the bands of planned cars, in one sentence for wherever such bands stand."""

from __future__ import annotations

from collections.abc import Mapping

from jounce.conventions.units import Kind, show

__all__ = ["learned_words"]


def learned_words(widened: Mapping[str, float]) -> str:
    """A sentence on what the ledger has made of the bands; empty where it has nothing to say.

    Args:
        widened: by what bands are multiplied, by quantity [-]

    >>> learned_words({"wheel_rate": 1.25})[-20:]
    ' wheel rate × 1.250.'
    """
    if not widened:
        return ""
    told = ", ".join(f"{name.replace('_', ' ')} × {show(by, Kind.RATIO)}" for name, by in sorted(widened.items()))
    return (
        "± of the planned car are multiplied by what the shop found when it measured finished cars, where it found "
        f"anything: {told}."
    )
