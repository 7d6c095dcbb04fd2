"""Every number of an answer in words stands, to the printed digit and with its unit, on the page that it points to."""

import pytest

from jounce.asked.amounts import told_in
from jounce.asked.answer import answered
from jounce.asked.passing import passing_case
from jounce.asked.recipes import RECIPES
from jounce.asked.tables import asked_of
from jounce.car.file.reading import read_car
from jounce.case.case import Case
from jounce.conventions.units import show
from jounce.questions.catalogue import QUESTIONS
from tests.asked.demo import DEMO

COSTLY = {
    *("wheel-lift", "left-right", "balance", "roll", "camber", "brake", "influence", "next-reading", "loads"),
    *("damping", "ride", "adjusters"),
}
"""Kinds whose question takes seconds."""
TEXTS = {
    "lower": "front 20 mm lower",
    "bar": "what do 22 mm torsion bars give",
    "anti-roll-bar": "what does a 20 mm rear anti-roll bar do",
    "teeth": "how many teeth for 30 mm lower",
    "load": "three people and 40 kg in the boot",
    "adjusters": "what does 1 mm on the camber plate do",
    "wheels": "what do 10 mm spacers at the rear change",
    "part-for": "which rear springs for 20 mm lower at the back",
    "bump-steer": "front 20 mm lower: bump steer",
    "side-effects": "what else moves with the front 20 mm lower",
}
"""One wording for each kind that takes amounts; the others are asked of the car as it stands."""
OF_QUESTIONS = [
    kind
    for kind, recipe in RECIPES.items()
    if recipe.question and not (recipe.outside or recipe.needs or recipe.way or recipe.of_checks or kind == "comply")
]


@pytest.fixture(scope="module")
def car():
    return Case(read_car(DEMO / "brisk-14.toml"))


def test_every_kind_is_of_a_question_or_told_otherwise():
    """What is told by checks, rules or not at all has its own tests."""
    assert len(OF_QUESTIONS) >= 30
    assert set(TEXTS) | COSTLY <= set(OF_QUESTIONS)


def of_page(kind, text, car):
    """What stands on the question's page, asked with the same values: each number as it is printed."""
    case, told = passing_case(car, kind, told_in(text)), told_in(text)
    recipe = RECIPES[kind]
    tables = QUESTIONS[recipe.question].answer(asked_of(recipe, case, kind, told, "metric", text))
    printed = {
        show(value, row.kind, "metric")
        for table in tables
        for row in table.rows
        for value in row.values
        if isinstance(value, float)
    }
    # of the same page: what the job compares as planned, and how the sides differ in it
    rows = {row.key: row for row in case.rows if row.planned is not None}
    sides = [(rows[f"{axle}.left.height"], rows[f"{axle}.right.height"]) for axle in ("front", "rear")]
    printed |= {show(right.planned - left.planned, left.kind, "metric") for left, right in sides}
    return printed | {show(row.planned, row.kind, "metric") for row in rows.values()}


def alike(kind, car):
    text = TEXTS.get(kind, "it")
    told = answered(text, car, kind=kind)
    assert told.known, told.verdict
    assert told.numbers
    printed = of_page(kind, text, car)
    strange = [one.said("metric") for one in told.numbers if show(one.value, one.kind, "metric") not in printed]
    assert strange == []


@pytest.mark.sweep(8)
@pytest.mark.parametrize("kind", [kind for kind in OF_QUESTIONS if kind not in COSTLY])
def test_numbers_are_those_of_the_page(car, kind):
    alike(kind, car)


@pytest.mark.validation_long
@pytest.mark.parametrize("kind", sorted(COSTLY & set(OF_QUESTIONS)))
def test_numbers_that_take_long_are_those_of_the_page(car, kind):
    alike(kind, car)
