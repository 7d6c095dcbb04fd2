"""A job for the length of one question: what was asked put on a car or on a kept job, which stays as it is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import replace

from jounce.asked.aboard import FRONT, Riding, named_aboard, with_front_place
from jounce.asked.amounts import Wording
from jounce.asked.angles import SaidAngle
from jounce.asked.other_wheels import OtherWheel, other_wheel, width_today
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured, read_toe_across
from jounce.car.file.section import Section
from jounce.car.parts.shared import NOTHING
from jounce.car.parts.wheel import Wheel
from jounce.case.case import Case
from jounce.conventions.axes import End, Side
from jounce.conventions.errors import InputError
from jounce.conventions.units import MM, Kind, show
from jounce.elements.tyres.size import size_named
from jounce.job.document import JobDocument, MassChanges, NewAntiRollBar, WantedAxle, WheelChange
from jounce.measuring.typed_toe import rim_of
from jounce.wanted.counter.today import nothing_done

__all__ = [
    "KINDS_WITH_ANGLES",
    "KINDS_WITH_HEIGHT",
    "KINDS_WITH_LOAD",
    "KINDS_WITH_WHEELS",
    "asks_height",
    "other_wheels",
    "passing_case",
    "understood_as",
]

_AXLES = ("front", "rear")
_ANGLES_AND_MORE = ("lower", "height", "left_height", "right_height")
KINDS_WITH_HEIGHT = frozenset(
    {
        "lower",
        "panhard",
        "seated",
        "keep-dampers",
        "bump-steer",
        "camber",
        "ride",
        "rub",
        "bottoming",
        "scrapes",
        "roll",
        "side-effects",
        "balance",
        "wheel-lift",
        "damping",
        "alignment",
        "bar",
        "anti-roll-bar",
        "legal",
        "brake",
        "weigh",
        "settle",
        "travel",
        "loads",
        "comply",
        "influence",
        "adjusters",
        "part-for",
        "which-first",
        "left-right",
    }
)
"""Kinds whose sentence may ask for another height: in the others an amount of height tells how it is."""
KINDS_WITH_WHEELS = KINDS_WITH_HEIGHT | {"wheels", "how-low", "load"}
"""Kinds whose sentence may put other tyres and rims on the car."""
KINDS_WITH_ANGLES = (KINDS_WITH_HEIGHT | {"wheels"}) - {"adjusters", "part-for", "which-first", "left-right"}
"""Kinds whose sentence may ask for camber, toe or caster."""
_OF_ROLL = frozenset({"anti-roll-bar", "roll", "balance", "wheel-lift", "left-right", "ride"})
"""Kinds that may be asked of a car without one of its anti-roll bars."""
_NO_BAR = 1.0 * MM
"""A bar of this diameter carries nothing: by the fourth power, a hundred-thousandth of a usual one [m]."""
_WITH_OFFSET = frozenset({"wheels", "rub", "one-side", "legal"})
_OF_OWN_HEIGHT = frozenset({"teeth", "part-for"})
"""Kinds whose question is given the height itself."""
KINDS_WITH_LOAD = frozenset(
    {"rub", "bottoming", "scrapes", "wheel-lift", "balance", "roll", "ride", "camber", "bump-steer"}
)
"""Kinds that may be asked of a car with people or luggage in it; the kind "load" has its own way."""
_NO_OFFSET = "The offset of the wheels that are on the car is not known, so how far others move out is not either"


def passing_case(case: Case, kind: str, told: Wording) -> Case:
    """The case that a question is asked of.

    Args:
        case: a car, or a job on it
        kind: what is asked
        told: its amounts

    Raises:
        InputError: the car has not what is to be changed
    """
    base = _with_a_job(case)
    if base is not case:
        base = replace(base, before=case.found)
    job = base.change_list
    if any(one.name == FRONT for one in named_aboard(told, base)):
        base = replace(base, car=with_front_place(base.car), before=None)
    if told.sizes and kind in KINDS_WITH_WHEELS:
        base = replace(base, car=_with_widths(base.car), before=base.found)
        for axle, other in other_wheels(base, told).items():
            job = _changed(job, axle, {"wheel": other.change})
    if told.lower and asks_height(kind, told):
        job = _lowered(job, told.lower)
    if kind in KINDS_WITH_ANGLES and told.angles:
        job = _with_angles(base, job, told.angles)
    if told.bar is not None and kind != "settle":
        job = _with_bar(base, job, told.bar)
    if told.roll_bar is not None and kind != "settle":
        job = _with_anti_roll_bar(base, job, _axle_of_anti_roll_bar(base, told), told.roll_bar)
    if _bar_off(kind, told):
        job = _with_anti_roll_bar(base, job, _axle_of_anti_roll_bar(base, told), _NO_BAR)
    if kind in _WITH_OFFSET and (told.offset is not None or _spacer(kind, told) is not None):
        if told.offset is None:
            base = replace(base, car=_with_offsets(base.car), before=base.found)
        job = _with_wheels(base, job, told, kind)
    if kind in KINDS_WITH_LOAD and not told.lower and (aboard := tuple(named_aboard(told, base))):
        job = _with_aboard(base, job, aboard)
    return base if job is base.change_list else base.with_job(job)


def understood_as(case: Case, kind: str, told: Wording, units: str) -> tuple[str, ...]:
    """What of the amounts was taken, in words.

    Args:
        case: what was asked of
        kind: what is asked
        told: its amounts
        units: unit set of the numbers
    """
    words = []
    if told.lower and (kind in _OF_OWN_HEIGHT or asks_height(kind, told)):
        for axle, by in told.lower.items():
            if kind == "teeth" and axle == "rear":
                continue  # its torsion bars are asked of with the question itself
            way = "lower" if by > 0 else "higher"
            words.append(f"{axle} {show(abs(by), Kind.LENGTH, units)} {way} than as found")
    if kind in KINDS_WITH_ANGLES:
        with suppress(InputError):  # the answer says why
            words += _angles_said(case, told.angles, units)
    if told.bar is not None and _bar_of(case) is not None:
        words.append(f"front torsion bars of {show(told.bar, Kind.LENGTH, units)}")
    if told.roll_bar is not None and kind != "settle":
        with suppress(InputError):  # the answer says why
            axle = _axle_of_anti_roll_bar(_with_a_job(case), told)
            words.append(f"{axle} anti-roll bar of {show(told.roll_bar, Kind.LENGTH, units)}, else as it is")
    if _bar_off(kind, told):
        with suppress(InputError):
            words.append(f"{_axle_of_anti_roll_bar(_with_a_job(case), told)} anti-roll bar off")
    if kind in KINDS_WITH_WHEELS and told.sizes:
        with suppress(InputError):  # the answer says why
            words += _wheels_said(other_wheels(_with_a_job(case), told), units)
    if kind in _WITH_OFFSET:
        where = " and ".join(told.places or _AXLES)
        for size, what in ((told.offset, "wheels of offset"), (told.spacer, "wheel spacers of")):
            if size is not None:
                words.append(f"{where} {what} {show(size, Kind.LENGTH, units)}")
        if told.spacer is None and (out := _spacer(kind, told)) is not None:
            words.append(f"{where} wheels {show(out, Kind.LENGTH, units)} further out than they are")
    if kind == "load" or (kind in KINDS_WITH_LOAD and not told.lower):
        for one in named_aboard(told, case):
            what = f"{show(abs(one.mass), Kind.MASS, units)}"
            way = "at" if one.mass > 0 else "less at"
            words.append(f"{what} {way} {one.name.replace('_', ' ')}")
    return tuple(words)


def asks_height(kind: str, told: Wording) -> bool:
    """Whether the heights of a sentence are wished of the car: with people aboard one that is too low tells how it is.

    Of a part the height is what the question is given, and the car stays where it is.

    Args:
        kind: what is asked
        told: its amounts
    """
    wished = all(by > 0 for by in (told.lower or {}).values())
    return (kind in KINDS_WITH_HEIGHT and kind != "part-for") or (kind == "load" and wished)


def _bar_off(kind: str, told: Wording) -> bool:
    return kind in _OF_ROLL and "roll-bar" in told.without and told.roll_bar is None


def other_wheels(case: Case, told: Wording) -> Mapping[str, OtherWheel]:
    """The other wheels of each axle that the sentence names.

    Args:
        case: a car with a job, of which they take what is not said of them
        told: its amounts

    Raises:
        InputError: there is no such size, or that of today is not known
    """
    case = _with_a_job(case)
    return {
        axle: other_wheel(case.car.axle(End(axle)).side(Side.LEFT).wheel, size, _wheel_change(case, axle), axle)
        for axle, size in told.sizes.items()
    }


def _wheel_change(case: Case, axle: str) -> WheelChange | None:
    change: WheelChange | None = getattr(case.change_list.change, axle).wheel
    return change


def _wheels_said(wheels: Mapping[str, OtherWheel], units: str) -> Iterator[str]:
    said = {axle: one.said(units) for axle, one in wheels.items()}
    for words in dict.fromkeys(said.values()):
        yield f"{' and '.join(axle for axle in said if said[axle] == words)} {words}"


def _with_widths(document: CarDocument) -> CarDocument:
    """The car with the width of its tyres by their size where nobody measured it: what other tyres are wider than."""
    return _with_wheels_of(document, lambda wheel: {"tyre_width": width_today(wheel)})


def _with_wheels_of(document: CarDocument, told: Callable[[Wheel], Mapping[str, Measured | None]]) -> CarDocument:
    """The car with numbers of its wheels that were not measured."""
    axles = {}
    for end in End:
        axle = document.axle(end)
        sides = {}
        for which in Side:
            side = axle.side(which)
            sides[which.value] = side.model_copy(update={"wheel": side.wheel.model_copy(update=dict(told(side.wheel)))})
        axles[end.value] = axle.exchanged(sides, (), {})
    return document.model_copy(update=axles)


def _with_offsets(document: CarDocument) -> CarDocument:
    """The car with an offset where none was measured: what a spacer takes off it does not hang on how much it is."""
    return _with_wheels_of(document, lambda wheel: {} if wheel.offset is not None else {"offset": NOTHING})


def _lowered(job: JobDocument, lower: Mapping[str, float]) -> JobDocument:
    """The job with other heights; what is wanted of the angles stays."""
    axles = {}
    for axle in ("front", "rear"):
        if axle in lower:
            kept: WantedAxle = getattr(job.wanted, axle)
            axles[axle] = kept.model_copy(update=dict.fromkeys(_ANGLES_AND_MORE) | {"lower": Measured(lower[axle])})
    return job.model_copy(update={"wanted": job.wanted.model_copy(update=axles)})


def _with_angles(case: Case, job: JobDocument, angles: Iterable[SaidAngle]) -> JobDocument:
    """The job with other angles wanted of an axle's wheels in place of what it wanted; a change is of each wheel."""
    now = {row.key: row.found for row in case.rows}
    for told in angles:
        one = _as_angle(case, told)
        both = {one.name: Measured(one.value), f"left_{one.name}": None, f"right_{one.name}": None}
        if one.more:
            was = {side.value: now.get(f"{one.axle}.{side.value}.{one.name}") or 0.0 for side in Side}
            both = {f"{side}_{one.name}": Measured(by + one.value) for side, by in was.items()} | {one.name: None}
        axle = getattr(job.wanted, one.axle).model_copy(update=both)
        job = job.model_copy(update={"wanted": job.wanted.model_copy(update={one.axle: axle})})
    return job


def _as_angle(case: Case, one: SaidAngle) -> SaidAngle:
    """A toe that was told as a length as the angle that it is across that car's rim.

    Raises:
        InputError: the rim of that axle is not known
    """
    if not one.across_rim:
        return one
    tyre = size_named(case.car.axle(End(one.axle)).side(Side.LEFT).wheel.tyre)
    rim = rim_of(case.car, one.axle) or (None if tyre is None else Measured(tyre.rim_diameter))
    if rim is None:
        raise InputError(
            "Toe as a length needs the diameter of the rim across which it is measured",
            found=f"{one.axle}.wheel.rim_diameter is not in the car file",
            todo=f"Add {one.axle}.wheel.rim_diameter or the tyre's size to the car, or ask in degrees.",
        )
    return replace(one, value=read_toe_across(Measured(one.value), rim).value)


def _angles_said(case: Case, angles: Iterable[SaidAngle], units: str) -> Iterator[str]:
    for told in angles:
        one = _as_angle(case, told)
        by = show(one.value, Kind.ANGLE, units, sign=True)
        yield f"{one.axle} {one.name} wanted at each wheel{', beyond what it has' if one.more else ''}: {by}"
        if told.across_rim:
            length = show(2 * abs(told.value), Kind.LENGTH, units)
            yield f"which is {length} across the rims, both {one.axle} wheels together"


def _bar_of(case: Case) -> object:
    return getattr(case.car.front, "torsion_bar", None) or getattr(case.car.front.left, "torsion_bar", None)


def _with_bar(case: Case, job: JobDocument, diameter: float) -> JobDocument:
    """The job with front torsion bars of another diameter, else as they are."""
    changed = job.change.front.torsion_bar or _bar_of(case)
    if changed is None:
        raise InputError(
            "This car has no torsion bars in front", found=case.name, todo="Ask for a spring rate on its job instead."
        )
    bar = changed.model_copy(update={"diameter": Measured(diameter)})  # type: ignore[attr-defined]  # a section of either file
    front = job.change.front.model_copy(update={"torsion_bar": bar})
    return job.model_copy(update={"change": job.change.model_copy(update={"front": front})})


def _with_a_job(case: Case) -> Case:
    """The job, or the car with one that changes nothing."""
    return case if case.job is not None else nothing_done(case.car, case.rules)


def _anti_roll_bar_of(case: Case, axle: str) -> tuple[str, Section] | None:
    """The anti-roll bar that an axle has, and by which key another one is told; None where it has none."""
    change, now = getattr(case.change_list.change, axle), getattr(case.car, axle)
    if change.inner_bar is not None:
        return "inner_bar", change.inner_bar
    if change.roll_bar is not None:
        return "roll_bar", change.roll_bar
    bar = getattr(now, "roll_bar", None) or getattr(getattr(now, "left", None), "roll_bar", None)
    if bar is not None:
        return "roll_bar", NewAntiRollBar.model_construct(**dict(bar))
    inner = getattr(now, "inner_bar", None)
    return None if inner is None else ("inner_bar", inner)


def _axle_of_anti_roll_bar(case: Case, told: Wording) -> str:
    """The axle whose anti-roll bar is meant: the one that is named, else the only one that has a bar.

    Raises:
        InputError: it has none, or it is not clear which
    """
    having = [axle for axle in _AXLES if _anti_roll_bar_of(case, axle) is not None]
    meant = [axle for axle in having if axle in told.places] if told.places else having
    if len(meant) == 1:
        return meant[0]
    if meant:
        raise InputError("It is not said which anti-roll bar", allowed="front or rear", todo="Name the axle.")
    raise InputError(
        "There is no anti-roll bar of which another size could be told",
        found=" and ".join(told.places) or case.name,
        todo="Put the new bar on a job, with its shape, and ask of that.",
    )


def _with_anti_roll_bar(case: Case, job: JobDocument, axle: str, diameter: float) -> JobDocument:
    """The job with an anti-roll bar of another diameter, else as it is."""
    found = _anti_roll_bar_of(case, axle)
    if found is None:
        return job
    key, bar = found
    bore = getattr(bar, "inner_diameter", None)
    if diameter == _NO_BAR:
        bar = bar.model_copy(update={"inner_diameter": NOTHING}) if bore is not None else bar
    elif bore is not None and bore.value >= diameter:
        raise InputError(
            "The bar that is there is hollow, and its bore is not smaller than the new bar",
            found=show(bore.value, Kind.LENGTH),
            todo="Put the new bar on a job, and ask of that.",
        )
    return _changed(job, axle, {key: bar.model_copy(update={"diameter": Measured(diameter)})})


def _spacer(kind: str, told: Wording) -> float | None:
    """By how much wheels are wanted further out than they are; of a wheel that rubs on one side it tells how it is [m]."""
    return told.spacer if told.spacer is not None or kind == "one-side" or told.offset is not None else told.further_out


def _with_wheels(case: Case, job: JobDocument, told: Wording, kind: str) -> JobDocument:
    """The job with wheels of another offset; a spacer takes its thickness off the offset that is there.

    Where the offset that is there is not known, what other wheels change of it is not either; whether they have room is
    asked of the checks all the same, which name what to measure.
    """
    for axle in told.places or _AXLES:
        had = getattr(job.change, axle).wheel or WheelChange()
        now = had.offset or case.car.axle(End(axle)).side(Side.LEFT).wheel.offset
        if now is None and (told.offset is None or (kind == "wheels" and not told.sizes)):
            raise InputError(_NO_OFFSET, todo=f"Measure {axle}.wheel.offset of the car.")
        offset = (now.value if now is not None and told.offset is None else told.offset or 0.0) - (
            _spacer(kind, told) or 0.0
        )
        job = _changed(job, axle, {"wheel": had.model_copy(update={"offset": Measured(offset)})})
    return job


def _with_aboard(case: Case, job: JobDocument, aboard: Iterable[Riding]) -> JobDocument:
    """The job with people and luggage where they ride."""
    had = dict(job.change.mass)
    for one in aboard:
        at = with_front_place(case.car).places[one.name].at
        had[f"aboard_{one.name}"] = {"at": [at.x / MM, at.y / MM, at.z / MM], "mass": f"{one.mass:.6g} kg"}
    change = job.change.model_copy(update={"mass": MassChanges.model_validate(had)})
    return job.model_copy(update={"change": change})


def _changed(job: JobDocument, axle: str, parts: Mapping[str, object]) -> JobDocument:
    own = getattr(job.change, axle).model_copy(update=parts)
    return job.model_copy(update={"change": job.change.model_copy(update={axle: own})})
