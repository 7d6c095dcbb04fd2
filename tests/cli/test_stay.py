"""A process that stays answers as the command alone does, to the byte; where it may not answer, it does not."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from jounce.cli.staying import place, starting
from jounce.cli.staying.alike import is_alike, of_this_process
from jounce.cli.staying.handing_over import connected
from jounce.cli.staying.limits import may_be_taken
from jounce.cli.staying.talk import peer
from jounce.conventions.errors import InputError

SOURCE = Path(place.PACKAGE).parent
DEMO = SOURCE / "jounce" / "demo"
CAR, JOB = str(DEMO / "brisk-14.toml"), str(DEMO / "brisk-14-lower.toml")

SLOW_TO_START = """
import time
from jounce.cli.staying.process import Staying
staying, heard = Staying(0.2), []
time.sleep(0.3)  # as the mechanics take
staying.stay(lambda: heard.append(time.monotonic()))
print(time.monotonic() - heard[0])
"""

pytestmark = pytest.mark.skipif(not place.is_possible(), reason="no process can stay on this system")


@dataclass(frozen=True)
class Shop:
    """A copy of the program that tests may change, and the folder of its user's sockets."""

    source: Path
    session: Path

    def environment(self, **more: str) -> dict[str, str]:
        usual = {name: value for name, value in os.environ.items() if name not in {"JOUNCE_ALONE", "PYTHONPATH"}}
        return usual | {"PYTHONPATH": str(self.source), "XDG_RUNTIME_DIR": str(self.session)} | more

    def command(self, *words: str, **more: str) -> subprocess.Popen[bytes]:
        return subprocess.Popen(  # noqa: S603
            [sys.executable, "-m", "jounce", *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=self.environment(**more),
        )

    def run(self, *words: str, typed: bytes = b"", **more: str) -> tuple[int, bytes, bytes]:
        with self.command(*words, **more) as process:
            out, err = process.communicate(typed, timeout=120)
        return process.returncode, out, err

    def alone(self, *words: str, typed: bytes = b"") -> tuple[int, bytes, bytes]:
        return self.run(*words, typed=typed, JOUNCE_ALONE="1")

    def sockets(self) -> list[Path]:
        return list(self.session.glob("jounce/*.socket"))

    def staying(self) -> int:
        """Number of the process that stays."""
        connection = connected(str(self.sockets()[0]))
        assert connection is not None
        with connection:
            return peer(connection)[0]


def _linked(source: Path, package: Path) -> None:
    """A copy of the program by links, without what the compiler keeps."""
    shutil.copytree(source, package, ignore=shutil.ignore_patterns("__pycache__"), copy_function=os.symlink)


@pytest.fixture
def empty(monkeypatch: pytest.MonkeyPatch) -> Iterator[Shop]:
    """A shop in which nothing stays; whatever does at the end of a test is ended."""
    with tempfile.TemporaryDirectory(prefix="jounce-") as folder:
        monkeypatch.setenv("XDG_RUNTIME_DIR", folder)  # short: the path of a socket is at most 107 signs
        monkeypatch.setenv("PYTHONPATH", str(SOURCE))
        shop = Shop(SOURCE, Path(folder))
        try:
            yield shop
        finally:
            _end(shop)


def _end(shop: Shop) -> None:
    for path in shop.sockets():
        connection = connected(str(path))
        if connection is not None:
            with connection:
                os.kill(peer(connection)[0], signal.SIGKILL)


@pytest.fixture
def cold(empty: Shop) -> Shop:
    """A process that stays and has read nothing yet: the same in all but the time."""
    starting.start(60.0, ["--cold"])
    return empty


def _children(process: int) -> list[int]:
    return [int(number) for number in Path(f"/proc/{process}/task/{process}/children").read_text("ascii").split()]


def _comes(true: Callable[[], bool]) -> bool:
    """Whether something comes true before long."""
    for _ in range(400):
        if true():
            return True
        time.sleep(0.02)
    return False


def _is_over(process: int) -> bool:
    """Whether a process has ended, be it that nobody asked for its code."""
    try:
        return Path(f"/proc/{process}/stat").read_text("utf-8").rpartition(")")[2].split()[0] == "Z"
    except (FileNotFoundError, ProcessLookupError):
        return True


def test_answers_and_refusals_are_the_same_to_the_byte(cold: Shop) -> None:
    before = _served(cold)
    for words, typed in (
        (("--version",), b""),
        (("schema", "--no-such-option"), b""),
        (("check", "/dev/stdin"), b"[car\n"),
    ):
        assert cold.run(*words, typed=typed) == cold.alone(*words, typed=typed), words
    assert _served(cold) > before


def test_output_that_cannot_be_written_is_told_alike(cold: Shop) -> None:
    def told(**more: str) -> tuple[int, str]:
        with Path("/dev/full").open("wb") as full:
            run = subprocess.run(
                [sys.executable, "-m", "jounce", "--version"],
                check=False,
                stdout=full,
                stderr=subprocess.PIPE,
                text=True,
                env=cold.environment(TMPDIR=str(cold.session), **more),
            )
        return run.returncode, re.sub(r"jounce-fault-\w+", "", run.stderr)

    before = _served(cold)
    answered = told()

    assert _served(cold) > before
    assert answered == told(JOUNCE_ALONE="1")
    assert "No space left" in answered[1] or "fault of the program" in answered[1]


def _served(shop: Shop) -> int:
    """Page faults of the commands that ended: they grow with each one that was forked."""
    return int(Path(f"/proc/{shop.staying()}/stat").read_text("utf-8").rpartition(")")[2].split()[8])


def test_a_command_has_the_folder_mask_and_environment_of_its_caller(cold: Shop, tmp_path: Path) -> None:
    before = _served(cold)
    subprocess.run(
        [sys.executable, "-m", "jounce", "schema", "car.json"],
        cwd=tmp_path,
        umask=0o027,
        env=cold.environment(),
        check=True,
    )

    assert _served(cold) > before
    assert (tmp_path / "car.json").stat().st_mode & 0o777 == 0o640
    assert json.loads((tmp_path / "car.json").read_text("utf-8"))


def test_who_captures_what_stay_says_is_not_kept_waiting_and_its_end_is_told(empty: Shop) -> None:
    starting.start(60.0, ["--cold"])
    process = empty.staying()

    assert os.getsid(process) != os.getsid(0)
    assert _comes(lambda: not [path for path in _held(process) if path.startswith("pipe:")])
    code, told, _ = empty.run("stay", "--for", "5")
    assert (code, b"in memory already" in told) == (0, True)
    assert empty.run("stay", "--end") == (0, b"It has ended.\n", b"")
    assert empty.run("stay", "--end") == (0, b"There was none.\n", b"")
    assert _comes(lambda: _is_over(process))
    assert empty.sockets() == []


def _held(process: int) -> set[str]:
    """What a process has open."""
    return {str(number.readlink()) for number in Path(f"/proc/{process}/fd").iterdir() if number.is_symlink()}


def test_it_ends_when_nobody_asks(empty: Shop) -> None:
    starting.start(0.2, ["--cold"])

    assert _comes(lambda: empty.sockets() == [])


def test_the_time_that_its_start_takes_is_not_counted_as_idle(empty: Shop) -> None:
    (empty.session / "jounce").mkdir(mode=0o700)
    stayed = subprocess.run(  # noqa: S603
        [sys.executable, "-c", SLOW_TO_START], env=empty.environment(), stdout=subprocess.PIPE, check=True
    )

    assert float(stayed.stdout) >= 0.2


def test_a_socket_left_behind_is_removed_and_the_command_runs_by_itself(cold: Shop) -> None:
    process = cold.staying()
    os.kill(process, signal.SIGKILL)
    assert _comes(lambda: _is_over(process))
    assert cold.sockets()

    assert cold.run("--version") == cold.alone("--version")
    assert cold.sockets() == []


def test_a_changed_program_is_not_answered_by_the_one_before(
    empty: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    changing = Shop(tmp_path, empty.session)
    _linked(SOURCE / "jounce", tmp_path / "jounce")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    starting.start(60.0, ["--cold"])
    process = changing.staying()
    app = tmp_path / "jounce" / "cli" / "app.py"
    text = app.read_text("utf-8")
    app.unlink()
    app.write_text(text.replace("f\"jounce {version('jounce')}\"", '"another"'), "utf-8")

    assert changing.run("--version") == (0, b"another\n", b"")
    assert _comes(lambda: _is_over(process))
    assert changing.sockets() == []


def test_another_user_python_or_share_of_the_machine_is_not_answered() -> None:
    own = of_this_process()
    caller = own | {"path": ["callers", *own["path"]]}

    assert is_alike(own, caller)
    for other in (
        {"user": [1, 1, 1, 1, []]},
        {"variables": {"PYTHONOPTIMIZE": "1"}},
        {"path": ["other", *caller["path"]]},
        {"share": [19, [0]]},
        {"flags": own["flags"] | {"optimize": 2}},
    ):
        assert not is_alike(own, caller | other)
        assert set(other) <= set(own)


def test_a_command_may_use_no_more_than_its_caller(cold: Shop, tmp_path: Path) -> None:
    before = _served(cold)
    limited = ["bash", "-c", 'ulimit -f 0; exec "$@"', "-", sys.executable, "-m", "jounce"]
    words = ("schema", str(tmp_path / "car.json"))

    for more in ({}, {"JOUNCE_ALONE": "1"}):
        ended = subprocess.run(  # noqa: S603
            [*limited, *words], env=cold.environment(**more), capture_output=True, check=False
        )
        assert (ended.returncode, b"The file cannot be written" in ended.stderr) == (2, True)
    assert _served(cold) > before


def test_limits_are_taken_where_none_is_raised() -> None:
    for own, wanted, may in ((-1, 5, True), (5, 5, True), (5, 3, True), (5, 7, False), (5, -1, False), (-1, -1, True)):
        assert may_be_taken([[0, own]], [[0, wanted]]) is may, (own, wanted)


def test_a_folder_that_others_may_enter_is_refused(empty: Shop) -> None:
    folder = empty.session / "jounce"
    folder.mkdir()
    folder.chmod(0o770)
    with pytest.raises(InputError, match="not yours alone"):
        starting.start(1.0, ["--cold"])

    folder.rmdir()
    elsewhere = empty.session / "elsewhere"
    elsewhere.mkdir(mode=0o700)
    folder.symlink_to(elsewhere)
    with pytest.raises(InputError, match="not yours alone"):
        starting.start(1.0, ["--cold"])
    assert not place.is_own(str(folder))
    assert place.is_own(str(elsewhere))


def test_a_folder_of_somebody_else_is_refused(empty: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = empty.session / "jounce"
    folder.mkdir(mode=0o700)
    assert place.is_own(str(folder))

    monkeypatch.setattr(os, "geteuid", lambda: os.getuid() + 1)
    assert not place.is_own(str(folder))


def _waiting(shop: Shop) -> tuple[subprocess.Popen[bytes], int]:
    """A command that reads what is never typed, and the process that runs it."""
    client, staying = shop.command("check", "/dev/stdin"), shop.staying()
    assert _comes(lambda: bool(_children(staying)))
    (child,) = _children(staying)
    assert _comes(lambda: Path(f"/proc/{child}/wchan").read_text("ascii") in {"pipe_read", "anon_pipe_read"})
    return client, child


@pytest.fixture
def heeded() -> Iterator[None]:
    """Who starts the tests behind a shell lets them ignore Ctrl+C, and what they start with them."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("heeded")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_signals_reach_the_command_and_its_end_is_the_callers(cold: Shop, number: signal.Signals) -> None:
    client, child = _waiting(cold)
    client.send_signal(number)
    assert _comes(lambda: client.poll() is not None)  # with its input open: the end of that ends a command too
    _, err = client.communicate(timeout=30)

    assert client.returncode == (130 if number == signal.SIGINT else -number), err
    assert _comes(lambda: _is_over(child))


def test_a_command_that_the_system_kills_ends_its_caller_without_a_word(cold: Shop) -> None:
    client, child = _waiting(cold)
    os.kill(child, signal.SIGKILL)
    out, err = client.communicate(timeout=30)

    assert (client.returncode, out, err) == (-signal.SIGKILL, b"", b"")


def test_a_command_ends_with_its_caller(cold: Shop) -> None:
    client, child = _waiting(cold)
    client.kill()
    client.communicate(timeout=30)

    assert _comes(lambda: _is_over(child))
    assert cold.run("--version") == cold.alone("--version")


@pytest.mark.validation_slow
def test_the_mechanics_in_memory_give_what_is_given_from_nothing(empty: Shop) -> None:
    """Started by the command itself, with the mechanics; a car and a job that were not used to read them."""
    code, told, err = empty.run("stay", "--for", "2")
    assert (code, err) == (0, b"")
    assert b"stay in memory" in told
    before = _served(empty)
    for words in (("settle", CAR), ("travel", CAR, "--units", "inch"), ("job", JOB), ("settle", "no-such-car.toml")):
        assert empty.run(*words, COLUMNS="100") == empty.run(*words, COLUMNS="100", JOUNCE_ALONE="1"), words
    assert _served(empty) > before
