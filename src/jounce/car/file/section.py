"""What all sections of a car file have in common."""

from __future__ import annotations

from collections.abc import Container, Iterator
from functools import cache
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ConfigDict
from pydantic.fields import FieldInfo

from jounce.car.file.fields import PointField, PointsField

__all__ = ["AnyKey", "Section", "form_of", "section_in"]

Form = TypeVar("Form")


class Section(BaseModel):
    """A section of a car file: frozen, and with no place for a key that it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)

    @classmethod
    def point_keys(cls) -> Container[str]:
        """Names of the keys that hold points."""
        return _point_keys(cls)

    @classmethod
    def field_of(cls, key: str) -> FieldInfo | None:
        """The field that a key is read as; None for a key that has no place here.

        Args:
            key: the key

        """
        return cls.model_fields.get(key)


class AnyKey:
    """The keys of a section in which any name is one."""

    def __contains__(self, key: object) -> bool:
        """Always."""
        return True


@cache
def _point_keys(model: type[Section]) -> frozenset[str]:
    fields = model.model_fields.items()
    return frozenset(name for name, field in fields if form_of(field, PointField) or form_of(field, PointsField))


def form_of(field: FieldInfo, form: type[Form]) -> Form | None:
    """The metadata of the asked form (``Quantity``, ``PointField``, …) that a field carries, optional or not.

    Args:
        field: field of a section
        form: class of the metadata

    """
    return next((item for item in _metadata(field) if isinstance(item, form)), None)


def section_in(field: FieldInfo) -> type[Section] | None:
    """The section that a field holds, optional or not; None when it holds something else."""
    candidates = (field.annotation, *get_args(field.annotation))
    return next((found for found in candidates if isinstance(found, type) and issubclass(found, Section)), None)


def _metadata(field: FieldInfo) -> Iterator[Any]:
    yield from field.metadata
    for part in get_args(field.annotation):  # Annotated[…] | None keeps its metadata one level down
        yield from getattr(part, "__metadata__", ())
