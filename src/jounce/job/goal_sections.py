"""What a customer wants of the finished car, as the job file tells it: a window, a weight, a reason for each number."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from jounce.car.file.section import Section
from jounce.conventions.units import Kind
from jounce.job.goal_window import Window, WindowField

__all__ = ["GoalSection", "Goals"]

Weight = Annotated[float, Field(ge=0, le=100)]


class GoalSection(Section):
    """One goal; each number has its own form of window."""

    window: Window = Field(description="least and most wanted")
    weight: Weight = Field(default=1.0, description="how much a miss counts beside the other goals; 0 for no goal")
    reason: str = Field(default="", description="why it is wanted, as the customer says it")


class FrequencyGoal(GoalSection):
    """A frequency."""

    window: Annotated[Window, WindowField(Kind.FREQUENCY, (0.3, 6))] = Field(description="least and most wanted")


class RatioGoal(GoalSection):
    """A ratio."""

    window: Annotated[Window, WindowField(Kind.RATIO, (0.3, 3))] = Field(description="least and most wanted")


class RollGoal(GoalSection):
    """Roll for lateral acceleration."""

    window: Annotated[Window, WindowField(Kind.ANGLE_PER_ACCELERATION, (0, 20))] = Field(
        description="least and most wanted"
    )


class ShareGoal(GoalSection):
    """A share."""

    window: Annotated[Window, WindowField(Kind.SHARE, (0, 100))] = Field(description="least and most wanted")


class AccelerationGoal(GoalSection):
    """An acceleration."""

    window: Annotated[Window, WindowField(Kind.ACCELERATION, (0, 3))] = Field(description="least and most wanted")


class TravelGoal(GoalSection):
    """A travel of the wheels."""

    window: Annotated[Window, WindowField(Kind.LENGTH, (0, 300))] = Field(description="least and most wanted")


class Goals(Section):
    """Goals of the package search by the number that they are about; the usual ones hold where none is given."""

    front_frequency: FrequencyGoal | None = Field(default=None, description="front ride frequency")
    rear_frequency: FrequencyGoal | None = Field(default=None, description="rear ride frequency")
    frequency_ratio: RatioGoal | None = Field(default=None, description="rear over front frequency")
    roll_gradient: RollGoal | None = Field(default=None, description="roll of the body for lateral acceleration")
    front_share: ShareGoal | None = Field(default=None, description="front share of load transfer at 0.6 g")
    rear_lift: AccelerationGoal | None = Field(
        default=None, description="lateral acceleration at which the inside rear wheel lifts"
    )
    front_bump: TravelGoal | None = Field(default=None, description="front bump travel to the end")
    rear_bump: TravelGoal | None = Field(default=None, description="rear bump travel to the end")
    front_free: TravelGoal | None = Field(default=None, description="front travel to the rubber")
    rear_free: TravelGoal | None = Field(default=None, description="rear travel to the rubber")
