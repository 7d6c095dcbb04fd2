"""Which part gives what is wanted: the inverse of trying parts, each answer the whole car at rest with the part in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import cast

from jounce.behaviour.road.feel import BRISK
from jounce.car.mechanics.model import AxleName
from jounce.case.case import CaseState
from jounce.case.state import PlannedState
from jounce.conventions.axes import Corner
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import InputError
from jounce.conventions.units import DEG_PER_MM, MM, Kind, show
from jounce.job.answer_table import AnswerTable
from jounce.questions.of_axle import AXLE
from jounce.questions.part_tables import as_it_stands, part_table
from jounce.questions.question import ALL_STATES, Asked, Choice, Content, Number, Question
from jounce.shelf.csv_in import parse_csv
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml
from jounce.wanted.answered import WishAnswer, answered
from jounce.wanted.main_springs import with_size
from jounce.wanted.stood import Stood, stand
from jounce.wanted.tie_rods import RodEnd
from jounce.wanted.wishes import WantedOfAxle, height_wishes, other_wishes
from jounce.wanted.work_car import WorkCar

__all__ = ["QUESTION"]

_WISHES = (
    *("lower", "frequency", "wheel_rate", "front_share", "roll", "lift"),
    *("bump_steer", "shift", "gap_share", "bump", "droop", "seated"),
)


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    return [table for one in asked.states for table in _tables(asked, one)]


def _tables(asked: Asked, one: CaseState) -> list[AnswerTable]:
    work, title = _work(one), f"{asked.case.name}, as {one.title}"
    today, wanted, shelf = stand(work.car), _wanted(asked, work), _shelf(asked)
    if all(getattr(wanted, name) is None for name in _WISHES):
        return [as_it_stands(title, today, asked.one("across"), asked.units)]
    whose = f"{title}: {wanted.axle} axle"
    heights = [answered(wished, asked.units, shelf) for wished in height_wishes(work, wanted, today)]
    tables = [part_table(whose, answer, work, today, asked.units) for answer in heights]
    based, stands, before = work, today, "today"
    at_height = _at_height(work, wanted, heights)
    if at_height is not None and wanted.lower is not None:
        based, stands = at_height
        before, way = "at that height", "lower" if wanted.lower > 0 else "higher"
        whose += f", {show(abs(wanted.lower), Kind.LENGTH, asked.units)} {way}"
    others = [answered(wished, asked.units, shelf) for wished in other_wishes(based, wanted, stands)]
    return [*tables, *(part_table(whose, answer, based, stands, asked.units, before) for answer in others)]


def _shelf(asked: Asked) -> Shelf:
    """The parts of the file; an empty shelf without one."""
    for name, text in asked.files("shelf"):
        return (parse_csv(text, name) if name.lower().endswith(".csv") else parse_toml(text, name)).whole(name)
    return Shelf()


def _at_height(work: WorkCar, wanted: WantedOfAxle, heights: Sequence[WishAnswer]) -> tuple[WorkCar, Stood] | None:
    """The car at the height wanted, at rest: on the new pair where its size was given; None where nothing gives it."""
    for answer in heights if wanted.size is None else heights[-1:]:
        if answer.found is not None and answer.found.stood is not None:
            stood = answer.found.stood
            document = work.document if wanted.size is None else with_size(work, wanted.axle, wanted.size)
            return replace(work, document=document, car=stood.car), stood
    return None


def _work(one: CaseState) -> WorkCar:
    """The car, and how its threaded seats and the bolts of its torsion bars are set."""
    seats: dict[Corner, float] = {}
    bolts: dict[Corner, float] = {}
    if isinstance(one, PlannedState):
        axles = one.plan.settings.items()
        seats = {(axle, side): seat.seat for axle, settings in axles for side, seat in settings.seats.items()}
        bolts = {(axle, s): bar.index.bolt_turns for axle, settings in axles for s, bar in settings.bars.items()}
    return WorkCar(one.document, one.car, seats, bolts)


def _wanted(asked: Asked, work: WorkCar) -> WantedOfAxle:
    axle = cast("AxleName", asked.word("axle"))
    bar = work.model(axle).main["left"].kind == "torsion bar"
    rate, diameter = asked.optional("rate"), asked.optional("diameter")
    for given, name, right in ((rate, "rate", not bar), (diameter, "diameter", bar)):
        if given is not None and not right:
            found = "torsion bars" if bar else "coils or leaves"
            todo = "Give their diameter." if bar else "Give their rate."
            raise InputError(f"The {axle} axle's springs have no {name} to choose", found=found, todo=todo)
        if given is not None and asked.optional("lower") is None:
            todo = "Give lower too, 0 to leave it where it stands."
            raise InputError(f"For which height the new pair's {name} is meant is not told", todo=todo)
    return WantedOfAxle(
        axle=axle,
        size=diameter if bar else rate,
        across=asked.one("across"),
        end=cast("RodEnd", asked.word("end")),
        **{name: asked.optional(name) for name in _WISHES},
    )


QUESTION = Question(
    about="Which part gives what is wanted: springs for a height, a frequency or a wheel rate; an anti-roll bar for a "
    "balance, a roll angle or wheel lift; tie-rod ends for a bump steer; a rod that centres the axle; dampers, rubbers and "
    "helpers for travels. Several may be wanted at once; where a height is, the others are of the car at that height.",
    asks=(
        ALL_STATES,
        AXLE,
        Number("lower", Kind.LENGTH, "how much lower the axle is to stand than it does", least=-0.15, most=0.15),
        Number("rate", Kind.SPRING_RATE, "rate of new coils or leaves for that height", least=3e3, most=250e3),
        Number("diameter", Kind.LENGTH, "diameter of new torsion bars for that height", least=8 * MM, most=60 * MM),
        Number("frequency", Kind.FREQUENCY, "ride frequency, with tyre", least=0.3, most=8.0),
        Number("wheel_rate", Kind.SPRING_RATE, "wheel rate", least=1e3, most=500e3),
        Number("front_share", Kind.SHARE, "front share of the roll stiffness", least=0.01, most=0.99),
        Number("roll", Kind.ANGLE, "roll outwards in a corner", least=0.0, most=0.35),
        Number("across", Kind.ACCELERATION, "lateral acceleration of that corner", (BRISK,), 0.1, 2 * GRAVITY),
        Number(
            "lift",
            Kind.ACCELERATION,
            "lateral acceleration at which the axle's inner wheel lifts",
            least=0.5,
            most=19.0,
        ),
        Number(
            "bump_steer",
            Kind.RATIO_ANGLE,
            "change of toe per bump, 0 for none",
            least=-0.5 * DEG_PER_MM,
            most=0.5 * DEG_PER_MM,
        ),
        Choice(
            "end", "which end of the tie rods is moved for it", "outer", {"outer": "at the wheel", "inner": "inner"}
        ),
        Number(
            "shift", Kind.LENGTH, "how far left the axle's middle is to stand, 0 to centre it", least=-0.1, most=0.1
        ),
        Number("gap_share", Kind.SHARE, "share of the bump travel before the bump rubber", least=0.0, most=1.0),
        Number("bump", Kind.LENGTH, "bump travel until the dampers close", least=1 * MM, most=0.19),
        Number("droop", Kind.LENGTH, "droop travel until the dampers are open", least=1 * MM, most=0.19),
        Number("seated", Kind.LENGTH, "compression that the springs keep at full droop", least=0.0, most=0.1),
        Content(
            "shelf", "shelf file whose parts are tried too, TOML or CSV of all kinds", option="shelf", of_book="part"
        ),
    ),
    answer=_answer,
)
