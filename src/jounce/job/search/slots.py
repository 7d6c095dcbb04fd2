"""Which parts of the shelf go where on a car, and the job that a package of parts is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from jounce.car.beam_panhard import BeamPanhardAxle
from jounce.car.document import CarDocument
from jounce.car.section import Section
from jounce.car.strut_torsion_bar import StrutTorsionBarAxle
from jounce.conventions.axes import End
from jounce.conventions.errors import InputError
from jounce.job.document import JobDocument
from jounce.job.shelf.fit import Verdict, fit, pair_why_not
from jounce.job.shelf.fit.reason import verdict_of
from jounce.job.shelf.kinds.bars import InnerBarPart, TorsionBarPart
from jounce.job.shelf.kinds.coils import CoilPart, PerchPart
from jounce.job.shelf.kinds.dampers import BumpStopPart, DamperPart
from jounce.job.shelf.kinds.roll_bars import RollBarPart
from jounce.job.shelf.part import Part
from jounce.job.shelf.shelf import Shelf

Package = Mapping[str, Part]
"""Parts by slot; a slot that is not named keeps what the job or the car has."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A place on the car for one part.

    Attributes:
        name: its name
        end: which axle
        kind: class of the parts that go there
        key: key of the job's change list
        role: of anti-roll bars: first, second, on-tube; else empty

    """

    name: str
    end: End
    kind: type[Part]
    key: str
    role: str = ""


SLOTS: tuple[Slot, ...] = (
    Slot("front bars", End.FRONT, TorsionBarPart, "torsion_bar"),
    Slot("front dampers", End.FRONT, DamperPart, "damper"),
    Slot("front stops", End.FRONT, BumpStopPart, "bump_stop"),
    Slot("second front roll bar", End.FRONT, RollBarPart, "roll_bar_2", "second"),
    Slot("rear springs", End.REAR, CoilPart, "spring"),
    Slot("rear perches", End.REAR, PerchPart, "perch"),
    Slot("rear dampers", End.REAR, DamperPart, "damper"),
    Slot("rear stops", End.REAR, BumpStopPart, "bump_stop"),
    Slot("inner bar", End.REAR, InnerBarPart, "inner_bar"),
    Slot("rear roll bar", End.REAR, RollBarPart, "roll_bar", "on-tube"),
)
"""Slots of a car with torsion-bar struts in front and a beam axle behind."""


def slot_named(name: str) -> Slot:
    """A slot by its name.

    Raises:
        InputError: there is no such slot
    """
    for slot in SLOTS:
        if slot.name == name:
            return slot
    raise InputError("There is no such place for parts", found=name, allowed=", ".join(s.name for s in SLOTS))


def check_searchable(document: CarDocument) -> None:
    """Refuse a car for which packages cannot be searched.

    Raises:
        InputError: other layouts
    """
    if not isinstance(document.front, StrutTorsionBarAxle) or not isinstance(document.rear, BeamPanhardAxle):
        raise InputError(
            "Packages are searched for a torsion-bar strut axle in front and a beam axle behind",
            found=f"{document.front.layout} and {document.rear.layout}",
            todo="Choose another car.",
        )


@dataclass(frozen=True, slots=True)
class Choosy:
    """Which parts are looked at: only what is in stock; also those not surely known to fit, or without a price."""

    in_stock: bool = False
    unsure: bool = False


USUAL = Choosy()


def parts_for(slot: Slot, shelf: Shelf, document: CarDocument, choosy: Choosy) -> list[Part]:
    """Parts of a slot that fit the car and of which enough is known to calculate.

    Args:
        slot: the place
        shelf: the shelf
        document: the car
        choosy: which parts are looked at
    """
    return [part for part in shelf.of_kind(slot.kind) if not reasons_against(part, slot, document, choosy)]


def reasons_against(part: Part, slot: Slot, document: CarDocument, choosy: Choosy) -> list[str]:
    """Why a part is not looked at in a slot; none if it is.

    Args:
        part: the part
        slot: the place
        document: the car
        choosy: which parts are looked at
    """
    if part.place not in (str(slot.end), "either"):
        return [f"{part.code} is meant for the {part.place} axle."]
    if slot.role and getattr(part, "role", "") != slot.role:
        return [f"{part.code} is a bar of another place."]
    if part.side != "either":
        return [f"{part.code} is made for the {part.side} side: packages take what goes on both."]
    if choosy.in_stock and not part.stock:
        return [f"{part.code} is not in stock."]
    if part.price is None and not choosy.unsure:
        return [f"{part.code} has no price."]
    if part.KIND == DamperPart.KIND and part.unknown and not choosy.unsure:
        return [f"{part.code}: a damper is not sold without knowing it: measure {', '.join(part.unknown)}."]
    found = fit(part, document, slot.end)
    unfit = found.verdict is Verdict.DOES_NOT_FIT or (found.verdict is Verdict.UNKNOWN and not choosy.unsure)
    if unfit:
        return [f"{part.code}: {reason.sentence()}" for reason in found.reasons if reason.verdict is found.verdict]
    if part.mechanics is None:
        return [f"{part.code}: not enough is known of it: measure {', '.join(part.unknown)}."]
    return []


def go_together(one: Part | None, other: Part | None) -> bool:
    """Whether two parts of one axle may be fitted together as far as is known."""
    if one is None or other is None:
        return True
    return verdict_of(pair_why_not(one, other)) is not Verdict.DOES_NOT_FIT


def job_of(base: JobDocument, package: Package) -> JobDocument:
    """The job with the parts of a package in its change list.

    Args:
        base: wishes, and parts that every package has
        package: parts by slot
    """
    front: dict[str, Section] = {}
    rear: dict[str, Section] = {}
    for name, part in package.items():
        slot = slot_named(name)
        section = part.mechanics
        if section is None:
            raise InputError("Too little is known of this part", found=part.code, todo="Measure it first.")
        (front if slot.end is End.FRONT else rear)[slot.key] = section
    change = base.change.model_copy(
        update={
            "front": base.change.front.model_copy(update=front),
            "rear": base.change.rear.model_copy(update=rear),
        }
    )
    return base.model_copy(update={"change": change})


def without(job: JobDocument, slots: Sequence[Slot]) -> JobDocument:
    """The job with nothing changed in some places.

    Args:
        job: the job
        slots: the places
    """
    cleared = {end: {slot.key: None for slot in slots if slot.end is end} for end in End}
    change = job.change.model_copy(
        update={
            "front": job.change.front.model_copy(update=cleared[End.FRONT]),
            "rear": job.change.rear.model_copy(update=cleared[End.REAR]),
        }
    )
    return job.model_copy(update={"change": change})
