"""How the car changes in feel, and what dampers to ask for: the last part of a job on the screen."""

from __future__ import annotations

import typer

from jounce.behaviour.ride.damper_match import Wish
from jounce.case.case import Case
from jounce.cli.answers import tell_all
from jounce.conventions.units import KM_PER_H
from jounce.questions.cornering import cornering_table
from jounce.questions.ridden import ridden
from jounce.questions.ride_tables import damper_tables, modes_table


def show_feel(case: Case, units: str) -> None:
    """Cornering as found beside as planned, and the force table of the dampers to order.

    Args:
        case: car and job
        units: unit set in which numbers are shown
    """
    told = [ridden(one.title, one.document, one.state, ("B", 80 * KM_PER_H), None) for one in case.states]
    typer.echo("")
    tell_all(
        [
            cornering_table("How it feels in a corner", {one.title: one.feel for one in case.states}),
            modes_table("The car on its springs", told),
            *damper_tables(told[-1:], Wish()),
        ],
        units,
    )
