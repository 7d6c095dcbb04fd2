"""`jounce shelf`: list, show, check, import, export."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.conventions.errors import InputError, InputProblems
from jounce.shelf.file import read_shelf
from tests.shelf.shelf_parts import CAR_FILE, SHELF_FILE, demo_shelf

SHELF, CAR = str(SHELF_FILE), str(CAR_FILE)


def run(*arguments: str, code: int = 0) -> str:
    """What the command prints."""
    result = CliRunner().invoke(commands, ["shelf", *arguments])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    assert result.exit_code == code, result.output
    return result.output


def codes(text: str) -> set[str]:
    """First words of the lines that list parts."""
    return {line.split()[0] for line in text.splitlines() if line.startswith("  ")}


def test_list_has_every_part_with_price_and_stock() -> None:
    text = run("list", SHELF)

    assert codes(text) == {one.code for one in demo_shelf().parts}
    assert "121.00 EUR" in text
    assert text.splitlines()[-1] == f"{len(demo_shelf().parts)} parts."


def test_list_by_kind_stock_and_fit() -> None:
    coils = {one.code for one in demo_shelf().parts if one.KIND == "coil"}
    stocked = {one.code for one in demo_shelf().parts if one.KIND == "coil" and one.stock}
    fitting = run("list", SHELF, "--kind", "coil", "--fits", CAR)

    assert codes(run("list", SHELF, "--kind", "coil")) == coils
    assert codes(run("list", SHELF, "--kind", "coil", "--in-stock")) == stocked < coils
    assert "C101-25-262" not in codes(fitting)
    assert {"C-25-262", "C61-25-200", "C-U2"} <= codes(fitting)
    assert "fits with P-61" in fitting
    assert "unknown rear: 2 to measure" in fitting
    assert "C101-25-262" in codes(run("list", SHELF, "--kind", "coil", "--fits", CAR, "--all"))


def test_list_as_json_is_in_si() -> None:
    told = json.loads(run("list", SHELF, "--kind", "torsion_bar", "--fits", CAR, "--json", "-"))
    bar = next(one for one in told["parts"] if one["code"] == "TB-22")

    assert told["unit_system"] == "SI"
    assert bar["diameter"] == {"value": 0.022, "plus_minus": 5e-05, "from": "calliper on the shelf"}
    assert bar["fit"] == "fits front"


def test_show_tells_what_is_known_unknown_and_why_it_does_not_fit() -> None:
    text = run("show", SHELF, "TB-U1", "--fits", CAR)

    assert "22 ± 0.3 mm" in text
    assert "calliper over paint" in text
    assert "overall_length  " in text.partition("unknown, to be measured:")[2]
    assert "Brisk 14, front: unknown" in text
    assert "rear with P-61: fits" in run("show", SHELF, "C61-25-200", "--fits", CAR, "--with", "P-61")
    assert "It fits together with P-61." in run("show", SHELF, "C61-25-200", "--fits", CAR)


def test_check_tells_problems_of_every_file(tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text('[coil.A]\nname = "a"\nplace = "rear"\nrate = 0\n', "utf-8")
    text = run("check", SHELF, str(bad), code=2)

    assert "parts read well" in text
    assert "coil.A.rate (line 4)" in text


def test_out_and_in_again(tmp_path: Path) -> None:
    run("export", SHELF, str(tmp_path / "parts"))
    run("export", SHELF, str(tmp_path / "all.csv"), "--wide", "--semicolon")
    run("import", *(str(path) for path in (tmp_path / "parts").iterdir()), "--out", str(tmp_path / "one.toml"))
    run("import", str(tmp_path / "all.csv"), "--out", str(tmp_path / "other.toml"))

    assert read_shelf(tmp_path / "other.toml") == demo_shelf()
    assert {one.code: one for one in read_shelf(tmp_path / "one.toml").parts} == {
        one.code: one for one in demo_shelf().parts
    }


def test_nothing_is_taken_in_half_unless_asked_for(tmp_path: Path) -> None:
    (tmp_path / "coil.csv").write_text("code,name,place,rate_n_per_mm\nA,a,rear,25\nB,b,rear,0\n", "utf-8")
    out = tmp_path / "out.toml"
    with pytest.raises(InputProblems, match="line 3, B, rate_n_per_mm"):
        run("import", str(tmp_path / "coil.csv"), "--out", str(out))
    assert not out.exists()
    text = run("import", str(tmp_path / "coil.csv"), "--out", str(out), "--keep-good")

    assert "left out: line 3, B" in text
    assert [one.code for one in read_shelf(out).parts] == ["A"]


def test_no_file_is_ever_replaced(tmp_path: Path) -> None:
    (tmp_path / "all.csv").write_text("mine", "utf-8")
    with pytest.raises(InputError, match="already"):
        run("export", SHELF, str(tmp_path / "all.csv"), "--wide")
    (tmp_path / "coil.csv").write_text("code,name,place\nA,a,rear\n", "utf-8")
    with pytest.raises(InputError, match="already"):
        run("import", str(tmp_path / "coil.csv"), "--out", str(tmp_path / "all.csv"))

    assert (tmp_path / "all.csv").read_text("utf-8") == "mine"


def test_a_kind_that_is_none_is_refused() -> None:
    with pytest.raises(InputError, match="no such kind"):
        run("list", SHELF, "--kind", "spring")


def test_example_writes_the_shelf(tmp_path: Path) -> None:
    result = CliRunner().invoke(commands, ["example", str(tmp_path / "demo")])

    assert result.exit_code == 0
    assert read_shelf(tmp_path / "demo" / "shelf.toml") == demo_shelf()
