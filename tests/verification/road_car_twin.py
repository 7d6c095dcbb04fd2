"""The whole car on its road once more in a general multibody library: every body, joint, spring and tyre as a part.

The car's body is one rigid body among the others, held forward, sideways and in yaw only. A tyre is built, not
calculated: a massless hoop that turns on the wheel's axis and is kept upright, with a spring between its lowest point
and the ground. Of the program's results only the forces along the road are taken, as applied forces.
Source of the second method: exudyn (J. Gerstmayr), static solution of rigid bodies in Euler parameters.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import exudyn
import numpy as np
from exudyn import SolverError
from exudyn.itemInterface import (
    CartesianSpringDamper,
    LoadForceVector,
    LoadTorqueVector,
    MarkerBodyRigid,
    SpringDamper,
    TorsionalSpringDamper,
)

from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import axle_given
from jounce.conventions.axes import End, Side
from jounce.layouts.axle_input import WheelInput
from tests.demo_axles import layout_given
from tests.verification.layout_twins import _TOLD, SIDES, Twin, X, Y, Z
from tests.verification.multibody import Multibody, axis_from_angles, frame_along

AXLES = ("front", "rear")
GRAVITY = 9.80665  # [m/s²], CGPM 1901
WHEELS = [(axle, side) for axle in AXLES for side in SIDES]
_GIVES = 3  # where the displacement is among what the library tells a force law
_SMALLEST = 0.1  # step of the accelerations below which the library is not asked again [m/s²]
_HOOP = 0.2  # half the distance of the points that keep a hoop upright [m]
_LEVER = 0.3  # arm of the rocker that makes two points go opposite ways [m]
_ABOVE = 0.5  # height over a leaf's seat from where its drop is measured [m]
_ALONG = dict(zip("xyz", np.eye(3), strict=True))


class Mounted(Multibody):
    """What a layout's twin is told to, with the car's moving body for its ground.

    Drives and ties that the twins make along the ground's axes are made along the body's. ``gear`` is how far the
    steering gear's own point is held from as found [m].
    """

    def __init__(self, car: Multibody) -> None:
        self.gear = 0.0
        self.container, self.system, self.still = car.container, car.system, car.still
        self.bodies = {"ground": car.bodies["body"]}
        self.origins = {"ground": car.origins["body"]}
        self.nodes, self.driven, self.held = {}, {}, {}
        self.asked = None

    def drive(self, name, body, letter):
        """Hold a body's own point on the car's body along one of its axes; the wheels are left free."""
        if name not in SIDES:
            self._abreast("ground", body, body, letter, self.gear if name == "gear" else 0.0)

    def tie(self, first, second, letter, sense):
        """As on the ground, along an axis of the car's body: by sliders, and a rocker where they go opposite ways."""
        along = _ALONG[letter]
        sliders = [f"{first}.follows_{i}" for i in (0, 1)]
        for slider, leader in zip(sliders, (first, second), strict=True):
            self.follower(slider, leader, self.origins[leader], letter)
        if sense > 0:
            self.joint(sliders[0], self.origins[second], sliders[1], self.origins[second], [0, 0, 1, 0, 0, 0], along)
            return
        across = X if letter == "y" else Y
        middle = 0.5 * (self.origins[first] + self.origins[second])
        rocker = f"{first}.rocker"
        self.body(rocker, middle)
        self.hinge("ground", rocker, middle, np.cross(across, along))
        for slider, end in zip(sliders, (1, -1), strict=True):
            pin = middle + end * _LEVER * across
            self.joint(rocker, middle, slider, pin, [0, 0, 1, 0, 0, 0], along)

    def follower(self, name, body, at, letter):
        """A body that slides along an axis of the car's body as a point of another one leads it."""
        self.body(name, at)
        self.slide("ground", name, at, _ALONG[letter])
        self.joint(name, at, body, at, [0, 0, 1, 0, 0, 0], _ALONG[letter])

    def _abreast(self, carrier, body, at, letter, offset=0.0):
        """A body's point stays on a plane of another, square to an axis."""
        point, along = self.origins[at], _ALONG[letter]
        self.joint(carrier, point + offset * along, body, point, [0, 0, 1, 0, 0, 0], along)

    def turned(self, body, on, along):
        """As on the ground; while it is being asked it notes what it was asked for."""
        if self.asked is not None:
            self.asked.append((body, on, np.asarray(along, dtype=float)))
            return 0.0
        return super().turned(body, on, along)


class MountedTwin(Twin):
    """A layout's twin that remembers between which points each length is (and, of a leaf, its seat)."""

    def apart(self, name, first, second):
        """See `Twin`."""
        super().apart(name, first, second)
        self.__dict__.setdefault("ends", {})[name] = (first, second)


@dataclass
class Found:
    """Where the car stands in the multibody library; wheels are (front, rear) x (left, right).

    Attributes:
        travel: wheel travels in the body's axes [m]
        load: tyre loads [N]
        heave: rise of the body's origin [m]
        pitch: positive nose down [rad]
        roll: positive right side down [rad]
        centre: wheel centres, road axes [m]
        axis: wheel axes, road axes [-]
        foot: where the wheels' planes meet the ground [m]
        held: forces that hold the body forward and sideways [N], and in yaw 1 m ahead of its origin [N]
        readings: what the layouts' twins measure on the body [m or rad]

    """

    travel: np.ndarray
    load: np.ndarray
    heave: float
    pitch: float
    roll: float
    centre: np.ndarray
    axis: np.ndarray
    foot: np.ndarray
    held: np.ndarray
    readings: dict[str, float] = field(default_factory=dict)


class RoadCarTwin:
    """A car of a document in the multibody library.

    Args:
        document: the car
        car: the program's own, for the laws of its springs and stops and for what is aboard
        rack: displacement of the front axle's rack [m]

    """

    def __init__(self, document: CarDocument, car: RoadCar, rack: float = 0.0) -> None:
        self.document, self.car, self.model = document, car, Multibody()
        self.ground = np.zeros((2, 2))
        self.rods, self.twins, self.hubs = {}, {}, {}
        self._body()
        for k, axle in enumerate(AXLES):
            self._axle(k, axle, document.axle(End(axle)), rack if axle == "front" else 0.0)
        self._loads()
        self.model.system.Assemble()
        self.acting, self.rack = np.zeros(2), rack
        self.put_shafts = True

    # ------------------------------------------------------------------------------------------------------ parts

    def _body(self):
        model = self.model
        model.body("body", np.zeros(3))
        model.feeler("nose", "body", X)
        for name, body, letter in (("x", "body", "x"), ("y", "body", "y"), ("yaw", "nose", "y")):
            model.drive(name, body, letter)

    def _axle(self, k, axle, section, rack):
        given = _one_car(axle_given(section, axle), section.as_layout())
        mounted = Mounted(self.model)
        twin = MountedTwin(mounted, given)
        if given.choices["steering"] == "rack":
            mounted.gear = rack
        _TOLD[section.layout](twin)
        self.twins[axle] = twin
        self.rods |= {f"{axle}.{name}": drive for name, drive in mounted.driven.items()}
        for s, side in enumerate(SIDES):
            self._wheel(mounted, twin, k, s, side)
        for element in self.car.axles[k].axle.elements.values():
            self._spring(mounted, twin, element, element.measure.removeprefix(f"{axle}."))

    def _wheel(self, mounted, twin, k, s, side):
        """The tyre: a hoop on the wheel's axis, level from front to rear, a spring below its lowest point."""
        wheel, centre, hoop = twin.given.wheels[side], twin.at(side, "wheel_centre"), f"{side}.hoop"
        axis = axis_from_angles(wheel.camber, wheel.toe, side)
        up = Z - axis[2] * axis
        up /= np.linalg.norm(up)
        ahead = np.cross(axis, up)
        mounted.body(hoop, centre)
        mounted.hinge(twin.carriers[side], hoop, centre, axis)
        for end, sign in (("fore", 1.0), ("aft", -1.0)):
            mounted.feeler(f"{hoop}.{end}", hoop, centre + sign * _HOOP * ahead)
        Multibody.tie(mounted, f"{hoop}.fore", f"{hoop}.aft", "z", 1.0)
        foot = centre - wheel.loaded_radius * up
        section, this = self.document.axle(End(AXLES[k])), Side(side)
        load = GRAVITY * self.document.mass.corner(End(AXLES[k]), this).value
        rate = section.side(this).wheel.tyre_rate.value
        markers = self.model._markers("ground", foot, "ground", foot)[:1] + mounted._markers(hoop, foot, hoop, foot)[:1]

        def push(*told):
            rise = told[_GIVES][2] - self.ground[k, s]
            return [0.0, 0.0, -max(load - rate * rise, 0.0)]

        tyre = self.model.system.AddObject(CartesianSpringDamper(markerNumbers=markers, springForceUserFunction=push))
        self.hubs[k, s] = (mounted, twin.carriers[side], centre, axis, foot, tyre)

    def _spring(self, mounted, twin, element, measure):
        law, sense, zero = element.law, element.sense, float(np.ravel(element.zero)[0])

        def pull(value):
            return float(np.ravel(sense * law.force(np.array([sense * (value - zero)])))[0])

        add = self.model.system.AddObject
        if twin.given.spring == "leaf" and measure.endswith(".spring"):
            self._leaf(mounted, twin, measure.removesuffix(".spring"), pull)
            return
        if measure in twin.ends:
            (first, a), (second, b) = twin.ends[measure]
            found = float(np.linalg.norm(b - a))
            add(
                SpringDamper(
                    markerNumbers=mounted._markers(first, a, second, b),
                    referenceLength=found,
                    springForceUserFunction=lambda *told: pull(found + told[_GIVES]),
                )
            )
            return
        mounted.asked = []
        twin.readings[measure]()
        (body, on, along), *more = mounted.asked
        mounted.asked = None
        on = more[0][0] if more else on  # two halves turning on one line: one against the other
        add(
            TorsionalSpringDamper(
                markerNumbers=mounted._markers(
                    on, mounted.origins[on], body, mounted.origins[body], frame_along(along)
                ),
                springTorqueUserFunction=lambda *told: pull(told[_GIVES]),
            )
        )

    def _leaf(self, mounted, twin, side, pull):
        """A leaf is loaded as its seat rises in the body: a spring from above to a slider that the seat leads."""
        seat, ends = twin.at(side, "leaf_seat"), [twin.at(side, name)[2] for name in ("front_eye", "rear_eye")]
        carrier, above = "tube" if side == "left" else "right.carrier", seat + _ABOVE * Z
        mounted.follower(f"{side}.leaf", carrier, seat, "z")
        drop = float(np.mean(ends) - seat[2])
        self.model.system.AddObject(
            SpringDamper(
                markerNumbers=mounted._markers("ground", above, f"{side}.leaf", seat),
                referenceLength=_ABOVE,
                springForceUserFunction=lambda *told: pull(drop + told[_GIVES]),
            )
        )

    def _loads(self):
        """Forces at the masses and at the feet, their sizes still open; the body's mass is what the wheels leave."""
        self.system, self.weights, self.feet = self.model.system, [], {}
        whole, moment = 0.0, np.zeros(3)
        for (k, s), (mounted, carrier, centre, _, lowest, _) in self.hubs.items():
            end = End(AXLES[k])
            weighed = self.document.mass.corner(end, Side(SIDES[s])).value
            hanging = self.document.mass.unsprung(end).value
            self.weights.append((hanging, self._force(mounted, carrier, centre)))
            self.feet[k, s] = self._force(mounted, carrier, centre), self._torque(mounted, carrier)
            height = self.document.mass.centre_of_gravity_height.value
            moment += weighed * np.array([lowest[0], lowest[1], height]) - hanging * centre
            whole += weighed - hanging
        aboard = [(load.mass, load.at) for load in self.car.loads]
        for mass, place in [(whole, moment / whole), *aboard]:
            self.weights.append((mass, self._force(self.model, "body", place)))
        self.turning_body = self._torque(self.model, "body")

    def _marker(self, model, body, at):
        place = exudyn.HT(rotation=np.eye(3), translation=at - model.origins[body])
        return model.system.AddMarker(MarkerBodyRigid(bodyNumber=model.bodies[body], localHT=place))

    def _force(self, model, body, at):
        return model.system.AddLoad(LoadForceVector(markerNumber=self._marker(model, body, at)))

    def _torque(self, model, body):
        marker = self._marker(model, body, model.origins[body])
        return model.system.AddLoad(LoadTorqueVector(markerNumber=marker))

    # --------------------------------------------------------------------------------------------------- statics

    def rest(self, across, ahead, ground=None, settings=None):
        """Where the car comes to rest, led there from where it is, by smaller steps where the library asks for them.

        Args:
            across: lateral acceleration [m/s²]
            ahead: longitudinal acceleration [m/s²]
            ground: height of the ground under each wheel [m]
            settings: rods by name with their lengths [m]

        Returns:
            Where it stands, and the program's result in the same state, of which only the forces along the road were
            taken

        """
        self.ground = np.zeros((2, 2)) if ground is None else ground
        for name, length in (settings or {}).items():
            constraint, parameter, _ = self.rods[name]
            self.system.SetObjectParameter(constraint, parameter, length)
        ours = self._lead(np.array([across, ahead], dtype=float), _SMALLEST)
        return self._found(), ours

    def _lead(self, goal, smallest):
        ours = at_rest(self.car, steady(*goal, ground=self.ground, rack=self.rack))
        self._put(*goal, ours.acted)
        try:
            self.system.SolveStatic(_settings(), updateInitialValues=True)
        except SolverError:
            if np.abs(goal - self.acting).max() < smallest:
                raise
            self._lead(0.5 * (goal + self.acting), smallest)
            return self._lead(goal, smallest)
        self.acting = goal
        return ours

    def _put(self, across, ahead, now):
        """Weights, inertia forces, and the program's forces along the road, at the masses and feet."""
        put, shafts = self.system.SetLoadParameter, np.zeros(3)
        for mass, load in self.weights:
            put(load, "loadVector", list(mass * np.array([-ahead, -across, -GRAVITY])))
        for where, (force, torque) in self.feet.items():
            lateral, along = now.lateral[0][where], now.ahead[0][where]
            arm = now.foot[0][where] - now.centre[0][where]
            put(force, "loadVector", [along, lateral, 0.0])
            driving = np.cross(arm, [max(along, 0.0), 0.0, 0.0])
            by_shaft = (driving @ now.axis[0][where]) * now.axis[0][where]  # the rest of it the carrier takes
            put(torque, "loadVector", list(np.cross(arm, [along, lateral, 0.0]) - by_shaft))
            shafts += by_shaft
        put(self.turning_body, "loadVector", list(self.put_shafts * shafts))

    def _found(self):
        body = self.model.rotation("body")
        ahead = body[:, 0]
        place = self.model.position("body", np.zeros(3))
        shape = (2, 2, 3)
        centre, axis, foot = np.zeros(shape), np.zeros(shape), np.zeros(shape)
        travel, load = np.zeros((2, 2)), np.zeros((2, 2))
        for where, (mounted, carrier, found, along, lowest, tyre) in self.hubs.items():
            centre[where], axis[where] = mounted.position(carrier, found), mounted.direction(carrier, along)
            travel[where] = (body.T @ (centre[where] - place))[2] - found[2]
            load[where] = -self.system.GetObjectOutput(tyre, exudyn.OutputVariableType.Force)[2]
            down = axis[where][2] * axis[where] - Z  # in the wheel's plane
            foot[where] = centre[where] + down * (centre[where][2] - lowest[2] - self.ground[where]) / -down[2]
        held = [self._held(name) for name in ("x", "y", "yaw")]
        readings = {
            f"{axle}.{name}": float(read())
            for axle, twin in self.twins.items()
            for name, read in twin.readings.items()
            if name in twin.ends or name.endswith(("_angle", "_twist", ".torsion_bar"))
        }
        return Found(
            travel=travel,
            load=load,
            heave=float(place[2]),
            pitch=float(np.arctan2(-ahead[2], ahead[0])),
            roll=float(np.arctan2(body[2, 1], body[2, 2])),
            centre=centre,
            axis=axis,
            foot=foot,
            held=np.array(held),
            readings=readings,
        )

    def _held(self, name):
        constraint = self.model.driven[name][0]
        return float(self.system.GetObjectOutput(constraint, exudyn.OutputVariableType.Force))


def _one_car(given, layout):
    """What an axle is laid out from, of a car without variants; where it has no roll bar it gets one without a spring."""
    wheels = {
        side: WheelInput(*(float(np.ravel(value)[0]) for value in (wheel.camber, wheel.toe, wheel.loaded_radius)))
        for side, wheel in given.wheels.items()
    }
    return replace(given, wheels=wheels, anti_roll_bars=given.anti_roll_bars or layout_given(layout).anti_roll_bars)


def _settings():
    settings = exudyn.SimulationSettings()
    settings.solution.file.write = False
    settings.staticSolver.verboseMode = 0
    settings.staticSolver.useLoadFactor = False
    settings.staticSolver.adaptiveStep = False
    settings.staticSolver.newton.relativeTolerance = 1e-30  # the absolute one decides
    settings.staticSolver.newton.absoluteTolerance = 1e-8  # [N, m]
    settings.staticSolver.newton.maxIterations = 30
    return settings
