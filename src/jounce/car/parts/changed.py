"""Parts that come onto a car only by a change: slots, spacers, added bars, other wheels, a rod that can be adjusted."""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.fields import QuantityField, refuse
from jounce.car.file.open_section import FreeSection
from jounce.car.file.quantity import Measured, PointEntry
from jounce.car.file.section import AnyKey, Section
from jounce.car.parts.anti_roll_bar import AntiRollBar, AntiRollBarShape
from jounce.car.parts.shared import NOTHING, check_apart, check_bore
from jounce.conventions.axes import Side
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show

ThreadEngaged = Annotated[Measured, QuantityField(Kind.LENGTH, (2, 200), (8, 80))]
Plate = Annotated[Measured, QuantityField(Kind.LENGTH, (-60, 60), (-25, 25))]
Reach = Annotated[Measured, QuantityField(Kind.LENGTH, (0, 60), (0, 30))]
Heavier = Annotated[Measured, QuantityField(Kind.MASS, (-20, 20), (-8, 8))]
Eccentricity = Annotated[Measured, QuantityField(Kind.LENGTH, (0.2, 30), (1, 12))]
SlotStep = Annotated[Measured, QuantityField(Kind.LENGTH, (0.1, 20), (0.5, 10))]
ShimThickness = Annotated[Measured, QuantityField(Kind.LENGTH, (0.05, 20), (0.1, 6))]
SpacerHeight = Annotated[Measured, QuantityField(Kind.LENGTH, (-150, 150), (-60, 60))]

_WHOLE = 2e-5  # a height this near to that of whole shims is that, as typed in thousandths of an inch [m]


class JointSlots(Section):
    """JointSlots that move a joint: of top plates, or of the upper joints; where they are put, how far they can go."""

    inward: Plate = Field(default=Measured(0.0), description="displacement towards the centre plane")
    rearward: Plate = Field(default=Measured(0.0), description="displacement to the rear (more caster)")
    reach_inward: Reach | None = Field(default=None, description="how far the slots go inward")
    reach_outward: Reach | None = Field(default=None, description="how far the slots go outward")
    reach_fore: Reach | None = Field(default=None, description="how far the slots go forward")
    reach_rear: Reach | None = Field(default=None, description="how far the slots go to the rear")
    step: SlotStep | None = Field(
        default=None,
        description="step of holes or teeth in which the part is set, from as found; anywhere if not given",
    )
    eccentricity: Eccentricity | None = Field(
        default=None,
        description="of eccentric bolts that move the joint across, in their middle as found: from a bolt's middle to its "
        "cam's",
    )

    def across(self, *, inward: bool) -> float | None:
        """How far the joint goes across: by its slots, by eccentric bolts, by the shorter of both; None where unknown [m].

        Args:
            inward: towards the middle of the car, else away from it
        """
        slot = self.reach_inward if inward else self.reach_outward
        told = [end.value for end in (slot, self.eccentricity) if end is not None]
        return min(told) if told else None


class HubShims(Section):
    """Shims between the hubs' flanges and what carries them."""

    flange: ranges.FlangeLength = Field(
        description="length of the flange from edge to edge, across which a shim's thickness counts"
    )
    thickest: ShimThickness | None = Field(default=None, description="most that may be put under one edge")
    step: ShimThickness | None = Field(default=None, description="step of the thicknesses that there are")


JointSpacerHeight = Annotated[Measured, QuantityField(Kind.LENGTH, (0.5, 100), (2, 40))]


class JointSpacer(Section):
    """A spacer that sets a joint lower."""

    height: JointSpacerHeight = Field(description="how far it sets the joint lower")


class TieRodSpacer(Section):
    """A spacer that sets the outer joint of a tie rod lower, or what is known of those that a bump steer may take."""

    height: JointSpacerHeight | None = Field(
        default=None, description="how far it sets the joint lower; as bump_steer needs if not given"
    )
    highest: JointSpacerHeight | None = Field(default=None, description="most that bump_steer may take")
    step: ShimThickness | None = Field(default=None, description="step of the heights that there are")


class RackHeight(Section):
    """A rack that is set higher or lower, by shims or slots under it, both ends alike."""

    higher: Plate | None = Field(
        default=None,
        description="how much higher than found it is set, negative for lower; as bump_steer needs if not given",
    )
    shim: ShimThickness | None = Field(
        default=None, description="thickness of the shims under it, of which a whole number goes in or comes out"
    )
    up: Reach | None = Field(default=None, description="how much higher than found bump_steer may set it")
    down: Reach | None = Field(default=None, description="how much lower than found bump_steer may set it")

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.shim is not None and self.higher is not None:
            whole = round(self.higher.value / self.shim.value) * self.shim.value
            if abs(self.higher.value - whole) > _WHOLE:
                refuse(
                    InputError(
                        "The rack's height is no whole number of its shims",
                        found=show(self.higher.value, Kind.LENGTH),
                        allowed=f"a multiple of {show(self.shim.value, Kind.LENGTH)}",
                        todo="Give the height of whole shims, or leave the shim out.",
                        place="higher",
                    )
                )
        return self


class SpringSpacer(Section):
    """A pad, spacer or block between a spring and its seat."""

    height: SpacerHeight = Field(
        description="how much higher than found it holds the body, unloaded spring alike; negative lowers the car"
    )


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


class NewAntiRollBar(_LeftHand, AntiRollBar):
    """Another anti-roll bar, or one that the axle had not."""

    link_on: str = Field(
        default="body", description="what carries the drop link's other end: a word of the axle's layout"
    )


class SecondAntiRollBar(_LeftHand, AntiRollBarShape):
    """A second anti-roll bar on the same link as the first."""

    link_end: ranges.Point | None = Field(default=None, description="far end of the link; that of the first bar")
    link_on: str | None = Field(default=None, description="what carries it; as the first bar")

    @model_validator(mode="after")
    def _check_link(self) -> Self:
        check_apart(self, ("arm_end", "link_end"))
        return self


class MovedPivots(_LeftHand, FreeSection):
    """Pivots of new arms, brackets and damper mounts of the left side, where they are with the car standing as found."""

    ENTRY = ranges.Point
    MEANING = "where this pivot of the left side is with the new part, the car as found; mirrored for the right"

    @classmethod
    def point_keys(cls) -> AnyKey:
        """Every key is a point."""
        return AnyKey()


class MovedAxlePoints(FreeSection):
    """Points of an axle as a whole, where they are with the car standing as found: brackets of a rod, a pivot."""

    ENTRY = ranges.Point
    MEANING = (
        "where this point of the axle as a whole is with the new part, by its section's name and its own "
        "(panhard_body_end); true coordinates, not mirrored"
    )

    @classmethod
    def point_keys(cls) -> AnyKey:
        """Every key is a point."""
        return AnyKey()


class MassChange(Section):
    """Something that is put into the body for good, or taken out of it."""

    at: ranges.Point = Field(description="its centre of gravity; true coordinates, y negative on the right")
    mass: ranges.MassAboard = Field(description="what it weighs; negative for what is taken out")


class MassChanges(FreeSection):
    """What is put into the body for good or taken out of it, named as you like."""

    ENTRY = MassChange
    MEANING = "something put in or taken out"


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
    heavier: Heavier | None = Field(
        default=None, description="how much heavier than before a wheel with its tyre is; negative for a lighter one"
    )


class AdjustableLink(Section):
    """An adjustable drop link of an anti-roll bar."""

    shortest: ranges.LinkLength = Field(description="shortest length between its joints")
    longest: ranges.LinkLength = Field(description="longest length between its joints")
    thread_pitch: ranges.ThreadPitch = Field(description="change of length in one turn of its adjuster")

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_lengths("link", self.shortest, self.longest)
        return self


def check_lengths(what: str, shortest: Measured, longest: Measured) -> None:
    """Refuse a rod or link whose longest length is not above its shortest.

    Args:
        what: what it is, in a word
        shortest: its shortest length
        longest: its longest

    Raises:
        InputError: they are the wrong way round
    """
    if longest.value <= shortest.value:
        refuse(
            InputError(
                f"The {what}'s longest length is not above its shortest",
                found=show(longest.value, Kind.LENGTH),
                allowed=f"more than {show(shortest.value, Kind.LENGTH)}",
                todo="Exchange the two lengths or measure again.",
                place="longest",
            )
        )


class WattBracket(Section):
    """A bracket of a Watt linkage's rocker that can be moved sideways."""

    left: Reach | None = Field(default=None, description="how far it goes to the left from as found")
    right: Reach | None = Field(default=None, description="how far it goes to the right from as found")
    step: SlotStep | None = Field(default=None, description="step of its holes; anywhere if not given")


class SetRods(Section):
    """Rods of both sides whose length is set: how far from as found, or between which lengths where new ones go in."""

    longer: Reach | None = Field(default=None, description="how much longer than found each can be made")
    shorter: Reach | None = Field(default=None, description="how much shorter than found each can be made")
    shortest: ranges.SetRodLength | None = Field(
        default=None, description="of new ones: shortest length between the joints, in place of longer and shorter"
    )
    longest: ranges.SetRodLength | None = Field(
        default=None, description="of new ones: longest length between the joints"
    )
    thread_pitch: ranges.ThreadPitch | None = Field(
        default=None, description="change of length in one turn of its adjuster; set to any length if not given"
    )

    @property
    def is_own(self) -> bool:
        """Whether it says how far the car's own rods go, and nothing of new ones."""
        return self.shortest is None and self.longest is None

    @model_validator(mode="after")
    def _check(self) -> Self:
        new = [name for name in ("shortest", "longest") if getattr(self, name) is not None]
        own = [name for name in ("longer", "shorter") if getattr(self, name) is not None]
        if new and (own or len(new) == 1):
            refuse(
                InputError(
                    "How far these rods go is not clear",
                    found=", ".join(f'"{name}"' for name in (*own, *new)),
                    allowed='"longer" and "shorter" against as found, or "shortest" and "longest" of new ones',
                    todo="Give one of the two.",
                    place=new[0],
                )
            )
        if self.shortest is not None and self.longest is not None:
            check_lengths("rod", self.shortest, self.longest)
        return self


class ToeRods(SetRods):
    """Tie rods, or other rods whose length sets the toe: what is left of their threads, or new ones."""

    thread_pitch: ranges.ThreadPitch | None = Field(
        default=None,
        description="change of length in one turn of its adjuster, by which flats of its hexagon are told; 1.5 mm if not "
        "given",
    )


class AngleLinks(SetRods):
    """A link of each side whose length sets an angle of its wheel."""

    link: str = Field(description="which link of the axle's layout, by the name of its joints")


class TrailingLinks(SetRods):
    """Trailing links or arms of a beam whose length can be set, on both sides."""

    upper_shortest: ranges.SetRodLength | None = Field(
        default=None, description="of new links where a side has two: shortest length of the upper one"
    )
    upper_longest: ranges.SetRodLength | None = Field(
        default=None, description="of new links where a side has two: longest length of the upper one"
    )

    @model_validator(mode="after")
    def _check_upper(self) -> Self:
        if self.upper_shortest is not None and self.upper_longest is not None:
            check_lengths("upper link", self.upper_shortest, self.upper_longest)
        return self


class Shackles(Section):
    """Shackles of leaf springs that are made, or set by holes, to another length: against those found, or by the length."""

    longer: Reach | None = Field(default=None, description="how much longer than found each can be")
    shorter: Reach | None = Field(default=None, description="how much shorter than found each can be")
    step: SlotStep | None = Field(default=None, description="step of their holes; any length if not given")
    shortest: ranges.ShackleLength | None = Field(
        default=None, description="shortest length between its two bolts; in a job in place of longer and shorter"
    )
    longest: ranges.ShackleLength | None = Field(
        default=None, description="longest length between its two bolts; the shortest again where it has but one"
    )

    @property
    def by_length(self) -> bool:
        """Whether its own length is told, not what it differs by from those found."""
        return self.shortest is not None

    @model_validator(mode="after")
    def _check(self) -> Self:
        if (self.shortest is None) != (self.longest is None):
            key = "longest" if self.longest is None else "shortest"
            todo = "Give shortest and longest; both alike where it has one length."
            refuse(InputError("The shackle's length is told by half", todo=todo, place=key))
        if self.shortest is None or self.longest is None:
            return self
        if self.longer is not None or self.shorter is not None:
            refuse(
                InputError(
                    "The shackle's length is told twice",
                    found="its own length, and what it differs by from those found",
                    todo="Give shortest and longest, or longer and shorter.",
                    place="longer" if self.longer is not None else "shorter",
                )
            )
        if self.longest.value != self.shortest.value:
            check_lengths("shackle", self.shortest, self.longest)
        return self


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
        check_lengths("rod", self.shortest, self.longest)
        return self
