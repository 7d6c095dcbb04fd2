"""The parts of a car, each a section of its file."""

from __future__ import annotations

from typing import Any, Literal, Self

from pydantic import Field, model_validator

from jounce.car import ranges
from jounce.car.fields import refuse
from jounce.car.quantity import Measured
from jounce.car.section import Section
from jounce.car.toe import toe_as_angle
from jounce.conventions.errors import InputError
from jounce.conventions.units import GPA, Kind, show

__all__ = [
    "Adjuster",
    "Alignment",
    "Beam",
    "BumpStop",
    "Bush",
    "Clearance",
    "CrossMember",
    "Damper",
    "DriveShaft",
    "InnerBar",
    "LeafSpring",
    "PanhardRod",
    "Perch",
    "RollBar",
    "Spring",
    "Steering",
    "SteeringBox",
    "TorsionBar",
    "Wheel",
    "check_apart",
    "check_bore",
]

SHEAR_MODULUS = Measured(78.5 * GPA, 0.0, "default: hot-formed spring steel, EN 10089")
YOUNGS_MODULUS = Measured(206 * GPA, 0.0, "default: hot-formed spring steel, EN 10089")
POISSON_RATIO = Measured(0.3, 0.0, "default: steel")
NOTHING = Measured(0.0)


class Alignment(Section):
    """Wheel alignment as found."""

    camber: ranges.Camber = Field(description="camber as found; negative when the top leans inward")
    toe: ranges.Toe = Field(description="toe of this wheel as found; positive for toe-in; a length needs toe_diameter")
    toe_diameter: ranges.ToeDiameter | None = Field(default=None, description="diameter across which toe was measured")

    @model_validator(mode="before")
    @classmethod
    def _toe_as_length(cls, written: Any) -> Any:
        return toe_as_angle(written)


class Wheel(Section):
    """Tyre and rim of one wheel."""

    tyre: str = Field(default="", description="size and make-up of the tyre, as text")
    loaded_radius: ranges.LoadedRadius = Field(description="height of the wheel centre above the ground, as found")
    tyre_rate: ranges.TyreRate = Field(description="vertical rate of the tyre")
    rim_diameter: ranges.RimDiameter | None = Field(default=None, description="nominal diameter of the rim")
    offset: ranges.WheelOffset | None = Field(
        default=None, description="mounting face to the rim's middle plane; positive when the face lies outboard"
    )
    tyre_width: ranges.TyreWidth | None = Field(default=None, description="width of the tyre")


class Adjuster(Section):
    """The bolt that turns a torsion bar's anchor."""

    pitch: ranges.ThreadPitch = Field(description="thread pitch of the bolt: its travel in one turn")
    lever: ranges.AdjusterLever = Field(description="lever of the anchor: bolt to the bar's axis")
    turns_up: ranges.Turns = Field(description="turns left in the sense that raises the car")
    turns_down: ranges.Turns = Field(description="turns left in the sense that lowers the car")


class TorsionBar(Section):
    """The bar that springs one front wheel; its axis is that of the lower arm."""

    diameter: ranges.TorsionBarDiameter = Field(description="diameter of the bar between its splines")
    inner_diameter: ranges.InnerDiameter = Field(default=NOTHING, description="bore of a hollow bar; 0 for a solid one")
    active_length: ranges.TorsionBarLength = Field(description="length that twists, between the splines")
    shear_modulus: ranges.ShearModulus = Field(default=SHEAR_MODULUS, description="shear modulus of the steel")
    stress_limit: ranges.StressLimit | None = Field(default=None, description="shear stress that the bar may see")
    material: str = Field(default="", description="steel and treatment, as text")
    preset: bool | None = Field(default=None, description="whether the bar was pre-twisted beyond yield by its maker")
    splines_arm: ranges.SplineCount | None = Field(default=None, description="number of splines at the arm")
    splines_anchor: ranges.SplineCount | None = Field(default=None, description="number of splines at the anchor")
    series_rate: ranges.SeriesRate | None = Field(
        default=None, description="torsional rate of what gives besides the bar: tube, anchor, lever"
    )
    adjuster: Adjuster | None = Field(default=None, description="adjusting bolt at the anchor, where there is one")

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_bore(self.diameter, self.inner_diameter)
        return self


class InnerBar(Section):
    """The bar inside the tube of a beam axle, twisted by the difference of the two arms' angles."""

    diameter: ranges.RollBarDiameter = Field(description="diameter of the bar")
    inner_diameter: ranges.InnerDiameter = Field(default=NOTHING, description="bore of a hollow bar; 0 for a solid one")
    active_length: ranges.InnerBarLength = Field(description="length that twists, between its fixings")
    shear_modulus: ranges.ShearModulus = Field(default=SHEAR_MODULUS, description="shear modulus of the steel")
    series_rate: ranges.SeriesRate | None = Field(
        default=None, description="torsional rate of what gives besides the bar: its fixings, the tube"
    )
    stress_limit: ranges.StressLimit | None = Field(default=None, description="shear stress that the bar may see")

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_bore(self.diameter, self.inner_diameter)
        return self


class RollBar(Section):
    """One side of a bent anti-roll bar: the left-hand half of its centre line, and its drop link."""

    diameter: ranges.RollBarDiameter = Field(description="diameter of the bar")
    inner_diameter: ranges.InnerDiameter = Field(default=NOTHING, description="bore of a hollow bar; 0 for a solid one")
    arm_end: ranges.Point = Field(description="end of the bar's arm: where the drop link takes hold of it")
    bend: ranges.Point = Field(description="where arm and shaft of the bar meet, on the centre line")
    bush: ranges.Point = Field(description="centre of the bush in which the shaft turns")
    link_end: ranges.Point = Field(description="the drop link's other end")
    link_on: str = Field(description="what carries the drop link's other end: a word of the axle's layout")
    youngs_modulus: ranges.YoungsModulus = Field(default=YOUNGS_MODULUS, description="Young's modulus of the steel")
    poisson_ratio: ranges.PoissonRatio = Field(default=POISSON_RATIO, description="Poisson's ratio of the steel")
    link_rate: ranges.LinkRate | None = Field(
        default=None, description="rate of one drop link with its bushes, along the link; rigid where it is not given"
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_bore(self.diameter, self.inner_diameter)
        check_apart(self, ("arm_end", "bend"), ("bend", "bush"), ("arm_end", "link_end"))
        return self


class Damper(Section):
    """One damper."""

    closed_length: ranges.DamperLength | None = Field(default=None, description="length when fully closed")
    open_length: ranges.DamperLength | None = Field(default=None, description="length when fully open")
    gas_force: ranges.GasForce = Field(default=NOTHING, description="force with which the gas pushes the rod out")
    curve: ranges.DamperCurve | None = Field(default=None, description="rows of rod speed, bump force, rebound force")

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.closed_length and self.open_length and self.open_length.value <= self.closed_length.value:
            refuse(
                InputError(
                    "The damper is not longer open than closed",
                    found=show(self.open_length.value, Kind.LENGTH),
                    allowed=f"more than {show(self.closed_length.value, Kind.LENGTH)}",
                    todo="Exchange the two lengths or measure again.",
                    place="open_length",
                )
            )
        return self


class BumpStop(Section):
    """The rubber that ends bump travel, on the damper's rod."""

    gap: ranges.StopGap | None = Field(default=None, description="damper travel from as found until the rubber touches")
    free_height: ranges.StopHeight | None = Field(
        default=None, description="height of the rubber; it touches at closed_length + free_height of the damper"
    )
    curve: ranges.StopCurve = Field(description="rows of compression, force; linear beyond the last row")
    solid: ranges.StopHeight | None = Field(default=None, description="compression at which the rubber is solid")

    @model_validator(mode="after")
    def _check(self) -> Self:
        if (self.gap is None) == (self.free_height is None):
            found = 'neither "gap" nor "free_height"' if self.gap is None else 'both "gap" and "free_height"'
            refuse(
                InputError("It is not clear where the stop touches", found=found, todo="Give exactly one of the two.")
            )
        return self


class SteeringBox(Section):
    """Steering box with a relay rod between pitman and idler arm; true coordinates, not mirrored."""

    pitman_pivot: ranges.Point = Field(description="the pitman arm's centre on the steering box's shaft")
    pitman_end: ranges.Point = Field(description="joint of the pitman arm with the relay rod")
    idler_pivot: ranges.Point = Field(description="the idler arm's centre on its pivot")
    idler_end: ranges.Point = Field(description="joint of the idler arm with the relay rod")
    travel: ranges.PitmanTravel = Field(description="angle of the pitman arm from straight ahead to each lock")
    ratio: ranges.BoxRatio | None = Field(
        default=None, description="turn of the steering wheel per turn of the pitman arm"
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_apart(self, ("pitman_pivot", "pitman_end"), ("idler_pivot", "idler_end"), ("pitman_end", "idler_end"))
        return self


class LeafSpring(Section):
    """One leaf spring, both halves together."""

    rate: ranges.SpringRate = Field(description="rate of the whole leaf at its seat")


class CrossMember(Section):
    """The open section that joins the two arms of a twist beam."""

    rate: ranges.TubeRate | None = Field(default=None, description="torsional rate between the two arms")
    torsion_constant: ranges.TorsionConstant | None = Field(
        default=None, description="torsion constant of the section (not its polar moment: an open section's is small)"
    )
    length: ranges.InnerBarLength | None = Field(default=None, description="length that twists, between the arms")
    shear_modulus: ranges.ShearModulus = Field(default=SHEAR_MODULUS, description="shear modulus of the steel")

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.rate is None and (self.torsion_constant is None or self.length is None):
            todo = "Give rate, or torsion_constant and length, from which it follows."
            refuse(InputError("The cross-member's torsional rate is not known", todo=todo))
        return self


class Bush(Section):
    """A rubber bush in place of an ideal joint; what is not given does not give way, or is a joint's own freedom.

    ``radial`` and ``axial`` stand in for what the joint would hold: where they are not given the bush is as rigid as the
    joint. ``torsional`` and ``conical`` resist turning, which an ideal joint leaves free.
    """

    radial: ranges.BushRate | None = Field(default=None, description="rate square to the bush's axis")
    axial: ranges.BushRate | None = Field(default=None, description="rate along the bush's axis; along a rod, its only")
    torsional: ranges.BushTwist | None = Field(default=None, description="torsional rate about the bush's axis")
    conical: ranges.BushTwist | None = Field(default=None, description="rate against tilting of the bush's axis")
    axis: ranges.Axis3 | None = Field(
        default=None, description="axis of the left-hand bush; mirrored for the right; the joint's own if not given"
    )
    rigid: bool = Field(default=False, description="true takes this joint as ideal in spite of its rates")
    radial_curve: ranges.BushCurve | None = Field(
        default=None, description="rows of displacement, force in place of a radial rate, the same both ways"
    )
    axial_curve: ranges.BushCurve | None = Field(
        default=None, description="rows of displacement, force in place of an axial rate, the same both ways"
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        for rate, curve in (("radial", "radial_curve"), ("axial", "axial_curve")):
            if getattr(self, rate) is not None and getattr(self, curve) is not None:
                refuse(InputError(f'Both "{rate}" and "{curve}" are given', todo="Give one of the two.", place=curve))
        return self


class Steering(Section):
    """Rack and pinion."""

    rack_travel: ranges.RackTravel = Field(description="travel of the rack from straight ahead to each lock")
    travel_per_turn: ranges.RackRatio | None = Field(
        default=None, description="travel of the rack in one turn of the steering wheel"
    )


class DriveShaft(Section):
    """Limits of one drive shaft."""

    max_angle: ranges.JointAngle | None = Field(default=None, description="largest angle of a joint")
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


class Beam(Section):
    """How the beam axle is made; seen as a whole, nothing of it is mirrored but the bush axis."""

    turning_side: Literal["left", "right", "both", "neither"] = Field(
        description="side on which arm and hub carrier can turn about the tube's own line; neither: the tube twists"
    )
    tube_rate: ranges.TubeRate | None = Field(
        default=None, description="torsional rate of the tube between its arms, where neither arm turns on it"
    )
    bush_axis: ranges.Axis3 = Field(
        default=(0.0, 1.0, 0.0), description="direction along which the left front bush is soft; mirrored for the right"
    )
    spring_on: Literal["arm", "tube"] = Field(default="arm", description="what carries the spring's lower seat")
    damper_on: Literal["arm", "tube"] = Field(default="arm", description="what carries the damper's lower eye")


class PanhardRod(Section):
    """The rod that holds the beam axle sideways; its ends are true coordinates and are not mirrored."""

    body_end: ranges.Point = Field(description="joint on the body; true coordinates, y negative on the right")
    axle_end: ranges.Point = Field(description="joint on the axle; true coordinates, y negative on the right")
    diameter: ranges.RodDiameter | None = Field(default=None, description="outer diameter of the rod")
    inner_diameter: ranges.InnerDiameter = Field(
        default=NOTHING, description="bore of a tubular rod; 0 for a solid one"
    )
    shortest: ranges.RodLength | None = Field(default=None, description="shortest length of an adjustable rod")
    longest: ranges.RodLength | None = Field(default=None, description="longest length of an adjustable rod")
    thread_pitch: ranges.ThreadPitch | None = Field(
        default=None, description="change of the rod's length in one turn of its adjuster"
    )

    @property
    def length(self) -> float:
        """Distance between its joints, as found [m]."""
        return self.body_end.distance(self.axle_end)

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.diameter:
            check_bore(self.diameter, self.inner_diameter)
        if self.length <= 1e-3:
            refuse(InputError("The rod's ends are the same point", todo="Measure both.", place="axle_end"))
        low = self.shortest.value if self.shortest else 0.0
        high = self.longest.value if self.longest else float("inf")
        slack = 2e-3  # a rod at the end of its thread may be measured a little beyond it
        if not low - slack <= self.length <= high + slack:
            refuse(
                InputError(
                    "The rod's length between its joints is outside its own range",
                    found=show(self.length, Kind.LENGTH),
                    allowed=f"{show(low, Kind.LENGTH)} to {show(high, Kind.LENGTH)}",
                    todo="Measure the two ends, or the rod's shortest and longest length, again.",
                    place="shortest" if self.length < low else "longest",
                )
            )
        return self


class Spring(Section):
    """One coil spring: its rate, or the wire from which the rate follows."""

    rate: ranges.SpringRate | None = Field(default=None, description="rate of the spring")
    free_length: ranges.SpringLength | None = Field(default=None, description="length without load")
    solid_length: ranges.SpringLength | None = Field(default=None, description="length with all coils touching")
    wire: ranges.WireDiameter | None = Field(default=None, description="diameter of the wire")
    mean_diameter: ranges.CoilDiameter | None = Field(
        default=None, description="diameter of the coil, centre of wire to centre of wire"
    )
    active_turns: ranges.CoilTurns | None = Field(
        default=None, description="turns that work, without the dead end turns"
    )
    shear_modulus: ranges.ShearModulus = Field(default=SHEAR_MODULUS, description="shear modulus of the wire")

    @model_validator(mode="after")
    def _check(self) -> Self:
        wire = {"wire": self.wire, "mean_diameter": self.mean_diameter, "active_turns": self.active_turns}
        missing = [name for name, value in wire.items() if value is None]
        if self.rate is None and missing:
            refuse(
                InputError(
                    "The spring's rate is not known",
                    found=f"neither rate nor {', '.join(missing)}",
                    todo="Give rate, or wire, mean_diameter and active_turns, from which it follows.",
                )
            )
        if self.wire and self.mean_diameter and self.mean_diameter.value <= 2 * self.wire.value:
            refuse(
                InputError(
                    "The coil is too narrow for its wire",
                    found=show(self.mean_diameter.value, Kind.LENGTH),
                    allowed=f"more than {show(2 * self.wire.value, Kind.LENGTH)}",
                    place="mean_diameter",
                )
            )
        if self.free_length and self.solid_length and self.free_length.value <= self.solid_length.value:
            refuse(
                InputError(
                    "The spring is not longer free than solid",
                    found=show(self.free_length.value, Kind.LENGTH),
                    allowed=f"more than {show(self.solid_length.value, Kind.LENGTH)}",
                    todo="Exchange the two lengths or measure again.",
                    place="free_length",
                )
            )
        return self


class Perch(Section):
    """A threaded spring seat; positions count from the measured seat, plus lifts the car."""

    lowest: ranges.PerchPosition = Field(description="lowest position of the seat; negative lowers the car")
    highest: ranges.PerchPosition = Field(description="highest position of the seat")
    pitch: ranges.ThreadPitch = Field(description="travel of the seat in one turn")

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.highest.value <= self.lowest.value:
            refuse(
                InputError(
                    "The highest position is not above the lowest",
                    found=show(self.highest.value, Kind.LENGTH),
                    allowed=f"more than {show(self.lowest.value, Kind.LENGTH)}",
                    place="highest",
                )
            )
        return self


def check_apart(section: Section, *pairs: tuple[str, str]) -> None:
    """Refuse two points of a section that are one; a point that is not given is apart from all.

    Args:
        section: the section
        pairs: names of the points

    """
    for one, other in pairs:
        here, there = getattr(section, one), getattr(section, other)
        if here is not None and there is not None and here.distance(there) <= 1e-3:
            refuse(InputError(f'"{one}" and "{other}" are the same point', todo="Measure both.", place=other))


def check_bore(diameter: Measured, inner: Measured) -> None:
    """Refuse a bore that is not smaller than its bar.

    Args:
        diameter: outer diameter [m]
        inner: bore [m]

    """
    if inner.value < diameter.value:
        return
    refuse(
        InputError(
            "The bore is not smaller than the bar",
            found=show(inner.value, Kind.LENGTH),
            allowed=f"less than {show(diameter.value, Kind.LENGTH)}",
            todo="Give the bore of a hollow bar, or leave the key out for a solid one.",
            place="inner_diameter",
        )
    )
