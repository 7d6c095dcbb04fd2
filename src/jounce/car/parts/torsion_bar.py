"""Torsion bars: the one that springs a wheel and the one inside a beam axle's tube."""

from __future__ import annotations

from typing import Any, Self

from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.fields import refuse
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.parts.shared import NOTHING, SHEAR_MODULUS, check_bore
from jounce.conventions.errors import InputError
from jounce.elements.bars.materials import STEEL_OF_WORD, SteelWord
from jounce.elements.bars.torsion_bar import effective_length, fillet_share_by_torsion


class AdjustingBolt(Section):
    """The bolt that turns a torsion bar's anchor."""

    pitch: ranges.ThreadPitch = Field(description="thread pitch of the bolt: its travel in one turn")
    lever: ranges.AdjusterLever = Field(description="lever of the anchor: bolt to the bar's axis")
    turns_up: ranges.Turns = Field(description="turns left in the sense that raises the car")
    turns_down: ranges.Turns = Field(description="turns left in the sense that lowers the car")


class TorqueTube(Section):
    """The tube that holds the bar's far end, where the bar lies in one: its rate, or what it follows from."""

    rate: ranges.SeriesRate | None = Field(default=None, description="torsional rate of the tube")
    diameter: ranges.TubeDiameter | None = Field(default=None, description="outer diameter, in place of the rate")
    inner_diameter: ranges.TubeDiameter | None = Field(default=None, description="inner diameter of the tube")
    length: ranges.TorsionBarLength | None = Field(default=None, description="length of the tube that twists")
    shear_modulus: ranges.ShearModulus = Field(default=SHEAR_MODULUS, description="shear modulus of the tube's steel")

    @model_validator(mode="after")
    def _check(self) -> Self:
        sizes = ("diameter", "inner_diameter", "length")
        given = [name for name in sizes if getattr(self, name) is not None]
        if len(given) != (3 if self.rate is None else 0):
            refuse(
                InputError(
                    "A tube has a rate, or a diameter, an inner diameter and a length",
                    found=", ".join([*given, *(["rate"] if self.rate is not None else [])]) or "none of them",
                    todo="Give one or the other.",
                )
            )
        if self.diameter is not None and self.inner_diameter is not None:
            check_bore(self.diameter, self.inner_diameter)
        return self


_HEADS = ("shank_length", "head_diameter", "fillet_radius")


class TorsionBarSection(Section):
    """The bar that springs one wheel; its axis is that of the arm it springs."""

    diameter: ranges.TorsionBarDiameter = Field(description="diameter of the bar between its splines")
    inner_diameter: ranges.InnerDiameter = Field(default=NOTHING, description="bore of a hollow bar; 0 for a solid one")
    active_length: ranges.TorsionBarLength | None = Field(
        default=None, description="length that twists, between the splines; or the keys that follow"
    )
    shank_length: ranges.TorsionBarLength | None = Field(
        default=None, description="length from head to head, both fillets included"
    )
    head_diameter: ranges.HeadDiameter | None = Field(
        default=None, description="diameter of the head where the fillet ends in it"
    )
    fillet_radius: ranges.FilletRadius | None = Field(
        default=None, description="radius of the fillet from shank to head"
    )
    fillet_share: ranges.FilletShare | None = Field(
        default=None,
        description="share of the fillet's length that twists like shank, nu in DIN 2091's chart; computed if not given",
    )
    steel: SteelWord | None = Field(
        default=None,
        description="class of spring steel: gives the shear modulus and, where published, the stress limit",
    )
    shear_modulus: ranges.ShearModulus = Field(
        default=SHEAR_MODULUS, description="shear modulus of the steel; given here it goes before that of its class"
    )
    stress_limit: ranges.StressLimit | None = Field(default=None, description="shear stress that the bar may see")
    material: str = Field(default="", description="steel and treatment, as text")
    preset: bool | None = Field(default=None, description="whether the bar was pre-twisted beyond yield by its maker")
    splines_arm: ranges.SplineCount | None = Field(default=None, description="number of splines at the arm")
    splines_anchor: ranges.SplineCount | None = Field(default=None, description="number of splines at the anchor")
    series_rate: ranges.SeriesRate | None = Field(
        default=None, description="torsional rate of all that gives besides the bar, where its parts are not known"
    )
    tube: TorqueTube | None = Field(default=None, description="the tube that holds the bar's far end, where it gives")
    anchor_rate: ranges.SeriesRate | None = Field(default=None, description="torsional rate of the anchor in the body")
    lever_rate: ranges.SeriesRate | None = Field(
        default=None, description="torsional rate of the arm or lever between the bar and what it carries"
    )
    adjuster: AdjustingBolt | None = Field(default=None, description="adjusting bolt at the anchor, where there is one")

    @model_validator(mode="before")
    @classmethod
    def _modulus_of_steel(cls, written: Any) -> Any:
        """The class of steel stands for the modulus that is not given."""
        if not isinstance(written, dict) or "shear_modulus" in written:
            return written
        steel = STEEL_OF_WORD.get(str(written.get("steel")))
        if steel is None:
            return written
        modulus = Measured(steel.shear_modulus.value, 0.0, f"{steel.name}: {steel.shear_modulus.source}")
        return {**written, "shear_modulus": modulus}

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_bore(self.diameter, self.inner_diameter)
        problems = [*self._length_problems(), *self._series_problems()]
        if problems:
            refuse(*problems)
        return self

    def _length_problems(self) -> list[InputError]:
        """The length in exactly one of its two forms, and a fillet that fits."""
        heads = [name for name in _HEADS if getattr(self, name) is not None]
        given = [*(["active_length"] if self.active_length is not None else []), *heads]
        if self.fillet_share is not None:
            given.append("fillet_share")
        whole = [["active_length"], [*_HEADS], [*_HEADS, "fillet_share"]]
        if given not in whole:
            found = f"{', '.join(given) or 'no length'}"
            allowed = f"active_length, or {', '.join(_HEADS)} and if known fillet_share"
            todo = "Give one of the two forms, and the whole of it."
            message = "A bar's length is told in one of two forms"
            return [InputError(message, found=found, allowed=allowed, todo=todo, place="active_length")]
        if not heads:
            return []
        shank, head, radius = (getattr(self, name).value for name in _HEADS)
        try:
            share = fillet_share_by_torsion(self.diameter.value, head, radius)
            given_share = share if self.fillet_share is None else self.fillet_share.value
            effective_length(shank, self.diameter.value, head, radius, given_share)
        except InputError as problem:
            problem.place = "fillet_radius"
            return [problem]
        return []

    def _series_problems(self) -> list[InputError]:
        """What gives besides the bar: as a whole or part by part."""
        parts = [name for name in ("tube", "anchor_rate", "lever_rate") if getattr(self, name) is not None]
        if self.series_rate is None or not parts:
            return []
        found = f"series_rate and {', '.join(parts)}"
        todo = "Leave out series_rate, or the parts."
        return [InputError("What gives besides the bar is given twice", found=found, todo=todo, place="series_rate")]


class InnerBar(Section):
    """The bar inside the tube of a beam axle, twisted by the difference of the two arms' angles."""

    diameter: ranges.AntiRollBarDiameter = Field(description="diameter of the bar")
    inner_diameter: ranges.InnerDiameter = Field(default=NOTHING, description="bore of a hollow bar; 0 for a solid one")
    active_length: ranges.InnerBarLength = Field(description="length that twists, between its fixings")
    shear_modulus: ranges.ShearModulus = Field(default=SHEAR_MODULUS, description="shear modulus of the steel")
    series_rate: ranges.SeriesRate | None = Field(
        default=None, description="torsional rate of all that gives besides the bar, where its parts are not known"
    )
    tube: TorqueTube | None = Field(
        default=None, description="the piece of the axle's tube that the bar's torque twists, where it gives"
    )
    clamp_rate: ranges.SeriesRate | None = Field(
        default=None, description="torsional rate of the bar's fixings, both together"
    )
    stress_limit: ranges.StressLimit | None = Field(default=None, description="shear stress that the bar may see")

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_bore(self.diameter, self.inner_diameter)
        parts = [name for name in ("tube", "clamp_rate") if getattr(self, name) is not None]
        if self.series_rate is not None and parts:
            refuse(
                InputError(
                    "What gives besides the bar is given twice",
                    found=f"series_rate and {', '.join(parts)}",
                    todo="Leave out series_rate, or the parts.",
                    place="series_rate",
                )
            )
        return self
