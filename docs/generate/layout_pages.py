"""One page for each layout, printed from what the layout says about itself, and their table of contents."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pydantic.fields import FieldInfo

from generate.layout_cars import PICTURED, DemoAxle, demo_axle, demo_axles
from jounce.car.file.contents import AXLES
from jounce.car.file.section import section_in
from jounce.car.mechanics.layout_input import axle_given
from jounce.layouts.adjusters import WATT_BRACKET, Adjuster, is_shim
from jounce.layouts.axle import Setting
from jounce.layouts.builder import laid_out
from jounce.layouts.bush_names import bush_names
from jounce.layouts.catalogue import LAYOUTS
from jounce.layouts.description import Layout, Pivot
from jounce.layouts.sites import SiteKind

_SPRING = {
    "coil": "a coil, `[{end}.spring]`, between `spring_upper` and `spring_lower`; with `[{end}.perch]` where its seat is"
    " threaded",
    "torsion bar": "a torsion bar in the arm's pivot line, `[{end}.torsion_bar]`",
    "leaf": "leaf springs, `[{end}.leaf]`",
}
_JOINT = {
    "ball": "a point; a bush there gives `radial`, `axial`, `torsional`, `conical`",
    "line": "a point square to an axis, free along it; a bush there gives `radial`, `torsional`,"
    " `conical`, and resists `axial`",
    "rod": "the distance of two points; a bush there gives `axial`, along the rod",
}
_TWIST = {
    "inner bar": "`[{end}.inner_bar]`: a bar that is twisted by the difference of the two sides' angles about the tube"
    " (inside it, or the tube itself)",
    "cross-member": "`[{end}.cross_member]`: the open section between the arms, by its torsional rate or by its torsion"
    " constant and length",
}
_INDEX = """# Layouts

Every kind of axle that a car file may have. Any of them may stand at either end of the car; the pages write `front` or
`rear` as in the demo car of the picture. `jounce example` writes the demo cars, which are invented.

All layouts have `[{end}.alignment]`, `[{end}.wheel]`, `[{end}.damper]`, `[{end}.bump_stop]`, `[{end}.roll_bar]`,
`[{end}.roll_bar_2]`, `[{end}.drive_shaft]` and `[{end}.clearance]` alike; the [car file](../car-file/index.md) explains
them. Points of one side are written for the left and mirrored for the right.

"""


def layout_pages() -> dict[str, str]:
    """Text of each page by the name of its file."""
    return {"index.md": _index(), **{f"{name}.md": _page(layout) for name, layout in LAYOUTS.items()}}


def _index() -> str:
    rows = [
        (f"[{layout.title}]({name}.md)", f"`{name}`", " or ".join(layout.springs), _demo_names(name))
        for name, layout in LAYOUTS.items()
    ]
    table = _table(("layout", "word in the car file", "main spring", "demo cars"), rows)
    contents = "\n".join(["```{toctree}", ":hidden:", "", *LAYOUTS, "```"])
    return f"{_INDEX.replace('{end}', '…')}{table}\n\n{contents}\n"


def _demo_names(layout: str) -> str:
    shown = [axle for axle in demo_axles() if axle.section.layout == layout]
    return ", ".join(f"`{axle.car}.toml` {axle.name}" for axle in shown)


def _page(layout: Layout) -> str:
    pictures = PICTURED[layout.name]
    end = pictures[0].axle
    parts = [
        f"# {layout.title}",
        f'`layout = "{layout.name}"`',
        layout.summary,
        *(
            f"[![{shown.about}]({shown.name}.svg)]({shown.name}.svg)\n\n"
            f"*{shown.about}: `{shown.car}.toml`, {shown.axle} axle.*"
            for shown in pictures
        ),
        *_pivots(layout, end),
        *_choices(layout, end),
        *_springs(layout, end),
        *_steering(layout, end),
        *_anti_roll_bars(layout, end),
        *_joints(layout, end),
        *_adjusted(layout),
        "## Demo cars",
        "\n".join(f"- {_shown(axle)}" for axle in demo_axles() if axle.section.layout == layout.name),
    ]
    return "\n\n".join(parts) + "\n"


def _shown(axle: DemoAxle) -> str:
    return f"`{axle.car}.toml`, {axle.name}: {axle.variant}"


def _pivots(layout: Layout, end: str) -> list[str]:
    parts = [
        "## Pivots",
        f"`[{end}.pivots]`, the left side:",
        _table(("key", "meaning", "given"), [_pivot_row(pivot) for pivot in layout.pivots]),
    ]
    for section, pivots in layout.axle_pivots.items():
        rows = [_pivot_row(pivot) for pivot in pivots]
        parts += [f"`[{end}.{section}]`, true coordinates of both sides:", _table(("key", "meaning", "given"), rows)]
    return parts


def _pivot_row(pivot: Pivot) -> tuple[str, str, str]:
    if pivot.stands_for:
        return f"`{pivot.name}`", pivot.meaning, f"or `{pivot.stands_for}`"
    needed = "with a coil" if pivot.name.startswith("spring_") and pivot.optional else "where there is one"
    return f"`{pivot.name}`", pivot.meaning, needed if pivot.optional else "always"


def _choices(layout: Layout, end: str) -> list[str]:
    """Choices, with the section's other keys (the soft axis of bushes, the rate of a tube) as the file knows them."""
    if not layout.choices and not layout.bush_axes:
        return []
    fields = _section_fields(layout.name, layout.choices_in)
    words = {choice.name: " or ".join(f'`"{word}"`' for word in choice.words) for choice in layout.choices}
    meanings = {choice.name: choice.meaning for choice in layout.choices}
    rows = [
        (f"`{name}`", words.get(name, _form(name)), _default(field), meanings.get(name, field.description or ""))
        for name, field in fields.items()
    ]
    return ["## Choices", f"`[{end}.{layout.choices_in}]`:", _table(("key", "words", "default", "meaning"), rows)]


def _section_fields(layout: str, section: str) -> dict[str, FieldInfo]:
    model = section_in(AXLES[layout].model_fields[section])
    return {} if model is None else dict(model.model_fields)


def _form(name: str) -> str:
    return "direction" if name == "bush_axis" else "N·m/deg"


def _default(field: FieldInfo) -> str:
    if field.is_required():
        return "**required**"
    if isinstance(field.default, tuple):
        return f"[{', '.join(f'{number:g}' for number in field.default)}]"
    return f'`"{field.default}"`' if field.default else ""


def _springs(layout: Layout, end: str) -> list[str]:
    found = [_SPRING[kind].format(end=end) for kind in layout.springs]
    words = f"Sprung by {found[0]}." if len(found) == 1 else "Sprung by one of these, the same on both sides:\n\n"
    listed = "" if len(found) == 1 else "\n".join(f"- {spring}" for spring in found)
    twist = [] if layout.twist is None else [f"Between the two sides twists {_TWIST[layout.twist].format(end=end)}."]
    return ["## Springs", words + listed, *twist]


def _steering(layout: Layout, end: str) -> list[str]:
    if not layout.steered:
        return []
    words = (
        f"The tie rods' inner joints sit on a rack (`[{end}.steering]`), or on the relay rod of a steering box with its "
        f"pitman and idler arm (`[{end}.steering_box]`), never both. At the rear, with neither of them, they are on the "
        "body."
    )
    return ["## Steering", words]


def _anti_roll_bars(layout: Layout, end: str) -> list[str]:
    words = " or ".join(f'`"{word}"`' for word in layout.link_on)
    return ["## Anti-roll bar", f"`link_on` of `[{end}.roll_bar]`, what carries the drop link's other end: {words}."]


def _joints(layout: Layout, end: str) -> list[str]:
    """Joints that may be bushes, told by what they hold."""
    kinds = _kinds(layout)
    groups = [
        (", ".join(f"`{name}`" for name, kind in kinds.items() if kind == each), words)
        for each, words in _JOINT.items()
        if each in kinds.values()
    ]
    words = (
        f"Each by a section of its own, such as `[{end}.bushes.{next(iter(kinds))}]`; what is not given is as rigid as "
        "the joint. A bush's axis is the joint's own unless `axis` is given."
    )
    return ["## Joints that may be bushes", words, _table(("joint", "what it holds"), groups)]


def _adjusted(layout: Layout) -> list[str]:
    """What a job sets on such an axle, and what else a workshop can turn without new pivots."""
    lines = [_set_by(adjuster) for adjuster in layout.adjusters]
    if layout.links:
        told = ", ".join(f"`{name}`" for name in layout.links)
        lines.append(f"caster and camber: the length of a link that `caster_link` and `camber_link` name, of {told}")
    lines += [f"heights and cross weight: {_HEIGHT[kind]}" for kind in layout.springs]
    rods = [name for name, kind in _kinds(layout).items() if kind == "rod" and not name.startswith("leaf")]
    alone = {adjuster.joint for adjuster in layout.adjusters if not adjuster.also}
    rods = [name for name in rods if name not in alone]
    if rods:
        told = ", ".join(f"`{name}`" for name in rods)
        lines.append(f"by hand, as drives of `jounce travel --also`: the length of {told}")
    return ["## What a job sets", "\n".join(f"- {line}" for line in lines)]


_HEIGHT = {
    "coil": "the springs' seats, threaded (`perch`) or with a `spacer`",
    "torsion bar": "the torsion bars' index, by their splines and, where there is one, their adjusting bolt",
    "leaf": "a block or spacer at the leaves' seats (`spacer`), shackles of another length (`shackle`)",
}


def _set_by(adjuster: Adjuster) -> str:
    reach = f"; `{adjuster.part}` says how far it goes" if adjuster.part else ""
    if adjuster.joint == WATT_BRACKET.joint:
        return (
            f"{_AIM[adjuster.sets]}: the {adjuster.name}, to the left or right; `{adjuster.part}` says how far it goes"
        )
    way = _SHIM[adjuster.sets] if is_shim(adjuster.joint) else _WAY[adjuster.sets]
    return f"{_AIM[adjuster.sets]}: the {adjuster.name}, {way}{reach}"


_AIM = {
    "camber": "camber",
    "caster": "caster",
    "toe": "toe",
    "centre": "the axle in the middle of the car",
    "thrust": "thrust line",
}
_SHIM = {"camber": "under the upper or lower edge of the flange", "toe": "under its front or rear edge"}
_WAY = {
    "camber": "inward or outward",
    "caster": "fore or aft",
    "toe": "by its length",
    "centre": "by its length",
    "thrust": "longer on one side and shorter on the other",
}


def _kinds(layout: Layout) -> dict[str, SiteKind]:
    """What kind of joint each is that may be a bush, taken from the axle in the first picture."""
    shown = PICTURED[layout.name][0]
    given = axle_given(demo_axle(shown.car, shown.axle).section, shown.axle, jointed=True)
    sites = laid_out(layout.build, Setting(shown.axle), given).sites.values()
    kinds = {site.name: site.kind for site in sites}
    return {name: kinds[name] for name in bush_names(layout.name)}


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in lines)
