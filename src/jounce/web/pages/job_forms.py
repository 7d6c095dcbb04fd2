"""The two forms of a job: what is wanted of the car, and the sizes of its new parts.

What cannot be worked out is told beside its field, with the value that can be reached, before anything is saved.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import product
from math import ceil

from starlette.responses import Response

from jounce.book import Entry
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import read_measured
from jounce.car.file.reading import read_toml
from jounce.car.file.rewriting import rewritten
from jounce.conventions.axes import ENDS, SIDES, End
from jounce.conventions.errors import InputError, JounceError
from jounce.conventions.typed import neat, with_unit
from jounce.conventions.units import Kind, show, unit_of
from jounce.job.document import SET_ALONE, JobDocument, WantedAxle
from jounce.job.file import parse_job
from jounce.job.fitting import bars_carried, links_apart
from jounce.job.height_reach import Beyond, beyond_reach
from jounce.job.joint_spacers import spacers_taken
from jounce.job.part_words import exchanged
from jounce.measuring.typed_toe import rim_of, toe_with_unit
from jounce.shelf.book_entries import shelf_of
from jounce.shelf.describe import price_of, stock_of
from jounce.shelf.shelf import Shelf
from jounce.web.case_cache import car_read, case_of, job_of, read_pair
from jounce.web.field_errors import beside
from jounce.web.pages.job import STEPS, step_page
from jounce.web.pages.job_places import WRITTEN, choices_for, places_of, with_places
from jounce.web.request import PageRequest, onward
from jounce.web.saving import keep, onward_saved, since_opened
from jounce.web.shop_settings import rules_text
from jounce.web.undo import mark

__all__ = ["aim", "changes", "place"]

Field = tuple[str, str, Kind | None]
"""Key in the job file, label, what it measures; None where one of `_WORDS` is chosen."""
_WORDS = {"": "leave them as they are", "left": "the left one", "right": "the right one"}
"""Whose drop links are set, by the word of the job file."""
_AIMS: tuple[Field, ...] = (
    ("wanted.front.lower", "front lower by", Kind.LENGTH),
    ("wanted.rear.lower", "rear lower by", Kind.LENGTH),
    ("wanted.cross_weight", "weight on front right and rear left", Kind.SHARE),
)
_ANGLES = (("camber", "camber, both wheels"), ("caster", "caster, both wheels"), ("toe", "toe, each wheel"))
_SIZES: tuple[Field, ...] = (
    ("torsion_bar.diameter", "torsion bars, diameter", Kind.LENGTH),
    ("torsion_bar.active_length", "torsion bars, active length", Kind.LENGTH),
    ("spring.rate", "coils, rate", Kind.SPRING_RATE),
    ("spring.free_length", "coils, free length", Kind.LENGTH),
    ("leaf.rate", "leaf springs, rate", Kind.SPRING_RATE),
    ("leaf.free_camber", "leaf springs, free camber", Kind.LENGTH),
    ("spacer.height", "spring spacers, height", Kind.LENGTH),
    ("roll_bar.diameter", "anti-roll bar, diameter", Kind.LENGTH),
    ("roll_bar_2.diameter", "second anti-roll bar, diameter", Kind.LENGTH),
    ("inner_bar.diameter", "bar inside the tube, diameter", Kind.LENGTH),
    ("wheel.heavier", "wheels, each heavier by", Kind.MASS),
    ("bump_stop.free_height", "bump rubber, free height", Kind.LENGTH),
    ("panhard.thread_diameter", "Panhard rod, thread", Kind.LENGTH),
    ("panhard.thread_engaged", "Panhard rod, thread screwed in at its shortest", Kind.LENGTH),
    ("shims.flange", "hub shims, length of the flange", Kind.LENGTH),
    ("shims.thickest", "hub shims, thickest", Kind.LENGTH),
    ("shims.step", "hub shims, step of thickness", Kind.LENGTH),
    ("drop_link.shortest", "drop links, shortest", Kind.LENGTH),
    ("drop_link.longest", "drop links, longest", Kind.LENGTH),
    ("drop_link.thread_pitch", "drop links, longer in a turn", Kind.LENGTH),
    ("shackle.longer", "shackles, longer by up to", Kind.LENGTH),
    ("shackle.shorter", "shackles, shorter by up to", Kind.LENGTH),
    ("shackle.step", "shackles, step of their holes", Kind.LENGTH),
    ("shackle.shortest", "shackles, shortest", Kind.LENGTH),
    ("shackle.longest", "shackles, longest", Kind.LENGTH),
    ("ball_joint_spacer.height", "spacers at the lower ball joints, height", Kind.LENGTH),
    ("rack.higher", "rack, higher by", Kind.LENGTH),
    ("rack.shim", "rack, thickness of its shims", Kind.LENGTH),
    ("rack.up", "rack, higher by up to", Kind.LENGTH),
    ("rack.down", "rack, lower by up to", Kind.LENGTH),
    ("tie_rod_spacer.highest", "spacers at the tie rods' outer joints, highest", Kind.LENGTH),
    ("tie_rod_spacer.step", "spacers at the tie rods' outer joints, step", Kind.LENGTH),
    ("tie_rod_spacer.height", "spacers at the tie rods' outer joints, height", Kind.LENGTH),
    ("toe_rod.longer", "tie rods or toe links, longer by up to", Kind.LENGTH),
    ("toe_rod.shorter", "tie rods or toe links, shorter by up to", Kind.LENGTH),
    *(
        (f"{aim}_link.{key}", f"links that set {aim}, {words}", Kind.LENGTH)
        for aim in ("camber", "caster")
        for key, words in (
            ("longer", "longer by up to"),
            ("shorter", "shorter by up to"),
            ("thread_pitch", "longer in a turn"),
        )
    ),
    ("trailing_links.longer", "trailing links, longer by up to", Kind.LENGTH),
    ("trailing_links.shorter", "trailing links, shorter by up to", Kind.LENGTH),
    ("trailing_links.thread_pitch", "trailing links, longer in a turn", Kind.LENGTH),
    ("watt_bracket.left", "Watt linkage's bracket, to the left", Kind.LENGTH),
    ("watt_bracket.right", "Watt linkage's bracket, to the right", Kind.LENGTH),
    ("watt_bracket.step", "Watt linkage's bracket, step of its holes", Kind.LENGTH),
    ("upper_joint.eccentricity", "upper joints, eccentricity of their bolts", Kind.LENGTH),
    *(
        (f"{part}.reach_{way}", f"{name}, slot {word}", Kind.LENGTH)
        for part, name in (("top_plate", "top plates"), ("upper_joint", "upper joints"))
        for way, word in (("inward", "inward"), ("outward", "outward"), ("fore", "forward"), ("rear", "rearward"))
    ),
)
PARTS: tuple[Field, ...] = tuple(
    (f"change.{end}.{key}", f"{end} {label}", kind) for end in ENDS for key, label, kind in _SIZES
)


def aims(document: CarDocument, job: JobDocument) -> tuple[Field, ...]:
    """What may be asked of a car: heights, cross weight, the angles that its axles can be set for, bars set free.

    Args:
        document: the car
        job: whose anti-roll bars are those that are exchanged
    """
    heights = [one for end in ENDS if _said_as_height(job.wanted.of(end)) for one in _heights(end)]
    angles: list[Field] = []
    for end in ENDS:
        settable = {adjuster.sets for adjuster in document.axle(end).as_layout().adjusters} | set(
            job.change.of(end).links
        )
        for angle, label in _ANGLES:
            if angle in settable:
                angles.append((f"wanted.{end}.{angle}", f"{end} {label}", Kind.ANGLE))
                angles += [(f"wanted.{end}.{s}_{angle}", f"{end} {angle}, {s} alone", Kind.ANGLE) for s in SIDES]
        if "tie_rod_spacer" in spacers_taken(document.axle(end)):
            angles.append((f"wanted.{end}.bump_steer", f"{end} bump steer, + toe-in with bump", Kind.RATIO_ANGLE))
        if "thrust" in settable and job.change.of(end).trailing_links is not None:
            angles.append((f"wanted.{end}.thrust", f"{end} thrust line, + to the left", Kind.ANGLE))
    for end in ENDS:
        bars = bars_carried(document.axle(end), job.change.of(end))
        if job.wanted.of(end).free_bars or (bars and links_apart(bars)):
            angles.append((f"wanted.{end}.free_bars", f"{end} anti-roll bars set free by which drop link", None))
    return (*_AIMS, *heights, *angles)


def _said_as_height(wanted: WantedAxle) -> bool:
    """Whether where an axle is to stand was said as heights, not as how much lower: only then is it asked so."""
    return any(one is not None for one in (wanted.height, wanted.left_height, wanted.right_height))


def _heights(end: End) -> Iterator[Field]:
    """The heights of an axle, both sides alike or each for itself."""
    yield f"wanted.{end}.height", f"{end} wheel centre to arch, both sides", Kind.LENGTH
    for side in SIDES:
        yield f"wanted.{end}.{side}_height", f"{end} wheel centre to arch, {side} alone", Kind.LENGTH


_ASKED = (
    "panhard",
    *SET_ALONE,
    "shackle",
    "rack",
    "tie_rod_spacer",
)
FOR_CHECKS = frozenset(
    f"change.{end}.{key}"
    for end in ENDS
    for key, _, _ in _SIZES
    if key.partition(".")[0] in _ASKED or key in {"spring.free_length", "leaf.free_camber"}
)
"""Sizes that a check asks for or that say how far a part goes: any such part has their fields, told or not."""


_LENGTHS, _DIFFERENCES = ("shortest", "longest"), ("longer", "shorter")
"""Two ways to tell how far a part goes; the fields of the one that was not taken are not shown."""


def _asks(written: object, key: str) -> bool:
    """Whether a part of the job has use for a size that is not told of it."""
    section, _, size = key.rpartition(".")
    part = _at(written, section)
    other = _DIFFERENCES if size in _LENGTHS else _LENGTHS if size in _DIFFERENCES else ()
    return isinstance(part, dict) and not any(one in part for one in other)


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a form was not saved.

    Attributes:
        wrong: what is wrong with a field, by its key
        rest: what is wrong and belongs to no field
        sound: whether it can be read, so that it may be saved all the same

    """

    wrong: Mapping[str, str] = field(default_factory=dict)
    rest: tuple[str, ...] = ()
    sound: bool = False


def aim(ask: PageRequest) -> Response:
    """What is asked of the car."""
    job, car = job_of(ask)
    return _fields_page(ask, "aim", aims(car_read(car.content), parse_job(job.content, job.name)))


def changes(ask: PageRequest) -> Response:
    """Which parts are exchanged: their sizes, and parts of the shelf in their places."""
    return _places_page(ask) if "places" in ask.form else _fields_page(ask, "changes", PARTS)


def _fields_page(ask: PageRequest, step: str, fields: tuple[Field, ...]) -> Response:
    """A form over some numbers of the job file; the file keeps its comments and all that is not on the form."""
    job, car = job_of(ask)
    kinds = [key for key, _, _ in fields]
    shown = _shown(ask, fields, job.content)
    if not ask.form:
        refusal = _refusal(ask, job.content, car.content, kinds) if "why" in ask.query else Refusal()
        return _page(ask, step, (job, car), refusal, {})
    since = since_opened(ask, job, lambda text: _shown(ask, fields, text))
    changed, unread = _changed(ask, fields, _shown(ask, fields, since.before.content), car.content)
    twice = [key for key in changed if key in since.changed and (changed[key] or "") != shown[key]]
    then = ask.form.get("then", "")
    address = f"/jobs/{job.id}/{then if then in dict(STEPS) else step}"
    if not changed and not unread:
        return onward(f"/jobs/{job.id}/search?open=ends" if "anyway" in ask.form else address)
    if twice or unread:
        refusal = Refusal({key: since.told(key, shown[key]) for key in twice} | unread)
    else:
        text = rewritten(job.content, changed)
        refusal = _refusal(ask, text, car.content, kinds)
        if _may_be_saved(ask, refusal):
            told = [f"{label} {changed[key] or 'as it is'}" for key, label, _ in fields if key in changed]
            note = f"{dict(STEPS)[step].lower()}: {', '.join(told)}{since.note}"
            return _saved(ask, keep(ask, job, text, note, number=job.number), address)
    return _page(
        ask,
        step,
        (job, car),
        refusal,
        {key: ask.form[key] for key in (*changed, *unread) if key in shown and key in ask.form},
    )


def place(ask: PageRequest) -> Response:
    """The parts of the shelf for one place of the car; a click puts one in."""
    job, car = job_of(ask)
    name = ask.query.get("name", "")
    if not name:
        return onward(f"/jobs/{job.id}/changes#places")
    found = choices_for(name, parse_job(job.content, job.name), car_read(car.content), _shelf(ask))
    return step_page(ask, "place", job, car, place=found)


def _places_page(ask: PageRequest) -> Response:
    """Put parts of the shelf into places of the change list, or take parts out."""
    job, car = job_of(ask)
    document, shelf = car_read(car.content), _shelf(ask)

    def now_of(text: str) -> dict[str, str]:
        return {f"place.{one.name}": one.now for one in places_of(parse_job(text, job.name), document, shelf)}

    since, now = since_opened(ask, job, now_of), now_of(job.content)
    before = now_of(since.before.content)
    chosen = {key: ask.form[key] for key in now if ask.form.get(key, before[key]) not in {before[key], WRITTEN}}
    twice = [key for key in chosen if key in since.changed and chosen[key] != now[key]]
    if not chosen:
        return onward(f"/jobs/{job.id}/changes")
    if twice:
        refusal = Refusal({key: since.told(key, now[key]) for key in twice})
    else:
        places = {key.removeprefix("place."): code for key, code in chosen.items()}
        try:
            text = with_places(job.content, places, document, shelf)
        except JounceError as error:
            refusal = Refusal(rest=(str(error),))
        else:
            refusal = _refusal(ask, text, car.content, ())
            if _may_be_saved(ask, refusal):
                told = [f"{place} {code or 'taken out'}" for place, code in places.items()]
                kept = keep(ask, job, text, f"parts: {', '.join(told)}{since.note}", number=job.number)
                return _saved(ask, kept, f"/jobs/{job.id}/changes")
    return _page(ask, "changes", (job, car), refusal, chosen)


def _may_be_saved(ask: PageRequest, refusal: Refusal) -> bool:
    return not (refusal.wrong or refusal.rest) or (refusal.sound and "anyway" in ask.form)


def _saved(ask: PageRequest, kept: Entry, address: str) -> Response:
    if "anyway" in ask.form:
        return onward(f"/jobs/{kept.id}/search?open=ends&{mark(kept)}")
    return onward_saved(address, kept)


def _page(
    ask: PageRequest, step: str, pair: tuple[Entry, Entry], refusal: Refusal, typed: Mapping[str, str]
) -> Response:
    job, car = pair
    document = parse_job(job.content, job.name)
    measured = car_read(car.content)
    asked = aims(measured, document)
    shown = _shown(ask, asked + PARTS, job.content) | dict(typed)
    written = read_toml(job.content, "")
    there = [key for key, _, _ in PARTS if shown[key] or (key in FOR_CHECKS and _asks(written, key))]
    fields = asked if step == "aim" else tuple(field for field in PARTS if field[0] in there)
    return step_page(
        ask,
        step,
        job,
        car,
        status=422 if refusal.wrong or refusal.rest else 200,
        fields=[(key, label, kind, shown[key]) for key, label, kind in fields],
        words=_WORDS,
        refusal=refusal,
        number=job.number,
        ordered=exchanged(document, ask.desk.units),
        places=[] if step == "aim" else places_of(document, measured, _shelf(ask)),
        chosen=typed,
        price_of=price_of,
        stock_of=stock_of,
    )


def _shelf(ask: PageRequest) -> Shelf:
    return shelf_of(part.content for part in ask.book.entries("part"))


def _shown(ask: PageRequest, fields: tuple[Field, ...], text: str) -> dict[str, str]:
    written = read_toml(text, "")
    return {key: _as_shown(_at(written, key), kind, ask.desk.units) for key, _, kind in fields}


def _refusal(ask: PageRequest, text: str, car_text: str, kinds: Iterable[str]) -> Refusal:
    """What speaks against saving a job: it cannot be read, or the car cannot be as it says."""
    try:
        document, measured = read_pair(text, car_text)
    except JounceError as error:
        wrong, rest = beside(error, kinds)
        return Refusal(wrong, tuple(rest))
    try:
        _ = case_of(text, car_text, rules_text(ask.book)).every_check
    except JounceError as error:
        wrong = {
            f"wanted.{one.axle}.lower": _beyond_told(one, ask.desk.units) for one in beyond_reach(measured, document)
        }
        if wrong and set(wrong) <= set(kinds):
            return Refusal(wrong, sound=True)
        return Refusal(rest=(error.message,), sound=True)
    return Refusal()


def _beyond_told(one: Beyond, units: str) -> str:
    """How far an axle goes, in a round number that it really reaches."""
    unit, way = unit_of(Kind.LENGTH, units), "lower" if one.asked > 0 else "higher"
    step = 10.0 ** (1 - unit.decimals)
    most = max(ceil(abs(one.farthest) / unit.factor / step - 1e-9) - 1, 0) * step
    return (
        f"The {one.axle} goes {most:.{max(unit.decimals - 1, 0)}f} {unit.symbol} {way} at the very most, not "
        f"{show(abs(one.asked), Kind.LENGTH, units)}: there its wheels come to their end ({one.end}). Ask for less, or "
        "look for other dampers and bump rubbers."
    )


def _changed(
    ask: PageRequest, fields: tuple[Field, ...], shown: Mapping[str, str], car_text: str
) -> tuple[dict[str, object], dict[str, str]]:
    """New values by key, only what was really typed over, without the old one's origin; and what is no toe."""
    changed: dict[str, object] = {}
    unread: dict[str, str] = {}
    for key, _, kind in fields:
        given = ask.form.get(key)
        if given is None or given.strip() == shown[key]:
            continue
        try:
            changed[key] = _with_unit(ask, key, given, kind, car_text) if given.strip() else None
        except InputError as error:
            unread[key] = error.message
        if key.endswith(".lower"):  # the one way of saying the height replaces the others
            table = key.removesuffix("lower")
            changed |= dict.fromkeys((f"{table}height", f"{table}left_height", f"{table}right_height"))
        elif key.endswith(".toe"):
            changed[f"{key}_diameter"] = None
    return changed | _other_ways(changed, shown), unread


def _other_ways(changed: Mapping[str, object], shown: Mapping[str, str]) -> dict[str, object]:
    """What one way of saying an angle or a height replaces: both wheels' one that of each, and the other way round.

    Of a wheel that was not told for itself it stays what it was for both.
    """
    replaced: dict[str, object] = {}
    for end, angle in product(ENDS, ("height", *(angle for angle, _ in _ANGLES))):
        both, *sides = (f"wanted.{end}.{key}" for key in (angle, *(f"{side}_{angle}" for side in SIDES)))
        if both not in shown:
            continue
        if any(changed.get(side) for side in sides):
            replaced |= {side: shown[both] for side in sides if shown[both] and not (changed.get(side) or shown[side])}
            replaced |= {both: None} if shown[both] and not changed.get(both) else {}
        elif changed.get(both):
            replaced |= {side: None for side in sides if shown[side]}
    return replaced


def _with_unit(ask: PageRequest, key: str, given: str, kind: Kind | None, car_text: str) -> str:
    if kind is None:
        if given not in _WORDS:
            allowed = ", ".join(f'"{word}"' for word in _WORDS)
            raise InputError("This is none of the words", found=f'"{given}"', allowed=allowed, todo="Choose one.")
        return given
    if key.endswith("toe"):
        return toe_with_unit(given, ask.desk.units, rim_of(car_read(car_text), key.split(".")[1]))
    return with_unit(given, kind, ask.desk.units)


def _at(written: object, key: str) -> object:
    for step in key.split("."):
        if not isinstance(written, dict) or step not in written:
            return None
        written = written[step]
    return written


def _as_shown(written: object, kind: Kind | None, units: str) -> str:
    """A value of the file in the units of the page, with its ±, as exactly as it was written; empty where there is none."""
    if written is None or kind is None:
        return str(written or "")
    try:
        measured = read_measured(written, kind)
    except JounceError:  # written by hand in another way: as it stands there
        return str(written)
    unit = unit_of(kind, units)
    value, band = (neat(number / unit.factor, unit.decimals) for number in (measured.value, measured.plus_minus))
    symbol = "" if unit.symbol == "-" else f" {unit.symbol}"
    return f"{value} ± {band}{symbol}" if measured.plus_minus else f"{value}{symbol}"
