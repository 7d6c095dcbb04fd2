"""Parts on which no goal depends: of those that fit and reach far enough the cheapest goes with every package."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from jounce.car.file.document import CarDocument
from jounce.conventions.axes import ENDS, End
from jounce.conventions.units import Kind, show
from jounce.job.document import JobDocument
from jounce.job.drop_links import LinkSetting
from jounce.job.plan import WantedStand
from jounce.search.alignment_parts import NO_SETTERS, SettersPicked
from jounce.search.slots import Choosy, Package, Slot, links_slot, reasons_against, slot_named
from jounce.shelf.kinds.adjustable_rods import PanhardPart
from jounce.shelf.kinds.dampers import TopPlatePart
from jounce.shelf.kinds.rods import DropLinkPart
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf

PLATES = {End.FRONT: slot_named("top plates"), End.REAR: slot_named("rear top plates")}
"""Places of the top plates of each axle."""
RODS = {End.FRONT: slot_named("front Panhard rod"), End.REAR: slot_named("Panhard rod")}
"""Places of the rod that holds each axle sideways."""
SPARE = 0.001
"""Way that a slot or a thread has left beyond what the plan at hand asks for: teeth move it a little [m]."""
OFF_CENTRE = 0.001
"""An axle that stands farther from the middle than this asks for an adjustable rod [m]."""


@dataclass(frozen=True, slots=True)
class Picked:
    """What was picked.

    Attributes:
        plates: top plates of each axle that fit and reach, the cheapest first
        rods: the Panhard rod of each axle that needs one, where one suits
        links: adjustable drop links of each axle whose bars are to be free, the cheapest first
        document: the car
        choosy: which parts are looked at
        told: for each place why this part, or why none
        setters: what sets where axles and wheels stand

    """

    plates: Mapping[End, tuple[Part, ...]]
    rods: Mapping[End, Part]
    links: Mapping[End, tuple[DropLinkPart, ...]]
    document: CarDocument
    choosy: Choosy
    told: Mapping[str, str]
    setters: SettersPicked = NO_SETTERS

    def of_axle(self, end: End) -> Package:
        """What goes with every choice of an axle.

        Args:
            end: the axle
        """
        own = {name: part for name, part in self.setters.parts.items() if slot_named(name).end is end}
        return own | ({RODS[end].name: self.rods[end]} if end in self.rods else {})

    def plate_for(self, end: End, package: Package) -> Package:
        """The cheapest plate that fits with a package's dampers; none where no plate does.

        Args:
            end: the axle
            package: parts of its dampers and stops
        """
        slot, beside = PLATES[end], tuple(package.values())
        for plate in self.plates.get(end, ()):
            if not reasons_against(plate, slot, self.document, self.choosy, beside):
                return {slot.name: plate}
        return {}

    def links_for(self, end: End, package: Package, needed: Sequence[LinkSetting]) -> Package:
        """The cheapest drop links that fit with a choice of anti-roll bars and reach the lengths that free them.

        Args:
            end: the axle
            package: its anti-roll bars
            needed: what frees them where the axle is wanted; none where they are not to be free
        """
        slot, beside = links_slot(end), tuple(package.values())
        for link in self.links.get(end, ()):
            reaches = needed and all(_reaches(link, one) for one in needed)
            if reaches and not reasons_against(link, slot, self.document, self.choosy, beside):
                return {slot.name: link}
        return {}


def picked_parts(
    stand: WantedStand,
    document: CarDocument,
    job: JobDocument,
    shelf: Shelf,
    slots: Sequence[Slot],
    choosy: Choosy,
) -> Picked:
    """Pick for the places that are asked for.

    Args:
        stand: the car at the heights wanted: where plates and rod are wanted
        document: the car
        job: what is wanted of it
        shelf: the shelf
        slots: the places
        choosy: which parts are looked at
    """
    told: dict[str, str] = {}
    plates: dict[End, tuple[Part, ...]] = {}
    rods: dict[End, Part] = {}
    for end in ENDS:
        if (slot := PLATES[end]) in slots:
            plates[end], told[slot.name] = _plates(stand, shelf, slot)
        if (slot := RODS[end]) in slots:
            rod, told[slot.name] = _rod(stand, document, shelf, slot, choosy)
            rods |= {} if rod is None else {end: rod}
    links: dict[End, tuple[DropLinkPart, ...]] = {}
    for end in ENDS:
        slot = links_slot(end)
        if slot in slots:
            wanted = job.wanted.of(end).free_bars is not None
            links[end], told[slot.name] = (
                _links([*stand.axles[end].links.values()], shelf, slot) if wanted else _NO_BARS
            )
    return Picked(plates, rods, links, document, choosy, told)


_STAY = "none: nothing asks for the strut tops to be moved."
_NO_BARS: tuple[tuple[DropLinkPart, ...], str] = ((), "none: the job asks for no free anti-roll bars there.")


def _links(needed: Sequence[LinkSetting], shelf: Shelf, slot: Slot) -> tuple[tuple[DropLinkPart, ...], str]:
    """Links that can be set, the cheapest first: which of them reaches is another question for each bar."""
    found = [
        link
        for link in shelf.of_kind(DropLinkPart)
        if link.place in (slot.end, "either") and None not in (link.shortest, link.longest) and not link.is_fixed
    ]
    links = tuple(sorted(found, key=_price))
    words = " and ".join(show(one.free_length, Kind.LENGTH) for one in needed)
    if not words:
        return links, "with each choice of bars the cheapest that fits and reaches the length at which they are free."
    if not any(all(_reaches(link, one) for one in needed) for link in links):
        return links, f"none: no adjustable link on the shelf is known to reach {words}, at which the bars are free."
    return links, f"the cheapest that fits and reaches {words}, at which the bars are free."


def _reaches(link: DropLinkPart, needed: LinkSetting) -> bool:
    low, high = link.shortest, link.longest
    if low is None or high is None:
        return False
    return low.value + SPARE <= needed.free_length <= high.value - SPARE


def _plates(stand: WantedStand, shelf: Shelf, slot: Slot) -> tuple[tuple[Part, ...], str]:
    ways = list(stand.axles[slot.end].wheels.values())
    if not ways:
        return (), _STAY
    inward, rearward = [way.inward_needed for way in ways], [way.rearward_needed for way in ways]
    needed = {
        "reach_inward": max(inward),
        "reach_outward": -min(inward),
        "reach_rear": max(rearward),
        "reach_fore": -min(rearward),
    }
    needed = {key: way for key, way in needed.items() if way > _STILL}
    if not needed:
        return (), _STAY
    enough = [
        plate
        for plate in shelf.of_kind(TopPlatePart)
        if plate.place in (slot.end, "either")
        and all(
            (reach := getattr(plate, key)) is not None and reach.value >= way + SPARE for key, way in needed.items()
        )
    ]
    words = " and ".join(f"{show(way, Kind.LENGTH)} {key.removeprefix('reach_')}" for key, way in needed.items())
    if not enough:
        return (), f"none: no plate on the shelf is known to reach {words}."
    return tuple(sorted(enough, key=_price)), f"the cheapest that fits the dampers and reaches {words}."


def _rod(
    stand: WantedStand, document: CarDocument, shelf: Shelf, slot: Slot, choosy: Choosy
) -> tuple[Part | None, str]:
    setting = stand.axles[slot.end].rod
    if setting is None:
        return None, "none: this axle has no such rod."
    shift, length = abs(setting.shift_if_left), setting.centring_length
    if shift <= OFF_CENTRE:
        return None, f"none: left alone the axle stands {show(shift, Kind.LENGTH)} beside the middle."
    enough = [
        rod
        for rod in shelf.of_kind(PanhardPart)
        if rod.shortest is not None
        and rod.longest is not None
        and rod.shortest.value + SPARE <= length <= rod.longest.value - SPARE
        and not reasons_against(rod, slot, document, choosy)
    ]
    if not enough:
        return None, f"none: no rod on the shelf fits and is known to reach {show(length, Kind.LENGTH)}."
    return min(enough, key=_price), f"the cheapest that fits and reaches {show(length, Kind.LENGTH)}."


def _price(part: Part) -> tuple[bool, float]:
    return part.price is None, float(part.price or 0)


_STILL = 5e-5  # a plate that moves less is not told to move [m]
