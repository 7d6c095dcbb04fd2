"""Whether a part fits a car: at which axle, and why not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jounce.car.file.document import CarDocument
from jounce.conventions.axes import ENDS, End
from jounce.shelf.fit.axle_has import axle_reasons
from jounce.shelf.fit.car_interface import CarInterface
from jounce.shelf.fit.car_matches import car_matches
from jounce.shelf.fit.pairs import pair_why_not
from jounce.shelf.fit.reason import FitVerdict, Reason, verdict_of
from jounce.shelf.part import Part

__all__ = ["Fit", "fit", "why_not"]

_ORDER = (FitVerdict.FITS, FitVerdict.UNKNOWN, FitVerdict.DOES_NOT_FIT)


@dataclass(frozen=True, slots=True)
class Fit:
    """A part at one axle of a car, or at the better one of two.

    Attributes:
        end: the axle
        reasons: dimensions that do not fit or are unknown; none if the part fits

    """

    end: End
    reasons: tuple[Reason, ...]

    @property
    def verdict(self) -> FitVerdict:
        """Fits, does not fit, or unknown."""
        return verdict_of(self.reasons)


def fit(part: Part, car: CarDocument, end: End | None = None, beside: Sequence[Part] = ()) -> Fit:
    """Whether a part fits a car, alone or with other parts that replace what the car has.

    Args:
        part: the part
        car: the car
        end: the axle; that for which the part is meant, or the better one of the two, if not given
        beside: parts that are fitted at the same axle with it
    """
    meant = ENDS if part.place == "either" else tuple(one for one in ENDS if one == part.place)
    ends = meant if end is None else (end,)
    found = [Fit(one, _reasons(part, CarInterface(car, one), beside, meant=one in meant)) for one in ends]
    return min(found, key=_rank)


def why_not(part: Part, car: CarDocument, end: End | None = None, beside: Sequence[Part] = ()) -> tuple[Reason, ...]:
    """Why a part does not fit a car, or what has to be measured before it can be told; empty if it fits.

    Args:
        part: the part
        car: the car
        end: the axle; that for which the part is meant, or the better one of the two, if not given
        beside: parts that are fitted at the same axle with it
    """
    return fit(part, car, end, beside).reasons


def _rank(one: Fit) -> tuple[int, bool]:
    """An axle at which the part fits comes first, one without a place for it last."""
    return _ORDER.index(one.verdict), any(reason.words for reason in one.reasons)


def _reasons(part: Part, offer: CarInterface, beside: Sequence[Part], *, meant: bool) -> tuple[Reason, ...]:
    if not meant:
        words = f"It is meant for the {part.place} axle."
        return (Reason("axle", FitVerdict.DOES_NOT_FIT, part.place, str(offer.end), words=words),)
    none = axle_reasons(part, offer, beside)
    if none:  # nothing else can be said where there is no place for it
        return tuple(none)
    found = [match.reason() for match in car_matches(part, offer, beside)]
    pairs = [reason for other in beside if other is not part for reason in pair_why_not(part, other)]
    return (*(reason for reason in found if reason is not None), *pairs)
