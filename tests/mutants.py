"""Car and job files with one or two slips in them, and what the program makes of each: for counting what it must not do.

A slip is what happens to a person who types or copies: a sign, a factor of ten, axes in another order, one point entered
for two, a key left out, a unit that is no unit, a text that no text should be. Whatever it is, the program says a sentence
or gives numbers. It never ends in an error that is not its own, works for ever, or tells NaN.
"""

from __future__ import annotations

import contextlib
import copy
import io
import json
import math
import random
import re
import signal
import time
import tomllib
import warnings
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from datetime import date
from functools import cache, partial
from importlib.resources import files
from pathlib import Path
from typing import Any

import typer

from jounce.behaviour.axle.static import axle_sits, loaded
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import parse_car
from jounce.car.mechanics.assembly import axle_model
from jounce.cli.app import commands
from jounce.cli.job import job
from jounce.conventions.errors import JounceError
from jounce.job.apply import planned_document, wishes_of
from jounce.job.comparison import compare
from jounce.job.file import read_job
from jounce.job.plan import make_plan

LONGEST = 10.0
"""No answer may take longer, in time of a processor [s]."""
LONGEST_JOB = 60.0
"""A whole job follows turns to their end and carries all bands: several seconds where nothing is wrong [s]."""
NO_NUMBER = re.compile(r"(?<![A-Za-z_])(?:nan|[+-]?inf(?:inity)?)(?![A-Za-z_])", re.IGNORECASE)
JOB = "brisk-14-lower"
CARS = sorted(path.stem for path in Path(str(files("jounce.demo"))).glob("*-[0-9][0-9].toml"))

Place = tuple[str | int, ...]
Written = dict[str, Any]


@dataclass(frozen=True)
class AxleSpec:
    """What came of a file.

    Attributes:
        how: "refused", "worked", or "fault"
        what: the sentence, or what went wrong

    """

    how: str
    what: str = ""


class TooLong(BaseException):
    """The time is up."""


# ------------------------------------------------------------------------------------------------------------ slips


def leaves(written: Any, place: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Every single value of a file, with its place."""
    if isinstance(written, dict):
        for key, value in written.items():
            yield from leaves(value, (*place, key))
    elif isinstance(written, list):
        for number, value in enumerate(written):
            yield from leaves(value, (*place, number))
    else:
        yield place, written


def points(written: Any, place: Place = ()) -> Iterator[Place]:
    """Every point of a file, by its place."""
    if isinstance(written, dict):
        for key, value in written.items():
            yield from points(value, (*place, key))
    elif isinstance(written, list) and len(written) == 3 and all(isinstance(v, (int, float)) for v in written):
        yield place


def sections(written: Written, place: Place = ()) -> Iterator[Place]:
    """Every table of a file, and every key, by its place."""
    for key, value in written.items():
        yield (*place, key)
        if isinstance(value, dict):
            yield from sections(value, (*place, key))


def at(written: Any, place: Place) -> Any:
    for step in place:
        written = written[step]
    return written


def put(written: Any, place: Place, value: Any) -> None:
    at(written, place[:-1])[place[-1]] = value


def numbers(written: Written) -> list[Place]:
    return [
        place
        for place, value in leaves(written)
        if (isinstance(value, (int, float)) and not isinstance(value, bool))
        or (isinstance(value, str) and re.match(r"-?\d", value))
    ]


def scaled(value: Any, factor: float) -> Any:
    """A number, or the first number of a text, times a factor."""
    if isinstance(value, str):
        return re.sub(r"-?\d+(\.\d+)?", lambda found: f"{float(found[0]) * factor:g}", value, count=1)
    return value * factor


def number_slip(factor: float) -> Callable[[random.Random, Written], str]:
    def slip(chance: random.Random, written: Written) -> str:
        place = chance.choice(numbers(written))
        put(written, place, scaled(at(written, place), factor))
        return f"{place} times {factor:g}"

    return slip


def odd_value(chance: random.Random, written: Written) -> str:
    place = chance.choice([place for place, _ in leaves(written)])
    value = chance.choice(ODD)
    put(written, place, value)
    return f"{place} = {value!r}"[:200]


ODD: list[Any] = [
    *(math.nan, math.inf, -math.inf, 1e308, -1e308, 1e-308, 10**40, 0, -1, 1, 0.5, 1e6, True, "", " ", [], [[]], {}),
    *("nan", "inf mm", "1e999 mm", "-0", "2,380", "2.380,5 mm", "1 mm ± 1e400 mm", "1 ± ± 2 mm", "± 3 mm", "3 mm ±"),
    *("1_000", "٣ mm", "²", "²mm", "1\x00 mm", "\x00", "a\x1bb", "\u202e12", "\ufeff3 mm", "x" * 5000, "9" * 4000),
    *(
        "3" + " " * 3000 + "mm",
        "mm",
        "5 kg",
        "5 N/mm",
        "5 deg",
        "5 mm^9^9^9",
        "5 mm mm",
        "1/0 mm",
        "1e3 in",
        '5"',
        "1°61'",
    ),
    *("--5", "+5 mm", "5..0", "5 e 3 mm", "ON", "null", "body", "left", "../../x", "{}", "%s%n", "\n", "\t5"),
    *(
        {"value": 5},
        {"value": {"value": 5}},
        {"at": [1, 2, 3]},
        {"from": 3},
        [1, 2, 3],
        [0, 0, 0],
        [1, 2],
        ["a", "b", "c"],
    ),
    *(
        [math.nan] * 3,
        [math.inf, 0, 0],
        [[0, 0], [0, 0]],
        [[1, 1], [0, 0]],
        [[0, 0], [1e-300, 1e300]],
        date(2026, 1, 1),
    ),
    *({"value": "5 mm", "plus_minus": "-1 mm"}, {"value": "5 mm", "plus_minus": math.nan}, {"x": {"y": {"z": [1]}}}),
]


def unit_slip(chance: random.Random, written: Written) -> str:
    place = chance.choice(numbers(written))
    unit = chance.choice(["m", "cm", "in", "N", "kg", "deg", "rad", "N/mm", "GPa", "%", "°", "'", "µm", "km", "lbf/in"])
    bare = re.match(r"-?[\d.]+", str(at(written, place)))
    put(written, place, f"{bare[0] if bare else 1} {unit}")
    return f"{place} in {unit}"


def left_out(chance: random.Random, written: Written) -> str:
    place = chance.choice(list(sections(written)))
    del at(written, place[:-1])[place[-1]]
    return f"without {place}"


def other_word(chance: random.Random, written: Written) -> str:
    words = [place for place, value in leaves(written) if isinstance(value, str) and not re.match(r"-?\d", value)]
    place, other = chance.choice(words), chance.choice(words)
    put(written, place, at(written, other))
    return f"{place} as {other}"


def swapped_axes(chance: random.Random, written: Written) -> str:
    place = chance.choice(list(points(written)))
    order = chance.choice([(1, 0, 2), (2, 1, 0), (0, 2, 1), (1, 2, 0), (2, 0, 1)])
    put(written, place, [at(written, place)[k] for k in order])
    return f"{place} by {order}"


def near(chance: random.Random, written: Written, count: int) -> list[Place]:
    """Points of one axle."""
    places = list(points(written))
    first = chance.choice(places)
    own = [place for place in places if place[0] == first[0] and place != first]
    return [first, *chance.sample(own, min(count - 1, len(own)))]


def one_point(chance: random.Random, written: Written) -> str:
    places = near(chance, written, 2)
    if len(places) < 2:
        return odd_value(chance, written)
    put(written, places[0], list(at(written, places[1])))
    return f"{places[0]} = {places[1]}"


def on_one_line(chance: random.Random, written: Written) -> str:
    places = near(chance, written, 3)
    if len(places) < 3:
        return odd_value(chance, written)
    share = chance.choice([0.5, 0.3, -1.0, 2.0, 1e-6])
    one, two = (at(written, place) for place in places[1:])
    put(written, places[0], [a + share * (b - a) for a, b in zip(one, two, strict=True)])
    return f"{places[0]} at {share} from {places[1]} to {places[2]}"


def in_one_plane(chance: random.Random, written: Written) -> str:
    """One axis of every point of an axle the same, or the same as another's."""
    places, axis = near(chance, written, 4), chance.randrange(3)
    value = chance.choice([0, at(written, places[0])[axis]])
    for place in places:
        at(written, place)[axis] = value
    return f"{axis} of {places} = {value}"


def other_side(chance: random.Random, written: Written) -> str:
    """The right-hand side given as a copy of the left, or with one point of its own."""
    end = chance.choice([end for end in ("front", "rear") if "pivots" in written.get(end, {})] or ["front"])
    pivots = written.get(end, {}).get("pivots")
    if not isinstance(pivots, dict) or not pivots:
        return odd_value(chance, written)
    name = chance.choice(list(pivots))
    point = list(at(written, (end, "pivots", name))) if isinstance(pivots[name], list) else [0, 0, 0]
    mirror = chance.choice([1, 0, -1, -1e-9])
    point[1] = point[1] * mirror if len(point) > 1 and isinstance(point[1], (int, float)) else 0
    written[end].setdefault("right", {}).setdefault("pivots", {})[name] = point
    return f"right {end} {name} = {point}"


SLIPS: list[Callable[[random.Random, Written], str]] = [
    *(number_slip(factor) for factor in (-1, 10, 0.1, 0, 1000, 0.001, 1.5, 0.5)),
    *(odd_value, odd_value, odd_value, unit_slip, left_out, left_out, other_word),
    *(swapped_axes, one_point, one_point, on_one_line, on_one_line, in_one_plane, other_side),
]


@cache
def demo(name: str) -> Written:
    return tomllib.loads(files("jounce.demo").joinpath(f"{name}.toml").read_text(encoding="utf-8"))


def with_slips(name: str, seed: int) -> tuple[str, Written]:
    """A demo file with one to three slips in it, and what they are."""
    chance = random.Random(f"{name} {seed}")  # noqa: S311  # the same files each time, no secret
    written = copy.deepcopy(demo(name))
    told = []
    for _ in range(chance.choice([1, 1, 1, 1, 2, 3])):
        with contextlib.suppress(IndexError, KeyError, TypeError, ValueError, OverflowError):
            told.append(chance.choice(SLIPS)(chance, written))
    return "; ".join(told), written


# ---------------------------------------------------------------------------------------------------------- as a file


def as_toml(written: Written) -> str:
    """A file's text: sections one below the other, the rest of each on a line of its own."""
    lines: list[str] = []
    _section(lines, (), written)
    return "\n".join(lines) + "\n"


def _section(lines: list[str], name: tuple[str, ...], written: Written) -> None:
    if name:
        lines.append(f"[{'.'.join(map(_key, name))}]")
    lines += [f"{_key(key)} = {_value(value)}" for key, value in written.items() if not isinstance(value, dict)]
    for key, value in written.items():
        if isinstance(value, dict):
            _section(lines, (*name, key), value)


def _key(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else json.dumps(key)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (int, float, date)):
        return str(value)
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=True)
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    return f"{{{', '.join(f'{_key(k)} = {_value(v)}' for k, v in value.items())}}}"


# ----------------------------------------------------------------------------------------------------------- outcomes


@contextlib.contextmanager
def ends_in_time(longest: float) -> Iterator[None]:
    """Stop what takes longer than it may."""

    def stop(*_: object) -> None:
        raise TooLong

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, longest)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def told(work: Callable[[], object], longest: float = LONGEST) -> AxleSpec:
    """Run something and say what came of it: an error of the program's own is an answer, all else a fault."""
    out, begun = io.StringIO(), time.process_time()
    try:
        with (
            ends_in_time(longest),
            contextlib.redirect_stdout(out),
            contextlib.redirect_stderr(out),
            warnings.catch_warnings(),
        ):
            warnings.simplefilter("error")
            work()
    except JounceError as refusal:
        return _read_over(str(refusal), AxleSpec("refused", str(refusal)))
    except typer.Exit:
        pass
    except TooLong:
        return AxleSpec("fault", f"no end after {longest:g} s")
    except Exception as fault:  # noqa: BLE001  # this is what is counted
        return AxleSpec("fault", f"{type(fault).__name__}: {fault} at {_where(fault)}")
    if time.process_time() - begun > longest:
        return AxleSpec("fault", f"more than {longest:g} s")
    return _read_over(out.getvalue(), AxleSpec("worked"))


def _read_over(text: str, answer: AxleSpec) -> AxleSpec:
    found = NO_NUMBER.search(text) if answer.how == "worked" else None
    if found is None:
        return answer
    line = text[text.rfind("\n", 0, found.start()) + 1 :].partition("\n")[0]
    return AxleSpec("fault", f"tells no number: {line[:200]}")


def _where(fault: BaseException) -> str:
    trace, frames = fault.__traceback__, []
    while trace is not None:
        frames.append((trace.tb_frame.f_code.co_filename, trace.tb_lineno))
        trace = trace.tb_next
    own = [f"{Path(file).name}:{line}" for file, line in frames if "/jounce/" in file]
    return " < ".join(reversed(own[-4:]))


def quick_look(document: CarDocument) -> None:
    """What `settle` and `travel` tell, without the bands that take most of their time."""
    for remark in document.remarks():
        typer.echo(remark)
    for name in ("front", "rear"):
        model = loaded(axle_model(document, name))[0]
        typer.echo(json.dumps(asdict(axle_sits(model)), allow_nan=False))


def called(*words: str | Path) -> None:
    """A command as it is typed; what it refuses is raised."""
    typer.main.get_command(commands).main(args=list(map(str, words)), standalone_mode=False)


def moved(path: Path) -> None:
    """One axle up and down, the other rolled, in three states each."""
    called("travel", path, "--axle", "front", "--motion", "roll", "--from=-3", "--to=3", "--step=3", "--csv=-")
    called("travel", path, "--axle", "rear", "--motion", "heave", "--from=-40", "--to=40", "--step=40", "--csv=-")


def tried_car(text: str, path: Path, *, deep: bool = False) -> AxleSpec:
    """Read a car, and if it reads well look at it as it stands and moves; ``deep``: also with bands, in a turn, braking."""
    read: list[CarDocument] = []
    answer = told(lambda: read.append(parse_car(text, "car.toml")))
    if not read:
        return answer
    path.write_text(text, encoding="utf-8")
    steps: list[Callable[[], object]] = [lambda: quick_look(read[0]), lambda: moved(path)]
    if deep:
        asked = (("settle", path, "--json=-"), ("settle", path), ("corner", path), ("brake", path))
        steps.extend(partial(called, *words) for words in asked)
    for step in steps:
        answer = told(step)
        if answer.how == "fault":
            return answer
    return answer


def planned(path: Path) -> None:
    """A job's plan and what it compares, without bands and checks, which take most of its time."""
    document, car = read_job(path)
    plan = make_plan(car, planned_document(car, document), wishes_of(car, document))
    for row in compare(car, plan):
        typer.echo(json.dumps([row.found, row.planned], allow_nan=False))


def tried_job(text: str, path: Path, *, whole: bool) -> AxleSpec:
    """Work out a job, whose file lies beside its car: its plan, or the whole of it as the command tells it."""
    path.write_text(text, encoding="utf-8")
    if not whole:
        return told(lambda: planned(path))
    answer = told(lambda: job(path, json_file="-"), LONGEST_JOB)
    return answer if answer.how == "fault" else told(lambda: job(path), LONGEST_JOB)
