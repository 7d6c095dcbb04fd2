"""What all tests share: Hypothesis repeats itself and keeps no clock, whether the machine is busy or idle."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("gate", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("gate")
