"""How much of the maker's damping is left on an axle, by the damping ratio of a bounced car; or why it cannot be told.

The maker's ratio is that of the curves in the car file, ``c / (2 √(k m))``, with the wheel rate that the readings leave;
so the share left is ``ζ / ζ_maker``, and its variance that of the ratio, of half the wheel rate's, and of the maker's own
spread from damper to damper (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot, sqrt

from jounce.case.state import FOUND, FoundState
from jounce.checks.dampers import heave_ratios
from jounce.conventions.certainty import DEVIATIONS_SHOWN, DEVIATIONS_TYPED
from jounce.fit.car_fit import CarFit
from jounce.fit.readings import GarageReading
from jounce.recordings.bounce import MOST_DAMPED

__all__ = ["RATIO_READ", "damper_shares"]

RATIO_READ = "damping-ratio"
"""Word of the reading."""
_MAKER = 0.15  # ± as typed, of new dampers of one number
_SURE = 0.3  # a share with a wider ± is none; the program's own limit
_ASK = (
    "bounce the axle with a phone on its sill, ask “bounce” with the recording, and write its damping ratio down here"
)


def damper_shares(fit: CarFit) -> Iterator[tuple[str, str, bool]]:
    """Name, sentence and whether it was told, for each axle that is asked about.

    Args:
        fit: the car fitted to its readings
    """
    axles = list(dict.fromkeys(one.axle for one in fit.answers if one.axle))
    makers: dict[str, float | None] = {}
    if any(one.at.what == RATIO_READ for one in fit.beside):
        makers = heave_ratios(fit.document, FoundState(FOUND, fit.document).standing)
    for axle in axles:
        read = [one for one in fit.beside if one.at.what == RATIO_READ and one.at.axle == axle]
        said, told = _said(fit, axle, read, makers.get(axle))
        yield f"{axle} damping", said, told


def _said(fit: CarFit, axle: str, read: Sequence[GarageReading], by_file: float | None) -> tuple[str, bool]:
    cannot = f"What is left of the {axle} damping cannot be told"
    if not read:
        return f"{cannot} from heights, angles and weights: {_ASK}.", False
    if by_file is None:
        return f"{cannot}: the car file has no curve of the maker's force over speed.", False
    weights = [1 / one.deviation**2 for one in read]
    ratio = sum(weight * one.value for weight, one in zip(weights, read, strict=True)) / sum(weights)
    before, after, wide = _wheel_rate(fit, axle)
    maker = by_file * sqrt(before / after)
    if ratio > MOST_DAMPED:
        open_left = hypot(wide / after / 2, _MAKER / DEVIATIONS_TYPED)  # a stiff new damper hides a worn one
        least = MOST_DAMPED / maker * (1 - DEVIATIONS_SHOWN * open_left)
        why = f"damped with more than {MOST_DAMPED:g} of critical a body hardly swings"
        return f"{cannot} as a number: {why}. At least {least:.0%} of the maker's {maker:.2f} are there.", False
    share = ratio / maker
    own = 1 / sqrt(sum(weights)) / maker
    deviation = hypot(own, share * wide / after / 2, share * _MAKER / DEVIATIONS_TYPED)
    band = DEVIATIONS_SHOWN * deviation
    told = f"{share:.0%} ± {band:.0%}"
    if band > _SURE:
        return f"{cannot} well enough: {told} of the maker's. Bounce it six times, and find its wheel rate.", False
    said = f"Of the {axle} damping {told} of the maker's is left: {ratio:.2f} of critical, by its curves {maker:.2f}."
    return said + _then(share, band), True


def _then(share: float, band: float) -> str:
    if abs(share - 1) <= band:
        return " No loss can be told."
    return (
        " It has lost force."
        if share < 1
        else " It is more than the maker's: other dampers, other valves, or friction."
    )


def _wheel_rate(fit: CarFit, axle: str) -> tuple[float, float, float]:
    """Wheel rate by the file, by the fit, and its deviation [N/m]."""
    number = next((k for k, one in enumerate(fit.answers) if one.word == "wheel_rate" and one.axle == axle), None)
    if number is None:
        return 1.0, 1.0, 0.0
    before, after = fit.sure_before, fit.sure_after
    wide = float(after.plus_minus[number]) / DEVIATIONS_SHOWN
    return float(before.values[number]), float(after.values[number]), wide
