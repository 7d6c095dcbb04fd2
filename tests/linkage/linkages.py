"""Small linkages whose whole behaviour is known by heart, and random poses of the demo axles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jounce.layouts.axle import Setting, on_the_rig, road_body
from jounce.layouts.builder import laid_out
from jounce.layouts.strut_torsion_bar import STRUT_TORSION_BAR
from jounce.linkage.measures import Bearing, Component, CoordinateSum, Distance, MeanComponent
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.tree import GROUND, Body, Direction, Freedom, Point, Segment
from tests.demo_axles import MIRROR, beam_axle, strut_axle, strut_given

X, Y, Z = np.eye(3)
CRANK, ROD = 0.1, 0.25
AXLES = {"front": strut_axle()[1], "rear": beam_axle()[1]}


def slider_crank(angle=np.pi / 3, crank=CRANK, rod=ROD):
    """A crank about z at the origin and a slider along x, joined by a rod; ``angle`` of the crank as found [rad].

    Drives: ``slide`` (the slider's displacement) or ``crank`` (the crank's turn). The slider comes furthest when crank
    and rod lie in one line, at ``crank + rod`` from the origin.
    """
    tip = crank * np.array([np.cos(angle), np.sin(angle), 0.0])
    pin = np.array([tip[0] + np.sqrt(rod**2 - tip[1] ** 2), 0.0, 0.0])
    bodies = [Body("arm", Freedom.HINGE, np.zeros(3), Z), Body("slider", Freedom.SLIDE, pin, X)]
    joints = {"connecting_rod": Distance(Point("arm", tip), Point("slider", pin))}
    measures = {
        "crank": CoordinateSum({"arm": 1.0}),
        "slide": CoordinateSum({"slider": 1.0}),
        "elbow": Component(Point("arm", tip), Direction(GROUND, Y)),
    }
    return Mechanism(bodies, joints, measures), pin[0]


def chain():
    """Every freedom on top of every other, and every kind of measure across them."""
    bodies = [
        Body("slide", Freedom.SLIDE, np.array([0.1, 0.0, 0.2]), X),
        Body("hinge", Freedom.HINGE, np.array([0.2, 0.1, 0.2]), (Y + Z) / np.sqrt(2), parent="slide"),
        Body("bracket", Freedom.FIXED, np.array([0.3, 0.1, 0.1]), parent="hinge"),
        Body("second_slide", Freedom.SLIDE, np.array([0.3, 0.2, 0.1]), (X - Z) / np.sqrt(2), parent="bracket"),
        Body("second_hinge", Freedom.HINGE, np.array([0.4, 0.2, 0.3]), X, parent="second_slide"),
        Body("free", Freedom.FREE, np.array([0.1, 0.5, 0.4])),
        Body("on_free", Freedom.HINGE, np.array([0.2, 0.6, 0.4]), Z, parent="free"),
    ]
    end = Point("second_hinge", np.array([0.5, 0.3, 0.1]))
    loose = Point("on_free", np.array([0.3, 0.7, 0.2]))
    turned = Direction("second_hinge", (X + Y) / np.sqrt(2))
    measures = {
        "distance": Distance(end, loose),
        "component": Component(Segment(end, loose), Direction("free", Y)),
        "cosine": Component(turned, Direction("on_free", Z)),
        "mean": MeanComponent(Segment(end, loose), Segment(Point(GROUND, X), end), Direction("hinge", Z)),
        "bearing": Bearing(Segment(end, loose), Direction("hinge", X), turned),
        "sum": CoordinateSum({"slide": 2.0, "on_free": -1.0}),
    }
    return Mechanism(bodies, {}, measures)


def random_poses(mechanism, states, seed, size=0.3):
    """Poses after random increments of all coordinates [m or rad]."""
    increment = np.random.default_rng(seed).uniform(-size, size, (states, mechanism.tree.size))
    return mechanism.moved(mechanism.tree.reference_pose(states), increment)


def mixed_second(measured, pose, one, other, acceleration):
    """Mixed second derivative of measures by the paths of two motions, (states, measures)."""
    motions = np.stack((one, other), axis=1)
    return measured.seconds(pose, motions, [(0, 1)], acceleration[:, None])[:, 0]


def strut_with_variants(pivot, values):
    """The strut axle on its stand with several places [mm] of one pivot, the same on both sides."""
    given = strut_given()
    places = {"left": np.array(values) * 1e-3, "right": np.array(values) * 1e-3 * MIRROR}
    pivots = {side: {**points, pivot: places[side]} for side, points in given.pivots.items()}
    setting = Setting("front", road=road_body("front"))
    return on_the_rig(laid_out(STRUT_TORSION_BAR.build, setting, replace(given, pivots=pivots)))
