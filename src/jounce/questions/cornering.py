"""What cornering and braking feel like, as tables: each turn for itself, as found beside as planned."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from jounce.behaviour.road.corner import Cornering
from jounce.behaviour.road.feel import Feel, TurnFeel
from jounce.behaviour.road.followed import PathEnd
from jounce.behaviour.road.lift import TurnLimit
from jounce.conventions.certainty import MEANING_OF_SOME
from jounce.conventions.quantities import RESULTS
from jounce.conventions.quantity import OURS
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import Answer, AnswerTable, answer
from jounce.numerics.arrays import Array

_Read = Callable[[TurnFeel], float | str | None]

ENDS = {
    PathEnd.NO_REST: "no rest",
    PathEnd.UNSTABLE: "unstable",
    PathEnd.LINKAGE: "the linkage goes no further",
    PathEnd.LOST: "could not be worked out",
}
"""What is said in place of a number of a state that the car does not rest in."""


def lift_told(limits: TurnLimit, axle: int, units: str = "metric") -> float | str:
    """Where an axle's inside wheel lifts, or in words why that is not told.

    Args:
        limits: of the turn
        axle: 0 front, 1 rear
        units: unit set of a number among words
    """
    size = limits.of_axle(axle)
    if size is not None:
        return size
    where = show(limits.farthest, Kind.ACCELERATION, units)
    if limits.end is PathEnd.RESTS:
        return f"not up to {where}"
    if limits.end is PathEnd.NO_REST and limits.manner is not None:
        return f"not before it {limits.manner.value}"
    return f"{ENDS[limits.end]} beyond {where}"


def end_told(limits: TurnLimit, units: str = "metric") -> float | str:
    """Lateral acceleration beyond which the car finds no rest, or in words why that is not told.

    Args:
        limits: of the turn
        units: unit set of a number among words
    """
    if limits.end is PathEnd.NO_REST:
        return limits.farthest
    where = show(limits.farthest, Kind.ACCELERATION, units)
    return f"rests up to {where}" if limits.end is PathEnd.RESTS else f"{ENDS[limits.end]} beyond {where}"


def manner_told(limits: TurnLimit) -> str:
    """What the car does where it finds no rest, in words."""
    if limits.manner is not None:
        return limits.manner.value
    return "stays on its wheels" if limits.end is PathEnd.RESTS else ENDS[limits.end]


def first_told(limits: TurnLimit) -> str:
    """Which inside wheel lifts first, in words."""
    if limits.first is None:
        return "none" if limits.end in {PathEnd.RESTS, PathEnd.NO_REST} else ENDS[limits.end]
    return limits.first


def _limit_axle(turn: TurnFeel) -> str | None:
    if turn.limit_front is None:
        return None
    return "front" if turn.limit_front else "rear"


_ROWS: tuple[tuple[str, _Read, str], ...] = (
    ("roll_gradient", lambda t: t.roll_gradient, "roll_gradient"),
    ("front_share_of_transfer", lambda t: t.front_share, "front_share"),
    ("first_lift", lambda t: first_told(t.limits), ""),
    ("front_lift", lambda t: lift_told(t.limits, 0), "front_lift"),
    ("rear_lift", lambda t: lift_told(t.limits, 1), "rear_lift"),
    ("no_rest", lambda t: end_told(t.limits), ""),
    ("no_rest_manner", lambda t: manner_told(t.limits), ""),
    ("rear_lift_braked", lambda t: lift_told(t.limits_braked, 1), ""),
    ("no_rest_braked", lambda t: end_told(t.limits_braked), ""),
    ("understeer_gradient", lambda t: t.understeer_gradient, ""),
    ("grip_limit", lambda t: t.limit, ""),
    ("grip_limit_axle", _limit_axle, ""),
    ("outer_front_camber", lambda t: t.outer_front_camber, "outer_front_camber"),
    ("front_steer_in_turn", lambda t: t.front_steer, "front_steer"),
    ("rear_steer_in_turn", lambda t: t.rear_steer, "rear_steer"),
    ("body_rise", lambda t: t.jacking, "jacking"),
    ("drive_out", lambda t: t.drive, ""),
)
"""Results, where each is read, and its band's name where it has one."""
_BRISK = frozenset(
    {
        "front_share_of_transfer",
        "outer_front_camber",
        "front_steer_in_turn",
        "rear_steer_in_turn",
        "body_rise",
        "drive_out",
    }
)
"""Those of the brisk corner, at 0.6 g."""


def cornering_table(question: str, cars: Mapping[str, Feel], remarks: Sequence[str] = ()) -> AnswerTable:
    """Left and right turn of each car side by side.

    Args:
        question: what was asked
        cars: what each car feels like, by title
        remarks: what has to be said besides
    """
    columns = tuple(f"{title} {side}" for title in cars for side in ("left", "right"))
    turns = [turn for one in cars.values() for turn in (one.left, one.right)]
    rows = tuple(
        answer(
            RESULTS[name],
            tuple(_or_why(read(turn), turn, name) for turn in turns),
            tuple(turn.bands.get(band) for turn in turns),
        )
        for name, read, band in _ROWS
    )
    beyond = [t for t in turns if t.limit is not None and (t.rear_lift is None or t.rear_lift > t.limit)]
    told = (*remarks, *(_BEYOND_GRIP for _ in beyond[:1]), *(MEANING_OF_SOME for turn in turns[:1] if turn.bands))
    return AnswerTable(question, columns, rows, told)


def _or_why(value: float | str | None, turn: TurnFeel, name: str) -> float | str | None:
    """A number of the brisk corner, or why there is none."""
    return ENDS[turn.brisk] if value is None and turn.brisk in ENDS and name in _BRISK else value


_BEYOND_GRIP = (
    "Where the tyres' grip is used up before the wheel lifts, it stays on the ground on a level road; a bump, a kerb or "
    "braking lifts it earlier."
)


def detail_table(
    across: float, ahead: float, cars: Mapping[str, Cornering], remarks: Sequence[str] = ()
) -> AnswerTable:
    """Loads and where they come from at one lateral acceleration.

    Args:
        across: size of the lateral acceleration [m/s²]
        ahead: longitudinal acceleration meanwhile [m/s²]
        cars: left turn and right turn, two states, of each car by title
        remarks: what has to be said besides
    """
    columns = tuple(f"{title} {side}" for title in cars for side in ("left", "right"))
    turns = [(told, k) for told in cars.values() for k in (0, 1)]

    def row(name: str, kind: Kind, read: Callable[[Cornering, int], float], formula: str = "") -> Answer:
        cells = tuple(read(told, k) if told.states.reached[k] else ENDS[told.states.ends[k]] for told, k in turns)
        return Answer(name, kind, cells, formula, OURS if formula else "")

    def load(axle: int, inside: int) -> Callable[[Cornering, int], float]:
        return lambda told, k: float(told.states.acted.load[k, axle, inside if k == 0 else 1 - inside])

    def moved(axle: int, part: str) -> Callable[[Cornering, int], float]:
        return lambda told, k: float(getattr(told.transfer, part)[k, axle] * (1.0 if k == 0 else -1.0))

    rows = [row("roll", Kind.ANGLE, lambda told, k: float(told.roll[k] * (1.0 if k == 0 else -1.0)))]
    for axle, name in enumerate(("front", "rear")):
        rows += [row(f"{name} inside load", Kind.FORCE, load(axle, 0))]
        rows += [row(f"{name} outside load", Kind.FORCE, load(axle, 1))]
        rows += [row(f"{name} load moved", Kind.FORCE, moved(axle, "total"))]
        rows += [
            row(f"  of it {part}", Kind.FORCE, moved(axle, part), how if axle == 0 else "")
            for part, how in (
                ("unsprung", "by the wheels' own masses"),
                ("geometric", "straight through arms and rods"),
                ("elastic", "through springs, bars and rubbers"),
            )
        ]
    while_ = "" if not ahead else f", {'braking' if ahead < 0 else 'driving'} {show(abs(ahead), Kind.ACCELERATION)}"
    return AnswerTable(f"At {show(across, Kind.ACCELERATION)}{while_}", columns, tuple(rows), tuple(remarks))


_COMPARED: tuple[tuple[str, Callable[[TurnFeel], float | None]], ...] = (
    ("roll_gradient", lambda t: t.roll_gradient),
    ("rear_lift", lambda t: t.rear_lift),
    ("rear_steer_in_turn", lambda t: t.rear_steer),
    ("body_rise", lambda t: t.jacking),
)


_WHY = (
    "With even weights on left and right only the linkage still tells left from right: the rod that holds the axle "
    "sideways, and the side on which its arm turns. In one turn the rod stands steeper than in the other and so lifts "
    "the body more or less, and its height over the road moves."
)


def difference_table(cars: Mapping[str, Feel], even: Mapping[str, Feel]) -> AnswerTable:
    """How much left and right turns differ, and how much of it uneven weights make.

    Args:
        cars: what each car feels like
        even: the same cars with equal weights on left and right: what is left is the linkage's own
    """
    columns = tuple(f"{title} {what}" for title in cars for what in ("as it is", "even weights"))
    rows = []
    for name, read in _COMPARED:
        cells: list[float | str | None] = []
        for title in cars:
            cells += [_difference(read, cars[title]), _difference(read, even[title])]
        rows.append(Answer(RESULTS[name].label, RESULTS[name].kind, tuple(cells), "left turn less right turn", OURS))
    return AnswerTable(
        "Why left and right differ",
        columns,
        tuple(rows),
        (_WHY,),
    )


def _difference(read: Callable[[TurnFeel], float | None], told: Feel) -> float | str | None:
    left, right = read(told.left), read(told.right)
    return "unknown" if left is None or right is None else left - right


def sweep_columns(sweep: Cornering) -> list[tuple[str, Kind, Array]]:
    """Everything of a sweep, column by column: name, kind, values (states,)."""
    acted, wheels = sweep.states.acted, [(a, s) for a in (0, 1) for s in (0, 1)]
    names = [f"{end}_{side}" for end in ("front", "rear") for side in ("left", "right")]
    columns: list[tuple[str, Kind, Array]] = [
        ("lateral_acceleration", Kind.ACCELERATION, sweep.acting.across),
        ("longitudinal_acceleration", Kind.ACCELERATION, sweep.acting.ahead),
        ("roll", Kind.ANGLE, sweep.roll),
        ("pitch", Kind.ANGLE, sweep.pitch),
        ("body_rise", Kind.LENGTH, sweep.jacking),
        ("front_share_of_transfer", Kind.SHARE, sweep.front_share),
    ]
    for what, kind, values in (
        ("load", Kind.FORCE, acted.load),
        ("lateral_force", Kind.FORCE, acted.lateral),
        ("travel", Kind.LENGTH, sweep.states.travel),
        ("camber", Kind.ANGLE, sweep.camber),
        ("steer", Kind.ANGLE, sweep.steer),
    ):
        columns += [(f"{name}_{what}", kind, values[:, a, s]) for name, (a, s) in zip(names, wheels, strict=True)]
    for k, end in enumerate(("front", "rear")):
        columns += [
            (f"{end}_transfer_{part}", Kind.FORCE, getattr(sweep.transfer, part)[:, k])
            for part in ("unsprung", "geometric", "elastic")
        ]
        if sweep.slip is not None and sweep.used is not None:
            columns += [
                (f"{end}_slip", Kind.ANGLE, sweep.slip[:, k]),
                (f"{end}_grip_used", Kind.SHARE, sweep.used[:, k]),
            ]
    return columns
