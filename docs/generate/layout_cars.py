"""Which demo car shows which layout, and its axle laid out."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Literal

from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import parse_car
from jounce.car.file.section import Section
from jounce.car.mechanics.assembly import axle_linkage
from jounce.car.mechanics.layout_input import axle_given, spring_kind
from jounce.conventions.axes import End
from jounce.layouts.axle import AxleLinkage, Setting
from jounce.layouts.axle_input import AxleInput
from jounce.layouts.catalogue import LAYOUTS
from jounce.layouts.description import Layout

AxleName = Literal["front", "rear"]


@dataclass(frozen=True, slots=True)
class Pictured:
    """A picture of an axle of a demo car: its name, the car's file, the axle, what it is about."""

    name: str
    car: str
    axle: AxleName
    about: str


PICTURED: dict[str, tuple[Pictured, ...]] = {
    "strut-torsion-bar": (Pictured("strut-torsion-bar", "brisk-14", "front", "Strut, torsion bar in the arm's line"),),
    "strut-coil": (Pictured("strut-coil", "sedge-13", "front", "Strut with its coil set off from the rod"),),
    "strut-lateral-links": (
        Pictured("strut-lateral-links", "campion-22", "rear", "Two links across the car, one along it"),
    ),
    "double-wishbone": (
        Pictured("double-wishbone", "comfrey-20", "front", "Coil and damper on a fork, rack behind the axle"),
        Pictured("double-wishbone-torsion-bar", "yarrow-12", "front", "Torsion bar in the lower arm's line"),
        Pictured("double-wishbone-steering-box", "bracken-16", "front", "Steering box, relay rod and idler arm"),
    ),
    "five-link": (Pictured("five-link", "comfrey-20", "rear", "Not steered: the tie rod ends on the body"),),
    "trailing-arm": (Pictured("trailing-arm", "tansy-11", "rear", "Trailing arms, torsion bars across the car"),),
    "semi-trailing-arm": (Pictured("semi-trailing-arm", "mallow-18", "rear", "Semi-trailing arms with coils"),),
    "twist-beam": (Pictured("twist-beam", "sedge-13", "rear", "Cross-member ahead of the wheels"),),
    "beam-panhard": (Pictured("beam-panhard", "brisk-14", "rear", "Panhard rod behind the tube"),),
    "beam-watt": (Pictured("beam-watt", "teasel-15", "rear", "Rocker upright on the tube"),),
    "beam-four-link": (Pictured("beam-four-link", "burnet-17", "rear", "Upper and lower links, Panhard rod behind"),),
    "beam-leaf": (Pictured("beam-leaf", "bracken-16", "rear", "Leaf springs below the tube"),),
}
"""Pictures on each layout's page."""


@dataclass(frozen=True, slots=True)
class DemoAxle:
    """An axle of a demo car, laid out as found."""

    car: str
    name: AxleName
    section: Axle
    given: AxleInput
    linkage: AxleLinkage

    @property
    def layout(self) -> Layout:
        """Its layout."""
        return LAYOUTS[self.section.layout]

    @property
    def variant(self) -> str:
        """What is particular about it: its spring, its choices, its steering."""
        words: list[str] = [spring_kind(self.section)]
        chosen = self.given.choices
        words += [f"{choice.name} {chosen[choice.name]}" for choice in self.layout.choices if _tells(self, choice.name)]
        if self.layout.steered:
            words.append({"rack": "rack", "box": "steering box", "none": "not steered"}[chosen["steering"]])
        bushes: Section | None = getattr(self.section, "bushes", None)
        if bushes is not None and bushes.model_dump(exclude_none=True):
            words.append("with bushes")
        return ", ".join(words)


def _tells(axle: DemoAxle, choice: str) -> bool:
    """Whether a choice matters: what carries a torsion bar does not where there is a coil."""
    kind = spring_kind(axle.section)
    return choice == "turning_side" or (choice, kind) in {("spring_on", "coil"), ("torsion_bar_on", "torsion bar")}


@cache
def demo_cars() -> dict[str, CarDocument]:
    """Every demo car by the name of its file without ending."""
    texts = {
        Path(entry.name).stem: entry.read_text("utf-8")
        for entry in files("jounce.demo").iterdir()
        if entry.name.endswith(".toml")
    }
    return {name: parse_car(text, name) for name, text in sorted(texts.items()) if "\n[car]\n" in text}


@cache
def demo_axles() -> tuple[DemoAxle, ...]:
    """Every axle of every demo car."""
    return tuple(_axle(name, document, end) for name, document in demo_cars().items() for end in ("front", "rear"))


def demo_axle(car: str, axle: AxleName) -> DemoAxle:
    """One axle of a demo car.

    Args:
        car: name of its file without ending
        axle: which

    """
    return next(one for one in demo_axles() if (one.car, one.name) == (car, axle))


def _axle(car: str, document: CarDocument, name: AxleName) -> DemoAxle:
    section = document.axle(End.FRONT if name == "front" else End.REAR)
    return DemoAxle(car, name, section, axle_given(section, name), axle_linkage(section, Setting(name)))
