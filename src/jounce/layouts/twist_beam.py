"""Two trailing arms joined by an open section that twists."""

from __future__ import annotations

from jounce.layouts.adjusters import HUB_SHIM
from jounce.layouts.beam import ARM_BUSH, HANGING, HANGING_NEEDS
from jounce.layouts.builder import BODY, AxleBuilder
from jounce.layouts.common_pivots import WHEEL_CENTRE
from jounce.layouts.description import Layout, Pivot
from jounce.layouts.needs import Apart
from jounce.linkage.measures import CoordinateSum
from jounce.numerics.vectors import Y

_LINKS = {"arm": "arm"}


def _build(axle: AxleBuilder) -> None:
    axle.left.free("arm", axle.left["arm_bush"])
    axle.right.turning("arm", axle.left.title("arm"), axle.right["twist_line"], axle.across("twist_line"))
    axle.measure("inner_bar_twist", CoordinateSum({axle.right.title("arm"): 1.0}))
    for side in axle.sides:
        eye = side["arm_bush"]
        side.line("arm_bush", (BODY, eye), side.given.bush_axis.get(side.side, Y), ("arm", eye), ("_fore", "_up"))
        side.draw("arm", ("arm", eye), ("arm", side["wheel_centre"]))
        side.wheel_on_shims("arm")
        side.coil(lower_on="arm")
        side.damper(lower_on="arm")
    axle.held_in_the_middle("bushes_sideways", "arm_bush", {"left": "arm", "right": "arm"}, "arm_bush")
    axle.draw("cross-member", *((side.title("arm"), side["twist_line"]) for side in axle.sides))
    axle.anti_roll_bars(BODY, _LINKS)


TWIST_BEAM = Layout(
    name="twist-beam",
    title="Twist beam",
    summary=(
        "Two trailing arms are joined by a cross-member of open section, stiff in bending and soft in torsion: the two "
        "halves turn against each other about the line of its shear centres, against its torsional rate. The front "
        "bushes hold each arm square to their own axis; sideways both together hold the axle. Left free: heave and "
        "roll."
    ),
    pivots=(
        WHEEL_CENTRE,
        ARM_BUSH,
        Pivot(
            "twist_line",
            "a point on the line of the cross-member's shear centres; with that of the other side it gives the line",
        ),
        *HANGING,
    ),
    build=_build,
    twist="cross-member",
    link_on=_LINKS,
    adjusters=HUB_SHIM,
    bush_axes=True,
    needs=(
        *HANGING_NEEDS,
        Apart("arm_bush", "wheel_centre"),
        Apart("twist_line", "other.twist_line"),
        Apart("arm_bush", "other.arm_bush"),
    ),
)
