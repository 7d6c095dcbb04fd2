"""Constants of nature by agreement."""

from __future__ import annotations

from typing import Final

GRAVITY: Final = 9.80665
"""Standard acceleration of free fall [m/s²]; source: ISO 80000-3 (exact by definition)."""
