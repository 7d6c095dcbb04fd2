"""What was stuck where: rulers, pivots behind their tiles, where the pointer stood, what tells the ground. A TOML file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from jounce.car.file.fields import QuantityField
from jounce.car.file.quantity import Measured, suggestion
from jounce.car.file.reading import read_toml
from jounce.conventions.certainty import DEVIATIONS_TYPED
from jounce.conventions.errors import InputError, InputProblems, at
from jounce.conventions.units import Kind
from jounce.layouts.naming import SIDES, SideName
from jounce.photographs.tiles import kind_of, printed, side_of

__all__ = [
    "GROUND",
    "MARK",
    "SURVEY_KEYS",
    "CheckDistance",
    "KnownHeight",
    "KnownLength",
    "PointerStand",
    "Survey",
    "TiledPivot",
    "parse_survey",
]

MARK = "mark"
"""What the pointer's tip stands in while the pointer is turned round it."""
GROUND = "ground"
"""What the pointer's tip may touch beside pivots: the ground under the car."""

SURVEY_KEYS: Mapping[str, Mapping[str, str]] = {
    "ruler": {
        "between": "numbers of two tiles; **required**",
        "distance": 'between their centres, with its ±: `"1000 mm ± 0.5 mm"`; **required**',
    },
    "pivot": {
        "tile": "number of the tile on it; **required**",
        "point": 'what it is in the car file: `"front.pivots.ball_joint"`; **required**',
        "side": '`"left"` or `"right"`; left where it is not told',
        "behind": 'how far the middle of the joint lies behind the paper, with its ±: `"28 mm ± 0.6 mm"`; **required**',
    },
    "pointer": {
        "photos": 'photographs in which it stands still, two at least: `["21.jpg", "22.jpg"]`; **required**',
        "point": 'what its tip touches: a point of the car file, `"mark"` or `"ground"`; **required**',
        "side": '`"left"` or `"right"`, of a point of the car; left where it is not told',
        "within": 'how well the tip sits there, a ±: `"0.5 mm"`; 0.2 mm in its mark, 0.6 mm elsewhere where it is not told',
    },
    "height": {
        "tile": "number of a tile on a wheel's face or at a tyre's lower edge; **required**",
        "over": 'its middle over the ground under it, with its ±: `"290 mm ± 1 mm"`; **required**',
    },
    "check": {
        "between": 'two pivots as `"left front.pivots.ball_joint"`; **required**',
        "distance": "between them, measured and **not** used, with its ±; **required**",
    },
}
"""Keys of the entries of a file; the manual prints them."""

_MOST = 200
_USUAL_OFFSET = 0.3e-3  # one standard deviation [m]
_USUAL_RULER = 0.15e-3
_USUAL_CHECK = 0.5e-3
_USUAL_MARK, _USUAL_TOUCH = 0.1e-3, 0.3e-3
_USUAL_HEIGHT = 0.5e-3
_FEWEST_SIDES = 2  # photographs of a pointer that stands still: one alone tells poorly how far off it is
_LONG = QuantityField(Kind.LENGTH, (100, 10000))
_BEHIND = QuantityField(Kind.LENGTH, (-300, 300))
_SIDE = QuantityField(Kind.LENGTH, (10, 400))
_OVER = QuantityField(Kind.LENGTH, (-50, 200))
_HIGH = QuantityField(Kind.LENGTH, (0, 1500))
_WITHIN = QuantityField(Kind.LENGTH, (0.05, 5))
_Read = TypeVar("_Read")


@dataclass(frozen=True, slots=True)
class KnownLength:
    """A distance between two tiles that was measured.

    Attributes:
        tiles: their numbers
        length: between their centres [m]
        deviation: one standard deviation [m]

    """

    tiles: tuple[int, int]
    length: float
    deviation: float


@dataclass(frozen=True, slots=True)
class TiledPivot:
    """A pivot with a tile on it.

    Attributes:
        tile: its number
        point: place in the car file
        side: of the car
        behind: how far the pivot lies behind the paper [m]
        deviation: of that, one standard deviation [m]

    """

    tile: int
    point: str
    side: SideName
    behind: float
    deviation: float

    @property
    def name(self) -> str:
        """Side and point."""
        return f"{self.side} {self.point}"


@dataclass(frozen=True, slots=True)
class PointerStand:
    """The pointer where it stood still.

    Attributes:
        photos: names of the photographs that show it so
        point: what its tip touches: a place in the car file, `MARK` or `GROUND`
        side: of the car
        deviation: of the tip from that, along each axis, one standard deviation [m]

    """

    photos: tuple[str, ...]
    point: str
    side: SideName
    deviation: float

    @property
    def name(self) -> str:
        """Side and point."""
        return f"{self.side} {self.point}"

    @property
    def pictures(self) -> str:
        """The photographs in words."""
        return " and ".join([", ".join(self.photos[:-1]), self.photos[-1]])

    @property
    def is_pivot(self) -> bool:
        """Whether it touches a point of the car."""
        return self.point not in {MARK, GROUND}


@dataclass(frozen=True, slots=True)
class KnownHeight:
    """A tile whose height over the ground was measured.

    Attributes:
        tile: its number
        over: its middle over the ground under it [m]
        deviation: of that, one standard deviation [m]

    """

    tile: int
    over: float
    deviation: float


@dataclass(frozen=True, slots=True)
class CheckDistance:
    """A distance between two pivots that was measured to check by, and is not used.

    Attributes:
        pivots: their names, side and point
        length: [m]
        deviation: one standard deviation [m]

    """

    pivots: tuple[str, str]
    length: float
    deviation: float


@dataclass(frozen=True, slots=True)
class Survey:
    """What was stuck where.

    Attributes:
        rulers: known distances
        pivots: pivots with tiles
        checks: distances to check by
        floor: numbers of the tiles that lie on the floor
        over: how high their paper lies over the ground [m]
        sides: sides of tiles that were printed at another size, by number [m]
        pointer: where the pointer stood
        heights: tiles on wheels, with their heights over the ground

    """

    rulers: tuple[KnownLength, ...] = ()
    pivots: tuple[TiledPivot, ...] = ()
    checks: tuple[CheckDistance, ...] = ()
    floor: tuple[int, ...] = ()
    over: float = 0.0
    sides: Mapping[int, float] = field(default_factory=dict)
    pointer: tuple[PointerStand, ...] = ()
    heights: tuple[KnownHeight, ...] = ()

    @property
    def named(self) -> tuple[str, ...]:
        """Pivots with a tile or touched by the pointer, side and point, each once."""
        touched = [one.name for one in self.pointer if one.is_pivot]
        return tuple(dict.fromkeys([*(one.name for one in self.pivots), *touched]))

    def side(self, number: int) -> float:
        """Side of a tile's tag [m].

        Args:
            number: of the tile
        """
        return self.sides.get(printed(number)) or side_of(printed(number))


def parse_survey(text: str, name: str) -> Survey:
    """Read what was stuck where.

    Args:
        text: TOML
        name: of the file, for messages

    Raises:
        InputError: the text is no TOML, or not of this form
        InputProblems: all that is wrong with its entries
    """
    written = read_toml(text, name)
    with at(name):
        for key in written:
            if key not in {*SURVEY_KEYS, "floor", "tiles"}:
                raise InputError(
                    "Unknown key", found=f'"{key}"', todo=suggestion(key, (*SURVEY_KEYS, "floor", "tiles"))
                )
        problems: list[InputError] = []
        pivots = _entries(written, "pivot", _pivot, problems)
        pointer = _entries(written, "pointer", _pointer, problems)
        names = Survey(pivots=pivots, pointer=pointer).named
        survey = Survey(
            _entries(written, "ruler", _ruler, problems),
            pivots,
            _entries(written, "check", lambda entry: _check(entry, names), problems),
            *_floor(written.get("floor", {}), problems),
            _sides(written.get("tiles", {}), problems),
            pointer,
            _entries(written, "height", _height, problems),
        )
        problems += _twice(survey)
        if problems:
            raise InputProblems(problems)
        return survey


def _entries(
    written: Mapping[str, object],
    word: str,
    read: Callable[[Mapping[str, object]], _Read],
    problems: list[InputError],
) -> tuple[_Read, ...]:
    entries = written.get(word, [])
    if not isinstance(entries, list) or len(entries) > _MOST:
        problems.append(InputError(f"Entries are written [[{word}]], up to {_MOST}", place=word))
        return ()
    told = []
    for number, entry in enumerate(entries, start=1):
        try:
            with at(f"{word} {number}"):
                if not isinstance(entry, Mapping):
                    raise InputError("This is no entry", found=repr(entry), allowed=f"[[{word}]] with its keys")  # noqa: TRY301
                for key in entry:
                    if key not in SURVEY_KEYS[word]:
                        raise InputError("Unknown key", found=f'"{key}"', todo=suggestion(key, SURVEY_KEYS[word]))  # noqa: TRY301
                told.append(read(entry))
        except InputError as problem:
            problems.append(problem)
    return tuple(told)


def _number(entry: object, what: str, *, may_point: bool = False) -> int:
    if not isinstance(entry, int) or isinstance(entry, bool):
        raise InputError("This is no number of a tile", found=repr(entry), allowed="a whole number", place=what)
    with at(what):
        if kind_of(entry) == "pointer" and not may_point:
            raise InputError("This tile is on the pointer's board", found=str(entry), todo="Stick another one there.")
    return entry


def _two(entry: Mapping[str, object]) -> tuple[object, object]:
    between = entry.get("between")
    if not isinstance(between, list) or len(between) != 2 or between[0] == between[1]:
        raise InputError("A distance is between two", found=repr(between), allowed="a list of two", place="between")
    return between[0], between[1]


def _length(entry: Mapping[str, object], key: str, form: QuantityField, usual: float) -> tuple[float, float]:
    if key not in entry:
        raise InputError(f'"{key}" is missing', todo="Measure it and write it here with its ±.")
    with at(key):
        told: Measured = form.read(entry[key])
    return told.value, told.plus_minus / DEVIATIONS_TYPED or usual


def _ruler(entry: Mapping[str, object]) -> KnownLength:
    a, b = _two(entry)
    return KnownLength((_number(a, "between"), _number(b, "between")), *_length(entry, "distance", _LONG, _USUAL_RULER))


def _pivot(entry: Mapping[str, object]) -> TiledPivot:
    point = entry.get("point")
    if not isinstance(point, str) or point.count(".") < 1:
        raise InputError(
            "This is no point of a car", found=repr(point), allowed='"front.pivots.ball_joint"', place="point"
        )
    chosen, tile = _which_side(entry), _number(entry.get("tile"), "tile")
    return TiledPivot(tile, point, chosen, *_length(entry, "behind", _BEHIND, _USUAL_OFFSET))


def _which_side(entry: Mapping[str, object]) -> SideName:
    side = entry.get("side", "left")
    chosen = next((one for one in SIDES if one == side), None)
    if chosen is None:
        raise InputError("This is no side", found=repr(side), allowed="left or right", place="side")
    return chosen


def _pointer(entry: Mapping[str, object]) -> PointerStand:
    photos, point = entry.get("photos"), entry.get("point")
    if not isinstance(photos, list) or not all(isinstance(one, str) and one for one in photos):
        raise InputError(
            "These are no names of photographs", found=repr(photos), allowed='["21.jpg", "22.jpg"]', place="photos"
        )
    if len(set(photos)) < _FEWEST_SIDES:
        raise InputError(
            "One photograph tells poorly how far off the pointer is", found=", ".join(photos) or "none",
            todo="Leave it standing and take two at least, from different sides.", place="photos"
        )  # fmt: skip
    if not isinstance(point, str) or (point not in {MARK, GROUND} and point.count(".") < 1):
        raise InputError("This is nothing that a pointer touches", found=repr(point),
                         allowed=f'"front.pivots.ball_joint", "{MARK}" or "{GROUND}"', place="point")  # fmt: skip
    deviation = _USUAL_MARK if point == MARK else _USUAL_TOUCH
    if "within" in entry:
        with at("within"):
            deviation = _WITHIN.read(entry["within"]).value / DEVIATIONS_TYPED
    return PointerStand(tuple(dict.fromkeys(photos)), point, _which_side(entry), deviation)


def _height(entry: Mapping[str, object]) -> KnownHeight:
    return KnownHeight(_number(entry.get("tile"), "tile"), *_length(entry, "over", _HIGH, _USUAL_HEIGHT))


def _check(entry: Mapping[str, object], names: tuple[str, ...]) -> CheckDistance:
    a, b = (str(one) for one in _two(entry))
    for one in (a, b):
        if one not in names:
            raise InputError(
                "This pivot has no tile", found=f'"{one}"', todo=suggestion(one, list(names)), place="between"
            )
    return CheckDistance((a, b), *_length(entry, "distance", _LONG, _USUAL_CHECK))


def _floor(written: object, problems: list[InputError]) -> tuple[tuple[int, ...], float]:
    if not isinstance(written, Mapping) or set(written) - {"tiles", "over"}:
        problems.append(
            InputError("The floor is told by its tiles", allowed="[floor] tiles = [10, 11, 12]", place="floor")
        )
        return (), 0.0
    tiles = written.get("tiles", [])
    try:
        with at("floor"):
            if not isinstance(tiles, list):
                raise InputError("This is no list of tiles", found=repr(tiles), place="tiles")  # noqa: TRY301
            over = _OVER.read(written["over"]).value if "over" in written else 0.0
            return tuple(_number(one, "tiles") for one in tiles), over
    except InputError as problem:
        problems.append(problem)
        return (), 0.0


def _sides(written: object, problems: list[InputError]) -> dict[int, float]:
    told: dict[int, float] = {}
    if not isinstance(written, Mapping):
        problems.append(InputError("Sizes are told by tile", allowed='[tiles] 12 = "80 mm"', place="tiles"))
        return told
    for key, value in written.items():
        try:
            with at(f"tiles.{key}"):
                if not str(key).isdigit():
                    raise InputError("This is no number of a tile", found=f'"{key}"')  # noqa: TRY301
                told[_number(int(key), "number", may_point=True)] = _SIDE.read(value).value
        except InputError as problem:
            problems.append(problem)
    return told


def _twice(survey: Survey) -> list[InputError]:
    """Tiles that are said to be in two places."""
    tiles = [one.tile for one in survey.pivots]
    names = [one.name for one in survey.pivots]
    photos = [photo for one in survey.pointer for photo in one.photos]
    both = {one.name for one in survey.pointer if one.is_pivot} & set(names)
    heights = [one.tile for one in survey.heights] + list(survey.floor)
    told = [
        InputError(f"Tile {tile} is on two pivots", todo="Give each pivot a tile of its own.", place="pivot")
        for tile in sorted({one for one in tiles if tiles.count(one) > 1})
    ] + [
        InputError(f'"{name}" has two tiles', todo="Name it once.", place="pivot")
        for name in sorted({one for one in names if names.count(one) > 1})
    ]
    told += [
        InputError(f"{photo} shows the pointer in two places", todo="It stands in one.", place="pointer")
        for photo in sorted({one for one in photos if photos.count(one) > 1})
    ]
    told += [
        InputError(f'"{name}" has a tile and is touched by the pointer', todo="Name it once.", place="pointer")
        for name in sorted(both)
    ]
    told += [
        InputError(f"The height of tile {tile} is told twice", todo="Name it once.", place="height")
        for tile in sorted({one for one in heights if heights.count(one) > 1})
    ]
    return told
