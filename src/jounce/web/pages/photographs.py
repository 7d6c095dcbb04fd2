"""Pivots from photographs under a car: tiles, photographs looked at as they come, names, the pivots, and into the car."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from starlette.responses import Response

from jounce.book import Entry
from jounce.conventions.errors import Impossible, InputError, InputProblems, JounceError
from jounce.photographs.cover import covered, still_missing
from jounce.photographs.into_car import BY_PHOTOGRAPHS, BesideTape, beside_tape, with_photographed
from jounce.photographs.overlay import small_picture
from jounce.photographs.survey import parse_survey
from jounce.photographs.survey_text import KeptSurvey, kept_survey, photos_of
from jounce.photographs.tiles import KINDS
from jounce.photographs.vision import needed
from jounce.sheets.tile_kit import CAUTIONS, tile_kit
from jounce.web.background import BackgroundTask, TaskSpec, question_of
from jounce.web.case_cache import car_read
from jounce.web.pages.sheets import look_of, pdf_answer
from jounce.web.photographing.kept import KeptPhoto, begun, kept_photos, photographs_of, put_in, taken_out
from jounce.web.photographing.named import TOUCHES, SurveyForm, form_of, pivots_to_name, typed_form, written
from jounce.web.photographing.work import PlacedPivots, overlaid, placed
from jounce.web.request import PageRequest, find, onward, page
from jounce.web.saving import keep, onward_saved

__all__ = ["lines", "show", "small", "tiles"]

_SMALL_TILE = 30.0  # px: a smaller one tells little
_AT_ONCE = 0.3  # what is found in so short a time needs no waiting page [s]
_KIND = "photographs"
_KEY = re.compile(r"\b((?:left|right) )?(\w+)\.pivots\.(\w+)")


@dataclass(frozen=True, slots=True)
class ShownPhoto:
    """A photograph in the list: id, name, what it shows in words, and what is wrong with it."""

    id: str
    name: str
    said: str
    wrong: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShownCover:
    """A tile and from where it was photographed: dots on a half ball before it, seen from in front."""

    tile: int
    name: str
    dots: tuple[tuple[float, float], ...]
    said: str
    enough: bool


@dataclass(frozen=True, slots=True)
class ShownSet:
    """A car's photographs as they are: their entry, themselves, what was named."""

    entry: Entry | None
    photos: tuple[KeptPhoto, ...]
    kept: KeptSurvey

    @property
    def question(self) -> str:
        """All that the pivots depend on."""
        return question_of(self.kept.text, *(one.id for one in self.photos))


def show(ask: PageRequest) -> Response:
    """The photographs of a car and what they tell; forms put one in or out, name tiles, work it out, take it over."""
    car = find(ask, "car")
    if not ask.form and not ask.files:
        return _page(ask, car)
    if ask.files:
        return _put_in(ask, car)
    try:
        return _changed(ask, car)
    except JounceError as error:
        return _page(ask, car, _each(error), typed_form(ask.form) if "names" in ask.form else None)


def tiles(ask: PageRequest) -> Response:
    """The tiles as PDF, on the paper of the desk and in the house's words."""
    find(ask, "car")
    return pdf_answer(tile_kit(ask.desk.paper, speaks=look_of(ask, "").speaks), "tiles.pdf")


def small(ask: PageRequest) -> Response:
    """A photograph made small, for the list."""
    photo = _named(_set_of(ask, find(ask, "car")), ask.path["file"])
    content = small_picture(ask.book.content_of(photo.id))
    return Response(content, media_type="image/jpeg", headers={"cache-control": "private, max-age=31536000, immutable"})


def lines(ask: PageRequest) -> Response:
    """A photograph with the model's lines over it: those of the car with the photographed pivots in it."""
    car = find(ask, "car")
    result = _result(ask, car)
    if result is None:
        raise InputError("The pivots are not worked out, or no longer kept", todo="Work them out again.")
    photo = next((one for one in result.photos if one.id == ask.path["file"]), None)
    if photo is None:
        raise InputError("There is no such photograph here", found=ask.path["file"][:40], todo="Look at the list.")
    beside = _beside(car, result)
    text = car.content
    if any(not one.pivot.why_not for one in beside):
        text = with_photographed(text, beside, len(result.found.net.names), result.date)
    return Response(overlaid(result, photo.id, ask.book.content_of(photo.id), text), media_type="image/jpeg")


def _set_of(ask: PageRequest, car: Entry) -> ShownSet:
    entry = photographs_of(ask.book, car)
    kept = KeptSurvey() if entry is None else kept_survey(entry.content, entry.name)
    return ShownSet(entry, kept_photos(ask.book, entry), kept)


def _named(there: ShownSet, photo_id: str) -> KeptPhoto:
    photo = next((one for one in there.photos if one.id == photo_id), None)
    if photo is None:
        raise InputError("There is no such photograph here", found=photo_id[:40], todo="Look at the list.")
    return photo


def _put_in(ask: PageRequest, car: Entry) -> Response:
    """Photographs that were sent: each looked at; the script sends one at a time and gets its line of the list."""
    wrong: list[str] = []
    shown: ShownPhoto | None = None
    contents = [content for content in ask.files.values() if content]
    if not contents:
        wrong.append("There is no photograph yet. Choose some, or take one with the camera.")
    for content in contents:
        try:
            shown = _shown(put_in(ask.book, car, content))
        except JounceError as error:
            wrong.append(str(error))
    if ask.form.get("part"):
        return page(ask, "photographs_sent.html", 422 if wrong else 200, car=car, one=shown, wrong=wrong)
    return _page(ask, car, wrong) if wrong else onward(f"/cars/{car.id}/photographs#photographs")


def _changed(ask: PageRequest, car: Entry) -> Response:
    there = _set_of(ask, car)
    home = f"/cars/{car.id}/photographs"
    if "out" in ask.form:
        taken_out(ask.book, there.photos, ask.form["out"] or "none")
        return onward(f"{home}#photographs")
    if "anew" in ask.form:
        taken_out(ask.book, there.photos, "")
        return onward(home)
    if "names" in ask.form:
        names = pivots_to_name(car_read(car.content))
        text = written(typed_form(ask.form), names, there.kept, ask.desk.units).text
        parse_survey(text, "")  # nothing unreadable is kept
        entry = begun(ask.book, car)
        saved = entry if text == entry.content else ask.book.save(replace(entry, content=text), "tiles named")
        return onward(f"{home}#missing" if saved is entry else f"{home}?named=1#missing")
    if "solve" in ask.form:
        work = _solve(ask, car, there)
        ask.works.wait(work.id, _AT_ONCE)
        return onward(f"{home}#pivots")
    if "take" in ask.form:
        return _taken_over(ask, car)
    return onward(home)


def _solve(ask: PageRequest, car: Entry, there: ShownSet) -> BackgroundTask:
    needed()
    if not there.photos:
        raise InputError("There is no photograph yet", todo="Send some first.")
    home = f"/cars/{car.id}/photographs"
    order = TaskSpec(_KIND, car.id, there.question, "The set of pivots", home, ask.desk.by)
    return ask.works.start(order, partial(placed, there.photos, there.kept.text))


def _result(ask: PageRequest, car: Entry) -> PlacedPivots | None:
    work = ask.works.latest(_KIND, car.id)
    return work.result if work is not None and isinstance(work.result, PlacedPivots) else None


def _is_stale(ask: PageRequest, car: Entry, there: ShownSet) -> bool:
    """Whether what was worked out is of other photographs or names."""
    work = ask.works.latest(_KIND, car.id)
    return work is not None and work.order.question != there.question


def _beside(car: Entry, result: PlacedPivots) -> tuple[BesideTape, ...]:
    return beside_tape(car_read(car.content), result.pivots)


def _taken_over(ask: PageRequest, car: Entry) -> Response:
    """A new version of the car with the pivots that may be trusted; what was measured before stands in each origin."""
    result = _result(ask, car)
    if result is None:
        raise InputError("The pivots are not worked out, or no longer kept", todo="Work them out first.")
    if result.lacks:
        raise Impossible(result.lacks)
    if _is_stale(ask, car, _set_of(ask, car)):
        raise InputError(
            "Photographs or names were changed since the pivots were worked out", todo="Work them out again."
        )
    used = len(result.found.net.names)
    text = with_photographed(car.content, _beside(car, result), used, result.date)
    saved = keep(ask, car, text, f"pivots by {used} {BY_PHOTOGRAPHS}", number=car.number)
    return onward_saved(f"/cars/{car.id}", saved)


def _page(ask: PageRequest, car: Entry, wrong: Sequence[str] = (), typed: SurveyForm | None = None) -> Response:
    there = _set_of(ask, car)
    document = car_read(car.content)
    names = pivots_to_name(document)
    work = ask.works.latest(_KIND, car.id)
    seen = [number for one in there.photos for number in one.seen.numbers]
    return page(
        ask,
        "photographs.html",
        422 if wrong else 200,
        car=car,
        lacks_library=_lacks_library(),
        photos=[_shown(one) for one in there.photos],
        tiles_seen=len(set(seen)),
        form=typed or form_of(there.kept, names, seen),
        names=names,
        touches=tuple(TOUCHES),
        pointer_seen=_pointer_not_named(there),
        kinds=KINDS,
        wrong=wrong,
        named="named" in ask.query,
        work=work,
        stale=_is_stale(ask, car, there),
        cautions=CAUTIONS,
        plainly=_plainly,
        **_guide(there),
        **_told(ask, car),
    )


def _plainly(text: str) -> str:
    """A text with its pivots as the form calls them, not by their keys in the car file."""
    return _KEY.sub(lambda key: f"{key[2]} {key[1] or ''}{key[3].replace('_', ' ')}", text)


def _pointer_not_named(there: ShownSet) -> tuple[str, ...]:
    """Numbers of the photographs that show two tiles of the pointer or more and belong to none of its stands."""
    named = {str(photo) for one in there.kept.pointer for photo in photos_of(one)}
    board = range(KINDS["pointer"].first, KINDS["pointer"].last + 1)
    return tuple(
        one.seen.name.rpartition(" ")[2]
        for one in there.photos
        if one.seen.name not in named and sum(number in board for number in one.seen.numbers) > 1
    )


def _lacks_library() -> str:
    """What to install where the extra is missing; empty where it is there."""
    try:
        needed()
    except Impossible as lack:
        return str(lack)
    return ""


def _shown(one: KeptPhoto) -> ShownPhoto:
    seen = one.seen
    small_ones = int((seen.sides < _SMALL_TILE).sum()) if seen.numbers else 0
    told = f"{len(seen.numbers)} tile{'' if len(seen.numbers) == 1 else 's'}"
    if not any("sharp" in remark for remark in seen.remarks) and np.isfinite(seen.blur):
        told += ", sharp"
    if small_ones:
        told += f", {small_ones} of them small: from nearer they tell more"
    return ShownPhoto(one.id, seen.name, told, seen.remarks)


def _guide(there: ShownSet) -> dict[str, object]:
    """What is still missing, and from where each pivot's tile was seen."""
    if _lacks_library():
        return {"missing": (), "covers": ()}
    survey = parse_survey(there.kept.text, "")
    photos = [one.seen for one in there.photos]
    names = {one.tile: _plainly(one.name) for one in survey.pivots}
    missing = tuple(_plainly(told) for told in still_missing(photos, survey))
    covers = [
        ShownCover(
            one.number,
            names[one.number],
            tuple((round(float(way[0]), 3), round(float(-way[1]), 3)) for way in one.views),
            f"{one.photos} photograph{'' if one.photos == 1 else 's'}, {np.degrees(one.angle):.0f}° apart",
            not any(f"tile {one.number}," in told for told in missing),
        )
        for one in covered(photos, survey, list(names))
    ]
    return {"missing": missing, "covers": covers}


def _told(ask: PageRequest, car: Entry) -> Mapping[str, object]:
    """What the photographs tell, for the page."""
    result = _result(ask, car)
    told: dict[str, object] = {"result": result, "beside": (), "refused": "", "over": None, "good": 0}
    if result is None:
        return told
    try:
        beside = _beside(car, result)
    except JounceError as error:
        return told | {"refused": str(error)}
    used = result.used
    over = next((one for one in used if one.id == ask.query.get("over")), used[len(used) // 2])
    return told | {
        "beside": beside,
        "good": sum(not one.pivot.why_not for one in beside),
        "over": over if result.axes is not None else None,
    }


def _each(error: JounceError) -> list[str]:
    return [str(one) for one in error.problems] if isinstance(error, InputProblems) else [str(error)]
