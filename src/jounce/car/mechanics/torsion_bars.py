"""Torsion bars: their sections of the document as elements, with what gives besides the bar."""

from __future__ import annotations

from jounce.car.mechanics.layout_input import number
from jounce.car.parts import InnerBar, TorsionBarSection
from jounce.car.parts.torsion_bar import TorqueTube
from jounce.elements.bars.bar_in_series import BarInSeries
from jounce.elements.bars.materials import SPRING_STEELS, STEEL_OF_WORD, static_shear_limit
from jounce.elements.bars.torsion_bar import TorsionBar, effective_length, fillet_share_by_torsion
from jounce.numerics.arrays import Array


def torsion_bar(bar: TorsionBarSection | InnerBar) -> TorsionBar:
    """A torsion bar's section of the document as an element."""
    return TorsionBar(number(bar.diameter), _active_length(bar), number(bar.shear_modulus), number(bar.inner_diameter))


def bar_in_series(bar: TorsionBarSection) -> BarInSeries:
    """The bar that springs a wheel with everything that gives behind it, each by name."""
    others: dict[str, float | Array] = {} if bar.tube is None else {"tube": tube_rate(bar.tube)}
    for name, rate in (("anchor", bar.anchor_rate), ("lever", bar.lever_rate), ("series", bar.series_rate)):
        if rate is not None:
            others[name] = number(rate)
    return BarInSeries(torsion_bar(bar), others)


def inner_bar_in_series(bar: InnerBar) -> BarInSeries:
    """The bar inside an axle's tube with everything that its torque twists besides, each by name."""
    others: dict[str, float | Array] = {} if bar.tube is None else {"tube": tube_rate(bar.tube)}
    for name, rate in (("clamps", bar.clamp_rate), ("series", bar.series_rate)):
        if rate is not None:
            others[name] = number(rate)
    return BarInSeries(torsion_bar(bar), others)


def stress_limit(bar: TorsionBarSection) -> tuple[float | None, str]:
    """Shear stress that the bar may see at rest or a few times [Pa], and where that comes from; None where unknown.

    A bar of which nobody says whether it was preset is taken as not preset, and one without a class of steel as the
    hot-formed steel whose modulus is the default.
    """
    if bar.stress_limit is not None:
        return bar.stress_limit.value, "given with the bar"
    steel = SPRING_STEELS["hot-formed, EN 10089"] if bar.steel is None else STEEL_OF_WORD[bar.steel]
    limit = static_shear_limit(steel, preset=bool(bar.preset))
    if limit is None:
        return None, f"no published limit at hand for {steel.name}"
    return limit.value, f"{'preset' if bar.preset else 'not preset'}: {limit.source}"


def _active_length(bar: TorsionBarSection | InnerBar) -> Array:
    if bar.active_length is not None:  # an inner bar always has one
        return number(bar.active_length)
    ends = (bar.shank_length, bar.head_diameter, bar.fillet_radius)
    shank, head, radius = (None if end is None else number(end) for end in ends)
    if shank is None or head is None or radius is None:
        raise ValueError("the document accepts no bar without its length")
    diameter = number(bar.diameter)
    given = bar.fillet_share
    bore = number(bar.inner_diameter)
    share = fillet_share_by_torsion(diameter, head, radius, bore) if given is None else number(given)
    return effective_length(shank, diameter, head, radius, share)


def tube_rate(tube: TorqueTube) -> Array:
    """Torsional rate of a tube, given or from its dimensions [N m/rad]."""
    if tube.rate is not None:
        return number(tube.rate)
    if tube.diameter is None or tube.inner_diameter is None or tube.length is None:
        raise ValueError("the document accepts no tube without a rate or its dimensions")
    outer, inner, length = number(tube.diameter), number(tube.inner_diameter), number(tube.length)
    return TorsionBar(outer, length, number(tube.shear_modulus), inner).rate
