"""What one step of every adjuster does to everything: the whole car settled anew with it, and read before and after."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.preload import main_spring_name
from jounce.behaviour.axle.static import with_main_springs
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.road.axle_path import AxleOnBody
from jounce.behaviour.road.equilibrium import AtRest, at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import aboard
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.weigh import with_settings
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AxleModel
from jounce.car.parts import TorsionBarSection
from jounce.car.parts.changed import AdjustableLink, TrailingLinks
from jounce.case.case import CaseState
from jounce.case.state import PlannedState
from jounce.conventions.axes import ENDS, SIDES, End, Side
from jounce.conventions.errors import Impossible
from jounce.conventions.units import DEG, MM, Kind, show, to_display, unit_of
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.document import AxleChange, Change
from jounce.job.drop_links import link_joints
from jounce.job.fitting import bars_carried, links_apart
from jounce.job.joint_spacers import side_with_spacers
from jounce.job.remark import AnswerRemark, AnswerRemarkKind
from jounce.job.settings import bolt_of
from jounce.job.shackles import LIFTS
from jounce.layouts.adjusters import TOE, WATT_BRACKET, Adjuster, is_shim
from jounce.layouts.naming import SIDES as BY_NAME
from jounce.layouts.naming import named
from jounce.questions.question import ALL_STATES, Asked, Lines, Question

_GROUPS = ("wheel angles", "steering axis", "track", "beam")
_WHEELS = tuple((end, side) for end in ENDS for side in SIDES)


@dataclass(frozen=True, slots=True)
class AdjusterStep:
    """One step of one adjuster.

    ``group`` is the table in which it stands, ``name`` its column there, ``step`` the step in words; ``turned`` gives the
    car with that step made.
    """

    group: str
    name: str
    step: str
    turned: Callable[[RoadCar], RoadCar]


@dataclass(frozen=True, slots=True)
class MovedQuantity:
    """Something that an adjuster moves."""

    name: str
    kind: Kind
    value: float


@dataclass(frozen=True, slots=True)
class Effect:
    """What a step of an adjuster changes, quantity by quantity; None where the car does not come to rest with it."""

    adjuster: AdjusterStep
    changes: tuple[float, ...] | None


@dataclass(frozen=True, slots=True)
class Effects:
    """The car as it stands, and every adjuster's effects in the order of its quantities."""

    title: str
    stands: tuple[MovedQuantity, ...]
    effects: tuple[Effect, ...]


def effects_of(document: CarDocument, car: RoadCar, title: str, change: Change | None = None) -> Effects:
    """Work out what one step of everything does.

    Args:
        document: the car
        car: the same on its road, settings made
        title: what the car is called
        change: parts of which the car file knows nothing, whose threads give the steps of links; None where none is new
    """
    stands = _read(car, at_rest(car, steady()))
    if stands is None:
        raise Impossible("The car does not come to rest on its wheels: a spring may be far too soft, short or loose.")
    effects = []
    for adjuster in adjusters_of(document, car, change):
        turned = adjuster.turned(car)
        after = _read(turned, at_rest(turned, steady()))
        changes = None if after is None else tuple(b.value - a.value for a, b in zip(stands, after, strict=True))
        effects.append(Effect(adjuster, changes))
    return Effects(title, stands, tuple(effects))


def adjusters_of(document: CarDocument, car: RoadCar, change: Change | None = None) -> tuple[AdjusterStep, ...]:
    """Every adjuster of the car, and everything that may be put aboard.

    Args:
        document: the car
        car: the same on its road
        change: as of `effects_of`
    """
    found: list[AdjusterStep] = []
    new = change or Change()
    for k, end in enumerate(ENDS):
        found += _springs(document, car, k, end, new.of(end))
    for k, end in enumerate(ENDS):
        found += _rack(document, car.axles[k], end, new.of(end))
        found += _angle_links(document, end, new.of(end))
        found += _joints(document, end, new.of(end))
    for k, end in enumerate(ENDS):
        found += _drop_links(document, car.axles[k].axle, end, new.of(end).drop_link)
    return (*found, *_loads(document))


def _springs(document: CarDocument, car: RoadCar, axle: int, end: End, change: AxleChange) -> list[AdjusterStep]:
    """Teeth, bolts, seats, shackles; a millimetre or a degree where there is nothing to count by."""
    kind = car.axles[axle].axle.main["left"].kind
    found = []
    for k, side in enumerate(SIDES):
        one = document.axle(end).side(side)
        steps: dict[str, float] = {}
        if kind == "torsion bar":
            steps = _bar_steps(one.torsion_bar)
        else:
            perch = getattr(one, "perch", None)
            if perch is not None:
                steps["turn of the perch"] = perch.pitch.value
            elif change.shackle is not None:
                hole = change.shackle.step
                word = "1 mm longer shackle" if hole is None else "hole of the shackle"
                steps[word] = LIFTS * (MM if hole is None else hole.value)
            else:
                steps["1 mm at the seat"] = MM
        for step, size in steps.items():
            unit = np.zeros((2, 2))
            unit[axle, k] = size
            found.append(AdjusterStep(f"{end} springs: {step}", str(side), f"{step}, raising", _spring_turned(unit)))
    return found


def _bar_steps(bar: TorsionBarSection) -> dict[str, float]:
    steps: dict[str, float] = {}
    for where, splines in (("arm", bar.splines_arm), ("anchor", bar.splines_anchor)):
        if splines is not None:
            steps[f"tooth at the {where}"] = math.tau / splines
    if bar.adjuster is not None:
        steps["turn of the bolt"] = bolt_of(bar).step
    return steps or {"1 degree of the bar": DEG}


def _spring_turned(unit: np.ndarray) -> Callable[[RoadCar], RoadCar]:
    return lambda car: with_settings(car, unit)


def _joints(document: CarDocument, end: End, change: AxleChange) -> list[AdjusterStep]:
    """Rods, plates and upper joints, those that the layout says can be set."""
    found = []
    for adjuster in document.axle(end).as_layout().adjusters:
        if adjuster.sets == "centre":
            found.append(_rod_step(document, end, adjuster))
            continue
        if is_shim(adjuster.joint):
            found += [_shim_step(end, side, adjuster) for side in SIDES]
            continue
        if adjuster.sets == "thrust":
            found += _trailing_steps(end, adjuster, change.trailing_links)
            continue
        word = f"1 mm {_WAYS[adjuster.sets]}"
        for side in SIDES:
            way = -float(side.outward) if adjuster.sets == "camber" else -1.0 if adjuster.sets == "caster" else 1.0
            turned = _joint_turned(named(str(end), str(side), adjuster.joint), way * MM)
            found.append(AdjusterStep(f"{end} {adjuster.name}s: {word}", str(side), f"{adjuster.name} {word}", turned))
    return found


def _angle_links(document: CarDocument, end: End, change: AxleChange) -> Iterator[AdjusterStep]:
    """Links that set camber or caster, or may be named to: a turn longer where their thread is known."""
    pitches = {part.link: part.thread_pitch for part in change.links.values()}
    for link in document.axle(end).as_layout().links:
        pitch, name = pitches.get(link), link.replace("_", " ")
        size, step = (MM, "1 mm longer") if pitch is None else (pitch.value, "turn longer")
        for side in BY_NAME:
            turned = _joint_turned(named(str(end), side, link), size)
            yield AdjusterStep(f"{end} {name}: {step}", side, f"{name} {step}", turned)


def _rack(document: CarDocument, on_body: AxleOnBody, end: End, change: AxleChange) -> Iterator[AdjusterStep]:
    """A shim more under the rack, or a millimetre: both ends of it higher, the tie rods as long as they are."""
    rack = change.rack
    if rack is None:
        return
    size, step = (MM, "1 mm higher") if rack.shim is None else (rack.shim.value, "shim more")
    lifted = change.model_copy(update=_ONLY_RACK | {"rack": rack.model_copy(update={"higher": Measured(size)})})
    section, axle = document.axle(end), on_body.axle
    sides: dict[str, Section] = {str(side): side_with_spacers(section.side(side), lifted) for side in SIDES}
    moved = document.model_copy(update={str(end): section.exchanged(sides, new=(), shared={})})
    springs = {side: axle.elements[main_spring_name(axle.name, side)] for side in BY_NAME}
    rods = [rod for side in BY_NAME if (rod := named(axle.name, side, TOE.joint)) in axle.stand.joints]
    found = dict(zip(rods, map(float, axle.stand.reference_values(rods)[0]), strict=True))
    made = AxleOnBody(with_main_springs(axle_model(moved, axle.name), springs), {**found, **on_body.settings})

    def turned(car: RoadCar) -> RoadCar:
        front, rear = (made if own.axle is axle else own for own in car.axles)
        return replace(car, axles=(front, rear))

    yield AdjusterStep(f"{end} rack: {step}", "both ends", f"rack, {step} under each end", turned)


_ONLY_RACK = {"ball_joint_spacer": None, "tie_rod_spacer": None}


_WAYS = {"camber": "inward", "caster": "rearward", "toe": "longer"}


def _shim_step(end: End, side: Side, adjuster: Adjuster) -> AdjusterStep:
    """A tenth of a degree of shim under one hub."""
    word = f"{adjuster.sets} +0.1 deg"
    turned = _joint_turned(named(str(end), str(side), adjuster.joint), DEG / 10)
    return AdjusterStep(f"{end} {adjuster.name}s: {word}", str(side), f"{adjuster.name}, {word}", turned)


def _rod_step(document: CarDocument, end: End, adjuster: Adjuster) -> AdjusterStep:
    if adjuster.joint == WATT_BRACKET.joint:
        name, turned = f"{end} beam: {adjuster.name}", _joint_turned(named(str(end), adjuster.joint), MM)
        return AdjusterStep(name, "1 mm to the left", f"{adjuster.name}, 1 mm to the left", turned)
    pitch = getattr(getattr(document.axle(end), adjuster.part, None), "thread_pitch", None)
    size, step = (MM, "1 mm longer") if pitch is None else (pitch.value, "turn longer")
    turned = _joint_turned(named(str(end), adjuster.joint), size)
    return AdjusterStep(f"rods and plates: {adjuster.name}", step, f"{adjuster.name}, {step}", turned)


def _trailing_steps(end: End, links: Adjuster, fitted: TrailingLinks | None) -> Iterator[AdjusterStep]:
    """Trailing links or arms, a turn longer where their thread is known."""
    pitch = None if fitted is None else fitted.thread_pitch
    size, step = (MM, "1 mm longer") if pitch is None else (pitch.value, "turn longer")
    for side in BY_NAME:
        turned = _joints_turned(links.of_side(str(end), side), links.sense * size)
        yield AdjusterStep(f"{end} {links.name}s: {step}", side, f"{links.name} {step}", turned)


def _drop_links(
    document: CarDocument, axle: AxleModel, end: End, link: AdjustableLink | None
) -> Iterator[AdjusterStep]:
    """Drop links of anti-roll bars, a turn longer where their thread is known; one that two bars hang on moves both."""
    size, step = (MM, "1 mm longer") if link is None else (link.thread_pitch.value, "turn longer")
    apart = links_apart(bars_carried(document.axle(end), AxleChange()))
    for side in BY_NAME:
        joints = tuple(link_joints(axle, side).values())
        for which, moved in zip(_LINKS, [(one,) for one in joints] if apart else [joints], strict=False):
            if moved:
                turned = _joints_turned(moved, size)
                yield AdjusterStep(f"{end} drop links{which}: {step}", side, f"drop link{which} {step}", turned)


_LINKS = ("", " of the second anti-roll bar")


def _joints_turned(names: Sequence[str], more: float) -> Callable[[RoadCar], RoadCar]:
    def turned(car: RoadCar) -> RoadCar:
        for name in names:
            car = _joint_turned(name, more)(car)
        return car

    return turned


def _joint_turned(name: str, more: float) -> Callable[[RoadCar], RoadCar]:
    def turned(car: RoadCar) -> RoadCar:
        axles = tuple(_with_joint(on_body, name, more) for on_body in car.axles)
        return replace(car, axles=(axles[0], axles[1]))

    return turned


def _with_joint(on_body: AxleOnBody, name: str, more: float) -> AxleOnBody:
    axle = on_body.axle
    if name not in axle.stand.joints:
        return on_body
    now = on_body.settings.get(name, float(axle.stand.reference_values([name])[0, 0]))
    return AxleOnBody(axle, {**on_body.settings, name: now + more})


_ABOARD = "aboard"


def _loads(document: CarDocument) -> list[AdjusterStep]:
    found = []
    for name, place in document.places.items():
        load = aboard(document, {name: None})
        said = name.replace("_", " ")
        words = f"{said}, {show(place.mass.value, Kind.MASS)}"
        found.append(AdjusterStep(_ABOARD, said, words, lambda car, load=load: car.with_loads(load)))  # type: ignore[misc]
    return found


def _read(car: RoadCar, rest: AtRest) -> tuple[MovedQuantity, ...] | None:
    """Everything that a workshop reads; None where the car does not come to rest."""
    if not rest.reached[0]:
        return None
    travel, load = rest.travel[0], rest.acted.load[0]
    found = [
        MovedQuantity(f"{end} {side} height", Kind.LENGTH, -float(travel[a, s]))
        for a, end in enumerate(ENDS)
        for s, side in enumerate(SIDES)
    ]
    found += [
        MovedQuantity(f"{end} {side} load", Kind.FORCE, float(load[a, s]))
        for a, end in enumerate(ENDS)
        for s, side in enumerate(SIDES)
    ]
    found.append(MovedQuantity("cross weight", Kind.SHARE, float((load[0, 1] + load[1, 0]) / load.sum())))
    found.append(MovedQuantity("pitch, nose down", Kind.ANGLE, float(rest.pitch[0])))
    found.append(MovedQuantity("lean, right side down", Kind.ANGLE, float(rest.roll[0])))
    for axle, end in enumerate(ENDS):
        found += _angles(car, rest, axle, end)
    return tuple(found)


def _angles(car: RoadCar, rest: AtRest, axle: int, end: End) -> list[MovedQuantity]:
    """Camber, toe and caster to the road; track and axle shift on the body."""
    on_body = car.axles[axle]
    left, right = rest.travel[0, axle]
    attitude = (float(rest.pitch[0]), float(rest.roll[0]))
    states = AxleStates(left=float(left), right=float(right), settings=on_body.settings, attitude=attitude)
    model = on_body.axle
    table = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0), groups=_GROUPS))
    found = []
    for side in SIDES:
        for name in ("camber", "toe", "caster"):
            value = table.get(f"{side}_{name}")
            if value is not None and np.isfinite(value[0]):
                found.append(MovedQuantity(f"{end} {side} {name}", Kind.ANGLE, float(value[0])))
    found.append(MovedQuantity(f"{end} track", Kind.LENGTH, float(table["track"][0])))
    if "axle_shift" in table:
        found.append(MovedQuantity(f"{end} axle shift, + left", Kind.LENGTH, float(table["axle_shift"][0])))
    return found


def effects_tables(found: Effects) -> list[AnswerTable]:
    """How the car stands, and a table for each group of adjusters, its adjusters side by side.

    Args:
        found: what was worked out
    """
    groups: dict[str, list[Effect]] = {}
    for effect in found.effects:
        groups.setdefault(effect.adjuster.group, []).append(effect)
    stands = tuple(Answer(quantity.name, quantity.kind, (quantity.value,)) for quantity in found.stands)
    tables = [AnswerTable(f"{found.title}, as it stands", ("now",), stands, (_REMARK,))]
    for group, effects in groups.items():
        rows = tuple(
            Answer(quantity.name, quantity.kind, tuple(_cell(effect, k) for effect in effects))
            for k, quantity in enumerate(found.stands)
        )
        steps = tuple(dict.fromkeys(effect.adjuster.step for effect in effects))
        names = tuple(effect.adjuster.name for effect in effects)
        said = "; ".join(steps)
        kind = AnswerRemarkKind.STEP_ABOARD if group == _ABOARD else AnswerRemarkKind.STEP
        tables.append(
            AnswerTable(f"{found.title}, {group}", names, rows, (AnswerRemark(f"Step: {said}.", kind, said),))
        )
    return tables


_REMARK = (
    "Heights are against as found, positive higher. Camber, toe and caster are against the road; toe-in, the top outward "
    "and the steering axis leaning to the rear are positive. The next tables tell changes, the whole car settled anew."
)


def _cell(effect: Effect, k: int) -> float | str:
    return "no rest" if effect.changes is None else effect.changes[k]


def effects_rows(found: Effects) -> Sequence[tuple[str, str, Mapping[str, tuple[Kind, float]] | None]]:
    """Every adjuster with its step and its changes by quantity, for tables in files.

    Args:
        found: what was worked out
    """
    return [
        (
            f"{effect.adjuster.group}, {effect.adjuster.name}",
            effect.adjuster.step,
            None
            if effect.changes is None
            else {q.name: (q.kind, change) for q, change in zip(found.stands, effect.changes, strict=True)},
        )
        for effect in found.effects
    ]


def _found(asked: Asked) -> list[Effects]:
    name = asked.case.name
    return [effects_of(one.document, one.car, f"{name}, {one.title}", _change(asked, one)) for one in asked.states]


def _change(asked: Asked, one: CaseState) -> Change | None:
    """The new parts of a state; a car as found has none."""
    return asked.case.change_list.change if isinstance(one, PlannedState) else None


def _lines(asked: Asked) -> Lines:
    """One row for each change."""
    yield ["adjuster", "step", "quantity", "unit", "change"]
    for found in _found(asked):
        for name, step, changes in effects_rows(found):
            if changes is None:
                yield [name, step, "no rest", "", ""]
                continue
            for quantity, (kind, change) in changes.items():
                shown = to_display(change, kind, asked.units) + 0.0
                yield [name, step, quantity, unit_of(kind, asked.units).symbol, f"{shown:.6g}"]


QUESTION = Question(
    about="What one tooth, turn or millimetre of every adjuster, and every load aboard, does to the whole car: heights, "
    "weights and angles.",
    asks=(ALL_STATES,),
    answer=lambda asked: [table for found in _found(asked) for table in effects_tables(found)],
    lines=_lines,
)
