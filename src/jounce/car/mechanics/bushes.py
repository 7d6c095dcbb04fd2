"""From the bushes of a car document to an axle whose joints give: which rows go, and the law of every way that gives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured
from jounce.car.mechanics.layout_input import axle_given, number
from jounce.car.mechanics.model import AxleName
from jounce.car.parts import Bush
from jounce.conventions.axes import End, mirrored
from jounce.conventions.errors import InputError
from jounce.elements.bush import BushCurve, Stiffer
from jounce.elements.law import ElementLaw, Linear
from jounce.layouts.axle import AxleLinkage, Setting, road_body
from jounce.layouts.builder import laid_out
from jounce.layouts.naming import SideName
from jounce.layouts.sites import RADIAL, BushInput, JointSite
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class BushWay:
    """One way in which a bush gives.

    ``carries`` says that an ideal joint would hold this way: where it is tightened the bush carries that joint's load.
    """

    measure: str
    law: ElementLaw
    carries: bool


@dataclass(frozen=True, slots=True)
class JointedAxle:
    """An axle alone with every joint as one of its own, and the ways in which its bushes give, by measure."""

    linkage: AxleLinkage
    ways: Mapping[str, BushWay]

    def stiffer(self, factor: float) -> JointedAxle:
        """The same axle with every bush stiffer by a factor."""
        ways = {name: replace(way, law=Stiffer(way.law, factor)) for name, way in self.ways.items()}
        return JointedAxle(self.linkage, ways)


def jointed_axle(document: CarDocument, axle: AxleName, *, rigid: bool = False) -> JointedAxle:
    """An axle with its bushes in place.

    A joint without a bush, and a way of a bush without a rate, is as rigid as the ideal joint; a rate where an ideal
    joint is free (turning; along the axis of a bush that only holds square to it) is an elastic resistance.

    Args:
        document: the car as measured
        axle: "front" or "rear"
        rigid: take every joint as ideal in spite of its bush

    Raises:
        InputError: a bush with a rate for a way in which its joint has no bush

    """
    section = document.axle(End.FRONT if axle == "front" else End.REAR)
    bushes = {} if rigid else _bushes(section)
    given = axle_given(section, axle, jointed=True, bushes={name: _given(bush) for name, bush in bushes.items()})
    linkage = laid_out(section.as_layout().build, Setting(axle, road=road_body(axle)), given)
    ways: dict[str, BushWay] = {}
    for site in linkage.sites.values():
        if site.name in bushes:
            ways |= _ways(site, bushes[site.name], f"{axle}.bushes.{site.name}")
    return JointedAxle(linkage, ways)


def _bushes(section: Axle) -> dict[str, Bush]:
    """Bushes that are not to be taken as rigid."""
    known = getattr(section, "bushes", None)
    found = {} if known is None else {name: getattr(known, name) for name in type(known).model_fields}
    return {name: bush for name, bush in found.items() if bush is not None and not bush.rigid}


def _given(bush: Bush) -> BushInput:
    return BushInput(
        radial=bush.radial is not None or bush.radial_curve is not None,
        axial=bush.axial is not None or bush.axial_curve is not None,
        turning=bush.torsional is not None or bush.conical is not None,
        axis=None if bush.axis is None else _both(bush.axis),
    )


def _both(axis: tuple[float, float, float]) -> dict[SideName, Array]:
    return {"left": np.array(axis), "right": np.array(mirrored(axis))}


def _ways(site: JointSite, bush: Bush, place: str) -> dict[str, BushWay]:
    """The laws of one joint's bush; a rate for a way that the joint does not have is refused."""
    laws = {way: law for way, law in _laws(bush).items() if law is not None}
    missing = [way for way in laws if way not in site.gives]
    if missing:
        key = missing[0].partition("_")[0]
        rod = site.kind == "rod"
        raise InputError(
            f'The joint "{site.name}" has no bush that gives this way',
            found=key,
            allowed="axial" if rod else "radial, torsional, conical",
            todo="Give what both its ends give along the rod as axial."
            if rod
            else "Leave the key out: a rod slides through this joint.",
            place=f"{place}.{key}",
        )
    return {site.gives[way]: BushWay(site.gives[way], law, way in site.carries) for way, law in laws.items()}


def _laws(bush: Bush) -> dict[str, ElementLaw | None]:
    radial = _law(bush.radial, bush.radial_curve)
    conical = _law(bush.conical, None)
    return {
        "axial": _law(bush.axial, bush.axial_curve),
        **dict.fromkeys(RADIAL, radial),
        "torsional": _law(bush.torsional, None),
        "conical_1": conical,
        "conical_2": conical,
    }


def _law(rate: Measured | None, rows: tuple[tuple[float, float], ...] | None) -> ElementLaw | None:
    if rows is not None:
        displacement, force = np.array(rows).T
        return BushCurve(displacement, force)
    return None if rate is None else Linear(number(rate))
