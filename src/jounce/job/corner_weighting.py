"""The last turn of the spring seats: whole teeth in front leave the car a little askew, and the seats take it out."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from itertools import product

from jounce.car.parts import Perch
from jounce.elements.law import Shifted
from jounce.job.settings import QUARTER_TURN, PerchSetting
from jounce.layouts.naming import SIDES, SideName
from jounce.linkage.balance import Element

_TRIED = 0.5e-3  # of a seat, to see what it does [m]
_ROUNDS = 3  # the cross weight is nearly straight in the seats: two bring it to some millionths
_CLOSE = 1e-6  # of the weight [-]
_MEAN = 0.1  # how much a step off in height counts beside one off in cross weight [-]


@dataclass(frozen=True, slots=True)
class Seats:
    """Both springs of an axle on their seats: the settings, and the springs as elements with them."""

    settings: Mapping[SideName, PerchSetting]
    elements: Mapping[SideName, Element]

    def with_seats(self, seat: Mapping[SideName, float]) -> dict[SideName, Element]:
        """The coils with other seats.

        Args:
            seat: of each side, above the measured seat [m]
        """
        return {side: seat_moved(self.elements[side], seat[side] - self.settings[side].seat) for side in SIDES}


def trimmed(
    seats: Seats,
    perches: Mapping[SideName, Perch | None],
    cross_share: Callable[[Mapping[SideName, Element]], float],
    wanted: float,
) -> Seats:
    """The seats turned against one another until the cross weight is that wanted, then to the nearest quarter turns.

    Turned against one another they leave the mean height as it is. Where there is no thread, or none is left, nothing is
    turned.

    Args:
        seats: as the heights alone ask for
        perches: the threads
        cross_share: share on front right and rear left with other springs there, the whole car at rest [-]
        wanted: that share as it is wanted [-]
    """
    left, right = (perches[side] for side in SIDES)
    first = {side: setting.wanted for side, setting in seats.settings.items() if setting.wanted is not None}
    if left is None or right is None or len(first) < len(SIDES):
        return seats
    threads: dict[SideName, Perch] = {"left": left, "right": right}
    low, high = _room(first, threads)

    def off(turned: float) -> float:
        return cross_share(seats.with_seats(_against(first, turned))) - wanted

    turned, miss = _sought(off, low, high)
    turns = _whole(_against(first, turned), threads)
    if abs(miss) > _CLOSE and not low < turned < high:  # at the end of a thread: where both would have to be without it
        turned, _ = _sought(off, -math.inf, math.inf)
    asked = _against(first, turned)
    settings = {
        side: PerchSetting(
            asked[side],
            threads[side].lowest.value + turns[side] * threads[side].pitch.value,
            turns[side],
            adjustable=True,
        )
        for side in SIDES
    }
    return Seats(settings, seats.with_seats({side: setting.seat for side, setting in settings.items()}))


def _sought(off: Callable[[float], float], low: float, high: float) -> tuple[float, float]:
    """How far the seats are turned against one another, and what of the cross weight is then missed.

    Args:
        off: the miss by how far they are turned [-]
        low: least turn [m]
        high: most turn [m]
    """
    turned, miss = 0.0, off(0.0)
    step = _TRIED if high >= _TRIED else -_TRIED
    gain = (off(step) - miss) / step
    for _ in range(_ROUNDS):
        if abs(miss) <= _CLOSE or gain == 0:
            break
        before, missed = turned, miss
        turned = min(max(turned - miss / gain, low), high)
        miss = off(turned)
        if turned == before:
            break
        gain = (miss - missed) / (turned - before)
    return turned, miss


def _against(seat: Mapping[SideName, float], turned: float) -> dict[SideName, float]:
    """Both seats, the left one higher and the right one lower."""
    return {"left": seat["left"] + turned, "right": seat["right"] - turned}


def _room(seat: Mapping[SideName, float], threads: Mapping[SideName, Perch]) -> tuple[float, float]:
    """How far they can be turned against one another, down and up; a seat that is beyond its thread stays [m]."""
    down = {side: max(seat[side] - threads[side].lowest.value, 0.0) for side in SIDES}
    up = {side: max(threads[side].highest.value - seat[side], 0.0) for side in SIDES}
    return -min(down["left"], up["right"]), min(up["left"], down["right"])


def _whole(seat: Mapping[SideName, float], threads: Mapping[SideName, Perch]) -> dict[SideName, float]:
    """Turns from the lowest in whole quarters: what is left of one side against the other counts most."""
    choices: list[list[tuple[float, float]]] = []
    for side in SIDES:
        thread = threads[side]
        lowest, highest, pitch = thread.lowest.value, thread.highest.value, thread.pitch.value
        exact = (min(max(seat[side], lowest), highest) - lowest) / pitch / QUARTER_TURN
        most = int((highest - lowest) / pitch / QUARTER_TURN + 1e-9)
        steps = {min(max(int(exact) + more, 0), most) for more in (0, 1)}
        choices.append([(k * QUARTER_TURN, (k - exact) * QUARTER_TURN * pitch) for k in sorted(steps)])

    def badness(pair: tuple[tuple[float, float], ...]) -> float:
        (_, left), (_, right) = pair
        return (left - right) ** 2 + _MEAN * (left + right) ** 2

    best = min(product(*choices), key=badness)
    return {side: best[k][0] for k, side in enumerate(SIDES)}


def seat_moved(element: Element, by: float) -> Element:
    """A coil or leaf with its seat moved.

    Args:
        element: the spring on its seat
        by: how much higher [m]
    """
    law = element.law
    if not isinstance(law, Shifted):
        raise TypeError("a coil on its seat is a law that is loaded where it stands")
    return replace(element, law=Shifted(law.law, law.by + by))
