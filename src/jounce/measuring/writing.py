"""How what was typed comes into the car's document: each number to its key, several into one point where they meet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from jounce.car.file.assumed import ASSUMED
from jounce.car.file.document import CarDocument
from jounce.car.file.possible import TRACK, WHEELBASE, check_wheels
from jounce.car.file.quantity import Measured, MeasuredPoint, read_measured
from jounce.car.file.reading import parse_car, read_toml
from jounce.car.file.rewriting import rewritten
from jounce.car.parts.driveline import Place
from jounce.conventions.errors import InputError, InputProblems, at
from jounce.conventions.typed import whole, with_unit
from jounce.conventions.units import Kind, read, to_display, unit_of
from jounce.measuring.known import Known, known_of
from jounce.measuring.lever import bar_lever
from jounce.measuring.named_points import NamedReadings
from jounce.measuring.typed_toe import rim_of, toe_with_unit
from jounce.measuring.walk import ENDS, PLACE_PARTS, Item, Step

__all__ = ["Given", "changed_text", "value_at"]

_HAND = 2e-3
"""± of a wheel centre once all of its coordinates were measured by tape, at least [m]."""


@dataclass(frozen=True, slots=True)
class Given:
    """What was typed for an item: for a point three texts, else one."""

    texts: tuple[str, ...]
    plus_minus: str
    origin: str


def changed_text(text: str, given: Mapping[str, Given], steps: Sequence[Step], units: str) -> str:
    """The document with what was measured in it.

    Args:
        text: the car's document
        given: what was typed, by key of the item
        steps: the walk, with all its items
        units: unit set of the page

    Raises:
        InputProblems: what cannot be read, each with the key of its item as place; or what the car file refuses
    """
    document = parse_car(text, "")
    writer = _Writer(document, units)
    items = {item.key: item for step in steps for item in step.items}
    points = {point.key for step in steps for point in step.points}
    problems: list[InputError] = []
    for key, one in sorted(given.items(), key=lambda pair: pair[0] != "wheelbase"):  # it moves all of the rear axle
        try:
            with at(key):
                if key in points:
                    writer.point(key, one)
                elif key in items:
                    writer.item(items[key], one)
        except InputError as error:
            problems.append(error)
    if problems:
        raise InputProblems(problems)
    return rewritten(text, writer.values(read_toml(text, "")))


class _Writer:
    """Collects new values; points are held apart, since several numbers meet in one of them.

    Args:
        document: the car as it is
        units: unit set of what is typed

    """

    def __init__(self, document: CarDocument, units: str) -> None:
        self._units = units
        self._document, self._known = document, known_of(document)
        self._points = {key: one for key, one in self._known.items() if isinstance(one, MeasuredPoint)}
        self._moved: set[str] = set()
        self._named = NamedReadings(document)
        self._riding: dict[str, dict[str, Measured]] = {}
        self._values: dict[str, object] = {}

    def item(self, item: Item, given: Given) -> None:
        """One number, or one word of several."""
        if self._named.takes(item.key):
            self._name(item, given)
            return
        if item.choices:
            self._values[item.key] = given.texts[0] or None
            return
        if item.kind is None:
            text = given.texts[0].strip()
            count = whole(text, digits=4)
            if text and count is None:
                raise InputError("This is a whole number", found=f'"{text}"', todo="Count again.")
            self._values[item.key] = count
            return
        if not given.texts[0].strip():
            self._withdraw(item)
            return
        toe = item.key.endswith(".alignment.toe")
        told = self._told(
            given, item.kind, rim_of(self._document, item.key.partition(".")[0]) if toe else None, toe=toe
        )
        measured = read_measured(told, item.kind)
        axle = item.key.partition(".")[0]
        if axle == "places" and not item.key.endswith(".mass"):
            self._riding.setdefault(item.key.split(".")[1], {})[item.key.split(".")[2]] = measured
        elif item.key == "wheelbase":
            check_wheels("The wheelbase", measured.value, WHEELBASE)
            self._shift_rear(-measured.value, measured.plus_minus, given.origin)
        elif item.key.endswith(".track"):
            check_wheels("The track", measured.value, TRACK)
            self._place(f"{axle}.pivots.wheel_centre", {"y": measured.value / 2}, measured.plus_minus / 2,
                        f"track: {given.origin}")  # fmt: skip
        elif item.key.endswith(".lever"):
            self._lever("rear" if axle == "rear" else "front", measured, given.origin)
        elif item.key.startswith("axle_load."):
            self._axle_load(item.key.removeprefix("axle_load."), measured, given.origin)
        else:
            self._values[item.key] = told
            if item.key.endswith(".loaded_radius"):
                said = f"radius: {given.origin}"
                self._place(f"{axle}.pivots.wheel_centre", {"z": measured.value}, measured.plus_minus, said)
            if toe:
                self._values[f"{axle}.alignment.toe_diameter"] = None
            for one, other in (("gap", "free_height"), ("free_height", "gap")):  # a rubber is told by one of the two
                if item.key.endswith(f".bump_stop.{one}"):
                    self._values[item.key.removesuffix(one) + other] = None

    def _name(self, item: Item, given: Given) -> None:
        """A reading or a word of something that has a name."""
        text = given.texts[0].strip()
        if item.kind is None or not text:
            self._named.add(item.key, text or None)
            return
        told = self._told(given, item.kind, None, toe=False)
        of_point = item.key.rpartition(".")[2].rpartition("_")[2] in PLACE_PARTS
        self._named.add(item.key, read_measured(told, item.kind) if of_point else told)

    def point(self, key: str, given: Given) -> None:
        """One pivot."""
        texts = [text.strip() for text in given.texts]
        if not any(texts):
            return
        if not all(texts):
            raise InputError("A point needs three coordinates", found=f"{sum(map(bool, texts))} of them",
                             todo="Measure the missing one, or empty all three.")  # fmt: skip
        x, y, z = (read(with_unit(text, Kind.LENGTH, self._units), Kind.LENGTH) for text in texts)
        band = 0.0
        if given.plus_minus.strip():
            band = read(with_unit(given.plus_minus, Kind.LENGTH, self._units), Kind.LENGTH)
        axle = key.partition(".")[0]
        centre = self._points[f"{axle}.pivots.wheel_centre"]
        self._points[key] = MeasuredPoint(x + centre.x, y, z, band, given.origin)
        self._moved.add(key)

    def values(self, written: Mapping[str, Any]) -> dict[str, object]:
        """All changes, by key of the document.

        Args:
            written: the document as it is; only points that stand in it are written
        """
        changed = dict(self._values) | self._places() | self._named.values()
        for key in sorted(self._moved):
            if value_at(written, key) is None:  # one that another one stands for
                continue
            point = self._points[key]
            numbers = [round(1e3 * n, 2) + 0.0 for n in (point.x, point.y, point.z)]
            told: dict[str, object] = {"at": [int(n) if n == int(n) else n for n in numbers]}
            if point.plus_minus:
                told["plus_minus"] = f"{round(1e3 * point.plus_minus, 3):g} mm"
            if point.origin:
                told["from"] = point.origin
            changed[key] = told
        for axle in ENDS:
            changed |= self._of_coil(f"{axle}.spring", changed)
        return changed

    def _places(self) -> dict[str, object]:
        """Where people and luggage ride: three lengths are one point."""
        told: dict[str, object] = {}
        named = {key.split(".")[1] for key in self._values if key.startswith("places.")}
        for name in named | set(self._riding):
            old, new = self._document.places.get(name), self._riding.get(name, {})
            was = {} if old is None else dict(zip(PLACE_PARTS, (-old.at.x, old.at.y, old.at.z), strict=True))
            missing = [part for part in PLACE_PARTS if part not in {*was, *new}]
            massless = f"places.{name}.mass" not in self._values and old is None
            for part in [*missing, *(["mass"] if massless else [])]:
                raise InputError(
                    "A place needs all four of its numbers", todo="Fill this one in too.", place=f"places.{name}.{part}"
                )
            back, left, up = (1e3 * (new[part].value if part in new else was[part]) for part in PLACE_PARTS)
            if new:
                at = [round(number, 2) + 0.0 for number in (-back, left, up)]
                told[f"places.{name}.at"] = {"at": at, "plus_minus": f"{self._band(new, old):g} mm", "from": "tape"}
        return told

    def _band(self, new: Mapping[str, Measured], old: Place | None) -> float:
        """± of a place, the widest of its lengths [mm]."""
        return round(1e3 * max([one.plus_minus for one in new.values()], default=old.at.plus_minus if old else 0.0), 3)

    def _of_coil(self, spring: str, changed: Mapping[str, object]) -> dict[str, object]:
        """What gives way to a coil's new sizes: another diameter, and an assumed rate that now follows from them."""
        new = {key.removeprefix(f"{spring}.") for key in changed if key.startswith(f"{spring}.")}
        way: dict[str, object] = {}
        if "outer_diameter" in new:
            way |= {f"{spring}.mean_diameter": None, f"{spring}.inner_diameter": None}
        if "active_turns" in new:
            way[f"{spring}.dead_turns"] = None
        sizes = ("wire", "outer_diameter", "active_turns")
        if "rate" not in new and all(key in new or self._measured(f"{spring}.{key}") for key in sizes):
            rate = self._known.get(f"{spring}.rate")
            if isinstance(rate, Known) and not rate.measured:
                way[f"{spring}.rate"] = None
        return way

    def _measured(self, key: str) -> bool:
        known = self._known.get(key)
        return isinstance(known, Known) and known.measured

    def _told(self, given: Given, kind: Kind, rim: Measured | None, *, toe: bool) -> dict[str, object]:
        """A number as the document says it; each text is read once so that nothing unreadable is kept."""
        text = given.texts[0]
        value = toe_with_unit(text, self._units, rim) if toe else with_unit(text, kind, self._units)
        told: dict[str, object] = {"value": value}
        if given.plus_minus.strip() and "±" not in value and "+-" not in value and "+/-" not in value:
            told["plus_minus"] = with_unit(given.plus_minus, kind, self._units)
        return told | {"from": given.origin}

    def _withdraw(self, item: Item) -> None:
        """A number that was taken back: it stays as it is, as an assumption."""
        known = self._known.get(item.key)
        if isinstance(known, Known) and known.measured and item.kind is not None and "." in item.key:
            if item.key.endswith((".track", ".lever")) or item.key.startswith("axle_load."):
                return
            self._values[item.key] = {
                "value": f"{round(to_display(known.value, item.kind), 6):g} {unit_of(item.kind).symbol}".removesuffix(
                    " -"
                ),
                "from": f"{ASSUMED}: a measurement that was taken back",
            }

    def _place(self, key: str, coordinates: Mapping[str, float], band: float, said: str) -> None:
        old = self._points[key]
        xyz = {"x": old.x, "y": old.y, "z": old.z, **coordinates}
        word = said.partition(": ")[0]
        told = [*(one for one in old.origin.split("; ") if one and one.partition(": ")[0] != word), said]
        whole = {"track", "radius"} | ({"wheelbase"} if key.startswith("rear.") else set())
        if key.endswith(".wheel_centre") and whole <= {one.partition(": ")[0] for one in told}:
            assumed = [one for one in told if one.startswith(ASSUMED)]
            told = [one for one in told if one not in assumed]
            band = max(band, _HAND) if assumed else max(band, old.plus_minus)
        else:
            band = max(band, old.plus_minus)
        self._points[key] = MeasuredPoint(**xyz, plus_minus=band, origin="; ".join(told))
        self._moved.add(key)

    def _shift_rear(self, x: float, band: float, origin: str) -> None:
        """The rear axle as a whole: its points were measured from its wheel centres."""
        centre = "rear.pivots.wheel_centre"
        by = x - self._points[centre].x
        for key, point in self._points.items():
            if key.startswith("rear.") and key != centre and by:
                self._points[key] = MeasuredPoint(point.x + by, point.y, point.z, point.plus_minus, point.origin)
                self._moved.add(key)
        self._place(centre, {"x": x}, band, f"wheelbase: {origin}")

    def _lever(self, axle: Literal["front", "rear"], measured: Measured, origin: str) -> None:
        lever = bar_lever(self._document, axle)
        if lever is not None:
            for key, coordinate in list(lever.moved(self._points, measured.value)):
                self._place(key, coordinate, measured.plus_minus, f"lever: {origin}")

    def _axle_load(self, axle: str, measured: Measured, origin: str) -> None:
        for side in ("left", "right"):
            self._values[f"mass.{axle}_{side}"] = {
                "value": f"{measured.value / 2:.6g} kg",
                "plus_minus": f"{max(measured.plus_minus / 2, 0.02 * measured.value):.3g} kg",
                "from": f"{origin}: half of the axle's load",
            }


def value_at(written: object, key: str) -> Any:
    """What stands at a place of a file; None where nothing does.

    Args:
        written: the file as read
        key: keys that lead there, with points between
    """
    for step in key.split("."):
        if not isinstance(written, Mapping) or step not in written:
            return None
        written = written[step]
    return written
