"""A car standing on its wheels, as found or as planned: how it stands, and its axles along any motion."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from os import PathLike
from pathlib import Path
from typing import Any

from numpy.typing import ArrayLike

from jounce.behaviour.axle.drives import drives_of, given_arrays, put
from jounce.behaviour.axle.everything import everything_at, quantity_of
from jounce.behaviour.axle.motions import MODES, AxleStates
from jounce.behaviour.axle.states_file import read_states
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.case.case import Case, CaseState
from jounce.conventions.errors import InputError
from jounce.conventions.quantity import Quantity
from jounce.library.answers import Answers, answered
from jounce.library.results import Results, Standing, Travel
from jounce.library.standing import standing_of, widths_of

__all__ = ["StandingCar"]


@dataclass(frozen=True, eq=False, repr=False)
class StandingCar:
    """A car in the one position in which it stands; every motion starts there.

    Attributes:
        case: the car, with its job where there is one
        state: the one of its states
        places: where each axle stands

    """

    case: Case
    state: CaseState
    places: Mapping[AxleName, AxleStates]

    def __repr__(self) -> str:
        return f"<{self._title}>"

    def drives(self, axle: AxleName) -> Mapping[str, Quantity]:
        """What an axle can be given in `travel` and `at`: travels, roll, steering, rods and plates.

        Args:
            axle: "front" or "rear"

        Raises:
            InputError: there is no such axle
        """
        return {name: drive.quantity for name, drive in drives_of(self._model(axle)).items()}

    def travel(self, axle: AxleName, motion: str, drive: ArrayLike, **held: ArrayLike) -> Travel:
        """Every quantity of an axle along a motion.

        Args:
            axle: "front" or "rear"
            motion: "heave", "roll", "left", "right", "steer", or any other of `drives`, such as "panhard" or "left_tie_rod"
            drive: its values, from where the car stands, shape (states,) [m; roll and a steering box: rad]
            held: values at which others of `drives` are held along it, single or shape (states,) [m; angles: rad]

        Returns:
            Results by name, a wheel's with ``left_`` or ``right_`` in front, each (states,) [SI].

        Raises:
            InputError: no such axle, motion or drive, drives that exclude each other, or no numbers
        """
        known = drives_of(self._model(axle))
        gear = next((name for name in ("rack", "pitman") if name in known), None)
        if motion == "steer" and gear is None:
            raise InputError(f"The {axle} axle has no steering", todo="Choose another motion or axle.")
        named = gear if motion == "steer" and gear else motion
        if named in held:
            raise InputError("A motion's own drive is not held too", found=named, todo="Leave it out.")
        return self._put(axle, {named: drive, **held}, motion)

    def at(
        self, axle: AxleName, states: Mapping[str, ArrayLike] | str | PathLike[str], motion: str = "heave"
    ) -> Travel:
        """Every quantity of an axle in a list of states.

        Args:
            axle: "front" or "rear"
            states: values by name of `drives`, single or shape (states,) [m; angles: rad]; or a CSV file whose columns are
                named with their units, as ``heave_mm`` and ``roll_deg``
            motion: in which way ratios and gradients are taken in each state

        Returns:
            Results by name, a wheel's with ``left_`` or ``right_`` in front, each (states,) [SI].

        Raises:
            InputError: no such axle or drive, drives that exclude each other, no numbers, a file that cannot be read
        """
        if motion not in MODES:
            raise InputError("There is no such motion", found=repr(motion), allowed=", ".join(MODES))
        if isinstance(states, (str, PathLike)):
            states = dict(read_states(Path(states), drives_of(self._model(axle))))
        return self._put(axle, states, motion)

    def _put(self, axle: AxleName, given: Mapping[str, ArrayLike], motion: str) -> Travel:
        model, place = self._model(axle), f"{self.case.name}, {axle}"
        drives = drives_of(model)
        arrays = given_arrays(given, drives, place)
        table, columns = everything_at(self.state.document, model, put(model, self.places[axle], arrays), motion)
        values = {**arrays, **columns}
        quantities = {name: drives[name].quantity if name in arrays else quantity_of(name) for name in values}
        driven = ", ".join(name.replace("_", " ") for name in arrays)
        return Travel(f"{self._title}: {axle} axle, {driven}", values, quantities, table.reached, table.reason)

    def _model(self, axle: str) -> AxleModel:
        for model in self.state.models:
            if model.name == axle:
                return model
        raise InputError("A car has two axles", found=repr(axle), allowed=", ".join(AXLES))

    def plus_minus(self) -> Results:
        """Half widths that hold nine of ten, of how it stands; about a second.

        Returns:
            Those of the results of how it stands that have one, by the same names, in the same shapes [SI].
        """
        return widths_of(self._standing, self.state.bands)

    def ask(self, question: str, /, **given: Any) -> Answers:
        """Put one of the product's questions to the car; most show a job's car as found beside as planned.

        Args:
            question: its word, as on the command line: "corner", "brake", "ride", "weigh", "effects", …
            given: what it asks for: numbers in SI, texts with a unit, words, paths of files; what is left out is as on the
                command line

        Raises:
            InputError: no such question, or what is given is not what it asks for
            Impossible: the car cannot stand so
        """
        return answered(self.case, question, given)

    @cached_property
    def _standing(self) -> Standing:
        """How it stands, worked out once."""
        return standing_of(self._title, self.state, self.places)

    @property
    def _title(self) -> str:
        return f"{self.case.name}, as {self.state.title}"
