"""What every joint, rod and main spring carries for any forces under the wheels, in any placed state.

The axle stands still, its joints ideal. Each main spring is taken as a link that carries what it must where the wheels
are; anti-roll bars, inner bars, bump stops and gas forces carry what their displacement there gives; unsprung weights
act at the wheel centres. All loads follow at once from the joints' multipliers, ``Gᵀ λ = f``: with every main spring
a link there are as many rows as coordinates, so no stiffness plays a part.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.preload import main_spring_name
from jounce.behaviour.axle.road_forces import ACTS, act_name, axes_of, contact_points, road_forces
from jounce.behaviour.axle.wrenches import Wrenches
from jounce.behaviour.solving import solved
from jounce.car.mechanics.model import AxleModel, weight
from jounce.conventions.errors import Impossible
from jounce.layouts.axle import AxleLinkage, on_the_rig, road_body
from jounce.layouts.naming import SIDES, SideName, named
from jounce.layouts.sites import JointSite
from jounce.linkage.measures import AnyMeasure, Component, Distance, MeanComponent
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.tree import Freedom, Pose
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import Z, length, unit


@dataclass(frozen=True, slots=True)
class WheelForces:
    """Forces of the road on both wheels in a number of cases, in the road's axes (x forward, y left, z up).

    Attributes:
        names: a name for each case
        contact: at the contact point, wheel locked to its carrier (outboard brake), shape (cases, 2, 3) [N]
        hub: forward at the wheel centre, torque reacted inboard (drive), shape (cases, 2) [N]
        turn: torque about the road's normal, positive to the left, shape (cases, 2) [N m]

    """

    names: tuple[str, ...]
    contact: Array
    hub: Array
    turn: Array


@dataclass(frozen=True, slots=True)
class SiteLoad:
    """What one joint carries.

    Attributes:
        site: the joint
        force: on its second body, car axes, shape (states, cases, 3) [N]
        axial: of a rod, positive in tension, shape (states, cases) [N]; None for any other joint

    """

    site: JointSite
    force: Array
    axial: Array | None

    @property
    def size(self) -> Array:
        """Size of the force, shape (states, cases) [N]."""
        return length(self.force)[..., 0]


@dataclass(frozen=True, slots=True)
class PivotLoad:
    """Force on a turning body at its pivot [N] and the moment there [N m], car axes, each (states, cases, 3)."""

    force: Array
    moment: Array

    @property
    def size(self) -> Array:
        """Size of the force, shape (states, cases) [N]."""
        return length(self.force)[..., 0]


@dataclass(frozen=True, slots=True)
class AxleLoads:
    """All loads of an axle, states first, cases second.

    Attributes:
        cases: names of the cases
        sites: joints and rods, by full name
        springs: main springs, positive as the spring carries (compressed, wound up) [N or N m]
        pivots: bodies that turn on another about a fixed line, by full name
        held: what holds the steering gear and other rows that belong to no joint, by row [N or N m]; of the rack the
            force with which the tie rods push it to the left
        elements: other elements (bars, stops, gas), by name, shape (states, 1) [N or N m]
        wrenches: everything that acts on every body

    """

    cases: tuple[str, ...]
    sites: Mapping[str, SiteLoad]
    springs: Mapping[SideName, Array]
    pivots: Mapping[str, PivotLoad]
    held: Mapping[str, Array]
    elements: Mapping[str, Array]
    wrenches: Wrenches


def axle_loads(
    axle: AxleModel, linkage: AxleLinkage, forces: WheelForces, states: AxleStates | None = None
) -> AxleLoads:
    """Loads of an axle in every state under every case.

    Args:
        axle: the axle; its main springs' own laws play no part
        linkage: the same axle laid out with every joint one of its own and none left to a bush
        forces: forces of the road
        states: where the wheels are; as found when left out

    Raises:
        Impossible: a state that the linkage does not reach
    """
    stand = on_the_rig(linkage)
    placed = place_axle(stand, axle.name, states or AxleStates())
    if not placed.reached.all():
        raise Impossible(f"The {axle.name} linkage does not reach the position asked for: ask for less.")
    return _Loads(axle, linkage, stand, placed.pose, forces).all()


class _Loads:
    """One axle in a batch of placed states."""

    def __init__(
        self, axle: AxleModel, linkage: AxleLinkage, stand: Mechanism, pose: Pose, forces: WheelForces
    ) -> None:
        self.axle, self.linkage, self.stand, self.pose, self.forces = axle, linkage, stand, pose, forces
        self.springs = {side: axle.main[side] for side in SIDES}
        self.rows = (*stand.joints, *(spring.measure for spring in self.springs.values()))
        main = {main_spring_name(axle.name, side) for side in SIDES}
        self.others = {name: element for name, element in axle.elements.items() if name not in main}
        self.element_forces = self._element_forces()
        self.load = self._multipliers()

    def _element_forces(self) -> dict[str, Array]:
        names = tuple(dict.fromkeys(element.measure for element in self.others.values()))
        measured = self.stand.taken(names)
        value = measured.values(self.pose)
        return {
            name: np.reshape(e.law.force(e.displacement(value[:, measured.row[e.measure]])) + 0 * value[:, 0], (-1, 1))
            for name, e in self.others.items()
        }

    def _multipliers(self) -> Array:
        """Loads of all rows, shape (states, rows, cases)."""
        gradient = self.stand.taken(self.rows).linearised(self.pose).gradient
        wanted = self._road_pull()
        travel = [named(self.axle.name, side, "travel") for side in SIDES]
        pulls = [(name, weight(self.axle.unsprung[side])) for name, side in zip(travel, SIDES, strict=True)]
        pulls += [(e.measure, e.sense * self.element_forces[name][:, 0]) for name, e in self.others.items()]
        line = self.stand.taken(tuple(dict.fromkeys(name for name, _ in pulls))).linearised(self.pose)
        for name, pull in pulls:
            wanted = wanted - (np.reshape(pull, (-1, 1)) * line.gradient[:, line.measured.row[name]])[..., None]
        return np.asarray(solved(gradient.transpose(0, 2, 1), wanted))

    def _road_pull(self) -> Array:
        roads = road_forces(self.linkage, self.stand, self.pose)
        names = [act_name(self.axle.name, side, act) for act in ACTS for side in SIDES]
        gradient = roads.taken(names).linearised(self.pose).gradient
        return np.asarray(gradient.transpose(0, 2, 1) @ self._by_act().T)

    def _by_act(self) -> Array:
        """Forces in the order of acts and sides, shape (cases, acts * 2)."""
        contact = [self.forces.contact[:, :, axis] for axis in range(3)]
        return np.concatenate((*contact, self.forces.hub, self.forces.turn), axis=1)

    def all(self) -> AxleLoads:
        """Everything that is told of the loads."""
        wrenches = self._wrenches()
        in_sites = {row for site in self.linkage.sites.values() for row in (*site.rows, *site.shared)}
        held = {
            row: self._row(row)
            for row in self.linkage.joints
            if row not in in_sites and not row.rpartition(".")[2].startswith(("top_plate", "shim_", "watt_bracket"))
        }
        return AxleLoads(
            self.forces.names,
            {title: self._site(site) for title, site in self.linkage.sites.items()},
            {side: spring.sense * self._row(spring.measure) for side, spring in self.springs.items()},
            self._pivots(wrenches),
            held,
            self.element_forces,
            wrenches,
        )

    def _row(self, name: str) -> Array:
        return self.load[:, self.rows.index(name)]

    def _site(self, site: JointSite) -> SiteLoad:
        joints = self.stand.measures
        force = sum(self._on_second(joints[row], self._row(row)) for row in (*site.rows, *site.shared))
        return SiteLoad(site, np.asarray(force), self._row(site.rows[0]) if site.kind == "rod" else None)

    def _on_second(self, measure: AnyMeasure, load: Array) -> Array:
        """Force of one row on the site's second body, shape (states, cases, 3)."""
        match measure:
            case Distance():
                start, end = (self.stand.position(self.pose, point) for point in (measure.start, measure.end))
                return np.asarray(-load[..., None] * unit(end - start)[:, None])
            case Component():
                return np.asarray(-load[..., None] * self.stand.direction(self.pose, measure.along)[:, None])
            case MeanComponent():
                return np.asarray(-0.5 * load[..., None] * self.stand.direction(self.pose, measure.along)[:, None])
            case _:
                raise TypeError(f"a joint is no {type(measure).__name__}")

    def _wrenches(self) -> Wrenches:
        wrenches = Wrenches(self.stand, self.pose)
        for row in self.rows:
            wrenches.add_pull(self.stand.measures[row], self._row(row))
        for name, element in self.others.items():
            wrenches.add_pull(self.stand.measures[element.measure], element.sense * self.element_forces[name])
        for k, side in enumerate(SIDES):
            self._wheel(wrenches, side, k)
        return wrenches

    def _wheel(self, wrenches: Wrenches, side: SideName, k: int) -> None:
        """Road forces and weight of one wheel on its carrier."""
        wheel = self.linkage.wheels[side]
        carrier, centre = wheel.centre.body, self.stand.position(self.pose, wheel.centre)
        road = axes_of(self.stand, self.pose, road_body(self.axle.name))
        contact = np.einsum("nij,cj->nci", road, self.forces.contact[:, k])
        wrenches.add_force(carrier, contact_points(self.linkage, self.stand, self.pose, side), contact)
        ahead, normal = road[:, None, :, 0], road[:, None, :, 2]
        wrenches.add_force(carrier, centre, self.forces.hub[None, :, k, None] * ahead)
        wrenches.add_moment(carrier, self.forces.turn[None, :, k, None] * normal)
        wrenches.add_force(carrier, centre, np.reshape(-weight(self.axle.unsprung[side]), (-1, 1, 1)) * Z)

    def _pivots(self, wrenches: Wrenches) -> dict[str, PivotLoad]:
        """What the bodies that turn on another get from their pivots: the rest of what acts on them, reversed."""
        found = {}
        for body in self.linkage.bodies:
            if body.freedom is Freedom.HINGE:
                force, moment = wrenches.left_over(body.name)
                found[body.name] = PivotLoad(-force, -moment)
        return found
