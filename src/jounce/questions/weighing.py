"""The car on four scales as tables: loads and heights, what moves them, and settings for what is wanted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.reach import rubbers_pressed
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.weigh import OnScales, SpringSettings, on_scales
from jounce.car.file.document import CarDocument
from jounce.conventions.axes import End, Side
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import MM, Kind, show
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.remark import AnswerRemark, AnswerRemarkKind
from jounce.layouts.axle_input import SpringKind
from jounce.numerics.arrays import Array

CORNERS = ("front left", "front right", "rear left", "rear right")
_UNEVEN = 3 * MM
"""What a pad may be too high: how level a weighing place should be is common practice, no source."""


@dataclass(frozen=True, slots=True)
class WantedWeights:
    """What the scales shall show: mean travels from as found, positive lower [m]; cross share [-]; lean [m]."""

    front: float
    rear: float
    cross_share: float
    lean: float = 0.0


def weighing_table(document: CarDocument, title: str, stands: OnScales, remarks: Sequence[str] = ()) -> AnswerTable:
    """Loads and heights at the four corners.

    Args:
        document: the car, for its heights as measured
        title: how the car stands, in words
        stands: how it stands
        remarks: what has to be said besides
    """
    found = np.array([[document.heights.corner(end, side).value for side in Side] for end in End])
    rows = (
        _four("load", Kind.MASS, stands.load / GRAVITY),
        _four("wheel centre to arch", Kind.LENGTH, found - stands.travel),
        _four("lower than as found", Kind.LENGTH, stands.travel),
    )
    shares = (
        f"Front {stands.front_share * 100:.1f} %, left {stands.left_share * 100:.1f} %, front right with rear left "
        f"{stands.cross_share * 100:.2f} %, together {stands.load.sum() / GRAVITY:.0f} kg."
    )
    return AnswerTable(title, CORNERS, rows, (shares, *remarks))


def uneven_table(car: RoadCar, title: str = "") -> AnswerTable:
    """What a pad that stands too high does to the weights, corner by corner.

    Args:
        car: the car as it is weighed
        title: what it is called beside others; empty where it is alone
    """
    level = on_scales(car)
    moved, cross = np.zeros((2, 2)), np.zeros((2, 2))
    for axle in (0, 1):
        for side in (0, 1):
            ground = np.zeros((2, 2))
            ground[axle, side] = _UNEVEN
            stands = on_scales(car, steady(ground=ground))
            moved[axle, side] = (stands.load - level.load)[axle, side] / GRAVITY
            cross[axle, side] = stands.cross_share - level.cross_share
    rows = (
        _four("shows more by", Kind.MASS, moved),
        _four("cross weight shows more by", Kind.SHARE, cross),
    )
    question = "A pad 3 mm too high under one wheel"
    return AnswerTable(f"{question}, {title}" if title else question, CORNERS, rows)


def settings_table(document: CarDocument, car: RoadCar, settings: SpringSettings) -> AnswerTable:
    """What to set at each spring, and what a step of it does to everything.

    Args:
        document: the car, for what there is to be turned
        car: the car before
        settings: what was found
    """
    kinds = [on_body.axle.main["left"].kind for on_body in car.axles]
    rows: list[Answer] = []
    for axle, (name, kind) in enumerate(zip(("front", "rear"), kinds, strict=True)):
        cells = np.full((2, 2), np.nan)
        cells[axle] = settings.setting[axle]
        rows.append(_four(f"{name}: {_words(document, End(name), kind)}", _kind(kind), cells))
    step = np.array([_step(kinds[k // 2]) for k in range(4)])
    effect = settings.effect * step
    names = (
        ("lowers the front by", Kind.LENGTH),
        ("lowers the rear by", Kind.LENGTH),
        ("leans left by", Kind.LENGTH),
        ("adds cross weight", Kind.SHARE),
    )
    rows += [_four(f"a step {name}", kind, effect[k].reshape(2, 2)) for k, (name, kind) in enumerate(names)]
    remarks = (
        "Positive lifts that corner. A step is 1 mm at a seat, 1 degree at a torsion bar.",
        *(
            line
            for name, kind in zip(("front", "rear"), kinds, strict=True)
            for line in _not_turned(document, End(name), kind)
        ),
        "No spring moves the share of the left-hand side or of the front: they follow from where the weight is.",
    )
    return AnswerTable("Set the springs", CORNERS, tuple(rows), remarks)


def pressed_remarks(car: RoadCar, stands: OnScales, units: str) -> list[str]:
    """A sentence for each wheel whose bump rubber is pressed where the car stands.

    Args:
        car: the car as it is weighed
        stands: how it stands
        units: unit set to show
    """
    told: list[str] = []
    for number, on_body in enumerate(car.axles):
        at = AxleStates(
            left=float(stands.travel[number, 0]), right=float(stands.travel[number, 1]), settings=on_body.settings
        )
        for side, depth in rubbers_pressed(on_body.axle, at).items():
            if depth:
                said = (
                    f"The {on_body.axle.name} {side} wheel stands {show(depth, Kind.LENGTH, units)} into its bump rubber: "
                    "rubber and spring carry it together, and no bump travel is left. Do not set it like this."
                )
                told.append(AnswerRemark(said, AnswerRemarkKind.REFUSED, on_body.axle.name))
    return told


def _turns(document: CarDocument, end: End, kind: SpringKind) -> bool:
    """Whether there is a thread to turn at the springs of an axle."""
    one: Any = document.axle(end).side(Side.LEFT)
    if kind == "torsion bar":
        return getattr(getattr(one, "torsion_bar", None), "adjuster", None) is not None
    return kind == "coil" and getattr(one, "perch", None) is not None


def _words(document: CarDocument, end: End, kind: SpringKind) -> str:
    return _WORDS[kind] if _turns(document, end, kind) or kind != "coil" else "packing under the spring"


def _not_turned(document: CarDocument, end: End, kind: SpringKind) -> Iterator[str]:
    """What has to be said where nothing can be turned."""
    if _turns(document, end, kind):
        return
    if kind == "torsion bar":
        yield f"The {end} bars have no adjusting bolt: only whole teeth can be set, see `jounce index`."
    else:
        yield (
            f"The {end} springs have no threaded seat: nothing can be turned there. What is positive could be packing; "
            "what is negative asks for other springs or threaded seats. Springs are never cut."
        )


_WORDS: dict[SpringKind, str] = {
    "torsion bar": "wind the bar up by",
    "coil": "raise the seat by",
    "leaf": "raise the leaf by",
}


def _kind(kind: SpringKind) -> Kind:
    return Kind.ANGLE if kind == "torsion bar" else Kind.LENGTH


def _step(kind: SpringKind) -> float:
    return float(np.radians(1.0)) if kind == "torsion bar" else MM


def _four(name: str, kind: Kind, values: Array) -> Answer:
    return Answer(name, kind, tuple("" if np.isnan(v) else float(v) for v in values.ravel()))
