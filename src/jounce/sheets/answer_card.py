"""The answer card: what can be said at once, how sure it is, and which measurement would make it surer."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from jounce.behaviour.bands import Band
from jounce.car.file.walk import path_words
from jounce.conventions.certainty import MEANING
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind, show
from jounce.job.plan import CarState
from jounce.layouts.naming import SIDES
from jounce.sheets.blocks import Block, Cautions, Heading, Points, TableBlock, Words
from jounce.sheets.cautions import LAW, TOOL, cautions
from jounce.sheets.paperwork import Printout
from jounce.sheets.shown import number, unit
from jounce.sheets.wheels import arch, least, travel_together

_Read = Callable[[CarState, str], float | None]
_CAUSES = 3  # measurements named for each result


def _loose(state: CarState, axle: str) -> float | None:
    return least([wheel.loose_at for wheel in state.axles[axle].wheels.values()])


def _free(state: CarState, axle: str) -> float | None:
    return least([travel_together(state, axle, side).rubber for side in SIDES])


def _bump(state: CarState, axle: str) -> float | None:
    end = travel_together(state, axle, "left").bump
    return None if end is None else end.travel


def _droop(state: CarState, axle: str) -> float | None:
    end = travel_together(state, axle, "left").droop
    return None if end is None else end.travel


def _of_left(name: str) -> _Read:
    return lambda state, axle: float(getattr(state.axles[axle].wheels["left"], name))


_ROWS: tuple[tuple[str, Kind, _Read, str], ...] = (
    (RESULTS["ride_frequency"].label, Kind.FREQUENCY, _of_left("ride_frequency"), "left.ride_frequency"),
    ("wheel rate, left", Kind.SPRING_RATE, _of_left("wheel_rate"), "left.wheel_rate"),
    (RESULTS["roll_stiffness"].label, Kind.ROLL_STIFFNESS, lambda s, a: s.axles[a].roll_stiffness, "roll_stiffness"),
    ("travel left until the rubber touches", Kind.LENGTH, _free, ""),
    ("travel left to the end of bump", Kind.LENGTH, _bump, ""),
    ("travel to the end of droop", Kind.LENGTH, _droop, ""),
    ("spring carries nothing beyond droop of", Kind.LENGTH, _loose, ""),
)


def answer_card(out: Printout) -> list[Block]:
    """The card of a car, or of a job beside the car as found.

    Args:
        out: what is printed
    """
    units = out.units
    found = {title: state.bands for title, state in out.states.items()}
    blocks: list[Block] = [Words(_opening(out))]
    for axle in ("front", "rear"):
        heights = [f"wheel centre to arch, {side}{unit(Kind.LENGTH, units)}" for side in SIDES]
        rows = [
            [
                name,
                *(
                    number(arch(out.case.car, s.standing, (axle, side)), Kind.LENGTH, units)
                    for s in out.states.values()
                ),
            ]
            for name, side in zip(heights, SIDES, strict=True)
        ]
        rows += [_row(out, row, axle, found) for row in _ROWS]
        blocks += [Heading(f"{axle.capitalize()} axle"), TableBlock(["", *out.states], rows)]
    blocks += [Heading("What would make this surer"), Points(_causes(list(found.values())[-1], units))]
    return [*blocks, Cautions(cautions(out, (LAW, TOOL)))]


def _opening(out: Printout) -> str:
    said = f"The car was weighed at {show(out.case.car.mass.total, Kind.MASS, out.units)}"
    front = f"{out.case.car.mass.front_share:.1%} of it on the front wheels"
    return f"{said}, {front}; everything here holds for that load. {MEANING}."


def _row(
    out: Printout, row: tuple[str, Kind, _Read, str], axle: str, found: Mapping[str, Mapping[str, Band]]
) -> list[str]:
    name, kind, read, key = row
    cells = []
    for title, state in out.states.items():
        band = found[title].get(f"{axle}.{key}") if key else None
        cells.append(number(read(state.standing, axle), kind, out.units, band=band.plus_minus if band else 0.0))
    return [f"{name}{unit(kind, out.units)}", *cells]


def _causes(found: Mapping[str, Band], units: str) -> list[str]:
    """For each result with a band, the inputs that make most of it."""
    lines = []
    for axle in ("front", "rear"):
        for name, kind, _, key in _ROWS:
            band = found.get(f"{axle}.{key}") if key else None
            if band is None or not band.causes:
                continue
            shares = ", ".join(
                f"{path_words(cause)} (± {show(abs(own), kind, units)})" for cause, own in band.causes[:_CAUSES]
            )
            lines.append(f"{axle} {name}: measure again {shares}.")
    return lines or ["Give each measurement its ±: then the card tells which one to repeat."]
