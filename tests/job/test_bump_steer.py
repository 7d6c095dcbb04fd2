"""Bump steer as a wish: by pivots typed by hand, by differences of toe, in whole shims, at an end, without a part."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from importlib.resources import files
from pathlib import Path

import jsonschema_rs
import numpy as np
import pytest

from jounce.behaviour.axle.travel import column_map, states_table
from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.conventions.axes import CORNERS
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import DEG, MM
from jounce.job.bay_table import bay_rows
from jounce.job.bump_steer import with_heights
from jounce.job.file import parse_job, read_job
from jounce.job.plan import value_of
from jounce.job.setting_bands import setting_widths
from jounce.job.settings import settings_values
from jounce.job.wording import settings_of
from jounce.web.api.of_jobs import OPERATIONS
from jounce.web.api.plain import plain
from jounce.web.pages.job_forms import aims

JOB = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml")))
RACK, SHIM = "\n[change.front.rack]\n", "shim = 1.5\n"
SPACERS = "\n[change.front.tie_rod_spacer]\n"
SETTINGS = next(one for one in OPERATIONS if one.name == "readSettings").answer.schema["properties"]["front"]


@cache
def planned(more: str, wanted: str = "front]\nbump_steer = 0\n") -> Case:
    text = JOB.read_text("utf-8").replace("[wanted.front]\n", f"[wanted.{wanted}")
    return Case(read_job(JOB)[1], parse_job(text + more, ""))


def bump_steer(case: Case) -> float:
    """Mean of both wheels, by differences of toe about where the planned car stands [rad/m]."""
    model, states = case.plan.planned.models[0], case.plan.planned.states["front"]
    way = np.array([-MM / 10, MM / 10])
    moved = replace(states, left=states.left + way, right=states.right + way)
    table = column_map(states_table(model.stand, model.linkage, moved, (1.0, 1.0), groups=("wheel angles",)))
    return float(np.mean([np.diff(table[f"{side}_toe"])[0] for side in ("left", "right")]) / (MM / 5))


def test_a_rack_of_any_height_gives_it_as_pivots_typed_there_do():
    case = planned(RACK)
    setting = case.plan.settings["front"].bump_steer
    point = case.car.front.left.pivots.tie_rod_inner
    x, y, z = (value / MM for value in (point.x, point.y, point.z + setting.set))
    by_hand = planned(f"\n[change.front.pivots]\ntie_rod_inner = [{x!r}, {y!r}, {z!r}]\n", "front]\n")

    assert setting.set == setting.needed
    assert case.change_list.change.front.rack.higher.value == setting.set
    for one in (case, by_hand):
        assert bump_steer(one) == pytest.approx(0.0, abs=2e-6 * DEG / MM)
        assert value_of(one.plan.planned.geometry["front"], "left_toe") == pytest.approx(0.0, abs=1e-9)
    for corner in CORNERS:
        assert by_hand.plan.planned.sits.travel[corner] == pytest.approx(
            case.plan.planned.sits.travel[corner], abs=1e-9
        )


def test_whole_shims_leave_less_than_half_a_shim_of_it():
    case, exact = planned(RACK + SHIM), planned(RACK)
    setting = case.plan.settings["front"].bump_steer
    count = setting.set / (1.5 * MM)

    assert count == pytest.approx(round(count), abs=1e-12)
    assert abs(setting.set - exact.plan.settings["front"].bump_steer.set) <= 0.75 * MM
    assert setting.reached == pytest.approx(bump_steer(case), abs=2e-6 * DEG / MM)
    assert setting.reached == pytest.approx((setting.set - setting.needed) * setting.slope, rel=0.01)
    assert [check.verdict for check in case.checks if check.code == "ALN-03"] == [Verdict.PASS]
    assert not case.plan.short
    lines = settings_of(case.plan, "metric")
    at = next(k for k, line in enumerate(lines) if "bump steer, toe set again" in line)
    assert "shim" in lines[at - 1]
    assert "tie rod" in " ".join(lines[at + 1 :])
    # The search holds its packages on the same shims; the interface's document tells every number of the setting.
    assert with_heights(case.car, case.job).change.front.rack.higher.value == setting.set
    values = json.loads(json.dumps(plain(settings_values(case.plan.settings["front"]))))
    assert values["bump_steer"]["set"] == setting.set
    assert jsonschema_rs.validator_for(SETTINGS).is_valid(values)


def test_where_the_range_ends_what_would_be_needed_is_told():
    case, exact = planned(f"{RACK}{SHIM}up = 1\ndown = 20\n"), planned(RACK)
    setting = case.plan.settings["front"].bump_steer
    (lack,) = case.plan.short

    assert setting.set == 0.0
    assert lack.needed == pytest.approx(exact.plan.settings["front"].bump_steer.needed, abs=0.01 * MM)
    assert lack.reached == pytest.approx(bump_steer(case), abs=2e-6 * DEG / MM)
    assert "1.6 mm higher than found would be needed" in " ".join(settings_of(case.plan, "metric"))
    assert [check.verdict for check in case.checks if check.code == "ALN-03"] == [Verdict.FAIL]


def test_spacers_of_their_steps_give_it_and_without_a_part_their_height_is_told():
    case, nothing = planned(f"{SPACERS}highest = 10\nstep = 1\n"), planned("")
    setting = case.plan.settings["front"].bump_steer
    (lack,) = nothing.plan.short

    assert setting.set == case.change_list.change.front.tie_rod_spacer.height.value == pytest.approx(2 * MM)
    assert abs(bump_steer(case)) < abs(bump_steer(nothing))
    assert lack.needed == pytest.approx(setting.needed, abs=0.01 * MM)
    assert nothing.change_list.change.front.tie_rod_spacer is None


@pytest.mark.parametrize(
    ("more", "wanted", "words"),
    [
        (RACK + SPACERS, "front]\nbump_steer = 0\n", "Rack and tie-rod spacers would both set"),
        (RACK + SHIM, "front]\n", "How high the front rack is set is told nowhere"),
    ],
)
def test_what_is_not_clear_is_refused(more, wanted, words):
    with pytest.raises(InputProblems, match=words):
        _ = planned(more, wanted).plan


def test_an_axle_without_tie_rods_is_refused_and_has_no_field():
    job, car = read_job(JOB)
    text = JOB.read_text("utf-8").replace("[wanted.rear]\n", "[wanted.rear]\nbump_steer = 0\n")
    with pytest.raises(InputProblems, match="Nothing on this car's rear axle sets its bump steer"):
        _ = Case(car, parse_job(text, "")).plan
    fields = [key for key, _, _ in aims(car, job)]
    assert "wanted.front.bump_steer" in fields
    assert "wanted.rear.bump_steer" not in fields


def test_a_rack_whose_joints_are_measured_higher_is_asked_for_lower_by_as_much():
    """By nature: what counts is where the inner joints stand in the end, so the error of their height passes in full."""
    case = planned(RACK)
    (error,) = [one.plus_minus for one in case.planned.varies.inputs if one.path == "front.pivots.tie_rod_inner.z"]
    band = case.planned.bands["front.rack"]

    # The slope by which the height follows is that of the plan's last secant, over 1.6 mm.
    assert dict(band.causes)["front.pivots.tie_rod_inner.z"] == pytest.approx(-SHOWN_PER_TYPED * error, rel=1e-3)
    assert setting_widths(case.planned.bands)["front.rack"] == band.plus_minus
    width = f"± {band.plus_minus / MM:.1f} mm"
    (told,) = [line for line in settings_of(case.plan, "metric", case.planned.bands) if line.startswith("front rack")]
    (row,) = [one for one in bay_rows(case.car, case.plan, "metric", case.planned.bands) if one.what == "rack, end"]
    assert width in told
    assert all(width in cell.big for cell in row.cells.values())


def test_a_spacer_that_is_given_carries_the_plus_minus_that_was_typed():
    case = planned(SPACERS + 'height = "8 mm ± 0.2 mm"\n', "front]\n")
    band = case.planned.bands["front.tie_rod_spacer"]

    assert band.plus_minus == pytest.approx(SHOWN_PER_TYPED * 0.2 * MM, rel=1e-9)
    assert "8.0 ± 0.2 mm lower" in " ".join(settings_of(case.plan, "metric", case.planned.bands))
