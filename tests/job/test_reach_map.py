"""The region of camber and caster: its places against settings solved the other way round, its edge by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates
from jounce.checks import Verdict
from jounce.job import reach_map
from jounce.job.settings import WantedAngles, aims_of, wheel_settings
from jounce.sheets.reach_figure import reach_figure
from tests.job.changed_jobs import worked

SLOTS = ("reach_outward = 10", "reach_outward = 10\nreach_fore = 8\nreach_rear = 12")


def asked(caster: float, camber: float = -1.0):
    return worked((SLOTS, ("camber = -1.0", f"camber = {camber}\ncaster = {caster}")))


def test_room_in_a_square_is_the_distance_from_its_nearest_side():
    camber, caster = np.meshgrid(np.linspace(0, 2, 5), np.linspace(0, 2, 5), indexing="ij")
    edge = reach_map._edge(camber, caster)

    assert len(edge) == 16
    assert reach_map._room(edge, (0.5, 1.0)) == pytest.approx(0.5)
    assert reach_map._room(edge, (1.9, 1.0)) == pytest.approx(0.1)
    assert reach_map._room(edge, (3.0, 1.0)) == pytest.approx(-1.0)
    assert reach_map._room(edge, (3.0, 3.0)) == pytest.approx(-math.sqrt(2))


def test_angles_of_a_place_asked_for_give_the_place_back():
    """The map puts plates and reads angles; the settings take the angles and find the plates."""
    job = asked(4.2)
    found = reach_map.reach_maps(job.planned, "front", job.job, job.plan)
    standing = job.plan.planned.states["front"]
    joints = aims_of(job.planned.front)
    for i, j in ((0, 0), (5, 11), (16, 16)):
        states = AxleStates(left=standing.left, right=standing.right, attitude=standing.attitude)
        for side, one in found.items():
            angles = (float(one.camber[i, j]), 0.0, float(one.caster[i, j]))
            wanted = WantedAngles(*(dict.fromkeys(found, angle) for angle in angles))
            settings = wheel_settings(job.plan.planned.models[0], states, joints, wanted).wheels
            assert settings[side].plate_inward == pytest.approx(one.inward[i], abs=1e-9)
            assert settings[side].plate_rearward == pytest.approx(one.rearward[j], abs=1e-9)
            assert settings[side].tie_rod == pytest.approx(one.tie_rod[i, j], abs=1e-9)


def test_more_caster_lies_to_the_rear_and_more_negative_camber_inward():
    found = reach_map.reach_maps(asked(4.2).planned, "front", asked(4.2).job, asked(4.2).plan)["left"]

    assert (np.diff(found.caster, axis=1) > 0).all()
    assert (np.diff(found.camber, axis=0) < 0).all()


def test_a_wish_outside_the_region_fails_by_how_far_it_is_outside():
    inside, outside = asked(4.2), asked(5.5)
    good, bad = (job.checks("ALN-02")[0] for job in (inside, outside))
    most = float(reach_map.reach_maps(outside.planned, "front", outside.job, outside.plan)["left"].caster.max())

    assert good.verdict is Verdict.PASS
    assert good.margin > 0
    assert bad.verdict is Verdict.FAIL
    assert bad.margin == pytest.approx(most - math.radians(5.5), abs=math.radians(0.03))  # the edge is nearly level
    assert outside.checks("PLT-02")[0].verdict is Verdict.FAIL


def test_caster_wished_for_is_there_with_camber_and_toe():
    geometry = asked(4.2).plan.planned.geometry["front"]
    told = {column.name: math.degrees(float(column.values[0])) for column in geometry.columns}

    for side in ("left", "right"):
        assert told[f"{side}_caster"] == pytest.approx(4.2, abs=1e-6)
        assert told[f"{side}_camber"] == pytest.approx(-1.0, abs=1e-6)
        assert told[f"{side}_toe"] == pytest.approx(0.0, abs=1e-6)


def test_slots_across_alone_have_room_in_camber():
    demo = worked()
    found = reach_map.reach_maps(demo.planned, "front", demo.job, demo.plan)["left"]

    assert found.room == pytest.approx(math.radians(-1.0) - found.camber.min())
    assert demo.checks("ALN-02")[0].verdict is Verdict.PASS


def test_plates_without_measured_slots_are_unknown_and_no_plates_are_not_asked():
    bare = worked((("reach_inward = 10\nreach_outward = 10\n", ""),))
    none = worked((("[change.front.top_plate]\nreach_inward = 10\nreach_outward = 10\n", ""), ("camber = -1.0\n", "")))

    assert [check.verdict for check in bare.checks("ALN-02")] == [Verdict.UNKNOWN]
    assert none.checks("ALN-02") == []


def test_the_figure_shows_both_wheels_and_is_the_same_every_time():
    maps = reach_map.reach_maps(asked(4.2).planned, "front", asked(4.2).job, asked(4.2).plan)
    text = reach_figure(maps)

    assert text.startswith("<?xml")
    assert text == reach_figure(maps)
