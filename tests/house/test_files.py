"""The files: nothing in them ties the house to a machine or to one place to fetch packages from."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from tests.house.places import ROOT, kept_files, text_of

FILES = [path for path in kept_files() if path != Path(__file__)]
MACHINE_PATH = re.compile(r"(?<![\w.])/(?:home|root|work|tmp|opt|mnt|Users|usr/local)/\w|[A-Z]:\\\\?Users")
PACKAGE_HOST = re.compile(r"pypi\.\w+|pythonhosted|anaconda\.org|index-url|/simple/\w", re.IGNORECASE)


def test_the_house_is_found() -> None:
    kept = {path.relative_to(ROOT).as_posix() for path in FILES}

    assert {"Makefile", ".ci/run", "src/jounce/__init__.py", "docs/index.md", "constraints.txt"} <= kept
    assert not {name for name in kept if name.startswith((".venv/", "build/"))}


@pytest.mark.parametrize("pattern", [MACHINE_PATH, PACKAGE_HOST], ids=["machine path", "package host"])
def test_no_file_names_a_machine_or_a_package_host(pattern: re.Pattern[str]) -> None:
    found = [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()}"
        for path in FILES
        for number, line in enumerate(text_of(path).splitlines(), 1)
        if pattern.search(line)
    ]

    assert found == []


@pytest.mark.parametrize(
    ("pattern", "text"),
    [
        (MACHINE_PATH, "see /" + "home/somebody/car.toml"),
        (MACHINE_PATH, "cd /" + "tmp/build"),
        (PACKAGE_HOST, "from py" + "pi.org"),
        (PACKAGE_HOST, "--index" + "-url http://mirror"),
    ],
)
def test_the_patterns_do_find(pattern: re.Pattern[str], text: str) -> None:
    assert pattern.search(text)


def test_every_version_is_pinned_exactly() -> None:
    lines = (ROOT / "constraints.txt").read_text("utf-8").splitlines()
    pins = [line for line in lines if not line.startswith("#")]
    names = [_normal(line.partition("==")[0]) for line in pins]

    assert [line for line in pins if not re.fullmatch(r"[A-Za-z0-9_.-]+==[0-9][A-Za-z0-9.]*", line)] == []
    assert sorted(set(names)) == sorted(names)
    assert _direct_needs() - set(names) == set()


def _direct_needs() -> set[str]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    needs = [*project["build-system"]["requires"], *project["project"]["dependencies"]]
    needs += project["project"]["optional-dependencies"]["dev"]
    return {_normal(re.split(r"[<>=!~\[; ]", need)[0]) for need in needs}


def _normal(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()
