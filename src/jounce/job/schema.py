"""The form of a job file as a JSON Schema, for editors that complete and check while somebody types."""

from __future__ import annotations

from typing import Any

from jounce.car.file.schema import section_schema
from jounce.job.document import JobDocument

__all__ = ["job_schema"]


def job_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a job file; numbers as in the schema of the car file."""
    return section_schema(JobDocument, "Job file")
