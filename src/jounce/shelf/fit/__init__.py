"""Whether a part fits a car, and whether two parts fit one another, dimension by dimension."""

from jounce.shelf.fit.companions import companions
from jounce.shelf.fit.pairs import pair_why_not
from jounce.shelf.fit.reason import FitVerdict, Reason
from jounce.shelf.fit.to_car import Fit, fit, why_not

__all__ = ["Fit", "FitVerdict", "Reason", "companions", "fit", "pair_why_not", "why_not"]
