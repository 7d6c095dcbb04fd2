"""What a car file holds: all that is known of one car as it was measured, with how well it is known."""

from __future__ import annotations

import datetime as dt
from itertools import product
from typing import TYPE_CHECKING, Annotated, Self, Union

from pydantic import Field, model_validator

from jounce.car.axles.axle import Axle
from jounce.car.axles.beam_panhard import BeamPanhardAxle
from jounce.car.axles.layout_sections import axle_of_layout
from jounce.car.axles.linkage_sections import LinkageAxle
from jounce.car.axles.strut_torsion_bar import StrutTorsionBarAxle
from jounce.car.file import ranges
from jounce.car.file.fields import refuse
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.parts.driveline import Driveline, Place
from jounce.car.parts.interfaces import Interfaces
from jounce.car.parts.named_points import BrakeHose, JointLimit, LowPoint, NearPoint
from jounce.car.parts.trammel import Trammel
from jounce.conventions.axes import ENDS, SIDES, End, Side
from jounce.conventions.errors import InputError, check_range
from jounce.layouts.catalogue import LAYOUTS

__all__ = ["AXLES", "AnyAxle", "CarContents", "Heights", "Identity", "Limits", "Masses", "Occasion"]

_TYPED: dict[str, type[Axle]] = {"strut-torsion-bar": StrutTorsionBarAxle, "beam-panhard": BeamPanhardAxle}
AXLES: dict[str, type[Axle]] = {name: _TYPED.get(name) or axle_of_layout(name) for name in LAYOUTS}
AXLES["linkage"] = LinkageAxle
"""The model of an axle by its layout's word; those that plans are made for have a class of their own."""

if TYPE_CHECKING:
    AnyAxle = Axle
else:
    AnyAxle = Annotated[Union[tuple(AXLES.values())], Field(discriminator="layout")]  # noqa: UP007  # of any number

TOTAL_MASS = (400.0, 2500.0)
FRONT_SHARE = (40.0, 75.0)
CROSS_SHARE = (45.0, 55.0)


class Identity(Section):
    """Which car it is."""

    name: str = Field(description="name under which the workshop knows the car", min_length=1)
    maker: str = Field(default="", description="maker")
    year: int | None = Field(default=None, description="model year", ge=1900, le=2100)
    body: str = Field(default="", description="body style")
    chassis: str = Field(default="", description="chassis number")
    note: str = Field(default="", description="anything else")


class Occasion(Section):
    """When, by whom and in what state the car was measured; all that is below holds for this state."""

    date: dt.date | None = Field(default=None, description="day of the measurement")
    by: str = Field(default="", description="who measured")
    aboard: str = Field(default="", description="what was in the car: fuel, people, luggage, spare wheel")
    note: str = Field(default="", description="anything else: floor, scales, state of the car")


class Masses(Section):
    """What the car weighs on its four wheels, and what moves with them."""

    front_left: ranges.FrontCornerWeight = Field(description="scale under the front left wheel")
    front_right: ranges.FrontCornerWeight = Field(description="scale under the front right wheel")
    rear_left: ranges.RearCornerWeight = Field(description="scale under the rear left wheel")
    rear_right: ranges.RearCornerWeight = Field(description="scale under the rear right wheel")
    unsprung_front: ranges.FrontUnsprungMass = Field(description="mass that moves with one front wheel")
    unsprung_rear: ranges.RearUnsprungMass = Field(
        description="mass that moves with one rear wheel; of a beam axle, half of the whole axle"
    )
    centre_of_gravity_height: ranges.CentreOfGravityHeight = Field(
        description="height of the whole car's centre of gravity above the ground"
    )
    roll_inertia: ranges.RollInertia | None = Field(
        default=None, description="moment of inertia of the whole car about the x axis through its centre of gravity"
    )
    pitch_inertia: ranges.PitchInertia | None = Field(
        default=None, description="moment of inertia of the whole car about the y axis through its centre of gravity"
    )

    def corner(self, end: End, side: Side) -> Measured:
        """Corner weight of one wheel [kg].

        Args:
            end: front or rear
            side: left or right

        """
        weight: Measured = getattr(self, f"{end}_{side}")
        return weight

    def unsprung(self, end: End) -> Measured:
        """Mass that moves with one wheel [kg].

        Args:
            end: front or rear

        """
        return self.unsprung_front if end is End.FRONT else self.unsprung_rear

    @property
    def total(self) -> float:
        """Mass of the car as weighed [kg]."""
        return sum(self.corner(end, side).value for end, side in product(ENDS, SIDES))

    @property
    def front_share(self) -> float:
        """Share of the weight on the front wheels [-]."""
        return (self.front_left.value + self.front_right.value) / self.total

    @property
    def cross_share(self) -> float:
        """Share of the weight on the front right and rear left wheels [-]."""
        return (self.front_right.value + self.rear_left.value) / self.total

    @model_validator(mode="after")
    def _check(self) -> Self:
        todo = "Check the four corner weights, their order and their unit."
        try:
            check_range("The total of the four corner weights", self.total, *TOTAL_MASS, "kg", todo)
            check_range("The share on the front wheels", self.front_share * 100, *FRONT_SHARE, "%", todo)
            check_range("The share on front right and rear left", self.cross_share * 100, *CROSS_SHARE, "%", todo)
        except InputError as problem:
            refuse(problem)
        return self


class Heights(Section):
    """Heights of the body over its wheels as measured: from wheel centre up to the edge of the arch."""

    front_left: ranges.ArchHeight = Field(description="wheel centre to arch, front left")
    front_right: ranges.ArchHeight = Field(description="wheel centre to arch, front right")
    rear_left: ranges.ArchHeight = Field(description="wheel centre to arch, rear left")
    rear_right: ranges.ArchHeight = Field(description="wheel centre to arch, rear right")

    def corner(self, end: End, side: Side) -> Measured:
        """Height over one wheel [m].

        Args:
            end: front or rear
            side: left or right

        """
        height: Measured = getattr(self, f"{end}_{side}")
        return height


class Limits(Section):
    """Limits that the car as a whole has to keep."""

    minimum_ground_clearance: ranges.LegalClearance | None = Field(
        default=None, description="ground clearance that the rules where the car is registered ask for"
    )
    ground_clearance: ranges.GroundClearance | None = Field(
        default=None, description="clearance under the lowest fixed point, as found"
    )
    lamp_height: ranges.LampHeight | None = Field(
        default=None, description="lower edge of the dipped lamps over the ground, as found"
    )
    note: str = Field(default="", description="which rules, which lowest point")


class CarContents(Section):
    """All that a car file says of one car, each value by itself possible; whether they go together is asked of it."""

    car: Identity = Field(description="which car it is")
    measured: Occasion = Field(default=Occasion(), description="when and how it was measured")
    mass: Masses = Field(description="corner weights and unsprung masses")
    heights: Heights = Field(description="heights of the body over its wheels")
    limits: Limits = Field(default=Limits(), description="limits for the whole car")
    driveline: Driveline = Field(default=Driveline(), description="which axle drives, how the brakes share")
    places: dict[str, Place] = Field(
        default_factory=dict, description="places for persons, fuel and luggage besides what was weighed, by name"
    )
    trammel: dict[str, Trammel] = Field(
        default_factory=dict, description="distances measured between two points besides their coordinates, by name"
    )
    near: dict[str, NearPoint] = Field(default_factory=dict, description="points that a tyre comes near, by name")
    low: dict[str, LowPoint] = Field(default_factory=dict, description="low points over the road, by name")
    hose: dict[str, BrakeHose] = Field(default_factory=dict, description="brake hoses by their two ends, by name")
    joint: dict[str, JointLimit] = Field(default_factory=dict, description="ball joints that swing so far, by name")
    interfaces: Interfaces = Field(
        default=Interfaces(), description="dimensions of the car at which a part from the shelf has to fit"
    )
    front: AnyAxle = Field(description="the front axle")
    rear: AnyAxle = Field(description="the rear axle")

    def axle(self, end: End) -> Axle:
        """Front or rear axle.

        Args:
            end: which

        """
        return self.front if end is End.FRONT else self.rear

    def place_of(self, end: End, side: Side, section: str, key: str) -> str:
        """Where in the file a key of a side was written, for one side or for both.

        Args:
            end: its axle
            side: the side
            section: section of the key
            key: the key

        """
        return ".".join((end, *self.axle(end).place_of(side, section, key)))
