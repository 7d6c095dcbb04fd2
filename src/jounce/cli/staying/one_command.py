"""One command in a copy of the staying process: it becomes what its caller would have been, and ends without a trace."""

from __future__ import annotations

import atexit
import locale
import os
import signal
import sys
import time
from collections.abc import Mapping, Sequence
from contextlib import suppress
from io import TextIOWrapper
from typing import Any, NoReturn

from jounce.cli.staying import limits

__all__ = ["run"]

_MODES = ("rb", "wb", "wb")
_NAMES = ("<stdin>", "<stdout>", "<stderr>")
"""Of standard input, output and error."""
_MOST_DESCRIPTORS = 65536
"""Beyond any number that this process has open."""
_UNWRITTEN = 120
"""Exit code of Python where the last of its output could not be written."""


def run(request: Mapping[str, Any], descriptors: Sequence[int]) -> NoReturn:
    """Run a command in this process, which was forked for it, and end.

    Args:
        request: what the caller sent
        descriptors: its standard input, output, error, and the folder in which it stands
    """
    code = 1
    try:
        _become(request, descriptors)
        code = _ran()
    except BaseException:  # noqa: BLE001  # nothing may go back into the copy of the staying process
        with suppress(BaseException):
            sys.excepthook(*sys.exc_info())
    finally:
        os._exit(code)


def _become(request: Mapping[str, Any], descriptors: Sequence[int]) -> None:
    """Take the caller's files, folder, limits, environment, words, streams; let go of all that is the staying process's."""
    signal.set_wakeup_fd(-1)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    for ending in (signal.SIGTERM, signal.SIGHUP, signal.SIGCHLD):
        signal.signal(ending, signal.SIG_DFL)
    os.fchdir(descriptors[3])
    for number, descriptor in enumerate(descriptors[:3]):
        os.dup2(descriptor, number)
    os.closerange(3, _MOST_DESCRIPTORS)
    os.umask(request["umask"])
    limits.take(request["alike"]["limits"])
    os.environ.clear()
    os.environ.update(request["environment"])
    time.tzset()
    with suppress(locale.Error):
        locale.setlocale(locale.LC_CTYPE, "")
    sys.argv, sys.path[:] = list(request["argv"]), request["path"]
    sys.modules["__main__"].__package__ = request["called"]
    streams = [_stream(number, *like) for number, like in enumerate(request["streams"])]
    sys.stdin, sys.stdout, sys.stderr = sys.__stdin__, sys.__stdout__, sys.__stderr__ = streams  # type: ignore[misc]


def _stream(number: int, encoding: str, errors: str, by_lines: bool, at_once: bool) -> TextIOWrapper:  # noqa: FBT001  # as sent
    """A standard stream like the caller's, which writes at once where Python was told not to keep anything back."""
    mode: Any = _MODES[number]
    file: Any = open(number, mode, buffering=0 if at_once else -1, closefd=False)  # noqa: SIM115  # it stays open
    vars(file if at_once else file.raw)["name"] = _NAMES[number]
    stream = TextIOWrapper(file, encoding, errors, line_buffering=by_lines, write_through=at_once)
    vars(stream)["mode"] = _MODES[number][0]
    return stream


def _ran() -> int:
    """The command run to its end, as Python ends a program: exit code, last words, what was to be done at the end."""
    from jounce.cli.app import app  # noqa: PLC0415  # there already; not read where a command is only handed over

    code = 0
    try:
        app()
    except SystemExit as ended:
        code = _code_of(ended.code)
    except KeyboardInterrupt:
        sys.excepthook(*sys.exc_info())
        _flushed()
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        os.kill(os.getpid(), signal.SIGINT)
    atexit._run_exitfuncs()  # noqa: SLF001  # what Python itself calls at the end
    return code if _flushed() else _UNWRITTEN


def _code_of(told: object) -> int:
    if told is None:
        return 0
    if isinstance(told, int):
        return told & 0xFF
    print(told, file=sys.stderr)
    return 1


def _flushed() -> bool:
    """Whether the last of the output was written; where not, it is told as Python tells it."""
    try:
        sys.stdout.flush()
    except (OSError, ValueError) as error:
        with suppress(OSError, ValueError):
            print(f"Exception ignored in: {sys.stdout!r}\n{type(error).__name__}: {error}", file=sys.stderr, flush=True)
        return False
    with suppress(OSError, ValueError):
        sys.stderr.flush()
    return True
