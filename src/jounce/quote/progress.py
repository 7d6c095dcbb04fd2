"""How far a job has come: its state, since which day, and by which day it is promised."""

from __future__ import annotations

import datetime
from enum import StrEnum

from pydantic import Field

from jounce.car.file.reading import parse_document
from jounce.car.file.rewriting import rewritten
from jounce.car.file.section import Section
from jounce.conventions.errors import InputError

__all__ = ["JobState", "Progress", "parse_progress", "progress_text", "state_named"]


class JobState(StrEnum):
    """The states of a job, in the order in which a shop meets them."""

    ASKED = "asked"
    QUOTED = "quoted"
    ORDERED = "ordered"
    WAITING = "waiting"
    FITTED = "fitted"
    PROVED = "proved"
    AWAY = "put away"

    @property
    def told(self) -> str:
        """What it means, in a few words."""
        return _TOLD[self]

    @property
    def after(self) -> JobState | None:
        """The state that usually comes next; None after the last one."""
        line = [state for state in JobState if state is not JobState.AWAY]
        place = line.index(self) + 1 if self in line else len(line)
        return line[place] if place < len(line) else None


_TOLD = {
    JobState.ASKED: "somebody asked for it",
    JobState.QUOTED: "a quote is with the customer",
    JobState.ORDERED: "the customer said yes",
    JobState.WAITING: "parts are on their way",
    JobState.FITTED: "the parts are in, the car is set",
    JobState.PROVED: "measured again, and handed over",
    JobState.AWAY: "nothing more comes of it",
}


class Progress(Section):
    """How far a job has come."""

    state: JobState = Field(default=JobState.ASKED, description="where the job stands")
    since: datetime.date = Field(description="day since when it stands there")
    due: datetime.date | None = Field(default=None, description="day by which it is promised")
    note: str = Field(default="", max_length=500, description="what it waits for, or anything else")

    def days(self, today: datetime.date) -> int:
        """Days for which the job has stood there.

        Args:
            today: the day
        """
        return max((today - self.since).days, 0)

    def late(self, today: datetime.date) -> bool:
        """Whether the promised day has gone by with the work not done.

        Args:
            today: the day
        """
        open_ = self.state not in {JobState.FITTED, JobState.PROVED, JobState.AWAY}
        return open_ and self.due is not None and self.due < today


class _ProgressFile(Section):
    progress: Progress


def parse_progress(text: str) -> Progress:
    """How far a job has come, by the document in the book.

    Args:
        text: the document

    Raises:
        InputError: it is no such document
    """
    return parse_document(text, "how far the job has come", _ProgressFile).progress


def progress_text(progress: Progress) -> str:
    """The document of how far a job has come.

    Args:
        progress: how far
    """
    values = {f"progress.{name}": value or None for name, value in progress.model_dump().items()}
    return rewritten("[progress]\n", {name: str(v) if isinstance(v, JobState) else v for name, v in values.items()})


def state_named(word: str) -> JobState:
    """A state by its word.

    Args:
        word: as on the board

    Raises:
        InputError: there is no such state
    """
    try:
        return JobState(" ".join(word.split()).casefold())
    except ValueError:
        allowed = ", ".join(JobState)
        raise InputError(
            "A job has no such state", found=f'"{word[:40]}"', allowed=allowed, todo="Choose one."
        ) from None
