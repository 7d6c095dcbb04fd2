"""Parts that set where an axle and its wheels stand: of those that fit, the cheapest whose range reaches what is needed.

What is needed is that of a plan, or of the car held where it is wanted, with everything that sets it free to go as far as
the wishes ask. Whether a part reaches there is asked of the same ranges to which a plan holds.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from jounce.car.file.document import CarDocument
from jounce.car.file.section import Section
from jounce.car.mechanics.rod_lengths import rod_joints
from jounce.conventions.axes import End
from jounce.conventions.errors import InputError
from jounce.conventions.units import MM, Kind, show
from jounce.job.apply import wishes_of
from jounce.job.document import AngleLinks, HubShims, JobDocument, JointSlots, ToeRods, TrailingLinks, WattBracket
from jounce.job.plan import JobPlan
from jounce.job.rod_lengths import lengths_changed
from jounce.job.settings import AxleSettings, AxleWishes
from jounce.layouts.adjusters import Aim
from jounce.layouts.naming import SIDES
from jounce.search.slots import (
    SETTERS,
    Choosy,
    Slot,
    job_of,
    link_replaced,
    reasons_against,
    set_on_car,
    slots_of,
)
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf

__all__ = [
    "NO_SETTERS",
    "SetterOffer",
    "SettersPicked",
    "as_on_car",
    "freed",
    "offers_for",
    "picked_setters",
    "places_that_set",
    "setters_among",
]

SPARE = 0.5 * MM
"""Way that a thread, a slot or a bracket has left beyond what is needed: teeth and turns move that a little [m]."""
_SPARE_OF_SHIMS = 0.1 * MM
_HAIR = 1e-9  # a way this near to an end is at it [m]
_STILL = 0.05 * MM  # what is moved less is not told to move
_STILL_OF_LINKS = 0.25 * MM  # of one trailing link against the other: 0.01 degrees across a usual track
_OFF_CENTRE = 1.0 * MM  # an axle that stands nearer to the middle asks for no other bracket
_KEYS = tuple(key for _, _, key in SETTERS)


@dataclass(frozen=True, slots=True)
class _Way:
    """How far something has to go from as found, and between which ends it can, None where nobody told [m].

    ``ways`` are words for what is positive and negative.
    """

    needed: float
    low: float | None
    high: float | None
    ways: tuple[str, str] = ("longer than found", "shorter than found")

    def reached(self, spare: float) -> bool:
        """Whether it is known to go there with something to spare.

        Args:
            spare: what is left beyond [m]
        """
        return self._below(self.needed, self.high, spare) and self._below(
            -self.needed, None if self.low is None else -self.low, spare
        )

    @staticmethod
    def _below(way: float, end: float | None, spare: float) -> bool:
        if end is None:
            return way <= _STILL
        return way + (spare if way > _STILL or end < 0 else 0.0) <= end + _HAIR


@dataclass(frozen=True, slots=True)
class SettersPicked:
    """What was picked.

    Attributes:
        parts: by place
        told: for each place that was looked at why this part, or why none
        none_reaches: places where something has to be set and nothing is known to reach there

    """

    parts: Mapping[str, Part]
    told: Mapping[str, str]
    none_reaches: tuple[str, ...] = ()


NO_SETTERS = SettersPicked({}, {})
"""Where no such place is looked at."""


def setters_among(slots: Sequence[Slot]) -> list[Slot]:
    """Those of some places whose parts set where an axle and its wheels stand.

    Args:
        slots: the places
    """
    return [slot for slot in slots if slot.key in _KEYS]


def places_that_set(document: CarDocument, job: JobDocument) -> tuple[str, ...]:
    """Places of such parts without which a job's wishes may not be met: the car's own ends are told, or it has none.

    Args:
        document: the car
        job: the change list
    """
    return tuple(slot.name for slot in setters_among(slots_of(document)) if _may_lack(slot, document, job))


def _may_lack(slot: Slot, document: CarDocument, job: JobDocument) -> bool:
    wanted, own = job.wanted.of(slot.end), set_on_car(job, slot.end).get(slot.key)
    if slot.key == "watt_bracket":
        return own is not None
    if slot.key == "trailing_links":
        return wanted.thrust is not None or own is not None
    aims = [aim for aim in _AIMS[slot.key] if wanted.of_wheel(aim, "left") is not None]  # type: ignore[arg-type]
    if slot.key in {"camber_link", "caster_link"}:
        return bool(aims) and link_replaced(slot, job, document) is not None
    return bool(aims) and (own is not None or slot.key == "shims")  # no hub comes with shims of its own


_AIMS: Mapping[str, tuple[Aim, ...]] = {
    "upper_joint": ("camber", "caster"),
    "caster_link": ("caster",),
    "camber_link": ("camber",),
    "shims": ("camber", "toe"),
    "toe_rod": ("toe",),
}


def freed(document: CarDocument, job: JobDocument, slots: Sequence[Slot]) -> JobDocument:
    """The job with everything that parts of some places set free to go as far as the wishes ask.

    Args:
        document: the car as measured
        job: the change list
        slots: places for which parts are looked for
    """
    changed = {end: dict[str, Section | None]() for end in End}
    for slot in setters_among(slots):
        own = getattr(job.change.of(slot.end), slot.key)
        changed[slot.end][slot.key] = _without_ends(slot, own, job, document)
    ends = {str(end): job.change.of(end).model_copy(update=sections) for end, sections in changed.items()}
    return job.model_copy(update={"change": job.change.model_copy(update=ends)})


def as_on_car(cleared: JobDocument, job: JobDocument) -> JobDocument:
    """A job from which parts were taken, with what the car itself has to be set as the job tells it.

    Args:
        cleared: the job without parts
        job: the job as it was
    """
    ends = {str(end): cleared.change.of(end).model_copy(update=set_on_car(job, end)) for end in End}
    return cleared.model_copy(update={"change": cleared.change.model_copy(update=ends)})


def _without_ends(slot: Slot, own: Section | None, job: JobDocument, document: CarDocument) -> Section | None:
    wanted = job.wanted.of(slot.end)
    if slot.key == "toe_rod":
        return ToeRods()
    if slot.key == "watt_bracket":
        return WattBracket()
    if slot.key == "trailing_links":
        asked = wanted.thrust is not None or wanted.of_wheel("toe", "left") is not None or own is not None
        return TrailingLinks() if asked else None
    if isinstance(own, JointSlots):
        return JointSlots(inward=own.inward, rearward=own.rearward)
    if isinstance(own, HubShims):
        return HubShims(flange=own.flange)
    if slot.key in {"camber_link", "caster_link"}:
        link = link_replaced(slot, job, document)
        asked = wanted.of_wheel(_AIMS[slot.key][0], "left") is not None  # type: ignore[arg-type]
        return AngleLinks(link=link) if link is not None and asked else None
    return None


def picked_setters(
    settings: Mapping[str, AxleSettings],
    document: CarDocument,
    job: JobDocument,
    shelf: Shelf,
    slots: Sequence[Slot],
    choosy: Choosy,
) -> SettersPicked:
    """Pick for the places that are asked for.

    Args:
        settings: by axle what is needed, everything free to go as far as the wishes ask
        document: the car as measured
        job: the change list, with how far that goes which the car itself has
        shelf: the shelf
        slots: the places
        choosy: which parts are looked at
    """
    parts: dict[str, Part] = {}
    told: dict[str, str] = {}
    none: list[str] = []
    for slot in setters_among(slots):
        needs = _Needs(slot, settings[slot.end], document, job)
        if not needs.moves:
            told[slot.name] = f"none: {_NOTHING[slot.key]}"
            continue
        if set_on_car(job, slot.end).get(slot.key) is not None and needs.met_by(job):
            told[slot.name] = f"none: what the car has reaches {needs.words()}."
            continue
        part = next(_reaching(needs, shelf, choosy), None)
        if part is None:
            none.append(slot.name)
            told[slot.name] = f"none: {_NO[slot.key]} on the shelf fits and is known to reach {needs.words()}."
        else:
            parts[slot.name] = part
            told[slot.name] = f"the cheapest that fits and reaches {needs.words()}."
    return SettersPicked(parts, told, tuple(none))


@dataclass(frozen=True, slots=True)
class SetterOffer:
    """What the shelf has for a wish that an adjuster ends before.

    Attributes:
        place: where a part would go
        part: the cheapest that fits and reaches; None where none does
        told: why this one, or how far it would have to go

    """

    place: str
    part: Part | None
    told: str


def offers_for(plan: JobPlan, document: CarDocument, job: JobDocument, shelf: Shelf) -> list[SetterOffer]:
    """For each wish that a plan leaves unmet, the part of the shelf that would meet it.

    Each is told for itself, everything else free to go as far as the wishes ask: the plan with them in says the rest.

    Args:
        plan: what came out
        document: the car as measured
        job: the change list
        shelf: the shelf
    """
    unmet = {(lack.axle, lack.wish) for lack in plan.short}
    slots = [
        slot
        for slot in setters_among(slots_of(document))
        if any((str(slot.end), wish) in unmet for wish in (*_AIMS.get(slot.key, ()), _OF_AXLES.get(slot.key, "")))
    ]
    found = picked_setters(plan.settings, document, job, shelf, slots, Choosy())
    places = [slot.name for slot in slots if slot.name in found.parts or slot.name in found.none_reaches]
    return [SetterOffer(place, found.parts.get(place), found.told[place]) for place in places]


_OF_AXLES = {"trailing_links": "thrust line", "watt_bracket": "middle of the axle"}
_NOTHING = {
    "trailing_links": "the axle points where it is wanted with its links as found.",
    "watt_bracket": "left alone the axle stands in the middle.",
    "upper_joint": "nothing asks for the upper joints to be moved.",
    "caster_link": "nothing asks for another caster.",
    "camber_link": "nothing asks for another camber.",
    "shims": "nothing asks for the hubs to be turned.",
    "toe_rod": "nothing asks for another length of the rods that set the toe.",
}
_NO = {
    "trailing_links": "no trailing link",
    "watt_bracket": "no bracket",
    "upper_joint": "no upper-joint adjuster",
    "caster_link": "no caster link",
    "camber_link": "no camber link",
    "shims": "no set of shims",
    "toe_rod": "no toe rod",
}


def _reaching(needs: _Needs, shelf: Shelf, choosy: Choosy) -> Iterator[Part]:
    """Parts for a place that fit and reach, the cheapest first."""
    own: list[Part] = [part for part in shelf.of_kind(needs.slot.kind) if needs.met_by_part(part)]
    for part in sorted(own, key=lambda part: (part.price is None, float(part.price or 0))):
        if not reasons_against(part, needs.slot, needs.fits_on, choosy):
            yield part


@dataclass(frozen=True, slots=True)
class _Needs:
    """What the wishes ask of a place."""

    slot: Slot
    settings: AxleSettings
    document: CarDocument
    job: JobDocument

    @property
    def fits_on(self) -> CarDocument:
        """The car, with the link named that the job names: parts are held against that."""
        if self.slot.key not in {"camber_link", "caster_link"}:
            return self.document
        link, whole = link_replaced(self.slot, self.job, self.document), self.document.interfaces
        own = getattr(whole, str(self.slot.end)).model_copy(update={self.slot.key: link})
        return self.document.model_copy(update={"interfaces": whole.model_copy(update={str(self.slot.end): own})})

    @property
    def moves(self) -> bool:
        """Whether anything has to be set at all."""
        if self.slot.key == "watt_bracket":
            bracket = self.settings.bracket
            return bracket is not None and abs(bracket.shift_if_left) > _OFF_CENTRE
        if self.slot.key == "shims":
            return any(abs(angle) > _STILL_ANGLE for _, angle in self._shim_angles())
        still = _STILL_OF_LINKS if self.slot.key == "trailing_links" else _STILL
        return any(abs(one.needed) > still for one in self._ways(self._wishes(self.job)))

    def met_by(self, job: JobDocument) -> bool:
        """Whether what a job says of this place is known to reach.

        Args:
            job: the change list
        """
        spare = _SPARE_OF_SHIMS if self.slot.key == "shims" else SPARE
        return all(one.reached(spare) for one in self._ways(self._wishes(job)))

    def met_by_part(self, part: Part) -> bool:
        """The same of a part.

        Args:
            part: of this place
        """
        if part.mechanics is None:
            return False
        try:
            return self.met_by(job_of(self.job, {self.slot.name: part}, self.document))
        except InputError:
            return False

    def words(self) -> str:
        """How far what is set has to go."""
        if self.slot.key == "shims":
            most: dict[Aim, float] = {}
            for aim, angle in self._shim_angles():
                most[aim] = max(most.get(aim, 0.0), abs(angle))
            return " and ".join(f"{math.degrees(way):.2f}° of {aim}" for aim, way in most.items() if way > _STILL_ANGLE)
        ways = self._ways(self._wishes(self.job))
        told: dict[str, dict[str, None]] = {}
        for one in ways:
            if abs(one.needed) > _STILL:
                told.setdefault(one.ways[one.needed < 0], {})[show(abs(one.needed), Kind.LENGTH)] = None
        words = " and ".join(f"{' and '.join(lengths)} {way}" for way, lengths in told.items())
        return f"{words}{self._lengths([one.needed for one in ways])}"

    def _lengths(self, needed: Sequence[float]) -> str:
        """How long rods then are, as a catalogue tells it; empty for what is no rod."""
        if self.slot.key not in {"toe_rod", "camber_link", "caster_link"}:
            return ""
        axle, change = self.document.axle(self.slot.end), self.job.change.of(self.slot.end)
        link = link_replaced(self.slot, self.job, self.document) if self.slot.key != "toe_rod" else ""
        joints = rod_joints(axle, self.slot.key, link or "")
        found = lengths_changed(axle, joints[0], change) if joints else {}
        lengths = [
            show(found[side] + way, Kind.LENGTH) for side, way in zip(SIDES, needed, strict=False) if side in found
        ]
        return f" ({' and '.join(dict.fromkeys(lengths))} between the joints)" if lengths else ""

    def _wishes(self, job: JobDocument) -> AxleWishes:
        return wishes_of(self.document, job).axles[self.slot.end]

    def _ways(self, wishes: AxleWishes) -> list[_Way]:
        return list(_WAYS[self.slot.key](self.settings, wishes))

    def _shim_angles(self) -> Iterator[tuple[Aim, float]]:
        wanted = self._wishes(self.job).angles
        for wheel in self.settings.wheels.values():
            yield from ((aim, angle) for aim, angle in wheel.shims_needed.items() if wanted.of(aim) is not None)


_STILL_ANGLE = math.radians(0.005)
"""A hub that is to be turned less stays [rad]."""


def _toe_ways(settings: AxleSettings, wishes: AxleWishes) -> Iterator[_Way]:
    goes = wishes.angles.rods
    for wheel in settings.wheels.values():
        yield _Way(wheel.tie_rod_needed or 0.0, _minus(goes.shorter), goes.longer)


def _link_ways(aim: Aim) -> Callable[[AxleSettings, AxleWishes], Iterator[_Way]]:
    def ways(settings: AxleSettings, wishes: AxleWishes) -> Iterator[_Way]:
        goes = wishes.angles.links.get(aim)
        for wheel in settings.wheels.values():
            needed = wheel.links[aim].needed if aim in wheel.links else 0.0
            yield _Way(needed, None, None) if goes is None else _Way(needed, _minus(goes.shorter), goes.longer)

    return ways


def _joint_ways(settings: AxleSettings, wishes: AxleWishes) -> Iterator[_Way]:
    goes = wishes.angles.slots
    for wheel in settings.wheels.values():
        asked: tuple[tuple[Aim, float, tuple[str, str]], ...] = (
            ("camber", wheel.inward_needed, ("inward", "outward")),
            ("caster", wheel.rearward_needed, ("to the rear", "forward")),
        )
        for aim, needed, ways in asked:
            low, high = (None if math.isinf(end) else end for end in goes.ends(aim))
            yield _Way(needed, low, high, ways)


def _shim_ways(settings: AxleSettings, wishes: AxleWishes) -> Iterator[_Way]:
    goes = wishes.angles.shims
    for wheel in settings.wheels.values():
        for aim, angle in wheel.shims_needed.items():
            thick = goes.thickness(angle)
            if wishes.angles.of(aim) is not None:
                yield _Way(math.inf, None, None) if thick is None else _Way(thick, _minus(goes.thickest), goes.thickest)


def _bracket_ways(settings: AxleSettings, wishes: AxleWishes) -> Iterator[_Way]:
    if settings.bracket is not None:
        goes = wishes.bracket
        low, high = (None, None) if goes is None else (_minus(goes.right), goes.left)
        yield _Way(settings.bracket.centring_place, low, high, ("to the left", "to the right"))


def _trailing_ways(settings: AxleSettings, wishes: AxleWishes) -> Iterator[_Way]:
    if settings.trailing is not None:
        goes = wishes.trailing
        most = None if goes is None or math.isinf(goes.most) else goes.most
        ways = ("longer on the left than on the right", "longer on the right than on the left")
        yield _Way(settings.trailing.apart_needed, _minus(most), most, ways)


def _minus(end: float | None) -> float | None:
    return None if end is None else -end


_WAYS: Mapping[str, Callable[[AxleSettings, AxleWishes], Iterator[_Way]]] = {
    "trailing_links": _trailing_ways,
    "watt_bracket": _bracket_ways,
    "upper_joint": _joint_ways,
    "caster_link": _link_ways("caster"),
    "camber_link": _link_ways("camber"),
    "shims": _shim_ways,
    "toe_rod": _toe_ways,
}
