"""Quick answers about a torsion bar at a lever, without a car: rates, twist, stress, slack, teeth; or the diameter."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.quantity import TRADE
from jounce.conventions.units import Kind, show
from jounce.elements.bars.bar_in_series import BarInSeries
from jounce.elements.bars.levered_bar import LeveredBar, levered_under_load, torsional_rate_at_lever
from jounce.elements.bars.materials import NO_LIFE, SPRING_STEELS, STEEL_OF_WORD, SpringSteel, static_shear_limit
from jounce.elements.bars.torsion_bar import TorsionBar, diameter_for_rate
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.index.marks import finest_step
from jounce.questions.question import Asked, Choice, Number, Question, Switch, Whole

GERE = "Gere, Mechanics of Materials, torsion of circular bars"
SAE = "SAE, Spring Design Manual (from memory; derived again)"
SERIES = "elasticities in series"
SINGLE = "single mass on a spring"


@dataclass(frozen=True, slots=True)
class BarAsked:
    """What is asked about a bar, SI; None where it was not said.

    ``length`` is the active length, ``lever`` the arm from the bar's line to where the load acts, ``angle`` the arm's
    from level under the load, positive upwards. ``load`` is the vertical force on the arm's end; where only the
    ``sprung_mass`` over it is known, its weight is the load. ``series`` is the torsional rate of what gives besides.
    """

    length: float
    lever: float | None = None
    bore: float = 0.0
    angle: float = 0.0
    load: float | None = None
    sprung_mass: float | None = None
    series: float | None = None
    splines_arm: int | None = None
    splines_anchor: int | None = None
    steel: SpringSteel = SPRING_STEELS["hot-formed, EN 10089"]
    shear_modulus: float | None = None
    preset: bool = False
    stress_limit: float | None = None

    @property
    def modulus(self) -> float:
        """Shear modulus [Pa]."""
        return self.steel.shear_modulus.value if self.shear_modulus is None else self.shear_modulus

    @property
    def carried(self) -> float | None:
        """Load on the arm's end [N]."""
        if self.load is None and self.sprung_mass is not None:
            return self.sprung_mass * GRAVITY
        return self.load


@dataclass(frozen=True, slots=True)
class _Arm:
    """A bar under its loaded lever."""

    whole: BarInSeries
    levered: LeveredBar
    lever: float
    angle: float

    @property
    def height(self) -> float:
        return float(self.levered.height(self.angle))

    @property
    def rate(self) -> float:
        return float(self.levered.stiffness(np.asarray(self.height)))

    @property
    def first_term(self) -> float:
        return float(self.whole.rate) / (self.lever * math.cos(self.angle)) ** 2

    @property
    def twist(self) -> float:
        """Wind-up under the load [rad]."""
        return self.angle - float(self.levered.slack_angle)

    @property
    def stress(self) -> float:
        return float(self.whole.shear_stress(self.twist))

    @property
    def energy(self) -> float:
        return float(self.whole.law.energy(np.asarray(self.twist)))

    @property
    def droop_on_the_arc(self) -> float | str:
        if float(self.levered.slack_angle) < -math.pi / 2:
            return "never"
        return self.height - float(self.levered.height(self.levered.slack_angle))


def bar_answers(
    asked: BarAsked, diameters: list[float], wheel_rates: list[float], units: str = "metric"
) -> AnswerTable:
    """Bars side by side.

    Args:
        asked: what all of them have in common
        diameters: one column for each [m]
        wheel_rates: one column more for each: the bar whose rate at the lever's end this is [N/m]
        units: unit set of the columns' heads

    Raises:
        InputError: nothing asked, a rate without a lever, or dimensions that no bar has
        Impossible: no bar has a wanted rate
    """
    if not diameters and not wheel_rates:
        raise InputError("No bar was named", todo="Give --diameter, or --rate for the diameter that has it.")
    _check(asked)
    heads = [show(diameter, Kind.LENGTH, units) for diameter in diameters]
    heads += [f"for {show(rate, Kind.SPRING_RATE, units)}" for rate in wheel_rates]
    every = [*diameters, *(_diameter_for(asked, rate, units) for rate in wheel_rates)]
    bars = [_bar(asked, diameter) for diameter in every]
    rows = _of_the_bar(asked, bars)
    if asked.lever is not None:
        arms = [_arm(asked, bar, asked.lever) for bar in bars]
        rows += _at_the_lever(asked, arms)
        if asked.carried is not None:
            rows += _under_load(asked, asked.carried, arms)
        rows += _of_the_teeth(asked, asked.lever, len(bars))
    length = show(asked.length, Kind.LENGTH, units)
    lever = "" if asked.lever is None else f" at a {show(asked.lever, Kind.LENGTH, units)} lever"
    question = f"What does a torsion bar of {length} active length give{lever}?"
    return AnswerTable(question, tuple(heads), tuple(rows), _remarks(asked, units))


def _check(asked: BarAsked) -> None:
    for name, value, kind in (("load", asked.load, Kind.FORCE), ("sprung mass", asked.sprung_mass, Kind.MASS)):
        if value is not None and value <= 0:
            found = show(value, kind)
            raise InputError(f"The {name} must be more than nothing", found=found, todo="A load winds the bar up.")


def _bar(asked: BarAsked, diameter: float) -> BarInSeries:
    bar = TorsionBar(diameter, asked.length, asked.modulus, asked.bore)
    return BarInSeries(bar, {} if asked.series is None else {"series": asked.series})


def _arm(asked: BarAsked, whole: BarInSeries, lever: float) -> _Arm:
    levered = levered_under_load(whole.rate, lever, asked.angle, asked.carried or 0.0)
    return _Arm(whole, levered, lever, asked.angle)


def _diameter_for(asked: BarAsked, wheel_rate: float, units: str) -> float:
    """Diameter of the bar that has a rate at the lever's end under the load [m]."""
    if asked.lever is None:
        raise InputError("A rate at the arm's end needs the arm", found="no --lever", todo="Give --lever.")
    rate = float(torsional_rate_at_lever(wheel_rate, asked.lever, asked.angle, asked.carried or 0.0))
    series = math.inf if asked.series is None else asked.series
    if not 0 < rate < series:
        why = (
            "the loaded arm alone is stiffer than that"
            if rate <= 0
            else "what gives besides the bar is softer than that"
        )
        raise Impossible(f"No bar gives {show(wheel_rate, Kind.SPRING_RATE, units)} at this arm: {why}.")
    return float(diameter_for_rate(1 / (1 / rate - 1 / series), asked.length, asked.modulus, asked.bore))


_Value = float | str | None
_Read = TypeVar("_Read")


def _row(name: str, kind: Kind, columns: Sequence[_Read], read: Callable[[_Read], _Value], *how: str) -> Answer:
    return Answer(name, kind, tuple(read(column) for column in columns), *how)


def _same(name: str, kind: Kind, count: int, value: _Value, *how: str) -> Answer:
    """A row with one value for all columns."""
    return Answer(name, kind, (value,) * count, *how)


def _of_the_bar(asked: BarAsked, bars: list[BarInSeries]) -> list[Answer]:
    rows = [_row("diameter", Kind.LENGTH, bars, lambda b: float(b.bar.diameter))]
    if asked.bore:
        rows.append(_same("bore", Kind.LENGTH, len(bars), asked.bore))
    formula, torsion = "k = pi G (d⁴ - d_i⁴) / (32 L)", Kind.TORSIONAL_RATE
    rows.append(_row("torsional rate", torsion, bars, lambda b: float(b.bar.rate), formula, GERE))
    if asked.series is not None:
        rows += [
            _row("with what gives besides", torsion, bars, lambda b: float(b.rate), "1/k = sum 1/k_i", SERIES),
            _row("bar's share of twist", Kind.SHARE, bars, lambda b: float(b.shares["bar"]), "k / k_bar", SERIES),
        ]
    if len(bars) > 1:
        first = float(bars[0].rate)
        rows.append(_row("times the first", Kind.RATIO, bars, lambda b: float(b.rate) / first, "k / k of the first"))
    if asked.steel.density is not None:
        density, formula = asked.steel.density, "pi (d² - d_i²) L rho / 4, heads left out"
        rows.append(_row("mass", Kind.MASS, bars, lambda b: float(b.bar.mass(density.value)), formula, density.source))
    return rows


def _at_the_lever(asked: BarAsked, arms: list[_Arm]) -> list[Answer]:
    formula = "k (1 + (th - th0) tan th) / (R cos th)²"
    rows = [_row("rate at the arm's end", Kind.SPRING_RATE, arms, lambda a: a.rate, formula, SAE)]
    if asked.angle and asked.carried is not None:
        name, formula = "of it by the arm's angle", "T d²th/dz²: the loaded arm's leverage changes"
        rows.append(_row(name, Kind.SPRING_RATE, arms, lambda a: a.rate - a.first_term, formula, SAE))
    if asked.sprung_mass is not None:
        mass, formula = asked.sprung_mass, "sqrt(c / m) / (2 pi), tyre left out"
        rows.append(_row("frequency", Kind.FREQUENCY, arms, lambda a: _frequency(a.rate, mass), formula, SINGLE))
    return rows


def _frequency(rate: float, mass: float) -> float | str:
    return math.sqrt(rate / mass) / math.tau if rate > 0 else "falls over"


def _under_load(asked: BarAsked, load: float, arms: list[_Arm]) -> list[Answer]:
    limit, source = _limit(asked)
    few = "resting load or few load cycles"
    count = len(arms)
    return [
        _same("load", Kind.FORCE, count, load, "on the arm's end, vertical"),
        _row("static twist", Kind.ANGLE, arms, lambda a: a.twist, "th - th0 = F R cos th / k", SAE),
        _row("shear stress", Kind.STRESS, arms, lambda a: a.stress, "T d / (2 J)", GERE),
        _same("permissible, few loads", Kind.STRESS, count, limit, few, source),
        _row(
            "margin", Kind.STRESS, arms, lambda a: None if limit is None else limit - a.stress, "permissible - stress"
        ),
        _same("load cycles it lasts", Kind.RATIO, count, None, NO_LIFE.partition(": ")[2]),
        _row("stored energy", Kind.ENERGY, arms, lambda a: a.energy, "k (th - th0)² / 2", GERE),
        _row(
            "droop until slack",
            Kind.LENGTH,
            arms,
            lambda a: a.twist * a.lever * math.cos(a.angle),
            "(th - th0) R cos th, the lever held constant",
            TRADE,
        ),
        _row("the same, on the arc", Kind.LENGTH, arms, lambda a: a.droop_on_the_arc, "R (sin th - sin th0)"),
    ]


def _of_the_teeth(asked: BarAsked, lever: float, count: int) -> list[Answer]:
    level = lever * math.cos(asked.angle)
    ends = (("arm", asked.splines_arm), ("anchor", asked.splines_anchor))
    rows = [
        _same(f"one tooth at the {end}", Kind.LENGTH, count, math.tau / n * level, "2 pi R cos th / n", TRADE)
        for end, n in ends
        if n
    ]
    if asked.splines_arm and asked.splines_anchor:
        step = finest_step(asked.splines_arm, asked.splines_anchor) * level
        formula = "2 pi R cos th / lcm(n1, n2): one end one way, the other back"
        rows.append(_same("smallest step of both", Kind.LENGTH, count, step, formula))
    return rows


def _limit(asked: BarAsked) -> tuple[float | None, str]:
    if asked.stress_limit is not None:
        return asked.stress_limit, "as given"
    limit = static_shear_limit(asked.steel, preset=asked.preset)
    if limit is None:
        return None, f"no published limit at hand for {asked.steel.name}"
    return limit.value, f"{'preset' if asked.preset else 'not preset'}: {limit.source}"


def _remarks(asked: BarAsked, units: str) -> tuple[str, ...]:
    modulus = asked.steel.shear_modulus
    source = f"{asked.steel.name}, {modulus.source}" if asked.shear_modulus is None else "as given"
    remarks = [
        f"G = {show(asked.modulus, Kind.MODULUS, units)}: {source}.",
        "Shear moduli of like steels differ by 2 % between sources, and so do rates from dimensions.",
    ]
    if asked.lever is not None:
        remarks.append("An arm alone, its bearing fixed and the load vertical; a car's linkage has its own ratio.")
    return tuple(remarks)


def _answer(asked: Asked) -> list[AnswerTable]:
    length = asked.optional("length")
    if length is None:
        todo = "Give the active length, between the splines."
        raise InputError("A bar needs its length", found="no length", todo=todo)
    bar = BarAsked(
        length=length,
        lever=asked.optional("lever"),
        bore=asked.one("bore"),
        angle=asked.one("angle"),
        load=asked.optional("load"),
        sprung_mass=asked.optional("sprung"),
        series=asked.optional("series"),
        splines_arm=asked.count("splines_arm") or None,
        splines_anchor=asked.count("splines_anchor") or None,
        steel=STEEL_OF_WORD[asked.word("steel")],
        shear_modulus=asked.optional("modulus"),
        preset=asked.so("preset"),
        stress_limit=asked.optional("limit"),
    )
    diameters = [*asked.numbers("diameter"), *asked.numbers("against")]
    return [bar_answers(bar, diameters, list(asked.numbers("rate")), asked.units)]


STEEL = Choice(
    "steel", "steel of the spring", "hot-formed", {word: steel.name for word, steel in STEEL_OF_WORD.items()}
)

QUESTION = Question(
    about="Torsion bars at a lever: rates, twist, stress, slack and teeth, several side by side; or the diameter for a "
    "rate.",
    asks=(
        Number("length", Kind.LENGTH, "active length, between the splines"),
        Number("diameter", Kind.LENGTH, "diameter of the bar", many=True),
        Number("against", Kind.LENGTH, "another diameter to compare with", many=True),
        Number("rate", Kind.SPRING_RATE, "rate at the arm's end: the diameter that has it", many=True),
        Number("lever", Kind.LENGTH, "arm from the bar's line to the load"),
        Number("bore", Kind.LENGTH, "bore of a hollow bar", (0.0,)),
        Number("angle", Kind.ANGLE, "angle of the arm from level under load, positive upwards", (0.0,)),
        Number("load", Kind.FORCE, "vertical load on the arm's end; the sprung weight if left out"),
        Number("sprung", Kind.MASS, "mass over the arm's end, for the frequency"),
        Number("series", Kind.TORSIONAL_RATE, "torsional rate of what gives besides the bar"),
        Whole("splines_arm", "number of splines at the arm"),
        Whole("splines_anchor", "number of splines at the anchor"),
        STEEL,
        Number("modulus", Kind.MODULUS, "shear modulus, in place of the steel's"),
        Number("limit", Kind.STRESS, "permissible shear stress, in place of the steel's"),
        Switch("preset", "the bar was twisted beyond yield by its maker"),
    ),
    answer=_answer,
    of_part=True,
    alone=True,
)
