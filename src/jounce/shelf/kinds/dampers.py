"""Dampers, the bump stops on their rods, the plates at a strut's top."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section
from jounce.car.parts import BumpStopSection, Damper
from jounce.car.parts.changed import JointSlots, Reach
from jounce.shelf.part import Needed, Part, Words, known_as

__all__ = ["BumpStopPart", "DamperPart", "TopPlatePart"]

Clicks = Annotated[int, Field(ge=0, le=200)]


class DamperPart(Part):
    """A damper: a strut, whose body is held by the knuckle, or a plain one between two eyes or studs."""

    KIND: ClassVar[str] = "damper"
    TITLE: ClassVar[str] = "damper"
    MECHANICS: ClassVar[type[Section] | None] = Damper
    CARRIED: ClassVar[tuple[str, ...]] = ("closed_length", "open_length", "gas_force", "curve")
    NEEDED: ClassVar[Needed] = (("closed_length",), ("open_length",), ("curve",))

    form: Literal["strut", "plain"] = Field(description="whether it is a strut that locates the knuckle, or plain")
    closed_length: ranges.DamperLength | None = known_as(Damper, "closed_length")
    open_length: ranges.DamperLength | None = known_as(Damper, "open_length")
    gas_force: ranges.GasForce | None = known_as(Damper, "gas_force")
    curve: ranges.DamperCurve | None = Field(
        default=None, description="rows of rod speed, bump force, rebound force, at the middle of the clicks"
    )
    click_count: Clicks | None = Field(default=None, description="clicks of the adjuster; 0 for none")
    upper: Literal["stud", "eye"] | None = Field(default=None, description="upper end")
    upper_size: ranges.BoltSize | None = Field(default=None, description="thread of the upper stud, or bore of the eye")
    lower: Literal["stud", "eye"] | None = Field(default=None, description="lower end; a strut has none")
    lower_size: ranges.BoltSize | None = Field(default=None, description="thread of the lower stud, or bore of the eye")
    body_diameter: ranges.DamperBody | None = Field(default=None, description="outer diameter of the body")
    rod_diameter: ranges.RodBore | None = Field(default=None, description="diameter of the rod")

    @property
    def mechanics(self) -> Section | None:
        """The damper; whatever of it is not known is left out."""
        return Damper.model_validate(self.as_written)

    @property
    def fitting(self) -> Needed:
        """Ends and body; of a strut the upper end and the body."""
        lower: Needed = () if self.form == "strut" else (("lower",), ("lower_size",))
        return (("upper",), ("upper_size",), *lower, ("body_diameter",))


class BumpStopPart(Part):
    """A bump stop on a damper's rod."""

    KIND: ClassVar[str] = "bump_stop"
    TITLE: ClassVar[str] = "bump stop"
    MECHANICS: ClassVar[type[Section] | None] = BumpStopSection
    CARRIED: ClassVar[tuple[str, ...]] = ("free_height", "curve", "solid")
    NEEDED: ClassVar[Needed] = (("curve",), ("free_height",))
    FITTING: ClassVar[Needed] = (("bore",),)

    free_height: ranges.StopHeight | None = Field(default=None, description="height of the rubber without load")
    curve: ranges.StopCurve | None = known_as(BumpStopSection, "curve")
    solid: ranges.StopHeight | None = known_as(BumpStopSection, "solid")
    material: Words = Field(default="", description="form and material, as text")
    bore: ranges.RodBore | None = Field(default=None, description="bore, through which the damper's rod goes")


class TopPlatePart(Part):
    """A plate with slots at a strut's top."""

    KIND: ClassVar[str] = "top_plate"
    TITLE: ClassVar[str] = "top plate"
    MECHANICS: ClassVar[type[Section] | None] = JointSlots
    CARRIED: ClassVar[tuple[str, ...]] = ("reach_inward", "reach_outward", "reach_fore", "reach_rear")
    NEEDED: ClassVar[Needed] = (("reach_inward",), ("reach_outward",))
    FITTING: ClassVar[Needed] = (("studs",), ("stud_circle",), ("rod_bore",))

    reach_inward: Reach | None = known_as(JointSlots, "reach_inward")
    reach_outward: Reach | None = known_as(JointSlots, "reach_outward")
    reach_fore: Reach | None = known_as(JointSlots, "reach_fore")
    reach_rear: Reach | None = known_as(JointSlots, "reach_rear")
    studs: ranges.BoltCount | None = Field(default=None, description="number of studs that hold it")
    stud_circle: ranges.StudCircle | None = Field(default=None, description="diameter of the circle through its studs")
    rod_bore: ranges.RodBore | None = Field(default=None, description="bore of its bearing for the damper's stud")
