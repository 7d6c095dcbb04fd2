"""A book as plain files, and back; and its backup."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import update

from jounce.book import open_book
from jounce.book.exchange import take_in, write_out
from jounce.book.tables import entry, version
from jounce.conventions.errors import InputError
from tests.book.rows import everything, rows_of


@pytest.fixture
def filled(book):
    owner = book.add("customer", "A. Example", "phone")
    car = book.add("car", "Brisk 14", "[car]\n", owner.id)
    car = book.save(replace(car, content='[car]\nname = "Brisk 14"\n'), "named")
    job = book.add("job", "lower / stiffer?", "[job]\n", car.id)
    book.attach(job.id, "sheet.pdf", "application/pdf", b"%PDF")
    book.add("car", "Other", "")
    return book


@pytest.fixture
def worn(filled):
    """A book as years leave it: entries, files and whole families taken out, moved, brought back; any sign in a text."""
    book = filled
    (job,) = book.entries("job")
    photo = book.attach(job.id, "../a b#?.jpg", "image/jpeg", bytes(range(256)) * 40)
    book.take_out(photo.id)
    other = book.add("customer", "B. Müller \u2067 / 雪", "line\r\nline\rline\x0b\u2028 'quote\" \\ \x7f")
    car = next(entry for entry in book.entries("car") if entry.name == "Brisk 14")
    book.save(replace(car, belongs_to=other.id), "sold")
    gone = book.add("customer", "gone", "")
    its = book.add("car", "also gone", "", gone.id)
    book.remove(its)
    book.restore(its.id, 1)
    book.remove(book.entry(its.id))
    book.remove(gone)
    shop = book.add("shop", "first paper", "")
    book.remove(shop)
    book.add("shop", "second paper", "")
    book.fill("part", {f"P-{k}": str(k) for k in range(30)})
    book.written_by("Ben").add("measurement", "weighed", "1", job.id)
    orphan = book.add("job", "orphan", "", book.add("car", "its car", "").id)
    with rows_of(book) as rows:  # as an earlier program could leave it: a job whose car is out
        rows.execute(update(entry).where(entry.c.id == orphan.belongs_to).values(removed=True))
        rows.execute(update(version).where(version.c.entry == orphan.belongs_to).values(removed=True))
    return book


def test_a_round_trip_is_identical_in_every_row(worn, tmp_path):
    count = write_out(worn, tmp_path / "out")
    other = open_book(tmp_path / "other.db", "Cleo", make=True)

    assert take_in(other, tmp_path / "out") == count == len(everything(worn)["entry"])
    assert everything(other) == everything(worn)
    write_out(other, tmp_path / "again")
    assert plain_files(tmp_path / "again") == plain_files(tmp_path / "out")


def plain_files(folder):
    return {path.relative_to(folder): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_only_the_owner_reads_what_goes_out(worn, tmp_path):
    write_out(worn, tmp_path / "out")
    paths = [tmp_path / "out", *(tmp_path / "out").rglob("*")]

    assert {path.stat().st_mode & 0o777 for path in paths} == {0o600, 0o700}


def test_whatever_stops_an_import_leaves_the_book_as_it_was(worn, tmp_path):
    write_out(worn, tmp_path / "out")
    (job_folder,) = (tmp_path / "out").glob("job-lower-*")
    (last,) = (tmp_path / "out").glob("measurement-*/history.json")
    told = json.loads(last.read_text(encoding="utf-8"))
    version = told["versions"][0]
    for found, damage in (
        ("cannot belong", lambda: version.update(belongs_to="nobody")),
        ("is no str", lambda: version.update(belongs_to=None, content=7)),
        ("numbered", lambda: version.update(content="", number=2)),
        ("not the one", lambda: version.update(number=1) or (job_folder / "001-sheet.pdf").write_bytes(b"%PDX")),
        ("No such file", (job_folder / "001-sheet.pdf").unlink),
    ):
        other = open_book(tmp_path / f"{found}.db", "Cleo", make=True)
        damage()
        last.write_text(json.dumps(told), encoding="utf-8")
        with pytest.raises(InputError, match=found):
            take_in(other, tmp_path / "out")
        assert everything(other) == {"entry": [], "version": [], "attachment": []}, found


def test_a_conflict_leaves_the_book_as_it_was(worn, tmp_path):
    write_out(worn, tmp_path / "out")
    other = open_book(tmp_path / "other.db", "Cleo", make=True)
    (part,) = [entry for entry in worn.entries("part") if entry.name == "P-7"]
    other.put_back([worn.versions(part.id)], [])
    other.save(replace(part, content="changed here"))
    before = everything(other)
    with pytest.raises(InputError, match="with other versions"):
        take_in(other, tmp_path / "out")

    assert everything(other) == before


READER = """
import sys
from pathlib import Path
from jounce.book import open_book
from jounce.book.exchange import take_in
book = open_book(sys.argv[1], "reader")
print("begins", flush=True)
take_in(book, Path(sys.argv[2]))
"""


@pytest.mark.sweep
@pytest.mark.parametrize("wait", [0.0, 0.004, 0.008, 0.012, 0.02, 0.03, 0.05, 0.1, 0.3])
def test_an_import_that_is_killed_leaves_all_or_nothing(worn, tmp_path, wait):
    (job,) = [entry for entry in worn.entries("job") if entry.name != "orphan"]
    for number in range(20):
        worn.attach(job.id, f"{number}.jpg", "image/jpeg", bytes([number]) * 100_000)
    write_out(worn, tmp_path / "out")
    other = open_book(tmp_path / "other.db", "Cleo", make=True)
    command = [sys.executable, "-c", READER, other.place, str(tmp_path / "out")]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, encoding="utf-8") as reader:  # noqa: S603
        assert reader.stdout.readline() == "begins\n"
        time.sleep(wait)
        reader.kill()

    came = everything(open_book(other.place, "Cleo"))
    assert came in (everything(worn), {"entry": [], "version": [], "attachment": []})


def test_an_export_is_of_one_moment_while_others_write(worn, tmp_path):
    ended = threading.Event()

    def write():
        hand = open_book(worn.place, "Ben")
        while not ended.is_set():
            owner = hand.add("customer", "next", "")
            hand.add("job", "its job", "", hand.add("car", "its car", "", owner.id).id)
            time.sleep(0.01)
        hand.close()

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for turn in range(3):
            count = write_out(worn, tmp_path / f"out{turn}")
            other = open_book(tmp_path / f"{turn}.db", "Cleo", make=True)
            assert take_in(other, tmp_path / f"out{turn}") == count
            other.close()
    finally:
        ended.set()
        writer.join(20)


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


def test_what_another_entry_belongs_to_is_not_taken_out_nor_put_under_what_was(filled):
    (owner,), (job,) = filled.entries("customer"), filled.entries("job")
    car = filled.entry(job.belongs_to)
    for above, below in ((owner, "Brisk 14"), (car, "lower / stiffer")):
        with pytest.raises(InputError, match=f"something belongs to it; found {below}"):
            filled.remove(above)
    filled.remove(job)
    filled.remove(car)
    with pytest.raises(InputError, match="taken out of the book; found Brisk 14"):
        filled.restore(job.id, 1)
    with pytest.raises(InputError, match="taken out of the book; found Brisk 14"):
        filled.add("job", "another", "", car.id)
    filled.restore(car.id, 1)
    assert not filled.restore(job.id, 1).removed


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
