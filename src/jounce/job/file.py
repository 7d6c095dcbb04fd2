"""Reading a job file, and the car file that it names."""

from __future__ import annotations

from pathlib import Path

from jounce.car.file.document import CarDocument
from jounce.car.file.reading import parse_document, read_car, read_text
from jounce.car.file.toml_lines import line_of, lines_of_keys
from jounce.conventions.errors import InputProblems, at
from jounce.job.apply import problems_between
from jounce.job.document import JobDocument

__all__ = ["parse_job", "read_job"]


def read_job(path: Path | str) -> tuple[JobDocument, CarDocument]:
    """Read a job and its car.

    Args:
        path: the job file, TOML in UTF-8

    Raises:
        InputError: a file cannot be read or is no TOML
        InputProblems: all that is wrong with the job, or with the car, or with the two together
    """
    path = Path(path)
    text = read_text(path)
    job = parse_job(text, str(path))
    lines = lines_of_keys(text)
    with at(f"{path}, job.car (line {line_of(('job', 'car'), lines)})"):
        document = read_car(path.parent / job.job.car)
    problems = problems_between(document, job)
    for problem in problems:
        problem.place = f"{problem.place} (line {line_of(problem.place.split('.'), lines)})"
    if problems:
        raise InputProblems(problems, place=str(path))
    return job, document


def parse_job(text: str, name: str) -> JobDocument:
    """Read the text of a job file, without its car.

    Args:
        text: the content of the file
        name: name of the file, for messages

    Raises:
        InputError: the text is no TOML
        InputProblems: all that is wrong with its content
    """
    return parse_document(text, name, JobDocument)
