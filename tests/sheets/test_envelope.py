"""All sheets in one envelope: each is in it whole, the list on top is right, and what is not in it says why."""

from __future__ import annotations

import io
import re

import pypdf
import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.conventions.errors import InputError
from jounce.sheets.catalogue import SHEETS, sheet
from jounce.sheets.envelope import ENVELOPE, JOB_SHEET, envelope
from jounce.sheets.paperwork import Paperwork, Printout
from tests.sheets.cases import demo_case
from tests.workbench import demo_text


def plain(text: str) -> str:
    return re.sub(r"\s+", " ", text)


@pytest.fixture(scope="module")
def bound():
    out = Printout(demo_case(), Paperwork())

    def of(_word, kind):
        if kind is not None and kind.priced:
            raise InputError("Money needs the shop's file and the shelf", todo="Name them.")
        return out

    return pypdf.PdfReader(io.BytesIO(envelope(out, of)))


def test_every_sheet_is_in_it_whole_and_in_order(bound):
    """Page by page the text of each sheet as it is printed by itself."""
    out = Printout(demo_case(), Paperwork())
    marks = {mark.title: bound.get_destination_page_number(mark) for mark in bound.outline}
    words = {kind.name: word for word, kind in SHEETS.items() if not kind.priced}

    assert list(marks) == [ENVELOPE, JOB_SHEET, *words]
    for name, word in words.items():
        alone = pypdf.PdfReader(io.BytesIO(sheet(word, out))).pages
        for number, page in enumerate(alone):
            assert plain(bound.pages[marks[name] + number].extract_text()) == plain(page.extract_text()), name


def test_the_list_on_top_says_where_each_begins_and_why_something_is_not_in_it(bound):
    top = plain(bound.pages[0].extract_text())
    marks = {mark.title: bound.get_destination_page_number(mark) + 1 for mark in bound.outline}
    ends = [*list(marks.values())[2:], len(bound.pages) + 1]

    for (name, first), after in zip(list(marks.items())[1:], ends, strict=True):
        use = next((kind.use for kind in SHEETS.values() if kind.name == name), "For bay and file")
        row = top[top.index(f"{name} {use.split()[0]}") :]
        assert re.search(rf"^.*?\b{first} {after - first}\b", row[:160]), (name, first, after, row[:160])
    assert "Quote: Money needs the shop's file" in top


def asked(folder, file, *options):
    for name in ("brisk-14.toml", "brisk-14-lower.toml", "shop.toml", "shelf.toml"):
        (folder / name).write_text(demo_text(name), "utf-8")
    words = ["sheet", "envelope", str(folder / file), "--out", str(folder / "all.pdf"), *options]
    return CliRunner().invoke(commands, words)


@pytest.mark.validation_long
def test_the_command_writes_all_with_prices(tmp_path):
    money = ["--shop", str(tmp_path / "shop.toml"), "--shelf", str(tmp_path / "shelf.toml")]
    done = asked(tmp_path, "brisk-14-lower.toml", *money)

    assert done.exit_code == 0, done.output
    read = pypdf.PdfReader(tmp_path / "all.pdf")
    assert [mark.title for mark in read.outline] == [ENVELOPE, JOB_SHEET, *(kind.name for kind in SHEETS.values())]
    assert "Not in it" not in read.pages[0].extract_text()


def test_a_car_has_no_envelope(tmp_path):
    done = asked(tmp_path, "brisk-14.toml")

    assert isinstance(done.exception, InputError)
    assert "An envelope is of a job" in str(done.exception)
    assert not (tmp_path / "all.pdf").exists()
