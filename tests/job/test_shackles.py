"""Shackles of leaf springs for a height: by cars with the rear eye moved, a second method, at their ends, in words."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.axle.static import loaded, with_main_springs
from jounce.behaviour.road.of_document import car_as_found, car_of
from jounce.behaviour.road.static_car import settle
from jounce.car.file.reading import read_car
from jounce.car.mechanics.assembly import axle_model
from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.conventions.axes import CORNERS, SIDES
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import MM
from jounce.job.bay_table import bay_rows
from jounce.job.document import JobDocument
from jounce.job.setting_bands import settings_needed
from jounce.job.shackles import LIFTS, ShackleRange
from jounce.job.wording import settings_of
from jounce.questions.effects import effects_of
from tests.reference.whole_car import car_on_tyres
from tests.reference.whole_car import settle as settled_by_multipliers

CAR = Path(str(files("jounce.demo").joinpath("bracken-16.toml")))
THREAD = {"perch": {"lowest": -60, "highest": 60, "pitch": 2}}
WANTED, LEAN = 18.0, 5.0  # lower on the left; more on the right [mm]
QUARTER = 0.5 * MM  # what a quarter turn of the front seats is worth


@cache
def shackled(goes: tuple[tuple[str, float], ...] | None = (), lean: float = LEAN) -> Case:
    """A car whose rear is to stand lower, by its shackles alone, its front on threads where it was."""
    heights = {
        f"{side}_height": read_car(CAR).heights.corner("rear", side).value / MM
        - WANTED
        - (lean if side == "right" else 0)
        for side in SIDES
    }
    rear = {} if goes is None else {"shackle": dict(goes)}
    written = {"job": {"name": "x", "car": "x"}, "wanted": {"rear": heights}, "change": {"front": THREAD, "rear": rear}}
    return Case(read_car(CAR), JobDocument.model_validate(written))


def joints_of(one: Case) -> dict[str, float]:
    return {name: value for state in one.plan.planned.states.values() for name, value in (state.settings or {}).items()}


def with_eyes_moved(one: Case):
    """The rear axle of a file whose rear eyes hang as much lower as the shackles got longer, on the springs as found."""
    seats, rear = one.plan.settings["rear"].seats, one.car.rear
    sides = {}
    for side in SIDES:
        section = rear.side(side)
        eye = section.pivots.rear_eye
        moved = section.pivots.model_copy(update={"rear_eye": replace(eye, z=eye.z - seats[str(side)].shackle)})
        sides[str(side)] = section.model_copy(update={"pivots": moved})
    found = loaded(axle_model(one.car, "rear"))[0]
    model = axle_model(one.car.model_copy(update={"rear": rear.model_copy(update=sides)}), "rear")
    return with_main_springs(model, {str(side): found.elements[f"rear.{side}.main_spring"] for side in SIDES})


def test_the_rear_stands_where_it_was_wanted():
    """In the mean of both sides. A rear that leans under a front that does not is no plane: all four miss alike."""
    travel = shackled().plan.planned.sits.travel
    left, right = (travel["rear", side] for side in ("left", "right"))
    share = LEAN / 4 * MM

    assert (left + right) / 2 == pytest.approx((WANTED + LEAN / 2) * MM, abs=0.1 * MM)
    for corner, wanted, sign in zip(CORNERS, (0, 0, WANTED, WANTED + LEAN), (-1, 1, 1, -1), strict=True):
        assert travel[corner] - wanted * MM == pytest.approx(sign * share, abs=QUARTER)
    assert all(seat.shackle < 0 for seat in shackled().plan.settings["rear"].seats.values())


def test_a_car_whose_rear_eyes_hang_so_much_lower_stands_alike():
    """Another way in: the pivots themselves moved, with the springs that the car came with."""
    one = shackled()
    front, _ = one.plan.planned.models
    sits = settle(
        car_of(one.planned.document, front, with_eyes_moved(one), joints_of(one)), one.plan.planned.sits.travel
    )

    for corner in CORNERS:
        assert sits.travel[corner] == pytest.approx(one.plan.planned.sits.travel[corner], abs=1e-9)
        assert sits.load[corner] == pytest.approx(one.plan.planned.sits.load[corner], abs=1e-4)


def test_the_car_rests_where_a_second_method_puts_it():
    """All bodies of both axles as one mechanism, its rear eyes moved, brought to rest by multipliers."""
    one = shackled()
    front, rear = one.plan.planned.models[0], with_eyes_moved(one)
    whole = car_on_tyres(front, rear, one.car.mass.centre_of_gravity_height.value)
    other = settled_by_multipliers(
        whole, {**front.elements, **rear.elements}, joints_of(one), one.plan.planned.sits.travel
    )

    for corner in CORNERS:
        assert one.plan.planned.sits.travel[corner] == pytest.approx(other.travel[corner], abs=1e-9)


def test_shackles_go_by_their_holes_within_their_ends():
    goes = ShackleRange(longer=20 * MM, shorter=10 * MM, step=8 * MM)

    assert [goes.nearest(way * MM) / MM for way in (3, 5, 30, -3, -30)] == pytest.approx([0, 8, 16, 0, -8])
    assert ShackleRange().nearest(0.4) == 0.4
    assert goes.beyond(0.021)
    assert not goes.beyond(-0.01)


def test_one_at_its_end_says_what_would_be_needed():
    needed = shackled().plan.settings["rear"].seats["left"].wanted / LIFTS
    one = shackled((("shorter", 12),))
    lacks = [lack for lack in one.plan.short if lack.wish == "height"]

    assert [lack.side for lack in lacks] == ["left", "right"]
    assert lacks[0].set == pytest.approx(-12 * MM)
    assert lacks[0].needed == pytest.approx(needed, abs=1e-3 * MM)
    assert lacks[0].reached > lacks[0].wanted
    told = " ".join(settings_of(one.plan, "metric"))
    assert "the shackle ends at 12.0 mm shorter than found" in told
    assert {c.verdict for c in one.checks if c.code == "PER-01" and "rear" in c.question} == {Verdict.FAIL}


def test_words_and_bands_tell_each_side():
    one = shackled((("step", 6), ("shorter", 60)))
    seats = one.plan.settings["rear"].seats
    lines = [text for text in settings_of(one.plan, "metric") if "shackle" in text]

    assert [line.partition(":")[0] for line in lines] == ["left rear shackle", "right rear shackle"]
    assert all("shorter than found" in line for line in lines)
    assert all(round(seat.shackle / MM / 6, 9) == round(seat.shackle / MM / 6) for seat in seats.values())
    assert {c.verdict for c in one.checks if c.code in ("PER-01", "HGT-01") and "rear" in c.question} == {Verdict.PASS}
    free = shackled(lean=0.0)
    needed = settings_needed(free.planned.varies, free.plan.planned.models[1])
    for side in ("left", "right"):
        wanted = free.plan.settings["rear"].seats[side].shackle
        assert np.real(needed[f"rear.{side}.shackle"][0]) == pytest.approx(wanted, abs=1 * MM)
        assert 0 < free.planned.bands[f"rear.{side}.shackle"].plus_minus < 60 * MM


def test_an_axle_without_leaves_refuses_them():
    written = {"job": {"name": "x", "car": "x"}, "change": {"front": {"shackle": {"longer": 3}}}}
    with pytest.raises(InputProblems, match="has no shackle to exchange"):
        _ = Case(read_car(CAR), JobDocument.model_validate(written)).plan


def test_the_table_for_the_bay_tells_the_shackle_and_no_spacer():
    one = shackled()
    rows = {(row.axle, row.what): row.cells for row in bay_rows(one.car, one.plan, "metric")}
    told = {side: cell.big for side, cell in rows["rear", "shackle"].items()}

    assert ("rear", "spring spacer") not in rows
    for side, seat in one.plan.settings["rear"].seats.items():
        assert float(told[side].partition(" ")[0].replace("−", "-")) == pytest.approx(seat.shackle / MM, abs=0.06)


def test_effects_tell_what_a_hole_or_a_millimetre_of_a_shackle_does():
    """Half of what the seat's own millimetre does, a small step; a hole of 6 mm is six times as much, nearly."""
    told = {}
    for step in (None, 6):
        goes = () if step is None else (("step", step), ("shorter", 60))
        one = shackled(goes)
        for change in (None, one.change_list.change):
            found = effects_of(one.car, car_as_found(one.car), "x", change)
            own = [effect for effect in found.effects if effect.adjuster.group.startswith("rear springs")]
            told |= {(effect.adjuster.group, effect.adjuster.name): np.array(effect.changes) for effect in own}

    seat, shackle, hole = (
        told[f"rear springs: {word}", "left"]
        for word in ("1 mm at the seat", "1 mm longer shackle", "hole of the shackle")
    )
    assert shackle == pytest.approx(seat / 2, rel=1e-2, abs=1e-6)
    assert hole == pytest.approx(6 * shackle, rel=5e-2, abs=1e-5)
    assert np.abs(shackle).max() > 1e-4
