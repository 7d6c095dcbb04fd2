"""Functions compiled to machine code, the only place that knows the compiler (Numba).

A compiled function is kept on disk, so that only the first use ever after an installation compiles. Numba looks at the
date of the function's own file alone; a function that calls others in other files would be used although those have
changed. So what is kept lies in a folder named by the contents of all files that may call each other: those of its own
room, of this one, and of the rooms whose compiled functions its file imports.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import cache
from hashlib import sha256
from pathlib import Path
from threading import Thread
from typing import Any, TypeVar, cast

import numba

Function = TypeVar("Function", bound=Callable[..., object])

_SHARED = Path(__file__).parent  # this room's functions are called by every other room's
_COMPILER = cast("Any", numba)  # its options are told to no type checker
_INNER = {"_nrt": False, "no_cpython_wrapper": True, "no_cfunc_wrapper": True}
# without run-time memory: neither arrays made nor references counted; and not to be called from outside
_FEWEST_STATES = 128  # fewer states per thread are not worth starting one


def compiled(function: Function) -> Function:
    """Compile a function at its first call with each set of argument types, and keep the result on disk.

    Division by zero gives infinity or NaN as in NumPy, without an exception; other threads run meanwhile.

    Args:
        function: a function of numbers, arrays and named tuples of them

    Returns:
        The compiled function

    """
    return _compiled(function, cache=True)


def compiled_inner(function: Function) -> Function:
    """Compile a function that other compiled functions call for every state: it must not make or return arrays.

    It spares the counting of references to its arrays, over which threads would wait for each other. It is kept on disk
    as a part of those that call it.
    """
    return _compiled(function, **_INNER)


def compiled_inline(function: Function) -> Function:
    """As `compiled_inner`, for a small function that is called from few places: it is copied into them."""
    return _compiled(function, forceinline=True, **_INNER)


def compiled_between(function: Function) -> Function:
    """As `compiled_inner`, for a function that mostly calls others: it is copied into its callers before they are compiled.

    What is compiled on its own is compiled with all that it calls, and again in each of its callers.
    """
    return _compiled(function, inline="always", **_INNER)


def compiled_making(function: Function) -> Function:
    """As `compiled_inner`, for a function that makes the arrays that others work with."""
    return _compiled(function, no_cpython_wrapper=True, no_cfunc_wrapper=True)


def _compiled(function: Function, **options: bool | str) -> Function:
    kept = _COMPILER.config.CACHE_DIR
    _COMPILER.config.CACHE_DIR = str(_folder(Path(function.__code__.co_filename).parent, _called(function)))
    try:
        made = _COMPILER.njit(nogil=True, error_model="numpy", **options)(function)
    finally:
        _COMPILER.config.CACHE_DIR = kept
    return cast("Function", made)


def _called(function: Callable[..., object]) -> tuple[Path, ...]:
    """Rooms of the compiled functions that a function's file imports."""
    inner = (getattr(known, "py_func", None) for known in function.__globals__.values())
    return tuple(sorted({Path(one.__code__.co_filename).parent for one in inner if one is not None}))


@cache
def _folder(room: Path, called: tuple[Path, ...] = ()) -> Path:
    """Where the compiled functions of a room are kept; where that cannot be written, Numba takes the user's own cache."""
    content = sha256()
    for folder in dict.fromkeys((_SHARED, room, *called)):
        for file in sorted(folder.glob("*.py")):
            content.update(file.name.encode() + file.read_bytes())
    return room / "__pycache__" / f"compiled-{content.hexdigest()[:16]}"


def processors() -> int:
    """How many processors this program may use: fewer than there are where it has been confined to some."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


_alone = [False]


def work_alone() -> None:
    """From now on this process works on one processor: its neighbours have the others."""
    _alone[0] = True


def in_runs(states: int, run: Callable[[int, int], None], together: int = 1) -> None:
    """Work on states ``0 .. states`` in one contiguous run per processor.

    Args:
        states: how many there are [-]
        run: works on the states from its first argument up to, without, its second; compiled inside, so that runs
            go on at the same time
        together: a run begins at a multiple of this [-]

    """
    count = 1 if _alone[0] else max(1, min(processors(), states // _FEWEST_STATES))
    edges = [*(states * i // count // together * together for i in range(count)), states]
    failures: list[BaseException] = []

    def guarded(first: int, last: int) -> None:
        try:
            run(first, last)
        except BaseException as failure:  # noqa: BLE001 - handed on to the caller below
            failures.append(failure)

    threads = [Thread(target=guarded, args=(edges[i], edges[i + 1])) for i in range(1, count)]
    for thread in threads:
        thread.start()
    run(edges[0], edges[1])
    for thread in threads:
        thread.join()
    if failures:
        raise failures[0]
