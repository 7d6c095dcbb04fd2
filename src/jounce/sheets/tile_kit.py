"""The printed tiles for photographs: a page that tells what to do, then pages of tiles to cut out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from jounce.conventions.errors import InputError
from jounce.photographs.tags import tag_cells
from jounce.photographs.tiles import CELLS, KINDS, PAPER, TOUCHING, TileKind
from jounce.sheets.paperwork import Paper, Translator
from jounce.sheets.printing import in_words_of, typeset

__all__ = ["CAUTIONS", "POINTER", "STEPS", "tile_kit"]

_GAP = 2.0  # mm
_ROOM: dict[Paper, tuple[float, float]] = {"a4": (192, 252), "us-letter": (197, 234)}  # mm, of a page's tiles
_USUAL = {"control": 20, "pivot": 18}
_SAID, _SAID_OF_PAGE = ("name", "check", "cover", "parts", "forms"), ("head", "name", "lines", "forms")
"""Parts of the whole and of a page that are texts; numbers of tiles are not."""

STEPS = (
    (
        "Print at 100 %, without fitting to the page, on matt card. Hold a steel rule to the line below: it is "
        "100 mm long. A printer that is a little off does no harm, the ruler of step 4 tells; a crooked or glossy "
        "sheet does."
    ),
    (
        "Cut along the dotted lines. Glue each tile flat on card or sheet metal; paper that bulges half a "
        "millimetre costs a millimetre."
    ),
    (
        "Stick control tiles where nothing moves: six on the sill, ten on boards on the floor beside it, a few on "
        "wing and hub, at different depths. Stick a pivot tile squarely on each pivot, and write down its number "
        "and how far the middle of the joint lies behind the paper."
    ),
    (
        "Lay a steel rule into the scene and stick two control tiles to it, or tape between two tiles: one "
        "distance of about a metre, known to 0.3 mm. Without it nothing is told in millimetres."
    ),
    (
        "Take about twenty photographs: walk round, at two heights, some with the telephone turned a quarter, each with at "
        "least four tiles of the one before. One lens, no zoom, no portrait mode, no panorama; stand still to "
        "shoot. A tile should fill a sixtieth of the picture's width or more."
    ),
    "Touch neither car nor tiles until the last photograph is taken.",
)
"""What to do, in order."""

POINTER = (
    "For points that carry no tile, or whose tile would be seen from nowhere.",
    (
        "Cut round all four tiles together, not between them. Glue the board flat on a stiff plate, and the plate to a "
        "stiff stick with a hard, sharp tip; 15 to 30 cm from the board to the tip."
    ),
    (
        "Set the tip in a punch mark in something heavy among the control tiles. Lean the stick six times another way, by "
        "30 degrees and more: left, right, towards you, away, turned round itself. Each time it stands still, held by a "
        "clamp, a magnet or clay, for two or three photographs from different sides."
    ),
    (
        "Then set the tip to each point in the same way, and at both ends of a bolt where its middle is sought. Write down "
        "which photographs are of which stand. Three touches of the floor tell the ground where no board lies on it."
    ),
)
"""What to do with the board of the pointer, in order."""

FORMS: list[dict[str, Any]] = [
    {
        "head": "Pivots",
        "columns": ["tile", "pivot, left or right", "joint behind the paper", "±"],
        "widths": [2, 7, 4, 2],
        "rows": 10,
    },
    {
        "head": "Known lengths, heights over the ground, tiles on the floor",
        "columns": ["tile", "to tile, or ground", "distance", "±"],
        "widths": [2, 7, 4, 2],
        "rows": 6,
    },
]
"""Tables to write into at the car, with what each asks for."""
_STANDS: dict[str, Any] = {
    "head": "Stands of the pointer",
    "columns": ["photographs", "what the tip touches, left or right", "±"],
    "widths": [4, 8, 2],
    "rows": 7,
}

CAUTIONS = (
    (
        "The car stands on its wheels on the ground or on a lift with its wheels carried, or on stands rated for "
        "it. Never put head or hands under a car that a jack alone holds."
    ),
    "Nobody touches, loads or starts the car while it is photographed.",
    ("Ignition off. Keep tiles, card and hands off battery terminals, fans, belts and orange high-voltage cables."),
    ("Exhaust, brakes and engine are hot for an hour after driving: let them cool before anything is stuck near them."),
    "Take every tile off before the car is driven.",
)
"""What to look out for."""


def tile_kit(
    paper: Paper = "a4",
    control: int = _USUAL["control"],
    pivots: int = _USUAL["pivot"],
    *,
    pointer: bool = True,
    speaks: Translator | None = None,
) -> bytes:
    """The tiles as PDF.

    Args:
        paper: size of the sheets
        control: how many control tiles
        pivots: how many pivot tiles
        pointer: whether the board of the pointer is among them
        speaks: the house's words; None for the program's own

    Raises:
        InputError: there are not so many
    """
    pages: list[dict[str, Any]] = []
    for word, wanted in (("control", control), ("pivot", pivots)):
        kind = KINDS[word]
        most = kind.last - kind.first + 1
        if not 0 <= wanted <= most:
            raise InputError(
                f"There are not so many {word} tiles", found=str(wanted), allowed=f"0 to {most}", todo="Ask for fewer."
            )
        pages += _pages(word, kind, wanted, paper)
    if pointer:
        pages.append(_board(KINDS["pointer"]))
    for number, page in enumerate(pages, start=2):
        page["name"] = f"page {number} of {len(pages) + 1}"
    said = [in_words_of(speaks, page, [part for part in _SAID_OF_PAGE if part in page]) for page in pages]
    data = {
        "name": "Tiles for photographs",
        "paper": paper,
        "check": "This line is 100 mm long: check it with a rule before you use the sheet.",
        "cover": f"page 1 of {len(pages) + 1}",
        "parts": [
            {"head": "How to do it", "lines": list(STEPS)},
            {"head": "Look out", "lines": list(CAUTIONS)},
        ],
        "forms": FORMS,
        "pages": said,
    }
    return typeset("tiles.typ", in_words_of(speaks, data, _SAID))


def _pages(word: str, kind: TileKind, count: int, paper: Paper) -> list[dict[str, Any]]:
    """Pages of one kind of tiles, as many on each as fit."""
    across = 2 * PAPER * 1e3 * kind.side / CELLS + _GAP
    columns, rows = (int((room + _GAP) // across) for room in _ROOM[paper])
    each = columns * rows
    numbers = range(kind.first, kind.first + count)
    return [
        {
            "head": f"{word.capitalize()} tiles {some[0]} to {some[-1]}, side {1e3 * kind.side:.0f} mm",
            "columns": columns,
            "tiles": [_tile(number, kind.side) for number in some],
        }
        for start in range(0, count, each)
        for some in [numbers[start : start + each]]
    ]


def _board(kind: TileKind) -> dict[str, Any]:
    """The page with the pointer's board: its tiles in two rows, the gap between them as wide as that of a page."""
    numbers = range(kind.first, kind.last + 1)
    return {
        "head": f"Board of the pointer, tiles {numbers[0]} to {numbers[-1]}",
        "lines": list(POINTER),
        "whole": True,
        "forms": [_STANDS],
        "columns": 2,
        "tiles": [_tile(number, kind.side) for number in numbers],
    }


def _tile(number: int, side: float) -> dict[str, Any]:
    """A tile's black parts as left, upper, width and height [mm], and half its paper."""
    cell = 1e3 * side / CELLS
    edge = PAPER * cell - 4 * cell
    black: list[Sequence[float]] = [(edge, edge, 8 * cell, 8 * cell)]
    white = tag_cells(number)
    near, far = edge - TOUCHING * cell, edge + 8 * cell
    black += [(left, upper, TOUCHING * cell, TOUCHING * cell) for left in (near, far) for upper in (near, far)]
    light = [
        (edge + column * cell, edge + row * cell, cell, cell)
        for row in range(CELLS)
        for column in range(CELLS)
        if white[row, column]
    ]
    return {"paper": PAPER * cell, "black": [list(one) for one in black], "white": light, "label": f"{number} ↑"}
