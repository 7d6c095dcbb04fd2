"""What beam axles have in common: the tube, what turns on it, arms, and the rods that hold it sideways."""

from __future__ import annotations

from collections.abc import Mapping

from jounce.layouts.builder import BODY, AxleBuilder
from jounce.layouts.common_pivots import COIL, COIL_NEEDS, DAMPER, DAMPER_NEEDS, WHEEL_CENTRE
from jounce.layouts.description import LayoutChoice, Pivot
from jounce.layouts.naming import SIDES, SideName
from jounce.layouts.needs import Apart, Need, Off
from jounce.linkage.measures import Bearing, CoordinateSum, MeanComponent
from jounce.linkage.tree import Direction, Point, Segment
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import X, Y, unit

TUBE_END = Pivot(
    "tube_end", "a point on the tube's own line; with that of the other side it gives the line that parts turn about"
)
ARM_BUSH = Pivot("arm_bush", "centre of the front bush of the trailing arm, on the body")
HANGING = (*COIL, *DAMPER)
BEAM_BASICS = (WHEEL_CENTRE, TUBE_END)

PANHARD = (
    Pivot("body_end", "joint on the body; true coordinates, y negative on the right"),
    Pivot("axle_end", "joint on the axle; true coordinates, y negative on the right"),
)
TURNING_SIDE = LayoutChoice(
    "turning_side",
    ("right", "left", "both", "neither"),
    "side on which arm and hub carrier can turn about the tube's own line; both: the tube keeps half way between "
    "them; neither: arms and tube are one and the tube itself twists",
)
TUBE_NEEDS: tuple[Need, ...] = (Apart("tube_end", "other.tube_end"),)
HANGING_NEEDS = (*COIL_NEEDS, *DAMPER_NEEDS)
ARM_NEEDS: tuple[Need, ...] = (
    *TUBE_NEEDS,
    *HANGING_NEEDS,
    Apart("arm_bush", "wheel_centre"),
    Off("arm_bush", ("tube_end", "other.tube_end"), "the arm would have no length to hold the tube by"),
)
BEAM_LINKS = {"body": BODY}
"""Far end of the drop links of an anti-roll bar that the tube carries."""


_TURNING_SIDES: Mapping[str, tuple[SideName, ...]] = {
    "left": ("left",),
    "right": ("right",),
    "both": SIDES,
    "neither": ("right",),
}


_MIDDLE_SHARE = 0.1
"""A bracket this near to the middle of a twisting tube, as a share of half its length, belongs to neither half [-]."""


class BeamBodies:
    """The tube of an axle and, by side, the bodies that arms and hub carriers belong to."""

    def __init__(self, axle: AxleBuilder, turning: str) -> None:
        self.axle, self.turning = axle, turning
        line = axle.across("tube_end")
        self.middle = axle.middle("wheel_centre")
        axle.free("tube", self.middle)
        turning_sides = _TURNING_SIDES[turning]
        for side in axle.sides:
            if side.side in turning_sides:
                side.turning("carrier", "tube", side["tube_end"], line)
        self.carriers: Mapping[SideName, str] = {side: "carrier" if side in turning_sides else "tube" for side in SIDES}
        """Word of the body that each side's arm and hub carrier belong to."""
        self._measure(unit(line), turning_sides)
        axle.beam = "tube"
        axle.draw("tube", ("tube", axle.left["tube_end"]), ("tube", axle.right["tube_end"]))

    def part(self, side: SideName, word: str) -> str:
        """Word of the body of a side that is meant by "arm" or "tube"; a twisting tube has two halves."""
        return self.carriers[side] if word == "arm" or self.turning == "neither" else "tube"

    def bracket(self, at: Array) -> tuple[str, Array]:
        """The part of the tube that a point on it belongs to, with the point [m].

        A tube that twists has two halves, and a middle that turns half way with each.
        """
        across = at[..., 1].flat[0].real
        if self.turning != "neither":
            return "tube", at
        if abs(across) < _MIDDLE_SHARE * self.axle.left["tube_end"][..., 1].flat[0].real:
            return self._middle_part(), at
        return ("tube" if across > 0 else f"right.{self.carriers['right']}"), at

    def _middle_part(self) -> str:
        axle, right = self.axle, self.axle.right.title("carrier")
        if not axle.knows("tube_middle"):
            axle.turning("tube_middle", "tube", axle.middle("tube_end"), axle.across("tube_end"))
            axle.held("tube_middle_turns", CoordinateSum({axle.body("tube_middle"): 1.0, right: -0.5}))
        return "tube_middle"

    def _measure(self, axis: Array, turning_sides: tuple[SideName, ...]) -> None:
        """Axle shift (left positive, from the centre plane), axle steer, twist between the sides."""
        axle, body = self.axle, self.axle.setting.body
        tube = axle.body("tube")
        along = Direction(body, Y)
        halves = (tube, axle.right.title("carrier")) if self.turning == "neither" else (tube, tube)
        centre, other = (Segment(Point(body, 0 * self.middle), Point(half, self.middle)) for half in halves)
        axle.measure("shift", MeanComponent(centre, other, along))
        axle.measure("axle_steer", Bearing(Direction(tube, axis), Direction(body, -X), along))
        angles = {side.side: side.title("carrier") for side in axle.sides if side.side in turning_sides}
        weights = {angles[side]: 1.0 for side in turning_sides}
        if self.turning == "both":
            axle.held("tube_rests", CoordinateSum(dict.fromkeys(angles.values(), 0.5)))
            weights = {angles["right"]: 1.0, angles["left"]: -1.0}
        axle.measure("inner_bar_twist", CoordinateSum(weights))

    def hang(self, spring_on: str, damper_on: str) -> None:
        """Wheels, coils and dampers of both sides."""
        for side in self.axle.sides:
            carrier = self.carriers[side.side]
            side.wheel_on_shims(carrier)
            side.coil(lower_on=self.part(side.side, spring_on))
            side.damper(lower_on=self.part(side.side, damper_on))
            side.draw("hub", (carrier, side["tube_end"]), (carrier, side["wheel_centre"]))

    def trailing_arms(self) -> None:
        """Each arm's front eye held square to its bush's soft axis, free along it."""
        for side in self.axle.sides:
            carrier, eye = self.carriers[side.side], side["arm_bush"]
            axis = side.given.bush_axis.get(side.side, Y)
            side.line("arm_bush", (BODY, eye), axis, (carrier, eye), ("_fore", "_up"))
            side.draw("trailing arm", (carrier, eye), (carrier, side["tube_end"]))

    def panhard(self) -> None:
        """One rod holds the tube sideways; its length is the joint ``panhard``."""
        axle = self.axle
        axle_end = self.bracket(axle.at("panhard", "axle_end"))
        axle.rod("panhard", (BODY, axle.at("panhard", "body_end")), axle_end)
        ends = (Point(axle.setting.body, axle.at("panhard", "body_end")), Point(axle.body(axle_end[0]), axle_end[1]))
        axle.held_sideways_by = ends
