"""A car measured with tape and scales: the walk round it, step by step, saved whenever one likes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from markupsafe import Markup
from starlette.responses import Response

from jounce.book import Entry
from jounce.car.file.assumed import is_assumed
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import MeasuredPoint
from jounce.car.file.remark import Remark
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import JounceError
from jounce.conventions.units import Kind, read, to_display, unit_of
from jounce.measuring.known import Known, chosen_of, known_of, musts_of, point_shown, progress_of, walked
from jounce.measuring.walk import ORIGINS, Item, PointItem, Step
from jounce.measuring.writing import Given, changed_text
from jounce.web.case_cache import car_case, car_read, car_steps
from jounce.web.charts.small_drawings import DRAWINGS, axle_views
from jounce.web.field_errors import beside
from jounce.web.request import PageRequest, find, onward, page
from jounce.web.saving import Since, keep, onward_saved, since_opened

__all__ = ["address_of", "drawings_of", "remarks_shown", "show"]

_PARTS = ("x", "y", "z")


@dataclass(frozen=True, slots=True)
class MeasureRow:
    """A line of the form: what is in its fields, what is assumed where nobody measured yet, what is wrong."""

    item: Item | PointItem
    texts: tuple[str, ...]
    plus_minus: str
    origin: str
    measured: bool
    assumed: str
    wrong: str = ""
    unit: str = ""
    units: tuple[str, ...] = ()


_ALSO: Mapping[Kind, str] = {Kind.MASS: "N", Kind.FORCE: "kg"}
"""What scales and pull gauges show besides: weight for mass and mass for weight, by standard gravity."""


def _units_of(item: Item, units: str) -> tuple[str, ...]:
    """Units that a reading can be given in, the page's own first; none where there is but one."""
    if item.kind is None or item.choices:
        return ()
    own = unit_of(item.kind, units).symbol
    other = "mm" if item.key.endswith(".alignment.toe") else _ALSO.get(item.kind, "")
    return (own, other) if other else ()


def _in_unit(text: str, unit: str, kind: Kind | None) -> str:
    """A reading with the unit that was chosen beside it; one that names its own, or is no number, stays as it is."""
    number = text.strip().replace(",", ".").replace("−", "-")
    if not unit or not number:
        return text
    try:
        value = float(number)
    except ValueError:
        return text
    if kind is Kind.MASS and unit == "N":
        return f"{value / GRAVITY:.6g} kg"
    if kind is Kind.FORCE and unit == "kg":
        return f"{value * GRAVITY:.6g} N"
    return f"{number} {unit}"


def show(ask: PageRequest) -> Response:
    """All steps with how far each is, or one of them; a form saves one."""
    car = find(ask, "car")
    document = car_read(car.content)
    steps, progress = car_steps(car.content), progress_of(document)
    done, every = walked(document)
    common: dict[str, Any] = {"car": car, "steps": steps, "progress": progress, "done": done, "every": every}
    common["musts"] = musts_of(document)
    word = ask.path.get("step", "")
    if not word:
        open_steps = (one for one in steps if progress[one.word][0] < progress[one.word][1] and not one.optional)
        after = next(open_steps, None)
        return page(ask, "measure.html", next_step=after, **common)
    step = next((one for one in steps if one.word == word), None)
    if step is None:
        return onward(f"/cars/{car.id}/measure")
    rows = _rows(document, step, ask.desk.units)
    wrong: dict[str, str] = {}
    rest: list[str] = []
    if ask.form:
        since = since_opened(ask, car, lambda text: _by_key(text, step, ask.desk.units))
        given = _given(ask, list(_by_key(since.before.content, step, ask.desk.units).values()))
        wrong = {row.item.key: since.told(row.item.key, _said(row)) for row in rows if _twice(row, given, since)}
        try:
            if not wrong:
                return _saved(ask, car, step, given, steps, since)
        except JounceError as error:
            wrong, rest = beside(error, [*given, *(row.item.key for row in rows)])
        rows = [_as_typed(ask, row, wrong) if row.item.key in {*given, *wrong} else row for row in rows]
        here = {row.item.key for row in rows}
        rest += [text for key, text in wrong.items() if key not in here]
    return page(
        ask,
        "measure_step.html",
        422 if wrong or rest else 200,
        step=step,
        rows=rows,
        wrong=wrong,
        rest=rest,
        origins=ORIGINS,
        remarked=_remarked(car_case(car.content).remarks, step),
        of_all=[remark.text for remark in car_case(car.content).remarks if _speaks_of_all(remark, step)],
        number=car.number,
        drawings=drawings_of(car.content, step),
        after=_after(steps, step),
        before=_before(steps, step),
        **common,
    )


def address_of(car: Entry, place: str) -> str:
    """Where a place of the car file is asked for; empty where no step asks for it.

    Args:
        car: the car
        place: a key of the file or a section
    """
    for step in car_steps(car.content):
        for key in (*(one.key for one in step.items), *(one.key for one in step.points)):
            if key == place or key.startswith(f"{place}."):
                return f"/cars/{car.id}/measure/{step.word}#{key}"
    return ""


def remarks_shown(entry: Entry) -> list[tuple[str, list[tuple[str, str]]]]:
    """What is unusual about a car, each with address and name of the fields of the measuring pages where it stands.

    Args:
        entry: the car
    """
    steps = car_steps(entry.content)
    found: list[tuple[str, list[tuple[str, str]]]] = []
    for remark in car_case(entry.content).remarks:
        fields = {
            f"/cars/{entry.id}/measure/{step.word}#{item.key}": item.label
            for step in steps
            for item in _items(step)
            if _speaks_of(remark, item.key)
        }
        fields |= {
            f"/cars/{entry.id}/measure/{step.word}": step.title for step in steps if _speaks_of_all(remark, step)
        }
        found.append((remark.text, list(fields.items())))
    return found


def _items(step: Step) -> list[Item | PointItem]:
    """All that a step asks for."""
    return [*step.items, *step.points]


def _speaks_of(remark: Remark, key: str) -> bool:
    """Whether a remark stands at the field of an item: it names the item's key, or one of the other side."""
    return key in _parts_of(remark.places[0]) or any(_shared(place) == _shared(key) for place in remark.places)


def _speaks_of_all(remark: Remark, step: Step) -> bool:
    """Whether a remark is of what all the pivots of a step make together."""
    return bool(step.axle) and f"{step.axle}.pivots" in remark.places


def _shared(place: str) -> str:
    """A key of the file without the side."""
    return ".".join(part for part in place.split(".") if part not in {"left", "right"})


def _parts_of(place: str) -> tuple[str, ...]:
    """A wheel centre is no field of its own: the fields that its coordinates are measured by."""
    axle, _, key = _shared(place).partition(".")
    if key != "pivots.wheel_centre":
        return ()
    return (f"{axle}.track", "wheelbase") if axle == "rear" else (f"{axle}.track",)


def _remarked(remarks: tuple[Remark, ...], step: Step) -> dict[str, list[str]]:
    """What is unusual, by the key of the field of a step at which it stands."""
    found = {}
    for item in _items(step):
        if said := [remark.text for remark in remarks if _speaks_of(remark, item.key)]:
            found[item.key] = said
    return found


def _by_key(text: str, step: Step, units: str) -> dict[str, MeasureRow]:
    return {row.item.key: row for row in _rows(car_read(text), step, units)}


def _twice(row: MeasureRow, given: dict[str, Given], since: Since) -> bool:
    """Whether somebody else changed a reading meanwhile to something else than what was typed."""
    mine = given.get(row.item.key)
    if mine is None or row.item.key not in since.changed:
        return False
    return (tuple(text.strip() for text in mine.texts), mine.plus_minus.strip(), mine.origin) != (
        row.texts,
        row.plus_minus,
        row.origin,
    )


def _said(row: MeasureRow) -> str:
    """A reading in one line."""
    band = f" ± {row.plus_minus}" if row.plus_minus else ""
    return f"{', '.join(row.texts)}{band} ({row.origin})" if row.measured else ""


def _saved(  # what a step is saved with
    ask: PageRequest, car: Entry, step: Step, given: dict[str, Given], steps: Sequence[Step], since: Since
) -> Response:
    then = ask.form.get("then", "")
    to = f"/cars/{car.id}/measure/{then}" if then in {one.word for one in steps} else f"/cars/{car.id}/measure"
    if not given:
        return onward(to)
    text = changed_text(car.content, given, steps, ask.desk.units)
    count = len(given)
    note = f"measured: {step.title.lower()}, {count} {'number' if count == 1 else 'numbers'}{since.note}"
    kept = keep(ask, car, text, note, number=car.number)
    return onward_saved(to, kept)


def _given(ask: PageRequest, rows: list[MeasureRow]) -> dict[str, Given]:
    """What was typed over or anew; a field left as it was is not there."""
    found: dict[str, Given] = {}
    for row in rows:
        key = row.item.key
        names = [f"{key}~{part}" for part in _PARTS] if isinstance(row.item, PointItem) else [key]
        texts = tuple(ask.form.get(name, "") for name in names)
        band, origin = ask.form.get(f"{key}~band", row.plus_minus), ask.form.get(f"{key}~from", row.origin)
        if isinstance(row.item, Item) and _chosen(ask, row) != row.unit:
            kind = row.item.kind
            texts = tuple(_in_unit(text, _chosen(ask, row), kind) for text in texts)
            band = _in_unit(band, _chosen(ask, row), kind) if band.strip() != row.plus_minus else band
        if not any(text.strip() for text in texts) and not (row.measured and isinstance(row.item, Item)):
            continue
        same = tuple(text.strip() for text in texts) == row.texts
        if same and row.measured and (band.strip(), origin) == (row.plus_minus, row.origin):
            continue
        found[key] = Given(texts, band, origin if origin in ORIGINS else row.origin)
    return found


def _chosen(ask: PageRequest, row: MeasureRow) -> str:
    """The unit chosen beside a reading: one of those offered, else the page's own."""
    unit = ask.form.get(f"{row.item.key}~unit", row.unit)
    return unit if unit in row.units else row.unit


def _as_typed(ask: PageRequest, row: MeasureRow, wrong: dict[str, str]) -> MeasureRow:
    key = row.item.key
    names = [f"{key}~{part}" for part in _PARTS] if isinstance(row.item, PointItem) else [key]
    texts = tuple(ask.form.get(name, "") for name in names)
    band, origin = ask.form.get(f"{key}~band", row.plus_minus), ask.form.get(f"{key}~from", row.origin)
    said = wrong.get(key, "")
    return MeasureRow(row.item, texts, band, origin, row.measured, row.assumed, said, _chosen(ask, row), row.units)


def _rows(document: CarDocument, step: Step, units: str) -> list[MeasureRow]:
    known = known_of(document)
    rows = [
        _row(item, known.get(item.key), units) if not item.choices else _choice_row(item, chosen_of(document, item.key))
        for item in step.items
    ]
    if step.axle:
        centre = known[f"{step.axle}.pivots.wheel_centre"]
        for item in step.points:
            point = known[item.key]
            if isinstance(point, MeasuredPoint) and isinstance(centre, MeasuredPoint):
                rows.append(_point_row(item, point, centre, units))
    return rows


def _row(item: Item, known: Known | MeasuredPoint | None, units: str) -> MeasureRow:
    row = _read_row(item, known, units)
    offered = _units_of(item, units)
    return replace(row, unit=offered[0], units=offered) if offered else row


def _read_row(item: Item, known: Known | MeasuredPoint | None, units: str) -> MeasureRow:
    band = _as_typed_band(item, units)
    if not isinstance(known, Known):
        return MeasureRow(item, ("",), band, item.tool, measured=False, assumed="")
    shown = _number(known.value, item.kind, units)
    if not known.measured:
        unit = "" if item.kind is None else unit_of(item.kind, units).symbol
        return MeasureRow(item, ("",), band, item.tool, measured=False, assumed=f"{shown} {unit}".removesuffix(" -"))
    own = _number(known.plus_minus, item.kind, units) if known.plus_minus else ""
    return MeasureRow(item, (shown,), own, _tool(known.origin, item.tool), measured=True, assumed="")


def _choice_row(item: Item, word: str) -> MeasureRow:
    return MeasureRow(item, (word,), "", item.tool, measured=bool(word), assumed="")


def _point_row(item: PointItem, point: MeasuredPoint, centre: MeasuredPoint, units: str) -> MeasureRow:
    shown = point_shown(point, centre, units)
    measured = not is_assumed(point)
    band = _number(point.plus_minus if measured else 2e-3, Kind.LENGTH, units)
    texts = shown if measured else ("", "", "")
    return MeasureRow(item, texts, band, _tool(point.origin, "tape"), measured, "" if measured else ", ".join(shown))


def _tool(origin: str, usual: str) -> str:
    return origin if origin in ORIGINS else usual


def _as_typed_band(item: Item, units: str) -> str:
    """The tool's usual ± in the units of the page."""
    if item.kind is None or not item.usual:
        return ""
    return _number(read(item.usual, item.kind), item.kind, units)


def _number(value: float, kind: Kind | None, units: str) -> str:
    if kind is None:
        return f"{value:g}"
    decimals = unit_of(kind, units).decimals + 1
    return f"{round(float(to_display(value, kind, units)), decimals) + 0.0:.{decimals}f}".rstrip("0").rstrip(".")


def drawings_of(car_text: str, step: Step) -> list[Markup]:
    """The drawings beside a step's fields, with a mark for each that shows in one.

    Args:
        car_text: TOML of the car
        step: the step
    """
    if step.word in DRAWINGS:
        return list(DRAWINGS[step.word])
    return list(_views(car_text, step.word))


@lru_cache(maxsize=32)
def _views(car_text: str, word: str) -> tuple[Markup, ...]:
    document = car_read(car_text)
    step = next(one for one in car_steps(car_text) if one.word == word)
    known = known_of(document)
    points = [(item.number, known[item.key]) for item in step.points]
    if not step.axle:
        return ()
    return tuple(axle_views(document, step.axle, [(n, p) for n, p in points if isinstance(p, MeasuredPoint)]))


def _after(steps: Sequence[Step], step: Step) -> Step | None:
    here = steps.index(step)
    return steps[here + 1] if here + 1 < len(steps) else None


def _before(steps: Sequence[Step], step: Step) -> Step | None:
    here = steps.index(step)
    return steps[here - 1] if here else None
