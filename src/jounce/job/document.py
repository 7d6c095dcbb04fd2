"""The job document: what is wanted of a car and which parts are exchanged."""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from jounce.car import ranges
from jounce.car.fields import Quantity, refuse
from jounce.car.parts import (
    BumpStop,
    Damper,
    InnerBar,
    Perch,
    RollBar,
    Spring,
    TorsionBar,
)
from jounce.car.parts.roll_bar import RollBarShape
from jounce.car.parts.shared import NOTHING, check_apart, check_bore
from jounce.car.quantity import Measured, PointEntry
from jounce.car.section import Section
from jounce.car.toe import toe_as_angle
from jounce.conventions.axes import Side
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.job.goal_sections import Goals
from jounce.job.shelf_codes import ShelfCodes

__all__ = [
    "AdjustableRod",
    "Change",
    "FrontChange",
    "FrontRollBar",
    "JobDocument",
    "JobIdentity",
    "RearChange",
    "RearRollBar",
    "SecondRollBar",
    "TopPlate",
    "Wanted",
    "WantedAxle",
    "WantedFront",
    "WheelChange",
]

Lowering = Annotated[Measured, Quantity(Kind.LENGTH, (-150, 150), (0, 60))]
Share = Annotated[Measured, Quantity(Kind.SHARE, (45, 55), (48, 52))]
Caster = Annotated[Measured, Quantity(Kind.ANGLE, (-3, 14), (0, 9))]
ThreadEngaged = Annotated[Measured, Quantity(Kind.LENGTH, (2, 200), (8, 80))]
Plate = Annotated[Measured, Quantity(Kind.LENGTH, (-60, 60), (-25, 25))]
Reach = Annotated[Measured, Quantity(Kind.LENGTH, (0, 60), (0, 30))]

_HEIGHTS = ("lower", "height", "left_height", "right_height")


class JobIdentity(Section):
    """Which job it is."""

    name: str = Field(min_length=1, description="what the job is called")
    car: str = Field(min_length=1, description="car file, from the folder of the job file")
    customer: str = Field(default="", description="whose car it is")
    date: datetime.date | None = Field(default=None, description="day of the plan")
    revision: str = Field(default="1", description="revision of the plan")
    note: str = Field(default="", description="anything else")


class WantedAxle(Section):
    """Where an axle shall stand: lower than as found, or at a height over the wheels."""

    lower: Lowering | None = Field(default=None, description="how much lower both wheels' arches shall stand")
    height: ranges.ArchHeight | None = Field(default=None, description="wheel centre to arch, both sides")
    left_height: ranges.ArchHeight | None = Field(default=None, description="wheel centre to arch, left")
    right_height: ranges.ArchHeight | None = Field(default=None, description="wheel centre to arch, right")

    @model_validator(mode="after")
    def _check(self) -> Self:
        both = self.left_height is not None and self.right_height is not None
        one = (self.left_height is None) != (self.right_height is None)
        given = sum((self.lower is not None, self.height is not None, both))
        if one or given > 1:
            refuse(
                InputError(
                    "The wanted height is not clear",
                    allowed='"lower", or "height", or "left_height" with "right_height"',
                    found=", ".join(f'"{name}"' for name in _HEIGHTS if getattr(self, name) is not None),
                    todo="Give one of the three.",
                )
            )
        return self


class WantedFront(WantedAxle):
    """The front axle: height and alignment."""

    camber: ranges.Camber | None = Field(default=None, description="camber wanted at both wheels")
    caster: Caster | None = Field(
        default=None,
        description="caster wanted at both wheels, by the top plates fore and aft; as it comes if not given",
    )
    toe: ranges.Toe | None = Field(
        default=None, description="toe wanted at each wheel; positive for toe-in; a length needs toe_diameter"
    )
    toe_diameter: ranges.ToeDiameter | None = Field(default=None, description="diameter across which toe is measured")

    @model_validator(mode="before")
    @classmethod
    def _toe_as_length(cls, written: Any) -> Any:
        return toe_as_angle(written)


class Wanted(Section):
    """What is asked of the car."""

    cross_weight: Share | None = Field(
        default=None, description="share of the weight on front right and rear left; as found where not given"
    )
    front: WantedFront = Field(default=WantedFront(), description="front axle")
    rear: WantedAxle = Field(default=WantedAxle(), description="rear axle")


class TopPlate(Section):
    """Top plates with slots: where they are put, and how far they can go."""

    inward: Plate = Field(default=Measured(0.0), description="displacement towards the centre plane")
    rearward: Plate = Field(default=Measured(0.0), description="displacement to the rear (more caster)")
    reach_inward: Reach | None = Field(default=None, description="how far the slots go inward")
    reach_outward: Reach | None = Field(default=None, description="how far the slots go outward")
    reach_fore: Reach | None = Field(default=None, description="how far the slots go forward")
    reach_rear: Reach | None = Field(default=None, description="how far the slots go to the rear")


class _LeftHand(Section):
    """A section whose points are written for the left and mirrored for the right."""

    @model_validator(mode="before")
    @classmethod
    def _points_of_the_left(cls, written: Any) -> Any:
        if not isinstance(written, dict):
            return written
        points = cls.point_keys()
        return {
            key: PointEntry(entry, Side.LEFT, from_left=True) if key in points else entry
            for key, entry in written.items()
        }


class FrontRollBar(_LeftHand, RollBar):
    """An anti-roll bar in front: its links end on arm or strut."""

    link_on: Literal["arm", "strut"] = Field(description="what carries the drop link's other end")


class RearRollBar(_LeftHand, RollBar):
    """An added anti-roll bar behind: carried by the tube, its links up to the body."""

    link_on: Literal["body"] = Field(default="body", description="what carries the drop link's other end")


class SecondRollBar(_LeftHand, RollBarShape):
    """A second anti-roll bar on the same link as the first."""

    link_end: ranges.Point | None = Field(default=None, description="far end of the link; that of the first bar")
    link_on: Literal["arm", "strut"] | None = Field(default=None, description="what carries it; as the first bar")

    @model_validator(mode="after")
    def _check_link(self) -> Self:
        check_apart(self, ("arm_end", "link_end"))
        return self


class WheelChange(Section):
    """Other wheels: keys that are given replace the car's."""

    tyre: str | None = Field(default=None, description="size and make-up of the tyre")
    loaded_radius: ranges.LoadedRadius | None = Field(default=None, description="loaded radius of the new tyre")
    tyre_rate: ranges.TyreRate | None = Field(default=None, description="vertical rate of the new tyre")
    rim_diameter: ranges.RimDiameter | None = Field(default=None, description="nominal diameter of the new rim")
    offset: ranges.WheelOffset | None = Field(
        default=None,
        description="offset of the new wheel; where the car's is known too, the wheel moves out by old - new",
    )
    tyre_width: ranges.TyreWidth | None = Field(default=None, description="width of the new tyre")


class AdjustableRod(Section):
    """An adjustable Panhard rod."""

    shortest: ranges.RodLength = Field(description="shortest length between its joints")
    longest: ranges.RodLength = Field(description="longest length between its joints")
    thread_pitch: ranges.ThreadPitch = Field(description="change of length in one turn of its adjuster")
    diameter: ranges.RodDiameter | None = Field(default=None, description="outer diameter of the rod")
    inner_diameter: ranges.InnerDiameter = Field(
        default=NOTHING, description="bore of a tubular rod; 0 for a solid one"
    )
    thread_diameter: ranges.BoltSize | None = Field(default=None, description="diameter of the thread in its ends")
    thread_engaged: ThreadEngaged | None = Field(
        default=None, description="length of thread that is screwed in at the shortest length, of one end"
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.diameter is not None:
            check_bore(self.diameter, self.inner_diameter)
        if self.longest.value <= self.shortest.value:
            refuse(
                InputError(
                    "The rod's longest length is not above its shortest",
                    found=show(self.longest.value, Kind.LENGTH),
                    allowed=f"more than {show(self.shortest.value, Kind.LENGTH)}",
                    todo="Exchange the two lengths or measure again.",
                    place="longest",
                )
            )
        return self


class FrontChange(Section):
    """Parts exchanged in front, both sides alike; points are those of the left side."""

    torsion_bar: TorsionBar | None = Field(default=None, description="new torsion bars")
    damper: Damper | None = Field(default=None, description="new dampers")
    bump_stop: BumpStop | None = Field(default=None, description="new bump stops")
    top_plate: TopPlate | None = Field(default=None, description="top plates with slots")
    roll_bar: FrontRollBar | None = Field(default=None, description="another anti-roll bar")
    roll_bar_2: SecondRollBar | None = Field(default=None, description="a second anti-roll bar on the same link")
    wheel: WheelChange | None = Field(default=None, description="other wheels")


class RearChange(Section):
    """Parts exchanged behind, both sides alike; points are those of the left side."""

    spring: Spring | None = Field(default=None, description="new coil springs")
    perch: Perch | None = Field(default=None, description="threaded perches")
    damper: Damper | None = Field(default=None, description="new dampers")
    bump_stop: BumpStop | None = Field(default=None, description="new bump stops")
    panhard: AdjustableRod | None = Field(default=None, description="an adjustable Panhard rod")
    inner_bar: InnerBar | None = Field(default=None, description="another bar inside the tube")
    roll_bar: RearRollBar | None = Field(default=None, description="an added anti-roll bar carried by the tube")
    wheel: WheelChange | None = Field(default=None, description="other wheels")


class Change(Section):
    """Parts exchanged."""

    front: FrontChange = Field(default=FrontChange(), description="front axle")
    rear: RearChange = Field(default=RearChange(), description="rear axle")


class JobDocument(Section):
    """A job: identity, wishes, parts; goals by which parts are searched, and the parts' codes on the shelf."""

    job: JobIdentity = Field(description="which job it is")
    wanted: Wanted = Field(default=Wanted(), description="what is asked of the car")
    change: Change = Field(default=Change(), description="parts exchanged")
    goals: Goals = Field(default=Goals(), description="windows, weights and reasons for the package search")
    shelf: ShelfCodes = Field(default=ShelfCodes(), description="codes of the change list's parts on the shop's shelf")

    @model_validator(mode="after")
    def _codes_have_parts(self) -> Self:
        problems = [
            InputError(
                "This code has no part in the change list",
                found=f'"{code}"',
                todo=f"Give the part under [change.{axle}.{key}], or leave the code out.",
                place=f"shelf.{axle}.{key}",
            )
            for axle, key, code in self.shelf.named()
            if self.part(axle, key) is None
        ]
        if problems:
            refuse(*problems)
        return self

    def part(self, axle: str, key: str) -> Section | None:
        """A part of the change list; None where there is none.

        Args:
            axle: "front" or "rear"
            key: its key there; "helper" for the helper or tender spring of the rear coils
        """
        change = getattr(self.change, axle)
        if key != "helper":
            found = getattr(change, key)
        else:
            found = change.spring and (change.spring.helper or change.spring.tender)
        return found if isinstance(found, Section) else None
