"""What a notebook shows of an axle along its travel, as the library itself writes it."""

from __future__ import annotations

from importlib.resources import files

import numpy as np

import jounce


def notebook_cell() -> str:
    """The table with its curves."""
    car = jounce.read_car(str(files("jounce.demo").joinpath("brisk-14.toml")))
    return f"<div>{car.travel('front', 'heave', np.linspace(-0.06, 0.06, 25)).html()}</div>"
