"""Limits of drive shafts, and room for the wheel to move."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section

FullLockAt = Literal["inner front", "inner rear", "strut"]
"""Where a steered tyre comes nearest: to the body ahead or behind, or to what stands beside it and steers with it."""


class DriveShaft(Section):
    """Limits of one drive shaft."""

    max_angle: ranges.JointAngle | None = Field(default=None, description="largest angle of the outer joint")
    inner_max_angle: ranges.JointAngle | None = Field(default=None, description="largest angle of the inner joint")
    plunge_in: ranges.Plunge | None = Field(default=None, description="travel left in the inner joint, shaft moving in")
    plunge_out: ranges.Plunge | None = Field(
        default=None, description="travel left in the inner joint, shaft moving out"
    )


class Clearance(Section):
    """Room for the wheel to move, as found."""

    tyre_to_arch: ranges.Clearance | None = Field(default=None, description="way up until the tyre meets the arch")
    brake_hose_droop: ranges.Clearance | None = Field(
        default=None, description="way of the wheel down at which the brake hose is tight"
    )
    full_lock_gap: ranges.Clearance | None = Field(
        default=None, description="least gap between tyre and body, arm or strut over both full locks, as found"
    )
    full_lock_at: FullLockAt | None = Field(
        default=None, description="where that gap is: the tyre's inner front or inner rear, or at the strut"
    )
