"""What was stuck where, as a form: tiles at pivots, known lengths, distances to check by, the ground, the pointer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from jounce.car.file.document import CarDocument
from jounce.conventions.errors import InputError
from jounce.conventions.typed import whole, with_unit
from jounce.conventions.units import Kind
from jounce.layouts.naming import SideName
from jounce.photographs.survey import GROUND, MARK
from jounce.photographs.survey_text import KeptSurvey, Written, apart, photos_of
from jounce.photographs.tiles import KINDS
from jounce.web.picture.pivot_names import pivot_keys

__all__ = [
    "CHECKS",
    "HEIGHTS",
    "RULERS",
    "TOUCHES",
    "PivotName",
    "SurveyForm",
    "form_of",
    "pivots_to_name",
    "typed_form",
    "written",
]

RULERS, CHECKS = 3, 4
"""Rows of known lengths and of distances to check by."""
HEIGHTS = 4
"""Rows of tiles on wheels, where no more are kept."""
TOUCHES: Mapping[str, str] = {"its punch mark": MARK, "the ground": GROUND}
"""What the pointer's tip may touch beside pivots, as it is called, and as it is kept."""
_BLANK = 2  # rows for tiles that no photograph shows yet
_MOST = 60  # rows
_BETWEEN = ("a", "b", "length", "band")
_NUMBERS = 200  # characters of a list of tiles
_PHOTO = "photograph "  # before the number by which one is kept

Row = Mapping[str, str]
"""A row of the form: what stands in each of its fields."""


@dataclass(frozen=True, slots=True)
class PivotName:
    """A pivot that may carry a tile.

    Attributes:
        words: what it is called, with its side
        point: place in the car file
        side: of the car

    """

    words: str
    point: str
    side: SideName


@dataclass(frozen=True, slots=True)
class SurveyForm:
    """The form as it stands.

    Attributes:
        pivots: tile, pivot, behind, band
        rulers: a, b, length, band
        checks: a, b, length, band
        floor: numbers of the tiles on the floor
        over: how high their paper lies
        heights: tile, over, band
        stands: of the pointer: photos, point, within

    """

    pivots: tuple[Row, ...]
    rulers: tuple[Row, ...]
    checks: tuple[Row, ...]
    floor: str
    over: str
    heights: tuple[Row, ...] = ()
    stands: tuple[Row, ...] = ()

    def task(self, place: int) -> str:
        """What is to be done at a stand of the pointer, in words.

        Args:
            place: of its row
        """
        point = self.stands[place]["point"]
        swings = sum(one["point"] == next(iter(TOUCHES)) for one in self.stands[: place + 1])
        if point == next(iter(TOUCHES)):
            return f"swing {swings}: tip in its punch mark, leaned another way"
        return f"touch {point}" if point else "choose what the tip touches"


def pivots_to_name(document: CarDocument) -> tuple[PivotName, ...]:
    """Pivots of a car that may carry a tile, as they are called.

    Args:
        document: the car
    """
    return tuple(
        PivotName(words, key, "left" if " left " in words else "right")
        for words, key in pivot_keys(document).items()
        if ".pivots." in key
    )


def form_of(kept: KeptSurvey, names: Sequence[PivotName], seen: Sequence[int]) -> SurveyForm:
    """The form as it stands at first: what was named, then tiles that photographs show and nobody has named.

    Args:
        kept: what was named
        names: pivots that may carry a tile
        seen: numbers of the tiles in the photographs
    """
    called = {f"{one.side} {one.point}": one.words for one in names}
    pivots = [
        {
            "tile": str(one.get("tile", "")),
            "pivot": called.get(f"{one.get('side', 'left')} {one.get('point')}", ""),
            **_length(one.get("behind"), "behind"),
        }
        for one in kept.pivots
    ]
    known = {row["tile"] for row in pivots}
    kind = KINDS["pivot"]
    unnamed = [number for number in sorted(set(seen)) if kind.first <= number <= kind.last and str(number) not in known]
    pivots += [_row("tile", "pivot", "behind", "band", tile=str(number)) for number in unnamed]
    pivots += [_row("tile", "pivot", "behind", "band")] * _BLANK
    rulers = [{**_two(one, {}), **_length(one.get("distance"), "length")} for one in kept.rulers]
    checks = [{**_two(one, called), **_length(one.get("distance"), "length")} for one in kept.checks]
    floor = kept.floor.get("tiles")
    return SurveyForm(
        tuple(pivots[:_MOST]),
        _filled(rulers, RULERS, _BETWEEN),
        _filled(checks, CHECKS, _BETWEEN),
        " ".join(map(str, floor)) if isinstance(floor, list) else "",
        str(kept.floor.get("over", "")),
        _heights(kept),
        _stands(kept, called),
    )


def _heights(kept: KeptSurvey) -> tuple[Row, ...]:
    rows = [{"tile": str(one.get("tile", "")), **_length(one.get("over"), "over")} for one in kept.heights]
    return _filled(rows, max(HEIGHTS, len(rows) + 1), ("tile", "over", "band"))


def _stands(kept: KeptSurvey, called: Mapping[str, str]) -> tuple[Row, ...]:
    """Where the pointer stood, photographs by their numbers alone; blank rows to the next sensible one."""
    words = {point: said for said, point in TOUCHES.items()}
    rows = []
    for one in kept.pointer:
        shown, point = ", ".join(name.removeprefix(_PHOTO) for name in photos_of(one)), str(one.get("point"))
        said = words.get(point) or called.get(f"{one.get('side', 'left')} {point}", "")
        rows.append({"photos": shown, "point": said, "within": str(one.get("within", ""))})
    return _filled(rows, min(len(rows) + _BLANK, _MOST), ("photos", "point", "within"))


def typed_form(form: Mapping[str, str]) -> SurveyForm:
    """The form as it was sent.

    Args:
        form: its fields, each with the number of its row
    """

    def rows(word: str, fields: Sequence[str], most: int) -> tuple[Row, ...]:
        return tuple(
            {field: " ".join(form.get(f"{word}.{field}.{k}", "").split())[:60] for field in fields}
            for k in range(most)
            if f"{word}.{fields[0]}.{k}" in form
        )

    return SurveyForm(
        rows("pivot", ("tile", "pivot", "behind", "band"), _MOST),
        rows("ruler", _BETWEEN, RULERS),
        rows("check", _BETWEEN, CHECKS),
        form.get("floor", "")[:_NUMBERS].strip(),
        form.get("over", "")[:20].strip(),
        rows("height", ("tile", "over", "band"), _MOST),
        rows("stand", ("photos", "point", "within"), _MOST),
    )


def written(form: SurveyForm, names: Sequence[PivotName], kept: KeptSurvey, units: str) -> KeptSurvey:
    """What a form says, as it is kept; rows that name nothing are left out.

    Args:
        form: the form
        names: pivots that may carry a tile
        kept: what was kept before: what the form does not show stays
        units: unit set of lengths without a unit

    Raises:
        InputError: a pivot that the car has not, a number that is none, a comma that can be read in two ways
    """
    called = {one.words: one for one in names}
    pivots: list[Written] = []
    for row in form.pivots:
        if not row["pivot"] and not row["behind"]:
            continue
        if row["pivot"] not in called:
            raise InputError(
                "Say at which pivot this tile sits", found=row["pivot"], place=f"tile {row['tile']}", todo="Choose one."
            )
        one = called[row["pivot"]]
        entry: dict[str, object] = {"tile": _number(row["tile"], one.words), "point": one.point, "side": one.side}
        pivots.append(entry | _as_written(row, "behind", "behind", units))
    rulers = [
        {"between": [_number(row["a"], "known length"), _number(row["b"], "known length")]}
        | _as_written(row, "length", "distance", units)
        for row in form.rulers
        if row["a"] or row["b"] or row["length"]
    ]
    checks = [
        {"between": [_called(row["a"], called), _called(row["b"], called)]}
        | _as_written(row, "length", "distance", units)
        for row in form.checks
        if row["a"] or row["b"] or row["length"]
    ]
    floor: dict[str, object] = {}
    if form.floor:
        floor["tiles"] = [_number(one, "floor") for one in form.floor.replace(",", " ").split()]
        if form.over:
            floor["over"] = with_unit(form.over, Kind.LENGTH, units)
    told = replace(kept, pivots=tuple(pivots), rulers=tuple(rulers), checks=tuple(checks), floor=floor)
    if form.heights:
        told = replace(told, heights=_heights_written(form, units))
    if form.stands:
        told = replace(told, pointer=_stands_written(form, called, units))
    return told


def _heights_written(form: SurveyForm, units: str) -> tuple[Written, ...]:
    return tuple(
        {"tile": _number(row["tile"], "height over the ground")} | _as_written(row, "over", "over", units)
        for row in form.heights
        if row["tile"] or row["over"]
    )


def _stands_written(form: SurveyForm, called: Mapping[str, PivotName], units: str) -> tuple[Written, ...]:
    told: list[Written] = []
    for number, row in enumerate(form.stands, start=1):
        if not row["photos"] and not row["point"]:
            continue
        place = f"stand {number} of the pointer"
        if row["point"] not in called and row["point"] not in TOUCHES:
            raise InputError("Say what the pointer's tip touches", found=row["point"], place=place, todo="Choose one.")
        one = called.get(row["point"])
        photos = [f"{_PHOTO}{_photo(given, place)}" for given in row["photos"].replace(",", " ").split()]
        entry: dict[str, object] = {"photos": photos, "point": one.point if one else TOUCHES[row["point"]]}
        if one:
            entry["side"] = one.side
        if row["within"]:
            entry["within"] = with_unit(row["within"], Kind.LENGTH, units)
        told.append(entry)
    return tuple(told)


def _photo(given: str, place: str) -> int:
    number = whole(given)
    if number is None:
        raise InputError(
            "This is no number of a photograph", found=f'"{given}"', allowed="as in the list: 21, 22", place=place
        )
    return number


def _as_written(row: Row, field: str, key: str, units: str) -> dict[str, object]:
    if not row[field]:
        return {}
    value = with_unit(row[field], Kind.LENGTH, units)
    band = f" ± {with_unit(row['band'], Kind.LENGTH, units)}" if row["band"] else ""
    return {key: value + band}


def _number(given: str, place: str) -> int:
    number = whole(given)
    if number is None:
        raise InputError(
            "This is no number of a tile", found=f'"{given}"', allowed="a whole number", place=place, todo="It is printed "
            "below the tile."
        )  # fmt: skip
    return number


def _called(words: str, called: Mapping[str, PivotName]) -> str:
    if words not in called:
        raise InputError(
            "A distance to check by is between two pivots",
            found=words,
            place="distance to check by",
            todo="Choose both.",
        )
    return f"{called[words].side} {called[words].point}"


def _length(value: object, field: str) -> dict[str, str]:
    length, band = apart(value)
    return {field: length, "band": band}


def _two(entry: Written, called: Mapping[str, str]) -> dict[str, str]:
    between = entry.get("between")
    a, b = (str(one) for one in between) if isinstance(between, list) and len(between) == 2 else ("", "")
    return {"a": called.get(a, a), "b": called.get(b, b)}


def _row(*fields: str, tile: str = "") -> dict[str, str]:
    return dict.fromkeys(fields, "") | ({"tile": tile} if tile else {})


def _filled(rows: Sequence[Row], most: int, fields: Sequence[str]) -> tuple[Row, ...]:
    """The rows there are, and blank ones to the end; no row is lost."""
    return (*rows[:most], *[_row(*fields)] * (most - len(rows)))
