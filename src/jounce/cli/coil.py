"""`jounce coil`: what a coil spring is and does, without a car."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Any

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP

if TYPE_CHECKING:
    from jounce.car.file.quantity import Measured
    from jounce.conventions.units import Kind
    from jounce.questions.coil import CoilAsked

Several = list[str] | None
_SEVERAL = "; several springs: give it several times"


def coil(
    wire: Annotated[Several, typer.Option(help=f'diameter of the wire, "12 ± 0.05 mm"{_SEVERAL}')] = None,
    outer: Annotated[Several, typer.Option(help="outside diameter of the coil")] = None,
    mean: Annotated[Several, typer.Option(help="mean diameter, in its place")] = None,
    inner: Annotated[Several, typer.Option(help="inside diameter, in its place")] = None,
    turns: Annotated[Several, typer.Option(help="turns from end to end")] = None,
    dead: Annotated[Several, typer.Option(help="turns that do not move, both ends together; else by --ends")] = None,
    active: Annotated[Several, typer.Option(help="turns that move, in their place")] = None,
    ends: Annotated[str, typer.Option(help="closed-ground, closed, plain-ground, plain or hot-formed-ground")] = "",
    rate: Annotated[Several, typer.Option(help="rate that was measured or is offered")] = None,
    free: Annotated[Several, typer.Option(help="free length")] = None,
    load: Annotated[str, typer.Option(help='force on the spring, "3000 N"')] = "",
    seats: Annotated[str, typer.Option(help="flat, one-pivoted, pivoted or one-free, for buckling")] = "flat",
    steel: Annotated[str, typer.Option(help="hot-formed, cold-drawn, chrome-vanadium or music-wire")] = "hot-formed",
    motion_ratio: Annotated[str, typer.Option(help="travel of the spring per travel of the wheel")] = "",
    sprung_mass: Annotated[str, typer.Option(help="mass that the wheel carries, less what is unsprung")] = "",
    for_rate: Annotated[str, typer.Option(help="rate wanted: how many turns give it")] = "",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """What a coil spring is by its wire, turns and diameter, and what it does under a load or a car."""
    from jounce.cli.answers import tell
    from jounce.conventions.units import Kind
    from jounce.questions.coil import CoilAsked, coil_table

    columns = _Columns(units)
    columns.read("wire", wire, Kind.LENGTH, "--wire")
    columns.read("diameter", *_diameter(outer, mean, inner))
    columns.read("total_turns", turns, Kind.RATIO, "--turns")
    columns.read("active_turns", active, Kind.RATIO, "--active")
    columns.read("dead_turns", dead, Kind.RATIO, "--dead", plain=True)
    columns.read("rate", rate, Kind.SPRING_RATE, "--rate", plain=True)
    columns.read("free_length", free, Kind.LENGTH, "--free", plain=True)
    shared = _shared(units, load, motion_ratio, sprung_mass, for_rate) | _words(ends, seats, steel)
    wires_off = 1 if outer else -1 if inner else 0
    springs = [CoilAsked(wires_off=wires_off, **shared, **one) for one in columns.springs()]
    _check_enough(springs)
    names = columns.names()
    tell(coil_table(springs, names, "Coil spring" if len(springs) == 1 else "Coil springs"), units, json_file)


class _Columns:
    """Options that may be given several times, one value for each spring; one given once holds for all."""

    def __init__(self, units: str) -> None:
        self.units = units
        self.given: dict[str, list[Any]] = {}
        self.written: dict[str, list[str]] = {}

    def read(self, name: str, texts: Several, kind: Kind, option: str, *, plain: bool = False) -> None:
        """Read an option; ``plain`` values have no ±."""
        from jounce.cli.answers import asked

        if texts:
            self.written[option] = texts
            self.given[name] = [
                asked(text, kind, option, self.units) if plain else _measured(text, kind, option, self.units)
                for text in texts
            ]

    def springs(self) -> list[dict[str, Any]]:
        """What is known of each spring."""
        count = self._count()
        return [{name: values[k % len(values)] for name, values in self.given.items()} for k in range(count)]

    def names(self) -> list[str]:
        """Heads of the columns: what differs between the springs."""
        count = self._count()
        if count == 1:
            return ["spring"]
        differing = [texts for texts in self.written.values() if len(texts) > 1]
        return [" / ".join(texts[k] for texts in differing) for k in range(count)]

    def _count(self) -> int:
        from jounce.conventions.errors import InputError

        counts = {option: len(texts) for option, texts in self.written.items()}
        most = max(counts.values(), default=1)
        for option, count in counts.items():
            if count not in (1, most):
                raise InputError(
                    "Not every spring has this option",
                    found=f"{option} {count} times for {most} springs",
                    todo="Give it once for all springs, or once for each.",
                )
        return most


def _measured(text: str, kind: Kind, option: str, units: str) -> Measured:
    """A value with its ±; bare numbers are in the unit set."""
    from jounce.car.file.quantity import read_measured
    from jounce.cli.answers import asked
    from jounce.conventions.errors import at
    from jounce.conventions.units import unit_of

    if "±" not in text and "+-" not in text and "+/-" not in text:
        from jounce.car.file.quantity import Measured as Value

        return Value(asked(text, kind, option, units))
    symbol = unit_of(kind, units).symbol
    bare = not any(letter.isalpha() or letter == '"' for letter in text) and symbol != "-"
    with at(option):
        return read_measured(f"{text} {symbol}" if bare else text, kind)


def _diameter(outer: Several, mean: Several, inner: Several) -> tuple[Several, Kind, str]:
    from jounce.conventions.errors import InputError
    from jounce.conventions.units import Kind

    given = [(option, texts) for option, texts in (("--outer", outer), ("--mean", mean), ("--inner", inner)) if texts]
    if len(given) > 1:
        found = " and ".join(option for option, _ in given)
        raise InputError("The coil has two diameters", found=found, todo="Give one of them.")
    option, texts = given[0] if given else ("--mean", None)
    return texts, Kind.LENGTH, option


def _shared(units: str, load: str, motion_ratio: str, sprung_mass: str, for_rate: str) -> dict[str, Any]:
    from jounce.cli.answers import asked
    from jounce.conventions.errors import check_range
    from jounce.conventions.units import Kind

    written = {
        "load": (load, Kind.FORCE, "--load"),
        "motion_ratio": (motion_ratio, Kind.RATIO, "--motion-ratio"),
        "sprung_mass": (sprung_mass, Kind.MASS, "--sprung-mass"),
        "wanted_rate": (for_rate, Kind.SPRING_RATE, "--for-rate"),
    }
    found = {name: asked(text, kind, option, units) for name, (text, kind, option) in written.items() if text}
    if "motion_ratio" in found:
        todo = "It is the travel of the spring per travel of the wheel."
        check_range("motion ratio", found["motion_ratio"], 0.05, 3, "", todo)
    if "sprung_mass" in found:
        check_range("sprung mass", found["sprung_mass"], 1, 5000, "kg", "Give what one wheel carries.")
    return found


def _words(ends: str, seats: str, steel: str) -> dict[str, Any]:
    from jounce.elements.bars.materials import STEEL_OF_WORD
    from jounce.elements.springs.coil import ENDS_OF_WORD
    from jounce.elements.springs.coil_limits import SEATING_OF_WORD

    return {
        "ends": _word(ends, ENDS_OF_WORD, "--ends") if ends else None,
        "seating": _word(seats, SEATING_OF_WORD, "--seats"),
        "steel": _word(steel, STEEL_OF_WORD, "--steel"),
    }


def _word(word: str, known: dict[str, Any], option: str) -> Any:
    from jounce.conventions.errors import InputError

    if word not in known:
        raise InputError(f"{option} does not know this word", found=f'"{word}"', allowed=", ".join(known))
    return known[word]


def _check_enough(springs: Sequence[CoilAsked]) -> None:
    """Refuse a question that nothing follows from, and a spring that is solid before it is loaded."""
    from jounce.conventions.errors import InputError
    from jounce.conventions.units import Kind, show

    for spring in springs:
        if spring.travel is not None and spring.travel <= 0:
            raise InputError(
                "The spring is not longer free than solid",
                found=f"{show(spring.travel, Kind.LENGTH)} from free to solid",
                todo="Check --free, --wire and --turns.",
            )
        if spring.any_rate is None and (spring.wire is None or spring.coil is None or spring.wanted_rate is None):
            raise InputError(
                "The spring's rate is not known",
                todo="Give --wire, a diameter and the turns (--turns with --ends or --dead, or --active), or --rate; for "
                "--for-rate the wire and a diameter.",
            )
