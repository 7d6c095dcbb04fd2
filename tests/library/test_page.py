"""The page on the library: every line of it runs and prints what stands there."""

from __future__ import annotations

import doctest
import re
import shutil
from importlib.resources import as_file, files

import numpy as np

from tests.house.places import DOCS


def test_the_page_prints_what_it_says(tmp_path, monkeypatch):
    with as_file(files("jounce.demo")) as demo:
        shutil.copytree(demo, tmp_path / "my-car")
    monkeypatch.chdir(tmp_path)
    page = re.sub(r"(?m)^```.*$", "", (DOCS / "manual" / "library.md").read_text("utf-8"))  # a fence is no output
    lines = doctest.DocTestParser().get_doctest(page, {}, "library.md", "library.md", 0)
    said: list[str] = []
    with np.printoptions():
        ran = doctest.DocTestRunner().run(lines, out=said.append)

    assert ran.attempted > 30
    assert "".join(said) == ""
