"""Cautions are printed where they apply, and only there."""

from __future__ import annotations

from dataclasses import replace

from jounce.case.case import Case
from jounce.sheets import cautions as every
from jounce.sheets.cautions import DRIVELINE, ENERGY, HANDLING, STEEL, STRUCTURE, cautions
from tests.sheets.cases import car_case, demo_case, job_case


def told(case, *topics):
    return " ".join(cautions(case, topics))


def test_torsion_bars_and_coils_are_warned_of_where_the_car_has_them():
    both, coils = told(job_case(), ENERGY, STEEL), told(car_case("mallow-18.toml"), ENERGY, STEEL)

    assert "wound torsion bar" in both
    assert "compressed coil" in both
    assert "torsion bar throws" not in coils
    assert "handed" not in coils
    assert "compressed coil" in coils


def test_a_spring_that_comes_loose_in_droop_is_warned_of():
    out, slack_one = job_case(), Case(demo_case().car, demo_case().job)
    planned = out.case.plan.planned
    wheels = planned.axles["rear"].wheels
    loose = replace(wheels["left"], loose_at=0.03)
    rear = replace(planned.axles["rear"], wheels={**wheels, "left": loose})
    slack = replace(planned, axles={**planned.axles, "rear": rear})
    vars(slack_one)["plan"] = replace(out.case.plan, planned=slack)

    assert "held captive" not in told(out, ENERGY)
    assert "held captive" in told(replace(out, case=slack_one), ENERGY)


def test_stiffer_springs_and_rear_bars_bring_structure_and_handling():
    assert "cracks" in told(job_case(), STRUCTURE)
    assert "lifting off" in told(job_case(), HANDLING)
    assert told(car_case(), STRUCTURE) == ""
    assert "lifting off" not in told(car_case(), HANDLING)


def test_driven_wheels_bring_drive_shafts():
    out = car_case()
    driven = out.case.car.driveline.model_copy(update={"driven": "rear"})
    other = replace(out, case=Case(out.case.car.model_copy(update={"driveline": driven})))

    assert "Drive shafts" in told(out, DRIVELINE)
    assert "Drive shafts" not in told(other, DRIVELINE)


def test_every_caution_is_a_sentence_of_a_known_topic():
    topics = {value for name, value in vars(every).items() if name.isupper() and isinstance(value, str)}

    for one in every._ALL:
        assert one.topic in topics
        assert one.text.endswith(".")
