"""From a car document to mechanics: pivots become an axle on its stand, parts become elements."""

from __future__ import annotations

import numpy as np

from jounce.car.beam_panhard import BeamPanhardAxle, BeamSide
from jounce.car.document import CarDocument
from jounce.car.model import AxleModel, AxleName, Group, MainSpring, weight
from jounce.car.parts import RollBar
from jounce.car.quantity import Measured
from jounce.car.stops import damper_elements, stops_of
from jounce.car.strut_torsion_bar import StrutSide, StrutTorsionBarAxle
from jounce.conventions.axes import End, Side
from jounce.elements.coil import helical_rate
from jounce.elements.law import Linear
from jounce.elements.roll_bar import StraightArmBar
from jounce.elements.torsion_bar import TorsionBar
from jounce.layouts.axle import CAR_BODY, AxleLinkage, Setting, on_the_stand, road_body
from jounce.layouts.beam_panhard import AxleRollBar, BeamCorner, Panhard, beam_panhard
from jounce.layouts.naming import SIDES, SideName, named
from jounce.layouts.roll_bar import RollBarSide
from jounce.layouts.strut_torsion_bar import FrontRollBar, StrutCorner, strut_torsion_bar
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array

_SIDE = {"left": Side.LEFT, "right": Side.RIGHT}
_BARS = ("roll_bar", "roll_bar_2")


def axle_model(document: CarDocument, axle: AxleName) -> AxleModel:
    """One axle of a car on its stand, main springs not yet loaded.

    Args:
        document: the car as measured
        axle: "front" or "rear"

    Returns:
        The axle with all laws that do not depend on the weighing.
    """
    section = document.front if axle == "front" else document.rear
    if isinstance(section, StrutTorsionBarAxle):
        linkage, main = strut_linkage(section, _stand(axle)), _torsion_bars(section, axle)
        on_car = strut_linkage(section, Setting(axle, CAR_BODY))
    else:
        linkage, main = beam_linkage(section, _stand(axle)), _coils(section, axle)
        on_car = beam_linkage(section, Setting(axle, CAR_BODY))
    stand = on_the_stand(linkage)
    lengths = {side: float(stand.reference_values([named(axle, side, "damper")])[0, 0]) for side in SIDES}
    elements, groups = _bars(section, axle)
    extra, more = damper_elements(section, axle, lengths)
    elements, groups = elements | extra, groups | more
    end = End.FRONT if axle == "front" else End.REAR
    return AxleModel(
        name=axle,
        layout=section.layout,
        linkage=linkage,
        stand=stand,
        on_car=on_car,
        main=main,
        elements=elements,
        groups=groups,
        corner_load={side: weight(_number(document.mass.corner(end, _SIDE[side]))) for side in SIDES},
        unsprung=dict.fromkeys(SIDES, _number(document.mass.unsprung(end))),
        tyre_rate={side: _number(section.side(_SIDE[side]).wheel.tyre_rate) for side in SIDES},
        stops=stops_of(section, lengths),
    )


def _stand(axle: AxleName) -> Setting:
    return Setting(axle, road=road_body(axle))


def torsion_bar_of(side: StrutSide) -> TorsionBar:
    """The bar of one side as an element."""
    bar = side.torsion_bar
    return TorsionBar(
        _number(bar.diameter), _number(bar.active_length), _number(bar.shear_modulus), _number(bar.inner_diameter)
    )


def strut_linkage(section: StrutTorsionBarAxle, setting: Setting) -> AxleLinkage:
    """Bodies, joints and measures of a torsion-bar strut axle."""
    corners: dict[SideName, StrutCorner] = {}
    for side in SIDES:
        one = section.side(_SIDE[side])
        p = one.pivots
        corners[side] = StrutCorner(
            wheel_centre=_point(p.wheel_centre),
            arm_front=_point(p.arm_front),
            arm_rear=_point(p.arm_rear),
            ball_joint=_point(p.ball_joint),
            strut_top=_point(p.strut_top),
            strut_foot=_point(p.strut_foot),
            tie_rod_inner=_point(p.tie_rod_inner),
            tie_rod_outer=_point(p.tie_rod_outer),
            camber=_number(one.alignment.camber),
            toe=_number(one.alignment.toe),
            loaded_radius=_number(one.wheel.loaded_radius),
            drive_shaft_inner=None if p.drive_shaft_inner is None else _point(p.drive_shaft_inner),
            drive_shaft_outer=None if p.drive_shaft_outer is None else _point(p.drive_shaft_outer),
        )
    bars = {}
    for name in _BARS:
        left, right = getattr(section.left, name), getattr(section.right, name)
        if left is not None and right is not None:
            bars[name] = FrontRollBar(_bar_side(left), _bar_side(right), left.link_on)
    return strut_torsion_bar(setting, corners, bars)


def beam_linkage(section: BeamPanhardAxle, setting: Setting) -> AxleLinkage:
    """Bodies, joints and measures of a beam axle with a Panhard rod."""
    corners: dict[SideName, BeamCorner] = {}
    for side in SIDES:
        one = section.side(_SIDE[side])
        p = one.pivots
        corners[side] = BeamCorner(
            wheel_centre=_point(p.wheel_centre),
            arm_bush=_point(p.arm_bush),
            tube_end=_point(p.tube_end),
            spring_upper=_point(p.spring_upper),
            spring_lower=_point(p.spring_lower),
            damper_upper=_point(p.damper_upper),
            damper_lower=_point(p.damper_lower),
            camber=_number(one.alignment.camber),
            toe=_number(one.alignment.toe),
            loaded_radius=_number(one.wheel.loaded_radius),
            bush_axis=np.asarray(section.bush_axis(_SIDE[side])),
            spring_on=section.beam.spring_on,
            damper_on=section.beam.damper_on,
        )
    bars = {}
    if section.left.roll_bar is not None and section.right.roll_bar is not None:
        bars["roll_bar"] = AxleRollBar(_bar_side(section.left.roll_bar), _bar_side(section.right.roll_bar))
    rod = Panhard(_point(section.panhard.body_end), _point(section.panhard.axle_end))
    return beam_panhard(setting, corners, rod, section.beam.turning_side, bars)


def coil_rate(side: BeamSide) -> Array:
    """Rate of one side's coil, given or from its wire [N/m]."""
    spring = side.spring
    if spring.rate is not None:
        return _number(spring.rate)
    if spring.wire is None or spring.mean_diameter is None or spring.active_turns is None:
        raise ValueError("the document accepts no spring without a rate or its wire")
    return helical_rate(
        _number(spring.shear_modulus),
        _number(spring.wire),
        _number(spring.mean_diameter),
        _number(spring.active_turns),
    )


def _torsion_bars(section: StrutTorsionBarAxle, axle: AxleName) -> dict[SideName, MainSpring]:
    springs: dict[SideName, MainSpring] = {}
    for side in SIDES:
        one = section.side(_SIDE[side])
        rate = _in_series(torsion_bar_of(one).rate, one.torsion_bar.series_rate)
        springs[side] = MainSpring("torsion bar", named(axle, side, "torsion_bar"), 1.0, rate, captive=True)
    return springs


def _coils(section: BeamPanhardAxle, axle: AxleName) -> dict[SideName, MainSpring]:
    return {
        side: MainSpring("coil", named(axle, side, "spring"), -1.0, coil_rate(section.side(_SIDE[side])), captive=False)
        for side in SIDES
    }


def _bars(
    section: StrutTorsionBarAxle | BeamPanhardAxle, axle: AxleName
) -> tuple[dict[str, Element], dict[str, Group]]:
    """Anti-roll bars and the inner bar, free of load as found."""
    elements: dict[str, Element] = {}
    groups: dict[str, Group] = {}
    for name in _BARS:
        bar: RollBar | None = getattr(section.left, name, None)
        if bar is not None:
            measure = named(axle, f"{name}_twist")
            elements[measure] = Element(measure, Linear(_roll_bar_rate(bar)))
            groups[measure] = "anti-roll bar"
    if isinstance(section, BeamPanhardAxle):
        inner = section.inner_bar
        steel = TorsionBar(
            _number(inner.diameter),
            _number(inner.active_length),
            _number(inner.shear_modulus),
            _number(inner.inner_diameter),
        )
        measure = named(axle, "inner_bar_twist")
        elements[measure] = Element(measure, Linear(_in_series(steel.rate, inner.series_rate)))
        groups[measure] = "inner bar"
    return elements, groups


def _roll_bar_rate(bar: RollBar) -> Array:
    """Torque per angle between the arms, links in series where their rate is given [N m/rad]."""
    end, bend, bush = (_point(getattr(bar, name)) for name in ("arm_end", "bend", "bush"))
    lever = np.hypot(end[0] - bend[0], end[2] - bend[2])
    straight = StraightArmBar(
        diameter=_number(bar.diameter),
        lever=lever,
        arm_across=abs(end[1] - bend[1]),
        bend_to_bush=abs(bend[1] - bush[1]),
        bush_to_middle=abs(bush[1]),
        inner_diameter=_number(bar.inner_diameter),
        youngs_modulus=_number(bar.youngs_modulus),
        poisson=_number(bar.poisson_ratio),
    )
    if bar.link_rate is None:
        return straight.twist_rate
    end_rate = 1 / (straight.end_compliance + 1 / _number(bar.link_rate))
    return np.asarray(end_rate * lever**2 / 2)


def _in_series(rate: Array, more: Measured | None) -> Array:
    return rate if more is None else 1 / (1 / rate + 1 / _number(more))


def _bar_side(bar: RollBar) -> RollBarSide:
    return RollBarSide(bush=_point(bar.bush), arm_end=_point(bar.arm_end), link_end=_point(bar.link_end))


def _number(quantity: Measured) -> Array:
    return np.array([quantity.value])


def _point(point: object) -> Array:
    """Coordinates of a measured point, shape (3,) [m]."""
    return np.asarray(getattr(point, "xyz"), dtype=np.float64)  # noqa: B009
