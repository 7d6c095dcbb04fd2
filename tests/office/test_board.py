"""The board: where a job stands, what is kept of where it stood, and which comes first."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from jounce.book import Book, Entry, open_book
from jounce.book.exchange import take_in, write_out
from jounce.conventions.errors import InputError
from jounce.office.board import board, move, moves_of, progress_of, today
from jounce.quote.progress import JobState, Progress, parse_progress, progress_text, state_named

DAY = datetime.date(2031, 5, 17)


def test_a_job_nobody_moved_was_asked_on_the_day_it_was_put_in(book: Book, job: Entry) -> None:
    now = progress_of(book, job)

    assert (now.state, now.since, now.due, now.note) == (JobState.ASKED, today(), None, "")
    assert book.entries("progress") == []
    assert moves_of(book, job) == []


def test_every_state_is_kept_with_its_days_and_who_said_so(book: Book, job: Entry) -> None:
    move(book, job, Progress(state=JobState.ORDERED, since=DAY, due=DAY + datetime.timedelta(days=20)))
    waits = Progress(state=JobState.WAITING, since=DAY + datetime.timedelta(days=2), note="the left bar")
    move(book.written_by("Bo"), job, waits)
    moves = moves_of(book, job)

    assert [(one.state, by) for one, _, by in moves] == [
        (JobState.ASKED, "Ann"),
        (JobState.ORDERED, "Ann"),
        (JobState.WAITING, "Bo"),
    ]
    assert moves[1][0].due == datetime.date(2031, 6, 6)
    assert progress_of(book, job) == waits
    notes = [version.note for version in book.versions(book.entries("progress")[0].id)]
    assert notes == ["asked", "ordered, promised for 2031-06-06", "waiting, no day promised, the left bar"]
    before = book.entries("progress")[0].number
    move(book, job, waits)
    assert book.entries("progress")[0].number == before  # nothing new is no new version


def test_what_was_touched_last_stands_first(book: Book, job: Entry) -> None:
    names = [one.job.name for one in board(book)]
    assert names == ["Quieter", "Firmer", "Lower"]
    move(book, job, Progress(state=JobState.QUOTED, since=DAY))
    first = board(book)[0]

    assert (first.job, first.progress.state) == (job, JobState.QUOTED)
    assert first.car is not None
    assert first.owner is not None
    assert (first.car.name, first.owner.name) == ("Brisk 14", "A. Example")
    assert board(book)[1].owner is None


def test_a_photo_touches_what_it_was_put_to(book: Book, job: Entry) -> None:
    before = book.touched()[job.id]
    book.written_by("Bo").attach(job.id, "photo.jpg", "image/jpeg", b"x")
    after = book.touched()[job.id]

    assert after.begun == before.begun == before.last
    assert after.last > before.last
    assert (before.by, after.by) == ("Ann", "Bo")


def test_a_job_has_one_place_on_the_board(book: Book, job: Entry) -> None:
    move(book, job, Progress(state=JobState.QUOTED, since=DAY))
    text = progress_text(Progress(since=DAY))
    with pytest.raises(InputError):
        book.add("progress", "a second", text, job.id)
    with pytest.raises(InputError, match="cannot belong"):
        book.add("progress", "of a car", text, job.belongs_to)

    assert len(book.entries("progress")) == 1


def test_states_go_along_with_an_export(book: Book, job: Entry, tmp_path: Path) -> None:
    move(book, job, Progress(state=JobState.FITTED, since=DAY))
    write_out(book, tmp_path / "out")
    other = open_book(tmp_path / "other.db", "Bo", make=True)
    take_in(other, tmp_path / "out")

    assert progress_of(other, job) == progress_of(book, job)
    assert moves_of(other, job) == moves_of(book, job)
    (folder,) = (tmp_path / "out").glob("progress-*")
    assert parse_progress((folder / "progress.toml").read_text("utf-8")).state is JobState.FITTED
    other.close()


def test_states_come_one_after_another() -> None:
    state: JobState | None = JobState.ASKED
    walked = []
    while state is not None:
        walked.append(str(state))
        state = state.after

    assert walked == ["asked", "quoted", "ordered", "waiting", "fitted", "proved"]
    assert JobState.AWAY.after is None
    assert all(one.told for one in JobState)
    assert state_named("  Put   away ") is JobState.AWAY
    with pytest.raises(InputError, match="no such state"):
        state_named("lost")


@pytest.mark.parametrize(
    ("state", "due", "late"),
    [
        (JobState.WAITING, datetime.date(2031, 5, 16), True),
        (JobState.WAITING, DAY, False),
        (JobState.WAITING, None, False),
        (JobState.FITTED, datetime.date(2031, 5, 16), False),
        (JobState.AWAY, datetime.date(2031, 5, 16), False),
    ],
)
def test_a_job_is_late_from_the_day_after_the_promised_one(
    state: JobState,
    due: datetime.date | None,
    late: bool,  # noqa: FBT001
) -> None:
    assert Progress(state=state, since=DAY, due=due).late(DAY) is late


def test_days_are_counted_and_never_less_than_none() -> None:
    standing = Progress(since=DAY)

    assert standing.days(DAY + datetime.timedelta(days=31)) == 31
    assert standing.days(DAY - datetime.timedelta(days=1)) == 0


def test_what_cannot_be_read_is_said() -> None:
    with pytest.raises(InputError):
        parse_progress('[progress]\nstate = "lost"\nsince = 2031-05-17\n')
    with pytest.raises(InputError):
        parse_progress("[progress]\n")
