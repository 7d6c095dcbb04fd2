"""Which parts of the shop's shelf the parts of a change list are, by their codes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated

from pydantic import AfterValidator, Field

from jounce.car.file.fields import refuse
from jounce.car.file.section import Section
from jounce.conventions.errors import InputError

__all__ = ["ShelfAxle", "ShelfCodes", "code_and_lots", "lots_for", "pieces_of"]

_ACROSS = frozenset({"roll_bar", "roll_bar_2", "inner_bar", "panhard", "watt_bracket", "rack"})
"""Keys of parts of which an axle has one; of all others it has one for each side."""


def pieces_of(key: str) -> int:
    """How many pieces of a part an axle takes.

    Args:
        key: key of the change list
    """
    return 1 if key in _ACROSS else 2


def lots_for(pieces: int, pieces_of_a_lot: int) -> int:
    """How many lots have to be bought.

    Args:
        pieces: pieces that are needed
        pieces_of_a_lot: pieces that are sold together
    """
    return -(-pieces // pieces_of_a_lot)


_WITH_LOTS = re.compile(r"(?P<code>[A-Za-z0-9][A-Za-z0-9_.-]*)\s*(?:=\s*(?P<lots>[1-9]\d{0,3}))?")


def code_and_lots(written: str) -> tuple[str, int]:
    """Code and number of lots of ``CODE`` or ``CODE=2``.

    Args:
        written: the text

    Raises:
        InputError: neither form

    >>> code_and_lots("LK-10=2")
    ('LK-10', 2)
    """
    match = _WITH_LOTS.fullmatch(written.strip())
    if match is None:
        raise InputError("This is no code of a part", found=repr(written), allowed='"CODE" or "CODE=2" for two lots')
    return match["code"], int(match["lots"] or 1)


def _check_code(written: str) -> str:
    try:
        code_and_lots(written)
    except InputError as problem:
        refuse(problem)
    return written


Code = Annotated[str, AfterValidator(_check_code)]


class ShelfAxle(Section):
    """Codes of the parts of one axle's change list."""

    torsion_bar: Code | None = Field(default=None, description="new torsion bars")
    spring: Code | None = Field(default=None, description="new coil springs")
    helper: Code | None = Field(default=None, description="helper springs below them")
    leaf: Code | None = Field(default=None, description="new leaf springs")
    perch: Code | None = Field(default=None, description="threaded perches")
    spacer: Code | None = Field(default=None, description="pads, spacers or blocks at the springs' seats")
    shackle: Code | None = Field(default=None, description="shackles of leaf springs")
    damper: Code | None = Field(default=None, description="new dampers")
    bump_stop: Code | None = Field(default=None, description="new bump stops")
    ball_joint_spacer: Code | None = Field(default=None, description="spacers at the lower ball joints")
    rack: Code | None = Field(default=None, description="shims under the rack")
    tie_rod_spacer: Code | None = Field(default=None, description="spacers at the outer joints of tie rods")
    top_plate: Code | None = Field(default=None, description="top plates with slots")
    watt_bracket: Code | None = Field(default=None, description="a movable bracket of the Watt linkage")
    drop_link: Code | None = Field(default=None, description="adjustable drop links of anti-roll bars")
    toe_rod: Code | None = Field(default=None, description="rods that set the toe")
    camber_link: Code | None = Field(default=None, description="links whose lengths set camber")
    caster_link: Code | None = Field(default=None, description="links whose lengths set caster")
    shims: Code | None = Field(default=None, description="shims under the hubs")
    upper_joint: Code | None = Field(default=None, description="what moves the upper joints of wishbones")
    roll_bar: Code | None = Field(default=None, description="another anti-roll bar, or an added one")
    roll_bar_2: Code | None = Field(default=None, description="a second anti-roll bar on the same link")
    panhard: Code | None = Field(default=None, description="an adjustable Panhard rod")
    trailing_links: Code | None = Field(default=None, description="trailing links or arms that can be set")
    inner_bar: Code | None = Field(default=None, description="another bar inside the tube")
    wheel: Code | None = Field(default=None, description="other wheels")


class ShelfCodes(Section):
    """Codes of the shelf for the parts of the change list, and of what else is sold with them."""

    front: ShelfAxle = Field(default=ShelfAxle(), description="parts of the front axle")
    rear: ShelfAxle = Field(default=ShelfAxle(), description="parts of the rear axle")
    also: tuple[Code, ...] = Field(
        default=(), description='what else is sold with them: "CODE", or "CODE=2" for two lots'
    )

    def named(self) -> Iterator[tuple[str, str, str]]:
        """Axle, key of its change list, and code of each part that is told."""
        for axle, section in (("front", self.front), ("rear", self.rear)):
            yield from ((axle, key, code) for key, code in section if code is not None)
