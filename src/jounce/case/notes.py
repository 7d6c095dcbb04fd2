"""What a reader of a case's numbers has to know before they are believed."""

from __future__ import annotations

from jounce.case.case import Case
from jounce.job.comparison import beyond_ends, near_rubbers

__all__ = ["notes_on"]


def notes_on(case: Case) -> list[str]:
    """Sentences: measurements that contradict each other, axles beyond their stops, wheels at their rubbers.

    Args:
        case: the car and its job
    """
    return [
        *(remark.text for remark in case.remarks if remark.contradicts),
        *beyond_ends(case.plan),
        *near_rubbers(case.rows),
    ]
