"""Long work: what takes longer than a page may, done in the background and watched from any browser.

A piece of work has a kind ("search"), a key (the job) and a question (all that its result depends on). Of one kind and
key only one goes on at a time: whoever asks the same question while it goes on, or after it is done, gets the same work.
It belongs to no browser, is told by its address, and ends with the workbench.
"""

from __future__ import annotations

import hashlib
import logging
import math
import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from jounce.conventions.errors import Impossible, InputError, JounceError

__all__ = ["BackgroundJobs", "BackgroundTask", "Doing", "TaskControl", "TaskSpec", "TaskState", "question_of"]

_LOG = logging.getLogger(__name__)
_OURS = "This did not work, and it is our fault. Nothing was half-saved. Try again."


class TaskState(StrEnum):
    """How far a piece of work is, in words that follow its title."""

    WAITING = "waits its turn"
    RUNNING = "is being worked out"
    STOPPING = "is being stopped"
    DONE = "is done"
    STOPPED = "was stopped"
    FAILED = "came to no result"

    @property
    def finished(self) -> bool:
        """Whether nothing more will come."""
        return self in {TaskState.DONE, TaskState.STOPPED, TaskState.FAILED}


@dataclass(frozen=True, slots=True)
class TaskSpec:
    """A piece of work that somebody asks for.

    Attributes:
        kind: what is done
        key: to what; of one kind and key one piece goes on at a time
        question: all that the result depends on, as one text
        title: what is done, for people: the beginning of a sentence
        home: address of the page on which the result stands
        by: who asks

    """

    kind: str
    key: str
    question: str
    title: str
    home: str = "/"
    by: str = ""


@dataclass(frozen=True, slots=True)
class BackgroundTask:
    """A piece of work as it is at one moment.

    Attributes:
        id: its name in addresses, not to be guessed
        order: what was asked for
        state: how far it is
        share: how much of it is done, 0 to 1 [-]
        words: what is being done right now
        error: why there is no result, in plain words; empty for none
        result: what was found; of stopped work, what was found so far, or None
        begun: when it was begun, on the clock of its `BackgroundJobs` [s]
        ended: when it was finished [s]; the time of looking while it goes on

    """

    id: str
    order: TaskSpec
    state: TaskState = TaskState.WAITING
    share: float = 0.0
    words: str = ""
    error: str = ""
    result: Any = None
    begun: float = 0.0
    ended: float = 0.0

    @property
    def finished(self) -> bool:
        """Whether nothing more will come."""
        return self.state.finished

    @property
    def said(self) -> str:
        """One sentence on how far it is."""
        parts = [f"{self.order.title} {self.state}"]
        if self.state is TaskState.RUNNING:
            parts.append(f"{math.floor(100 * self.share)} % done")
            if self.words:
                parts.append(self.words)
            left = self._left()
            if left:
                parts.append(left)
        return f"{', '.join(parts)}."

    def told(self) -> dict[str, object]:
        """What a program that watches is told, as plain data."""
        return {
            "id": self.id,
            "kind": self.order.kind,
            "state": self.state.name.lower(),
            "share": round(self.share, 4),
            "said": self.said,
            "error": self.error,
            "finished": self.finished,
        }

    def _left(self) -> str:
        """How long it may still take, once that can be told [s]."""
        gone = self.ended - self.begun
        if self.share < 0.1 or gone < 2.0:
            return ""
        left = gone * (1.0 - self.share) / self.share
        return f"about {5 * math.ceil(left / 5)} s to go" if left < 90 else f"about {math.ceil(left / 60)} min to go"


class TaskControl:
    """What a task gets while it works: how to tell its progress, and whether it is to end.

    Args:
        told: hears share and words
        asked: set when the work shall stop

    """

    def __init__(self, told: Callable[[float, str], None], asked: threading.Event) -> None:
        self._told, self._asked = told, asked
        self.noticed = False
        """Whether the task was told to end; one that never looked has done all of its work."""

    def tell(self, share: float, words: str = "") -> None:
        """Say how far the work is.

        Args:
            share: how much is done, 0 to 1 [-]
            words: what is being done; as before when left out
        """
        self._told(share, words)

    def stopped(self) -> bool:
        """Whether to end with what was found so far."""
        self.noticed = self.noticed or self._asked.is_set()
        return self.noticed


Doing = Callable[[TaskControl], Any]
"""Does the work and gives its result; asked to stop, it gives what it has or raises `Impossible`."""


def question_of(*parts: str) -> str:
    """A short text for a question that consists of long ones: the same for the same, another for any other.

    Args:
        parts: all that the result depends on
    """
    digest = hashlib.sha256()
    for part in parts:
        written = part.encode()
        digest.update(f"{len(written)} ".encode() + written)
    return digest.hexdigest()


class BackgroundJobs:
    """All work of a workbench.

    Args:
        most_running: pieces that go on at once; others wait their turn
        most_open: pieces that go on or wait; more are refused
        kept: finished pieces that are kept, the newest
        kept_for: how long they are kept [s]
        clock: seconds that only grow

    """

    def __init__(
        self,
        most_running: int = 2,
        most_open: int = 8,
        kept: int = 8,
        kept_for: float = 4 * 3600.0,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._most_running, self._most_open = most_running, most_open
        self._kept, self._kept_for, self._clock = kept, kept_for, clock
        self._works: dict[str, BackgroundTask] = {}  # in the order in which they were begun
        self._tasks: dict[str, Doing] = {}  # of those that wait
        self._asked: dict[str, threading.Event] = {}  # of those that are not finished
        self._threads: dict[str, threading.Thread] = {}
        self._changed = threading.Condition()
        self._closed = False

    def start(self, order: TaskSpec, task: Doing, *, instead: bool = False) -> BackgroundTask:
        """Begin a piece of work, or join the one that goes on or has answered already.

        Args:
            order: what is asked for
            task: does it, in a thread of its own
            instead: whether work on another question is stopped for this one; else this one is refused

        Returns:
            The work as it is now

        Raises:
            InputError: another question of this kind and key is being worked on, or too much is
            Impossible: the workbench is ending
        """
        with self._changed:
            if self._closed:
                raise Impossible("The workbench is ending: nothing new is begun.")
            before = self._latest(order.kind, order.key)
            if before is not None and before.order.question == order.question:
                if before.state in {TaskState.WAITING, TaskState.RUNNING}:
                    return self._now(before)
                if before.state is TaskState.DONE:
                    return before
            if before is not None and not before.finished:
                if not instead:
                    raise _busy(before)
                self._ask(before.id)
            if len(self._asked) >= self._most_open:
                raise InputError(
                    "Too much is being worked out already",
                    found=f"{len(self._asked)} pieces of work",
                    allowed=f"up to {self._most_open}",
                    todo="Wait until one of them is done, or stop one.",
                )
            self._forget()
            now = self._clock()
            work = BackgroundTask(secrets.token_hex(12), order, begun=now, ended=now)
            self._works[work.id] = work
            self._tasks[work.id] = task
            self._asked[work.id] = threading.Event()
            self._begin_next()
            return self._works[work.id]

    def find(self, work_id: str) -> BackgroundTask:
        """A piece of work as it is now.

        Raises:
            InputError: there is none, or it is no longer kept
        """
        with self._changed:
            work = self._works.get(work_id)
            if work is None:
                raise InputError(
                    "There is no such work, or it is no longer kept",
                    found=work_id[:40],
                    todo="Begin it again from its page.",
                )
            return self._now(work)

    def latest(self, kind: str, key: str) -> BackgroundTask | None:
        """The piece of a kind and key that was begun last, as it is now; None where none is kept."""
        with self._changed:
            work = self._latest(kind, key)
            return None if work is None else self._now(work)

    def wait(self, work_id: str, seconds: float) -> BackgroundTask:
        """A piece of work as soon as it is finished, or as it is after some time.

        Args:
            work_id: the work
            seconds: how long to wait at most [s]

        Raises:
            InputError: there is none
        """
        with self._changed:
            self._changed.wait_for(lambda: work_id not in self._works or self._works[work_id].finished, seconds)
        return self.find(work_id)

    def stop(self, work_id: str) -> BackgroundTask:
        """Ask a piece of work to end with what it has; one that waits ends at once.

        Raises:
            InputError: there is none
        """
        self.find(work_id)
        with self._changed:
            self._ask(work_id)
            return self._now(self._works[work_id])

    def close(self, seconds: float = 15.0) -> bool:
        """End all work, and begin no more.

        Args:
            seconds: how long to wait for it at most [s]

        Returns:
            Whether every thread has ended
        """
        with self._changed:
            self._closed = True
            for work_id in list(self._asked):
                self._ask(work_id)
            threads = list(self._threads.values())
        until = time.monotonic() + seconds
        for thread in threads:
            thread.join(max(0.0, until - time.monotonic()))
        return not any(thread.is_alive() for thread in threads)

    # ---------------------------------------------------------------------- below: only with the lock held

    def _latest(self, kind: str, key: str) -> BackgroundTask | None:
        return next((w for w in reversed(self._works.values()) if (w.order.kind, w.order.key) == (kind, key)), None)

    def _now(self, work: BackgroundTask) -> BackgroundTask:
        return work if work.finished else replace(work, ended=self._clock())

    def _ask(self, work_id: str) -> None:
        asked, work = self._asked.get(work_id), self._works[work_id]
        if asked is None:
            return
        asked.set()
        if work.state is TaskState.WAITING:
            self._finish(work_id, TaskState.STOPPED, None, "It was stopped before it was begun.")
        else:
            self._works[work_id] = replace(work, state=TaskState.STOPPING)

    def _begin_next(self) -> None:
        for work in list(self._works.values()):
            if work.state is not TaskState.WAITING:
                continue
            if len(self._threads) >= self._most_running:
                return
            self._works[work.id] = replace(work, state=TaskState.RUNNING, begun=self._clock())
            thread = threading.Thread(
                target=self._do,
                args=(work.id, self._tasks.pop(work.id)),
                name=f"{work.order.kind} {work.id}",
                daemon=True,
            )
            self._threads[work.id] = thread
            thread.start()

    def _finish(self, work_id: str, state: TaskState, result: Any, error: str) -> None:
        work = self._works[work_id]
        share = 1.0 if state is TaskState.DONE else work.share
        self._works[work_id] = replace(
            work, state=state, share=share, words="", result=result, error=error, ended=self._clock()
        )
        self._tasks.pop(work_id, None)
        del self._asked[work_id]
        self._threads.pop(work_id, None)
        self._forget()
        if not self._closed:
            self._begin_next()
        self._changed.notify_all()

    def _forget(self) -> None:
        finished = [work for work in self._works.values() if work.finished]
        finished.sort(key=lambda work: work.ended, reverse=True)
        for number, work in enumerate(finished):
            if number >= self._kept or self._clock() - work.ended > self._kept_for:
                del self._works[work.id]

    # -------------------------------------------------------------------------------- in the work's own thread

    def _do(self, work_id: str, task: Doing) -> None:
        hand = TaskControl(lambda share, words: self._tell(work_id, share, words), self._asked[work_id])
        state = TaskState.FAILED
        try:
            result, error = task(hand), ""
            state = TaskState.STOPPED if hand.noticed else TaskState.DONE
        except JounceError as refused:
            result, error = None, str(refused)
            state = TaskState.STOPPED if hand.noticed else TaskState.FAILED
        except Exception:  # noqa: BLE001  # whatever it is, those who watch must hear of an end
            _LOG.exception("Long work failed: %s", self._works[work_id].order.kind)
            result, error = None, _OURS
        with self._changed:
            self._finish(work_id, state, result, error)

    def _tell(self, work_id: str, share: float, words: str) -> None:
        with self._changed:
            work = self._works[work_id]
            grown = max(work.share, min(1.0, share)) if math.isfinite(share) else work.share
            self._works[work_id] = replace(work, share=grown, words=words or work.words)


def _busy(before: BackgroundTask) -> InputError:
    told = before.order
    return InputError(
        f"{told.title} {before.state}, for another question",
        found=f"begun by {told.by}" if told.by else "",
        todo="Watch it to its end, or stop it first.",
    )
