"""How each kind of question is answered: by which numbers, checks and pages of the tool, and in which words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

__all__ = ["RECIPES", "AnswerRecipe"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerRecipe:
    """How one kind of question is answered.

    Attributes:
        first: pieces of the labels of numbers that are told first, whatever the sentence says
        rows: of the comparison as found and as planned, stars for any axle, side or name
        feel: numbers of both turns, by the names of `TurnFeel`
        question: word of the question whose tables give the numbers, or whose page tells more
        given: what that question is given
        checks: codes of the checks that decide, each with all axles and sides
        about: what is asked of the checks, in a few words: "the springs stay seated"
        page: page of a job where more is told; that of the question where it is left out
        alone: page of a car where more is told, likewise
        needs: what has to be read or typed before it can be told, and where; empty where nothing has
        outside: why the mechanics cannot tell it; empty where they can
        caution: what can hurt in doing so
        also: what has to be said besides
        of_checks: whether the checks' own values are the numbers
        held: whether the height alone decides: where its own springs do not bring the car down, it is held there
        way: another way of answering, that has a function of its own
        stands: whether the car is drawn as it stands
        travel: curves along the wheels' travel that are drawn, by their columns
        corner: curves of both turns that are drawn, by their titles

    """

    first: tuple[str, ...] = ()
    rows: tuple[str, ...] = ()
    feel: tuple[str, ...] = ()
    question: str = ""
    given: Mapping[str, object] = field(default_factory=dict)
    checks: tuple[str, ...] = ()
    about: str = ""
    page: str = ""
    alone: str = ""
    needs: str = ""
    outside: str = ""
    caution: str = ""
    also: str = ""
    of_checks: bool = False
    held: bool = False
    way: Literal["", "how-low", "rules", "faults"] = ""
    stands: bool = False
    travel: tuple[str, ...] = ()
    corner: tuple[str, ...] = ()


_ENERGY = (
    "Wound torsion bars and pressed springs store energy enough to maim: the wheels hang, the car stands on "
    "stands, and the "
    "spring is let go by its own adjuster before anything is undone."
)
_ROAD = "Grip is not in these numbers: try it on closed ground, one step at a time, in the dry first."
_TRAVEL = ("TRV-01", "TRV-02", "TRV-04", "ARC-01")
_HEIGHT = ("HGT-01", "HGT-02", "PER-01")
_FREQUENCY = ("*.ride_frequency", "*.wheel_rate")
_OF_AXLE_STEER = {"quantities": "left_toe", "start": "-30 mm", "end": "30 mm", "step": "30 mm"}

RECIPES: Mapping[str, AnswerRecipe] = {
    "lower": AnswerRecipe(
        stands=True,
        rows=("*.height", "*.rubber_at"),
        question="settle",
        checks=(*_HEIGHT, *_TRAVEL, "BAR-01", "BAR-02", "SPR-01", "SPR-02"),
        about="it stands there with travel left",
        page="settings",
        caution=_ENERGY,
    ),
    "how-low": AnswerRecipe(way="how-low", page="consequences", alone="how-low"),
    "teeth": AnswerRecipe(question="index", caution=_ENERGY, page="settings"),
    "bar": AnswerRecipe(
        travel=("left_wheel_rate",),
        rows=("front.*.wheel_rate", "front.*.ride_frequency", "front.*.loose_at"),
        question="settle",
        checks=("BAR-01", "BAR-02", "BAR-03"),
        about="the bars stand it and stay wound up",
        caution=_ENERGY,
        also="Bars of another diameter wind up less under the same load: they are indexed anew even for the "
        "same height.",
    ),
    "panhard": AnswerRecipe(
        held=True,
        travel=("axle_shift",),
        rows=("rear.axle_shift", "rear.roll_centre_height"),
        question="settle",
        checks=("PAN-01", "PAN-02", "PAN-03"),
        about="the Panhard rod is as it should be",
        also="The shift is how far the axle stands sideways from where it stood when it was measured; worn "
        "bushes add to it.",
    ),
    "one-side": AnswerRecipe(
        travel=("axle_shift", "track"),
        rows=("*.axle_shift", "*.track", "*.height"),
        question="settle",
        checks=("ARC-01", "NER-01"),
        about="the tyres keep clear",
        also="Measure tyre to arch on both sides at two heights: what stays the same is body or axle, what "
        "changes with "
        "the height is the rod that holds the axle.",
    ),
    "part-for": AnswerRecipe(travel=("left_wheel_rate",), question="part-for", page="search"),
    "wheel-lift": AnswerRecipe(
        corner=("load, rear left wheel", "load, rear right wheel"),
        feel=("rear_lift", "front_lift", "roll_gradient"),
        question="corner",
        caution=_ROAD,
    ),
    "anti-roll-bar": AnswerRecipe(
        corner=("roll", "front share of load moved"),
        rows=("*.roll_stiffness", "front_share"),
        question="settle",
        checks=("ARB-01",),
        about="the anti-roll bars stand it",
        caution=_ROAD,
        also="A bar is told on the job's page of parts; what another one gives is asked of that job.",
    ),
    "seated": AnswerRecipe(
        stands=True,
        rows=("*.loose_at",),
        question="settle",
        checks=("SPR-01", "BAR-02"),
        about="the springs stay loaded to the end of droop",
        caution=_ENERGY,
    ),
    "keep-dampers": AnswerRecipe(
        held=True,
        stands=True,
        rows=("*.rubber_at",),
        question="ride",
        checks=("DMP-01", *_TRAVEL),
        about="the dampers leave travel enough",
    ),
    "damping": AnswerRecipe(
        first=("damping ratio",),
        travel=("left_damper_ratio",),
        question="ride",
        also="Clicks are each maker's own: forces at speeds are what can be told.",
    ),
    "bump-steer": AnswerRecipe(travel=("left_toe",), question="travel", given=_OF_AXLE_STEER),
    "camber": AnswerRecipe(
        first=("camber, to the road", "toe, per wheel"),
        held=True,
        travel=("left_camber",),
        rows=("*.camber", "*.toe"),
        feel=("outer_front_camber",),
        question="corner",
        checks=("PLT-01", "ALN-01", "ALN-02"),
        about="the camber wanted can be set",
        also="Toe wears tyres sooner than camber does; how long a tyre lasts is not worked out.",
    ),
    "adjusters": AnswerRecipe(question="effects", caution=_ENERGY),
    "stance": AnswerRecipe(
        rows=("*.height", "cross_weight", "roll"),
        question="weigh",
        also="Look in this order: tyre pressures, heights and weights with the bars unhooked, bushes that are "
        "wound up, toe, "
        "then brakes that drag.",
    ),
    "left-right": AnswerRecipe(
        corner=("roll", "load moved, front"),
        feel=("roll_gradient", "rear_lift", "rear_steer", "front_steer"),
        question="corner",
    ),
    "ride": AnswerRecipe(
        travel=("left_wheel_rate",),
        rows=("*.ride_frequency", "*.rubber_at"),
        question="ride",
        also="Whether that is comfortable is for who sits in it to say; the numbers can be set beside those of "
        "a car they know.",
    ),
    "wheels": AnswerRecipe(
        stands=True,
        rows=("*.scrub_radius", "*.track", "*.trail"),
        question="settle",
        checks=("WHL-01", "ARC-01", "NER-01"),
        about="the wheels keep clear",
        also="What other wheels weigh, and how stiff their tyres are, is told on a job: the same question asked of it "
        "counts that too.",
    ),
    "legal": AnswerRecipe(stands=True, way="rules", page="consequences"),
    "load": AnswerRecipe(
        stands=True, question="weigh", checks=("LDN-01", "LDN-02", "LDN-03"), about="it stands laden with travel left"
    ),
    "settled": AnswerRecipe(
        stands=True,
        rows=("*.height", "*.toe", "*.camber"),
        question="settle",
        also="Measure the four heights again and type them: what is told here is how it should stand. Toe and "
        "lamps go with the "
        "height; a corner that went down alone is looked at first.",
    ),
    "rub": AnswerRecipe(
        stands=True,
        held=True,
        of_checks=True,
        question="travel",
        checks=("ARC-01", "WHL-01", "NER-01"),
        about="the tyres keep clear",
        page="consequences",
        also="Only what was measured around the tyres is looked at.",
    ),
    "coil-over": AnswerRecipe(
        outside="Coil-overs in place of torsion bars carry the car's weight into tops that carried dampers "
        "only. Whether the "
        "body stands that is not worked out here: it is a change of the structure, for who answers for the body.",
        caution=_ENERGY,
    ),
    "which-first": AnswerRecipe(
        rows=("*.ride_frequency", "front_share"),
        way="faults",
        page="consequences",
        also="What lives hang on comes first, then what fails, then what is wished.",
    ),
    "price": AnswerRecipe(
        needs="What it costs is the price of parts and work: the counter's three answers tell it for a height, the quote "
        "tells it for a job, as far as the shelf has prices",
        page="quote",
    ),
    "balance": AnswerRecipe(
        corner=("front share of load moved", "steer beyond the radius' own"),
        feel=("front_share", "understeer_gradient", "rear_lift"),
        rows=("front_share",),
        question="corner",
        checks=("GRP-02",),
        about="the front gives way first",
        caution=_ROAD,
    ),
    "roll": AnswerRecipe(
        corner=("roll",), feel=("roll_gradient",), rows=("*.roll_stiffness", "*.roll_centre_height"), question="corner"
    ),
    "brake": AnswerRecipe(question="brake", caution=_ROAD),
    "weigh": AnswerRecipe(question="weigh", rows=("*.load", "cross_weight")),
    "bounce": AnswerRecipe(question="bounce", needs="A recording of the bounce is read on the question's own page"),
    "next-reading": AnswerRecipe(question="next-reading"),
    "fit": AnswerRecipe(question="fit", needs="The readings of the garage are read on the question's own page"),
    "settle": AnswerRecipe(
        travel=("left_wheel_rate", "left_load"), rows=("*.wheel_rate", "*.ride_frequency", "*.load"), question="settle"
    ),
    "travel": AnswerRecipe(travel=("left_camber", "left_toe", "left_caster", "roll_centre_height"), question="travel"),
    "loads": AnswerRecipe(question="loads"),
    "comply": AnswerRecipe(travel=("left_toe",), question="comply"),
    "influence": AnswerRecipe(question="influence"),
    "side-effects": AnswerRecipe(stands=True, question="side-effects", page="consequences"),
    "coil": AnswerRecipe(
        question="coil", needs="Wire, turns and diameter of the spring are typed on the question's own page"
    ),
    "bottoming": AnswerRecipe(
        stands=True,
        held=True,
        rows=("*.rubber_at",),
        question="travel",
        checks=("TRV-01", "TRV-02", "LDN-01"),
        about="there is bump travel enough",
    ),
    "scrapes": AnswerRecipe(
        stands=True,
        held=True,
        of_checks=True,
        question="settle",
        checks=("GND-01", "GND-02", "GND-03"),
        about="it keeps clear of the road",
        page="consequences",
    ),
    "noise": AnswerRecipe(
        outside="Noises, play and shaking are worn or loose parts: look at joints, bushes, top mounts and "
        "dampers on the car "
        "before anything is measured or worked out.",
        caution="A worn ball joint, a torn bush or a cracked spring can let the wheel go: look before it is driven on.",
    ),
    "alignment": AnswerRecipe(
        held=True,
        travel=("left_toe", "left_camber", "left_caster"),
        rows=("*.toe", "*.caster", "*.camber"),
        question="settle",
        checks=("ALN-01", "ALN-02"),
        about="the alignment wanted can be set",
        also="What is told is how it stands; which toe suits a use is the shop's to say.",
    ),
}
"""How each kind is answered, by its word."""
