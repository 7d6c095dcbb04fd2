"""An axle whose joints give: bushes that carry what ideal joints would where they were tightened, and its tangent.

Rubber bushes are tightened with the car's weight on its wheels: where it was measured, or where a changed car comes to
stand. There every bush sits where its ideal joint would, carries what that would, and is not twisted.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.solving import inverted, solved
from jounce.car.mechanics.bushes import JointedAxle
from jounce.car.mechanics.model import AxleModel, weight
from jounce.conventions.errors import Impossible
from jounce.elements.bush import displacement_at
from jounce.elements.law import Linear
from jounce.layouts.axle import AxleLinkage, on_the_rig
from jounce.layouts.naming import SIDES, named
from jounce.linkage.balance import Element, balance
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.tree import Pose
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class BushedAxle:
    """One axle with bushes, body, steering gear and wheel heights held.

    Attributes:
        name: "front" or "rear"
        linkage: how it is laid out, every joint one of its own
        stand: its mechanism; both wheels' heights above the road are joints, what bushes release is not
        ideal: the same bodies with ideal joints, driven by wheel travel
        elements: springs, bars, stops, unsprung weights and bushes
        tightened: where its bushes were tightened: its rest there is that of ideal joints

    """

    name: str
    linkage: AxleLinkage
    stand: Mechanism
    ideal: Mechanism
    elements: Mapping[str, Element]
    tightened: Pose

    @property
    def heights(self) -> tuple[str, str]:
        """Names of the wheels' heights above the road."""
        left, right = (named(self.name, side, "road_height") for side in SIDES)
        return left, right


@dataclass(frozen=True, slots=True)
class Tangent:
    """An axle about a batch of states.

    Attributes:
        rows: joints of the stand, then what bushes release
        inverse: coordinates per change of each row, shape (states, coordinates, rows)
        multipliers: loads of the rows that hold the elements' pull, shape (states, rows) [N or N m]
        stiffness: second derivative of the energy on the joints, shape (states, coordinates, coordinates)

    """

    rows: tuple[str, ...]
    inverse: Array
    multipliers: Array
    stiffness: Array

    def ways(self, names: Collection[str]) -> Array:
        """Coordinates per change of the named rows, the other ones held, shape (states, coordinates, names)."""
        return self.inverse[:, :, [self.rows.index(name) for name in names]]


def bushed_axle(axle: AxleModel, jointed: JointedAxle, tightened: AxleStates | None = None) -> BushedAxle:
    """Put the bushes of an axle to work.

    Args:
        axle: the axle complete with its main springs (see `jounce.behaviour.axle.static.loaded`)
        jointed: the same axle with its bushes in place
        tightened: the one state in which its bushes were tightened; as found when left out

    Raises:
        Impossible: a state that the linkage does not reach
    """
    linkage = jointed.linkage
    plain = on_the_rig(linkage)
    heights = tuple(named(axle.name, side, "road_height") for side in SIDES)
    stand, ideal = _holding(plain, heights), _holding(plain, linkage.released)
    elements = {**axle.elements, **_weights(axle)}
    pose = _as_found(stand) if tightened is None else _with_ideal_joints(axle.name, linkage, ideal, tightened)
    bearing = [way.measure for way in jointed.ways.values() if way.carries]
    carried = _carried(stand, linkage, elements, bearing, pose)
    for name, way in jointed.ways.items():
        zero = stand.taken([way.measure]).values(pose)[:, 0]
        if way.carries:
            zero = zero - displacement_at(way.law, carried[way.measure])
        elements[name] = Element(way.measure, way.law, 1.0, zero)
    return BushedAxle(axle.name, linkage, stand, ideal, elements, pose)


def standing(axle: BushedAxle, states: AxleStates | None = None) -> Pose:
    """Poses of an axle at rest on its bushes.

    The contact points stand as high above the road as with ideal joints in the same states.

    Args:
        axle: the axle
        states: wheel travels or roll; where its bushes were tightened when left out

    Raises:
        Impossible: a state that the linkage does not reach, or that finds no rest
    """
    if states is None:
        return axle.tightened
    pose = _with_ideal_joints(axle.name, axle.linkage, axle.ideal, states)
    values = axle.stand.taken(axle.stand.joints).values(pose)
    held = {name: values[:, i] for i, name in enumerate(axle.stand.joints)}
    rest = balance(axle.stand, axle.elements, held, pose)
    if not rest.reached.all():
        raise Impossible(f"The {axle.name} axle finds no rest on its bushes there: check their rates and curves.")
    return rest.pose


def tangent(axle: BushedAxle, pose: Pose) -> Tangent:
    """The axle about states at rest.

    Args:
        axle: the axle
        pose: states from :func:`standing`

    """
    return _tangent(axle.stand, axle.linkage.released, axle.elements, pose)


def _holding(stand: Mechanism, names: Collection[str]) -> Mechanism:
    """The same bodies with further measures as joints."""
    joints = {name: stand.measures[name] for name in (*stand.joints, *names)}
    measures = {name: measure for name, measure in stand.measures.items() if name not in joints}
    return Mechanism(stand.tree.bodies[1:], joints, measures)


def _with_ideal_joints(name: str, linkage: AxleLinkage, ideal: Mechanism, states: AxleStates) -> Pose:
    """The pose that ideal joints have; what is set of a joint on a bush is there a joint by the name of the bush's way."""
    soft = {site.title: site.gives["axial"] for site in linkage.sites.values() if site.kind == "rod" and site.carries}
    arms = {f"{site.title}_fore": site for site in linkage.sites.values() if site.kind == "line"}
    soft |= {joint: site.gives["radial_1"] for joint, site in arms.items() if "radial_1" in site.carries}
    settings = {soft.get(joint, joint): value for joint, value in (states.settings or {}).items()}
    placed = place_axle(ideal, name, replace(states, settings=settings))
    if not placed.reached.all():
        raise Impossible(f"The {name} linkage does not reach the position asked for: ask for less.")
    return placed.pose


def _as_found(stand: Mechanism) -> Pose:
    """The pose as found, once for every variant of the car."""
    return stand.tree.reference_pose(stand.taken(tuple(stand.measures)).variants)


def _weights(axle: AxleModel) -> dict[str, Element]:
    return {
        named(axle.name, side, "unsprung_weight"): Element(
            named(axle.name, side, "centre_height"), Linear(0.0, weight(axle.unsprung[side]))
        )
        for side in SIDES
    }


def _tangent(stand: Mechanism, released: Collection[str], elements: Mapping[str, Element], pose: Pose) -> Tangent:
    rows = (*stand.joints, *released)
    line = stand.taken(rows).linearised(pose)
    inverse: Array = np.asarray(inverted(line.gradient))
    pulled = stand.taken(tuple(dict.fromkeys(element.measure for element in elements.values()))).linearised(pose)
    slope, rate = np.zeros_like(pulled.value), np.zeros_like(pulled.value)
    for element in elements.values():
        row = pulled.measured.row[element.measure]
        x = element.displacement(pulled.value[:, row])
        slope[:, row] += element.sense * element.law.force(x)
        rate[:, row] += element.law.stiffness(x)
    pull = np.einsum("nm,nmq->nq", slope, pulled.gradient)
    multipliers = -np.einsum("nqr,nq->nr", inverse, pull)
    # What bushes release holds nothing: its rows only count along which ways the axle can give.
    holding = np.where(np.arange(len(rows)) < len(stand.joints), multipliers, 0.0)
    stiffness = np.einsum("nmi,nm,nmj->nij", pulled.gradient, rate, pulled.gradient, optimize=True)
    return Tangent(rows, inverse, multipliers, stiffness + pulled.hessian(slope) + line.hessian(holding))


def _carried(
    stand: Mechanism, linkage: AxleLinkage, elements: Mapping[str, Element], carrying: Collection[str], pose: Pose
) -> dict[str, Array]:
    """What the bushes carry in place of ideal joints; two that share one joint's load carry alike [N]."""
    if not carrying:
        return {}
    about = _tangent(stand, linkage.released, elements, pose)
    gradient = stand.taken(tuple(carrying)).linearised(pose).gradient
    share = gradient @ about.ways(linkage.released)  # [state, bush way, released row]
    wanted = about.multipliers[:, [about.rows.index(name) for name in linkage.released]]
    square = share.transpose(0, 2, 1) @ share
    load: Array = np.einsum("nwr,nr->nw", share, solved(square, wanted[..., None])[..., 0])
    return {name: load[:, i] for i, name in enumerate(carrying)}
