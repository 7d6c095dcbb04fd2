"""Tables and small curves for a notebook, as plain HTML that needs no style sheet and no script."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from html import escape

import numpy as np

from jounce.numerics.arrays import Array

__all__ = ["curve", "number", "table"]

_WIDE, _HIGH = 90.0, 26.0


class _Drawn(str):
    """A text that is HTML already."""

    __slots__ = ()


def number(value: float | None, decimals: int) -> str:
    """A number, or nothing where there is none.

    Args:
        value: in the unit that is shown
        decimals: digits behind the point

    >>> number(-0.001, 2), number(math.nan, 2)
    ('0.00', '')
    """
    return "" if value is None or math.isnan(value) else f"{round(float(value), decimals) + 0.0:.{decimals}f}"


def table(title: str, head: Iterable[str], rows: Iterable[Sequence[str]], remark: str = "") -> str:
    """A table with its title, the first column as words.

    Args:
        title: above it
        head: names of its columns
        rows: their cells
        remark: a sentence below it

    >>> table("A & B", ["x"], [["1"]])
    '<table><caption>A &amp; B</caption><thead><tr><th>x</th></tr></thead><tbody><tr><td>1</td></tr></tbody></table>'
    """
    top = "".join(f"<th>{escape(name)}</th>" for name in head)
    body = "".join(f"<tr>{''.join(f'<td>{_cell(cell)}</td>' for cell in row)}</tr>" for row in rows)
    below = f"<p>{escape(remark)}</p>" if remark else ""
    return f"<table><caption>{escape(title)}</caption><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>{below}"


def curve(x: Array, y: Array) -> str:
    """A line of y over x, both from their least to their most; empty where nothing is known or nothing changes.

    Args:
        x: places, shape (points,), in any unit
        y: values, shape (points,), in any unit; NaN leaves a gap
    """
    known = np.isfinite(x) & np.isfinite(y)
    if np.count_nonzero(known) < 2 or not np.ptp(x[known]):
        return ""
    across = (x - x[known].min()) / np.ptp(x[known]) * (_WIDE - 4) + 2
    down = _HIGH - 2 - (y - y[known].min()) / (np.ptp(y[known]) or 1.0) * (_HIGH - 4)
    path = " ".join(f"{'L' if k and known[k - 1] else 'M'}{across[k]:.1f} {down[k]:.1f}" for k in np.flatnonzero(known))
    return _Drawn(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_WIDE:g}" height="{_HIGH:g}" role="img" '
        f'aria-label="curve"><path d="{path}" fill="none" stroke="#0072B2" stroke-width="1.6"/></svg>'
    )


def _cell(text: str) -> str:
    return text if isinstance(text, _Drawn) else escape(text)
