"""Springs set together: all of them set together, against a general search over whole cars let down with each setting."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from itertools import product
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from scipy.optimize import least_squares

from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.weigh import on_scales, with_settings
from jounce.conventions.axes import CORNERS
from jounce.conventions.units import MM
from jounce.job.apply import planned_document, wishes_of
from jounce.job.file import read_job
from jounce.job.least_miss import least_miss_within
from jounce.job.plan import make_plan
from jounce.job.springs_together import SeatPlaces
from jounce.job.wording import settings_of

DEMO = files("jounce.demo")
QUARTER = 0.5 * MM  # of a turn of the jobs' threads
REAR_SHORT = ("brisk-14", "lowest = -10\nhighest = 40", "lowest = -4\nhighest = 40")
FRONT_SHORT = (
    "mallow-18",  # nothing sets camber there: rods held in the search stand where the plan puts them
    "[change.front.perch]\nlowest = -15\nhighest = 25",
    "[change.front.perch]\nlowest = -15\nhighest = 3",
)


@cache
def planned(name, old, new):
    """A demo job with a shorter thread, planned; its car on its road; and the corners whose seats are set."""
    with TemporaryDirectory() as folder:
        for one in (name, f"{name}-lower"):
            text = DEMO.joinpath(f"{one}.toml").read_text("utf-8")
            assert one == name or old in text
            Path(folder, f"{one}.toml").write_text(text if one == name else text.replace(old, new), "utf-8")
        job, found = read_job(Path(folder, f"{name}-lower.toml"))
    document, wishes = planned_document(found, job), wishes_of(found, job)
    plan = make_plan(found, document, wishes)
    joints = {joint: value for state in plan.planned.states.values() for joint, value in state.settings.items()}
    corners = [corner for corner in CORNERS if plan.settings[corner[0]].seats]
    return plan, wishes, car_of(document, *plan.planned.models, joints), corners


def seats_of(short):
    plan, _, _, corners = planned(*short)
    return np.array([plan.settings[axle].seats[side].seat for axle, side in corners])


def missed(short, seats):
    """What a car misses, in millimetres of height and tenths of a per cent of cross weight, its rods held."""
    _, wishes, car, corners = planned(*short)
    moved = np.zeros((2, 2))
    for corner, by in zip(corners, seats - seats_of(short), strict=True):
        moved[CORNERS.index(corner) // 2, CORNERS.index(corner) % 2] = by
    stands = on_scales(with_settings(car, moved))
    wanted = np.array([wishes.lower[corner] for corner in CORNERS])
    return np.append((stands.travel.ravel() - wanted) / MM, (stands.cross_share - wishes.cross_share) / 0.001)


def ends(short):
    low, high = (float(short[2].split(f"{word} = ")[1].partition("\n")[0]) * MM for word in ("lowest", "highest"))
    if short is REAR_SHORT:
        return np.full(2, low), np.full(2, high)
    return np.full(4, -15 * MM), np.array([high, high, 25 * MM, 25 * MM])


@pytest.mark.parametrize("short", [REAR_SHORT, FRONT_SHORT])
def test_no_quarter_turns_about_the_best_of_a_general_search_leave_less(short):
    low, high = ends(short)
    best = least_squares(
        lambda seats: missed(short, seats),
        np.clip(seats_of(short), low, high),
        bounds=(low, high),
        x_scale=MM,
        xtol=1e-6,
        ftol=1e-6,
    )
    beside = [SeatPlaces(a, b, QUARTER, a).beside(x) for a, b, x in zip(low, high, best.x, strict=True)]
    costs = {seats: np.sum(missed(short, np.array(seats)) ** 2) for seats in product(*beside)}

    assert 2 * best.cost < min(costs.values()) * (1 + 1e-6)
    chosen = np.sum(missed(short, seats_of(short)) ** 2)
    # Rods and plates are held in the search and set anew in the plan: that moves heights a little.
    assert chosen <= min(costs.values()) * (1 + 1e-3)


def test_seats_that_only_stop_at_their_ends_would_leave_more():
    """Each where its own height asks, as far as its thread goes: the job with the longer thread tells where."""
    short, (name, old, _) = REAR_SHORT, REAR_SHORT
    plan, _, _, corners = planned(name, old, old)
    low, high = ends(short)
    wanted = np.array([plan.settings[axle].seats[side].wanted for axle, side in corners])
    stopped = low + np.round((np.clip(wanted, low, high) - low) / QUARTER) * QUARTER

    assert np.any((wanted < low) | (wanted > high))
    assert np.sum(missed(short, seats_of(short)) ** 2) < 0.9 * np.sum(missed(short, stopped) ** 2)


def test_what_would_be_needed_is_told_for_the_seat_at_its_end_alone():
    plan, _, _, _ = planned(*REAR_SHORT)

    assert {(lack.axle, lack.side) for lack in plan.short} == {("rear", "right")}
    told = " ".join(settings_of(plan, "metric"))
    assert "Height wanted" in told
    assert "the spring seat ends at -4.0 mm; -6." in told


@pytest.mark.parametrize("start", [0, 1, 2])
def test_the_bounded_method_finds_what_another_finds(start):
    """A curved function of three unknowns whose best lies beyond the ends of some, against a trust-region method."""
    random = np.random.default_rng(start)
    matrix, wanted = random.normal(size=(5, 3)), random.normal(size=5)
    low, high = np.full(3, -0.2), np.array([0.2, np.inf, 0.1])

    def misses(at):
        return matrix @ at + 0.1 * np.sin(at).sum() - wanted

    def with_slopes(at):
        return misses(at), matrix + 0.1 * np.cos(at)

    found = least_miss_within(with_slopes, np.zeros(3), (low, high), 1e-12)
    other = least_squares(misses, np.zeros(3), bounds=(low, high), xtol=1e-15, ftol=1e-15, gtol=1e-15)

    assert found.at == pytest.approx(other.x, abs=1e-6)
    assert np.sum(found.miss**2) <= 2 * other.cost * (1 + 1e-9)


def test_an_unknown_without_room_stays():
    found = least_miss_within(lambda at: (at - 1.0, np.eye(2)), np.zeros(2), (np.zeros(2), np.array([0.0, 5.0])), 1e-12)
    assert found.at == pytest.approx([0.0, 1.0])
    assert found.held({1: 0.25}) == pytest.approx([0.0, 0.25])


def test_places_are_within_their_ends():
    places = SeatPlaces(-0.0041, 0.01, 0.0005, -0.0041)

    assert places.beside(-0.0041) == pytest.approx([-0.0041, -0.0036])
    assert places.beside(0.0102) == pytest.approx([0.0099])
    assert SeatPlaces(-np.inf, np.inf, None, 0.0).beside(0.0123) == [0.0123]
    assert SeatPlaces(0.0, np.inf, 0.004, 0.0).beside(0.013) == pytest.approx([0.012, 0.016])
