"""The picture's frames for the file: every second one, for the script goes between them, and none of the joints' names."""

from __future__ import annotations

import base64
import gzip
import json
from collections.abc import Sequence
from typing import Any

from jounce.web.picture.frames import frames, frames_of_motion
from jounce.web.picture.motions import ShownCar

__all__ = ["packed", "picture_data"]

_STEP = 2
_LATER = ("corner",)
"""Motions of the whole car that go with it."""
_LEFT_OUT = ("steer", "brake", "hump")


def picture_data(cars: Sequence[ShownCar], units: str) -> dict[str, Any]:
    """All that the script needs to draw the car along its motions.

    Args:
        cars: as found and as planned
        units: unit set of its numbers
    """
    data = frames(cars, {}, units) | {"plain": True, "fields": {}}
    for name in _LATER:
        told = frames_of_motion(cars, name, units)["states"]
        for state, later in zip(data["states"], told, strict=True):
            state["poses"][name] = [] if later is None else later["poses"]
            for k, axle in enumerate(state["axles"]):
                axle["motions"][name] = {"frames": [], "read": []} if later is None else later["axles"][k]
        if all(later is None for later in told):
            del data["motions"][name]
        else:
            data["motions"][name]["later"] = False
    data["motions"] = {name: one for name, one in data["motions"].items() if name not in _LEFT_OUT}
    for motion in data["motions"].values():
        motion["values"] = motion["values"][motion["start"] % _STEP :: _STEP]
    for state in data["states"]:
        state["poses"] = _thinned(state["poses"], data["motions"])
        for axle in state["axles"]:
            axle["names"] = [""] * len(axle["names"])
            axle["motions"] = {
                name: {word: _every(rows, data["motions"][name]["start"]) for word, rows in one.items()}
                for name, one in axle["motions"].items()
                if name in data["motions"]
            }
    for motion in data["motions"].values():
        motion["start"] //= _STEP
    return data


def packed(data: dict[str, Any]) -> str:
    """Data as text that may stand in a page: JSON, gzip, base64; the same for the same data.

    Args:
        data: any plain data
    """
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=False)
    return base64.b64encode(gzip.compress(text.encode(), 9, mtime=0)).decode()


def _thinned(poses: dict[str, Any], motions: dict[str, Any]) -> dict[str, Any]:
    return {name: _every(rows, motions[name]["start"]) for name, rows in poses.items() if name in motions}


def _every(rows: list[Any], start: int) -> list[Any]:
    """Every second row, that where the motion begins among them; one alone stays."""
    return rows if len(rows) == 1 else rows[start % _STEP :: _STEP]
