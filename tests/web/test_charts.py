"""Charts as the server writes them: the points they carry, where they are cut off, what they say to the blind."""

from __future__ import annotations

import html
import json
import re

import numpy as np
import pytest

from jounce.behaviour.road.feel import SWEEP
from jounce.web.case_cache import case_of
from jounce.web.charts.chart import Chart, ChartAxis, ChartLine, drawn
from jounce.web.charts.corner_curves import DRAWN, corner_charts
from jounce.web.charts.travel_curves import TRAVEL, springing
from jounce.web.picture.standing import as_planned
from tests.workbench import demo_text

X = np.array([0.0, 1.0, 2.0, 3.0])
OVER = ChartAxis("travel", "mm", 1, "+ bump")


def carried(text: str) -> dict[str, object]:
    found = re.search(r'data-chart="([^"]*)"', text)
    assert found is not None
    return dict(json.loads(html.unescape(found[1])))


def one(y: np.ndarray, ceiling: float = np.inf) -> str:  # type: ignore[type-arg]
    return str(
        drawn(Chart(ChartAxis('rate <b>"', "N/mm", 2), OVER, X, [ChartLine("as found", y, look=0)], "", ceiling))
    )


def test_a_chart_carries_its_points_and_a_gap_stays_a_gap() -> None:
    text = one(np.array([1.0, np.nan, 2.123456, 3.0]))

    assert carried(text)["lines"] == [{"name": "as found", "look": 0, "y": [1.0, None, 2.1235, 3.0]}]
    assert "nan" not in text.lower()
    path = re.findall(r' d="([^"]*)"', text)[0]
    assert re.findall(r"[ML]", path) == ["M", "M", "L"]  # the first point stands alone
    assert "<b>" not in text


def test_what_lies_above_the_ceiling_is_cut_off_and_still_carried() -> None:
    low, high = carried(one(np.array([1.0, 1.0, 50.0, 100.0]), ceiling=4.0))["heights"]  # type: ignore[misc]

    assert high == 4.0
    assert low < 1.0
    assert carried(one(np.array([1.0, 1.0, 50.0, 100.0]), ceiling=4.0))["lines"][0]["y"][-1] == 100.0  # type: ignore[index]


def test_a_chart_of_nothing_is_drawn_all_the_same() -> None:
    assert "nowhere known" in one(np.full(4, np.nan))


def test_rates_over_travel_meet_those_where_the_car_stands() -> None:
    case = case_of(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml"))
    for state, axles in zip(("found", "planned"), as_planned(case.plan), strict=True):
        for axle in axles:
            told, middle = springing(axle), len(TRAVEL) // 2
            row = case.row(f"{axle.model.name}.left.wheel_rate")
            assert told["left_wheel_rate"][middle] == pytest.approx(getattr(row, state), rel=1e-9)
            load = told["left_load"]
            # the load's slope by the wheel's own rise on the road is the rate: both by virtual work, one differenced
            slope = (load[middle + 1] - load[middle - 1]) / (TRAVEL[middle + 1] - TRAVEL[middle - 1])
            assert slope == pytest.approx(told["left_wheel_rate"][middle], rel=0.02)  # travel is at the wheel's centre


def test_both_turns_are_charted_from_the_sweep_that_the_table_is_read_from() -> None:
    texts = demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml")
    states = case_of(*texts).states
    sweeps = {state.title: state.sweep for state in states}
    charts = [carried(str(text)) for text in corner_charts(sweeps, "metric")]

    assert [chart["title"]["name"] for chart in charts] == [drawn_.title for drawn_ in DRAWN]  # type: ignore[index]
    roll = charts[0]
    assert len(roll["x"]) == len(SWEEP) + 2  # type: ignore[arg-type]
    g = np.array(roll["x"], dtype=float)
    found = np.interp([-0.4, 0.4], g, roll["lines"][0]["y"])  # type: ignore[index]
    feel = states[0].feel
    expected = np.degrees([-feel.right.roll_gradient, feel.left.roll_gradient]) * 0.4 * 9.80665
    # the gradient is the secant to 4 m/s², the chart's point lies a little below it: the curve is nearly straight there
    assert found == pytest.approx(expected, rel=0.01)


def test_a_band_lies_round_its_curve_and_is_told() -> None:
    """Corners of the band there and back; one that reaches beyond the curve widens the picture; told with the curve."""
    y, wide = np.linspace(1.0, 2.0, len(X)), np.full(len(X), 0.25)
    line = ChartLine("as found", y, look=0, band=wide)
    picture = str(drawn(Chart(ChartAxis("camber", "deg", 2), OVER, X, [line], "")))
    corners = re.findall(r'<polygon points="([^"]+)"', picture)[0].split()
    path = re.findall(r'<path d="M([^"]+)"', picture)[0].split(" L")
    ups, downs = corners[: len(X)], corners[: len(X) - 1 : -1]

    assert len(corners) == 2 * len(X)
    for up, down, on in zip(ups, downs, path, strict=True):
        (x, high), (other, low), (here, middle) = (tuple(map(float, re.split("[ ,]", one))) for one in (up, down, on))
        assert x == other == here
        assert high < middle < low
        assert middle - high == pytest.approx(low - middle, abs=0.11)
    assert "as found: 1.00 to 2.00; ± 0.25 at most" in picture
    assert "polygon" not in str(drawn(Chart(ChartAxis("camber", "deg", 2), OVER, X, [ChartLine("as found", y, 0)], "")))
