"""Long work: begun once, watched by all, stopped, refused, forgotten, and ended with the workbench."""

from __future__ import annotations

import json
import re
import threading
import time
from collections.abc import Iterator

import pytest

from jounce.conventions.errors import Impossible, InputError
from jounce.web.background import BackgroundJobs, TaskControl, TaskSpec, TaskState
from tests.workbench import Workbench, asked


class Slow:
    """A task that goes on until it is let go or stopped."""

    def __init__(self) -> None:
        self.go = threading.Event()
        self.begun = threading.Event()
        self.times = 0

    def __call__(self, hand: TaskControl) -> str:
        self.times += 1
        hand.tell(0.25, "looking")
        self.begun.set()
        while not self.go.wait(0.005):
            if hand.stopped():
                return "so far"
        return "all"


@pytest.fixture
def works() -> Iterator[BackgroundJobs]:
    made = BackgroundJobs(most_running=1, most_open=3, kept=3)
    yield made
    assert made.close(5)


def test_work_is_watched_to_its_end(works: BackgroundJobs) -> None:
    task = Slow()
    begun = works.start(TaskSpec("search", "job", "q", "The search", "/jobs/1", "Ann"), task)
    assert task.begun.wait(5)
    seen = works.find(begun.id)

    assert (seen.state, seen.share, seen.finished, seen.result) == (TaskState.RUNNING, 0.25, False, None)
    assert seen.said == "The search is being worked out, 25 % done, looking."
    assert seen.told()["state"] == "running"
    task.go.set()
    ended = works.wait(begun.id, 5)
    assert (ended.state, ended.share, ended.result, ended.error) == (TaskState.DONE, 1.0, "all", "")
    assert ended.said == "The search is done."
    assert (ended.order.home, ended.order.by) == ("/jobs/1", "Ann")


def test_the_same_question_is_the_same_work_while_it_goes_on_and_when_it_is_done(works: BackgroundJobs) -> None:
    task = Slow()
    first = works.start(TaskSpec("search", "job", "q", "The search"), task)
    assert works.start(TaskSpec("search", "job", "q", "The search"), task).id == first.id
    with pytest.raises(InputError, match=r"The search .* for another question; .*begun by|for another question"):
        works.start(TaskSpec("search", "job", "other", "The search"), task)
    task.go.set()
    works.wait(first.id, 5)

    assert works.start(TaskSpec("search", "job", "q", "The search"), task).id == first.id
    assert task.times == 1
    other = works.start(TaskSpec("search", "job", "other", "The search"), lambda _: 2)
    assert works.wait(other.id, 5).result == 2
    latest = works.latest("search", "job")
    assert latest is not None
    assert latest.id == other.id
    assert works.latest("search", "another job") is None


def test_a_stop_gives_what_was_found_so_far_and_lets_the_same_question_be_asked_again(works: BackgroundJobs) -> None:
    task = Slow()
    first = works.start(TaskSpec("search", "job", "q", "The search"), task)
    assert task.begun.wait(5)
    assert works.stop(first.id).state in {TaskState.STOPPING, TaskState.STOPPED}
    ended = works.wait(first.id, 5)

    assert (ended.state, ended.result) == (TaskState.STOPPED, "so far")
    assert ended.share == 0.25
    assert works.stop(first.id) == ended  # once more changes nothing
    assert works.start(TaskSpec("search", "job", "q", "The search"), Slow()).id != first.id


def test_others_wait_their_turn_and_too_many_are_refused(works: BackgroundJobs) -> None:
    tasks = [Slow() for _ in range(3)]
    begun = [works.start(TaskSpec("search", str(k), "q", f"Search {k}"), task) for k, task in enumerate(tasks)]
    assert tasks[0].begun.wait(5)

    assert [works.find(one.id).state for one in begun] == [TaskState.RUNNING, TaskState.WAITING, TaskState.WAITING]
    assert works.find(begun[1].id).said == "Search 1 waits its turn."
    with pytest.raises(InputError, match="Too much is being worked out"):
        works.start(TaskSpec("search", "9", "q", "One more"), Slow())
    works.stop(begun[1].id)
    assert works.find(begun[1].id).state is TaskState.STOPPED
    assert not tasks[1].begun.is_set()
    tasks[0].go.set()
    assert tasks[2].begun.wait(5)
    tasks[2].go.set()
    assert works.wait(begun[2].id, 5).state is TaskState.DONE


def test_what_goes_wrong_is_said_in_plain_words(works: BackgroundJobs, caplog: pytest.LogCaptureFixture) -> None:
    def refuses(_: TaskControl) -> None:
        raise Impossible("No spring is soft enough.")

    def breaks(_: TaskControl) -> None:
        raise ZeroDivisionError("secret of the house")

    told = works.wait(works.start(TaskSpec("a", "1", "q", "The answer"), refuses).id, 5)
    assert (told.state, told.error) == (TaskState.FAILED, "No spring is soft enough.")
    told = works.wait(works.start(TaskSpec("a", "2", "q", "The answer"), breaks).id, 5)
    assert told.state is TaskState.FAILED
    assert "our fault" in told.error
    assert "secret" not in str(told.told())
    assert "ZeroDivisionError" in caplog.text
    again = works.start(TaskSpec("a", "1", "q", "The answer"), lambda _: 1)  # what failed may be tried again
    assert works.wait(again.id, 5).result == 1
    with pytest.raises(InputError, match="no such work"):
        works.find("nothing")


def test_progress_never_goes_back_and_is_always_a_number(works: BackgroundJobs) -> None:
    seen = []

    def told(hand: TaskControl) -> None:
        for share in (0.5, 0.2, float("nan"), 7.0):
            hand.tell(share)
            latest = works.latest("a", "1")
            assert latest is not None
            seen.append(latest.share)

    works.wait(works.start(TaskSpec("a", "1", "q", "It"), told).id, 5)
    assert seen == [0.5, 0.5, 0.5, 1.0]


def test_only_the_newest_are_kept_and_for_a_while() -> None:
    now = [0.0]
    works = BackgroundJobs(kept=2, kept_for=100.0, clock=lambda: now[0])
    ids = []
    for k in range(3):
        ids.append(works.start(TaskSpec("a", str(k), "q", "It"), lambda _: 1).id)
        works.wait(ids[-1], 5)
        now[0] += 1.0
    assert [works.latest("a", str(k)) is not None for k in range(3)] == [False, True, True]
    now[0] += 200.0
    works.wait(works.start(TaskSpec("a", "9", "q", "It"), lambda _: 1).id, 5)
    assert works.latest("a", "2") is None
    assert works.close()


def test_the_end_of_the_workbench_ends_its_work_and_no_thread_is_left() -> None:
    works = BackgroundJobs(most_running=2)
    tasks = [Slow() for _ in range(3)]
    begun = [works.start(TaskSpec("search", str(k), "q", "It"), task) for k, task in enumerate(tasks)]
    assert tasks[1].begun.wait(5)
    at = time.monotonic()

    assert works.close(10)
    assert time.monotonic() - at < 5
    assert [works.find(one.id).state for one in begun] == [TaskState.STOPPED] * 3
    assert [thread for thread in threading.enumerate() if thread.name.startswith("search ")] == []
    with pytest.raises(Impossible, match="ending"):
        works.start(TaskSpec("search", "9", "q", "It"), Slow())


def test_it_is_said_how_long_it_may_take() -> None:
    now = [0.0]
    works = BackgroundJobs(clock=lambda: now[0])
    half, go = threading.Event(), threading.Event()

    def task(hand: TaskControl) -> None:
        hand.tell(0.5)
        half.set()
        go.wait(5)

    begun = works.start(TaskSpec("a", "1", "q", "It"), task)
    assert half.wait(5)
    now[0] = 12.0
    assert works.find(begun.id).said == "It is being worked out, 50 % done, about 15 s to go."
    now[0] = 600.0
    assert works.find(begun.id).said == "It is being worked out, 50 % done, about 10 min to go."
    go.set()
    assert works.close()


def test_both_turns_are_long_work_of_the_job(workbench: Workbench) -> None:
    home = f"/jobs/{workbench.job}/corner"
    assert "Work out both turns" in asked(workbench.port, home).text
    begun = asked(workbench.port, home, {"begin": "1"})
    assert (begun.status, begun.headers["location"]) == (303, home)
    text = asked(workbench.port, home).text
    state = re.search(r'data-work="(/long-work/[0-9a-f]+/state.json)"', text)
    if state is not None:  # else it was done at once
        assert 'http-equiv="refresh"' in text
        told = json.loads(asked(workbench.port, state[1]).text)
        assert told["state"] in {"running", "done"}
        part = asked(workbench.port, f"{home}?part=1").text
        assert "<html" not in part
        until = time.monotonic() + 120
        while not json.loads(asked(workbench.port, state[1]).text)["finished"]:
            assert time.monotonic() < until
            time.sleep(0.2)
        seen = asked(workbench.port, state[1].removesuffix("/state.json"))
        assert (seen.status, seen.headers["location"]) == (303, home)
    text = asked(workbench.port, home).text
    assert "inside rear wheel lifts at" in text
    assert "It leans" in text
    again = asked(workbench.port, home, {"begin": "1", "part": "1"})
    assert again.headers["location"] == f"{home}?part=1"
    assert "It leans" in asked(workbench.port, f"{home}?part=1").text


@pytest.mark.parametrize("path", ["/long-work/none", "/long-work/none/state.json", "/long-work/none/stop"])
def test_work_that_is_not_there_is_said(workbench: Workbench, path: str) -> None:
    answer = asked(workbench.port, path)

    assert answer.status == 422
    assert "no such work" in answer.text
