"""`jounce book shelf`: the book's shelf from a file, all parts or none."""

from __future__ import annotations

from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.shelf.file import read_shelf
from tests.workbench import demo_text

BAD = '[coil.C-1]\nname = "one"\nplace = "rear"\nrate = 25\n\n[coil.C-2]\nname = "two"\nplace = "above"\n'


def told(book, file, *more):
    return CliRunner().invoke(commands, ["book", "shelf", book.place, str(file), "--by", "Ben", *more])


def test_the_shelf_is_filled_and_told(book, tmp_path):
    file = tmp_path / "shelf.toml"
    file.write_text(demo_text("shelf.toml"), encoding="utf-8")
    count = len(read_shelf(file).parts)
    assert f"{count} new parts, 0 changed, 0 as they were" in told(book, file).output
    file.write_text(demo_text("shelf.toml").replace("price = 127\n", "price = 129\n"), encoding="utf-8")
    assert f"0 new parts, 1 changed, {count - 1} as they were" in told(book, file).output
    changed = next(part for part in book.entries("part") if part.number == 2)
    assert [(v.by, v.note) for v in book.versions(changed.id)] == [("Ben", "from shelf.toml")] * 2


def test_one_bad_part_keeps_all_out_until_the_good_ones_are_asked_for(book, tmp_path):
    file = tmp_path / "shelf.toml"
    file.write_text(BAD, encoding="utf-8")
    refused = told(book, file)
    assert refused.exit_code != 0
    assert book.entries("part") == []
    kept = told(book, file, "--keep-good")
    assert "left out: coil.C-2.place (line 8)" in kept.output
    assert [part.name for part in book.entries("part")] == ["C-1"]
