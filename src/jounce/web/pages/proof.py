"""The proof: what was measured afterwards, against what was predicted."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.responses import Response

from jounce.book import Entry
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import read_measured
from jounce.car.file.rewriting import rewritten
from jounce.case.case import Case
from jounce.conventions.certainty import agrees, together
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import InputError
from jounce.conventions.typed import with_unit
from jounce.conventions.units import Kind
from jounce.measuring.afterwards import ASKED, found_in
from jounce.measuring.typed_toe import rim_of, toe_with_unit
from jounce.web.case_cache import car_read, job_of
from jounce.web.pages.job import step_page
from jounce.web.pages.photos import photos_of
from jounce.web.request import PageRequest
from jounce.web.saving import onward_saved
from jounce.web.shop_settings import held_case

__all__ = ["Proved", "proved", "show"]


@dataclass(frozen=True, slots=True)
class Proved:
    """One reading beside its prediction, SI.

    ``measured_band`` is the reading's ± as typed, or the usual one of its tool; ``predicted_band`` holds nine of ten.
    """

    label: str
    kind: Kind
    measured: float
    measured_band: float
    predicted: float
    predicted_band: float

    @property
    def difference(self) -> float:
        """Measured less predicted."""
        return self.measured - self.predicted

    @property
    def room(self) -> float:
        """Both bands together: how far the two may lie apart in nine of ten cases."""
        return together(self.measured_band, self.predicted_band)

    @property
    def within(self) -> bool | None:
        """Whether the two agree within both bands together; None where the car file states no ± for the prediction."""
        return None if self.predicted_band == 0 else agrees(self.difference, self.measured_band, self.predicted_band)


def show(ask: PageRequest) -> Response:
    """The readings that were taken, and a form for new ones."""
    job, car = job_of(ask)
    wrong: dict[str, str] = {}
    if ask.form:
        written, wrong = _written(ask, car_read(car.content))
        if not wrong:
            return onward_saved(f"/jobs/{job.id}/proof", _kept(ask, job, written))
    case = held_case(ask, job, car)
    taken = [
        (entry, ask.book.versions(entry.id)[-1], proved(entry, case), photos_of(ask, entry))
        for entry in _readings(ask, job)
    ]
    typed = {key: ask.form.get(key, "") for key, _, _ in ASKED}
    status = 422 if wrong else 200
    return step_page(ask, "proof", job, car, status, taken=taken[::-1], asked=ASKED, typed=typed, wrong=wrong)


def _kept(ask: PageRequest, job: Entry, written: str) -> Entry:
    """The readings in the book; the very same ones sent twice, as after a lost answer, stand there once."""
    there = next((one for one in _readings(ask, job) if one.content == written), None)
    return there or ask.book.add("measurement", f"after the work, {job.name}"[:200], written, job.id)


def proved(readings: Entry, case: Case) -> list[Proved]:
    """Each reading beside its prediction.

    Args:
        readings: what was measured
        case: what was predicted
    """
    found, told = found_in(readings.content, readings.name), []
    for key, label, kind in ASKED:
        row = case.row(key)
        if key not in found or row.planned is None:
            continue
        scale = GRAVITY if kind is Kind.MASS else 1.0  # predictions of loads are forces, scales show masses
        one = found[key]
        told.append(Proved(label, kind, one.value, one.plus_minus, row.planned / scale, row.planned_band / scale))
    return told


def _readings(ask: PageRequest, job: Entry) -> list[Entry]:
    return ask.book.entries("measurement", job.id)


def _written(ask: PageRequest, document: CarDocument) -> tuple[str, dict[str, str]]:
    """The readings as a document, and what is wrong with each; it is read once so that nothing unreadable is kept."""
    lines, wrong = [], {}
    for key, _, kind in ASKED:
        given = ask.form.get(key, "").strip()
        if given:
            try:
                text = _with_unit(given, key, kind, ask.desk.units, document)
                read_measured(text, kind)
            except InputError as error:
                wrong[key] = error.message
            else:
                lines.append((key, text))
    if not lines and not wrong:
        wrong[ASKED[0][0]] = "Nothing was measured. Write at least one reading."
    return "".join(f'"{key}" = {rewritten("", {"x": text}).removeprefix("x = ")}' for key, text in lines), wrong


def _with_unit(given: str, key: str, kind: Kind, units: str, document: CarDocument) -> str:
    if key.endswith(".toe"):
        return toe_with_unit(given, units, rim_of(document, key.partition(".")[0]))
    return with_unit(given, kind, units)
