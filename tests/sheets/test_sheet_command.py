"""`jounce sheet` from files: a quote with prices, and what it says to a mistake."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from functools import cache
from pathlib import Path

import pypdf
import pytest
from typer.testing import CliRunner

from jounce.book import open_book
from jounce.case.case import case_of_file
from jounce.cli.app import commands
from jounce.cli.book import shelf
from jounce.cli.shop_day import quote
from jounce.conventions.errors import InputError, JounceError
from jounce.sheets.promise import promised_by
from tests.sheets.cases import demo_text

MONEY = ["--shop", "{folder}/shop.toml", "--shelf", "{folder}/shelf.toml"]


@pytest.fixture
def folder(tmp_path):
    for name in ("brisk-14.toml", "brisk-14-lower.toml", "shop.toml", "shelf.toml"):
        (tmp_path / name).write_text(demo_text(name), encoding="utf-8")
    bare = demo_text("brisk-14-lower.toml").partition("# Codes of these parts")[0]
    (tmp_path / "bare.toml").write_text(bare, encoding="utf-8")
    return tmp_path


@cache
def runner():
    return CliRunner()


def run(folder: Path, kind: str, file: str, *options: str):
    words = [kind, str(folder / file), "--out", str(folder / "sheet.pdf"), *(o.format(folder=folder) for o in options)]
    result = runner().invoke(commands, ["sheet", *words])
    if isinstance(result.exception, JounceError):
        raise result.exception
    assert result.exit_code == 0, result.output
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(folder / "sheet.pdf").pages)


def test_an_order_list_of_two_packages(folder):
    told = run(
        folder,
        "order",
        "brisk-14-lower.toml",
        *MONEY,
        "--part",
        "TB-21",
        "--package",
        "better: TB-21, P-61=2",
        "--work",
        "shorten tube=0.5",
        "--despite",
        "to show what these parts would do",
    )

    for words in ("Package: as asked", "Package: better", "P-61", "shorten tube: 0.5 h"):
        assert words in told


def test_a_baseline_of_a_car_file_on_letter_in_inches(folder):
    told = run(folder, "baseline", "brisk-14.toml", "--paper", "letter", "--units", "inch")

    assert "wheel centre to arch [in]" in told
    assert "13.583 ± 0.079" in told


@pytest.mark.parametrize(
    ("kind", "file", "options", "says"),
    [
        ("poster", "brisk-14.toml", [], "no such sheet"),
        ("alignment", "brisk-14.toml", [], "Name a job file"),
        ("alignment", "brisk-14-lower.toml", ["--paper", "a3"], "a4 or letter"),
        ("alignment", "brisk-14-lower.toml", ["--units", "cubits"], "cubits"),
        ("quote", "brisk-14-lower.toml", ["--part", "TB-21"], "--shop shop.toml"),
        ("quote", "brisk-14-lower.toml", MONEY[:2], "--shelf shelf.toml"),
        ("quote", "bare.toml", MONEY, "--part CODE"),
        ("quote", "brisk-14-lower.toml", [*MONEY, "--part", "TB-21", "--part", "P-61=2"], "lives depend"),
        ("quote", "brisk-14-lower.toml", [*MONEY, "--part", "TB-2100"], "No part has this code"),
        ("quote", "brisk-14-lower.toml", [*MONEY, "--part", "TB-21=two"], "CODE=2"),
        ("quote", "brisk-14-lower.toml", [*MONEY, "--package", "TB-21"], "name and codes"),
        ("quote", "brisk-14-lower.toml", [*MONEY, "--part", "TB-21", "--work", "align"], "alignment=1.5"),
    ],
)
def test_a_mistake_is_told_before_anything_is_written(folder, kind, file, options, says):
    with pytest.raises(InputError, match=says):
        run(folder, kind, file, *options)

    assert not (folder / "sheet.pdf").exists()


def test_a_sheet_of_a_job_in_a_book_promises_and_another_keeps_nothing(folder):
    """The same numbers as the page keeps: those of the planned car that have a band."""
    with closing(open_book(folder / "shop.db", "Ann", make=True)) as book:
        car = book.add("car", "Brisk 14", demo_text("brisk-14.toml"))
        job = book.add("job", "lower", demo_text("brisk-14-lower.toml"), car.id)
        run(folder, "set-up", "brisk-14-lower.toml", "--book", str(folder / "shop.db"), "--by", "Ben")
        told = {one.promised.key: one.promised for one in book.promises(job.id)}
        case = case_of_file(folder / "brisk-14-lower.toml")
        assert told == {one.key: one for one in promised_by(case)}
        assert told
        assert {(one.number, one.owner_number, one.sheet, one.by) for one in book.promises()} == {
            (1, 1, "set-up", "Ben")
        }

        changed = demo_text("brisk-14.toml").replace("345", "346", 1)
        (folder / "brisk-14.toml").write_text(changed, encoding="utf-8")
        (folder / "sheet.pdf").unlink()
        book.save(replace(job, content=f"{job.content}\n# later\n"), "a remark")
        run(folder, "set-up", "brisk-14-lower.toml", "--book", str(folder / "shop.db"))
        run(folder, "baseline", "brisk-14.toml", "--book", str(folder / "shop.db"))
        assert {one.number for one in book.promises()} == {1}, "another car than the book's, and a car alone"
        words = ["set-up", str(folder / "brisk-14-lower.toml"), "--out", str(folder / "sheet.pdf")]
        result = runner().invoke(commands, ["sheet", *words, "--book", str(folder / "shop.db")])
        assert "Its ledger keeps nothing" in result.output


def test_the_sheet_that_a_job_writes_promises_too_and_a_job_alone_nothing(folder):
    place, file = str(folder / "shop.db"), str(folder / "brisk-14-lower.toml")
    with closing(open_book(place, "Ann", make=True)) as book:
        car = book.add("car", "Brisk 14", demo_text("brisk-14.toml"))
        job = book.add("job", "lower", demo_text("brisk-14-lower.toml"), car.id)
        printed = ["job", file, "--sheet", str(folder / "sheet.pdf"), "--despite", "a trial", "--by", "Ben"]
        runner().invoke(commands, [*printed, "--book", place])
        told = {one.promised.key: one.promised for one in book.promises(job.id)}

        assert told == {one.key: one for one in promised_by(case_of_file(folder / "brisk-14-lower.toml"))}
        assert {(one.sheet, one.by) for one in book.promises()} == {("job", "Ben")}
    alone = runner().invoke(commands, ["job", file, "--book", place])
    assert "A job alone promises nothing" in str(alone.exception or alone.output)


def test_a_quote_of_a_book_promises_as_its_page_does(folder):
    place = str(folder / "shop.db")
    with closing(open_book(place, "Ann", make=True)) as book:
        car = book.add("car", "Brisk 14", demo_text("brisk-14.toml"))
        job = book.add("job", "lower", demo_text("brisk-14-lower.toml"), car.id)
        book.add("shop", "shop", demo_text("shop.toml"))
        shelf(place, folder / "shelf.toml", "Ann")
        quote(place, "lower", folder / "quote.pdf", despite="to show what it would cost", by="Ben")

        assert {one.promised.key for one in book.promises(job.id)} == {
            one.key for one in promised_by(case_of_file(folder / "brisk-14-lower.toml"))
        }
        assert {(one.sheet, one.by) for one in book.promises()} == {("quote", "Ben")}
