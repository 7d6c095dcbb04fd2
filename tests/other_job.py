"""A second car and a job on it unlike the demo's: no adjuster bolt, no perch, no codes of a shelf, no ±."""

from __future__ import annotations

import re
from importlib.resources import files

__all__ = ["CAR", "JOB", "car_text"]

CAR = "fescue-10.toml"

JOB = """
[job]
name = "Van, 25 lower"
car = "fescue-10.toml"
customer = "B. Example"
date = 2026-05-04
revision = "3"

[wanted.front]
lower = 25

[wanted.rear]
lower = 20

[change.front.torsion_bar]
diameter = 21
active_length = 880
splines_arm = 32
splines_anchor = 33

[change.rear.spring]
rate = 20
free_length = 250
solid_length = 95
"""


def car_text(*, bands: bool) -> str:
    """The car's file, with its ± or without any."""
    text = files("jounce.demo").joinpath(CAR).read_text("utf-8")
    if not bands:
        text = re.sub(r"(?m)^pivots_plus_minus.*\n", "", text)
        text = re.sub(r'\s*±\s*[^"]*"', '"', text)
    return text
