"""Dampers and rubbers for travels: against the axle placed there, and the files read anew."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.behaviour.axle.motions import place_axle
from jounce.conventions.errors import Impossible
from jounce.layouts.naming import SIDES, named
from jounce.wanted.damper_ends import damper_length, damper_travel, full_travel, rubber_gap, rubber_share
from tests.wanted.demo_work import EVERY_AXLE, found, read_anew, today, work_of

KEYS = {"bump": "closed_length", "droop": "open_length"}


def lengths_at(stood, axle, travel):
    """Damper lengths with both wheels so far from where the car stands [m]."""
    model = stood.car.axles[("front", "rear").index(axle)].axle
    states = stood.states(axle)
    placed = place_axle(model.stand, axle, replace(states, left=states.left + travel, right=states.right + travel))
    return model.stand.taken([named(axle, side, "damper") for side in SIDES]).values(placed.pose)[0]


@pytest.mark.parametrize("way", ["bump", "droop"])
@pytest.mark.parametrize(("car", "axle"), EVERY_AXLE)
def test_length_is_the_dampers_own_at_that_travel(car, axle, way):
    wanted = {"bump": 0.055, "droop": 0.065}[way]
    part = damper_length(work_of(car), axle, way, today(car), wanted)
    answer = found(part, damper_travel(axle, way), wanted)
    lengths = lengths_at(today(car), axle, wanted if way == "bump" else -wanted)

    # Both dampers are alike: the longer one at that bump, the shorter one at that droop is the first at its end.
    assert answer.value == pytest.approx(lengths.min() if way == "bump" else lengths.max(), abs=1e-8)


@pytest.mark.parametrize("way", ["bump", "droop"])
@pytest.mark.parametrize(("car", "axle"), [("brisk-14", "rear"), ("comfrey-20", "front")])
def test_file_with_the_length_read_anew_goes_as_far(car, axle, way):
    part = damper_length(work_of(car), axle, way, today(car), 0.06)
    answer = found(part, damper_travel(axle, way), 0.06)
    anew = read_anew(car, **{f"{axle}__damper__{KEYS[way]}": answer.value * 1e3})

    assert damper_travel(axle, way)(anew) == pytest.approx(0.06, abs=1e-8)
    assert answer.slope < 0 if way == "bump" else answer.slope > 0


@pytest.mark.parametrize(("car", "axle"), [("brisk-14", "front"), ("sorrel-21", "rear"), ("bracken-16", "rear")])
def test_file_with_the_gap_read_anew_touches_after_that_share(car, axle):
    part = rubber_gap(work_of(car), axle, today(car))
    answer = found(part, rubber_share(axle), 0.5)
    gap, height = part.also(answer.value, answer.stood)
    anew = read_anew(car, **{f"{axle}__bump_stop__gap": gap.value * 1e3})
    whole, _ = full_travel(today(car), axle, "bump")
    pressed = lengths_at(today(car), axle, 0.0) - lengths_at(today(car), axle, 0.5 * whole)
    high = read_anew(car, **{f"{axle}__bump_stop__gap": None, f"{axle}__bump_stop__free_height": height.value * 1e3})

    assert rubber_share(axle)(anew) == pytest.approx(0.5, abs=1e-8)
    assert rubber_share(axle)(high) == pytest.approx(0.5, abs=1e-8)
    assert answer.value == pytest.approx(pressed.max(), abs=1e-7)


@pytest.mark.parametrize(("car", "axle"), EVERY_AXLE)
def test_todays_share_for_todays_gap_and_more_for_more(car, axle):
    part, now = rubber_gap(work_of(car), axle, today(car)), rubber_share(axle)(today(car))
    answers = [found(part, rubber_share(axle), share) for share in (now, now + 0.05, now + 0.1)]

    assert answers[0].value == pytest.approx(part.today, abs=1e-7)
    assert np.all(np.diff([one.value for one in answers]) > 0)


def test_what_nothing_ends_is_told():
    unknown = read_anew("brisk-14", rear__damper__closed_length=None, rear__bump_stop=None)

    with pytest.raises(Impossible, match="closed length is not known"):
        full_travel(unknown, "rear", "bump")
