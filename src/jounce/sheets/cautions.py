"""Cautions where they apply: which of them a car, its parts and a sheet call for.

They say what to look out for and leave how it is done to the maker's manual, local rules and licensed people.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from jounce.behaviour.axle.reach import first_hard
from jounce.car.file.assumed import assumed_values
from jounce.car.file.document import CarDocument
from jounce.conventions.axes import End, Side
from jounce.job.document import SET_ALONE
from jounce.layouts.naming import SIDES
from jounce.sheets.paperwork import Printout

ENERGY, SUPPORT, STEEL, STRUCTURE = "energy", "support", "steel", "structure"
HANDLING, BRAKES, DRIVELINE, LAW, TOOL = "handling", "brakes", "driveline", "law", "tool"

_Applies = Callable[[Printout], bool]


@dataclass(frozen=True, slots=True)
class _Caution:
    topic: str
    text: str
    applies: _Applies = lambda _: True


def cautions(out: Printout, topics: Iterable[str]) -> list[str]:
    """The cautions of some topics that this car or job calls for.

    Args:
        out: what is printed
        topics: what the sheet is about
    """
    asked = set(topics)
    told = [one.text for one in _ALL if one.topic in asked and one.applies(out)]
    return [*told, *not_measured(out.case.car)] if TOOL in asked else told


def not_measured(car: CarDocument) -> list[str]:
    """The caution that numbers were taken over from another car; none where all were measured on this one.

    Args:
        car: the car as measured
    """
    count = len(assumed_values(car))
    if not count:
        return []
    words = "1 number of this car was" if count == 1 else f"{count} numbers of this car were"
    told = "a first guess, not to be built or ordered from before they are measured."
    return [f"{words} not measured on it but taken over from another one: {told}"]


def _has(kind: str) -> _Applies:
    return lambda out: any(model.main[side].kind == kind for model in out.case.found.models for side in SIDES)


def _has_beam(out: Printout) -> bool:
    return any(model.linkage.beam is not None for model in out.case.found.models)


def _has_shafts(out: Printout) -> bool:
    """Whether the drive shafts of the driven axle were measured."""
    section = out.case.car.axle(End(out.case.car.driveline.driven))
    sides = (section.side(side).pivots for side in Side)
    return any(getattr(pivots, "drive_shaft_inner", None) is not None for pivots in sides)


def _driven(axle: str) -> _Applies:
    return lambda out: out.case.car.driveline.driven == axle


def _changes(*parts: str) -> _Applies:
    def does(out: Printout) -> bool:
        if out.case.job is None:
            return False
        change = out.case.change_list.change
        return any(getattr(axle, part) is not None for axle in (change.front, change.rear) for part in parts)

    return does


def _either(*rules: _Applies) -> _Applies:
    return lambda out: any(rule(out) for rule in rules)


def _job(out: Printout) -> bool:
    return out.case.job is not None


def _loose_in_droop(out: Printout) -> bool:
    """Whether a main spring carries nothing before its wheel has come to the end of its droop."""
    for state in (one.standing for one in out.case.states):
        for model in state.models:
            end, wheels = first_hard(state.stops[model.name], "droop"), state.axles[model.name].wheels
            loose = [
                wheel.loose_at
                for side, wheel in wheels.items()
                if wheel.loose_at is not None and model.main[side].can_leave_its_seat
            ]
            if loose and (end is None or min(loose) < end.travel):
                return True
    return False


def _more_rear_stiffness(out: Printout) -> bool:
    if out.case.job is None:
        return False
    found, planned = (state.standing.front_share_of_roll_stiffness for state in out.case.states)
    return planned < found


_BARS = _changes("roll_bar", "roll_bar_2", "inner_bar")
_SPRINGS = _changes("torsion_bar", "spring", "leaf")
_THREADED = _changes("panhard", *SET_ALONE)

_ALL = (
    _Caution(
        ENERGY,
        "A wound torsion bar throws lever, anchor and adjuster when it is let go. Unload it before ball joint, strut or "
        "arm is undone: wheel at full droop, arm supported, adjusting bolt backed off until the bar is free. Stand clear "
        "of its axis and of the plane of its lever.",
        lambda out: _has("torsion bar")(out) and not out.lacks_bolt,
    ),
    _Caution(
        ENERGY,
        "A wound torsion bar throws its arm when it is let go, and these bars have no adjusting bolt by which they could "
        "be let down. How they are unloaded is in the car maker's manual: without it do not undo ball joint, strut, arm or "
        "anchor. Stand clear of the bar's axis and of the plane of its arm.",
        lambda out: out.lacks_bolt,
    ),
    _Caution(
        ENERGY,
        "A loaded leaf throws axle, shackle and eye when its clamp or a bolt is undone. Body on rated stands, axle on a "
        "jack: let it down until the leaf hangs without load. Hands out of eye and shackle.",
        _has("leaf"),
    ),
    _Caution(
        ENERGY,
        "A compressed coil flies. Use rated compressors, two at least, none with open hooks; let a beam axle down evenly, "
        "hoses and cables freed first.",
        lambda out: _has("coil")(out) and _has_beam(out),
    ),
    _Caution(
        ENERGY,
        "A compressed coil flies. Use rated compressors, two at least, none with open hooks; hoses and cables freed first.",
        lambda out: _has("coil")(out) and not _has_beam(out),
    ),
    _Caution(ENERGY, "Gas-filled dampers are under pressure: do not cut, drill or heat them."),
    _Caution(
        ENERGY,
        "A spring or bar of this car is loose before its wheel hangs at full droop (see the sheet): it can leave its seat "
        "or lever. It must be held captive; do not drive the car until it is.",
        _loose_in_droop,
    ),
    _Caution(
        SUPPORT,
        "Never under a car that stands on jacks: rated stands on firm level ground, wheels chocked. Hub nuts are undone "
        "and tightened only with the wheels on the ground.",
    ),
    _Caution(SUPPORT, "While a wheel is cycled or stands on a block at full lock, nobody is beside or under the car."),
    _Caution(
        STEEL,
        "No grips, hammer marks, welding, bending, drilling or heat on springs and bars, and no spring is cut: a notch "
        "breaks later, also on a parked car.",
    ),
    _Caution(
        STEEL,
        "Torsion bars are handed: mark each and keep it on its side. Corroded splines or anchors: replace.",
        _has("torsion bar"),
    ),
    _Caution(
        STEEL,
        "Adjustable links and plates: never weld them; threads engaged at least one and a half diameters; lock nuts tight; "
        "rod ends wear and are looked at regularly.",
        _THREADED,
    ),
    _Caution(
        STRUCTURE,
        "Stiffer springs and bars load what they are fixed to more than it was made for: look there for cracks and rust "
        "before and after. Welding and structural work by someone licensed for it.",
        _either(_SPRINGS, _BARS),
    ),
    _Caution(
        HANDLING,
        "The rear takes more of the roll than before: lifting off in a corner turns the car in sooner, most of all in the "
        "wet and on worn rear tyres. Change one step at a time and try it dry, then wet, off the public road.",
        _more_rear_stiffness,
    ),
    _Caution(
        HANDLING,
        "Where a bump rubber is met in a corner the balance changes suddenly: keep the free travel that this sheet states.",
        _job,
    ),
    _Caution(
        HANDLING, "Rear toe-out, from settling or in bump, makes a car loose; steering in bump is a danger on the road."
    ),
    _Caution(
        BRAKES,
        "A load-sensing brake valve is set again at the new height by the maker's procedure: a lowered car looks loaded to "
        "it, one on stiffer springs looks empty.",
    ),
    _Caution(
        BRAKES,
        "Brake hoses, wheel-speed and handbrake cables: free at full droop and at both full locks, not twisted, not "
        "touched by a tyre.",
    ),
    _Caution(
        DRIVELINE,
        "Drive shafts: angle and plunge at droop and bump, boots whole; a joint can pull out after height or ball joint "
        "were changed.",
        _either(_driven("front"), _has_shafts),
    ),
    _Caution(
        DRIVELINE, "Exhaust, fuel pipe and sump clear of the ground; tyres clear of arch and damper fully loaded."
    ),
    _Caution(LAW, "Headlamps are aimed last, with the driver aboard, after every change of height."),
    _Caution(
        LAW,
        "Changes may need approval before the car is used on the road, and the insurer's knowledge: ask the local "
        "authority and the inspector.",
    ),
    _Caution(LAW, "Torque figures, thread locking and parts used once only: as the car maker's manual says."),
    _Caution(LAW, "Bonded rubber bushes are tightened with the car at ride height."),
    _Caution(
        TOOL,
        "The numbers rest on the measurements given and on rigid links; they are no certificate and replace no inspection "
        "and no road test. A competent person signs.",
    ),
)
"""All cautions, in the order in which they are printed."""
