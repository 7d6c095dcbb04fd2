"""Which parts of the shelf go where on a car, and the job that a package of parts is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.parts import Spring
from jounce.conventions.axes import End, Side
from jounce.conventions.errors import InputError
from jounce.job.document import AngleLinks, JobDocument, JointSlots, NewAntiRollBar, RackHeight
from jounce.job.fitting import parts_taken
from jounce.job.shelf_codes import ShelfCodes, lots_for, pieces_of
from jounce.layouts.description import BarCarrier
from jounce.shelf.fit import FitVerdict, fit, pair_why_not
from jounce.shelf.fit.reason import verdict_of
from jounce.shelf.kinds.adjustable_rods import CamberLinkPart, CasterLinkPart, PanhardPart, ToeRodPart, TrailingLinkPart
from jounce.shelf.kinds.alignment import HubShimPart, UpperJointPart, WattBracketPart
from jounce.shelf.kinds.anti_roll_bars import AntiRollBarPart
from jounce.shelf.kinds.bars import InnerBarPart, TorsionBarPart
from jounce.shelf.kinds.coils import CoilPart, HelperPart, PerchPart
from jounce.shelf.kinds.dampers import BumpStopPart, DamperPart, TopPlatePart
from jounce.shelf.kinds.leaves import LeafPart, ShacklePart
from jounce.shelf.kinds.rods import BallJointSpacerPart, DropLinkPart, RackShimPart, TieRodSpacerPart
from jounce.shelf.kinds.spacers import SpringSpacerPart
from jounce.shelf.kinds.wheels import WheelPart
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf

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
        picked: no goal depends on it: the cheapest that fits and reaches far enough is picked to go with the others
        around: it moves the whole car, so that each choice of it is searched as a car of its own

    """

    name: str
    end: End
    kind: type[Part]
    key: str
    role: str = ""
    picked: bool = False
    around: bool = False

    @property
    def section(self) -> str:
        """Section of the change list in which the part is told."""
        return "spring" if self.key == "helper" else self.key

    @property
    def pieces(self) -> int:
        """How many pieces of a part go there."""
        return pieces_of(self.key)

    def takes(self, part: Part) -> bool:
        """Whether a part is of its kind; a drop link of one length is no part that a plan sets.

        Args:
            part: the part
        """
        return isinstance(part, self.kind) and not (isinstance(part, DropLinkPart) and part.is_fixed)

    def lots(self, part: Part) -> int:
        """How many lots of a part have to be bought.

        Args:
            part: the part
        """
        return lots_for(self.pieces, part.pieces)


SETTERS: tuple[tuple[str, type[Part], str], ...] = (
    ("trailing links", TrailingLinkPart, "trailing_links"),
    ("Watt bracket", WattBracketPart, "watt_bracket"),
    ("upper joints", UpperJointPart, "upper_joint"),
    ("caster links", CasterLinkPart, "caster_link"),
    ("camber links", CamberLinkPart, "camber_link"),
    ("hub shims", HubShimPart, "shims"),
    ("toe rods", ToeRodPart, "toe_rod"),
)
"""What sets where an axle and its wheels stand: words of the places, kinds of parts, keys of the change list."""


def _setters(end: End) -> tuple[Slot, ...]:
    return tuple(Slot(f"{end} {name}", end, kind, key, picked=True) for name, kind, key in SETTERS)


SLOTS: tuple[Slot, ...] = (
    Slot("front bars", End.FRONT, TorsionBarPart, "torsion_bar"),
    Slot("front springs", End.FRONT, CoilPart, "spring"),
    Slot("front helpers", End.FRONT, HelperPart, "helper"),
    Slot("front perches", End.FRONT, PerchPart, "perch"),
    Slot("front leaves", End.FRONT, LeafPart, "leaf"),
    Slot("front shackles", End.FRONT, ShacklePart, "shackle"),
    Slot("front spacers", End.FRONT, SpringSpacerPart, "spacer"),
    Slot("front dampers", End.FRONT, DamperPart, "damper"),
    Slot("front stops", End.FRONT, BumpStopPart, "bump_stop"),
    Slot("top plates", End.FRONT, TopPlatePart, "top_plate", picked=True),
    Slot("front roll bar", End.FRONT, AntiRollBarPart, "roll_bar", "first"),
    Slot("second front roll bar", End.FRONT, AntiRollBarPart, "roll_bar_2", "second"),
    *_setters(End.FRONT),
    Slot("front drop links", End.FRONT, DropLinkPart, "drop_link", picked=True),
    Slot("front inner bar", End.FRONT, InnerBarPart, "inner_bar"),
    Slot("front roll bar on the tube", End.FRONT, AntiRollBarPart, "roll_bar", "on-tube"),
    Slot("front Panhard rod", End.FRONT, PanhardPart, "panhard", picked=True),
    Slot("rear bars", End.REAR, TorsionBarPart, "torsion_bar"),
    Slot("rear springs", End.REAR, CoilPart, "spring"),
    Slot("rear helpers", End.REAR, HelperPart, "helper"),
    Slot("rear perches", End.REAR, PerchPart, "perch"),
    Slot("rear leaves", End.REAR, LeafPart, "leaf"),
    Slot("rear shackles", End.REAR, ShacklePart, "shackle"),
    Slot("rear spacers", End.REAR, SpringSpacerPart, "spacer"),
    Slot("rear dampers", End.REAR, DamperPart, "damper"),
    Slot("rear stops", End.REAR, BumpStopPart, "bump_stop"),
    Slot("rear top plates", End.REAR, TopPlatePart, "top_plate", picked=True),
    Slot("inner bar", End.REAR, InnerBarPart, "inner_bar"),
    Slot("rear roll bar", End.REAR, AntiRollBarPart, "roll_bar", "on-tube"),
    Slot("first rear roll bar", End.REAR, AntiRollBarPart, "roll_bar", "first"),
    Slot("second rear roll bar", End.REAR, AntiRollBarPart, "roll_bar_2", "second"),
    *_setters(End.REAR),
    Slot("rear drop links", End.REAR, DropLinkPart, "drop_link", picked=True),
    Slot("Panhard rod", End.REAR, PanhardPart, "panhard", picked=True),
    Slot("front ball-joint spacers", End.FRONT, BallJointSpacerPart, "ball_joint_spacer", around=True),
    Slot("front tie-rod spacers", End.FRONT, TieRodSpacerPart, "tie_rod_spacer", around=True),
    Slot("rack shims", End.FRONT, RackShimPart, "rack", around=True),
    Slot("rear ball-joint spacers", End.REAR, BallJointSpacerPart, "ball_joint_spacer", around=True),
    Slot("rear tie-rod spacers", End.REAR, TieRodSpacerPart, "tie_rod_spacer", around=True),
    Slot("front wheels", End.FRONT, WheelPart, "wheel", around=True),
    Slot("rear wheels", End.REAR, WheelPart, "wheel", around=True),
)
"""Every place that some car has, in the order of the work; `slots_of` tells those of one."""


USUAL_PLACES = (
    "front bars",
    "front springs",
    "front perches",
    "front leaves",
    "front shackles",
    "front dampers",
    "second front roll bar",
    "rear bars",
    "rear springs",
    "rear perches",
    "rear leaves",
    "rear shackles",
    "rear dampers",
    "inner bar",
)
"""Slots for which parts are looked for when nothing else is asked, as far as a car has them."""


def slots_of(document: CarDocument) -> tuple[Slot, ...]:
    """The places that a car has.

    Args:
        document: the car
    """
    taken = {end: parts_taken(document.axle(end)) for end in End}
    carried = {end: document.axle(end).as_layout().bar_carrier for end in End}
    return tuple(slot for slot in SLOTS if slot.section in taken[slot.end] and _bar_goes(slot, carried[slot.end]))


def _bar_goes(slot: Slot, carrier: BarCarrier) -> bool:
    """Whether an anti-roll bar of this place is carried as those of the axle are."""
    return not slot.role or (slot.role == "on-tube") == (carrier == "tube")


def links_slot(end: End) -> Slot:
    """The place of an axle's drop links.

    Args:
        end: which axle
    """
    return slot_named(f"{end} drop links")


def slot_named(name: str) -> Slot:
    """A slot by its name.

    Raises:
        InputError: there is no such slot
    """
    for slot in SLOTS:
        if slot.name == name:
            return slot
    raise InputError("There is no such place for parts", found=name, allowed=", ".join(s.name for s in SLOTS))


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


def reasons_against(
    part: Part, slot: Slot, document: CarDocument, choosy: Choosy, beside: Sequence[Part] = ()
) -> list[str]:
    """Why a part is not looked at in a slot; none if it is.

    Args:
        part: the part
        slot: the place
        document: the car
        choosy: which parts are looked at
        beside: parts that are fitted with it
    """
    if part.place not in (str(slot.end), "either"):
        return [f"{part.code} is meant for the {part.place} axle."]
    if slot.role and getattr(part, "role", "") != slot.role:
        return [f"{part.code} is a bar of another place."]
    if slot not in slots_of(document):
        return [f"{part.code}: the car has no place for it."]
    if slot.role == "first" and document.axle(slot.end).side(Side.LEFT).roll_bar is None:
        return [f"{part.code}: the car has no first bar whose links it could use."]
    if part.side != "either":
        return [f"{part.code} is made for the {part.side} side: packages take what goes on both."]
    if choosy.in_stock and not part.stock:
        return [f"{part.code} is not in stock."]
    if not slot.takes(part):
        return [f"{part.code} has one length: nothing of it can be set."]
    if part.price is None and not choosy.unsure:
        return [f"{part.code} has no price."]
    if part.KIND == DamperPart.KIND and part.unknown and not choosy.unsure:
        return [f"{part.code}: a damper is not sold without knowing it: measure {', '.join(part.unknown)}."]
    found = fit(part, document, slot.end, beside)
    unfit = found.verdict is FitVerdict.DOES_NOT_FIT or (found.verdict is FitVerdict.UNKNOWN and not choosy.unsure)
    if unfit:
        return [f"{part.code}: {reason.sentence()}" for reason in found.reasons if reason.verdict is found.verdict]
    if part.mechanics is None:
        return [f"{part.code}: not enough is known of it: measure {', '.join(part.unknown)}."]
    return []


def bought(package: Package) -> dict[str, int]:
    """How many lots of the parts of a package are bought, by slot: a set of four wheels counts in its first place.

    Args:
        package: parts by slot
    """
    lots, pieces = {}, dict[str, int]()
    for slot in SLOTS:
        part = package.get(slot.name)
        if part is None:
            continue
        before = pieces.get(part.code, 0) if slot.around else 0
        pieces[part.code] = before + slot.pieces
        lots[slot.name] = lots_for(before + slot.pieces, part.pieces) - lots_for(before, part.pieces)
    return lots


def cost_of(package: Package) -> tuple[float, float]:
    """What a package costs, and the hours of work of it.

    Args:
        package: parts by slot

    Returns:
        Sum of prices, in the shelf's currency, and labour [h]
    """
    lots = bought(package)
    price = sum(float(package[name].price or 0) * count for name, count in lots.items())
    return price, sum((package[name].labour_hours or 0.0) * count for name, count in lots.items())


def go_together(one: Part | None, other: Part | None) -> bool:
    """Whether two parts of one axle may be fitted together as far as is known."""
    if one is None or other is None:
        return True
    return verdict_of(pair_why_not(one, other)) is not FitVerdict.DOES_NOT_FIT


def job_of(base: JobDocument, package: Package, document: CarDocument | None = None) -> JobDocument:
    """The job with the parts of a package in its change list, and their codes.

    Args:
        base: wishes, and parts that every package has
        package: parts by slot
        document: the car; needed for a first anti-roll bar, which hangs on the car's own links

    Raises:
        InputError: a part of which too little is known, or that needs what the car does not have
    """
    sections: dict[End, dict[str, Section]] = {end: {} for end in End}
    codes: dict[End, dict[str, str]] = {end: {} for end in End}
    for name, part in package.items():
        slot = slot_named(name)
        codes[slot.end][slot.key] = part.code
        if isinstance(part, HelperPart):
            continue  # it goes into the section of the spring
        sections[slot.end][slot.key] = _section(part, slot, base, document)
    for end in End:
        helper = package.get(f"{end} helpers")
        if isinstance(helper, HelperPart):
            below = sections[end].get("spring", base.change.of(end).spring)
            sections[end]["spring"] = _stacked(below, helper)
    return _changed(base, sections, codes)


def without(job: JobDocument, slots: Sequence[Slot]) -> JobDocument:
    """The job with nothing changed in some places; a top plate stays where it is put, and which link sets an angle is told.

    Args:
        job: the job
        slots: the places
    """
    cleared: dict[End, dict[str, Section | None]] = {
        end: {slot.key: None for slot in slots if slot.end is end and slot.key != "helper"} for end in End
    }
    for end in End:
        for key in ("camber_link", "caster_link"):
            link = getattr(job.change.of(end), key)
            if key in cleared[end] and link is not None:
                cleared[end][key] = AngleLinks(link=link.link)
        plate = job.change.of(end).top_plate
        if "top_plate" in cleared[end] and plate is not None and (plate.inward.value or plate.rearward.value):
            cleared[end]["top_plate"] = JointSlots(inward=plate.inward, rearward=plate.rearward)
    gone = {end: {slot.key: None for slot in slots if slot.end is end} for end in End}
    for end in End:
        spring = cleared[end].get("spring", job.change.of(end).spring)
        if isinstance(spring, Spring) and "helper" in gone[end]:
            cleared[end]["spring"] = spring.model_copy(update={"helper": None, "tender": None})
        if "spring" in gone[end]:
            gone[end]["helper"] = None
    return _changed(job, cleared, gone)


def set_on_car(job: JobDocument, end: End) -> dict[str, Section]:
    """What a job says of what sets an axle and is none of the shelf: how far that goes which the car itself has.

    Of links of the shelf it is left which of the car's they replace.

    Args:
        job: the change list
        end: which axle
    """
    own: dict[str, Section] = {}
    for _, _, key in SETTERS:
        section = getattr(job.change.of(end), key)
        bought = getattr(getattr(job.shelf, str(end)), key) is not None
        if isinstance(section, AngleLinks) and bought:
            own[key] = AngleLinks(link=section.link)
        elif section is not None and not bought:
            own[key] = section
    return own


def _changed(
    job: JobDocument,
    sections: Mapping[End, Mapping[str, Section | None]],
    codes: Mapping[End, Mapping[str, str | None]],
) -> JobDocument:
    """The job with other sections and codes; copies are not validated again."""
    change = job.change.model_copy(
        update={
            "front": job.change.front.model_copy(update=dict(sections[End.FRONT])),
            "rear": job.change.rear.model_copy(update=dict(sections[End.REAR])),
        }
    )
    shelf: ShelfCodes = job.shelf.model_copy(
        update={
            "front": job.shelf.front.model_copy(update=dict(codes[End.FRONT])),
            "rear": job.shelf.rear.model_copy(update=dict(codes[End.REAR])),
        }
    )
    return job.model_copy(update={"change": change, "shelf": shelf})


def _section(part: Part, slot: Slot, base: JobDocument, document: CarDocument | None) -> Section:
    """What the part is in the change list."""
    section = part.mechanics
    if section is None:
        raise InputError("Too little is known of this part", found=part.code, todo="Measure it first.")
    if slot.role == "first":
        return _first_bar(part, section, slot.end, document)
    put = getattr(base.change.of(slot.end), slot.key)
    if isinstance(section, JointSlots) and put is not None:
        return section.model_copy(update={"inward": put.inward, "rearward": put.rearward})
    if isinstance(section, RackHeight):
        return _rack(section, slot.end, base)
    if slot.key in {"camber_link", "caster_link"}:
        return AngleLinks.model_construct(**dict(section), link=_link_of(part, slot, base, document))
    return section


def _link_of(part: Part, slot: Slot, base: JobDocument, document: CarDocument | None) -> str:
    """Which of the car's links a part replaces: as the job says, else as the car says."""
    told = link_replaced(slot, base, document)
    if told is None:
        raise InputError(
            f"It is not known which link of the {slot.end} axle this part replaces",
            found=part.code,
            todo=f"Name it in the car, interfaces.{slot.end}.{slot.key}, or in the job, change.{slot.end}.{slot.key}.link.",
        )
    return told


def link_replaced(slot: Slot, base: JobDocument, document: CarDocument | None) -> str | None:
    """Which of the car's links a part for a place replaces, by its joints' name: as the job says, else as the car says.

    Args:
        slot: a place of links that set camber or caster
        base: the job
        document: the car
    """
    section = getattr(base.change.of(slot.end), slot.key)
    if isinstance(section, AngleLinks):
        return section.link
    return None if document is None else getattr(getattr(document.interfaces, str(slot.end)), slot.key)


def _rack(section: RackHeight, end: End, base: JobDocument) -> RackHeight:
    """Shims under the rack: where a bump steer is wanted as many of them as it needs, else the whole set."""
    spacer = base.change.of(end).tie_rod_spacer
    taken = spacer is not None and spacer.height is None
    if section.shim is None or section.higher is None or taken or base.wanted.of(end).bump_steer is None:
        return section
    most, none = section.higher, Measured(0.0)
    up, down = (most, none) if most.value > 0 else (none, replace(most, value=-most.value))
    return section.model_copy(update={"higher": None, "up": up, "down": down})


def _first_bar(part: Part, section: Section, end: End, document: CarDocument | None) -> NewAntiRollBar:
    """A first anti-roll bar: it hangs on the links of the one that it replaces."""
    first = None if document is None else document.axle(end).side(Side.LEFT).roll_bar
    if first is None:
        raise InputError(
            "A first anti-roll bar hangs on the links of the one that it replaces",
            found=f"{part.code} for a car without one",
            todo=f"Give the bar under [change.{end}.roll_bar] of the job, with its links.",
        )
    own = {name: value for name, value in section if value is not None and name not in ("link_end", "link_on")}
    links = {"link_end": first.link_end, "link_on": first.link_on}
    return NewAntiRollBar.model_construct(**({"link_rate": first.link_rate} | own | links))


def _stacked(spring: Section | None, helper: HelperPart) -> Section:
    """The main spring's section with the helper or tender below it."""
    stacked = helper.mechanics
    if not isinstance(spring, Spring) or stacked is None:
        raise InputError(
            "A helper spring goes below a main spring whose section is known",
            found=helper.code,
            todo="Measure it, and choose the main spring with it.",
        )
    return spring.model_copy(update={helper.role: stacked})
