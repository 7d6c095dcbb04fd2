"""An axle along a motion from where its car stands, or in a list of states: geometry, and what its springs carry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.drives import Drive, drives_of, put
from jounce.behaviour.axle.everything import everything_at, quantity_of
from jounce.behaviour.axle.reach import stops_met
from jounce.behaviour.axle.states_file import parse_states
from jounce.behaviour.axle.travel import TravelTable
from jounce.car.mechanics.model import AxleModel
from jounce.case.case import CaseState
from jounce.conventions.errors import InputError
from jounce.conventions.quantities import quantities_named
from jounce.conventions.units import Kind, column, show, to_display
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.remark import AnswerRemark, AnswerRemarkKind
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array
from jounce.questions.of_axle import AXLE, axle_of, drives_read, read_at, state_lines
from jounce.questions.question import ALL_STATES, Asked, Choice, Content, Lines, Question, Written

__all__ = ["QUESTION"]

_MOTION = Choice(
    "motion",
    "how it is moved",
    "heave",
    {
        "heave": "heave: both wheels",
        "roll": "roll: positive right side down",
        "left": "left wheel alone",
        "right": "right wheel alone",
        "steer": "steer: positive to the left",
    },
)
_USUAL = {Kind.LENGTH: ("-60 mm", "60 mm", "10 mm"), Kind.ANGLE: ("-3 deg", "3 deg", "0.5 deg")}
"""First value, last value and step where none are given."""
_MOST_STATES = 1_000_000


@dataclass(frozen=True, slots=True)
class _Moved:
    """One axle of one state, moved: what it was given by drive, what was reached, and its columns by name [SI]."""

    one: CaseState
    model: AxleModel
    motion: str
    drives: Mapping[str, Drive]
    given: Mapping[str, Array]
    table: TravelTable
    columns: Mapping[str, Array]

    @property
    def first(self) -> str:
        """Name of the drive that moves it."""
        return next(iter(self.given))

    def kind(self, name: str) -> Kind:
        """What a column measures."""
        return self.drives[name].quantity.kind if name in self.given else quantity_of(name).kind


def _moved(asked: Asked, one: CaseState) -> _Moved:
    model = axle_of(asked, one)
    drives, motion = drives_of(model), asked.word("motion")
    gear = next((name for name in ("rack", "pitman") if name in drives), None)
    states = asked.files("states")
    if states:
        given = dict(parse_states(states[0][1], states[0][0], drives))
    elif motion == "steer" and gear is None:
        raise InputError(f"The {model.name} axle has no steering", todo="Choose another motion or axle.")
    else:
        driven = gear if motion == "steer" and gear is not None else motion
        sweep = _sweep(asked, drives[driven].quantity.kind)
        others = {name: drive for name, drive in drives.items() if name != driven}
        held = drives_read(asked, "also", others, "This cannot be held along the motion")
        given = {driven: sweep, **{name: np.full(sweep.shape, value) for name, value in held.items()}}
    table, columns = everything_at(one.document, model, put(model, one.places[model.name], given), motion)
    return _Moved(one, model, motion, drives, given, table, columns)


def _sweep(asked: Asked, kind: Kind) -> Array:
    """Values of the drive as a person counts them [m or rad]."""
    typed = [asked.word(name) or usual for name, usual in zip(("start", "end", "step"), _USUAL[kind], strict=True)]
    start, end, step = (read_at(text, kind, name, asked.units) for text, name in zip(typed, _OPTIONS, strict=True))
    if step <= 0 or end < start or (end - start) / step > _MOST_STATES:
        raise InputError(
            "The sweep is not a range",
            found=f"from {typed[0]} to {typed[1]} in steps of {typed[2]}",
            allowed="the first below the last, a positive step, at most a million states",
            todo="Correct the three numbers.",
        )
    return np.asarray(start + step * np.arange(int(np.floor((end - start) / step + 1e-9)) + 1), dtype=np.float64)


_OPTIONS = ("from", "to", "step")


def _chosen(asked: Asked, moved: _Moved) -> list[str]:
    """The columns that are asked for, of a wheel's quantity both sides; none where none are."""
    found: list[str] = []
    for name in quantities_named(asked.word("quantities").split(",")):
        those = [one for one in moved.columns if name in (one, quantity_of(one).name)]
        if not those and name not in moved.given:
            todo = "Leave it out; the rows for a spreadsheet have all that there are."
            raise InputError("This axle has no such quantity in this motion", found=name, todo=todo)
        found += [one for one in those if one not in found]
    return found


_FEW = ("travel", "camber", "toe", "caster", "steer", "wheel_rate")
_FEW_OF_AXLE = ("track_change", "roll_centre_height", "axle_shift", "axle_steer")


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    return [_table(asked, one) for one in asked.states]


def _table(asked: Asked, one: CaseState) -> AnswerTable:
    moved, units = _moved(asked, one), asked.units
    names = _chosen(asked, moved)
    some = [f"left_{name}" for name in _FEW] + list(_FEW_OF_AXLE)
    shown = names or [name for name in some if name in moved.columns]
    one_side = not any(name.startswith("right_") for name in shown)
    rows = tuple(
        Answer(_label(name, one_side=one_side), moved.kind(name), tuple(_cell(v) for v in moved.columns[name]))
        for name in shown
    )
    drives = list(moved.given) if asked.files("states") else [moved.first]
    each = [[show(float(value), moved.kind(name), units) for value in moved.given[name]] for name in drives]
    points = tuple(", ".join(values) for values in zip(*each, strict=True))
    remarks = [*_stops(moved, units), *_unreached(moved, units)]
    if one.title != "found":
        remarks.insert(0, "The motion counts from where this car stands, travel from as found.")
    if not names:
        remarks.insert(0, "Left wheel and axle; the rows for a spreadsheet have both wheels and every quantity.")
    title = f"{asked.case.name}, as {one.title}: {moved.model.name} axle, {', '.join(drives)}".replace("_", " ")
    return AnswerTable(title, points, rows, tuple(remarks), along=True)


def _label(name: str, *, one_side: bool) -> str:
    return (name.removeprefix("left_") if one_side else name).replace("_", " ")


def _cell(value: float) -> float | str:
    return "" if np.isnan(value) else float(value)


def _stops(moved: _Moved, units: str) -> list[str]:
    """How far the moving wheels can go, and what stops them; for heave and single wheels."""
    given = moved.given
    moves = {"heave": SIDES, "left": SIDES[:1], "right": SIDES[1:]}.get(moved.first)
    if moves is None or "roll" in given or any(moved.drives[name].joint for name in given):
        return []
    place = moved.one.places[moved.model.name]
    standing = tuple(
        float(np.ravel(side)[0]) + float(given.get(name, np.zeros(1))[0] if name != moved.first else 0.0)
        for name, side in zip(SIDES, (place.left, place.right), strict=True)
    )
    steered = next((float(given[name][0]) for name in ("rack", "pitman") if name in given), 0.0)
    settings = {name: float(np.ravel(value)[0]) for name, value in (place.settings or {}).items()}
    met = stops_met(moved.model, (standing[0], standing[1]), settings, moving=moves, steered=steered)
    told: list[str] = []
    for way in ("bump", "droop"):
        text = ", ".join(
            f"{stop.name}{'' if stop.side is None else f' {stop.side}'} {show(stop.travel, Kind.LENGTH, units)}"
            for stop in met
            if stop.at == way
        )
        of = "" if len(moves) == len(SIDES) else f" of the {moves[0]} wheel"
        said = f"{way}{of} from as {moved.one.title}: {text or 'nothing known within 200 mm'}"
        told.append(AnswerRemark(said, AnswerRemarkKind.ENDS, way))
    return told


def _unreached(moved: _Moved, units: str) -> list[str]:
    told, table = [], moved.table
    if not table.reached.any():
        told.append("The linkage reaches none of the positions asked for: ask for less.")
    elif not table.reached.all():
        ends = moved.given[moved.first][table.reached][[0, -1]]
        low, high = (show(float(end), moved.kind(moved.first), units) for end in ends)
        told.append(f"The linkage reaches only from {low} to {high}; the other rows are empty.")
    return [*told, f"Why: the linkage {table.reason}."] if table.reason else told


def _notes(asked: Asked) -> list[str]:
    return [note for one in asked.states for note in _unreached(_moved(asked, one), asked.units)]


def _lines(asked: Asked, one: CaseState) -> Lines:
    """One row for each position, with both wheels and every quantity."""
    moved = _moved(asked, one)
    drives = [name for name in moved.given if name == moved.first or asked.files("states")]
    names = [*drives, *(_chosen(asked, moved) or moved.columns)]
    values = {**moved.columns, **{name: moved.given[name] for name in drives}}
    yield [column(_head(name, moved), moved.kind(name), asked.units) for name in names]
    shown = [to_display(values[name], moved.kind(name), asked.units) for name in names]
    for row in zip(*shown, strict=True):
        yield ["" if value != value else f"{value + 0.0:.9f}" for value in row]


def _head(name: str, moved: _Moved) -> str:
    """A single wheel's drive is told from its column of travel."""
    return f"{name}_drive" if name in moved.given and name in SIDES else name


QUESTION = Question(
    about="An axle through its travel, roll or steer from where the car stands: every angle, ratio and centre, wheel "
    "rates, what springs and bars carry. Travel and rack displacement are lengths, roll and the turn of a steering box's "
    "arm angles. An empty cell means that the quantity does not exist there.",
    asks=(
        ALL_STATES,
        AXLE,
        _MOTION,
        Written("start", "first value, -60 mm or -3 degrees when left out", option="from"),
        Written("end", "last value, 60 mm or 3 degrees when left out", option="to"),
        Written("step", "step between values, 10 mm or 0.5 degrees when left out"),
        Written(
            "also",
            'another drive, a rod\'s length or a top plate, and the value it is held at: "heave=20", "roll=1.5", "rack=10"',
            many=True,
        ),
        Content(
            "states", "CSV of states in place of a motion, its columns named as heave_mm, roll_deg", option="states"
        ),
        Written("quantities", "names of quantities to list, with commas"),
    ),
    answer=_answer,
    lines=lambda asked: state_lines(asked, lambda one: _lines(asked, one)),
    notes=_notes,
)
