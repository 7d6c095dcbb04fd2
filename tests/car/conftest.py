"""An invented car, as a file somebody wrote; the tests change single lines of it."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from jounce.car.file.document import CarDocument
from jounce.car.file.reading import parse_car
from jounce.conventions.errors import InputProblems

PAGES = Path(__file__).parents[2] / "docs" / "car-file"


@pytest.fixture(scope="session")
def car_text() -> str:
    """The whole example of the manual: general sections, front axle, rear axle."""
    whole = (PAGES / "example.md").read_text(encoding="utf-8")
    return "\n".join(re.findall(r"```toml\n(.*?)```", whole, re.DOTALL))


@pytest.fixture(scope="session")
def document(car_text: str) -> CarDocument:
    """The example, read."""
    return parse_car(car_text, "example")


Changed = Callable[..., str]


@pytest.fixture
def changed(car_text: str) -> Changed:
    """The example with pieces of its text exchanged, each of which must be there exactly once."""

    def change(*pairs: tuple[str, str]) -> str:
        text = car_text
        for old, new in pairs:
            assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the example"
            text = text.replace(old, new)
        return text

    return change


def problems_in(text: str) -> dict[str, str]:
    """What is wrong with a file: message by place, without line numbers."""
    with pytest.raises(InputProblems) as caught:
        parse_car(text, "car.toml")
    return {problem.place.split(" (")[0]: problem.message for problem in caught.value.problems}
