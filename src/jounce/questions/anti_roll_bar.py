"""What an anti-roll bar does at its ends, for several diameters side by side, without a car."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from jounce.car.file.quantity import Measured
from jounce.car.mechanics.anti_roll_bar_shape import bent_bar, half_points, is_plain, mirrored_points, straight_arm_bar
from jounce.car.mechanics.anti_roll_bars import blade_give, link_give
from jounce.car.parts.anti_roll_bar import AntiRollBarShape
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.elements.bars.anti_roll_bar import StraightArmBar
from jounce.elements.bars.bent_bar import BentBar
from jounce.elements.bars.bent_bar_stress import BarStress, bar_stress
from jounce.elements.bars.round_section import STEEL_DENSITY
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.anti_roll_bar_file import LoneAntiRollBar, parse_anti_roll_bar, straight_arms
from jounce.numerics.arrays import Array
from jounce.numerics.curves import Arc
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import unit
from jounce.questions.question import Asked, Content, Number, Question

FRAME = "space frame of straight and curved members, our own; Cowper 1966 for shear"
FORMULA = "SAE Spring Design Manual, from memory, with 3 (1 + ν) from strain energy"
HANDBOOK = "SAE Spring Design Manual, quoted from memory"
GERE = "Gere, Mechanics of Materials"
_ENDS = (
    "End rate: force at one end per travel of that end, the ends loaded against each other; one end alone, the other "
    "held, is half of it. Both ends together turn the bar in its bushes and ask for no force."
)
TUBE_WIDER = 1.1
"""A tube to replace a solid bar, unless another is asked for: so much wider [-]."""


@dataclass(frozen=True, slots=True)
class BarSizes:
    """What to work out: sizes as (diameter, bore) [m]; the load as travel of each end [m] or force at each [N]."""

    sizes: tuple[tuple[float, float], ...]
    travel: float | None = None
    force: float | None = None
    tube: float | None = None


def anti_roll_bar_table(shape: AntiRollBarShape, asked: BarSizes, name: str) -> AnswerTable:
    """Rates, stresses and masses of a bar in several sizes, one column each.

    Args:
        shape: the left half of the bar; the right mirrors it
        asked: sizes and load
        name: what the bar is called on the screen

    Raises:
        InputError: a size that no bar has, a bush off the bar, bends that do not fit
    """
    bars = [_Sized(shape, size) for size in asked.sizes]
    columns = tuple(
        show(diameter, Kind.LENGTH) + (f" / {show(bore, Kind.LENGTH)}" if bore else "")
        for diameter, bore in asked.sizes
    )
    rows = [*_rates(bars), *_loads(bars, asked), *_masses(bars, asked)]
    remarks = [_ENDS, "Stresses are nominal: eyes, flattened ends, notches and transverse shear are not in them."]
    if not bars[0].plain:
        remarks.append(
            "The straight-arm formula takes the arm straight from its end to the first point beside the shaft, sharp "
            "bends and rigid bushes."
        )
    return AnswerTable(name, columns, tuple(rows), tuple(remarks))


class _Sized:
    """The bar in one size."""

    def __init__(self, shape: AntiRollBarShape, size: tuple[float, float]) -> None:
        diameter, bore = size
        if not 0 <= bore < diameter:
            raise InputError(
                "The bore is not smaller than the bar",
                found=show(bore, Kind.LENGTH),
                allowed=f"less than {show(diameter, Kind.LENGTH)}",
            )
        left = shape.model_copy(update={"diameter": Measured(diameter), "inner_diameter": Measured(bore)})
        right = left.model_copy(update=mirrored_points(left))
        self.left = left
        self.plain = is_plain(left, right)
        self.steel: BentBar = bent_bar(left, right)
        self.straight: StraightArmBar = straight_arm_bar(left)
        self.directions = _directions(left, self.steel), _directions(right, self.steel)

    @cached_property
    def end_rate(self) -> float:
        """Of the steel with its bushes, by the formula where that says all [N/m]."""
        return _one(self.straight.end_rate if self.plain else self.steel.end_rate(*self.directions))

    @cached_property
    def end_rate_at_links(self) -> float | None:
        """With a blade and a link behind each end [N/m]; None where neither gives."""
        way = unit(cross(self.steel.axis, half_points(self.left)[0] - self.left.bush.xyz)) if self.plain else None
        gives = (link_give(self.left), blade_give(self.left, self.directions[0] if way is None else way))
        more = sum(_one(give) for give in gives if give is not None)
        return 1 / (1 / self.end_rate + more) if more else None

    @cached_property
    def lever(self) -> float:
        """Moment about the bushes per force at an end [m]."""
        return abs(_one(self.steel.levers(*self.directions)[0]))

    @cached_property
    def twist_rate(self) -> float:
        """Torque per angle between the arms [N m/rad]."""
        return _one(self.straight.twist_rate) if self.plain else self.end_rate * self.lever**2 / 2

    def stress(self, force: float) -> BarStress:
        """Stresses along the bar under a force at each end, against each other."""
        one, two = (np.reshape(f, 3) for f in self.steel.end_forces(*self.directions))
        return bar_stress(self.steel, force * self.lever * one, force * self.lever * two)


def _directions(half: AntiRollBarShape, steel: BentBar) -> Array:
    """Along the link where its far end is known, else square to the bar's arm and shaft [-]."""
    end, bush = half_points(half)[0], half.bush.xyz
    far = getattr(half, "link_end", None)
    return unit(end - far.xyz) if far is not None else unit(cross(steel.axis, end - bush))


def _rates(bars: Sequence[_Sized]) -> list[Answer]:
    plain = bars[0].plain
    first = bars[0]
    rows = [
        Answer(
            "end rate",
            Kind.SPRING_RATE,
            tuple(bar.end_rate for bar in bars),
            "3 E I / (l³ - a³ + (L/2)(a + b)² + 3 (1 + ν) h² (b + c))" if plain else "K u = f along the centre line",
            FORMULA if plain else FRAME,
        ),
        _plain_row(
            "rate, arm against arm",
            Kind.TORSIONAL_RATE,
            [bar.twist_rate for bar in bars],
            "end rate · lever² / 2",
        ),
        _plain_row(
            "end rate, times the first",
            Kind.RATIO,
            [bar.end_rate / first.end_rate for bar in bars],
            "",
        ),
        _plain_row(
            "by d⁴ alone",
            Kind.RATIO,
            [_fourth(bar) / _fourth(first) for bar in bars],
            "(d⁴ - dᵢ⁴) / (d⁴ - dᵢ⁴ of the first)",
        ),
    ]
    if plain:
        frame = [_one(bar.steel.end_rate(*bar.directions)) for bar in bars]
        rows.append(Answer("end rate, space frame", Kind.SPRING_RATE, tuple(frame), "K u = f, with shear", FRAME))
    else:
        formula = [_one(bar.straight.end_rate) for bar in bars]
        rows += [
            Answer(
                "end rate, straight arms",
                Kind.SPRING_RATE,
                tuple(formula),
                "3 E I / (l³ - a³ + (L/2)(a + b)² + 3 (1 + ν) h² (b + c))",
                FORMULA,
            ),
            _plain_row(
                "straight arms differ by",
                Kind.SHARE,
                [rate / bar.end_rate - 1 for rate, bar in zip(formula, bars, strict=True)],
                "straight arms / centre line - 1",
            ),
        ]
    if any(bar.end_rate_at_links is not None for bar in bars):
        series = "1 / (1 / end rate + blade in place of the arm's end + 1 / link rate)"
        rows.insert(
            1, Answer("… with blade and link", Kind.SPRING_RATE, tuple(b.end_rate_at_links for b in bars), series)
        )
    handbook = tuple(_one(1 / bar.straight.end_compliance_handbook) for bar in bars)
    twisting = tuple(_one(1 / bar.straight.end_compliance_torsion_only) for bar in bars)
    return [
        *rows,
        Answer("end rate, handbook", Kind.SPRING_RATE, handbook, "4 in place of 3 (1 + ν)", HANDBOOK),
        Answer("end rate, twist alone", Kind.SPRING_RATE, twisting, "G J / (h² (b + c)): too stiff", GERE),
    ]


def _loads(bars: Sequence[_Sized], asked: BarSizes) -> list[Answer]:
    """Force, travel and stresses under the load that was asked for."""
    if asked.travel is None and asked.force is None:
        return []
    forces = [asked.force if asked.force is not None else bar.end_rate * (asked.travel or 0.0) for bar in bars]
    found = [bar.stress(force) for bar, force in zip(bars, forces, strict=True)]
    mises = "√(σ² + 3 τ²)"
    rows = [
        _plain_row("force at each end", Kind.FORCE, forces, "end rate · travel"),
        _plain_row(
            "travel of each end",
            Kind.LENGTH,
            [force / bar.end_rate for bar, force in zip(bars, forces, strict=True)],
            "force / end rate",
        ),
        Answer(
            "largest shear stress",
            Kind.STRESS,
            tuple(float(s.torsion.max()) for s in found),
            "16 T d / (π (d⁴ - dᵢ⁴))",
            GERE,
        ),
        Answer(
            "largest bending stress",
            Kind.STRESS,
            tuple(float(s.bending.max()) for s in found),
            "32 M d / (π (d⁴ - dᵢ⁴))",
            GERE,
        ),
        Answer("largest equivalent stress", Kind.STRESS, tuple(float(s.von_mises.max()) for s in found), mises, GERE),
        _plain_row(
            "… from the end of the arm",
            Kind.LENGTH,
            [_from_end(bar, s) for bar, s in zip(bars, found, strict=True)],
            "along the centre line",
        ),
    ]
    if any(isinstance(piece, Arc) for piece in bars[0].steel.line.pieces):
        curved = tuple(float(s.inside_bend.max()) for s in found)
        how = f"{mises}, Winkler in the plane of a bend"
        rows.append(Answer("… with curved-bar stress in the bends", Kind.STRESS, curved, how, GERE))
    return rows


def _masses(bars: Sequence[_Sized], asked: BarSizes) -> list[Answer]:
    lengths = [_one(bar.steel.line.length) for bar in bars]
    masses = [_one(bar.steel.section.mass(reach)) for bar, reach in zip(bars, lengths, strict=True)]
    solid = [_one(bar.steel.section.solid_equivalent) for bar in bars]
    outer = [asked.tube if asked.tube is not None else TUBE_WIDER * one for one in solid]
    bores = [_one(bar.steel.section.equal_tube_bore(wide)) for bar, wide in zip(bars, outer, strict=True)]
    shares = [(wide**2 - bore**2) / one**2 for wide, bore, one in zip(outer, bores, solid, strict=True)]
    fits = [not np.isnan(bore) for bore in bores]
    return [
        _plain_row("length of the centre line", Kind.LENGTH, lengths, "straight pieces and arcs"),
        _plain_row("mass", Kind.MASS, masses, f"area · length · {STEEL_DENSITY:g} kg/m³"),
        _plain_row("solid bar of the same rate", Kind.LENGTH, solid, "(d⁴ - dᵢ⁴)^(1/4)"),
        _plain_row("tube of the same rate, outside", Kind.LENGTH, outer, ""),
        Answer(
            "… inside",
            Kind.LENGTH,
            tuple(b if ok else "none" for b, ok in zip(bores, fits, strict=True)),
            "(D⁴ - d⁴ + dᵢ⁴)^(1/4)",
            "",
        ),
        Answer(
            "… its mass of the solid bar's",
            Kind.SHARE,
            tuple(s if ok else "none" for s, ok in zip(shares, fits, strict=True)),
            "(D² - Dᵢ²) / d²",
            "",
        ),
    ]


def _from_end(bar: _Sized, stress: BarStress) -> float:
    """Distance of the largest stress from the nearer end of the bar [m]."""
    distance = float(stress.distance[stress.peak])
    return min(distance, _one(bar.steel.line.length) - distance)


def _fourth(bar: _Sized) -> float:
    return bar.left.diameter.value**4 - bar.left.inner_diameter.value**4


def _plain_row(name: str, kind: Kind, values: Sequence[float], formula: str) -> Answer:
    return Answer(name, kind, tuple(values), formula)


def _one(value: float | Array) -> float:
    return float(np.ravel(value)[0])


_ARMS = ("lever", "across", "bend_to_bush", "bush_to_middle")


def _answer(asked: Asked) -> list[AnswerTable]:
    travel, force = asked.optional("travel"), asked.optional("force")
    if travel is not None and force is not None:
        raise InputError("The load is given twice", found="travel and force", todo="Leave one out.")
    shapes = asked.files("shape")
    bar = parse_anti_roll_bar(shapes[0][1], shapes[0][0]) if shapes else _straight(asked)
    if not asked.numbers("diameter") and not shapes:
        raise InputError("The bar has no diameter", todo="Give the diameter, or several.")
    name = f"Anti-roll bar of {shapes[0][0]}" if shapes else "Anti-roll bar with straight arms"
    return [anti_roll_bar_table(bar, BarSizes(_sizes(bar, asked), travel, force, asked.optional("tube")), name)]


def _straight(asked: Asked) -> LoneAntiRollBar:
    """A bar by the dimensions of its straight arms."""
    missing = [name for name in _ARMS if asked.optional(name) is None]
    if missing:
        raise InputError(
            "The bar has no shape",
            found=f"no {' and no '.join(missing)}".replace("_", " "),
            todo="Give a file with its centre line, or lever, across, bend to bush and bush to middle.",
        )
    return straight_arms(*(asked.one(name) for name in _ARMS))


def _sizes(bar: LoneAntiRollBar, asked: Asked) -> tuple[tuple[float, float], ...]:
    """Diameter and bore of each column [m]; those of the file where no diameter is asked for."""
    diameters = asked.numbers("diameter")
    outer = diameters or (bar.diameter.value,)
    inner = asked.numbers("bore") or (0.0 if diameters else bar.inner_diameter.value,)
    if len(inner) == 1:
        inner = inner * len(outer)
    if len(inner) != len(outer):
        raise InputError(
            "The bores do not fit the diameters",
            found=f"{len(inner)} for {len(outer)}",
            allowed=f"1 or {len(outer)}",
            todo="Give the bore once, or once for each diameter; 0 for a solid bar.",
        )
    return tuple(zip(outer, inner, strict=True))


QUESTION = Question(
    about="End rate, rate over the arms' angle, stress and mass of an anti-roll bar in several diameters.",
    asks=(
        Content("shape", "file with a bar: the keys of [front.roll_bar]; without one, straight arms by four lengths"),
        Number("diameter", Kind.LENGTH, "diameter of the bar; one column each", many=True),
        Number("bore", Kind.LENGTH, "bore of a hollow bar: one for all, or one for each diameter", many=True),
        Number("lever", Kind.LENGTH, "straight arms: extent of the arm along the car"),
        Number("across", Kind.LENGTH, "extent of the arm across the car, outward", (0.0,)),
        Number("bend_to_bush", Kind.LENGTH, "from the bend to the bush", (0.0,)),
        Number("bush_to_middle", Kind.LENGTH, "from the bush to the middle of the car"),
        Number("travel", Kind.LENGTH, "travel of each end, for the stresses"),
        Number("force", Kind.FORCE, "force at each end, in place of the travel"),
        Number("tube", Kind.LENGTH, "outer diameter of a tube to replace the bar"),
    ),
    answer=_answer,
    of_part=True,
    alone=True,
)
