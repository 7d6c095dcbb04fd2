"""How far a setting may be off because of what was measured: the setting that would truly give what is wanted.

The plan tells settings for the car as it was measured. Each error of a measurement moves the setting that brings the
wanted heights, cross weight and angles: that of a spring by what it would have to carry at the wanted height, those of
rods and plates by where their joints would have to be, that of a rack or of joints on spacers by the bump steer wanted.
The height at which an arm hangs free belongs to the index that is told: it says where it will be found, not where it
should be.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, cast

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.preload import main_spring_name, preloads
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.bands import Band, Slopes
from jounce.car.mechanics.layout_input import ANTI_ROLL_BARS, SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.conventions.axes import Corner, End
from jounce.conventions.constants import GRAVITY
from jounce.elements.law import Linear, Shifted
from jounce.job.apply import wishes_of
from jounce.job.drop_links import link_joints, placed_with_free_bars
from jounce.job.index.hanging import hanging_point
from jounce.job.kept import Changed
from jounce.job.loads import attitude_at, loads_at
from jounce.job.settings import (
    WantedAngles,
    aims_of,
    angles_set,
    joints_set,
    placed_in_the_middle,
    placed_with_angles,
    slot_joints,
    trailing_of,
)
from jounce.job.shackles import LIFTS
from jounce.job.trailing_links import apart_needed, joints_with
from jounce.job.watt_bracket import placed_by_bracket
from jounce.layouts.adjusters import WATT_BRACKET, Aim, is_shim
from jounce.layouts.naming import SIDES, SideName, named, outward
from jounce.linkage.place import Placed
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP

__all__ = ["every_band", "setting_slopes", "setting_widths", "settings_needed"]

_TOLD = (
    "bar_turn",
    "arm_hangs",
    "seat",
    "seat_turns",
    "shackle",
    "rod_length",
    "rod_turns",
    "bracket",
    "trailing_link",
    "tie_rod",
    "plate_inward",
    "shim_camber",
    "shim_toe",
    "camber_link",
    "caster_link",
    "rack",
    "ball_joint_spacer",
    "tie_rod_spacer",
    *(f"{bar}_link" for bar in ANTI_ROLL_BARS),
)


def every_band(slopes: Slopes) -> dict[str, Band]:
    """Bands of all results of a car as found or as planned, with those of its settings where it has a change list.

    Args:
        slopes: its derivatives
    """
    found = slopes.bands()
    return found | {name: slopes.band(slope) for name, _, slope in setting_slopes(slopes)}


def setting_slopes(slopes: Slopes) -> Iterator[tuple[str, float, Array]]:
    """Each setting of a planned car, its value and its derivatives by all inputs, (inputs,); none of a car as found [SI].

    Args:
        slopes: its derivatives
    """
    if not isinstance(slopes.still, Changed) or slopes.still.job is None:
        return
    for axle, variants in slopes.varied.items():
        for name, values in settings_needed(cast("Changed", variants), slopes.perturbed[axle]).items():
            slope = np.zeros(len(slopes.inputs))
            slope[slopes.reaching[axle]] = np.imag(values) / STEP
            yield name, float(np.real(np.ravel(values)[0])), slope


def setting_widths(bands: Mapping[str, Band]) -> dict[str, float]:
    """Half widths of the bands of settings alone [SI].

    Args:
        bands: of everything that is told of a planned car
    """
    return {name: band.plus_minus for name, band in bands.items() if name.split(".")[-1] in _TOLD}


def settings_needed(car: Changed, model: AxleModel) -> dict[str, Array]:
    """What has to be set on an axle so that the car stands as its change list wants it, each (variants,) [SI].

    ``.bar_turn`` of a torsion bar from its free angle as found; ``.arm_hangs`` the height of its arm's point over the
    arm's pivots with the index that is kept; ``.seat`` of a coil above the measured one, and ``.seat_turns`` from its
    lowest; ``.shackle`` of a leaf longer than found; ``.rod_length`` of the Panhard rod and ``.rod_turns`` from as found;
    ``.bracket`` of a Watt linkage to the left; ``.trailing_link`` of each side longer than found;
    ``.tie_rod`` longer, ``.plate_inward``; ``.camber_link`` and ``.caster_link``, how much longer the links are that set
    these angles;
    ``.shim_camber`` and ``.shim_toe``, by how much shims under a hub make these angles grow [rad];
    ``.roll_bar_link`` the length of a drop link that frees its bar;
    ``.rack`` higher, ``.ball_joint_spacer`` and ``.tie_rod_spacer`` joints lower than found: what gives the bump steer
    wanted, or as given.

    Args:
        car: the car, or one that stands for many
        model: the axle as it is set, complete with its springs
    """
    if car.job is None:
        raise TypeError("settings are those of a change list")
    document, axle = car.document, model.name
    wishes = wishes_of(car.found, car.job)
    scales: dict[Corner, Array | float] = {
        (end, side): document.mass.corner(End(end), SIDE_OF[side]).value * GRAVITY for end in AXLES for side in SIDES
    }
    loads = loads_at(document, scales, wishes.lower, wishes.cross_share)
    left, right = (wishes.lower[axle, side] for side in SIDES)
    standing = AxleStates(left=left, right=right, attitude=attitude_at(document, wishes.lower))
    values, told = _located(car, model, standing)
    wanted = wishes.axles[axle].angles
    joints = joints_set(document.axle(End(axle)), wanted)
    aims = angles_set(joints)
    if aims:
        settings: dict[str, Array | float] = {**values, **slot_joints(axle, joints, wanted)}
        placed = placed_with_angles(model, replace(standing, settings=settings), joints, wanted)
        names = [named(axle, side, joints[aim]) for side in SIDES for aim in aims]
        # What the springs carry is asked of an axle whose rods and plates are held, not its angles.
        values |= dict(zip(names, model.stand.taken(names).values(placed.pose).T, strict=True))
        told |= _wheels(model, joints, values, wanted)
        held = {joint: _held(model, joint, value) for joint, value in car.kept.held.items() if joint in names}
        if held:  # an upper joint is told where its angle needs it; the rod is set with that joint where it is held
            placed = placed_with_angles(model, replace(standing, settings=settings), joints, wanted, held)
            values |= dict(zip(names, model.stand.taken(names).values(placed.pose).T, strict=True))
            rods = {
                key: one
                for key, one in _wheels(model, joints, values, wanted).items()
                if key not in held and key.endswith((".tie_rod", ".shim_toe"))
            }
            told |= rods
    told |= _joint_heights(car, model, replace(standing, settings=values))
    wish = wishes.axles[axle].free_bars
    if wish is not None:
        free = placed_with_free_bars(model, replace(standing, settings=values), wish.side)
        for bar, joint in link_joints(model, wish.side).items():
            values[joint] = told[f"{axle}.{wish.side}.{bar}_link"] = model.stand.taken([joint]).values(free.pose)[:, 0]
    set_so = replace(standing, settings=values)
    return told | _springs(car, model, place_axle(model.stand, axle, set_so), {s: loads[axle, s] for s in SIDES})


def _joint_heights(car: Changed, model: AxleModel, set_so: AxleStates) -> dict[str, Array]:
    """Heights of rack and of joints on spacers: as given, with the ± of that; that sought for a bump steer as it needs it.

    The height needed is found from the one that is set by the slope that the plan found, all angles set.
    """
    if car.job is None:
        return {}
    axle, change, bump = model.name, car.job.change.of(model.name), car.kept.bump_steer.get(model.name)
    ball, rod, rack = change.ball_joint_spacer, change.tie_rod_spacer, change.rack
    given = {
        "ball_joint_spacer": None if ball is None else ball.height,
        "tie_rod_spacer": None if rod is None else rod.height,
        "rack": None if rack is None else rack.higher,
    }
    told = {f"{axle}.{part}": np.atleast_1d(height.value) for part, height in given.items() if height is not None}
    sought = None if bump is None else f"{axle}.{'rack' if bump.part == 'rack' else 'tie_rod_spacer'}"
    if bump is not None and sought in told:
        table = states_table(model.stand, model.linkage, set_so, (1.0, 1.0), groups=("bump gradients",))
        columns = column_map(table)
        has = sum(columns[f"{side}_bump_steer"] for side in SIDES) / len(SIDES)
        told[sought] = np.asarray(told[sought] + (bump.wanted - has) / bump.slope)
    return told


def _held(model: AxleModel, joint: str, value: float) -> Array:
    """Value of a joint that is kept at an end, (variants,): what it was changed by is kept, not a rod's own length."""
    found = model.stand.reference_values([joint])[:, 0]
    return np.asarray(value + found - found.real)


def _wheels(
    model: AxleModel, joints: Mapping[Aim, str], values: Mapping[str, Array], wanted: WantedAngles
) -> dict[str, Array]:
    told: dict[str, Array] = {}
    for side in SIDES:
        for aim, link in wanted.links.items():
            joint = named(model.name, side, link.joint)
            if wanted.of(aim) is not None:
                told[f"{model.name}.{side}.{aim}_link"] = values[joint] - model.stand.reference_values([joint])[:, 0]
        shims = [aim for aim in angles_set(joints) if is_shim(joints[aim])]
        for aim in shims:
            told[f"{model.name}.{side}.shim_{aim}"] = values[named(model.name, side, joints[aim])]
        if shims:
            continue
        rod = named(model.name, side, joints["toe"])
        told[f"{model.name}.{side}.tie_rod"] = values[rod] - model.stand.reference_values([rod])[:, 0]
        if "camber" in joints and "camber" not in wanted.links:
            told[f"{model.name}.{side}.plate_inward"] = (
                -outward(side) * values[named(model.name, side, joints["camber"])]
            )
    return told


def _located(car: Changed, model: AxleModel, standing: AxleStates) -> tuple[dict[str, Array], dict[str, Array]]:
    """What centres the axle, and the links that set where it points: as joints and as they are told."""
    values, told = _rod(car, model, standing)
    links = trailing_of(car.document.axle(End(model.name)))
    wish = None if car.job is None else wishes_of(car.found, car.job).axles[model.name].trailing
    if links is None or wish is None:
        return values, told
    longer: dict[SideName, Array] = {}
    for _ in range(2):  # either moves the other by a hundredth of itself or less
        longer = wish.split(apart_needed(wish, links, model, replace(standing, settings=values)))
        set_so: dict[str, Array | float] = {**joints_with(links, model, longer)}
        centred, told = _rod(car, model, replace(standing, settings=set_so))
        values = {**joints_with(links, model, longer), **centred}
    return values, told | {f"{model.name}.{side}.trailing_link": one for side, one in longer.items()}


def _rod(car: Changed, model: AxleModel, standing: AxleStates) -> tuple[dict[str, Array], dict[str, Array]]:
    """Length of the rod that holds the axle sideways, as a joint and as it is told; none where the axle has none."""
    section = car.document.axle(End(model.name))
    if "centre" not in aims_of(section):
        return {}, {}
    bracket = named(model.name, WATT_BRACKET.joint)
    if bracket in model.stand.joints:
        if car.job is None or car.job.change.of(model.name).watt_bracket is None:
            return {}, {}
        place = model.stand.taken([bracket]).values(placed_by_bracket(model, standing).pose)[:, 0]
        return {bracket: place}, {f"{model.name}.bracket": place}
    rod, panhard = named(model.name, "panhard"), cast("Any", section).panhard
    if panhard.shortest is None or panhard.longest is None:
        return {rod: model.stand.reference_values([rod])[:, 0]}, {}
    placed = placed_in_the_middle(model, standing)
    length = model.stand.taken([rod]).values(placed.pose)[:, 0]
    told = {f"{model.name}.rod_length": length}
    if panhard.thread_pitch is not None:
        longer = length - model.stand.reference_values([rod])[:, 0]
        told[f"{model.name}.rod_turns"] = longer / panhard.thread_pitch.value
    return {rod: length}, told


def _springs(car: Changed, model: AxleModel, placed: Placed, loads: Mapping[SideName, Array]) -> dict[str, Array]:
    """Each spring as it is set, turned on by what it would have to be displaced further at the wanted height."""
    axle = model.name
    bare = {name: one for name, one in model.elements.items() if name not in _main(axle)}
    needed = preloads(replace(model, elements=bare), wheel_motions(placed, axle), loads)
    told: dict[str, Array] = {}
    for side in SIDES:
        spring = model.elements[main_spring_name(axle, side)]
        law, corner, name = spring.law, (axle, side), f"{axle}.{side}"
        at = spring.displacement(model.stand.taken([spring.measure]).values(placed.pose)[:, 0])
        if isinstance(law, Linear) and corner in car.kept.turns:
            kept = car.kept.turns[corner]
            told[f"{name}.bar_turn"] = kept + needed[side].displacement - law.force(at) / law.rate
            point = hanging_point(model.linkage, side)
            if point is not None:
                told[f"{name}.arm_hangs"] = point.over_pivots(-np.asarray(law.preload / law.rate))
        elif isinstance(law, Shifted) and corner in car.kept.seats:
            told |= _seat(car, axle, side, needed[side].displacement - at - law.by)
    return told


def _seat(car: Changed, axle: AxleName, side: SideName, further: Array) -> dict[str, Array]:
    seat = car.kept.seats[axle, side]
    if car.job is not None and car.job.change.of(axle).shackle is not None:
        wishes = wishes_of(car.found, car.job).axles[axle]
        return {f"{axle}.{side}.shackle": (seat.height + further - wishes.spacer) / LIFTS}
    perch = getattr(car.document.axle(End(axle)).side(SIDE_OF[side]), "perch", None)
    if perch is None or seat.turns is None:
        return {}
    turns = seat.turns + further / perch.pitch.value
    return {f"{axle}.{side}.seat": perch.lowest.value + turns * perch.pitch.value, f"{axle}.{side}.seat_turns": turns}


def _main(axle: AxleName) -> set[str]:
    return {main_spring_name(axle, side) for side in SIDES}
