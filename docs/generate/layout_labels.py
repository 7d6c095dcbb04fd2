"""Names beside a drawing: two columns, each name on a line of its own, with a thin line to its point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from generate.drawing import FAINT, INK, Panel, Place

LINE = 15.0
"""Height of a line of names, in picture units."""
_GAP = 4.0  # between a name and its leader
_SIZE = 12


@dataclass(frozen=True, slots=True)
class Label:
    """A name and the place that it belongs to."""

    words: str
    place: Place


def put_labels(panel: Panel, labels: Sequence[Label], edges: Place, room: Place, middle: float | None) -> None:
    """Write names in a column on each side of a drawing, in the order in which their points lie.

    Args:
        panel: where to write
        labels: names and places
        edges: left and right edge of the drawing, beyond which the names stand
        room: lowest and highest line
        middle: names of points to the left of it stand on the left; None for as many on the left as on the right

    """
    by_place = sorted(labels, key=lambda label: (label.place[0], label.place[1]))
    on_left = (len(by_place) + 1) // 2
    if middle is not None:
        on_left = sum(label.place[0] < middle for label in labels)
    columns = ((by_place[:on_left], edges[0], "end", -1.0), (by_place[on_left:], edges[1], "start", 1.0))
    for column, edge, anchor, outward in columns:
        ordered = sorted(column, key=lambda label: label.place[1])
        for label, level in zip(ordered, levels([label.place[1] for label in ordered], *room), strict=True):
            panel.line([label.place, (edge + outward, level)], FAINT, 0.8)
            panel.text((edge + outward * _GAP, level - 4), label.words, INK, anchor=anchor, size=_SIZE)
    for label in labels:
        panel.dot(label.place)


def levels(wanted: Sequence[float], low: float, high: float) -> list[float]:
    """Heights of lines of text, as near to the wanted ones as lines that do not overlap can be.

    Args:
        wanted: heights of the points, rising
        low: lowest line
        high: highest line, which more lines than there is room for go beyond

    Returns:
        Heights at least a line apart, in the same order.

    >>> levels([10.0, 12.0, 100.0], 0.0, 200.0)
    [3.5, 18.5, 100.0]
    """
    blocks: list[tuple[float, int]] = []  # middle and number of lines of each block of touching lines
    for level in wanted:
        blocks.append((level, 1))
        while len(blocks) > 1 and _top(blocks[-2]) + LINE > _bottom(blocks[-1]):
            (one, few), (other, more) = blocks[-2:]
            blocks[-2:] = [((one * few + other * more) / (few + more), few + more)]
    return _within([_bottom(block) + LINE * k for block in blocks for k in range(block[1])], low, high)


def _bottom(block: tuple[float, int]) -> float:
    return block[0] - LINE * (block[1] - 1) / 2


def _top(block: tuple[float, int]) -> float:
    return block[0] + LINE * (block[1] - 1) / 2


def _within(found: list[float], low: float, high: float) -> list[float]:
    """The same lines pushed down from the upper edge, then up from the lower one."""
    for k in reversed(range(len(found))):
        found[k] = min(found[k], high if k == len(found) - 1 else found[k + 1] - LINE)
    for k in range(len(found)):
        found[k] = max(found[k], low if k == 0 else found[k - 1] + LINE)
    return found
