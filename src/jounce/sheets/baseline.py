"""The baseline sheet: the car before anything is changed, and boxes for the second run that has to agree."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.conventions.axes import CORNERS, Side
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind, show
from jounce.layouts.catalogue import LAYOUTS
from jounce.sheets.blocks import Block, Cautions, Cell, Heading, Points, Signatures, TableBlock, Words
from jounce.sheets.cautions import SUPPORT, TOOL, cautions
from jounce.sheets.paperwork import Printout
from jounce.sheets.shown import degrees_minutes, number, unit
from jounce.sheets.wheels import END, NAMES, angle, arch_found, of_corners, travel_alone, travel_of, tyres

_CONDITION = (
    "Dampers: leaks, left against right; mounts; rubbers present and whole",
    "Brake hoses, cables, drive-shaft boots; wheel run-out; tyres alike on each axle",
    "Measured after bouncing and rolling the car, on level pads, on turn and slip plates; tyre pressures set",
)


def baseline(out: Printout) -> list[Block]:
    """The sheet of a car as found.

    Args:
        out: what is printed
    """
    return [
        TableBlock(["car", "", "occasion", ""], list(_identity(out)), words=4),
        Heading("Condition, before any measuring"),
        Points([_play(out), _corrosion(out), *_CONDITION], tick=True),
        Heading("Four corners (± as typed: holds 95 of 100)"),
        TableBlock(["", *NAMES], list(_corners(out))),
        Words(_shares(out)),
        Heading("Travel of each wheel alone, from where the car stands"),
        TableBlock(["", *NAMES], list(_travels(out))),
        Heading("Second run: repeat until two runs agree"),
        TableBlock(["", *NAMES], [[name, None, None, None, None] for name in _second_run(out.units)]),
        *_remarks(out),
        Cautions(cautions(out, (SUPPORT, TOOL))),
        Signatures(("measured by", "second run by", "date")),
    ]


def _play(out: Printout) -> str:
    """What may have play: the joints that this car has."""
    sections = [out.case.car.axle(end) for end in END.values()]
    struts = any("strut_top" in type(section.side(Side.LEFT).pivots).model_fields for section in sections)
    rods = any(hasattr(section, "panhard") for section in sections)
    joints = ["ball joints", "tie rods", *(["top mounts"] * struts), "wheel bearings", "arm and axle bushes"]
    return "Play: " + ", ".join([*joints, *(["Panhard bushes"] * rods)])


def _corrosion(out: Printout) -> str:
    bars = out.sprung_by("torsion bar")
    of_bars = "torsion-bar anchors and splines, " if bars else ""
    seats = ", spring seats" if out.sprung_by("coil") or out.sprung_by("leaf") else ""
    return f"Corrosion: {of_bars}arm mounts{seats}; {'bar' if bars else 'spring'} surfaces free of notches"


def _layout(end: str, out: Printout) -> str:
    """What the trade calls an axle's layout; the file's word where it has no name."""
    section = out.case.car.axle(END[end])
    return LAYOUTS[section.layout].title if section.layout in LAYOUTS else str(section.layout)


def _identity(out: Printout) -> Iterator[list[Cell]]:
    car, told = out.case.car.car, out.case.car.measured
    made = " ".join(str(one) for one in (car.maker, car.name, car.year or "") if one)
    yield ["name", made, "day", str(told.date or "not noted")]
    yield ["body", car.body or "not noted", "by", told.by or "not noted"]
    yield ["chassis number", car.chassis or None, "place, floor, scales", told.note or None]
    yield ["tyres", tyres(out.case.car), "tyre pressures, cold", None]
    yield ["front axle", _layout("front", out), "fuel, ballast", told.aboard or None]
    yield ["rear axle", _layout("rear", out), "", ""]


def _corners(out: Printout) -> Iterator[list[Cell]]:
    units, mass = out.units, out.case.car.mass

    def weight(axle: str, side: str) -> str:
        measured = mass.corner(END[axle], SIDE_OF[side])
        return number(measured.value, Kind.MASS, units, band=measured.plus_minus)

    def height(axle: str, side: str) -> str:
        value, band = arch_found(out.case.car, (axle, side))  # type: ignore[arg-type]  # a side's name is a text here
        return number(value, Kind.LENGTH, units, band=band)

    yield [f"weight{unit(Kind.MASS, units)}", *of_corners(weight)]
    yield [f"{RESULTS['height'].label}{unit(Kind.LENGTH, units)}", *of_corners(height)]
    for name in ("camber", "toe", "caster"):
        yield [name, *of_corners(lambda a, s, n=name: _angle(out, a, s, n))]  # type: ignore[misc]
    rate, frequency = (RESULTS[name].label for name in ("wheel_rate", "ride_frequency"))
    wheels = out.case.found.standing.axles
    yield [
        f"{rate}{unit(Kind.SPRING_RATE, units)}",
        *of_corners(lambda a, s: number(wheels[a].wheels[s].wheel_rate, Kind.SPRING_RATE, units)),
    ]
    yield [
        f"{frequency}{unit(Kind.FREQUENCY, units)}",
        *of_corners(lambda a, s: number(wheels[a].wheels[s].ride_frequency, Kind.FREQUENCY, units)),
    ]


def _angle(out: Printout, axle: str, side: str, name: str) -> str:
    value = angle(out.case.found.standing, axle, side, name)  # type: ignore[arg-type]
    return "–" if value is None else degrees_minutes(value)


def _shares(out: Printout) -> str:
    mass = out.case.car.mass
    left = sum(mass.corner(end, SIDE_OF["left"]).value for end in END.values()) / mass.total
    return (
        f"Together {show(mass.total, Kind.MASS, out.units)}: front {mass.front_share:.1%}, "
        f"left {left:.1%}, front right with rear left {mass.cross_share:.1%}. Toe per wheel, + in; camber − top inward; "
        "axle offset and thrust angle: measure from the wheels to the body, both sides."
    )


def _travels(out: Printout) -> Iterator[list[Cell]]:
    units = out.units
    told = {corner: travel_alone(out.case.found.standing, *corner) for corner in CORNERS}
    length = unit(Kind.LENGTH, units)
    gaps = of_corners(lambda a, s: number(told[a, s].rubber, Kind.LENGTH, units))
    yield [f"bump until the rubber touches{length}", *gaps]
    for at in ("bump", "droop"):
        ends = {corner: getattr(one, at) for corner, one in told.items()}
        yield [
            f"{at} to its end{length}",
            *of_corners(lambda a, s, e=ends: number(travel_of(e[a, s]), Kind.LENGTH, units)),  # type: ignore[misc]
        ]
        yield ["  ended by", *of_corners(lambda a, s, e=ends: e[a, s].name if e[a, s] else "unknown")]  # type: ignore[misc]


def _second_run(units: str) -> list[str]:
    return [
        f"weight{unit(Kind.MASS, units)}",
        f"{RESULTS['height'].label}{unit(Kind.LENGTH, units)}",
        "camber",
        "toe",
        f"rubber gap{unit(Kind.LENGTH, units)}",
    ]


def _remarks(out: Printout) -> list[Block]:
    said = tuple(remark.text for remark in out.case.remarks)
    return [Heading("Unusual in what was entered"), Points(said)] if said else []
