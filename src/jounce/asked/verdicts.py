"""What an answer says first: one sentence or two that tell what was asked, made of the case's own numbers.

Each sentence is whole in itself, so that it can be said in another language; nothing in it is worked out anew but
differences and ratios of numbers that the page behind it shows.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from jounce.asked.amounts import Wording
from jounce.behaviour.road.feel import BRISK
from jounce.case.case import Case
from jounce.conventions.constants import GRAVITY
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind, show
from jounce.job.comparison import ComparedRow
from jounce.layouts.naming import SIDES

__all__ = ["spoken"]

_AXLES = ("front", "rear")


def spoken(
    kind: str, case: Case, told: Wording, units: str, held: Sequence[ComparedRow] | None = None
) -> tuple[str, ...]:
    """The sentences that answer a kind of question; none where its numbers or checks speak for themselves.

    Args:
        kind: what is asked
        case: what it is asked of, what was asked for put on it, as a job
        told: amounts of the sentence
        units: unit set of the numbers
        held: rows of the car held at a height, whatever springs do that; as its own springs hold it when left out

    Raises:
        Impossible: the plan cannot be
    """
    sentences = _SPOKEN.get(kind)
    return () if sentences is None else tuple(sentences(_Spoken(case, told, units, held)))


class _Spoken:
    """Rows of a case in words."""

    def __init__(self, case: Case, told: Wording, units: str, held: Sequence[ComparedRow] | None) -> None:
        self.case, self.told, self.units, self.held = case, told, units, held is not None
        named = (*(told.lower or ()), *(one.axle for one in told.angles)) or told.places
        self.axles = tuple(axle for axle in _AXLES if axle in named) or _AXLES
        self._rows = {row.key: row for row in (case.rows if held is None else held)}

    def row(self, key: str) -> ComparedRow | None:
        row = self._rows.get(key)
        return None if row is None or row.planned is None else row

    def shown(self, value: float, kind: Kind) -> str:
        return show(value, kind, self.units)

    def planned(self, axle: str, name: str) -> str:
        """What both sides have: one number where they print alike."""
        return self._sides([row.planned for row in self._both(axle, name)], axle, name)

    def found(self, axle: str, name: str) -> str:
        return self._sides([row.found for row in self._both(axle, name)], axle, name)

    def has(self, axle: str, name: str) -> bool:
        return len(self._both(axle, name)) == len(SIDES)

    def changed(self, axle: str, name: str) -> bool:
        return self.has(axle, name) and self.planned(axle, name) != self.found(axle, name)

    def mean(self, axle: str, name: str) -> tuple[float, float]:
        """As found and as planned, the mean of both sides."""
        rows = self._both(axle, name)
        found, planned = (sum(getattr(row, state) or 0.0 for row in rows) for state in ("found", "planned"))
        return found / len(rows), planned / len(rows)

    def _both(self, axle: str, name: str) -> list[ComparedRow]:
        rows = (self.row(f"{axle}.{side}.{name}") for side in SIDES)
        return [row for row in rows if row is not None]

    def _sides(self, values: Sequence[float | None], axle: str, name: str) -> str:
        kind = self._both(axle, name)[0].kind
        left, right = ("none" if value is None else self.shown(value, kind) for value in values)
        return left if left == right else f"{left} left and {right} right"


def _lower(case: _Spoken) -> Iterator[str]:
    for axle in case.axles:
        found, planned = case.mean(axle, "height")
        by = case.shown(abs(found - planned), Kind.LENGTH)
        if by == case.shown(0.0, Kind.LENGTH):
            yield f"At the {axle} it stands as found."
        else:
            yield f"At the {axle} it then stands {by} {'lower' if planned <= found else 'higher'} than as found."
        if case.has(axle, "rubber_at"):
            left, was = case.planned(axle, "rubber_at"), case.found(axle, "rubber_at")
            yield f"Free travel left to the {axle} bump rubbers: {left} (as found {was})."


def _bar(case: _Spoken) -> Iterator[str]:
    rate, frequency = case.row("front.left.wheel_rate"), case.row("front.left.ride_frequency")
    if rate is None or frequency is None or not rate.found or rate.planned is None:
        return
    if case.changed("front", "wheel_rate"):
        more = case.shown(rate.planned / rate.found - 1, Kind.SHARE)
        sign = "+" if rate.planned > rate.found else ""
        was, now = case.found("front", "wheel_rate"), case.planned("front", "wheel_rate")
        yield f"The rate at the front wheels goes from {was} to {now} ({sign}{more})."
        was, now = case.found("front", "ride_frequency"), case.planned("front", "ride_frequency")
        yield f"The ride frequency at the front goes from {was} to {now}."
    else:
        yield f"The rate at the front wheels is {case.planned('front', 'wheel_rate')}."
        if case.told.bar is None:
            yield "Which diameter the other bars have was not said: this is of those that are there."


def _panhard(case: _Spoken) -> Iterator[str]:
    shift = case.row("rear.axle_shift")
    if shift is None or shift.planned is None or getattr(case.case.car.rear, "panhard", None) is None:
        yield "This car has no Panhard rod, so none is to be adjusted."
        return
    yield from _shifted(case, shift.planned)


def _shifted(case: _Spoken, shift: float) -> Iterator[str]:
    most = case.case.rules.limits["most_off_centre"]
    limit = case.shown(most.value, Kind.LENGTH)
    yield f"The rod holds the rear axle {_sideways(case, shift)}."
    if abs(shift) < most.value:
        yield f"To centre it no adjustable rod is needed: up to {limit} is taken as good ({most.origin})."
    else:
        yield f"An adjustable rod is worth having: more than {limit} is taken as too much ({most.origin})."


def _sideways(case: _Spoken, shift: float) -> str:
    by = case.shown(abs(shift), Kind.LENGTH)
    if by == case.shown(0.0, Kind.LENGTH):
        return "where it was measured"
    return f"{by} further {'left' if shift > 0 else 'right'} than it was measured"


def _one_side(case: _Spoken) -> Iterator[str]:
    for axle in case.axles:
        yield _leans(case, axle)
    shift = case.row("rear.axle_shift")
    if shift is not None and shift.planned is not None and "rear" in case.axles:
        yield f"The rods hold the rear axle {_sideways(case, shift.planned)}."
    yield "What else tells one side from the other is body, axle or wheel: it is measured, not worked out."


def _leans(case: _Spoken, axle: str) -> str:
    left, right = (case.row(f"{axle}.{side}.height") for side in SIDES)
    if left is None or right is None or left.planned is None or right.planned is None:
        return f"The heights at the {axle} are not known."
    by = left.planned - right.planned
    low, size = ("left" if by < 0 else "right"), case.shown(abs(by), Kind.LENGTH)
    if size == case.shown(0.0, Kind.LENGTH):
        return f"At the {axle} left and right stand alike."
    band = max(left.planned_band, right.planned_band, left.found_band, right.found_band)
    if abs(by) <= band * 2**0.5:
        return f"At the {axle} left and right stand alike within what was measured: {size} apart, the {low} lower."
    return f"At the {axle} the {low} stands {size} lower."


def _wheel_lift(case: _Spoken) -> Iterator[str]:
    turns = {turn: getattr(case.case.last.feel, turn) for turn in ("left", "right")}
    lifts = {turn: one.rear_lift for turn, one in turns.items()}
    if None in lifts.values():
        farthest = min(one.limits.farthest for one in turns.values())
        upto = case.shown(farthest, Kind.ACCELERATION)
        yield f"The inside rear wheel stays on the road up to {upto} in at least one of the turns."
        return
    left, right = (case.shown(lifts[turn], Kind.ACCELERATION) for turn in turns)
    yield f"The inside rear wheel leaves the road at {left} in a left turn and at {right} in a right one."
    yield "From there on a stiffer rear anti-roll bar moves no more load, and a softer one lets it lift later."


def _anti_roll_bar(case: _Spoken) -> Iterator[str]:
    for axle in _AXLES:
        row = case.row(f"{axle}.roll_stiffness")
        if row is None or not row.found or row.planned is None:
            continue
        was, now = (case.shown(value, row.kind) for value in (row.found, row.planned))
        if was != now:
            sign = "+" if row.planned > row.found else ""
            more = case.shown(row.planned / row.found - 1, Kind.SHARE)
            yield f"The roll stiffness at the {axle} goes from {was} to {now} ({sign}{more})."
    share = case.row("front_share")
    if share is None or share.found is None or share.planned is None:
        return
    was, now = (case.shown(value, Kind.SHARE) for value in (share.found, share.planned))
    if was == now:
        yield f"The front has {now} of the roll stiffness; which other bar is meant was not said, or it changes nothing."
        return
    end, other = ("rear", "front") if share.planned < share.found else ("front", "rear")
    yield (
        f"The front's share of the roll stiffness goes from {was} to {now}: in a turn the {end} outer tyre is pressed "
        f"harder, and the {end} gives way sooner, the {other} later."
    )


def _stance(case: _Spoken) -> Iterator[str]:
    for axle in _AXLES:
        yield _leans(case, axle)
    cross = case.row("cross_weight")
    if cross is not None and cross.planned is not None:
        yield f"Front right and rear left carry {case.shown(cross.planned, Kind.SHARE)} of the weight together."


def _left_right(case: _Spoken) -> Iterator[str]:
    left, right = case.case.last.feel.left, case.case.last.feel.right
    apart = []
    for name, what, kind in _OF_TURNS:
        a, b = getattr(left, name), getattr(right, name)
        if a is None or b is None:
            continue
        band = max(left.bands.get(name, 0.0), right.bands.get(name, 0.0))
        size = max(abs(a), abs(b))
        if size and abs(a - b) > band and case.shown(a, kind) != case.shown(b, kind):
            apart.append(
                (abs(a - b) / size, f"{what}: {case.shown(a, kind)} to the left, {case.shown(b, kind)} to the right.")
            )
    if not apart:
        yield "By the car file left and right turns are alike within their ±."
        yield "What differs then is not in it: tyres, toe from side to side, a worn bush or damper."
        return
    yield "What differs most between left and right turns:"
    yield max(apart)[1]


_OF_TURNS = (
    ("roll_gradient", "roll gradient", RESULTS["roll_gradient"].kind),
    ("rear_lift", "inside rear wheel lifts at", Kind.ACCELERATION),
    ("front_steer", "steer of the front wheels", Kind.ANGLE),
    ("rear_steer", "steer of the rear wheels", Kind.ANGLE),
)


def _ride(case: _Spoken) -> Iterator[str]:
    for axle in _AXLES:
        if not case.has(axle, "ride_frequency"):
            continue
        was, now = case.found(axle, "ride_frequency"), case.planned(axle, "ride_frequency")
        changed = f" instead of {was}" if case.changed(axle, "ride_frequency") else ""
        yield f"The body swings at {now} over the {axle} wheels{changed}."
    yield "Usual for the body of a road car is 1 to 1.5 Hz: what is above it is firm, what is below it soft."


def _camber(case: _Spoken) -> Iterator[str]:
    for axle in case.axles:
        if case.has(axle, "camber"):
            yield from _angle(case, axle, "camber")
        wanted = {one.name for one in case.told.angles if one.axle == axle}
        if "camber" in wanted and "toe" not in wanted and case.changed(axle, "toe"):
            was, now = case.found(axle, "toe"), case.planned(axle, "toe")
            yield f"With that the toe of each {axle} wheel goes from {was} to {now}: set it again."
    if "front" not in case.axles or case.held:
        return
    feel = case.case.last.feel
    both = [one for one in (feel.left.outer_front_camber, feel.right.outer_front_camber) if one is not None]
    if not both:
        return
    leans = max(both)
    at, out = case.shown(BRISK, Kind.ACCELERATION), case.shown(abs(leans), Kind.ANGLE)
    if leans > 0:
        yield f"In a turn at {at} the outer front wheel leans {out} outwards: that much more would keep it upright there."
    else:
        yield f"In a turn at {at} the outer front wheel still leans {out} inwards: more than now gains nothing there."


def _alignment(case: _Spoken) -> Iterator[str]:
    for axle in case.axles:
        for name in ("camber", "toe", "caster") if case.told.angles else ("toe", "caster"):
            if case.has(axle, name):
                yield from _angle(case, axle, name)


def _angle(case: _Spoken, axle: str, name: str) -> Iterator[str]:
    now = case.planned(axle, name)
    if case.told.angles and case.changed(axle, name):
        yield f"{_capital(name)} at the {axle} goes from {case.found(axle, name)} to {now}."
    else:
        yield f"{_capital(name)} at the {axle}: {now}."


def _weigh(case: _Spoken) -> Iterator[str]:
    for axle in case.axles:
        if case.has(axle, "load"):
            rows = [row for side in SIDES if (row := case.row(f"{axle}.{side}.load")) is not None]
            a, b = (case.shown((row.planned or 0.0) / GRAVITY, Kind.MASS) for row in rows)
            yield f"On the scales at the {axle}: {a} left and {b} right."


def _settle(case: _Spoken) -> Iterator[str]:
    for axle in case.axles:
        if case.has(axle, "wheel_rate"):
            rate, frequency = case.planned(axle, "wheel_rate"), case.planned(axle, "ride_frequency")
            yield f"Rate at the {axle} wheels: {rate}; the body swings over them at {frequency}."


def _roll(case: _Spoken) -> Iterator[str]:
    left, right = case.case.last.feel.left.roll_gradient, case.case.last.feel.right.roll_gradient
    if left is None or right is None:
        return
    a, b = (case.shown(value, RESULTS["roll_gradient"].kind) for value in (left, right))
    yield f"It leans {a} in a left turn and {b} in a right one."


def _bottoming(case: _Spoken) -> Iterator[str]:
    for axle in case.axles:
        if case.has(axle, "rubber_at"):
            yield f"The {axle} wheels go up {case.planned(axle, 'rubber_at')} until they meet their bump rubbers."


def _wheels(case: _Spoken) -> Iterator[str]:
    for axle in case.axles:
        for name, what in (("scrub_radius", "scrub radius"), ("trail", "mechanical trail")):
            if case.changed(axle, name):
                was, now = case.found(axle, name), case.planned(axle, name)
                yield f"At the {axle} the {what} goes from {was} to {now}."
        track = case.row(f"{axle}.track")
        if track is not None and track.found is not None and track.planned is not None:
            was, now = case.shown(track.found, track.kind), case.shown(track.planned, track.kind)
            if was != now:
                yield f"At the {axle} the track goes from {was} to {now}."


def _balance(case: _Spoken) -> Iterator[str]:
    share = case.row("front_share")
    feel = case.case.last.feel.left
    if share is not None and share.planned is not None and feel.front_share is not None:
        roll, moved = (case.shown(value, Kind.SHARE) for value in (share.planned, feel.front_share))
        yield f"The front has {roll} of the roll stiffness and takes {moved} of the load that a turn moves."
    if feel.understeer_gradient is not None:
        way = "understeers" if feel.understeer_gradient > 0 else "oversteers"
        size = case.shown(abs(feel.understeer_gradient), RESULTS["understeer_gradient"].kind)
        yield f"By its file it {way}, by {size}."


def _settled(case: _Spoken) -> Iterator[str]:
    for axle in case.axles:
        by = (case.told.lower or {}).get(axle)
        if by is None:
            yield f"As the file has it, it stands at the {axle} with wheel centre to arch {case.planned(axle, 'height')}."
            continue
        yield f"With {case.shown(by, Kind.LENGTH)} less height at the {axle} this changes:"
        for name, what in (("toe", "toe"), ("camber", "camber"), ("rubber_at", "free travel to the bump rubbers")):
            if case.has(axle, name):
                yield f"{_capital(what)}: {case.planned(axle, name)} (as found {case.found(axle, name)})."
    yield "How much springs settle is not worked out: measure all four again, first a corner that went down alone."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


_SPOKEN: Mapping[str, Callable[[_Spoken], Iterator[str]]] = {
    "lower": _lower,
    "bar": _bar,
    "panhard": _panhard,
    "one-side": _one_side,
    "wheel-lift": _wheel_lift,
    "anti-roll-bar": _anti_roll_bar,
    "stance": _stance,
    "left-right": _left_right,
    "ride": _ride,
    "camber": _camber,
    "alignment": _alignment,
    "weigh": _weigh,
    "settle": _settle,
    "roll": _roll,
    "bottoming": _bottoming,
    "settled": _settled,
    "wheels": _wheels,
    "balance": _balance,
}
