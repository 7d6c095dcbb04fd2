"""What a driver feels, for every demo car: sweep over both turns, wheel lift, drive, dive."""

from __future__ import annotations

from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

from jounce.behaviour.road.feel import feel
from jounce.behaviour.road.of_document import car_as_found
from jounce.car.file.reading import read_car, read_toml


def feel_rows(seconds: Callable[[Callable[[], object]], float]) -> list[str]:
    """Rows of the second table, as Markdown: quickest, mean and slowest car.

    Args:
        seconds: times a piece of work [s]
    """
    times = {}
    for entry in sorted(files("jounce.demo").iterdir(), key=lambda entry: entry.name):
        if entry.name.endswith(".toml") and "front" in read_toml(entry.read_text("utf-8"), entry.name):
            car = car_as_found(read_car(Path(str(entry))))
            times[entry.name.removesuffix(".toml")] = seconds(lambda car=car: feel(car))  # type: ignore[misc]
    slowest, quickest = max(times, key=times.__getitem__), min(times, key=times.__getitem__)
    return [
        f"| what a driver feels, mean of {len(times)} demo cars [s] | {sum(times.values()) / len(times):.2f} |",
        f"| the quickest of them, {quickest} [s] | {times[quickest]:.2f} |",
        f"| the slowest, {slowest} [s] | {times[slowest]:.2f} |",
    ]
