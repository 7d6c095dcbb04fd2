"""Time a placed position with all geometric outputs beside other ways of doing the same, all in one run.

Prints the table and writes it into docs/performance.md. Ratios hold on any machine; the times are this machine's.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.optimize import root
from tests.demo_axles import beam_axle, beam_given, strut_axle, strut_given
from tests.verification.multibody import Multibody

from bench.twins import beam_multibody, strut_multibody
from jounce.layouts.naming import named
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.place import place, place_chunks
from jounce.linkage.tree import GROUND

PAGE = Path(__file__).resolve().parents[1] / "docs" / "performance.md"
MARKS = ("<!-- table -->", "<!-- end table -->")
REACH = 0.07  # travel each way [m]
BATCH = 2000
SIZES = (1000, BATCH, 100_000, 1_000_000)
FEW = 100


@dataclass(frozen=True)
class Case:
    """A mechanism, the drives of a heave sweep, and the same pivots in the multibody library."""

    name: str
    mechanism: Mechanism
    travels: tuple[str, ...]
    twin: Multibody
    sides: tuple[str, ...]

    def drives(self, travel: np.ndarray | float) -> dict[str, np.ndarray | float]:
        """Drives of one or many heave positions."""
        return dict.fromkeys(self.travels, travel)

    @property
    def outputs(self) -> tuple[str, ...]:
        """Every measure: angles, contact points, lengths, twists."""
        return tuple(self.mechanism.measures)

    def read(self, travel: np.ndarray) -> None:
        """Place and take all outputs with their derivatives by each wheel's travel."""
        placed = place(self.mechanism, self.drives(travel))
        placed.motions([{name: 1.0} for name in self.travels], second=False).first(self.mechanism.taken(self.outputs))


def cases() -> list[Case]:
    """One corner of the strut axle; the whole axle with rack and anti-roll bar; the beam axle."""
    front, rear = strut_axle()[1], beam_axle()[1]
    pivots, beam = strut_given().pivots, beam_given()
    corner_twin = strut_multibody({"left": pivots["left"]})
    beam_twin = beam_multibody(beam.pivots, beam.axle_pivots["panhard"])
    both = ("left", "right")
    travels = {axle: tuple(named(axle, side, "travel") for side in both) for axle in ("front", "rear")}
    return [
        Case("strut corner", _corner(front), travels["front"][:1], corner_twin, ("left",)),
        Case("strut axle, rack, bar", front, travels["front"], strut_multibody(pivots), both),
        Case("beam axle", rear, travels["rear"], beam_twin, both),
    ]


def _corner(front: Mechanism) -> Mechanism:
    """The left side of the strut axle with its rack, without the bar, which joins both sides."""
    kept = {b.name for b in front.tree.bodies if ".left." in b.name and "roll_bar" not in b.name}
    kept |= {"front.rack_bar", "front.road"}
    bodies = [b for b in front.tree.bodies if b.name in kept and b.name != GROUND]
    joints = {n: front.measures[n] for n in front.joints if "right" not in n and "roll_bar" not in n}
    left = {
        n: m
        for n, m in front.measures.items()
        if n not in front.joints and n.startswith("front.left.") and "roll_bar" not in n
    }
    return Mechanism(bodies, joints, left)


def seconds(work: Callable[[], object], repeats: int = 3) -> float:
    """Best time of a few runs [s]."""
    work()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def multibody(case: Case) -> float:
    """Time a position in the multibody library: drives set, static solution, a few outputs read [s]."""
    still = {name: 0.0 for name in case.twin.held if name not in case.sides}
    read = [body for body in case.twin.bodies if body != "ground"][: len(case.sides)]

    def sweep() -> None:
        for travel in np.linspace(-REACH, REACH, FEW):
            case.twin.solve({**still, **dict.fromkeys(case.sides, float(travel))})
            for body in read:
                case.twin.direction(body, np.array([0.0, 1.0, 0.0]))
                case.twin.position(body, np.zeros(3))

    case.twin.solve({**still, **dict.fromkeys(case.sides, -REACH)})
    return seconds(sweep, 1) / FEW


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

    start = time.perf_counter()
    change = np.zeros(mechanism.tree.size)
    for travel in np.linspace(0, REACH, FEW):
        goal[len(goal) - len(case.travels) :] = travel
        change = root(residual, change, jac=True, tol=1e-12).x
    return (time.perf_counter() - start) / FEW


def bare_solves(case: Case) -> float:
    """Time that two batched dense solves of the whole system take, nothing else [s per position]."""
    size = case.mechanism.tree.size
    matrix = np.random.default_rng(1).normal(size=(BATCH, size, size)) + size * np.eye(size)
    right = np.ones((BATCH, size, 1))
    return 2 * seconds(lambda: np.linalg.solve(matrix, right)) / BATCH


def placing_alone(case: Case) -> float:
    """Time to place a position of a batch, nothing read [s]."""
    sweep = np.linspace(-REACH, REACH, BATCH)
    return seconds(lambda: place(case.mechanism, case.drives(sweep))) / BATCH


def per_position(case: Case, states: int) -> float:
    """Time a position with all outputs in a batch of a size, chunk by chunk beyond the first thousands [s]."""
    travel = np.linspace(-REACH, REACH, states)

    def work() -> None:
        for chunk in place_chunks(case.mechanism, case.drives(travel), size=20_000):
            chunk.motions([{name: 1.0} for name in case.travels]).first(case.mechanism.taken(case.outputs))

    return seconds(work, 1 if states > BATCH else 3) / states


BATCHED, PLACING, SINGLE = f"batch of {BATCH:,}", f"placing alone, batch of {BATCH:,}", "one position alone"
RIVAL, ROOT = "general multibody library, static solver", "scipy.optimize.root, exact Jacobian"
BARE = "two bare dense solves of that size, batched"
RATIOS = (
    ("multibody library / batch of 2,000", RIVAL, BATCHED),
    ("multibody library / placing alone", RIVAL, PLACING),
    ("multibody library / one alone", RIVAL, SINGLE),
    ("root finder / batch of 2,000", ROOT, BATCHED),
    ("batch of 2,000 / bare solves", BATCHED, BARE),
    ("placing alone / bare solves", PLACING, BARE),
    ("1,000,000 / 1,000 states", "batch of 1,000,000", "batch of 1,000"),
)


def table() -> str:
    """The table as Markdown."""
    found = cases()
    times = {f"batch of {n:,}": [per_position(case, n) for case in found] for n in SIZES}
    times[PLACING] = [placing_alone(case) for case in found]
    times[SINGLE] = [seconds(lambda case=case: case.read(np.array([0.03])), 20) for case in found]  # type: ignore[misc]
    times |= {RIVAL: [multibody(c) for c in found], ROOT: [general_root(c) for c in found]}
    times[BARE] = [bare_solves(case) for case in found]
    lines = ["| per position, all outputs [µs] | " + " | ".join(c.name for c in found) + " |"]
    lines.append("| --- |" + " --- |" * len(found))
    for name, row in times.items():
        lines.append(f"| {name} | " + " | ".join(f"{t * 1e6:.3g}" for t in row) + " |")
    for title, over, under in RATIOS:
        ratios = (f"× {a / b:.3g}" for a, b in zip(times[over], times[under], strict=True))
        lines.append(f"| **{title}** | " + " | ".join(ratios) + " |")
    return "\n".join(lines)


def main() -> None:
    """Print the table and write it into its page."""
    text = table()
    sys.stdout.write(text + "\n")
    page = PAGE.read_text("utf-8")
    before, _, rest = page.partition(MARKS[0])
    _, _, after = rest.partition(MARKS[1])
    PAGE.write_text(f"{before}{MARKS[0]}\n\n{text}\n\n{MARKS[1]}{after}", "utf-8")


if __name__ == "__main__":
    main()
