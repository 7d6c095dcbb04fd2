"""The shelf in and out: every part comes back as it was; whatever is wrong is told at once; nothing is taken in half."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from jounce.car.file.writing import write_new
from jounce.conventions.errors import InputError, InputProblems
from jounce.shelf.csv_in import parse_csv
from jounce.shelf.csv_out import csv_files, wide_csv
from jounce.shelf.file import read_csv_files, read_shelf
from jounce.shelf.kinds import KINDS
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml, toml_text
from tests.shelf.shelf_parts import SHELF_FILE, demo_shelf, part, shelves

SLOW = settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


@SLOW
@given(shelf=shelves())
def test_toml_gives_back_every_part_exactly(shelf: Shelf) -> None:
    assert parse_toml(toml_text(shelf), "shelf").whole("shelf") == shelf


@SLOW
@given(shelf=shelves())
@pytest.mark.parametrize("semicolon", [False, True])
def test_wide_csv_gives_back_every_part_exactly(shelf: Shelf, *, semicolon: bool) -> None:
    first = parse_toml(toml_text(shelf), "shelf").whole("shelf")
    back = parse_csv(wide_csv(first, semicolon=semicolon), "shelf").whole("shelf")

    assert back == first == shelf
    assert toml_text(back) == toml_text(shelf)


@pytest.mark.parametrize("semicolon", [False, True])
def test_one_csv_for_each_kind_gives_back_the_demo_shelf(tmp_path: Path, *, semicolon: bool) -> None:
    texts = csv_files(demo_shelf(), semicolon=semicolon)
    write_new({tmp_path / name: "\ufeff" + text for name, text in texts.items()})
    back = read_csv_files([tmp_path / name for name in texts]).whole("parts")

    assert set(texts) == {f"{kind}.csv" for kind in KINDS}
    assert back == demo_shelf()


def test_units_of_a_head_and_of_a_cell_are_read() -> None:
    text = "code,name,place,free_length_in,free_length_plus_minus_in,rate_lbf_per_in,inner_diameter_mm\n"
    text += "A,a,rear,10,0.1,140,2.5 in\nB,b,rear,10 ± 0.2,,25 N/mm,60\n"
    one, other = parse_csv(text, "coil.csv", "coil").whole("coil.csv").parts

    assert (one.free_length.value, one.free_length.plus_minus) == pytest.approx((0.254, 0.00254), rel=1e-12)
    assert one.rate.value == pytest.approx(140 * 175.126835, rel=1e-6)
    assert one.inner_diameter.value == pytest.approx(0.0635, rel=1e-12)
    assert (other.free_length.value, other.free_length.plus_minus) == pytest.approx((0.254, 0.00508), rel=1e-12)
    assert other.rate.value == 25000


def test_decimal_comma_goes_with_semicolons_and_tabs_only() -> None:
    rows = "code{0}name{0}place{0}free_length_mm\nA{0}a{0}rear{0}262,5\n"
    for sign in (";", "\t"):
        (one,) = parse_csv(rows.format(sign), "coil.csv", "coil").whole("coil.csv").parts
        assert one.free_length.value == pytest.approx(0.2625, rel=1e-12)
    quoted = 'code,name,place,free_length_mm\nA,a,rear,"262,5"\n'
    (problem,) = parse_csv(quoted, "coil.csv", "coil").problems

    assert "point, not a comma" in str(problem)
    assert problem.place == "line 2, A, free_length_mm"


def test_a_point_among_decimal_commas_is_not_guessed_at() -> None:
    text = "code;name;place;free_length_mm\nA;a;rear;262,5\nB;b;rear;1.250\n"
    reading = parse_csv(text, "coil.csv", "coil")

    assert [one.code for one in reading.good.parts] == ["A"]
    assert [problem.place for problem in reading.problems] == ["line 3, B, free_length_mm"]


BAD = """kind,code,name,place,free_length_mm,rate_n_per_mm,diameter_mm,price,currency,rate,sprng
coil,A,a,rear,300,25,,,,,
coil,B,,raer,300,9999,,,,,
coil,A,again,rear,300,25,,,,,

sprocket,C,c,rear,,,,,,,
torsion_bar,D,d,front,300,,22,12,,,
coil,,e,rear,300,25,,,,,
coil,F,f,rear,300,25,,1.234,EUR,,
"""


def test_all_that_is_wrong_with_a_csv_is_told_at_once_with_its_line() -> None:
    reading = parse_csv(BAD, "all.csv")
    told = {(problem.place, problem.message.split(";")[0].split(". ")[0]) for problem in reading.problems}

    assert told == {
        ("line 1", "This column does not say its unit"),
        ("line 1", "This column is not known"),
        ("line 3, B, name", '"name" is missing'),
        ("line 3, B, place", "This is not one of the choices"),
        ("line 3, B, rate_n_per_mm", "The value is out of range"),
        ("line 4, A, code", "This code is given twice"),
        ("line 6, kind", "This kind of part is not known"),
        ("line 7, D, free_length_mm", 'A part of the kind "torsion_bar" has no such column'),
        ("line 7, D, currency", "The price has no currency"),
        ("line 8", '"code" is missing'),
        ("line 9, F, price", "This is not a price"),
    }
    assert [one.name for one in reading.good.parts] == ["a"]
    with pytest.raises(InputProblems, match=r"^all\.csv: 11 problems found"):
        reading.whole("all.csv")


def test_a_problem_says_what_was_found_what_is_allowed_and_what_to_do() -> None:
    (problem,) = parse_csv("code,name,place,rate_n_per_mm\nB,b,rear,9999\n", "coil.csv", "coil").problems

    assert (problem.found, problem.allowed) == ("9999 N/mm", "3 to 250 N/mm")
    assert problem.todo


def test_lines_are_counted_as_an_editor_counts_them() -> None:
    text = 'code,name,place,rate_n_per_mm\nA,"two\nlines",rear,25\n\nB,b,rear,0\n'

    assert [problem.place for problem in parse_csv(text, "coil.csv", "coil").problems] == ["line 5, B, rate_n_per_mm"]


def test_a_quotation_mark_that_is_not_closed_swallows_no_part() -> None:
    text = 'code,name,place,supplier_note\nA,a,rear,"half a note\nB,b,rear,\n'

    with pytest.raises(InputError, match=r"^coil\.csv, line 2: The file is not valid CSV"):
        parse_csv(text, "coil.csv", "coil")


def test_a_line_with_too_many_cells_is_refused_not_shifted() -> None:
    (problem,) = parse_csv("code,name,place\nA,springs, long,rear\n", "coil.csv", "coil").problems

    assert "more cells than the head" in problem.message


@pytest.mark.parametrize("text", ["=1+1", "+49 12", "-5", "@here", "'quoted", "plain"])
def test_no_text_becomes_a_formula(text: str) -> None:
    shelf = Shelf((part("coil", f'supplier_note = "{text}"\nrate = 25\n'),))
    written = wide_csv(shelf)
    cells = written.splitlines()[1].split(",")

    assert not any(cell.startswith(("=", "+", "@")) for cell in cells)
    assert parse_csv(written, "all.csv").whole("all.csv") == shelf


def test_a_csv_must_say_which_parts_it_holds(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("code,name\nA,a\n", "utf-8")
    with pytest.raises(InputError, match="not clear which parts"):
        read_shelf(tmp_path / "list.csv")
    (tmp_path / "coil.csv").write_text("code,name,place\nA,a,rear\n", "utf-8")

    assert read_shelf(tmp_path / "coil.csv").part("A").KIND == "coil"


def test_toml_tells_all_that_is_wrong_with_its_line() -> None:
    text = '[coil.A]\nname = "a"\nplace = "rear"\nrate = "12 kg"\n[coil."B.1"]\nplace = "rear"\nfree_lenght = 3\n'
    text += '[roll_bar.A]\nname = "a"\nplace = "front"\n[spring.X]\nname = "x"\n'
    text += '[coil.C]\ncode = "D"\nname = "c"\nplace = "rear"\n'
    places = [problem.place for problem in parse_toml(text, "shelf.toml").problems]

    assert places == [
        "coil.A.rate (line 4)",
        "coil.B.1 (line 5), name",
        "coil.B.1.free_lenght (line 7)",
        "coil.C.code (line 14)",
        "roll_bar.A (line 8)",
        "spring (line 11)",
    ]


@pytest.mark.parametrize("text", ["coil = 3\n", "[coil]\nrate = 3\n", "rate = 3\n"])
def test_toml_that_holds_no_parts_is_told_plainly(text: str) -> None:
    with pytest.raises(InputProblems):
        parse_toml(text, "shelf.toml").whole("shelf.toml")


def test_nothing_is_replaced_and_a_refused_set_of_files_writes_none(tmp_path: Path) -> None:
    old = tmp_path / "b.csv"
    old.write_text("mine", "utf-8")
    with pytest.raises(InputError, match="already"):
        write_new({tmp_path / "a.csv": "new", old: "new"})

    assert old.read_text("utf-8") == "mine"
    assert not (tmp_path / "a.csv").exists()


def test_codes_are_found_and_misspelt_ones_answered() -> None:
    assert demo_shelf().part("C-25-262").name.startswith("coil springs 25")
    with pytest.raises(InputError, match=re.escape('Did you mean "C-25-262"?')):
        demo_shelf().part("C-25-26")


def test_demo_file_is_as_it_would_be_written() -> None:
    """Its numbers stand in their shortest form, so that an export and an import change nothing."""
    plain = [line for line in SHELF_FILE.read_text("utf-8").splitlines() if line and not line.startswith("#")]

    assert plain == [line for line in toml_text(demo_shelf()).splitlines() if line]
