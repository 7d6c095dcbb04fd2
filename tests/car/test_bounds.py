"""What a small file can make of memory and time is bounded before it is read; every bound is tried at its edge."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from jounce.car.file.bounds import DEEPEST, LARGEST, LONGEST_LINE, MOST_KEYS, MOST_KEYS_OF_DOCUMENT, MOST_LINES
from jounce.car.file.reading import parse_car, read_text, read_toml
from jounce.conventions.errors import InputError
from jounce.shelf.csv_in import csv_entries, parse_csv
from jounce.shelf.parse import MOST_WRONG
from jounce.shelf.toml import parse_toml
from jounce.web.api.checking import read_json


def keys(count):
    return "".join(f"k{n}=1\n" for n in range(count))


EDGES = {
    "line": (lambda n: read_toml(f"a = '{'x' * (n - 6)}'", "f"), LONGEST_LINE, r"line 1: The line is too long"),
    "keys": (lambda n: read_toml(keys(n), "f"), MOST_KEYS, "too many keys"),
    "tables": (lambda n: read_toml("".join(f"[t{k}]\n" for k in range(n)), "f"), MOST_KEYS, "too many keys"),
    "inline": (lambda n: read_toml("".join(f"k{k}={{a=1,b=2,c=3}}\n" for k in range(n // 4)) + keys(n % 4), "f"),
               MOST_KEYS, "too many keys"),
    "dotted": (lambda n: read_toml("x = 1\n" + ".".join("a" * n) + " = 1", "f"), DEEPEST, "line 2: A key has too many"),
    "head": (lambda n: read_toml(f"[{' . '.join('a' * n)}]", "f"), DEEPEST, "line 1: A key has too many"),
    "quoted": (lambda n: read_toml(".".join(['"a b"'] * n) + " = 1", "f"), DEEPEST, "A key has too many"),
    "inline dotted": (lambda n: read_toml(f"x = {{{'.'.join('a' * n)} = 1}}", "f"), DEEPEST, "A key has too many"),
    "lines": (lambda n: csv_entries("code\n" + "\n" * (n - 1), "coil"), MOST_LINES, "too many lines"),
    "bytes": (lambda n: read_toml("#" + "x" * 9998 + ("\n#" + "x" * 9998) * (n // 10000 - 1) + "\n" + "\n" * (n % 10000),
                                  "f"), LARGEST, "too large"),
    "names": (lambda n: read_json(b"[" + b",".join([b'{"a" :1}'] * n) + b"]"), 20_000, "too many names"),
}  # fmt: skip


@pytest.mark.parametrize("edge", EDGES)
def test_a_bound_holds_at_its_edge(edge):
    read, most, said = EDGES[edge]
    read(most)
    with pytest.raises(InputError, match=said):
        read(most + 1)


def test_a_document_has_fewer_keys_than_a_shelf():
    with pytest.raises(InputError, match="problems found"):  # they are all unknown
        parse_car(keys(MOST_KEYS_OF_DOCUMENT), "car.toml")
    with pytest.raises(InputError, match=r"car\.toml: The file has too many keys"):
        parse_car(keys(MOST_KEYS_OF_DOCUMENT + 1), "car.toml")


def test_texts_and_comments_may_hold_what_keys_may_not():
    points = ".".join("abcdefghijklmnop")
    text = f"""a = "{points} = = ="  # {points} [x] = = =
b = '''
[{points}]
'''
c = \"\"\"\\\"\"\"{points}\"\"\"
"""
    assert read_toml(text, "f")["b"] == f"[{points}]\n"


def test_a_file_without_an_end_is_not_read_to_it(tmp_path):
    with pytest.raises(InputError, match="/dev/zero: The file is too large"):
        read_text(Path("/dev/zero"))
    (tmp_path / "car.toml").write_bytes(b"\xef\xbb\xbfa = 1\r\nb = 2\r")
    assert read_text(tmp_path / "car.toml") == "a = 1\nb = 2\n"


@pytest.mark.parametrize(
    "read",
    [
        lambda n: parse_toml("".join(f"[nut{k}]\n" for k in range(n)), "shelf.toml"),
        lambda n: parse_csv("kind,code\n" + "nut,N-1\n" * n, "shelf.csv"),
        lambda n: parse_csv("code,name\n" + ",1\n" * n, "shelf.csv", "coil"),
    ],
)
def test_a_shelf_that_is_wrong_all_over_is_some_other_file(read):
    assert MOST_WRONG / 2 < len(read(MOST_WRONG - 1).problems) <= MOST_WRONG
    with pytest.raises(InputError, match=f"More than {MOST_WRONG} things are wrong"):
        read(MOST_WRONG + 1)


ATTACK = """
import resource, sys
from jounce.car.file.reading import parse_car
from jounce.conventions.errors import JounceError
from jounce.shelf.csv_in import parse_csv
from jounce.shelf.toml import parse_toml
from jounce.web.api.checking import read_json
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
n = 100_000
for text in (
    "".join(f"k{k}=1\\n" for k in range(n)), "".join(f"[t{k}]\\n" for k in range(n)), ".".join("a" * 9000) + "=1",
    "a=[" + "[" * 9000, "a=[" + "\\n1," * n + "]", "a=" + "{a=" * 900, '"\\\\' * 9000, "\\n".join(['"' * 9999] * 300),
    "a.b.c.d.e.f.g.h.i.j" * 900, "kind;code\\n" + "nut;1\\n" * n, ";" * 19000, "code\\n" + '"\\n' * 40_000,
):
    for read in (parse_car, parse_toml, parse_csv, lambda text, _: read_json(text.encode())):
        try:
            read(text, "f")
        except JounceError:
            pass
print((resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024)
"""


def test_no_file_takes_much_memory_or_time():
    """A file of 300,000 keys took 1.4 GB and a minute; one line of 20,000 points 1.6 GB."""
    told = subprocess.run([sys.executable, "-c", ATTACK], capture_output=True, text=True, timeout=120, check=False)  # noqa: S603

    assert told.stderr == ""
    assert int(told.stdout) < 250  # MB
