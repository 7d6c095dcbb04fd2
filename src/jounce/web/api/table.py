"""The one table of operations."""

from __future__ import annotations

from jounce.web.api import (
    of_asked,
    of_beside,
    of_book,
    of_cars,
    of_documents,
    of_jobs,
    of_ledger,
    of_live,
    of_parts,
    of_questions,
    of_search,
    of_sign_in,
)
from jounce.web.api.operation import Operation

__all__ = ["OPERATIONS"]

OPERATIONS: tuple[Operation, ...] = (
    *of_sign_in.OPERATIONS,
    *of_documents.OPERATIONS,
    *of_book.OPERATIONS,
    *of_cars.OPERATIONS,
    *of_jobs.OPERATIONS,
    *of_beside.OPERATIONS,
    *of_live.OPERATIONS,
    *of_ledger.OPERATIONS,
    *of_parts.OPERATIONS,
    *of_questions.OPERATIONS,
    *of_asked.OPERATIONS,
    *of_search.OPERATIONS,
)
