"""Which cars a command speaks of: one as found, or with a job as found and as planned."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jounce.behaviour.road.road_car import RoadCar
    from jounce.car.file.document import CarDocument
    from jounce.job.on_road import CarInState


@dataclass(frozen=True, slots=True)
class CarAsked:
    """One car of a command: what it is called beside the others, its document, and the car in its state."""

    title: str
    document: CarDocument
    state: CarInState

    @property
    def car(self) -> RoadCar:
        """The car on its road."""
        return self.state.road


def cars_asked(path: Path) -> list[CarAsked]:
    """Read a car file, or a job file with its car.

    Args:
        path: either; a job file is known by its [job] section

    Raises:
        InputError: the file cannot be read, or what it says cannot be
        Impossible: the car as planned cannot stand
    """
    from jounce.car.file.reading import read_car, read_text, read_toml
    from jounce.conventions.errors import at
    from jounce.job.apply import planned_document, wishes_of
    from jounce.job.file import read_job
    from jounce.job.on_road import found_state, planned_state
    from jounce.job.plan import make_plan

    if "job" not in read_toml(read_text(path), str(path)):
        document = read_car(path)
        return [CarAsked("found", document, found_state(document))]
    job, document = read_job(path)
    with at(str(path)):
        planned = planned_document(document, job)
        plan = make_plan(document, planned, wishes_of(document, job))
    return [
        CarAsked("found", document, found_state(document, plan.found)),
        CarAsked("planned", planned, planned_state(document, planned, job, plan)),
    ]
