"""Entries are kept with every version; the later save sees the earlier one."""

from __future__ import annotations

import threading
from dataclasses import replace

import pytest
from sqlalchemy import update

from jounce.book import open_book
from jounce.book.book import LARGEST_FILE, LONGEST_NAME, Filled, Overtaken
from jounce.book.tables import attachment
from jounce.conventions.errors import InputError
from tests.book.rows import rows_of


def test_every_version_is_kept_with_when_and_by_whom(book):
    car = book.add("car", "Brisk 14 of A. Example", "first")
    second = book.written_by("Ben").save(replace(car, content="second"), note="camber measured again")
    told = book.versions(car.id)

    assert [(v.entry.number, v.entry.content, v.by, v.note) for v in told] == [
        (1, "first", "Ann", ""),
        (2, "second", "Ben", "camber measured again"),
    ]
    assert told[0].at <= told[1].at
    assert book.entry(car.id) == second


def test_the_later_save_sees_the_earlier_change_instead_of_overwriting_it(book):
    car = book.add("car", "Brisk", "as measured")
    mine, theirs = book, book.written_by("Ben")
    theirs.save(replace(car, content="by Ben"))
    with pytest.raises(Overtaken, match=r"changed by Ben .* Nothing was overwritten") as refused:
        mine.save(replace(car, content="by Ann"))

    assert refused.value.theirs.entry.content == "by Ben"
    assert book.entry(car.id).content == "by Ben"


def test_many_hands_at_once_lose_nothing(book):
    car = book.add("car", "Brisk", "0")
    done, refused = [], []

    def add_one(name):
        hand = open_book(book.place, name)
        for _ in range(5):
            while True:
                now = hand.entry(car.id)
                try:
                    done.append(hand.save(replace(now, content=str(int(now.content) + 1))).number)
                    break
                except Overtaken as told:
                    refused.append(told)
        hand.close()

    hands = [threading.Thread(target=add_one, args=(name,)) for name in ("Ann", "Ben", "Cleo", "Dan")]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()

    assert book.entry(car.id).content == "20"
    assert sorted(done) == list(range(2, 22))


def test_what_is_taken_out_can_be_brought_back(book):
    car = book.add("car", "Brisk", "measured")
    book.remove(car)

    assert book.entries("car") == []
    assert book.restore(car.id, 1).number == 3
    assert [entry.content for entry in book.entries("car")] == ["measured"]
    with pytest.raises(InputError, match="no such version"):
        book.restore(car.id, 9)


def test_entries_are_found_by_kind_and_by_what_they_belong_to(book):
    owner = book.add("customer", "A. Example", "")
    car = book.add("car", "Brisk", "", owner.id)
    job = book.add("job", "lower", "", car.id)

    assert book.entries("car") == [car]
    assert book.entries(belongs_to=car.id) == [job]
    assert [entry.kind for entry in book.entries()] == ["customer", "car", "job"]


@pytest.mark.parametrize(("kind", "to"), [("job", "customer"), ("car", "job"), ("part", "car")])
def test_an_entry_belongs_only_where_it_makes_sense(book, kind, to):
    owner = book.add("customer", "A. Example", "")
    car = book.add("car", "Brisk", "")
    job = book.add("job", "lower", "", car.id)
    place = {"customer": owner, "car": car, "job": job}[to]
    with pytest.raises(InputError, match="cannot belong to that"):
        book.add(kind, "something", "", place.id)


def test_nothing_belongs_to_what_is_not_there(book):
    with pytest.raises(InputError, match="cannot belong"):
        book.add("car", "Brisk", "", "no-such-id")
    assert book.entries() == []


@pytest.mark.parametrize("name", ["", "   ", "x" * 201])
def test_a_name_that_says_nothing_is_refused(book, name):
    with pytest.raises(InputError, match="needs a name"):
        book.add("car", name, "")


def test_files_come_back_as_they_went_in(book):
    job = book.add("job", "lower", "")
    put = book.attach(job.id, "before.jpg", "image/jpeg", b"\xff\xd8\x00photo")

    assert book.attachments(job.id) == [put]
    assert book.content_of(put.id) == b"\xff\xd8\x00photo"
    with pytest.raises(InputError, match="no such file"):
        book.content_of("nothing")
    with pytest.raises(InputError, match="too large"):
        book.attach(job.id, "film.mp4", "video/mp4", b"x" * (LARGEST_FILE + 1))


def test_an_unknown_entry_is_said_plainly(book):
    with pytest.raises(InputError, match="no such entry"):
        book.entry("nothing")
    with pytest.raises(InputError, match="no such entry"):
        book.versions("nothing")


def test_many_are_put_in_at_once_and_only_what_differs_gets_a_version(book):
    assert book.fill("part", {"A": "1", "B": "1"}, "from a file") == Filled(2, 0, 0)
    assert book.written_by("Ben").fill("part", {"A": "1", "B": "2", "C": "1"}) == Filled(1, 1, 1)

    assert [(p.name, p.content, p.number) for p in book.entries("part")] == [
        ("A", "1", 1),
        ("B", "2", 2),
        ("C", "1", 1),
    ]
    changed = next(part for part in book.entries("part") if part.name == "B")
    assert [(v.by, v.note) for v in book.versions(changed.id)] == [("Ann", "from a file"), ("Ben", "")]


def test_of_many_none_is_put_in_when_one_cannot_be(book):
    book.fill("part", {"A": "1"})
    with pytest.raises(InputError, match="needs a name"):
        book.fill("part", {"A": "2", "B": "2", " ": "2"})
    with pytest.raises(InputError, match="No such kind"):
        book.fill("nut", {"A": "2"})
    book.save(replace(book.entries("part")[0], name="B" * 200))

    def fails(*_):
        raise RuntimeError("the disk is full")

    book._keep = fails  # as if writing failed half-way
    with pytest.raises(RuntimeError):
        book.fill("part", {"C": "1", "D": "1"})
    assert [part.content for part in book.entries("part")] == ["1"]


def test_a_file_that_was_taken_out_keeps_its_content_and_comes_back(book):
    car = book.add("car", "Brisk", "")
    photo = book.attach(car.id, "a.jpg", "image/jpeg", b"photo")
    book.written_by("Ben").take_out(photo.id)

    assert book.attachments(car.id) == []
    (gone,) = book.attachments(car.id, removed=True)
    assert (gone.removed_by, book.content_of(photo.id)) == ("Ben", b"photo")
    assert gone.removed_at is not None
    book.bring_back(photo.id)
    assert book.attachments(car.id) == [photo]
    with pytest.raises(InputError, match="no such file"):
        book.take_out("none")


@pytest.mark.parametrize("kind", ["shop", "rules", "phrases"])
def test_a_book_has_one_shop_and_one_set_of_rules(book, kind):
    first = book.add(kind, "ours", "")
    with pytest.raises(InputError):
        book.add(kind, "another", "")
    assert book.entries(kind) == [first]
    book.remove(first)
    assert book.add(kind, "a new one", "").number == 1


@pytest.mark.parametrize("damage", [{"content": b"\0"}, {"content": bytes(5)}, {"sha256": "A" * 64}])
def test_a_file_that_is_not_what_was_put_in_is_never_handed_out(book, damage):
    car = book.add("car", "Brisk", "")
    photo = book.attach(car.id, "a.jpg", "image/jpeg", b"photo")
    with rows_of(book) as rows:
        rows.execute(update(attachment).values(**damage))
    with pytest.raises(InputError, match="This file is damaged"):
        book.content_of(photo.id)


def test_the_largest_file_and_the_longest_name_are_taken(book):
    car = book.add("car", "n" * LONGEST_NAME, "")
    put = book.attach(car.id, "film.mp4", "video/mp4", bytes(LARGEST_FILE))

    assert (put.size, book.entry(car.id).name) == (50 * 2**20, "n" * 200)
