"""From a car document to mechanics: pivots become an axle on its stand, parts become elements."""

from __future__ import annotations

from dataclasses import replace

from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.axle_coupling import twisting_parts
from jounce.car.mechanics.layout_input import SIDE_OF, axle_given, number
from jounce.car.mechanics.model import AxleModel, AxleName, weight
from jounce.car.mechanics.springs import main_springs, seat_normals
from jounce.car.mechanics.stops import damper_elements, stops_of
from jounce.car.mechanics.tyres import bent_tyres, tyre_rate
from jounce.conventions.axes import End
from jounce.layouts.axle import AxleLinkage, Setting, on_the_rig, road_body
from jounce.layouts.builder import laid_out
from jounce.layouts.naming import SIDES, named


def axle_model(document: CarDocument, axle: AxleName) -> AxleModel:
    """One axle of a car on its stand, main springs not yet loaded.

    Args:
        document: the car as measured
        axle: "front" or "rear"

    Returns:
        The axle with all laws that do not depend on the weighing.
    """
    end = End.FRONT if axle == "front" else End.REAR
    section = document.axle(end)
    linkage = axle_linkage(section, Setting(axle, road=road_body(axle)))
    stand = on_the_rig(linkage)
    lengths = {side: stand.reference_values([named(axle, side, "damper")])[:, 0] for side in SIDES}
    elements, groups = twisting_parts(section, axle)
    extra, more = damper_elements(section, axle, lengths)
    loads = {side: weight(number(document.mass.corner(end, SIDE_OF[side]))) for side in SIDES}
    return AxleModel(
        name=axle,
        layout=section.layout,
        linkage=linkage,
        stand=stand,
        main=main_springs(section, linkage),
        elements=elements | extra,
        groups=groups | more,
        corner_load=loads,
        unsprung=dict.fromkeys(SIDES, number(document.mass.unsprung(end))),
        tyre_rate={side: tyre_rate(section.side(SIDE_OF[side]).wheel) for side in SIDES},
        stops=stops_of(section, lengths),
        bent_tyres=bent_tyres(section, loads),
    )


def axle_linkage(section: Axle, setting: Setting) -> AxleLinkage:
    """Bodies, joints and measures of an axle.

    Args:
        section: the axle's part of the document
        setting: its name, the body that carries it, the road

    """
    linkage = laid_out(section.as_layout().build, setting, axle_given(section, setting.axle))
    return replace(linkage, seat_normals=seat_normals(section))
