"""The version that the program tells is the newest that the changelog has."""

from __future__ import annotations

import re
import tomllib

from tests.house.places import ROOT

CHANGELOG = (ROOT / "CHANGELOG.md").read_text("utf-8")
NUMBERS = re.findall(r"^## (\d+\.\d+\.\d+)", CHANGELOG, re.MULTILINE)


def test_the_newest_version_is_the_programs() -> None:
    assert NUMBERS[0] == tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["version"]


def test_versions_fall_and_each_but_the_first_has_its_day() -> None:
    falling = sorted(NUMBERS, key=lambda one: tuple(map(int, one.split("."))), reverse=True)

    assert falling == NUMBERS
    assert len(re.findall(r"^## \d+\.\d+\.\d+ – \d{4}-\d{2}-\d{2}$", CHANGELOG, re.MULTILINE)) == len(NUMBERS) - 1
