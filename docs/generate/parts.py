"""Which files of the documentation are generated, and what each of them should hold now."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from generate.axes_picture import axes_picture
from generate.car_keys import reference_tables, refreshed
from generate.layout_cars import PICTURED
from generate.layout_pages import layout_pages
from generate.layout_picture import layout_picture
from generate.motion_picture import motion_picture
from generate.notebook_cell import notebook_cell
from generate.quantity_table import quantity_table
from generate.reading_kinds import reading_tables
from generate.shelf_keys import shelf_tables
from generate.sign_table import sign_table
from generate.survey_keys import survey_tables
from generate.usual_table import usual_table
from generate.validation_table import validation_table
from generate.wheel_picture import wheel_picture

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"

PICTURES: dict[str, Callable[[], str]] = {
    "axes.svg": axes_picture,
    "wheel.svg": wheel_picture,
    "motion.svg": motion_picture,
}
BLOCKS: dict[str, tuple[str, Callable[[], str]]] = {
    "conventions.md": ("signs", sign_table),
    "manual/library.md": ("what a notebook shows", notebook_cell),
    "remarks.md": ("usual ranges", usual_table),
    "travel-columns.md": ("quantities", quantity_table),
    "validation.md": ("published numbers", lambda: validation_table(ROOT)),
}


def generated_files() -> dict[Path, str]:
    """Text that each generated file should hold: pictures and the layouts' pages whole, others with renewed blocks."""
    files = {DOCS / "pictures" / name: picture() for name, picture in PICTURES.items()}
    for page, (block, table) in BLOCKS.items():
        path = DOCS / page
        files[path] = with_block(path.read_text("utf-8"), block, table())
    tables = {DOCS / "shelf-file.md": shelf_tables(), DOCS / "readings-file.md": reading_tables()}
    tables |= {DOCS / "photographs.md": survey_tables()}
    tables |= dict.fromkeys((DOCS / "car-file").glob("*.md"), reference_tables())
    files |= {path: refreshed(path.read_text("utf-8"), table) for path, table in tables.items()}
    layouts = DOCS / "layouts"
    files |= {layouts / name: page for name, page in layout_pages().items()}
    files |= {layouts / f"{shown.name}.svg": layout_picture(shown) for every in PICTURED.values() for shown in every}
    return files


def with_block(page: str, block: str, text: str) -> str:
    r"""Replace what stands between the two marks of a block.

    Args:
        page: text of the whole page
        block: name in the marks ``<!-- generated: name -->`` and ``<!-- end: name -->``
        text: what to put between them

    Returns:
        The page with the block replaced.

    Raises:
        ValueError: the page lacks one of the marks.

    >>> with_block("a <!-- generated: x --> old <!-- end: x --> b", "x", "new")
    'a <!-- generated: x -->\nnew\n<!-- end: x --> b'
    """
    start, end = f"<!-- generated: {block} -->", f"<!-- end: {block} -->"
    before, found_start, rest = page.partition(start)
    _, found_end, after = rest.partition(end)
    if not found_start or not found_end:
        raise ValueError(f"the page lacks the marks {start} and {end}")
    return f"{before}{start}\n{text.strip()}\n{end}{after}"
