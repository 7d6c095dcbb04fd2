"""The job document: what is wanted of a car and which parts are exchanged."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.fields import QuantityField, refuse
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.file.toe import toe_as_angle
from jounce.car.parts import (
    BumpStopSection,
    Damper,
    InnerBar,
    LeafSpring,
    Perch,
    Spring,
    TorsionBarSection,
)
from jounce.car.parts.changed import (
    AdjustableLink,
    AdjustableRod,
    AngleLinks,
    HubShims,
    JointSlots,
    JointSpacer,
    MassChanges,
    MovedAxlePoints,
    MovedPivots,
    NewAntiRollBar,
    RackHeight,
    SecondAntiRollBar,
    SetRods,
    Shackles,
    SpringSpacer,
    TieRodSpacer,
    ToeRods,
    TrailingLinks,
    WattBracket,
    WheelChange,
)
from jounce.conventions.axes import End
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind
from jounce.job.goal_sections import Goals
from jounce.job.shelf_codes import ShelfCodes
from jounce.layouts.adjusters import Aim

__all__ = [
    "ANGLES",
    "SET_ALONE",
    "AdjustableLink",
    "AdjustableRod",
    "AngleLinks",
    "AxleChange",
    "Change",
    "HubShims",
    "JobDocument",
    "JobIdentity",
    "JointSlots",
    "JointSpacer",
    "MassChanges",
    "MovedAxlePoints",
    "MovedPivots",
    "NewAntiRollBar",
    "RackHeight",
    "SecondAntiRollBar",
    "SetRods",
    "Shackles",
    "SpringSpacer",
    "TieRodSpacer",
    "ToeRods",
    "TrailingLinks",
    "WantedAxle",
    "WantedCar",
    "WattBracket",
    "WheelAngle",
    "WheelChange",
]

Lowering = Annotated[Measured, QuantityField(Kind.LENGTH, (-150, 150), (0, 60))]
Share = Annotated[Measured, QuantityField(Kind.SHARE, (45, 55), (48, 52))]
Caster = Annotated[Measured, QuantityField(Kind.ANGLE, (-10, 14), (0, 9))]
BumpSteer = Annotated[Measured, QuantityField(Kind.RATIO_ANGLE, (-0.1, 0.1), (-0.02, 0.02))]
Thrust = Annotated[Measured, QuantityField(Kind.ANGLE, (-3, 3), (-0.3, 0.3))]

WheelAngle = Literal["camber", "caster", "toe"]
ANGLES: tuple[WheelAngle, ...] = ("camber", "caster", "toe")
"""What may be wanted of a wheel."""
_HEIGHTS = ("lower", "height", "left_height", "right_height")


def _keys(angle: WheelAngle) -> tuple[str, str, str]:
    """Keys by which an angle is wanted: of both wheels, of the left one, of the right one."""
    return angle, f"left_{angle}", f"right_{angle}"


class JobIdentity(Section):
    """Which job it is."""

    name: str = Field(min_length=1, description="what the job is called")
    car: str = Field(min_length=1, description="car file, from the folder of the job file")
    number: str = Field(default="", description="number of the job in the shop's books")
    customer: str = Field(default="", description="whose car it is")
    date: datetime.date | None = Field(default=None, description="day of the plan")
    revision: str = Field(default="1", description="revision of the plan")
    note: str = Field(default="", description="anything else")


class WantedAxle(Section):
    """Where an axle shall stand, lower than as found or at a height over the wheels; its alignment, where that is set."""

    lower: Lowering | None = Field(default=None, description="how much lower both wheels' arches are to stand")
    height: ranges.ArchHeight | None = Field(default=None, description="wheel centre to arch, both sides")
    left_height: ranges.ArchHeight | None = Field(default=None, description="wheel centre to arch, left")
    right_height: ranges.ArchHeight | None = Field(default=None, description="wheel centre to arch, right")

    camber: ranges.Camber | None = Field(default=None, description="camber wanted at both wheels")
    left_camber: ranges.Camber | None = Field(default=None, description="camber wanted at the left wheel")
    right_camber: ranges.Camber | None = Field(default=None, description="camber wanted at the right wheel")
    caster: Caster | None = Field(
        default=None,
        description="caster wanted at both wheels, by what moves the upper joint, or a link; as it comes if not given",
    )
    left_caster: Caster | None = Field(default=None, description="caster wanted at the left wheel")
    right_caster: Caster | None = Field(default=None, description="caster wanted at the right wheel")
    toe: ranges.Toe | None = Field(
        default=None, description="toe wanted at each wheel; positive for toe-in; a length needs toe_diameter"
    )
    left_toe: ranges.Toe | None = Field(default=None, description="toe wanted at the left wheel")
    right_toe: ranges.Toe | None = Field(default=None, description="toe wanted at the right wheel")
    toe_diameter: ranges.ToeDiameter | None = Field(default=None, description="diameter across which toe is measured")

    thrust: Thrust | None = Field(
        default=None,
        description="where a beam axle is to point by its trailing links, + to the left; straight ahead if not given",
    )

    bump_steer: BumpSteer | None = Field(
        default=None,
        description="change of toe per bump wanted where the car stands, mean of both wheels, + toe-in, by the height of "
        "the rack or of the tie rods' outer joints",
    )

    free_bars: Literal["left", "right"] | None = Field(
        default=None, description="side whose drop links are set so that anti-roll bars are free where the car stands"
    )

    @model_validator(mode="before")
    @classmethod
    def _toe_as_length(cls, written: Any) -> Any:
        return toe_as_angle(written, ("toe", "left_toe", "right_toe"))

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
        problems = [self._unclear(angle) for angle in ANGLES if not self._is_clear(angle)]
        if problems:
            refuse(*problems)
        return self

    def _is_clear(self, angle: WheelAngle) -> bool:
        """Whether an angle is wanted of both wheels alike, of each for itself, or not at all."""
        common, left, right = (getattr(self, name) is not None for name in _keys(angle))
        return left == right and not (common and left)

    def _unclear(self, angle: WheelAngle) -> InputError:
        return InputError(
            f"The wanted {angle} is not clear",
            allowed=f'"{angle}", or "left_{angle}" with "right_{angle}"',
            found=", ".join(f'"{name}"' for name in _keys(angle) if getattr(self, name) is not None),
            todo="Give one of the two.",
        )

    def of_wheel(self, angle: WheelAngle, side: str) -> Measured | None:
        """An angle that is wanted of a wheel; None where it is left.

        Args:
            angle: camber, caster or toe
            side: "left" or "right"

        Returns:
            The angle as it was given [rad].
        """
        own: Measured | None = getattr(self, f"{side}_{angle}")
        common: Measured | None = getattr(self, angle)
        return own or common


class WantedCar(Section):
    """What is asked of the car."""

    cross_weight: Share | None = Field(
        default=None, description="share of the weight on front right and rear left; as found where not given"
    )
    front: WantedAxle = Field(default=WantedAxle(), description="front axle")
    rear: WantedAxle = Field(default=WantedAxle(), description="rear axle")

    def of(self, end: str) -> WantedAxle:
        """What is asked of one axle.

        Args:
            end: "front" or "rear"
        """
        return self.front if end == End.FRONT else self.rear


SET_ALONE = (
    "top_plate",
    "upper_joint",
    "shims",
    "drop_link",
    "watt_bracket",
    "trailing_links",
    "toe_rod",
    "camber_link",
    "caster_link",
)
"""Parts of an axle that are set and not exchanged: a change list says how far they go."""


class AxleChange(Section):
    """Parts exchanged on an axle, both sides alike; points are those of the left side."""

    torsion_bar: TorsionBarSection | None = Field(default=None, description="new torsion bars")
    spring: Spring | None = Field(default=None, description="new coil springs")
    leaf: LeafSpring | None = Field(default=None, description="new leaf springs")
    perch: Perch | None = Field(default=None, description="threaded perches")
    spacer: SpringSpacer | None = Field(default=None, description="pads, spacers or blocks at the springs' seats")
    shackle: Shackles | None = Field(default=None, description="shackles of leaf springs of another length")
    damper: Damper | None = Field(default=None, description="new dampers")
    bump_stop: BumpStopSection | None = Field(default=None, description="new bump stops")
    ball_joint_spacer: JointSpacer | None = Field(
        default=None, description="spacers that set the lower ball joints of struts lower"
    )
    rack: RackHeight | None = Field(default=None, description="the rack set higher or lower, both ends alike")
    tie_rod_spacer: TieRodSpacer | None = Field(
        default=None, description="spacers that set the outer joints of the tie rods lower"
    )
    top_plate: JointSlots | None = Field(default=None, description="top plates with slots")
    upper_joint: JointSlots | None = Field(
        default=None,
        description="upper joints of wishbones in slots, or moved by eccentric bolts or shims at the arm: by how much",
    )
    camber_link: AngleLinks | None = Field(default=None, description="links whose lengths set camber")
    caster_link: AngleLinks | None = Field(default=None, description="links whose lengths set caster")
    toe_rod: ToeRods | None = Field(
        default=None, description="tie rods or toe links: how much thread they have left, theirs or that of new ones"
    )
    shims: HubShims | None = Field(default=None, description="shims under the hubs' flanges")
    roll_bar: NewAntiRollBar | None = Field(default=None, description="another anti-roll bar, or an added one")
    roll_bar_2: SecondAntiRollBar | None = Field(default=None, description="a second anti-roll bar on the same link")
    drop_link: AdjustableLink | None = Field(default=None, description="adjustable drop links of the anti-roll bars")
    watt_bracket: WattBracket | None = Field(
        default=None, description="a bracket of the Watt linkage's rocker that can be moved sideways"
    )
    panhard: AdjustableRod | None = Field(default=None, description="an adjustable Panhard rod")
    trailing_links: TrailingLinks | None = Field(
        default=None, description="trailing links or arms of a beam whose length can be set"
    )
    inner_bar: InnerBar | None = Field(default=None, description="another bar inside the tube")
    wheel: WheelChange | None = Field(default=None, description="other wheels")
    pivots: MovedPivots | None = Field(
        default=None, description="pivots of new arms, brackets and damper mounts; of the left side, mirrored"
    )
    axle_pivots: MovedAxlePoints | None = Field(
        default=None, description="points of the axle as a whole that are elsewhere with new brackets; true coordinates"
    )

    def parts(self) -> Iterator[tuple[str, Section]]:
        """The parts that are exchanged, by their keys."""
        yield from ((key, part) for key, part in self if part is not None)

    @property
    def slots(self) -> JointSlots | None:
        """What moves the upper joints, where it is exchanged."""
        return self.top_plate or self.upper_joint

    @property
    def links(self) -> Mapping[Aim, AngleLinks]:
        """Links whose lengths set an angle, by the angle."""
        both: tuple[tuple[Aim, AngleLinks | None], ...] = (("caster", self.caster_link), ("camber", self.camber_link))
        return {aim: link for aim, link in both if link is not None}

    @property
    def same_spring(self) -> bool:
        """Whether its coils or leaves stay, so that they are known as they sit."""
        return self.spring is None and self.leaf is None

    @property
    def spacer_height(self) -> float:
        """Height of what is put between spring and seat, 0 where nothing is [m]."""
        return 0.0 if self.spacer is None else self.spacer.height.value


class Change(Section):
    """Parts exchanged."""

    front: AxleChange = Field(default=AxleChange(), description="front axle")
    rear: AxleChange = Field(default=AxleChange(), description="rear axle")
    mass: MassChanges = Field(
        default=MassChanges(), description="what is put into the body for good or taken out of it, by name"
    )

    def of(self, end: str) -> AxleChange:
        """The parts of one axle.

        Args:
            end: "front" or "rear"
        """
        return self.front if end == End.FRONT else self.rear


class JobDocument(Section):
    """A job: identity, wishes, parts; goals by which parts are searched, and the parts' codes on the shelf."""

    job: JobIdentity = Field(description="which job it is")
    wanted: WantedCar = Field(default=WantedCar(), description="what is asked of the car")
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
