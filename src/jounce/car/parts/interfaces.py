"""What a part from the shelf has to fit: splines, seats, bores, bolts of the car itself."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section

__all__ = ["AxleInterfaces", "Interfaces"]


class AxleInterfaces(Section):
    """Dimensions at which parts meet one axle of the car, both sides alike; what is not given is unknown."""

    splines_arm: ranges.SplineCount | None = Field(
        default=None, description="splines in the arm; those of the torsion bar in the car if not given"
    )
    splines_anchor: ranges.SplineCount | None = Field(
        default=None, description="splines in the anchor; those of the torsion bar in the car if not given"
    )
    spline_diameter_arm: ranges.SplineDiameter | None = Field(
        default=None, description="outer diameter of the torsion bar's splines that the arm takes"
    )
    spline_diameter_anchor: ranges.SplineDiameter | None = Field(
        default=None, description="outer diameter of the torsion bar's splines that the anchor takes"
    )
    torsion_bar_length: ranges.BarOverall | None = Field(
        default=None, description="length from end to end of the torsion bar that lies between arm and anchor"
    )
    spring_seat_upper: ranges.SeatDiameter | None = Field(
        default=None, description="diameter of the upper seat's collar, which stands inside the coil"
    )
    spring_seat_lower: ranges.SeatDiameter | None = Field(
        default=None, description="diameter of the lower seat's collar, which stands inside the coil"
    )
    leaf_width: ranges.LeafWidth | None = Field(
        default=None, description="width of the leaves between the clamps of the axle's spring pad"
    )
    leaf_length: ranges.LeafLength | None = Field(
        default=None, description="length of the leaf spring from eye to eye, along its main leaf"
    )
    leaf_front_half: ranges.LeafLength | None = Field(
        default=None, description="length of the leaf spring from its front eye to the centre bolt, along its main leaf"
    )
    leaf_centre_bolt: ranges.BoltSize | None = Field(
        default=None, description="hole in the axle's spring pad for the head of the leaf's centre bolt"
    )
    leaf_bolt: ranges.BoltSize | None = Field(default=None, description="bolt through the leaf's fixed front eye")
    shackle_bolt: ranges.BoltSize | None = Field(default=None, description="bolts of the leaf's shackle")
    shackle_width: ranges.LeafWidth | None = Field(
        default=None, description="width between the plates of the leaf's shackle, where the rear eye sits"
    )
    shackle_length: ranges.ShackleLength | None = Field(
        default=None, description="length between the two bolts of the leaf's shackle as found"
    )
    strut_tube: ranges.DamperBody | None = Field(
        default=None, description="bore of the knuckle's clamp, which holds the strut's body"
    )
    damper_upper: Literal["stud", "eye"] | None = Field(default=None, description="what the body holds the damper by")
    damper_upper_size: ranges.BoltSize | None = Field(
        default=None, description="hole for the damper's stud, or bolt through its eye, at the body"
    )
    damper_lower: Literal["stud", "eye"] | None = Field(
        default=None, description="what the axle or arm holds the damper by; a strut has nothing here"
    )
    damper_lower_size: ranges.BoltSize | None = Field(
        default=None, description="hole for the damper's stud, or bolt through its eye, at the axle or arm"
    )
    damper_room: ranges.DamperBody | None = Field(
        default=None, description="largest diameter of a damper's body that has room"
    )
    top_studs: ranges.BoltCount | None = Field(default=None, description="number of studs that hold a strut's top")
    top_stud_circle: ranges.StudCircle | None = Field(
        default=None, description="diameter of the circle through the studs of a strut's top"
    )
    panhard_bolt: ranges.BoltSize | None = Field(default=None, description="bolts of the Panhard rod")
    toe_rod_bolt_body: ranges.BoltSize | None = Field(
        default=None, description="bolt or thread at the inner end of the rods that set the toe"
    )
    toe_rod_bolt_wheel: ranges.BoltSize | None = Field(
        default=None, description="bolt or stud at the wheel's end of the rods that set the toe"
    )
    camber_link: str | None = Field(
        default=None, description="which link of the layout is exchanged for one that sets camber, by its joints' name"
    )
    camber_link_bolt_body: ranges.BoltSize | None = Field(
        default=None, description="bolt at the body's end of the link that sets camber"
    )
    camber_link_bolt_wheel: ranges.BoltSize | None = Field(
        default=None, description="bolt at the wheel's end of the link that sets camber"
    )
    caster_link: str | None = Field(
        default=None, description="which link of the layout is exchanged for one that sets caster, by its joints' name"
    )
    caster_link_bolt_body: ranges.BoltSize | None = Field(
        default=None, description="bolt at the body's end of the link that sets caster"
    )
    caster_link_bolt_wheel: ranges.BoltSize | None = Field(
        default=None, description="bolt at the wheel's end of the link that sets caster"
    )
    trailing_link_bolt_body: ranges.BoltSize | None = Field(
        default=None, description="bolt at the body's end of the trailing links or arms"
    )
    trailing_link_bolt_wheel: ranges.BoltSize | None = Field(
        default=None, description="bolt at the axle's end of the trailing links or arms"
    )
    upper_joint_bolt: ranges.BoltSize | None = Field(
        default=None, description="bolts that hold a wishbone's upper joint, or its arm's pivot where that is moved"
    )
    upper_joint_bolt_spacing: ranges.StudCircle | None = Field(
        default=None, description="distance between the bolts that hold the upper joint or its arm's pivot"
    )
    hub_flange: ranges.FlangeLength | None = Field(
        default=None, description="length of the flange of the hub or stub axle from edge to edge"
    )
    hub_flange_bolts: ranges.BoltCount | None = Field(
        default=None, description="number of bolts that hold the flange of the hub or stub axle"
    )
    hub_flange_bolt_circle: ranges.StudCircle | None = Field(
        default=None, description="diameter of the circle through the bolts of that flange"
    )
    watt_bracket_bolt: ranges.BoltSize | None = Field(
        default=None, description="bolts of the bracket of a Watt linkage's rocker"
    )
    watt_bracket_bolt_spacing: ranges.StudCircle | None = Field(
        default=None, description="distance between the bolts of the bracket of a Watt linkage's rocker"
    )
    roll_bar_bush_smallest: ranges.BushSize | None = Field(
        default=None, description="smallest bore of a bush for the anti-roll bar's brackets"
    )
    roll_bar_bush_largest: ranges.BushSize | None = Field(
        default=None, description="largest bore of a bush for the anti-roll bar's brackets"
    )
    roll_bar_span: ranges.LinkSpan | None = Field(
        default=None, description="distance across the car between the drop links at the anti-roll bar"
    )
    link_bolt: ranges.BoltSize | None = Field(default=None, description="bolts of the anti-roll bar's drop links")
    tube_bore: ranges.TubeDiameter | None = Field(default=None, description="narrowest bore of a beam axle's tube")
    tube_diameter: ranges.TubeDiameter | None = Field(
        default=None, description="outer diameter of a beam axle's tube where clamps sit"
    )
    inner_bar_length: ranges.BarOverall | None = Field(
        default=None, description="length from end to end of the bar that lies in a beam axle's tube"
    )
    inner_bar_splines: ranges.SplineCount | None = Field(
        default=None, description="splines that hold the bar in a beam axle's tube; not given where it is clamped"
    )
    inner_bar_clamp: ranges.SplineDiameter | None = Field(
        default=None, description="bore of the clamps that hold the bar in a beam axle's tube"
    )
    arm_bush_housing: ranges.BushSize | None = Field(
        default=None, description="bore in which the bush of the lower arm or trailing arm sits"
    )
    arm_bush_bolt: ranges.BoltSize | None = Field(
        default=None, description="bolt through the bush of the lower arm or trailing arm"
    )
    panhard_bush_housing: ranges.BushSize | None = Field(
        default=None, description="bore in which the Panhard rod's bush sits"
    )
    ball_joint_bolt: ranges.BoltSize | None = Field(
        default=None, description="bolts that hold the lower ball joint to the arm"
    )
    ball_joint_bolt_spacing: ranges.StudCircle | None = Field(
        default=None, description="distance between the lower ball joint's bolts"
    )
    tie_rod_stud: ranges.BoltSize | None = Field(default=None, description="thread of the outer tie-rod joint's stud")
    rack_bolt: ranges.BoltSize | None = Field(default=None, description="bolts that hold the steering rack")
    wheel_bolts: ranges.BoltCount | None = Field(default=None, description="number of wheel bolts")
    bolt_circle: ranges.BoltCircle | None = Field(
        default=None, description="diameter of the circle through the wheel bolts"
    )
    hub_spigot: ranges.HubSpigot | None = Field(
        default=None, description="diameter of the hub's collar that centres the wheel"
    )
    rim_smallest: ranges.RimDiameter | None = Field(
        default=None, description="nominal diameter of the smallest rim that goes over the brake"
    )
    tyre_room: ranges.TyreWidth | None = Field(default=None, description="width of the widest tyre that has room")


class Interfaces(Section):
    """Dimensions at which parts meet the car."""

    front: AxleInterfaces = Field(default=AxleInterfaces(), description="at the front axle")
    rear: AxleInterfaces = Field(default=AxleInterfaces(), description="at the rear axle")
