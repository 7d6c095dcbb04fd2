"""The code on a screen: an address as a symbol that a phone reads."""

from __future__ import annotations

import io

import segno

__all__ = ["screen_code"]

_MODULE = 6
"""Side of one module on the screen [px]: a hand's breadth for an address, read from half a metre."""


def screen_code(link: str) -> str:
    """The symbol as SVG to stand in a page, dark on light, with its quiet zone.

    Source: ISO/IEC 18004, by a library; a screen is clean, so that the lowest level of correction will do.

    Args:
        link: the address
    """
    into = io.BytesIO()
    segno.make(link, error="l", micro=False).save(
        into,
        kind="svg",
        border=4,
        scale=_MODULE,
        light="white",
        xmldecl=False,
        svgns=False,
        title="Code to open this page",
    )
    return into.getvalue().decode()
