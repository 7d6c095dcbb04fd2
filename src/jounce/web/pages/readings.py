"""Readings on a car: typed one by one on the phone, fitted at once, and taken over as a new version of the car."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from starlette.responses import Response

from jounce.book import Entry
from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import COORDINATES, all_inputs
from jounce.car.file.quantity import Measured, read_measured
from jounce.car.file.toe import is_length
from jounce.car.file.walk import point_words
from jounce.car.mechanics.layout_input import spring_kind
from jounce.conventions.axes import ENDS
from jounce.conventions.errors import InputError, InputProblems, JounceError
from jounce.conventions.typed import with_unit
from jounce.conventions.units import Kind, unit_of
from jounce.conventions.units import show as number_told
from jounce.fit.candidates import refuse_unreadable
from jounce.fit.car_fit import CarFit, fit_car
from jounce.fit.fitted_file import FITTED, fitted_text
from jounce.fit.kinds import KINDS, ReadingKind
from jounce.fit.not_known import unknown_parts, wider_with
from jounce.fit.readings_file import parse_readings
from jounce.fit.readings_text import ReadingsKept, kept_readings
from jounce.measuring.typed_toe import rim_of, toe_with_unit
from jounce.questions.fit import ONE_OF_THEM, SHARED, best_next, fit_tables
from jounce.questions.hidden_parts import hidden_parts
from jounce.questions.next_reading import QUESTION as NEXT
from jounce.questions.next_reading import form_of
from jounce.questions.question import Asked
from jounce.web.case_cache import car_case, car_read
from jounce.web.pages.asked_field import fields_of
from jounce.web.request import PageRequest, find, page
from jounce.web.saving import keep, onward_saved

__all__ = ["show"]

_WHEELS = ("front left", "front right", "rear left", "rear right", "front", "rear")
_FIELDS = ("what", "at", "bump", "load", "value", "band", "from", "to", "note")
_ABOARD = "aboard."
_TAKEN = "taken over"
_OVER = re.compile(r"\s+(?=(?:over|across)\b)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class AnswerBar:
    """An answer with its band before and after, and how long the bar of what is left is, in hundredths of the former."""

    label: str
    before: str
    after: str
    left: float


def show_readings(ask: PageRequest, car: Entry, wrong: str = "") -> Response:
    """The page: what was read, what it says, and the form of the next reading.

    Args:
        ask: the request
        car: the car
        wrong: why nothing was saved
    """
    entry = _open_entry(ask, car)
    kept = ReadingsKept() if entry is None else kept_readings(entry.content, entry.name)
    document = car_read(car.content)
    told = dict[str, Any](fit=None, suspects=(), unseen=(), tables=[], advice="", bars=[], next=None, refused="")
    if kept.entries:
        try:
            told |= _told(car, kept.text, ask.desk.units)
        except JounceError as error:
            told["refused"] = str(error)
    return page(
        ask,
        "readings.html",
        422 if wrong else 200,
        car=car,
        word="",
        entry=entry,
        rows=list(_rows(kept, ask.desk.units)),
        kinds=_kinds(document, ask.desk.units),
        wheels=_WHEELS,
        points=_points(document),
        places=[(name, f"{_ABOARD}{name}", ask.form.get(f"{_ABOARD}{name}", "")) for name in document.places],
        typed={name: ask.form.get(name, ask.query.get(name, "")) for name in _FIELDS},
        hidden=list(_hidden(document, kept)),
        wrong=wrong,
        shared=SHARED,
        one_of_them=ONE_OF_THEM,
        **told,
        **_planned(ask, car, kept.text if kept.entries or kept.wider else ""),
    )


def show(ask: PageRequest) -> Response:
    """What was read on a car; a form adds a reading, takes one out, says what is not known, or takes the fit over."""
    car = find(ask, "car")
    if not ask.form:
        return show_readings(ask, car)
    try:
        if "take" in ask.form:
            return _taken_over(ask, car)
        return _changed(ask, car)
    except InputProblems as error:  # what is kept was read before: the one that was typed is the one
        return show_readings(ask, car, " ".join(one.message for one in error.problems))
    except JounceError as error:
        return show_readings(ask, car, str(error))


def _open_entry(ask: PageRequest, car: Entry) -> Entry | None:
    """The readings that were not taken over yet; None where there are none."""
    for entry in ask.book.entries("measurement", car.id):
        try:
            kept = kept_readings(entry.content, entry.name)
        except JounceError:
            continue
        if (kept.entries or kept.wider) and _TAKEN not in kept.measured:
            return entry
    return None


def _changed(ask: PageRequest, car: Entry) -> Response:
    entry = _open_entry(ask, car)
    kept = ReadingsKept() if entry is None else kept_readings(entry.content, entry.name)
    if "out" in ask.form:
        number = int(ask.form["out"]) if ask.form["out"].isdigit() else -1
        kept = replace(kept, entries=tuple(one for k, one in enumerate(kept.entries) if k != number))
        note = "a reading taken out"
    elif "not-known" in ask.form:
        kept = replace(kept, wider=wider_with(car_read(car.content), ask.form.keys(), kept.wider))
        note = "what is not known"
    else:
        document = car_read(car.content)
        kept = replace(kept, entries=(*kept.entries, _typed(ask, document)))
        refuse_unreadable(document, parse_readings(kept.text, "").readings[-1].at)
        note = f"read: {ask.form.get('what', '')}"
    parse_readings(kept.text, "")  # nothing unreadable is kept
    if entry is None:
        saved = ask.book.add("measurement", f"readings, {car.name}"[:200], kept.text, car.id)
    else:
        saved = ask.book.save(replace(entry, content=kept.text), note)
    return onward_saved(f"/cars/{car.id}/readings", saved)


def _typed(ask: PageRequest, document: CarDocument) -> dict[str, object]:
    """The reading that was typed, as an entry of a readings file."""
    what, units = ask.form.get("what", ""), ask.desk.units
    if what not in KINDS:
        raise InputError("Say what was read", todo="Choose a kind of reading.")
    kind = KINDS[what]
    given = {name: ask.form.get(name, "").strip() for name in _FIELDS}
    if not given["value"]:
        raise InputError("Say what was read", found="no value", todo="Type the number that was read.")
    entry: dict[str, object] = {"what": what}
    if kind.where == "points":
        entry["between"] = [given["from"], given["to"]]
    elif kind.where != "car":
        entry["at"] = given["at"].split(" ")[0] if kind.where == "axle" else given["at"]
    if given["bump"] and kind.travels:
        entry["bump"] = with_unit(given["bump"], Kind.LENGTH, units)
    if given["load"] and kind.weighted:
        entry["load"] = with_unit(given["load"], Kind.MASS, units)
    if kind.aboard and (aboard := dict(_aboard(ask))):
        entry["aboard"] = aboard
    entry["value"] = _value(given, kind, units, rim_of(document, given["at"].partition(" ")[0] or "front"))
    if given["note"]:
        entry["note"] = " ".join(given["note"].split())[:200]
    return entry


def _value(given: Mapping[str, str], kind: ReadingKind, units: str, rim: Measured | None) -> str:
    """A value with its ±; toe as an angle, or as a length over the rim or over what is said."""
    value, band = given["value"], given["band"]
    if band and "±" in value:
        raise InputError("The ± is given twice", found=f'"{value}" and "{band}"', todo="Write it in one place.")
    length, *across = _OVER.split(value, 1) if "toe" in given["what"] else [""]
    if is_length(length.replace(",", ".")):
        written = " ".join([f"{length} ± {band}" if band else length, *across])
        return toe_with_unit(written, units, rim)
    told = with_unit(value, kind.kind, units)
    if not band:
        return told
    wide = with_unit(band, kind.kind, units)
    if read_measured(wide, kind.kind).value == 0:
        raise InputError("A ± is above zero", found=f'"{band}"', todo="Say how far it may be off, or leave it empty.")
    return f"{told} ± {wide}"


def _aboard(ask: PageRequest) -> Iterator[tuple[str, str]]:
    """What was typed of places that carry more than when the car was weighed."""
    for name, written in ask.form.items():
        if name.startswith(_ABOARD) and written.strip():
            yield name.removeprefix(_ABOARD), with_unit(written.strip(), Kind.MASS, ask.desk.units)


def _hidden(document: CarDocument, kept: ReadingsKept) -> Iterator[tuple[str, str, bool]]:
    """Parts that may be ticked as not known: name of the tick, words, whether it is ticked."""
    for one in unknown_parts(document):
        yield one.key, one.words, all(path in kept.wider for path in one.wider)


def _kinds(document: CarDocument, units: str) -> dict[str, tuple[str, str]]:
    """Kinds of readings that the car may have: how each is read, and the unit in which a bare number is taken."""
    springs = {spring_kind(document.axle(end)) for end in ENDS}
    return {
        word: (kind.said, unit_of(kind.kind, units).symbol.strip("-"))
        for word, kind in KINDS.items()
        if not kind.spring or kind.spring in springs
    }


def _points(document: CarDocument) -> dict[str, str]:
    """Pivots between which a length may be read: place in the file, words."""
    paths = (one.path.rpartition(".")[0] for one in all_inputs(document) if one.path.endswith(COORDINATES[0]))
    return {path: point_words(path) for path in paths}


def _rows(kept: ReadingsKept, units: str) -> Iterator[tuple[str, str, str, str]]:
    """What was read: where, its value, its ±, its note."""
    if kept.entries:
        for one in parse_readings(kept.text, "the readings").readings:
            kind = one.at.kind.kind
            yield (
                one.at.words(units),
                number_told(one.value, kind, units),
                number_told(one.plus_minus, kind, units),
                one.note,
            )


@lru_cache(maxsize=16)
def _fit(car_text: str, readings_text: str) -> CarFit:
    given = parse_readings(readings_text, "the readings")
    return fit_car(car_read(car_text), given.readings, given.wider)


def _told(car: Entry, text: str, units: str) -> dict[str, Any]:
    """What the fit says, for the page."""
    fit = _fit(car.content, text)
    tables = fit_tables(fit, car_read(car.content).car.name, units, hidden=False)
    best = best_next(fit) if fit.belongs else None
    read = parse_readings(text, "the readings").readings
    fitted_ones = [k for k, one in enumerate(read) if not one.at.kind.beside]
    return {
        "suspects": [fitted_ones[k] for k in fit.left_out],
        "fit": fit,
        "tables": tables,
        "unseen": hidden_parts(fit, units) if fit.belongs and fit.readings else [],
        "advice": tables[-1].remarks[-1] if best else "",
        "bars": list(_bars(fit, units)) if fit.belongs else [],
        "next": None if best is None else fields_of(fit.document, car.id)(form_of(best[1].place)),
    }


def _planned(ask: PageRequest, car: Entry, text: str) -> dict[str, Any]:
    """What to read next for an answer that was asked for, and which there are to ask for."""
    sought = ask.query.get("for", "").strip()[:100]
    told: dict[str, Any] = {
        "sought": sought,
        "plans": (),
        "unplanned": "",
        "leads": fields_of(car_read(car.content), car.id),
    }
    if sought:
        try:
            given = {"readings": (("the readings", text),) if text else (), "answer": sought}
            asked = Asked(NEXT.filled(given), ask.desk.units, car_case(car.content))
            told["plans"] = NEXT.answer(asked)
        except JounceError as error:
            told["unplanned"] = str(error)
    return told


def _bars(fit: CarFit, units: str) -> Iterator[AnswerBar]:
    before, after = fit.sure_before, fit.sure_after
    for k, one in enumerate(fit.answers):
        wide, narrow = float(before.plus_minus[k]), float(after.plus_minus[k])
        if any(digit in "123456789" for digit in number_told(wide, one.kind, units)):  # else the file says it exactly
            told = [
                f"{number_told(float(of.values[k]), one.kind, units)} ± {number_told(width, one.kind, units)}"
                for of, width in ((before, wide), (after, narrow))
            ]
            yield AnswerBar(one.title, told[0], told[1], round(100 * min(1.0, narrow / wide), 1))


def _taken_over(ask: PageRequest, car: Entry) -> Response:
    """A new version of the car with the fitted numbers; what was measured stands beside each."""
    entry = _open_entry(ask, car)
    if entry is None:
        raise InputError("There is nothing to take over", todo="Take readings first.")
    fit = _fit(car.content, entry.content)
    text = fitted_text(car.content, fit)
    saved = keep(ask, car, text, f"{FITTED}: {len(fit.readings)} readings", number=car.number)
    kept = kept_readings(entry.content, entry.name)
    done = replace(kept, measured={**kept.measured, _TAKEN: f"version {saved.number} of the car"})
    ask.book.save(replace(entry, content=done.text), f"taken over into version {saved.number} of the car")
    return onward_saved(f"/cars/{car.id}", saved)
