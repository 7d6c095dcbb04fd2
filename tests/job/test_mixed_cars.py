"""The front of one demo car with the rear of another: jobs, checks and words for pairs of layouts that no demo car has."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
import tomlkit

from jounce.case.case import Case, case_of_file
from jounce.conventions.axes import CORNERS
from jounce.conventions.units import MM
from jounce.job.wording import settings_of
from tests.reference.whole_car import car_on_tyres, settle

DEMO = Path(str(files("jounce.demo")))
CARS = sorted(path.stem for path in DEMO.glob("*-[0-9][0-9].toml"))
MIXED = [(front, rear) for shift in (1, 4) for front, rear in zip(CARS, CARS[shift:] + CARS[:shift], strict=True)]
NAMED = ("low", "near", "joint", "hose")
OF_REAR = ("rear_left", "rear_right", "unsprung_rear")


def _mixed(front: dict, rear: dict) -> dict:
    """A car file with the rear axle, its weights and its heights of another."""
    weights = {key: rear["mass"][key] for key in OF_REAR if key in rear["mass"]}
    heights = {key: rear["heights"][key] for key in ("rear_left", "rear_right")}
    # Named points lie on bodies of both axles, of which the other car may have none.
    own = {key: value for key, value in front.items() if key not in NAMED}
    own["interfaces"] = {end: car.get("interfaces", {}).get(end, {}) for end, car in (("front", front), ("rear", rear))}
    return {**own, "mass": front["mass"] | weights, "heights": front["heights"] | heights, "rear": rear["rear"]}


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("mixed")


@cache
def case(folder: Path, front: str, rear: str) -> Case:
    cars, jobs = (
        [tomllib.loads((DEMO / f"{name}{end}.toml").read_text("utf-8")) for name in (front, rear)]
        for end in ("", "-lower")
    )
    job = {
        "job": {"name": "mixed", "car": f"{front}-{rear}.toml"},
        "wanted": {"front": jobs[0]["wanted"]["front"], "rear": jobs[1]["wanted"]["rear"]},
        "change": {"front": jobs[0]["change"]["front"], "rear": jobs[1]["change"]["rear"]},
    }
    (folder / job["job"]["car"]).write_text(tomlkit.dumps(_mixed(*cars)), "utf-8")
    path = folder / f"{front}-{rear}-job.toml"
    path.write_text(tomlkit.dumps(job), "utf-8")
    return case_of_file(path)


@pytest.mark.parametrize(("front", "rear"), MIXED)
def test_a_mixed_car_rests_where_a_second_method_puts_it_near_what_was_wanted(folder, front, rear):
    one = case(folder, front, rear)
    planned = one.plan.planned
    values = [(state.settings or {}).items() for state in planned.states.values()]
    joints = {joint: float(np.ravel(value)[0]) for items in values for joint, value in items}
    elements = {**planned.models[0].elements, **planned.models[1].elements}
    whole = car_on_tyres(*planned.models, one.car.mass.centre_of_gravity_height.value)
    other = settle(whole, elements, joints, planned.sits.travel)

    for axle, side in CORNERS:
        wanted = getattr(one.change_list.wanted, axle).lower.value
        assert planned.sits.travel[axle, side] == pytest.approx(other.travel[axle, side], abs=1e-9)
        assert abs(planned.sits.travel[axle, side] - wanted) < 8 * MM  # fixed springs were chosen under another car


@pytest.mark.parametrize(("front", "rear"), MIXED[:: len(MIXED) // 6])
def test_a_mixed_car_is_checked_and_told_in_words(folder, front, rear):
    one = case(folder, front, rear)
    told = [check.sentence for check in one.checks] + settings_of(one.plan, "metric", one.planned.bands)
    told += [effect.sentence() for effect in one.side_effects]

    assert len(told) > 40
    assert not [text for text in told if "nan" in text or "None" in text]
