"""Every question for programs: of a car, of a job's car, of a part."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from jounce.car.file.quantity import Measured
from jounce.case.case import Case
from jounce.job.answer_table import AnswerTable
from jounce.ledger.learned import learned_words
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import ALL_STATES, Asked, Choice, Content, Number, Question, Sought, Switch, Whole
from jounce.questions.titles import OF_CARS, OF_JOBS, OF_PARTS
from jounce.web.api.of_book import ENTRY_PATH, entry_of
from jounce.web.api.of_jobs import case_of_job
from jounce.web.api.operation import JSON, Call, Operation, OperationAnswer, Parameter
from jounce.web.api.plain import TABLE, tables
from jounce.web.api.schemas import Schema, choice, listed, number, objects, si_unit, text, whole
from jounce.web.book_content import from_book
from jounce.web.case_cache import case_of

__all__ = ["OPERATIONS"]

_TABLES = OperationAnswer("the answers", objects("Answers.", {"tables": listed(TABLE)}))
_MOST = 50
_LONGEST = 4000
_LONGEST_FILE = 1_000_000
"""Characters of a file, in an address and in a body."""
_EARLIER = ("corner", "brake", "ride", "weigh", "effects")
"""Questions that stand directly below a car and a job as well."""


def _case(call: Call) -> Case:
    """The car as found, or with a job as found and as planned."""
    if call.ask.address.startswith("/api/v1/jobs/"):
        return case_of_job(call)
    return case_of("", entry_of(call, "car").content)


def _asks(word: str, *, of_part: bool) -> Any:
    def run(call: Call) -> Any:
        question = QUESTIONS[word]
        books = {ask.name: from_book(ask, call.ask.book) for ask in question.asks}
        told = call.body if isinstance(call.body, dict) else call.query
        sent = {ask.name: _read(ask, told[ask.name]) for ask in question.asks if ask.name in told}
        given = {name: content for name, content in books.items() if content} | sent
        case = None if of_part else _case(call)
        return tables(_with_learned(question.answer(Asked(question.filled(given), "metric", case)), case))

    return run


def _with_learned(answers: Sequence[AnswerTable], case: Case | None) -> Sequence[AnswerTable]:
    """Answers, with what the ledger has made of their bands said below the last one that has any."""
    learned = "" if case is None else learned_words(case.widened)
    banded = [k for k, one in enumerate(answers) if any(any(row.bands) for row in one.rows)]
    if not learned or not banded:
        return answers
    last = banded[-1]
    said = replace(answers[last], remarks=(*answers[last].remarks, learned))
    return [*answers[:last], said, *answers[last + 1 :]]


def _read(ask: Sought, sent: Any) -> object:
    """What was sent, as a question takes it; a number is in SI."""
    if isinstance(ask, Number):
        values = [ask.checked(float(value), ask.name, "metric") for value in (sent if ask.many else [sent])]
        return tuple(Measured(value) if ask.banded else value for value in values)
    if isinstance(ask, Content):
        return tuple((ask.name, one) for one in (sent if ask.many else [sent]))
    return sent if isinstance(ask, Choice | Whole | Switch) or not ask.many else tuple(sent)


def _parameter(ask: Sought) -> Parameter:
    return Parameter(ask.name, "query", _whole_schema(ask, _LONGEST), required=False)


def _whole_schema(ask: Sought, longest: int) -> Schema:
    """Schema of all that is given for one thing: a list where it may be several."""
    many = not isinstance(ask, Choice | Whole | Switch) and ask.many
    schema = _schema(ask, longest)
    return listed(schema, ask.words, most=_MOST) if many else schema


def _schema(ask: Sought, longest: int) -> Schema:
    if isinstance(ask, Number):
        first = ", ".join(f"{value:.6g}" for value in ask.first)
        words = f"{ask.words}; {first} when left out" if first else ask.words
        return number(words, si_unit(ask.kind), ask.least, ask.most)
    if isinstance(ask, Whole):
        return whole(ask.words, ask.least, ask.most)
    if isinstance(ask, Choice):
        words = f"{ask.words}; {ask.first} when left out" if ask.first else ask.words
        return choice(words, *filter(None, ask.of))
    if isinstance(ask, Switch):
        return {"type": "boolean", "description": ask.words}
    if isinstance(ask, Content):
        return text(f"{ask.words}; the book's own where left out" if ask.of_book else ask.words, 1, longest)
    first = f"; {ask.first} when left out" if ask.first else ""
    return text(f"{ask.words}; a number without its unit is metric{first}", 1, 400)


def _operation(path: str, name: str, group: str, title: str, question: Question, word: str) -> Operation:
    of_job = group == "Jobs"
    of_part = group == "Parts"
    asks = [ask for ask in question.asks if ask is not ALL_STATES or of_job]
    parameters = [] if of_part else [ENTRY_PATH]
    return Operation(
        "GET",
        path,
        name,
        group,
        title,
        _asks(word, of_part=of_part),
        _TABLES,
        question.about,
        (*parameters, *map(_parameter, asks)),
        problems=() if of_part else (404,),
    )


def _sent_whole(one: Operation, question: Question) -> Operation:
    """The same with all that is asked for in a body: a file is longer than an address."""
    names = [parameter.name for parameter in one.parameters if parameter.where == "query"]
    asks = {ask.name: ask for ask in question.asks}
    parts = {name: _whole_schema(asks[name], _LONGEST_FILE) for name in names}
    return replace(
        one,
        method="POST",
        name=f"{one.name}ByBody",
        title=f"{one.title}, with files",
        parameters=tuple(parameter for parameter in one.parameters if parameter.where == "path"),
        body={
            JSON: objects(
                "What is asked, as behind the question mark of the same address.", parts, optional=tuple(names)
            )
        },
    )


def _with_files(one: Operation, question: Question) -> Iterator[Operation]:
    yield one
    if any(isinstance(ask, Content) for ask in question.asks):
        yield _sent_whole(one, question)


def _operations() -> Iterator[Operation]:
    for word, title in (OF_CARS | OF_JOBS).items():
        question = QUESTIONS[word]
        for place, one, group in (("cars", "Car", "Cars"), ("jobs", "Job", "Jobs")):
            if word in OF_JOBS and group == "Cars":
                continue
            name = "".join(part.capitalize() for part in word.split("-"))
            asked = _operation(f"/v1/{place}/{{entry}}/ask/{word}", f"ask{name}Of{one}", group, title, question, word)
            yield from _with_files(asked, question)
            if word in _EARLIER:
                yield _operation(f"/v1/{place}/{{entry}}/{word}", f"{word}{one}", group, title, question, word)
    for word, title in OF_PARTS.items():
        name = "".join(part.capitalize() for part in word.split("-"))
        asked = _operation(f"/v1/ask/{word}", f"ask{name}", "Parts", title, QUESTIONS[word], word)
        yield from _with_files(asked, QUESTIONS[word])


OPERATIONS: tuple[Operation, ...] = tuple(_operations())
