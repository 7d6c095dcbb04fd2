"""Axles on bushes for the tests: bare ones made by hand, and the demo car's with bushes added to its file."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.resources import files

import numpy as np

from jounce.behaviour.axle.compliant import bushed_axle
from jounce.behaviour.axle.static import loaded
from jounce.car.file.reading import parse_car
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.bushes import BushWay, JointedAxle, jointed_axle
from jounce.car.mechanics.model import AxleModel
from jounce.elements.law import Linear
from jounce.layouts.axle import Setting, on_the_rig, road_body
from jounce.layouts.builder import laid_out
from jounce.layouts.naming import SIDES
from jounce.layouts.sites import RADIAL, BushInput

BUSHES = """
[front.bushes.arm_front]
radial = "8000 N/mm"
axial = "1000 N/mm"
torsional = "1.5 N·m/deg"
conical = "5 N·m/deg"
[front.bushes.arm_rear]
radial = "8000 N/mm"
axial = "1000 N/mm"
[front.bushes.top_mount]
radial = "2000 N/mm"
[front.bushes.tie_rod]
axial = "20000 N/mm"
[rear.bushes.arm_bush]
radial_curve = [[0, 0], [0.5, 1200], [1, 4000]]
axial = "500 N/mm"
[rear.bushes.panhard]
axial = "4000 N/mm"
"""


@cache
def bushed_document(bushes=BUSHES):
    """The demo car with bushes."""
    text = files("jounce.demo").joinpath("brisk-14.toml").read_text("utf-8")
    return parse_car(text + bushes, "brisk-14.toml")


def demo_pair(axle, *, rigid=False, bushes=BUSHES):
    """An axle of the demo car as a model with its springs loaded, and with its joints."""
    document = bushed_document(bushes)
    return loaded(axle_model(document, axle))[0], jointed_axle(document, axle, rigid=rigid)


def demo_bushed(axle, *, rigid=False, bushes=BUSHES, stiffer=None):
    """An axle of the demo car on its bushes."""
    model, jointed = demo_pair(axle, rigid=rigid, bushes=bushes)
    return bushed_axle(model, jointed if stiffer is None else jointed.stiffer(stiffer))


def bare_model(layout, given, name="axle"):
    """An axle without springs, weight or load."""
    linkage = laid_out(layout.build, Setting(name, road=road_body(name)), given)
    nothing = dict.fromkeys(SIDES, np.zeros(1))
    return AxleModel(
        name=name,
        layout=layout.name,
        linkage=linkage,
        stand=on_the_rig(linkage),
        main={},
        elements={},
        groups={},
        corner_load=nothing,
        unsprung=nothing,
        tyre_rate=nothing,
        stops=(),
    )


def bare_jointed(layout, given, rates, name="axle"):
    """An axle with linear bushes: rates by joint and way ("radial", "axial", "torsional", "conical") [N/m, N m/rad]."""
    bushes = {
        joint: BushInput("radial" in ways, "axial" in ways, bool({"torsional", "conical"} & set(ways)))
        for joint, ways in rates.items()
    }
    jointed = replace(given, jointed=True, bushes=bushes)
    linkage = laid_out(layout.build, Setting(name, road=road_body(name)), jointed)
    ways = {}
    for site in linkage.sites.values():
        for way, rate in rates.get(site.name, {}).items():
            each = {"radial": RADIAL, "conical": ("conical_1", "conical_2")}.get(way, (way,))
            ways |= {site.gives[one]: BushWay(site.gives[one], Linear(rate), one in site.carries) for one in each}
    return JointedAxle(linkage, ways)


def bare_bushed(layout, given, rates):
    """An axle with nothing but linear bushes."""
    return bushed_axle(bare_model(layout, given), bare_jointed(layout, given, rates))
