"""How the car changes in feel, and what dampers to ask for: the last part of a job on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from jounce.car.file.document import CarDocument
    from jounce.case.case import CaseState
    from jounce.job.document import JobDocument
    from jounce.job.plan import Plan


def show_feel(job: JobDocument, found: CarDocument, planned: CarDocument, plan: Plan, units: str) -> None:
    """Cornering as found beside as planned, and the force table of the dampers to order.

    Args:
        job: the change list
        found: the car as measured
        planned: the same with the planned parts
        plan: what came out
        units: unit set in which numbers are shown
    """
    from jounce.case.case import Case

    typer.echo("")
    _tell(Case(found, job, (planned, plan)).states, units)


def _tell(cars: Sequence[CaseState], units: str) -> None:
    from jounce.behaviour.ride.damper_match import Wish
    from jounce.cli.answers import tell_all
    from jounce.conventions.units import KM_PER_H
    from jounce.job.on_road import felt
    from jounce.questions.cornering import cornering_table
    from jounce.questions.ridden import ridden
    from jounce.questions.ride import damper_tables, modes_table

    told = [ridden(one.title, one.document, one.state, ("B", 80 * KM_PER_H), None) for one in cars]
    tell_all(
        [
            cornering_table("How it feels in a corner", {car.title: felt(car.state)[0] for car in cars}),
            modes_table("The car on its springs", told),
            *damper_tables(told[-1:], Wish()),
        ],
        units,
    )
