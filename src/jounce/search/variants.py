"""Every variant of an axle: one option of each group, what it pushes, how it stands, and whether it keeps the limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product

import numpy as np

from jounce.behaviour.road.axle_table import AXIS, CENTRE
from jounce.behaviour.solving import inverted, solved
from jounce.checks.limits import CheckLimits
from jounce.conventions.constants import GRAVITY
from jounce.elements.law import SpringLaw
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array, BoolArray, IntArray
from jounce.search.axle_space import AxleSpace, Option
from jounce.search.slots import cost_of, go_together
from jounce.shelf.part import Part


@dataclass(frozen=True, slots=True)
class AxleVariants:
    """Variants of an axle.

    Attributes:
        space: the axle and its choices
        chosen: option of each group, shape (variants, groups)
        load_of_spring: load of each main spring where the axle stands, shape (variants, 2) [N or N m]
        price: sum of the parts' prices, in the shelf's currency, shape (variants,)
        hours: labour, shape (variants,) [h]

    """

    space: AxleSpace
    chosen: IntArray
    load_of_spring: Array
    price: Array
    hours: Array

    def __len__(self) -> int:
        """Number of variants."""
        return len(self.chosen)

    def take(self, which: IntArray | BoolArray | slice) -> AxleVariants:
        """Some of them."""
        return AxleVariants(
            self.space, self.chosen[which], self.load_of_spring[which], self.price[which], self.hours[which]
        )

    def options(self, variant: int) -> tuple[Option, ...]:
        """The options of one variant."""
        return tuple(group[k] for group, k in zip(self.space.choices, self.chosen[variant], strict=True))

    def parts(self, variant: int) -> dict[str, Part]:
        """The parts of one variant, by slot."""
        return {name: part for option in self.options(variant) for name, part in option.parts.items()}

    def wound(self) -> Array:
        """Displacement of each main spring where the axle stands, shape (variants, 2) [m or rad]."""
        return self.space.elastic.wound(self.chosen, self.load_of_spring)

    def pulled(self, value: Array) -> tuple[Array, Array]:
        """Force and stiffness of all elements along every column of the table.

        Args:
            value: the table's functions, shape (variants, states, functions)

        Returns:
            Both of shape (variants, states, functions) [N or N m, N/m or N m/rad]
        """
        return self.space.elastic.pulled(self.chosen, self.load_of_spring, value)


def variants_of(space: AxleSpace) -> AxleVariants:
    """All variants whose parts go together.

    Args:
        space: the axle and its choices
    """
    chosen = np.array(list(product(*(range(len(group)) for group in space.choices))), dtype=np.intp)
    kept = np.ones(len(chosen), dtype=np.bool_)
    groups = space.choices
    for a in range(len(groups)):
        for b in range(a + 1, len(groups)):
            good = np.array([[_together(one, other) for other in groups[b]] for one in groups[a]])
            kept &= good[chosen[:, a], chosen[:, b]]
    chosen = chosen[kept]
    price, hours = np.zeros(len(chosen)), np.zeros(len(chosen))
    for group, options in enumerate(groups):
        price += np.array([_price(option) for option in options])[chosen[:, group]]
        hours += np.array([_hours(option) for option in options])[chosen[:, group]]
    empty = AxleVariants(space, chosen, np.zeros((len(chosen), 2)), price, hours)
    return AxleVariants(space, chosen, _spring_loads(empty), price, hours)


def _together(one: Option, other: Option) -> bool:
    return all(go_together(a, b) for a in one.parts.values() for b in other.parts.values())


def _price(option: Option) -> float:
    return cost_of(option.parts)[0]


def _hours(option: Option) -> float:
    return cost_of(option.parts)[1]


@dataclass(frozen=True, slots=True)
class VariantStanding:
    """Where an axle stands, by travel: what frequencies and preloads are worked out from."""

    value: Array
    first: Array
    second: Array
    rise: Array
    rise_rate: Array


def standing_of(space: AxleSpace) -> VariantStanding:
    """The table at the standing position, and the contact points' rise per travel: first (2, 2) and second (2, 2, 2)."""
    value, first, second = (part[0] for part in space.table.at(space.standing[None]))
    centre, axis = (part.reshape(2, 3, *part.shape[1:]) for part in (first[CENTRE], first[AXIS]))
    bend, swing = (part.reshape(2, 3, 2, 2) for part in (second[CENTRE], second[AXIS]))
    lean = value[AXIS].reshape(2, 3)[:, 2]
    upright = np.sqrt(1 - lean**2)
    radius = np.array([float(np.ravel(space.base.linkage.wheels[side].loaded_radius)[0]) for side in SIDES])
    slope = (radius * lean / upright)[:, None]
    rise = centre[:, 2] + slope * axis[:, 2]
    turned = axis[:, 2, :, None] * axis[:, 2, None, :]
    curved = (radius / upright + radius * lean**2 / upright**3)[:, None, None] * turned
    return VariantStanding(value, first, second, rise, bend[:, 2] + slope[..., None] * swing[:, 2] + curved)


def _spring_loads(variants: AxleVariants) -> Array:
    """What each main spring must carry where the axle stands, shape (variants, 2) [N or N m]."""
    space, at = variants.space, standing_of(variants.space)
    weight = np.array([float(np.ravel(space.base.unsprung[side])[0]) for side in SIDES]) * GRAVITY
    wanted = np.einsum("c,cu->u", space.load, at.rise) - weight
    value = np.broadcast_to(at.value, (len(variants), 1, len(at.value)))
    other, _ = space.elastic.beside_springs(variants.chosen, value)
    left = wanted - np.einsum("nf,fu->nu", other[:, 0], at.first)
    spring = space.choices[0][0].main
    lever = np.stack([spring[s].sense * at.first[space.column[spring[s].measure]] for s in SIDES], -1)
    return np.asarray(solved(lever, left.T).T)


def frequencies(variants: AxleVariants) -> Array:
    """Ride frequency of each variant, tyre in series, mean of both wheels, shape (variants,) [Hz]."""
    space, at = variants.space, standing_of(variants.space)
    value = np.broadcast_to(at.value, (len(variants), 1, len(at.value)))
    force, rate = (part[:, 0] for part in variants.pulled(value))
    bending = np.einsum("nf,fu,fv->nuv", rate, at.first, at.first) + np.einsum("nf,fuv->nuv", force, at.second)
    inverse = inverted(at.rise.T)  # [contact, travel] of dF/dz
    path = np.einsum("c,cuv->uv", space.load, at.rise_rate)
    stiffness = np.einsum("cu,nuv,dv->ncd", inverse, bending - path, inverse)
    wheel = stiffness.sum(axis=-1)
    tyre = np.array([float(np.ravel(space.base.tyre_rate[side])[0]) for side in SIDES])
    sprung = space.load / GRAVITY - np.array([float(np.ravel(space.base.unsprung[side])[0]) for side in SIDES])
    ride = 1 / (1 / wheel + 1 / tyre)
    return np.asarray((np.sqrt(np.maximum(ride, 0.0) / sprung) / (2 * np.pi)).mean(axis=1))


@dataclass(frozen=True, slots=True)
class VariantLimits:
    """Travels of an axle's options from where it stands, and what each variant breaks.

    Attributes:
        bump: travel until something is solid, shape (variants,) [m]
        free: travel until the rubber is touched, shape (variants,) [m]
        broken: for each limit its name and which variants break it, shape (variants,)

    """

    bump: Array
    free: Array
    broken: Mapping[str, BoolArray]

    @property
    def kept(self) -> BoolArray:
        """Which variants break no limit."""
        return np.asarray(~np.logical_or.reduce(list(self.broken.values())))


_SEAT = {"leaf": "leaf springs out of reach of the height"}
"""What is said of seats that do not reach the height wanted, by the kind of spring, where they are no perches."""
_STEP, _HERE = 1e-3, 140
_REACH = _STEP * (np.arange(2 * _HERE + 1) - _HERE)  # travels looked at from where the axle stands [m]
_UNKNOWN = np.nan
_CLEAR = 0.0005  # room to the arch beyond the end of bump, for the same reason [m]
_HELD_BEYOND = 0.002  # a spring is still loaded so much beyond full droop: teeth and threads come in steps [m]


def limits(variants: AxleVariants, held: CheckLimits) -> VariantLimits:
    """Hard limits of each variant: springs loaded at full droop, stress and solid length at full bump, travel left.

    Args:
        variants: the variants
        held: what the checks hold to
    """
    space = variants.space
    travel = space.standing + _REACH[:, None]
    inside = space.table.covers(travel)
    line = space.table.at(np.clip(travel, space.table.origin, space.table.end))[0]
    stops = [_stops(option, space, line, inside) for option in space.choices[1]]
    bump, droop, free, arch = (np.array([one[k] for one in stops])[variants.chosen[:, 1]] for k in range(4))
    stress, loose, bound = _spring_limits(variants, line, bump, droop)
    least = np.array([option.bounds.least for option in space.choices[0]])[variants.chosen[:, 0]]
    return VariantLimits(
        bump,
        free,
        {
            "bar stress at full bump": stress,
            "spring loose before full droop": loose,
            "coil bound before full bump": bound,
            "helper spring not solid where the car stands": variants.load_of_spring.min(axis=1) < least,
            "too little bump travel": bump < held["least_bump"].value,
            "sits on its rubber": free < held["least_free_bump"].value,
            "too little rebound travel": droop < held["least_rebound"].value + _CLEAR,
            "tyre meets the arch before the bump ends": arch < bump + _CLEAR,
            _SEAT.get(space.choices[0][0].main["left"].kind, "perch out of reach"): _out_of_reach(
                variants, held["most_seat_off"].value
            ),
        },
    )


def _stops(option: Option, space: AxleSpace, line: Array, inside: BoolArray) -> tuple[float, float, float, float]:
    """Travel to the hard end in bump and in droop, to the rubber and to the arch; NaN where not known.

    What is not met as far as was looked counts as met there: it lies farther, which breaks no limit that this does not.
    """
    found: dict[str, float] = {}
    for stop in option.model.stops:
        if stop.quantity == "travel" and stop.at == "bump":
            way = float(np.ravel(stop.limit)[0]) - float(space.standing[0 if stop.side == "left" else 1])
            found["arch"] = min(found.get("arch", np.inf), way)
        if stop.quantity != "damper_length":
            continue
        length = line[:, space.column[f"{space.base.name}.{stop.side}.damper"]]
        beyond = np.where(inside, stop.sense * (length - float(np.ravel(stop.limit)[0])), -1.0)
        ahead = slice(_HERE, None) if stop.at == "bump" else slice(_HERE, None, -1)
        looked = int(np.argmin(np.append(inside[ahead], False))) - 1
        way = min(_first_beyond(beyond[ahead]), max(looked, 0) * _STEP)
        key = f"{stop.at} {'end' if stop.hard else 'rubber'}"
        found[key] = min(found.get(key, np.inf), way)
    end, low, rubber, arch = (found.get(key, _UNKNOWN) for key in ("bump end", "droop end", "bump rubber", "arch"))
    return tuple(x if np.isfinite(x) else _UNKNOWN for x in (end, low, rubber, arch))  # type: ignore[return-value]


def _first_beyond(beyond: Array) -> float:
    """Travel at which a falling short first turns into a passing, straight between two places looked at [m]."""
    passed = np.flatnonzero(beyond > 0)
    if not len(passed):
        return np.inf
    after = int(passed[0])
    if after == 0:
        return 0.0
    share = beyond[after - 1] / (beyond[after - 1] - beyond[after])
    return float((after - 1 + share) * _STEP)


def _spring_limits(
    variants: AxleVariants, line: Array, bump: Array, droop: Array
) -> tuple[BoolArray, BoolArray, BoolArray]:
    space = variants.space
    stress, loose, bound = (np.zeros(len(variants), dtype=np.bool_) for _ in range(3))
    at = standing_of(space)
    for number, option in enumerate(space.choices[0]):
        rows = np.flatnonzero(variants.chosen[:, 0] == number)
        for k, side in enumerate(SIDES):
            spring = option.main[side]
            column = space.column[spring.measure]
            turned = spring.sense * (line[:, column] - at.value[column])
            wound = np.reshape(spring.law.displacement_at(variants.load_of_spring[rows, k]), -1)
            ways = (bump[rows], -(droop[rows] + _HELD_BEYOND))
            full, empty = (np.interp(np.nan_to_num(way), _REACH, turned) for way in ways)
            if (
                option.bounds.off_by_teeth is not None
            ):  # both ends of the travel are where they are: teeth go into the bar
                wanted = wound - option.bounds.wound[k] - at.value[column]
                wound = wound + np.array([option.bounds.off_by_teeth(float(turn)) for turn in wanted])
            if spring.can_leave_its_seat:
                loose[rows] |= np.isfinite(droop[rows]) & (wound + empty < float(np.ravel(_start(spring.law))[0]))
            loose[rows] |= variants.load_of_spring[rows, k] <= 0
            known = np.isfinite(bump[rows])
            stress[rows] |= (np.asarray(spring.law.force(wound + full)) > option.bounds.most) & known
            bound[rows] |= (wound + full > option.bounds.solid) & known
    return stress, loose, bound


def _out_of_reach(variants: AxleVariants, most_off: float) -> BoolArray:
    """Which variants ask for a seat beyond the thread of their perch, or have none where one is needed.

    Args:
        variants: of an axle
        most_off: how far off a seat without a thread may be wanted [m]
    """
    space, bad = variants.space, np.zeros(len(variants), dtype=np.bool_)
    at = standing_of(space)
    for number, option in enumerate(space.choices[0]):
        free = option.bounds.free_lengths
        if free is None:
            continue
        rows = np.flatnonzero(variants.chosen[:, 0] == number)
        low, high = option.bounds.seats
        slack = most_off if option.bounds.seat_slack is None else option.bounds.seat_slack
        for k, side in enumerate(SIDES):
            spring = option.main[side]
            wound = np.reshape(spring.law.displacement_at(variants.load_of_spring[rows, k]), -1)
            seat = wound - (free[k] - at.value[space.column[spring.measure]])
            bad[rows] |= (seat < low - slack) | (seat > high + slack)
    return bad


def _start(law: SpringLaw) -> float | Array:
    return law.start


__all__ = ["AxleVariants", "VariantLimits", "VariantStanding", "frequencies", "limits", "standing_of", "variants_of"]
