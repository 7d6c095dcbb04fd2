"""What can be moved on a planned car while it is looked at, and what of it a job file then says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from jounce.car.file.reading import read_toml
from jounce.car.file.rewriting import rewritten
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.errors import Impossible, JounceError
from jounce.conventions.units import DEG, Kind, unit_of
from jounce.elements.law import Linear, OneSided
from jounce.job.apply import problems_between
from jounce.job.file import parse_job
from jounce.live.dampers import curve_rows, damper_lever, rubber_lever
from jounce.live.lever import HEIGHT_WAY, Lever
from jounce.live.moved import MovableCar
from jounce.numerics.arrays import Array
from jounce.wanted.anti_roll_bars import thicker_bar
from jounce.wanted.main_springs import spring_word, stiffer_springs

__all__ = ["levers_of", "narrowed", "normal", "with_levers"]

_STIFFER = 0.25  # of a spring's rate, each way [-]
_THICKER = 0.12  # of a diameter, each way: half as stiff again or two thirds as stiff [-]
_HEIGHTS_WANTED = ("height", "left_height", "right_height")
_CAMBERS_WANTED = ("left_camber", "right_camber")
_COPIED = ("torsion_bar", "roll_bar", "inner_bar", "damper", "bump_stop")
"""Parts that stay as they are but for one number; a coil of another rate is another coil."""
_CAMBER = 0.75 * DEG  # that wheels are leaned from what is wanted, each way
_TELLS_FORCE = ("knee", "clicks")
_SECTIONS = {"torsion bar": ("torsion_bar", "diameter"), "coil": ("spring", "rate"), "leaf": ("leaf", "rate")}


def levers_of(car: MovableCar, job_text: str, car_text: str) -> tuple[Lever, ...]:
    """The levers of a planned car: those of its parts that a job file can say by one number.

    Coils that have no one rate are left as they are, since a pair with one rate would be other coils also where they
    are not moved.

    Args:
        car: the planned car
        job_text: TOML of its job
        car_text: TOML of the car as it was measured
    """
    job, document = read_toml(job_text, "the job"), read_toml(car_text, "the car")
    found: list[Lever] = []
    for axle in AXLES:
        today = car.today.lower(axle)
        ends = today - HEIGHT_WAY, today + HEIGHT_WAY
        found.append(
            Lever(
                f"{axle}.height",
                axle,
                "height",
                f"{axle} lower by",
                Kind.LENGTH,
                today,
                *ends,
                1,
                f"wanted.{axle}.lower",
            )
        )
        own = (
            _spring(car, axle),
            _bar(car, axle),
            damper_lever(car, axle),
            rubber_lever(car, axle),
            _camber(car, axle),
        )
        found += [one for one in own if one is not None]
    said = [replace(one, also=also) for one in found if (also := _left_to_say(one, job, document)) is not None]
    return tuple(one for one in said if _can_be_said(one, car, job_text))


def normal(levers: Sequence[Lever], values: Array) -> Array:
    """Levers from -1 at their least to 1 at their most, in the powers in which the car is followed.

    Args:
        levers: the levers
        values: where they are, shape (..., levers) [SI]
    """
    power = np.array([one.power for one in levers])
    low, high = np.array([one.low for one in levers]) ** power, np.array([one.high for one in levers]) ** power
    return np.asarray(2 * (values**power - low) / (high - low) - 1)


def narrowed(lever: Lever, share: float) -> Lever:
    """A lever with a share of its way to each side.

    Args:
        lever: the lever
        share: of the way [-]
    """
    low, high = (lever.today + share * (end - lever.today) for end in (lever.low, lever.high))
    return replace(lever, low=low, high=high)


def with_levers(job_text: str, levers: Sequence[Lever], values: Mapping[str, float]) -> str:
    """The job file with levers elsewhere; what they leave alone stays as it is written.

    The shelf's code of a part that is another then is taken out.

    Args:
        job_text: TOML of the job
        levers: the levers
        values: where they are, by key; those that are not named stay [SI]

    Raises:
        InputError: the text is no TOML
    """
    written: dict[str, object] = {}
    for lever in levers:
        value = values.get(lever.key, lever.today)
        if abs(value - lever.today) <= _SAME * (lever.high - lever.low):
            continue
        written |= _written(lever, value)
    return rewritten(job_text, written) if written else job_text


_SAME = 1e-6
"""Of a lever's way: what is no movement [-]."""


def _written(lever: Lever, value: float) -> dict[str, object]:
    """Keys of the job file with their new values, for one lever."""
    if lever.moves == "damping" and lever.part is not None:
        part = f"change.{lever.axle}.damper"
        told: dict[str, object] = {lever.writes: curve_rows(lever.part, value)}
        told |= {f"{part}.{other}": None for other in _TELLS_FORCE}
    else:
        unit = unit_of(lever.kind)
        told = {lever.writes: f"{value / unit.factor:.8g} {unit.symbol}"}
    if lever.writes.startswith("wanted."):
        others = _HEIGHTS_WANTED if lever.moves == "height" else _CAMBERS_WANTED
        return told | {f"wanted.{lever.axle}.{other}": None for other in others}
    part = lever.writes.split(".")[2]
    return {**lever.also, **told, f"shelf.{lever.axle}.{part}": None}


def _left_to_say(lever: Lever, job: Mapping[str, Any], document: Mapping[str, Any]) -> dict[str, object] | None:
    """The rest of a part that the job leaves as it is, as the car's file writes it; None where it is written elsewhere."""
    _, axle, part, *_ = (*lever.writes.split("."), "")
    if part not in _COPIED or part in job.get("change", {}).get(axle, {}):
        return {}
    written = document.get(axle, {}).get(part)
    return None if written is None else {f"change.{axle}.{part}.{key}": value for key, value in written.items()}


def _camber(car: MovableCar, axle: AxleName) -> Lever | None:
    """The camber that the job wants, by what sets it."""
    held = car.held.get(axle)
    if held is None:
        return None
    ends = held.today - _CAMBER, held.today + _CAMBER
    label = f"{axle} camber, by the {held.mover}s"
    return Lever(f"{axle}.camber", axle, "camber", label, Kind.ANGLE, held.today, *ends, 1, f"wanted.{axle}.camber")


def _spring(car: MovableCar, axle: AxleName) -> Lever | None:
    if not isinstance(car.work.model(axle).main["left"].law, Linear | OneSided):
        return None
    try:
        part = stiffer_springs(car.work, axle, car.today)
    except Impossible:
        return None
    if part.today is None:
        return None
    bar = part.kind is Kind.LENGTH
    way = _THICKER if bar else _STIFFER
    section, size = _SECTIONS[spring_word(car.work, axle)]
    low, high = max(part.low, (1 - way) * part.today), min(part.high, (1 + way) * part.today)
    return Lever(
        f"{axle}.spring",
        axle,
        "spring",
        f"{axle} torsion bars, diameter" if bar else f"{axle} springs, rate",
        part.kind,
        part.today,
        low,
        high,
        4 if bar else 1,
        f"change.{axle}.{section}.{size}",
    )


def _bar(car: MovableCar, axle: AxleName) -> Lever | None:
    try:
        part = thicker_bar(car.work, axle)
    except Impossible:
        return None
    if part.today is None:
        return None
    section = "inner_bar" if "tube" in part.name else "roll_bar"
    label = f"{axle} bar in the beam's tube, diameter" if section == "inner_bar" else f"{axle} anti-roll bar, diameter"
    low, high = max(part.low, (1 - _THICKER) * part.today), min(part.high, (1 + _THICKER) * part.today)
    writes = f"change.{axle}.{section}.diameter"
    return Lever(f"{axle}.bar", axle, "bar", label, part.kind, part.today, low, high, 4, writes)


def _can_be_said(lever: Lever, car: MovableCar, job_text: str) -> bool:
    """Whether a job with the lever elsewhere can be read, and goes with the car."""
    if not lever.low < lever.today < lever.high:
        return False
    try:
        job = parse_job(with_levers(job_text, [lever], {lever.key: lever.high}), "the job")
    except JounceError:
        return False
    return not problems_between(car.measured, job)
