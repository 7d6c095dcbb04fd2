"""As found, as planned, difference: the quantities a workshop reads, as rows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from jounce.behaviour.axle.reach import first_hard
from jounce.behaviour.bands import Band
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.stops import RUBBER
from jounce.conventions.constants import GRAVITY
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind
from jounce.job.plan import CarState, JobPlan, height, value_of
from jounce.layouts.naming import SIDES


@dataclass(frozen=True, slots=True)
class ComparedRow:
    """One quantity, SI; None where it does not exist. ``key`` is ``axle.side.quantity``, ``axle.quantity`` or a name.

    The bands are half widths that hold nine of ten, zero where no stated ± reaches the quantity.
    """

    key: str
    label: str
    kind: Kind
    found: float | None
    planned: float | None
    found_band: float = 0.0
    planned_band: float = 0.0

    @property
    def difference(self) -> float | None:
        """Planned less found."""
        return None if self.found is None or self.planned is None else self.planned - self.found


_OF_WHEEL = ("load", "wheel_rate", "ride_rate", "ride_frequency", "suspension_frequency", "loose_at")
_GEOMETRY = (
    *("camber", "toe", "caster", "kingpin_inclination", "scrub_radius", "trail"),
    *("drive_shaft_outer_angle", "drive_shaft_plunge"),
)
_OF_AXLE = ("track", "roll_centre_height", "roll_centre_construction_height", "axle_shift")


def with_bands(
    rows: Sequence[ComparedRow], found: Mapping[str, Band], planned: Mapping[str, Band]
) -> list[ComparedRow]:
    """The rows with the bands of both states.

    Args:
        rows: quantities
        found: bands as found, by key
        planned: bands as planned, by key
    """
    none = Band(0.0, ())
    return [
        replace(
            row,
            found_band=found.get(row.key, none).plus_minus,
            planned_band=planned.get(row.key, none).plus_minus,
        )
        for row in rows
    ]


def as_weighed(rows: Sequence[ComparedRow]) -> list[ComparedRow]:
    """The rows as a shop reads them: wheel loads as its scales tell them, in place of forces.

    Args:
        rows: quantities
    """
    return [_weighed(row) if row.key.endswith(".load") else row for row in rows]


def _weighed(row: ComparedRow) -> ComparedRow:
    found, planned = (None if load is None else load / GRAVITY for load in (row.found, row.planned))
    bands = (row.found_band / GRAVITY, row.planned_band / GRAVITY)
    return ComparedRow(row.key, row.label, Kind.MASS, found, planned, *bands)


def near_rubbers(rows: Sequence[ComparedRow]) -> list[str]:
    """A sentence on the wheels that may or may not touch their rubbers where they stand: there a ± is no straight line.

    Args:
        rows: quantities with their bands
    """
    told = []
    at = [row for row in rows if row.key.endswith(f".{_RUBBER_AT}")]
    for state, near in (
        ("as found", [row for row in at if row.found is not None and row.found <= row.found_band]),
        ("as planned", [row for row in at if row.planned is not None and row.planned <= row.planned_band]),
    ):
        places = [" ".join(row.key.split(".")[:2]) for row in near]
        if len(places) == 1:
            told.append(f"The {places[0]} wheel {state} touches its bump rubber within the ±: {_WIDER}")
        elif places:
            told.append(f"Wheels that {state} touch their bump rubbers within the ±: {', '.join(places)}. {_ALL_WIDER}")
    return told


def beyond_ends(plan: JobPlan) -> list[str]:
    """A sentence for each axle that comes to rest beyond the metal that ends its travel: nothing told of it holds.

    Rest is found with springs, bars and rubbers alone; metal on metal has no law.

    Args:
        plan: what came out
    """
    told = []
    for axle in ("front", "rear"):
        for at in ("bump", "droop"):
            end = first_hard(plan.planned.stops[axle], at)
            if end is not None and end.travel <= 0.0:
                told.append(f"The {axle} as planned would stand beyond the end of its travel ({end.name}): {_HELD}")
    return told


_HELD = "metal would hold it there, and no height, load or rate told of it is what the car then does."
_RUBBER_AT = "rubber_at"
_WIDER = "its rates, its frequency and its load may lie outside their ± more often than in 1 of 10 cases."
_ALL_WIDER = "Their rates, frequencies and loads may lie outside their ± more often than in 1 of 10 cases."


def _rubber(state: CarState, axle: str, side: str) -> float | None:
    return next((met.travel for met in state.stops[axle] if met.name == RUBBER and met.side == side), None)


def compare(document: CarDocument, plan: JobPlan) -> list[ComparedRow]:
    """All rows, without bands.

    Args:
        document: the car as measured (for its heights)
        plan: what came out
    """
    rows = list(_car_rows(plan))
    for axle in ("front", "rear"):
        for side in SIDES:
            rows += _wheel_rows(document, plan, axle, side)
        rows += _axle_rows(plan, axle)
    return rows


def _row(key: str, name: str, found: float | None, planned: float | None) -> ComparedRow:
    """A row that is called and measured as the table of results says."""
    return ComparedRow(key, RESULTS[name].label, RESULTS[name].kind, found, planned)


def _car_rows(plan: JobPlan) -> Iterator[ComparedRow]:
    readings: tuple[tuple[str, str, Callable[[CarState], float]], ...] = (
        ("cross_weight", "cross_weight", lambda s: s.sits.cross_share),
        ("pitch", "pitch_at_rest", lambda s: s.sits.pitch),
        ("roll", "lean_at_rest", lambda s: s.sits.roll),
        ("front_share", "front_share", lambda s: s.front_share_of_roll_stiffness),
    )
    for key, name, read in readings:
        yield _row(key, name, read(plan.found), read(plan.planned))


def _wheel_rows(document: CarDocument, plan: JobPlan, axle: str, side: str) -> Iterator[ComparedRow]:
    corner = (axle, side)
    both = (plan.found, plan.planned)
    key = f"{axle}.{side}"
    heights = tuple(height(document, state, corner) for state in both)  # type: ignore[arg-type]  # a side's name is a text here
    yield _row(f"{key}.height", "height", heights[0], heights[1])
    for name in _OF_WHEEL:
        values = [getattr(state.axles[axle].wheels[side], name) for state in both]  # type: ignore[index]
        yield _row(f"{key}.{name}", name, values[0], values[1])
    met = [_rubber(state, axle, side) for state in both]
    if any(way is not None for way in met):
        yield _row(f"{key}.{_RUBBER_AT}", _RUBBER_AT, met[0], met[1])
    for name in _GEOMETRY:
        column = f"{side}_{name}"
        if any(c.name == column for c in plan.found.geometry[axle].columns):
            found, planned = (value_of(state.geometry[axle], column) for state in both)
            yield _row(f"{key}.{name}", name, found, planned)


def _axle_rows(plan: JobPlan, axle: str) -> Iterator[ComparedRow]:
    both = (plan.found, plan.planned)
    stiffness = [state.axles[axle].roll_stiffness for state in both]
    yield _row(f"{axle}.roll_stiffness", "roll_stiffness", stiffness[0], stiffness[1])
    for name in _OF_AXLE:
        if any(c.name == name for c in plan.found.geometry[axle].columns):
            found, planned = (value_of(state.geometry[axle], name) for state in both)
            yield _row(f"{axle}.{name}", name, found, planned)
