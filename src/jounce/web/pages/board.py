"""The board: every job under its state, moved by a click or a key; and a job's own page of states, with their history."""

from __future__ import annotations

import datetime
from collections.abc import Mapping

from starlette.responses import Response

from jounce.book import Entry
from jounce.book.book import Overtaken
from jounce.conventions.errors import InputError
from jounce.office.board import board, move, moves_of, progress_of, read_day, today
from jounce.quote.progress import JobState, Progress, state_named
from jounce.web.case_cache import job_of
from jounce.web.pages.job import STEPS
from jounce.web.request import PageRequest, page
from jounce.web.saving import onward_saved

__all__ = ["show", "state"]

_COLUMNS = tuple(one for one in JobState if one is not JobState.AWAY)
_SHOWN = 30
"""Jobs of a column that are shown at once; the longer a job lies untouched, the further down it stands."""
_LONGEST_NOTE = 500


def show(ask: PageRequest) -> Response:
    """The board, or a job moved on it."""
    if ask.form:
        return _moved(ask)
    words = ask.query.get("words", "")[:100]
    every = board(ask.book)
    jobs = [one for one in every if _has((one.job, one.car, one.owner), words)]
    return page(
        ask,
        "board.html",
        columns=[(one, [job for job in jobs if job.progress.state is one]) for one in _COLUMNS],
        away=[one for one in jobs if one.progress.state is JobState.AWAY],
        states=list(JobState),
        total=len(every),
        found=len(jobs),
        words=words,
        most=_SHOWN,
        today=today(),
    )


def state(ask: PageRequest) -> Response:
    """Where a job stands, since when and until when, and where it stood before; a form moves it."""
    job, car = job_of(ask)
    now = progress_of(ask.book, job)
    shown = {
        "state": str(now.state),
        "since": now.since.isoformat(),
        "due": "" if now.due is None else now.due.isoformat(),
        "note": now.note,
    }
    if not ask.form:
        return _state_page(ask, (job, car), shown, {})
    typed = {key: " ".join(ask.form.get(key, "").split())[:_LONGEST_NOTE] for key in shown}
    wrong: dict[str, str] = {}
    moves_on = typed["state"] != shown["state"] and typed["since"] == shown["since"]
    since = today() if moves_on else _day(typed["since"], "since", wrong) or now.since
    due = _day(typed["due"], "due", wrong)
    try:
        to = state_named(typed["state"])
    except InputError as error:
        return _state_page(ask, (job, car), shown | typed, wrong | {"state": str(error)})
    if wrong:
        return _state_page(ask, (job, car), shown | typed, wrong)
    kept = move(ask.book, job, Progress(state=to, since=since, due=due, note=typed["note"]))
    return onward_saved(f"/jobs/{job.id}/state", kept)


def _day(text: str, key: str, wrong: dict[str, str]) -> datetime.date | None:
    """A day that was typed, None where the field is empty; what is wrong with it goes to its field."""
    try:
        return read_day(text) if text else None
    except InputError as error:
        wrong[key] = str(error)
        return None


def _state_page(
    ask: PageRequest, pair: tuple[Entry, Entry], values: Mapping[str, str], wrong: Mapping[str, str]
) -> Response:
    job, car = pair
    return page(
        ask,
        "job_state.html",
        422 if wrong else 200,
        job=job,
        car=car,
        step="",
        steps=STEPS,
        states=list(JobState),
        values=values,
        wrong=wrong,
        moves=moves_of(ask.book, job)[::-1],
        now=progress_of(ask.book, job),
        today=today(),
    )


def _moved(ask: PageRequest) -> Response:
    """A job moved by a button of the board: since today, its promised day and note stay."""
    job = _find_job(ask, ask.form.get("job", ""))
    now, to = progress_of(ask.book, job), state_named(ask.form.get("state", ""))
    if str(now.state) != ask.form.get("from", str(now.state)):
        raise InputError(
            f"Somebody else moved “{job.name}” meanwhile", found=str(now.state), todo="Look at the board again."
        )
    try:
        kept = move(ask.book, job, now.model_copy(update={"state": to, "since": today()}))
    except Overtaken as overtaken:
        raise InputError(str(overtaken), todo="Look at the board again.") from None
    return onward_saved("/board", kept)


def _find_job(ask: PageRequest, job_id: str) -> Entry:
    """The job that a button names."""
    job = ask.book.entry(job_id)
    if job.kind != "job":
        raise InputError("This is no job", found=job.kind, todo="Look at the board again.")
    return job


def _has(entries: tuple[Entry | None, ...], words: str) -> bool:
    """Whether every word is in the name of one of the entries."""
    text = " ".join(one.name for one in entries if one is not None).casefold()
    return all(word in text for word in words.casefold().split())
