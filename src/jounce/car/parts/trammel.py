"""A distance between two points, measured besides their coordinates: it tells whether they agree."""

from __future__ import annotations

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section


class Trammel(Section):
    """One distance taken with trammel or tape."""

    between: tuple[str, str] = Field(
        description='the two points, each by axle, side and pivot ("front.left.ball_joint") or by axle, section and key '
        '("rear.panhard.body_end")'
    )
    length: ranges.TrammelLength = Field(description="distance measured between them")
