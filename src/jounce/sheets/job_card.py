"""The job card: what is fitted, where energy is stored, what is set, in the order of work; and the indexing card."""

from __future__ import annotations

from jounce.conventions.units import Kind, show
from jounce.job.apply import wishes_of
from jounce.job.checks import Verdict
from jounce.job.checks.gathered import gathered
from jounce.job.index_plan import BarIndex, bar_indices
from jounce.job.index_task import task_of_plan
from jounce.job.stored_energy import FALLING_MASS, StoredEnergy, drop_height, stored_energies
from jounce.job.wording import parts_of, settings_of
from jounce.sheets.blocks import Block, Cautions, Cell, Heading, Points, Signatures, Table, Words
from jounce.sheets.case import Case, JobCase, work_of
from jounce.sheets.cautions import BRAKES, DRIVELINE, ENERGY, LAW, STEEL, STRUCTURE, SUPPORT, cautions
from jounce.sheets.index_card import index_card
from jounce.sheets.shown import number, unit

_STRIP_DOWN = (
    "Tyre pressures, fuel and ballast as in the baseline; heights noted; load-sensing valve's setting marked",
    "Car on rated stands on level ground, wheels off, axles supported; hoses and cables freed where they would pull",
    "Every torsion bar, lever, anchor and spring seat marked left and right, old place and turns noted",
    "Springs and bars unloaded before ball joint, strut, arm or damper is undone",
)
_CLOSING = (
    "Bonded bushes tightened at ride height, on ramps or loaded",
    "Lock nuts, thread engagement, split pins, single-use fasteners: as the maker's manual says",
    "Torque list signed; every wheel cycled from full droop to full bump and to both locks",
)


def energy_table(energies: list[StoredEnergy], units: str) -> Table:
    """Energy in every main spring, and what it still pushes with at full droop.

    Args:
        energies: the springs
        units: unit set to show
    """
    energy = unit(Kind.ENERGY, units)
    head = ["spring", f"at rest{energy}", f"full droop{energy}", f"full bump{energy}", "load left at droop"]
    return Table(head, [_energy_row(one, units) for one in energies])


def _energy_row(one: StoredEnergy, units: str) -> list[Cell]:
    kind = Kind.TORQUE if one.spring == "torsion bar" else Kind.FORCE
    left = "unknown" if one.droop_load is None else show(one.droop_load, kind, units)
    cells = (number(value, Kind.ENERGY, units) for value in (one.rest, one.droop, one.bump))
    return [f"{one.axle} {one.side} {one.spring}", *cells, left]


def job_card(case: Case) -> list[Block]:
    """The card that goes with the car into the bay.

    Args:
        case: car and job
    """
    work, units = work_of(case), case.units
    found, planned = stored_energies(case.found), stored_energies(work.plan.planned)
    most = max(one.rest for one in (*found, *planned))
    told = (
        f"The most at rest, {show(most, Kind.ENERGY, units)}, is what {show(FALLING_MASS, Kind.MASS, units)} have after "
        f"falling {show(drop_height(most), Kind.LENGTH, units)}. Springs come out at full droop: what is stored there has "
        "to be let out by backing off the anchor or compressing the spring, not by undoing a joint."
    )
    return [
        Heading("Parts to fit"),
        Points(parts_of(work.job, units), tick=True),
        Heading("Stored energy, old springs as the car came"),
        energy_table(found, units),
        Heading("Stored energy, new springs as planned"),
        energy_table(planned, units),
        Words(told),
        Cautions(cautions(case, (ENERGY, SUPPORT, STEEL))),
        Heading("Strip down"),
        Points(_STRIP_DOWN, tick=True),
        Heading("Fit and set, in this order"),
        Points(settings_of(work.plan, units), tick=True, numbered=True),
        *_open(work, units),
        Heading("Before the wheels go back to the ground for good"),
        Points(_CLOSING, tick=True),
        Cautions(cautions(case, (STRUCTURE, BRAKES, DRIVELINE, LAW))),
        Signatures(),
    ]


def _open(work: JobCase, units: str) -> list[Block]:
    """Checks that failed or lack a measurement: the shop has the car on the stands and can measure."""
    rows = gathered([check for check in work.checks if check.verdict is not Verdict.PASS], units)
    lines = [f"{code}: {text}" for _, code, text in rows]
    return [Heading("Failed, or to be measured while the car is apart"), Points(lines, tick=True)] if lines else []


def indexing_card(case: Case) -> list[Block]:
    """Teeth, bolt, hanging and loaded heights, and the bar at the ends of its travel.

    Args:
        case: car and job
    """
    work, units = work_of(case), case.units
    card = index_card(work.job, case.car, work.plan, units)
    task = task_of_plan(case.car, work.planned_car, work.plan, wishes_of(case.car, work.job).lower)
    rows = [[None if cell == "________" else cell for cell in row] for row in card["rows"]]
    blocks: list[Block] = [Heading("What to set"), Table(card["head"], rows), Words(card["note"])]
    for side, index in bar_indices(task).items():
        blocks += [
            Heading(f"{side.capitalize()} bar with this index"),
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
                "Bar unloaded at full droop, arm supported, bolt backed off",
                "Splines clean, greased, seals on; teeth counted from the old marks at both ends",
                "Arm hanging free at the height above, before it is loaded: if not, count again",
                "Loaded, rolled and bounced: height noted; outside the band, one step as above",
            ),
            tick=True,
            numbered=True,
        ),
        Cautions(cautions(case, (ENERGY, SUPPORT, STEEL))),
        Signatures(),
    ]


def _places(index: BarIndex, units: str) -> Table:
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
    return Table(head, rows)


def _why(index: BarIndex, units: str) -> str:
    limit = "unknown" if index.stress_limit is None else show(index.stress_limit, Kind.STRESS, units)
    found, wanted = (show(twist, Kind.ANGLE, units) for twist in (index.twist_found, index.twist_wanted))
    turn = show(index.turn_same_height, Kind.ANGLE, units, sign=True)
    return (
        f"Wound up {found} as found, {wanted} at the height wanted; only to stand as high as found it would be turned "
        f"{turn}, for its other stiffness. Permissible stress: {limit}."
    )


def _neighbours(index: BarIndex, units: str) -> Table:
    """The pairs of teeth that come nearest."""
    near = sorted(sorted(index.rows, key=lambda row: abs(row.miss))[:5], key=lambda row: row.height)
    head = ["if it stands wrong", "teeth at arm", "at anchor", "bolt turns", f"height{unit(Kind.LENGTH, units)}"]
    rows = [
        [
            "as planned" if row.chosen else "",
            f"{row.arm_teeth:+d}",
            f"{row.anchor_teeth:+d}",
            "–" if row.bolt_heights is None else f"{row.bolt_turns:+.2f}",
            number(row.height, Kind.LENGTH, units),
        ]
        for row in near
    ]
    return Table(head, rows)
