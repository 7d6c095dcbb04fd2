"""What a sheet of a job promises: each number of the planned car with its band, as the shop's ledger keeps it."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.case.case import Case
from jounce.conventions.axes import End
from jounce.job.comparison import as_weighed
from jounce.ledger.learned import own_band
from jounce.ledger.outcome import PromisedNumber

__all__ = ["PROMISING", "promised_by"]

PROMISING = frozenset(
    {"quote", "job", "job-card", "set-up", "alignment", "weights", "hand-over", "re-check", "envelope"}
)
"""Words of the sheets that say how the car will stand; the others say what is bought, set or looked at."""


def promised_by(case: Case) -> Iterator[PromisedNumber]:
    """Every number of the planned car that has a band, wheel loads as scales tell them [kg].

    Args:
        case: a car with its job
    """
    layouts = {end.value: case.car.axle(end).layout for end in End}
    for row in as_weighed(case.rows):
        if row.planned is not None and row.planned_band > 0:
            factor = case.widened.get(row.key.rpartition(".")[2], 1.0)
            widened = row.planned_band / (own_band(row.planned_band, factor, row.kind) or row.planned_band)
            layout = layouts.get(row.key.partition(".")[0], "")
            yield PromisedNumber(row.key, row.kind, row.planned, row.planned_band, widened, layout)
