"""The sheet of jobs beside each other: what each does to the car, what it is made of, what fails, what it costs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from jounce.case.beside import Beside, BesideRow, Variant
from jounce.checks import Verdict
from jounce.conventions.certainty import MEANING
from jounce.conventions.units import Kind
from jounce.layouts.naming import SIDES
from jounce.questions.side_by_side import ABSENT, VariantPrices, parts_apart, refusals
from jounce.sheets.beside_figure import beside_figure
from jounce.sheets.blocks import Block, Cautions, Fields, Figures, Signatures, TableBlock, Words
from jounce.sheets.cautions import LAW, TOOL, cautions
from jounce.sheets.paperwork import Printout
from jounce.sheets.shown import number, unit

__all__ = ["SIDE_BY_SIDE", "editions", "side_by_side"]

SIDE_BY_SIDE = "Side by side"
"""What the sheet is called."""

_OF_CAR = ("front_share",)
_OF_WHEELS: Mapping[str, Mapping[str, str]] = {
    "front": {
        "height": "wheel centre to arch",
        "wheel_rate": "wheel rate",
        "ride_frequency": "ride frequency",
        "rubber_at": "free travel to the rubber",
        "camber": "camber",
    },
    "rear": {
        "height": "wheel centre to arch",
        "wheel_rate": "wheel rate",
        "ride_frequency": "ride frequency",
        "rubber_at": "free travel to the rubber",
    },
}
_OF_AXLES = ("roll_stiffness",)
_CAPTION = "Ride frequency of the left wheels: front dark, rear hatched."


def editions(found: Beside) -> str:
    """Which plans the sheet is of, where no book tells their versions.

    Args:
        found: the jobs
    """
    return " · ".join(f"{one.letter} revision {one.revision}" for one in found.variants)


def side_by_side(found: Beside, out: Printout, prices: VariantPrices | None) -> list[Block]:
    """The sheet.

    Args:
        found: the jobs
        out: the car alone, and how the sheet looks
        prices: what the jobs cost; None where nobody asked
    """
    letters = [one.letter for one in found.variants]
    rows = [*_rows(found, out.units), [_CHECKS, ABSENT, *map(_checked, found.variants), ""]]
    if prices is not None:
        rows.append([prices.label, ABSENT, *prices.texts, ""])
    small = (*parts_apart(found, out.units, briefly=True), *(() if prices is None else prices.remarks))
    warned = [line for one in found.possible for line in cautions(Printout(one.case, out.look), (LAW, TOOL))]
    return [
        Fields(letters, [one.name for one in found.variants]),
        *(Words(line, small=True) for line in refusals(found)),
        TableBlock(["left / right", "as found", *letters, "± up to"], rows),
        Figures(
            [beside_figure(found, out.units, out.look.speaks)],
            f"{_CAPTION} {MEANING}, with the settings of each job made.",
        ),
        *(Words(line, small=True) for line in small),
        Cautions(list(dict.fromkeys(warned))),
        Signatures(("chosen job", "signature", "date")),
    ]


_CHECKS = "checks that fail / not known / pass"


def _checked(one: Variant) -> str:
    counts = " / ".join(str(len(one.of(verdict))) for verdict in (Verdict.FAIL, Verdict.UNKNOWN, Verdict.PASS))
    return "cannot be" if one.refused else counts


def _rows(found: Beside, units: str) -> Iterator[list[str]]:
    """The lines of the table: the whole car, then both axles, left and right in one."""
    rows = {row.key: row for row in found.weighed}
    for name in _OF_CAR:
        yield from _line(rows, (name,), "", units)
    for axle in _OF_WHEELS:
        for name, label in _OF_WHEELS[axle].items():
            yield from _line(rows, tuple(f"{axle}.{side}.{name}" for side in SIDES), f"{axle} {label}", units)
        for name in _OF_AXLES:
            yield from _line(rows, (f"{axle}.{name}",), axle, units)


def _line(rows: Mapping[str, BesideRow], keys: tuple[str, ...], label: str, units: str) -> Iterator[list[str]]:
    """One line, or none where the car has nothing of the kind."""
    there = [rows[key] for key in keys if key in rows]
    if not there:
        return
    row = there[0]
    name = label if len(keys) > 1 else f"{label} {row.label}".strip()
    columns = range(len(row.values))
    cells = [_cell([one.values[k] for one in there], row.kind, units) for k in columns]
    band = number(max(band for one in there for band in one.bands), row.kind, units)
    yield [f"{name}{unit(row.kind, units)}", *cells, band if any(digit in "123456789" for digit in band) else ""]


def _cell(values: Sequence[float | None], kind: Kind, units: str) -> str:
    """Left and right, or the one number there is; nothing of a job that has neither."""
    if all(value is None for value in values):
        return ABSENT
    return " / ".join(ABSENT if value is None else number(value, kind, units) for value in values)
