"""A book as plain files, and back; and its backup."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from jounce.book import open_book
from jounce.book.exchange import take_in, write_out
from jounce.conventions.errors import InputError


@pytest.fixture
def filled(book):
    owner = book.add("customer", "A. Example", "phone")
    car = book.add("car", "Brisk 14", "[car]\n", owner.id)
    car = book.save(replace(car, content='[car]\nname = "Brisk 14"\n'), "named")
    job = book.add("job", "lower / stiffer?", "[job]\n", car.id)
    book.attach(job.id, "sheet.pdf", "application/pdf", b"%PDF")
    book.add("car", "Other", "")
    return book


def everything(book):
    entries = book.entries()
    return (
        {entry.id: book.versions(entry.id) for entry in entries},
        {entry.id: [(a, book.content_of(a.id)) for a in book.attachments(entry.id)] for entry in entries},
    )


def test_a_whole_book_goes_out_and_comes_back_with_its_history(filled, tmp_path):
    assert write_out(filled, tmp_path / "out") == 4
    other = open_book(tmp_path / "other.db", "Cleo", make=True)

    assert take_in(other, tmp_path / "out") == 4
    assert everything(other) == everything(filled)
    assert take_in(other, tmp_path / "out") == 4  # once more changes nothing
    assert everything(other) == everything(filled)


def test_one_job_goes_out_with_its_car_and_owner(filled, tmp_path):
    (job,) = filled.entries("job")
    assert write_out(filled, tmp_path / "out", job.id) == 3
    names = sorted(path.name.rsplit("-", 1)[0] for path in (tmp_path / "out").iterdir())

    assert names == ["car-brisk-14", "customer-a-example", "job-lower-stiffer"]
    (car,) = (tmp_path / "out").glob("car-*/car.toml")
    assert car.read_text(encoding="utf-8") == '[car]\nname = "Brisk 14"\n'


def test_damaged_files_are_refused_before_anything_is_read_in(filled, tmp_path):
    write_out(filled, tmp_path / "out")
    (sheet,) = (tmp_path / "out").glob("job-*/001-sheet.pdf")
    sheet.write_bytes(b"%PDX")
    other = open_book(tmp_path / "other.db", "Cleo", make=True)
    with pytest.raises(InputError, match="not the one that was written out"):
        take_in(other, tmp_path / "out")

    assert other.entries() == []


@pytest.mark.parametrize("damage", ["no json", "form", "no versions"])
def test_a_history_that_cannot_be_read_is_named(filled, tmp_path, damage):
    write_out(filled, tmp_path / "out")
    (history,) = (tmp_path / "out").glob("customer-*/history.json")
    told = json.loads(history.read_text(encoding="utf-8"))
    if damage == "form":
        told["form"] = 99
    if damage == "no versions":
        del told["versions"]
    history.write_text("{" if damage == "no json" else json.dumps(told), encoding="utf-8")
    other = open_book(tmp_path / "other.db", "Cleo", make=True)
    with pytest.raises(InputError, match=r"history\.json"):
        take_in(other, tmp_path / "out")

    assert other.entries() == []


def test_another_history_of_the_same_entry_is_refused(filled, tmp_path):
    write_out(filled, tmp_path / "out")
    (owner,) = filled.entries("customer")
    filled.save(replace(owner, content="moved"))
    with pytest.raises(InputError, match="with other versions"):
        take_in(filled, tmp_path / "out")


def test_folders_that_exist_are_left_alone(filled, tmp_path):
    (tmp_path / "out").mkdir()
    with pytest.raises(InputError, match="such a folder"):
        write_out(filled, tmp_path / "out")
    with pytest.raises(InputError, match="holds no entries"):
        take_in(filled, tmp_path / "out")


def test_a_backup_is_the_book_and_takes_no_name_that_is_used(filled, tmp_path):
    filled.back_up(tmp_path / "copy.db")
    copy = open_book(tmp_path / "copy.db", "Ann")

    assert everything(copy) == everything(filled)
    with pytest.raises(InputError, match="file of this name"):
        filled.back_up(tmp_path / "copy.db")
    with pytest.raises(InputError, match="no such folder"):
        filled.back_up(tmp_path / "none" / "copy.db")
    assert not list(Path(tmp_path).glob("*.unfinished"))
