"""Time a placed position with all geometric outputs beside other ways of doing the same, all in one run.

Prints the table and writes it into docs/performance.md. Ratios hold on any machine; the times are this machine's.
Everything is confined to one processor, since the other ways use one only, and it is that processor's time that counts.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import exudyn
import numpy as np
from scipy.optimize import root
from tests.demo_axles import beam_axle, beam_given, strut_axle, strut_given
from tests.verification.multibody import Multibody

from bench.pages import pages_table
from bench.rival import Rival, disagreement, same_outputs
from bench.search import search_table
from bench.start import start_table
from bench.twins import beam_multibody, strut_multibody
from bench.whole_car import whole_car_table
from jounce.layouts.naming import named
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.place import Placed, place, place_chunks
from jounce.linkage.tree import GROUND

PAGE = Path(__file__).resolve().parents[1] / "docs" / "performance.md"
MARKS = ("<!-- table -->", "<!-- end table -->")
WHOLE_CAR_MARKS = ("<!-- whole car -->", "<!-- end whole car -->")
PAGES_MARKS = ("<!-- pages -->", "<!-- end pages -->")
SEARCH_MARKS = ("<!-- search -->", "<!-- end search -->")
START_MARKS = ("<!-- start -->", "<!-- end start -->")
REACH = 0.07  # travel each way [m]
BATCH = 2000
SIZES = (1000, BATCH, 100_000, 1_000_000)
FEW = 100
ALONE = 0.03  # travel of a position on its own [m]
CLOSE, CLOSE_RATES = 1e-9, 1e-5  # how far the library's values [m] and differences [-] may lie from the program's


@dataclass(frozen=True)
class Case:
    """A mechanism, the drives of a heave sweep, and the same pivots in the multibody library."""

    name: str
    mechanism: Mechanism
    travels: tuple[str, ...]
    twin: Multibody
    sides: tuple[str, ...]
    bodies: Mapping[str, str]  # the mechanism's body for each of the library's

    def rival(self) -> Rival:
        """The library, ready to go."""
        return Rival(self.twin, self.sides)

    def drives(self, travel: np.ndarray | float) -> dict[str, np.ndarray | float]:
        """Drives of one or many heave positions."""
        return dict.fromkeys(self.travels, travel)

    @property
    def outputs(self) -> tuple[str, ...]:
        """Every measure: angles, contact points, lengths, twists."""
        return tuple(self.mechanism.measures)

    def read(self, travel: np.ndarray) -> None:
        """Place and take all outputs with their derivatives by each wheel's travel."""
        self.take(place(self.mechanism, self.drives(travel)))

    def take(self, placed: Placed) -> None:
        """Take all outputs with their derivatives by each wheel's travel."""
        placed.motions([{name: 1.0} for name in self.travels], second=False).first(self.mechanism.taken(self.outputs))


def cases() -> list[Case]:
    """One corner of the strut axle; the whole axle with rack and anti-roll bar; the beam axle."""
    front, rear = strut_axle()[1], beam_axle()[1]
    pivots, beam = strut_given().pivots, beam_given()
    corner_twin = strut_multibody({"left": pivots["left"]})
    beam_twin = beam_multibody(beam.pivots, beam.axle_pivots["panhard"])
    both = ("left", "right")
    left, right = ({f"{side}.{body}": f"front.{side}.{body}" for body in ("arm", "knuckle")} for side in both)
    rack = {"rack": "front.rack_bar"}
    beam_bodies = {"tube": "rear.tube", "carrier": "rear.right.carrier"}
    travels = {axle: tuple(named(axle, side, "travel") for side in both) for axle in ("front", "rear")}
    return [
        Case("strut corner", _corner(front), travels["front"][:1], corner_twin, ("left",), rack | left),
        Case("strut axle, rack, bar", front, travels["front"], strut_multibody(pivots), both, rack | left | right),
        Case("beam axle", rear, travels["rear"], beam_twin, both, beam_bodies),
    ]


def _corner(front: Mechanism) -> Mechanism:
    """The left side of the strut axle with its rack, without the bar, which joins both sides."""
    kept = {b.name for b in front.tree.bodies if ".left." in b.name and "roll_bar" not in b.name}
    kept |= {"front.rack_bar", "front.rolled_road", "front.road"}
    bodies = [b for b in front.tree.bodies if b.name in kept and b.name != GROUND]
    joints = {n: front.measures[n] for n in front.joints if "right" not in n and "roll_bar" not in n}
    left = {
        n: m
        for n, m in front.measures.items()
        if n not in front.joints and n.startswith("front.left.") and "roll_bar" not in n
    }
    return Mechanism(bodies, joints, left)


def seconds(work: Callable[[], object], repeats: int = 3) -> float:
    """Best processor time of a few runs, in which others on the machine have no part [s]."""
    work()
    times = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def some_of_batch() -> list[float]:
    """Some neighbouring travels in the middle of a batch: few, so that the best time is that of a quiet moment [m]."""
    return np.linspace(-REACH, REACH, BATCH)[(BATCH - FEW) // 2 : (BATCH + FEW) // 2].tolist()


def multibody(case: Case) -> float:
    """Time a position in the multibody library, nothing read [s]."""
    rival = case.rival()
    travels = some_of_batch()

    def sweep() -> None:
        for travel in travels:
            rival.go([travel] * len(case.sides))

    return seconds(sweep, 30) / FEW


def multibody_call(case: Case) -> float:
    """Time a position in the multibody library by its own ordinary call, a few outputs read [s]."""
    still = {name: 0.0 for name in case.twin.held if name not in case.sides}
    travels = np.linspace(-REACH, REACH, FEW).tolist()
    read = [body for body in case.twin.bodies if body != "ground"][: len(case.sides)]

    def sweep() -> None:
        for travel in travels:
            case.twin.solve({**still, **dict.fromkeys(case.sides, travel)})
            for body in read:
                case.twin.direction(body, np.array([0.0, 1.0, 0.0]))
                case.twin.position(body, np.zeros(3))

    case.twin.solve({**still, **dict.fromkeys(case.sides, -REACH)})
    return seconds(sweep, 10) / FEW


def multibody_outputs(case: Case) -> float:
    """Time a position in the multibody library with all bodies read and their derivatives by each travel [s]."""
    rival = case.rival()
    travels = some_of_batch()

    def sweep() -> None:
        for travel in travels:
            rival.outputs([travel] * len(case.sides))

    return seconds(sweep, 10) / FEW


def multibody_alone(case: Case) -> float:
    """Time one position with all bodies read and their derivatives, from where the linkage is as found [s]."""
    rival = case.rival()
    found = rival.twin.system.systemData.GetSystemState()

    def once() -> None:
        rival.twin.system.systemData.SetSystemState(found, exudyn.ConfigurationType.Initial)
        rival.outputs([ALONE] * len(case.sides))

    return seconds(once, 20)


def check(case: Case) -> tuple[float, float]:
    """How far the library's values and differences lie from the program's own.

    Raises:
        ArithmeticError: farther than central differences explain

    """
    rival = case.rival()
    placed = place(case.mechanism, case.drives(np.linspace(-REACH, REACH, 15)))
    measured = same_outputs(case.mechanism, {body: case.bodies[body] for body in rival.bodies}, rival.twin.origins)
    values, rates = disagreement(rival, placed, case.travels, measured)
    if not (values < CLOSE and rates < CLOSE_RATES):
        raise ArithmeticError(
            f"{case.name}: the library's values differ by {values:.1e}, its differences by {rates:.1e}"
        )
    return values, rates


def general_root(case: Case) -> float:
    """Time a position by SciPy's root finder on the same rows with their exact Jacobian, from the one before [s]."""
    mechanism = case.mechanism
    rows = (*mechanism.joints, *case.travels)
    chosen = mechanism.taken(rows)
    goal = mechanism.reference_values(rows)[0].copy()
    pose = mechanism.tree.reference_pose(1)

    def residual(change: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        moved = chosen.linearised(mechanism.moved(pose, change[None]))
        return moved.value[0] - goal, moved.gradient[0]

    start = time.process_time()
    change = np.zeros(mechanism.tree.size)
    for travel in np.linspace(0, REACH, FEW):
        goal[len(goal) - len(case.travels) :] = travel
        change = root(residual, change, jac=True, tol=1e-12).x
    return (time.process_time() - start) / FEW


def bare_solves(case: Case) -> float:
    """Time that two batched dense solves of the whole system take, nothing else [s per position]."""
    size = case.mechanism.tree.size
    matrix = np.random.default_rng(1).normal(size=(BATCH, size, size)) + size * np.eye(size)
    right = np.ones((BATCH, size, 1))
    return 2 * seconds(lambda: np.linalg.solve(matrix, right)) / BATCH


def placing_alone(case: Case) -> float:
    """Time to place a position of a batch, nothing read [s]."""
    sweep = np.linspace(-REACH, REACH, BATCH)
    return seconds(lambda: place(case.mechanism, case.drives(sweep)), 10) / BATCH


def per_position(case: Case, states: int) -> float:
    """Time a position with all outputs in a batch of a size, chunk by chunk [s]."""
    travel = np.linspace(-REACH, REACH, states)

    def work() -> None:
        for chunk in place_chunks(case.mechanism, case.drives(travel)):
            case.take(chunk)

    return seconds(work, 1 if states > 10 * BATCH else 10) / states


def with_second_derivatives(case: Case) -> float:
    """The same with all second derivatives by the travels as well [s]."""
    travel, outputs = np.linspace(-REACH, REACH, BATCH), case.mechanism.taken(case.outputs)

    def work() -> None:
        motions = place(case.mechanism, case.drives(travel)).motions([{name: 1.0} for name in case.travels])
        motions.first(outputs)
        motions.second(outputs)

    return seconds(work) / BATCH


BATCHED, PLACING, SINGLE = f"batch of {BATCH:,}", f"placing alone, batch of {BATCH:,}", "one position alone"
SECOND = f"batch of {BATCH:,}, second derivatives too"
RIVAL, RIVAL_OUTPUTS = "multibody library: positions only, quickest", "multibody library: same outputs, quickest"
RIVAL_CALL = "multibody library: positions, its ordinary call"
RIVAL_ALONE = "multibody library: same outputs, one position alone"
ROOT = "scipy.optimize.root, exact Jacobian"
BARE = "two bare dense solves of that size, batched"
RATIOS = (
    ("multibody library, same outputs / batch of 2,000", RIVAL_OUTPUTS, BATCHED),
    ("multibody library, positions only / batch of 2,000", RIVAL, BATCHED),
    ("multibody library, positions only / placing alone", RIVAL, PLACING),
    ("multibody library, ordinary call / batch of 2,000", RIVAL_CALL, BATCHED),
    ("multibody library, ordinary call / placing alone", RIVAL_CALL, PLACING),
    ("multibody library, ordinary call / one alone", RIVAL_CALL, SINGLE),
    ("multibody library, same outputs, alone / one alone", RIVAL_ALONE, SINGLE),
    ("root finder / batch of 2,000", ROOT, BATCHED),
    ("batch of 2,000 / bare solves", BATCHED, BARE),
    ("placing alone / bare solves", PLACING, BARE),
    ("1,000,000 / 1,000 states", "batch of 1,000,000", "batch of 1,000"),
)


def table() -> str:
    """The table as Markdown."""
    found = cases()
    differences = [check(case) for case in found]
    long_first = {f"batch of {n:,}": [per_position(case, n) for case in found] for n in sorted(SIZES, reverse=True)}
    times = dict(reversed(long_first.items()))
    times[SECOND] = [with_second_derivatives(case) for case in found]
    times[PLACING] = [placing_alone(case) for case in found]
    times[SINGLE] = [seconds(lambda case=case: case.read(np.array([ALONE])), 50) for case in found]  # type: ignore[misc]
    times[RIVAL_CALL] = [multibody_call(case) for case in found]
    times[RIVAL] = [multibody(case) for case in found]
    times[RIVAL_OUTPUTS] = [multibody_outputs(case) for case in found]
    times[RIVAL_ALONE] = [multibody_alone(case) for case in found]
    times[ROOT] = [general_root(case) for case in found]
    times[BARE] = [bare_solves(case) for case in found]
    lines = ["| per position, all outputs [µs] | " + " | ".join(c.name for c in found) + " |"]
    lines.append("| --- |" + " --- |" * len(found))
    for name, row in times.items():
        lines.append(f"| {name} | " + " | ".join(f"{t * 1e6:.3g}" for t in row) + " |")
    for title, over, under in RATIOS:
        ratios = (f"× {a / b:.3g}" for a, b in zip(times[over], times[under], strict=True))
        lines.append(f"| **{title}** | " + " | ".join(ratios) + " |")
    for title, number in (("values", 0), ("derivatives", 1)):
        lines.append(
            f"| library's {title} differ by at most | " + " | ".join(f"{d[number]:.1e}" for d in differences) + " |"
        )
    return "\n".join(lines)


def main() -> None:
    """Print the tables and write them into their page; of "pages", "search" and "start" only what is asked for."""
    wide = {
        "pages": (PAGES_MARKS, pages_table),
        "search": (SEARCH_MARKS, lambda: search_table(seconds)),
        "start": (START_MARKS, start_table),
    }
    asked = [word for word in wide if word in sys.argv[1:]]
    tables = [wide[word] for word in asked or wide]  # first: these need all processors
    alone = [] if asked else [(MARKS, table), (WHOLE_CAR_MARKS, lambda: whole_car_table(seconds))]
    for marks, made in (*tables, *alone):
        if (marks, made) in alone and hasattr(os, "sched_setaffinity"):
            os.sched_setaffinity(0, {max(os.sched_getaffinity(0))})
        text = made()
        sys.stdout.write(text + "\n")
        page = PAGE.read_text("utf-8")
        before, _, rest = page.partition(marks[0])
        _, _, after = rest.partition(marks[1])
        PAGE.write_text(f"{before}{marks[0]}\n\n{text}\n\n{marks[1]}{after}", "utf-8")


if __name__ == "__main__":
    main()
