"""The docstring of a formula is a contract: every number that goes in states its unit."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from types import ModuleType
from typing import Any

import pytest

import jounce.elements
import jounce.layouts
import jounce.numerics

ROOMS = (jounce.elements, jounce.layouts, jounce.numerics)
PARAMETER_WITH_UNIT = re.compile(r"^ +(\w+): .*?\[[^\]]+\]", re.MULTILINE | re.DOTALL)
NUMBER = re.compile(r"\b(?:float|Array)\b")
AnyFunction = Callable[..., Any]


def modules() -> Iterator[ModuleType]:
    """Every module of the rooms that hold formulas."""
    for room in ROOMS:
        yield room
        for found in pkgutil.walk_packages(room.__path__, f"{room.__name__}."):
            yield importlib.import_module(found.name)


def public_functions() -> Iterator[AnyFunction]:
    """Public functions, each once, in the module that defines it."""
    for module in modules():
        for name, thing in vars(module).items():
            if inspect.isfunction(thing) and not name.startswith("_") and thing.__module__ == module.__name__:
                yield thing


def public_methods() -> Iterator[AnyFunction]:
    """Public methods and properties of public classes."""
    for module in modules():
        for name, thing in vars(module).items():
            if inspect.isclass(thing) and not name.startswith("_") and thing.__module__ == module.__name__:
                for member_name, member in vars(thing).items():
                    member = getattr(member, "fget", member)  # noqa: PLW2901  # a property's own function
                    if inspect.isfunction(member) and not member_name.startswith("_"):
                        yield member


def numbers_in(function: AnyFunction) -> set[str]:
    """Names of the parameters that are numbers or arrays of them."""
    parameters = inspect.signature(function).parameters.values()
    return {parameter.name for parameter in parameters if NUMBER.search(str(parameter.annotation))}


def _name(function: AnyFunction) -> str:
    return f"{function.__module__.removeprefix('jounce.')}.{function.__qualname__}"


def test_there_are_formulas() -> None:
    names = {_name(function) for function in public_functions()}

    assert {
        "elements.springs.coil.helical_rate",
        "layouts.wheel.wheel_axis",
        "numerics.rotations.rotation_matrix",
    } <= names


@pytest.mark.parametrize("function", list(public_functions()), ids=_name)
def test_every_number_that_goes_into_a_function_states_its_unit(function: AnyFunction) -> None:
    stated = stated_units(inspect.getdoc(function) or "")
    missing = numbers_in(function) - stated

    assert not missing, f"{_name(function)}: no [unit] in Args for {sorted(missing)}"


@pytest.mark.parametrize("function", [*public_functions(), *public_methods()], ids=_name)
def test_every_number_that_comes_out_states_its_unit(function: AnyFunction) -> None:
    gives_numbers = NUMBER.search(str(inspect.signature(function).return_annotation))
    has_unit = re.search(r"\[[^\]]+\]|, in [A-Za-z]+", inspect.getdoc(function) or "")

    assert has_unit or not gives_numbers, f"{_name(function)}: the result has no [unit]"


def stated_units(docstring: str) -> set[str]:
    """Parameters whose entry under Args, with its continuation lines, has a unit in brackets."""
    _, _, section = docstring.partition("Args:\n")
    block = re.split(r"\n(?=\S)", section)[0]
    items = re.split(r"\n(?= {4}\w+:)", "\n" + block)
    return {match.group(1) for item in items if (match := PARAMETER_WITH_UNIT.match(item.lstrip("\n")))}


def test_the_contract_reads_entries_over_several_lines() -> None:
    docstring = """Sentence.

Args:
    one: a length,
        along the bar [m]
    two: without a unit
    three: a ratio [-]

Returns:
    four: something [N]

"""
    assert stated_units(docstring) == {"one", "three"}
