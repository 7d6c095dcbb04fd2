"""Everything compiled, once: what setting up the program does, so that nobody waits for it later.

Each room's compiled functions are used on a demo car as its commands use them, so that they meet the types that they will
meet. Run as a program: ``python -m jounce.cli.warm_up``.
"""

from __future__ import annotations

from importlib.resources import as_file, files
from pathlib import Path

import numpy as np

from jounce.behaviour.ride.dampers import dampers_of
from jounce.behaviour.ride.inertia import body_inertia, whole_inertia
from jounce.behaviour.ride.obstacles import OBSTACLES
from jounce.behaviour.ride.time_history import drive_over
from jounce.behaviour.road.of_document import car_as_found
from jounce.car.file.document import CarDocument
from jounce.job.file import read_job
from jounce.linkage import kernel
from jounce.recordings.free_swing import Underneath, swing
from jounce.search.build import search_space
from jounce.search.goals import usual_goals
from jounce.search.result import SearchWishes
from jounce.search.run import search
from jounce.search.slots import slot_named
from jounce.search.workers import InPlace
from jounce.shelf.file import read_shelf

__all__ = ["warm_up"]

_PLACES = ("rear dampers",)
"""Where the search puts parts: the fewest that leave a choice."""


def warm_up() -> None:
    """Compile all that any command uses, and keep it on disk; seconds when it is there already."""
    kernel.warm_up()
    with as_file(files("jounce.demo")) as demo:
        document = _search(demo)
    _drive(document)
    _bounce()


def _search(demo: Path) -> CarDocument:
    """Search a package of one kind of part, proofs and all, as a whole job; the car that it was searched for."""
    job, document = read_job(demo / "brisk-14-lower.toml")
    space = search_space(document, job, read_shelf(demo / "shelf.toml"), [slot_named(name) for name in _PLACES])
    search(space, SearchWishes(usual_goals(), kept=2, proofs=1), InPlace())
    return document


def _drive(document: CarDocument) -> None:
    """Drive over an obstacle for a moment."""
    car = car_as_found(document)
    own = body_inertia(car, whole_inertia(document))
    drive_over(car, dampers_of(document).curves, own, OBSTACLES["step"], 5.0, 0.01)


def _bounce() -> None:
    """Let a body swing for a moment."""
    swing(np.linspace(0.0, 0.01, 3), Underneath(500.0, 0.1), (60.0, 3.0, 0.1), 0.01, 0.0)


if __name__ == "__main__":
    warm_up()
