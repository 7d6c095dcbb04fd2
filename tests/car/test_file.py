"""Files are read with plain words about what is wrong, and written whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from jounce.car.file.reading import read_car
from jounce.car.file.toml_lines import line_of, lines_of_keys
from jounce.car.file.writing import write_whole
from jounce.conventions.errors import InputError


def test_reads_what_was_written(tmp_path: Path, car_text: str) -> None:
    write_whole(tmp_path / "car.toml", car_text)

    assert read_car(tmp_path / "car.toml").car.name == "Brisk 14, blue"
    assert [path.name for path in tmp_path.iterdir()] == ["car.toml"]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_files_of_other_editors_are_read(tmp_path: Path, car_text: str, encoding: str, newline: str) -> None:
    path = tmp_path / "car.toml"
    path.write_bytes(car_text.replace("\n", newline).encode(encoding))

    assert read_car(path).mass.front_left.plus_minus == 1


def test_syntax_error_names_file_line_and_column(tmp_path: Path) -> None:
    path = tmp_path / "car.toml"
    path.write_text("[car]\nname = 22.5 mm\n")
    with pytest.raises(InputError, match=r"car\.toml: .*at line 2, column 13.*quotation marks"):
        read_car(path)


@pytest.mark.parametrize(
    ("name", "words"), [("none.toml", "There is no such file"), (".", "cannot be read"), ("latin.toml", "UTF-8")]
)
def test_unreadable_files(tmp_path: Path, name: str, words: str) -> None:
    (tmp_path / "latin.toml").write_bytes("name = 'Zoë'".encode("latin-1"))
    with pytest.raises(InputError, match=words):
        read_car(tmp_path / name)


def test_very_deep_nesting_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "car.toml"
    path.write_text("a = " + "[" * 100_000)
    with pytest.raises(InputError):
        read_car(path)


def test_lines_of_keys() -> None:
    text = '''# [no.table]
[a]   # first
b = 1
c.d = 2
text = """
[not.a.table]
b = 3
"""
rows = [
  [1, 2],
  [3],
]
[ "e" . f ]
g = { h = 1 }
'''
    lines = lines_of_keys(text)

    assert lines["a",] == 2
    assert lines["a", "b"] == 3
    assert lines["a", "c", "d"] == 4
    assert ("not", "a", "table") not in lines
    assert lines["e", "f"] == 13
    assert line_of(("e", "f", "g", "h"), lines) == 14
    assert line_of(("z",), lines) is None
