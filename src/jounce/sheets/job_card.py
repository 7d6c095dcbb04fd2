"""The job card: what is fitted, where energy is stored, what is set, in the order of work; and the indexing card."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jounce.checks import Verdict
from jounce.checks.gathered import gathered
from jounce.checks.stored_energy import FALLING_MASS, StoredEnergy, drop_height, stored_energies
from jounce.conventions.units import Kind, show
from jounce.job.bar_places import bar_places
from jounce.job.index.plan import BarIndex
from jounce.job.wording import SURE, parts_of, settings_of
from jounce.sheets.blocks import Block, Cautions, Cell, Figures, Heading, Points, Signatures, TableBlock, Words
from jounce.sheets.cautions import BRAKES, DRIVELINE, ENERGY, LAW, STEEL, STRUCTURE, SUPPORT, cautions
from jounce.sheets.index_card import bar_names, index_card, signed
from jounce.sheets.paperwork import Printout
from jounce.sheets.shown import number, unit
from jounce.sheets.way_figure import way_figure

_STRIP_DOWN = (
    "Tyre pressures, fuel and ballast as in the baseline; heights noted; load-sensing valve's setting marked",
    "Car on rated stands on level ground, wheels off, axles supported; hoses and cables freed where they would pull",
)
_MARKED_BARS = "Every torsion bar, lever and anchor marked left and right, old place and turns noted"
_MARKED_SEATS = "Every spring and seat marked left and right, old place and turns noted"
_BY_BOLT = "Torsion bars unloaded: wheel at full droop, arm supported, adjusting bolt backed off until the bar is free"
_NO_BOLT = (
    "Torsion bars unloaded as the maker's manual says: they have no adjusting bolt. Without the manual the work ends"
)
_COILS = "Coils held by rated compressors before damper, arm or axle is undone"
_LEAVES = (
    "The axle carried on stands beside its leaves before shackle, clamp or damper is undone; leaves let down unloaded"
)
_NOTICED = 10.0  # force of an arm that is told [N]
_CLOSING = (
    "Bonded bushes tightened at ride height, on ramps or loaded",
    "Lock nuts, thread engagement, split pins, single-use fasteners: as the maker's manual says",
    "Torque list signed; every wheel cycled from full droop to full bump and to both locks",
)


def energy_table(energies: Mapping[str, list[StoredEnergy]], units: str) -> TableBlock:
    """Energy in every main spring, and what it still pushes with at full droop.

    Args:
        energies: the springs, by what they are called together
        units: unit set to show
    """
    energy = unit(Kind.ENERGY, units)
    head = ["spring", f"at rest{energy}", f"full droop{energy}", f"full bump{energy}", "load left at droop"]
    return TableBlock(head, [_energy_row(name, one, units) for name, ones in energies.items() for one in ones])


def _energy_row(name: str, one: StoredEnergy, units: str) -> list[Cell]:
    kind = Kind.TORQUE if one.spring == "torsion bar" else Kind.FORCE
    left = "unknown" if one.droop_load is None else show(one.droop_load, kind, units)
    cells = (number(value, Kind.ENERGY, units) for value in (one.rest, one.droop, one.bump))
    return [f"{name} {one.axle} {one.side} {one.spring}", *cells, left]


def job_card(out: Printout) -> list[Block]:
    """The card that goes with the car into the bay.

    Args:
        out: what is printed
    """
    case, units = out.case, out.units
    found, planned = stored_energies(case.found.standing), stored_energies(case.plan.planned)
    most = max(one.rest for one in (*found, *planned))
    told = (
        f"The most at rest, {show(most, Kind.ENERGY, units)}, is what {show(FALLING_MASS, Kind.MASS, units)} have after "
        f"falling {show(drop_height(most), Kind.LENGTH, units)}."
    )
    return [
        Heading("Parts to fit"),
        Points(parts_of(case.change_list, units), tick=True),
        Heading("Stored energy: old springs as the car came, new ones as planned"),
        energy_table({"old": found, "new": planned}, units),
        Words(told),
        *_arms(out, found, units),
        Cautions(cautions(out, (ENERGY, SUPPORT, STEEL))),
        Heading("Strip down"),
        Points([*_STRIP_DOWN, *_marked(out), *unloading(out), *_held(out)], tick=True),
        Heading("Fit and set, in this order"),
        Words(SURE),
        Points(settings_of(case.plan, units, case.planned.bands), tick=True, numbered=True),
        *_ways(out),
        *_mounts(out),
        *_open(out),
        Heading("Before the wheels go back to the ground for good"),
        Points(_CLOSING, tick=True),
        Cautions(cautions(out, (STRUCTURE, BRAKES, DRIVELINE, LAW))),
        Signatures(),
    ]


def _marked(out: Printout) -> Iterator[str]:
    """What of the springs is marked before anything is undone."""
    if out.sprung_by("torsion bar"):
        yield _MARKED_BARS
    if out.sprung_by("coil") or out.sprung_by("leaf"):
        yield _MARKED_SEATS


def _held(out: Printout) -> Iterator[str]:
    """How coils and leaves are held before anything is undone."""
    if out.sprung_by("coil"):
        yield _COILS
    if out.sprung_by("leaf"):
        yield _LEAVES


def _open(out: Printout) -> list[Block]:
    """Checks that lack a measurement: the shop has the car on the stands and can measure."""
    rows = gathered([check for check in out.case.every_check if check.verdict is Verdict.UNKNOWN], out.units)
    lines = [f"{code}: {text}" for _, code, text in rows]
    return [Heading("Not known: to be measured while the car is apart"), Points(lines, tick=True)] if lines else []


def unloading(out: Printout) -> list[str]:
    """How the car's torsion bars are unloaded; nothing for a car without.

    Args:
        out: what is printed
    """
    if not out.sprung_by("torsion bar"):
        return []
    return [_NO_BOLT if out.lacks_bolt else _BY_BOLT]


def _arms(out: Printout, energies: list[StoredEnergy], units: str) -> list[Block]:
    """What bars without a bolt still do to their arms at full droop, and how far these have to come down."""
    if not out.lacks_bolt:
        return []
    told = [
        f"{one.axle} {one.side} arm: {show(one.arm.force, Kind.FORCE, units)} at the {one.arm.point}, free only "
        f"{show(one.arm.further, Kind.LENGTH, units)} further down"
        for one in energies
        if one.arm is not None and one.arm.force > _NOTICED
    ]
    if not told:
        return []
    return [
        Words(
            f"At full droop the old bars still press their arms down, {'; '.join(told)}. No joint that holds "
            "an arm is undone under that load: whatever the manual's way, a jack under the arm carries it first and is let "
            "down slowly until the arm hangs free (common practice)."
        )
    ]


def _ways(out: Printout, *, bars_alone: bool = False) -> list[Block]:
    """Sketches of which way is which."""
    figure = way_figure(out.case.plan, out.look.speaks, bars_alone=bars_alone)
    if figure is None:
        return []
    told = "Which way, for right-hand threads. Turn a little and look that it moves as wanted before going on."
    return [Figures([figure], told)]


def _mounts(out: Printout) -> list[Block]:
    """Where an added bar goes."""
    lines = bar_places(out.case.change_list, out.case.car, out.units)
    return [Heading("Where the added bar goes"), Points(lines, tick=True)] if lines else []


def indexing_card(out: Printout) -> list[Block]:
    """Teeth, bolt, hanging and loaded heights, and the bar at the ends of its travel.

    Args:
        out: what is printed
    """
    case, units = out.case, out.units
    card = index_card(case.bar_indices, units)
    rows = [[None if cell == "________" else cell for cell in row] for row in card["rows"]]
    blocks: list[Block] = [Heading("What to set"), TableBlock(card["head"], rows), Words(card["note"])]
    blocks += _ways(out, bars_alone=True)
    names = bar_names(case.bar_indices)
    for corner, index in case.bar_indices.items():
        blocks += [
            Heading(f"{names[corner].capitalize()} bar with this index"),
            _places(index, units),
            Words(_why(index, units)),
        ]
        if index.rows:
            blocks.append(_neighbours(index, units))
    return [
        *blocks,
        Heading("Order of work"),
        Points(
            (
                "Old marks drawn across bar, arm and anchor before anything turns; bars marked left and right",
                *unloading(out),
                "Splines clean, greased, seals on; teeth counted from the old marks at both ends",
                "Arm hanging free at the height above, before it is loaded: if not, count again",
                "Loaded, rolled and bounced: height noted; outside the band, one step as above",
            ),
            tick=True,
            numbered=True,
        ),
        Cautions(cautions(out, (ENERGY, SUPPORT, STEEL))),
        Signatures(),
    ]


def _places(index: BarIndex, units: str) -> TableBlock:
    head = [
        "",
        f"twist{unit(Kind.ANGLE, units)}",
        f"stress{unit(Kind.STRESS, units)}",
        f"energy{unit(Kind.ENERGY, units)}",
    ]
    rows = [
        [
            place.name,
            number(place.twist, Kind.ANGLE, units),
            number(place.stress, Kind.STRESS, units),
            number(place.energy, Kind.ENERGY, units),
        ]
        for place in index.places
    ]
    return TableBlock(head, rows)


def _why(index: BarIndex, units: str) -> str:
    limit = "unknown" if index.stress_limit is None else show(index.stress_limit, Kind.STRESS, units)
    found, wanted = (show(twist, Kind.ANGLE, units) for twist in (index.twist_found, index.twist_wanted))
    turn = show(index.turn_same_height, Kind.ANGLE, units, sign=True)
    other = show(abs(index.turn_same_height), Kind.ANGLE, units) != show(0.0, Kind.ANGLE, units)
    stiffness = f"; only to stand as high as found it would be turned {turn}, for its other stiffness" if other else ""
    return f"Wound up {found} as found, {wanted} at the height wanted{stiffness}. Permissible stress: {limit}."


def _neighbours(index: BarIndex, units: str) -> TableBlock:
    """The pairs of teeth that come nearest."""
    near = sorted(sorted(index.rows, key=lambda row: abs(row.miss))[:5], key=lambda row: row.height)
    head = ["if it stands wrong", "teeth at arm", "at anchor", "bolt turns", f"height{unit(Kind.LENGTH, units)}"]
    rows = [
        [
            "as planned" if row.chosen else "",
            signed(row.arm_teeth),
            signed(row.anchor_teeth),
            "–" if row.bolt_heights is None else f"{row.bolt_turns:+.2f}",
            number(row.height, Kind.LENGTH, units),
        ]
        for row in near
    ]
    return TableBlock(head, rows)
