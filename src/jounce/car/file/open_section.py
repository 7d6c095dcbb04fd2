"""A section whose keys the file names itself: points and bodies of a linkage that no layout knows beforehand."""

from __future__ import annotations

import re
from functools import cache
from typing import Any, ClassVar, Self, SupportsIndex, cast

from pydantic import Field, ModelWrapValidatorHandler, create_model, model_validator
from pydantic.fields import FieldInfo

from jounce.car.file.fields import refuse
from jounce.car.file.section import Section
from jounce.conventions.errors import InputError

__all__ = ["FreeSection"]

_NAME = re.compile(r"[a-z][a-z0-9_]*")


class FreeSection(Section):
    """A section that takes any name as a key; the entries that it does not know itself are all of one kind.

    What is read is an instance of a subclass that has the file's names as fields: so whatever walks the fields of a
    section finds them there as in any other.
    """

    ENTRY: ClassVar[Any]
    """Type of an entry."""
    MEANING: ClassVar[str]
    """What an entry is."""
    NAMED: ClassVar[tuple[type[FreeSection], tuple[str, ...]] | None] = None
    """The section and the file's names of which a subclass was made; None for the section itself."""

    @classmethod
    def field_of(cls, key: str) -> FieldInfo | None:
        """The field that a key is read as, any name included.

        Args:
            key: the key

        """
        return super().field_of(key) or cls.entry()

    @classmethod
    def entry(cls) -> FieldInfo:
        """The field that any name which the section does not know itself is read as."""
        return _with_keys(cls, ("any_name",)).model_fields["any_name"]

    def __reduce_ex__(self, protocol: SupportsIndex) -> Any:
        """In another process the subclass is made again of the section and the file's names."""
        if self.NAMED is None:
            return super().__reduce_ex__(protocol)
        return _empty, self.NAMED, self.__getstate__()

    @model_validator(mode="wrap")
    @classmethod
    def _named_by_the_file(cls, written: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        if not isinstance(written, dict):
            return handler(written)
        names = tuple(str(key) for key in written if key not in cls.model_fields)
        if not names:
            return handler(written)
        problems = [
            InputError(
                "This name cannot be used",
                found=f'"{name}"',
                allowed="small letters, digits and _, a letter first",
                todo="Choose another name.",
            )
            for name in names
            if not _NAME.fullmatch(name) or name.startswith("model_") or hasattr(cls, name)
        ]
        if problems:
            refuse(*problems)
        return cast("Self", _with_keys(cls, names).model_validate(written))


@cache
def _with_keys(model: type[FreeSection], names: tuple[str, ...]) -> type[FreeSection]:
    """The section with further names among its fields."""
    fields: dict[str, Any] = {name: (model.ENTRY, Field(description=model.MEANING)) for name in names}
    made = create_model(model.__name__, __base__=model, __doc__=model.__doc__, **fields)
    made.NAMED = model, names
    return made


def _empty(model: type[FreeSection], names: tuple[str, ...]) -> FreeSection:
    """A section that takes on its state afterwards."""
    made = _with_keys(model, names)
    return made.__new__(made)
