"""Laps by the watch, as a helper calls them: "left 3 laps 41.2 s roll 2.1 deg steer 95 deg"."""

from __future__ import annotations

import re
from math import isfinite, pi

from jounce.conventions.errors import InputError, at
from jounce.conventions.units import Kind, read, show
from jounce.recordings.circle import Aboard, DrivenLaps

__all__ = ["watched"]

_FORM = re.compile(
    r"(?P<turn>left|right)\s+(?P<laps>\d+(?:\.\d*)?)\s+laps?\s+(?P<time>\d+(?:\.\d*)?)\s*s\b(?P<rest>.*)",
    re.IGNORECASE | re.DOTALL,
)
_ANGLE = re.compile(r"\s*(?P<what>roll|tilt|steer)\s+(?P<value>.*?)(?=\s+(?:roll|tilt|steer)\b|$)", re.IGNORECASE)
_ALLOWED = 'such as "left 3 laps 41.2 s roll 2.1 deg steer 95 deg"; "tilt" is what a level aboard shows in the turn'
_MOST = {"roll": 0.4, "tilt": 1.0, "steer": 20.0}  # rad
_MOST_ACROSS = 15.0  # m/s²


def watched(text: str, radius: float, units: str) -> tuple[DrivenLaps, Aboard | None]:
    """Some laps, and by what their lean was told; None where it was not.

    Args:
        text: sense, whole laps, their time in seconds, then what was seen: roll from outside or tilt aboard, both
            outwards, and the steering wheel's angle into the turn
        radius: of the circle [m]
        units: unit set of messages

    Raises:
        InputError: it says something else, or laps that are not whole
    """
    with at(f'laps "{text[:60]}"'):
        form = _FORM.fullmatch(text.strip())
        if form is None:
            raise InputError("These laps are not understood", found=f'"{text[:80]}"', allowed=_ALLOWED)
        count, time = float(form["laps"]), float(form["time"])
        if count != int(count) or not count or not time or not isfinite(time):
            raise InputError(
                "These are not whole laps",
                found=form["laps"],
                allowed="1, 2, 3, …",
                todo="Take the time from one passing of the line to another: the slope falls out of whole laps only.",
            )
        across = radius * (2 * pi * count / time) ** 2
        if across > _MOST_ACROSS:
            found = show(across, Kind.ACCELERATION, units)
            raise InputError("No car corners so fast", found=found, todo="Check time, laps and radius.")
        angles = _angles(form["rest"].strip())
    told: Aboard | None = "sensor" if "tilt" in angles else "outside" if "roll" in angles else None
    turn = 1.0 if form["turn"].lower() == "left" else -1.0
    return DrivenLaps(turn, across, angles.get("tilt", angles.get("roll")), angles.get("steer")), told


def _angles(text: str) -> dict[str, float]:
    found: dict[str, float] = {}
    place = 0
    while place < len(text):
        one = _ANGLE.match(text, place)
        if one is None or one["what"].lower() in found:
            raise InputError("These laps are not understood", found=f'"{text[place : place + 40]}"', allowed=_ALLOWED)
        what = one["what"].lower()
        with at(what):
            value = read(one["value"].strip(), Kind.ANGLE)
            if not abs(value) <= _MOST[what]:
                limit = show(_MOST[what], Kind.ANGLE)
                raise InputError("It is out of range", found=one["value"].strip(), allowed=f"up to {limit} either way")
        found[what] = value
        place = one.end()
    if not found:
        raise InputError("Nothing was seen in these laps", found="laps and time alone", allowed=_ALLOWED)
    if "roll" in found and "tilt" in found:
        raise InputError(
            "Roll and tilt are both told", todo="Give what was seen from outside, or what a level aboard shows."
        )
    return found
