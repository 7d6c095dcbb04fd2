"""Under which licence the program is, and what stands under which one beside it."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import PackageNotFoundError, metadata

import pytest

from tests.house.places import ROOT

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
PAGE = (ROOT / "docs" / "third-party.md").read_text("utf-8")
ROWS = dict(re.findall(r"^\| ([\w-]+) \| ([^|]+) \|", PAGE, re.MULTILINE))
EXTRAS = PROJECT["project"]["optional-dependencies"]
NEEDED = {
    re.split(r"[\[>=<]", one)[0].lower()
    for one in (*PROJECT["project"]["dependencies"], *(one for extra in EXTRAS.values() for one in extra))
} | set(PROJECT["build-system"]["requires"])


def test_the_licence_is_stated_in_the_file_and_in_the_package() -> None:
    text = (ROOT / "LICENSE").read_text("utf-8")

    assert text.startswith("MIT License")
    assert "the jounce developers" in text
    assert "WITHOUT WARRANTY OF ANY KIND" in text
    assert (PROJECT["project"]["license"], PROJECT["project"]["license-files"]) == ("MIT", ["LICENSE"])
    assert "/LICENSE" in PROJECT["tool"]["hatch"]["build"]["targets"]["sdist"]["include"]


def test_every_library_stands_on_the_page_and_no_other() -> None:
    assert set(ROWS) - {"library", "---"} == NEEDED


@pytest.mark.parametrize("name", sorted(NEEDED))
def test_a_library_states_the_licence_that_the_page_tells(name: str) -> None:
    try:
        told = metadata(name)
    except PackageNotFoundError:
        pytest.skip("not installed here")
    stated = told.get_all("License-Expression") or [""]
    expression = str(stated[0])
    if not expression or expression.startswith("LicenseRef"):
        pytest.skip("the package states it in words of its own")
    missing = [word for word in re.split(r" AND | OR ", expression) if word not in ROWS[name]]

    assert missing == []


def test_what_is_under_the_lgpl_is_never_needed() -> None:
    needed = {re.split(r"[\[>=<]", one)[0].lower() for one in PROJECT["project"]["dependencies"]}

    under = {name for name, licence in ROWS.items() if "GPL" in licence}

    assert under == {"psycopg", "pi-heif"}
    assert not under & needed
