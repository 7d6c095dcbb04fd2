"""Which axle."""

from __future__ import annotations

from enum import Enum


class AxleChoice(str, Enum):
    """Which axle."""

    front = "front"
    rear = "rear"
