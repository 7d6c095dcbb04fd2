"""Cars that are no demo cars: axles that no demo car joins, little measured.

Some are made of sections of several demo cars, written nowhere but into a test's own folder; the last five are files of
their own in `written_cars`, as somebody wrote them who had the pages on the car file and nothing else. Each comes with a
job of several wishes.
"""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import tomlkit

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.job.file import parse_job

__all__ = ["AT_ODDS", "BARS_EVERYWHERE", "ODD_CARS", "RAISED", "STEERED_LINKS", "WRITTEN_CARS", "odd_case"]

Keys = Mapping[str, Any]
"""Changed keys by their way in a section, as `spring/rate`; None takes one out."""
_BARE = dict.fromkeys(
    ("roll_bar", "bump_stop", "clearance", "drive_shaft", "interfaces", "pivots_plus_minus", "pivots_from")
)
_BAR = {
    "diameter": 16,
    "arm_end": [-2640, 600, 330],
    "bend": [-2450, 520, 330],
    "bush": [-2450, 400, 330],
    "link_end": [-2640, 610, 240],
    "link_on": "knuckle",
}


def _file(name: str) -> dict[str, Any]:
    return tomllib.loads(files("jounce.demo").joinpath(f"{name}.toml").read_text("utf-8"))


def _with(section: dict[str, Any], keys: Keys) -> dict[str, Any]:
    changed = copy.deepcopy(section)
    for way, value in keys.items():
        *steps, last = way.split("/")
        place = changed
        for step in steps:
            place = place.setdefault(step, {})
        if value is None:
            place.pop(last, None)
        else:
            place[last] = value
    return changed


def _pair(
    front: str,
    rear: str,
    wanted: Keys,
    cars: tuple[Keys, Keys, Keys] = ({}, {}, {}),
    changes: tuple[Keys, Keys] = ({}, {}),
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Front and rear of two demo cars with their jobs' parts: the car file and the job file.

    Args:
        front: demo car of the front axle
        rear: that of the rear axle
        wanted: what is asked for
        cars: changed keys of front axle, rear axle and weights
        changes: changed keys of the jobs' change lists, front and rear
    """
    one, other = _file(front), _file(rear)
    weights = {key: value for key, value in other["mass"].items() if "rear" in key}
    heights = {key: value for key, value in other["heights"].items() if "rear" in key}
    car = {
        **{key: one[key] for key in ("car", "measured")},
        "mass": _with(one["mass"] | weights, cars[2]),
        "heights": one["heights"] | heights,
        "front": _with(one["front"], cars[0]),
        "rear": _with(other["rear"], cars[1]),
    }
    lists = (_file(f"{name}-lower")["change"][end] for name, end in ((front, "front"), (rear, "rear")))
    change = {end: _with(part, keys) for end, part, keys in zip(("front", "rear"), lists, changes, strict=True)}
    return car, {"job": {"name": "odd", "car": "odd.toml"}, "wanted": dict(wanted), "change": change}


def _hardly_measured() -> tuple[dict[str, Any], dict[str, Any]]:
    """Weights, heights and pivots without a ±, no bars, no stops, no room measured, and nothing changed."""
    wanted = {"front": {"lower": 30, "toe": 0}, "rear": {"lower": 30}}
    sure = {"front_left": 262, "front_right": 258, "rear_left": 168, "rear_right": 166}
    sure |= {"unsprung_front": 29, "unsprung_rear": 24, "centre_of_gravity_height": 525}
    car, job = _pair("tansy-11", "tansy-11", wanted, (_BARE, _BARE, sure))
    return car, job | {"change": {}}


def _written(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """A car and its job that are files of their own."""
    car, job = (tomllib.loads((_WRITTEN / f"{one}.toml").read_text("utf-8")) for one in (name, f"{name}-job"))
    return car, job


_WRITTEN = Path(__file__).parent / "written_cars"

BARS_EVERYWHERE = "wishbones with torsion bars at the upper arms, semi-trailing arms with torsion bars"
STEERED_LINKS = "five links in front, steered; trailing arms with coils"
RAISED = "struts with torsion bars on bolts, beam whose Watt rocker is on the body, raised"
AT_ODDS = "leading arms of their own with a rack, struts on links; heights and cross weight at odds"

ODD_CARS = {
    "wishbones with torsion bars and no bar, dead axle on leaves with shackles": lambda: _pair(
        "yarrow-12",
        "bracken-16",
        {
            "cross_weight": "50 %",
            "front": {"lower": 28, "camber": -0.8, "caster": 3.9, "toe": 0.05, "bump_steer": 0.0},
            "rear": {"lower": 22},
        },
        ({"roll_bar": None}, {}, {"rear_left": "205 kg ± 2 kg", "rear_right": "214 kg ± 2 kg"}),
        (
            {"rack": {"shim": 1.5, "up": 6, "down": 3}},
            {"spacer": None, "shackle": {"longer": 30, "shorter": 60, "step": 10}},
        ),
    ),
    "struts, five links behind with another bar": lambda: _pair(
        "burnet-17",
        "comfrey-20",
        {
            "cross_weight": "50.3 %",
            "front": {"left_height": 335, "right_height": 335, "camber": -1.0, "toe": -0.03},
            "rear": {
                "lower": 20,
                "left_camber": -1.6,
                "right_camber": -1.5,
                "left_toe": 0.12,
                "right_toe": 0.08,
                "free_bars": "right",
            },
        },
        ({}, {}, {"rear_left": 281, "rear_right": 276}),
        (
            {},
            {
                "camber_link": {"link": "link_3", "longer": 8, "shorter": 8, "thread_pitch": 1.5},
                "toe_rod": {"longer": 6, "shorter": 6},
                "roll_bar": _BAR,
                "drop_link": {"shortest": 80, "longest": 110, "thread_pitch": 3},
            },
        ),
    ),
    "struts with torsion bars, twist beam on smaller wheels": lambda: _pair(
        "mugwort-23",
        "sedge-13",
        {
            "cross_weight": "49.5 %",
            "front": {"lower": 40, "camber": -1.3, "caster": 3.0, "toe": 0, "bump_steer": -0.001, "free_bars": "left"},
            "rear": {"lower": 35},
        },
        ({}, {}, {"rear_left": 151, "rear_right": 166}),
        (
            {
                "tie_rod_spacer": {"highest": 20, "step": 2},
                "drop_link": {"shortest": 25, "longest": 45, "thread_pitch": 3},
            },
            {"wheel": {"tyre": "155/70 R13", "loaded_radius": 258, "tyre_rate": 155, "heavier": -1.5}},
        ),
    ),
    "wishbones, beam on a Watt linkage": lambda: _pair(
        "comfrey-20",
        "teasel-15",
        {
            "front": {"lower": 25, "camber": -1.2, "caster": 4, "toe": 0.0, "free_bars": "left"},
            "rear": {"lower": 30, "thrust": 0.03},
        },
        ({}, {}, {"rear_left": 233, "rear_right": 229}),
        (
            {},
            {
                "watt_bracket": {"left": 10, "right": 10, "step": 2.5},
                "trailing_links": {"longer": 10, "shorter": 10, "thread_pitch": 1.5},
            },
        ),
    ),
    "hardly measured, no bars": _hardly_measured,
    "wishbones with a steering box and no bar, a linkage of its own behind": lambda: _pair(
        "bracken-16",
        "sorrel-21",
        {"front": {"lower": 20, "camber": -0.5, "toe": 0.05, "bump_steer": 0.0}, "rear": {"lower": 20}},
        ({"roll_bar": None}, {}, {}),
        ({"tie_rod_spacer": {"highest": 12, "step": 1}}, {}),
    ),
    BARS_EVERYWHERE: lambda: _written("rampion"),
    STEERED_LINKS: lambda: _written("burdock"),
    "struts with torsion bars and a steering box, struts on links behind": lambda: _written("sainfoin"),
    RAISED: lambda: _written("lovage"),
    AT_ODDS: lambda: _written("woad"),
}
"""What makes the car file and the job file of each, by what the car is."""
WRITTEN_CARS = tuple(ODD_CARS)[-5:]
"""Those that are files of their own."""


@cache
def odd_case(car: str) -> Case:
    """A car with its job.

    Args:
        car: one of `ODD_CARS`
    """
    document, job = (tomlkit.dumps(one) for one in ODD_CARS[car]())
    return Case(parse_car(document, "odd.toml"), parse_job(job, "odd-job.toml"))
