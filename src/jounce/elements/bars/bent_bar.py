"""A bent anti-roll bar by its centre line: rates of its two ends from a frame of straight and curved members.

Steel stretches, shears, bends and twists; the shaft turns freely in two bushes, which hold it across (rigidly or with a
radial rate). The frame is linear: displacements are small beside the bar. Stresses follow in `bent_bar_stress`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError
from jounce.conventions.units import MM
from jounce.elements.bars.centre_line import CentreLine
from jounce.elements.bars.round_section import RoundSection
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross
from jounce.numerics.space_frame import FREEDOMS, FrameState, Member, SpaceFrame, Support
from jounce.numerics.vectors import perpendiculars, unit

BUSH_OFF_LINE = 5 * MM
"""A bush whose centre lies farther than this from the bar's centre line is measured wrongly [m]."""


@dataclass(frozen=True, slots=True)
class BentBar:
    """A bar from its left end to its right end; points (3,) or (variants, 3) [m].

    Attributes:
        line: its centre line, from where the left drop link takes hold to where the right one does
        section: round, solid or hollow
        left_bush: centre of the left bush, on a straight piece of the line
        right_bush: centre of the right bush
        bush_rate: radial rate of one bush; infinite for one that does not give [N/m]
        bush_axial_rate: rate of one bush along the shaft; infinite where the two together hold the bar there [N/m]

    """

    line: CentreLine
    section: RoundSection
    left_bush: Array
    right_bush: Array
    bush_rate: float | Array = np.inf
    bush_axial_rate: float | Array = np.inf

    @property
    def axis(self) -> Array:
        """Unit vector of the line through both bushes, from right to left: the bar turns about it [-]."""
        return unit(np.asarray(self.left_bush) - np.asarray(self.right_bush))

    def frame(self) -> SpaceFrame:
        """The bar as a frame of three members: left end, left bush, right bush, right end are its nodes.

        Its turning about the bushes is held in the mean of the two: loads without moment about them do not notice.

        Raises:
            InputError: a bush that is not on the bar, or at its very end
        """
        spots = [self.line.nearest(np.asarray(bush)) for bush in (self.left_bush, self.right_bush)]
        for name, spot in zip(("left", "right"), spots, strict=True):
            if np.any(spot.away > BUSH_OFF_LINE):
                raise InputError(
                    f"The {name} bush of the anti-roll bar is not on a straight piece of its centre line",
                    found=f"{np.max(spot.away) / MM:.4g} mm away from it",
                    allowed=f"up to {BUSH_OFF_LINE / MM:g} mm",
                    todo="Measure the bush and the points of the centre line again.",
                )
        line, (left, right) = self.line.cut(spots)
        parts = (line.pieces[:left], line.pieces[left:right], line.pieces[right:])
        if not all(parts):
            raise InputError("A bush of the anti-roll bar is at its very end", todo="Measure the bushes again.")
        members = [Member(i, i + 1, part, self.section.resists) for i, part in enumerate(parts)]
        return SpaceFrame(len(members) + 1, members, self._supports())

    def _supports(self) -> list[Support]:
        """Two bushes, round the shaft and along it, and the turn about them."""
        bushes = (1, 2)
        axis, give = self.axis, 1 / np.asarray(self.bush_rate)
        moves, turns = _placed(axis, 0), _placed(axis, 3)
        across = [_placed(direction, 0) for direction in perpendiculars(axis)]
        supports = [Support({bush: weights}, give) for bush in bushes for weights in across]
        if np.all(np.isinf(np.asarray(self.bush_axial_rate).real)):
            supports.append(Support(dict.fromkeys(bushes, moves)))
        else:
            supports += [Support({bush: moves}, 1 / np.asarray(self.bush_axial_rate)) for bush in bushes]
        return [*supports, Support(dict.fromkeys(bushes, turns))]

    def loaded(self, left: Array, right: Array) -> FrameState:
        """The frame under forces at its two ends.

        Args:
            left: on the left end, shape (cases, 3) or (variants, cases, 3) [N]
            right: on the right end, same shape [N]

        """
        frame = self.frame()
        return frame.solved(self._loads(frame, left, right))

    @staticmethod
    def _loads(frame: SpaceFrame, left: Array, right: Array) -> Array:
        ends = np.broadcast_arrays(left, right)
        loads = np.zeros((*ends[0].shape[:-1], frame.nodes, FREEDOMS), np.result_type(*ends, np.float64))
        loads[..., 0, :3], loads[..., -1, :3] = ends
        return loads

    def compliance(self) -> Array:
        """How both ends move under forces on both, turning about the bushes held: (..., 6, 6) [m/N].

        Rows and columns are the left end's x, y, z and the right end's.
        """
        unit_loads = np.eye(6)
        moved = self.loaded(unit_loads[:, :3], unit_loads[:, 3:]).displacement
        ends = np.concatenate((moved[..., 0, :3], moved[..., -1, :3]), axis=-1)
        return np.asarray(ends.swapaxes(-1, -2))

    def levers(self, left: Array, right: Array) -> tuple[Array, Array]:
        """Moment about the bushes' line per force at each end, ``axis · ((end - bush) x direction)`` [m].

        Args:
            left: direction of the left end's force, shape (3,) or (variants, 3) [-]
            right: direction of the right end's force [-]

        """
        ends = ((self.line.start, left), (self.line.end, right))
        one, two = (np.sum(self.axis * cross(end - self.left_bush, unit(way)), axis=-1) for end, way in ends)
        return np.asarray(one), np.asarray(two)

    def twist_compliance(self, left: Array, right: Array) -> Array:
        """Angle between the two arms per torque carried from one to the other [rad/(N m)].

        The ends are loaded along the given directions (of the drop links), each with the force whose moment about the
        bushes is the torque; the angle is the ends' deflection along them over their levers, so that torque times angle
        is the work of the two links.

        Args:
            left: direction of the left end's force, shape (3,) or (variants, 3) [-]
            right: direction of the right end's force, the same sense [-]

        """
        forces = self.end_forces(left, right)
        moved = self.loaded(*(force[..., None, :] for force in forces)).displacement
        left_work, right_work = (
            np.sum(force * moved[..., 0, node, :3], axis=-1) for force, node in zip(forces, (0, -1), strict=True)
        )
        return np.asarray(left_work + right_work)

    def end_forces(self, left: Array, right: Array) -> tuple[Array, Array]:
        """Forces on both ends along given directions that carry a torque of 1 N m, each (..., 3) [N]."""
        one, two = self.levers(left, right)
        if np.any(np.abs(np.real([one, two])) < MM):
            raise InputError("The drop link pulls through the line of the bar's bushes", todo="Check its two ends.")
        return np.asarray(unit(left) / one[..., None]), np.asarray(-unit(right) / two[..., None])

    def twist_rate(self, left: Array, right: Array) -> Array:
        """Torque per angle between the two arms [N m/rad]; see `twist_compliance`.

        Args:
            left: direction of the left end's force [-]
            right: direction of the right end's force [-]

        """
        return np.asarray(1 / self.twist_compliance(left, right))

    def end_rate(self, left: Array, right: Array) -> Array:
        """Force at an end per deflection of that end, the ends loaded against each other [N/m].

        ``2 k / (lever left · lever right)`` with k the twist rate; for a bar whose halves are alike it is what a
        balance at one end reads.

        Args:
            left: direction of the left end's force [-]
            right: direction of the right end's force [-]

        """
        one, two = self.levers(left, right)
        return np.asarray(2 * self.twist_rate(left, right) / (one * two))

    def stiffness_of_ends(self, left: Array, right: Array) -> Array:
        """Forces along two directions per deflection along them, the bar free to turn, (..., 2, 2) [N/m].

        One row for each end. Both ends moving in proportion to their levers (heave, for arms alike) asks for no force;
        one end alone asks for ``k / lever²`` there.

        Args:
            left: direction at the left end [-]
            right: direction at the right end [-]

        """
        one, two = self.levers(left, right)
        twist = np.stack((1 / one, -1 / two), axis=-1)
        rate = self.twist_rate(left, right)[..., None, None]
        return np.asarray(rate * twist[..., :, None] * twist[..., None, :])


def _placed(direction: Array, first: int) -> Array:
    """Three numbers among the six of a node, from the given one on."""
    weights = np.zeros((*direction.shape[:-1], FREEDOMS), direction.dtype)
    weights[..., first : first + 3] = direction
    return weights
