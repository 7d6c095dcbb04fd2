"""Anything else that a job needs: bolts, boots, brackets, fluids."""

from __future__ import annotations

from typing import ClassVar

from jounce.shelf.part import Part

__all__ = ["SmallPart"]


class SmallPart(Part):
    """A part without a dimension that has to fit."""

    KIND: ClassVar[str] = "small_part"
    TITLE: ClassVar[str] = "small part"
