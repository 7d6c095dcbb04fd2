"""A readings file written: what was typed reading by reading, as the text that `jounce.fit.readings_file` reads."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from jounce.car.file.reading import read_toml
from jounce.fit.unknowns import flat

__all__ = ["ReadingsKept", "kept_readings"]


@dataclass(frozen=True, slots=True)
class ReadingsKept:
    """A readings file as it is kept.

    Attributes:
        entries: its readings as they are written, each with its keys
        wider: ± that stand instead of the car file's, as written, by place
        measured: what the table [measured] says: by whom, and whether the readings were taken over

    """

    entries: tuple[Mapping[str, object], ...] = ()
    wider: Mapping[str, object] = field(default_factory=dict)
    measured: Mapping[str, str] = field(default_factory=dict)

    @property
    def text(self) -> str:
        """The file."""
        lines = []
        for name, table in (("measured", self.measured), ("plus_minus", self.wider)):
            if table:
                lines += [f"[{name}]", *(f"{json.dumps(key)} = {_value(value)}" for key, value in table.items()), ""]
        for entry in self.entries:
            lines += ["[[reading]]", *(f"{key} = {_value(value)}" for key, value in entry.items()), ""]
        return "\n".join(lines)


def kept_readings(text: str, name: str) -> ReadingsKept:
    """Read a file as it is written, to write it again.

    Args:
        text: TOML that `jounce.fit.readings_file.parse_readings` takes
        name: name of the file, for messages

    Raises:
        InputError: the text is no TOML
    """
    written = read_toml(text, name)
    entries, wider, measured = written.get("reading"), written.get("plus_minus"), written.get("measured")
    return ReadingsKept(
        tuple(one for one in entries if isinstance(one, Mapping)) if isinstance(entries, list) else (),
        dict(flat(wider)) if isinstance(wider, Mapping) else {},
        {str(key): str(value) for key, value in measured.items()} if isinstance(measured, Mapping) else {},
    )


def _value(value: object) -> str:
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{json.dumps(str(key))} = {_value(one)}" for key, one in value.items()) + " }"
    if isinstance(value, Sequence) and not isinstance(value, str):
        return "[" + ", ".join(map(_value, value)) + "]"
    if isinstance(value, int | float):
        return repr(value)
    return json.dumps(str(value), ensure_ascii=False)
