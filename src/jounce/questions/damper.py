"""Quick answers about dampers without a car: forces at the usual speeds, ratios, damping; what a test on a bench says."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import PurePath

import numpy as np

from jounce.car.file.damper_bench import parse_bench
from jounce.car.file.damper_file import parse_damper
from jounce.conventions.errors import InputError, at, check_range
from jounce.conventions.quantity import TRADE
from jounce.conventions.units import MM, N_PER_MM, Kind, read, show, unit_of
from jounce.elements.dampers.bench_rows import SLOW, TEST_SPEEDS, WINDOW, BenchMean, BenchTest, averaged
from jounce.elements.dampers.damper_energy import cycle_energy, equal_damping, mean_power
from jounce.elements.dampers.damper_knee import Knee, knee_curve
from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.job.answer_table import Answer, AnswerTable
from jounce.questions.question import Asked, Content, Number, Question, Switch, Written

Value = float | str | None

SINGLE = "single mass on a spring"
JACOBSEN = "L. S. Jacobsen 1930, equal energy"
PRACTICE = "common practice"


@dataclass(frozen=True, slots=True)
class DamperColumn:
    """One damper: its head, its force over speed, and speeds of a test that have no points in both directions [m/s]."""

    name: str
    curve: ForceVelocity
    missing: tuple[float, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class Corner:
    """What the dampers stand under, SI; None where it was not said.

    ``motion_ratio`` is the rod's travel per wheel travel, ``wheel_rate`` that at the wheel without the tyre,
    ``spring_factor`` new wheel rate over old. ``stroke`` and ``frequency`` are those of a steady sine of the rod, the
    stroke from end to end.
    """

    motion_ratio: float | None = None
    sprung_mass: float | None = None
    wheel_rate: float | None = None
    spring_factor: float | None = None
    stroke: float | None = None
    frequency: float | None = None

    @property
    def in_n_per_mm(self) -> float | None:
        """The wheel rate as a message shows it [N/mm]."""
        return None if self.wheel_rate is None else self.wheel_rate / N_PER_MM

    @property
    def in_mm(self) -> float | None:
        """The stroke as a message shows it [mm]."""
        return None if self.stroke is None else self.stroke / MM

    @property
    def critical_at_wheel(self) -> float | None:
        """``2 √(k m)`` [N s/m]."""
        if self.sprung_mass is None or self.wheel_rate is None:
            return None
        return float(2 * np.sqrt(self.wheel_rate * self.sprung_mass))

    @property
    def critical_at_rod(self) -> float | None:
        """The same at the rod: over the motion ratio squared [N s/m]."""
        if self.critical_at_wheel is None or self.motion_ratio is None:
            return None
        return self.critical_at_wheel / self.motion_ratio**2


def damper_table(
    dampers: Sequence[DamperColumn], corner: Corner, units: str = "metric", speeds: Sequence[float] = TEST_SPEEDS
) -> AnswerTable:
    """Dampers side by side.

    Args:
        dampers: one column for each
        corner: what they stand under
        units: unit set of the speeds in the rows' names
        speeds: rod speeds asked for [m/s]

    Raises:
        InputError: nothing asked, or a value that no corner has
    """
    if not dampers:
        raise InputError(
            "No damper was told", todo="Give --curve, --knee, --bench or --file, each as often as you like."
        )
    _check(corner)
    rows = [
        *_forces(dampers, units, speeds),
        *_dampings(dampers, corner, units, speeds),
        *_critical(dampers, corner),
        *_swing(dampers, corner),
    ]
    title = "Damper" if len(dampers) == 1 else "Dampers"
    names = tuple(damper.name for damper in dampers)
    return AnswerTable(title, names, tuple(rows), tuple(_remarks(dampers, corner, units, speeds)))


def bench_table(name: str, test: BenchTest, said: Sequence[str], units: str = "metric") -> AnswerTable:
    """What a test on a bench says, and how well.

    Args:
        name: name of the test
        test: its means
        said: what was turned or guessed while reading it
        units: unit set of the speeds
    """
    rows = [
        Answer("gas force", Kind.FORCE, (test.gas_force, ""), _gas_formula(test, units), PRACTICE),
        *_friction(test),
        Answer("fastest speed reached", Kind.SPEED, (test.fastest_bump, test.fastest_rebound)),
    ]
    for speed, bump, rebound in zip(test.speeds, test.bump, test.rebound, strict=True):
        rows += _bench_rows(f"at {show(float(speed), Kind.SPEED, units)}", bump, rebound)
    how = (
        f"{test.runs} {'run' if test.runs == 1 else 'runs'}; each mean is a straight line through the points within "
        f"{WINDOW:.0%} of its speed, the spread their standard deviation from it."
    )
    remarks = [
        *said,
        how,
        *(_told_gap(gap.direction, gap.low, gap.high, units) for gap in test.gaps),
        *_slow_enough(test, units),
    ]
    return AnswerTable(f"{name}: the test, gas left in", ("bump", "rebound"), tuple(rows), tuple(remarks))


def curve_line(curve: ForceVelocity) -> str:
    """A curve as the line that a car file takes: ``curve = [[0.052, 60, 110], …]``.

    Args:
        curve: force over speed
    """
    moving = curve.speed > 0
    rows = zip(curve.speed[moving], curve.bump_force[moving], curve.rebound_force[moving], strict=True)
    return "curve = [" + ", ".join(f"[{v:.4g}, {bump:.1f}, {rebound:.1f}]" for v, bump, rebound in rows) + "]"


def _check(corner: Corner) -> None:
    limits = (
        ("motion ratio", corner.motion_ratio, 0.1, 3.0, "", "It is rod travel per wheel travel."),
        ("sprung mass", corner.sprung_mass, 10, 5000, "kg", "It is the mass over one wheel."),
        ("wheel rate", corner.in_n_per_mm, 1, 1000, "N/mm", "It is the rate at the wheel, tyre left out."),
        ("spring factor", corner.spring_factor, 0.05, 20, "", "It is the new wheel rate over the old one."),
        ("stroke", corner.in_mm, 0.1, 1000, "mm", "It is the rod's, from end to end."),
        ("frequency", corner.frequency, 0.01, 100, "Hz", "It is that of the rod's swing."),
    )
    for name, value, low, high, unit, todo in limits:
        if value is not None:
            check_range(name, value, low, high, unit, todo)


def _forces(dampers: Sequence[DamperColumn], units: str, speeds: Sequence[float]) -> list[Answer]:
    rows = []
    for word, sense in (("bump", 1.0), ("rebound", -1.0)):
        for speed in speeds:
            values = _known(dampers, speed, _against(sense))
            rows.append(Answer(f"{word} at {show(speed, Kind.SPEED, units)}", Kind.FORCE, values))
    formula, source = "rebound force / bump force", TRADE
    for speed in speeds:
        values = _known(dampers, speed, _rebound_over_bump)
        rows.append(Answer(f"rebound/bump at {show(speed, Kind.SPEED, units)}", Kind.RATIO, values, formula, source))
        formula = source = ""
    return rows


def _against(sense: float) -> Callable[[DamperColumn, float], Value]:
    """Force of one direction without its sign."""
    return lambda damper, speed: float(sense * damper.curve.force(sense * speed))


def _rebound_over_bump(damper: DamperColumn, speed: float) -> Value:
    bump = float(damper.curve.force(speed))
    return float(-damper.curve.force(-speed)) / bump if bump > 0 else "no bump"


def _dampings(dampers: Sequence[DamperColumn], corner: Corner, units: str, speeds: Sequence[float]) -> list[Answer]:
    rows = []
    formula, source = "c = ∮ F dx / (π v a): as much energy from a sine up to that speed", JACOBSEN
    for speed in speeds:
        values = _known(dampers, speed, lambda d, v: float(equal_damping(d.curve, v)))
        name = f"damping up to {show(speed, Kind.SPEED, units)}"
        rows.append(Answer(name, Kind.DAMPING, values, formula, source))
        formula = source = ""
    critical, factor = corner.critical_at_rod, corner.spring_factor
    if critical is None:
        return rows
    formula, source = "ζ = c MR² / (2 √(k m))", SINGLE
    for speed in speeds:
        values = _known(dampers, speed, lambda d, v: float(equal_damping(d.curve, v)) / critical)
        name = f"damping ratio up to {show(speed, Kind.SPEED, units)}"
        rows.append(Answer(name, Kind.RATIO, values, formula, source))
        formula = source = ""
        if factor is not None:
            after = tuple(None if value is None else float(value) * factor**-0.5 for value in values)
            rows.append(Answer("  after the spring change", Kind.RATIO, after))
    return rows


def _critical(dampers: Sequence[DamperColumn], corner: Corner) -> list[Answer]:
    """What does not depend on the damper, the same in every column."""

    def alike(name: str, kind: Kind, value: float | None, formula: str, source: str = SINGLE) -> list[Answer]:
        return [] if value is None else [Answer(name, kind, (value,) * len(dampers), formula, source)]

    factor = corner.spring_factor
    return [
        *alike("critical damping at the wheel", Kind.DAMPING, corner.critical_at_wheel, "2 √(k m)"),
        *alike("critical damping at the rod", Kind.DAMPING, corner.critical_at_rod, "2 √(k m) / MR²"),
        *alike(
            "spring change: ζ becomes, times",
            Kind.RATIO,
            None if factor is None else factor**-0.5,
            "1 / √(new rate / old rate), same damper, same mass",
        ),
    ]


def _swing(dampers: Sequence[DamperColumn], corner: Corner) -> list[Answer]:
    if corner.stroke is None or corner.frequency is None:
        return []
    amplitude, frequency = corner.stroke / 2, corner.frequency
    fastest = 2 * np.pi * frequency * amplitude

    def of(value: Callable[..., object]) -> tuple[Value, ...]:
        return _known(dampers, fastest, lambda d, _: float(np.asarray(value(d.curve, amplitude, frequency))))

    return [
        Answer("largest rod speed of the sine", Kind.SPEED, (fastest,) * len(dampers), "2 π f a"),
        Answer("energy of a cycle", Kind.ENERGY, of(cycle_energy), "∮ F dx, exactly, piece by piece of the curve"),
        Answer("heat in a steady sine", Kind.POWER, of(mean_power), "energy of a cycle times frequency"),
    ]


def _known(
    dampers: Sequence[DamperColumn], speed: float, value: Callable[[DamperColumn, float], Value]
) -> tuple[Value, ...]:
    """A value of each damper at a speed; not known beyond its rows."""
    return tuple(value(damper, speed) if bool(damper.curve.known(speed)) else None for damper in dampers)


def _remarks(dampers: Sequence[DamperColumn], corner: Corner, units: str, speeds: Sequence[float]) -> list[str]:
    said = []
    for damper in dampers:
        if damper.curve.known_to < max(speeds):
            said.append(
                f"{damper.name}: known to {show(damper.curve.known_to, Kind.SPEED, units)} only; nothing is carried beyond."
            )
        missing = ", ".join(show(speed, Kind.SPEED, units) for speed in damper.missing)
        if missing:
            said.append(
                f"{damper.name}: no points at {missing}; there the values lie on the line between their neighbours."
            )
    if corner.critical_at_rod is not None:
        said.append("Damping ratios are those of one mass on its spring, tyre, other wheels and friction left out.")
    elif corner.sprung_mass is not None or corner.wheel_rate is not None:
        said.append("A damping ratio needs sprung mass, wheel rate and motion ratio.")
    return said


def _gas_formula(test: BenchTest, units: str) -> str:
    if test.gas_told:
        return "as told"
    if test.gas_speed == 0:
        return f"bump and rebound up to {show(SLOW, Kind.SPEED, units)} carried to rest by straight lines, their mean"
    return f"mean of bump and rebound at {show(test.gas_speed, Kind.SPEED, units)}"


def _friction(test: BenchTest) -> list[Answer]:
    if test.friction is None:
        return []
    return [Answer("friction of seal and rod", Kind.FORCE, (test.friction, ""), "half of what is left between the two")]


def _bench_rows(where: str, bump: BenchMean | None, rebound: BenchMean | None) -> list[Answer]:
    def of(value: Callable[[BenchMean], Value]) -> tuple[Value, Value]:
        return (None if bump is None else value(bump), None if rebound is None else value(rebound))

    return [
        Answer(f"force {where}", Kind.FORCE, of(lambda m: m.force)),
        Answer("  spread", Kind.FORCE, of(lambda m: m.spread if m.count > 2 else "too few")),
        Answer("  points", Kind.RATIO, of(lambda m: str(m.count))),
        Answer("  hysteresis", Kind.FORCE, of(lambda m: m.hysteresis)),
    ]


def _told_gap(direction: str, low: float, high: float, units: str) -> str:
    until = "on" if np.isinf(high) else f"to {show(high, Kind.SPEED, units)}"
    return f"Gap: no points in {direction} from {show(low, Kind.SPEED, units)} {until}."


def _slow_enough(test: BenchTest, units: str) -> list[str]:
    if test.gas_told or test.gas_speed == 0:
        return []
    at = show(test.gas_speed, Kind.SPEED, units)
    why = "there are too few slow points to carry the forces to rest"
    return [
        f"The gas force is a guess: {why}. It holds only if both directions damp alike at {at}; weigh it and tell it."
    ]


def _answer(asked: Asked) -> list[AnswerTable]:
    speeds = _speeds(asked)
    columns = [DamperColumn(_short(text), _rows(text, asked.units)) for text in asked.texts("curve")]
    columns += [DamperColumn(_short(text), _knees(text, asked.units)) for text in asked.texts("knee")]
    tests: list[AnswerTable] = []
    for name, text in asked.files("bench"):
        column, table = _tested(name, text, asked, speeds)
        columns.append(column)
        tests.append(table)
    columns += [column for name, text in asked.files("file") for column in _of_file(name, text)]
    if asked.so("as_curve"):
        lines = tuple(line for column in columns for line in (f"# {column.name}", curve_line(column.curve)))
        return [AnswerTable("", (), (), plain=lines)]
    change = asked.optional("spring_change")
    corner = Corner(
        motion_ratio=asked.optional("motion_ratio"),
        sprung_mass=asked.optional("sprung"),
        wheel_rate=asked.optional("wheel_rate"),
        spring_factor=None if change is None else 1 + change,
        stroke=asked.optional("stroke"),
        frequency=asked.optional("frequency"),
    )
    return [*tests, damper_table(columns, corner, asked.units, speeds)]


def _speeds(asked: Asked) -> tuple[float, ...]:
    """Rod speeds in rising order, each once."""
    cells = asked.word("speeds").replace(",", " ").split()
    found = sorted({_read(cell, Kind.SPEED, "speeds", asked.units) for cell in cells})
    for speed in found:
        check_range("rod speed", speed, 0.001, 10, "m/s", "Check the speeds and their unit.")
    return tuple(found) or TEST_SPEEDS


def _read(text: str, kind: Kind, place: str, units: str) -> float:
    with at(place):
        return read(text, kind, unit_of(kind, units).symbol)


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST_HEAD else f"{text[: _LONGEST_HEAD - 2]}…"


_LONGEST_HEAD = 14  # characters


def _numbers(text: str, kinds: tuple[Kind, ...], place: str, units: str) -> list[list[float]]:
    """Rows parted by semicolons, their numbers by blanks or commas."""
    rows = []
    for row in text.split(";"):
        cells = row.replace(",", " ").split()
        if len(cells) != len(kinds):
            allowed = f"{len(kinds)} numbers in each row, rows parted by ;"
            raise InputError(f"The {place} cannot be read", found=f'"{row.strip()}"', allowed=allowed)
        rows.append([_read(cell, kind, place, units) for cell, kind in zip(cells, kinds, strict=True)])
    return rows


def _rows(text: str, units: str) -> ForceVelocity:
    rows = np.array(_numbers(text, (Kind.SPEED, Kind.FORCE, Kind.FORCE), "curve", units))
    with at("curve"):
        return ForceVelocity(rows[:, 0], rows[:, 1], rows[:, 2])


def _knees(text: str, units: str) -> ForceVelocity:
    rows = _numbers(text, (Kind.DAMPING, Kind.SPEED, Kind.DAMPING), "knee", units)
    if len(rows) != 2:
        raise InputError("A knee needs bump and rebound", found=f"{len(rows)}", allowed="two rows parted by ;")
    with at("knee"):
        bump, rebound = (Knee(*row) for row in rows)
        return knee_curve(bump, rebound)


def _tested(name: str, text: str, asked: Asked, speeds: tuple[float, ...]) -> tuple[DamperColumn, AnswerTable]:
    with at(name):
        found = parse_bench(
            text,
            bump_negative=asked.so("bump_negative"),
            speed_unit=asked.word("speed_unit"),
            force_unit=asked.word("force_unit"),
        )
        test: BenchTest = averaged(found.points, speeds, asked.optional("gas"))
        column = DamperColumn(PurePath(name).stem, test.curve, test.missing)
    return column, bench_table(PurePath(name).name, test, found.remarks, asked.units)


def _of_file(name: str, text: str) -> list[DamperColumn]:
    """The damper of a file; of one with an adjuster, each measured setting and where it stands."""
    told, stem = parse_damper(text, name), PurePath(name).stem
    force = told.force
    if force is None:
        raise InputError("This damper has no force over speed", todo="Give curve, knee or clicks.", place=name)
    if told.clicks is None:
        return [DamperColumn(stem, force)]
    family, setting, rebound = told.clicks.family, told.clicks.setting, told.clicks.rebound_setting
    columns = [DamperColumn(f"click {at:g}", curve) for at, curve in zip(family.settings, family.curves, strict=True)]
    stands = f"set {setting:g}" if rebound is None else f"set {setting:g}/{rebound:g}"
    return [*columns, DamperColumn(stands, force)]


QUESTION = Question(
    about="Dampers side by side: forces at the usual test speeds, damping, and damping ratio at a wheel; tests on a bench. "
    "A damper is told by rows, by slopes and knees, by the points of a test, or by a file that may hold the settings of "
    "its adjuster. Beyond what was measured nothing is told.",
    asks=(
        Written("curve", 'rows of speed, bump, rebound: "0.052 60 110; 0.13 130 250"', many=True),
        Written("knee", 'slope, knee speed, slope of bump, then of rebound: "1200 0.13 500; 2400 0.13 900"', many=True),
        Content("bench", "CSV of a test: columns speed and force, units in the head", many=True),
        Content("file", "TOML with the keys of a car file's damper; clicks give a column each", many=True),
        Written("speeds", 'rod speeds asked for, in place of the usual ones: "0.05 0.1 0.25"'),
        Number("motion_ratio", Kind.RATIO, "rod travel per wheel travel"),
        Number("sprung", Kind.MASS, "mass over one wheel"),
        Number("wheel_rate", Kind.SPRING_RATE, "rate at the wheel, tyre left out"),
        Number("spring_change", Kind.SHARE, "change of the wheel rate, more positive"),
        Number("stroke", Kind.LENGTH, "stroke of a steady sine of the rod, end to end; with its frequency"),
        Number("frequency", Kind.FREQUENCY, "frequency of that sine: energy of a cycle and heat"),
        Number("gas", Kind.FORCE, "gas force of the tests, where it was weighed"),
        Switch("bump_negative", "the tests count bump speed negative"),
        Written("speed_unit", "unit of the tests' speeds, if their heads name none"),
        Written("force_unit", "unit of the tests' forces, if their heads name none"),
        Switch("as_curve", "only the lines that a car file takes"),
    ),
    answer=_answer,
    of_part=True,
)
