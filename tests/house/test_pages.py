"""The pages: generated parts are fresh, and what they name exists."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from generate.parts import PICTURES, generated_files, with_block
from jounce.conventions.signs import SIGNS
from tests.house.places import DOCS, ROOT

GENERATED = generated_files()
PAGES = [*sorted(DOCS.rglob("*.md")), *sorted(ROOT.glob("*.md"))]


@pytest.mark.parametrize("path", GENERATED, ids=lambda path: path.name)
def test_generated_part_is_fresh(path: Path) -> None:
    assert path.read_text("utf-8") == GENERATED[path], "stale: run `make docs` and commit what it wrote"


def test_a_page_without_its_marks_is_not_passed_over() -> None:
    with pytest.raises(ValueError, match="generated: signs"):
        with_block("a page", "signs", "a table")


def test_table_of_signs_has_every_sign() -> None:
    page = (DOCS / "conventions.md").read_text("utf-8")

    assert [row.name for row in SIGNS if f"`{row.name}`" not in page] == []


@pytest.mark.parametrize("name", PICTURES)
def test_picture_is_sound_described_and_shown(name: str) -> None:
    picture = ElementTree.fromstring((DOCS / "pictures" / name).read_text("utf-8"))  # noqa: S314  # our own text
    description = picture.findtext("{http://www.w3.org/2000/svg}desc")

    assert description
    assert f"(pictures/{name})" in (DOCS / "conventions.md").read_text("utf-8")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_links_lead_somewhere(page: Path) -> None:
    targets = re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", page.read_text("utf-8"))
    inside = [target for target in targets if "://" not in target]

    assert [target for target in inside if not (page.parent / target).exists()] == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_make_targets_named_in_a_page_exist(page: Path) -> None:
    targets = re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text("utf-8"), re.MULTILINE)
    named = re.findall(r"(?:`|^ *)make (?:[A-Z]+=\S+ )?([a-z]+)\b", page.read_text("utf-8"), re.MULTILINE)

    assert set(named) <= set(targets)
