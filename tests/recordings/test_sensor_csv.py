"""CSV of sensor recorders: whatever they call their columns, whatever unit their clock has; what cannot be read is told."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import InputError
from jounce.recordings.sensor_csv import parse_recording

TIME = np.arange(0, 2.0, 0.01)
UP = 0.5 * np.sin(2 * np.pi * 1.5 * TIME)


def written(head: str, rows) -> str:
    return "\n".join([head, *rows]) + "\n"


HEADS = {
    "plain": ("time,x,y,z", [f"{t:.3f},0.1,0.2,{a + GRAVITY:.5f}" for t, a in zip(TIME, UP, strict=True)]),
    "named, semicolons, decimal commas": (
        '"Time (s)";"Linear Acceleration x (m/s^2)";"Linear Acceleration y (m/s^2)";"Linear Acceleration z (m/s^2)";"Note"',
        [f"{t:.3f};0,0;0,0;{a:.5f};a".replace(".", ",") for t, a in zip(TIME, UP, strict=True)],
    ),
    "nanoseconds, other sensors, other order": (
        "timestamp_ns,gyro_x,gyro_y,gyro_z,accel_z,accel_y,accel_x",
        [f"{int(t * 1e9) + 10**18},9,9,9,{a + GRAVITY:.5f},0,0" for t, a in zip(TIME, UP, strict=True)],
    ),
    "milliseconds that nobody names": (
        "t,ax,ay,az",
        [f"{t * 1e3:.0f},0,0,{a:.5f}" for t, a in zip(TIME, UP, strict=True)],
    ),
    "dates": (
        "date,acc x,acc y,acc z",
        [f"2026-05-04T10:30:{10 + t:09.6f},0,0,{a:.5f}" for t, a in zip(TIME, UP, strict=True)],
    ),
    "in g": (
        "time [s],x [g],y [g],z [g]",
        [f"{t:.3f},0,0,{a / GRAVITY + 1:.7f}" for t, a in zip(TIME, UP, strict=True)],
    ),
}


@pytest.mark.parametrize("name", HEADS)
def test_time_and_the_way_up_are_found(name):
    recording = parse_recording(written(*HEADS[name]))

    assert recording.rate == pytest.approx(100.0, rel=1e-3)
    assert recording.time == pytest.approx(TIME, abs=2e-6)
    up = recording.vertical
    assert np.abs(up) == pytest.approx(np.abs(UP - UP.mean()), abs=2e-3)


def test_gravity_tells_which_way_is_up():
    lean = np.array([0.3, -0.4, -0.87])
    rows = [
        f"{t:.3f}," + ",".join(f"{v:.6f}" for v in lean / np.linalg.norm(lean) * (a + GRAVITY))
        for t, a in zip(TIME, UP, strict=True)
    ]
    assert parse_recording(written("time,x,y,z", rows)).vertical == pytest.approx(UP - UP.mean(), abs=1e-5)


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "an empty file"),
        ("speed,force\n1,2\n", "three accelerations"),
        (written("time,x,y,z", ["0,0,0,0"] * 3), "too short"),
        (written("time,x,y,z", [f"{k},0,0,zero" for k in range(60)]), '"zero"'),
        (written("time,x,y,z", [f"{k},0,0,nan" for k in range(60)]), '"nan"'),
        (written("time,x,y,z", [f"{k},0" for k in range(60)]), "shorter than the head"),
        (written("time,x,y,z", [f"noon,0,0,{k}" for k in range(60)]), '"noon"'),
        (written("time (s),x,y,z", [f"{0.1 * k},0,0,{k}" for k in range(60)]), "too slow"),
        (written("time (s),x,y,z", [f"{0.01 * k + 0.5 * (k // 10)},0,0,{k}" for k in range(60)]), "gaps"),
        (written("time (s),x,y,z", ["1.0,0,0,1"] * 60), "same moments"),
    ],
)
def test_what_cannot_be_read_is_told_with_what_to_do(text, word):
    with pytest.raises(InputError) as caught:
        parse_recording(text)
    assert word in str(caught.value)
    assert caught.value.todo


@pytest.mark.parametrize(
    ("head", "factor"),
    [
        ("gyro_x (rad/s),gyro_y (rad/s),gyro_z (rad/s),steering (rad)", 1.0),
        ("Gyroscope x (°/s),Gyroscope y (°/s),Gyroscope z (°/s),steering wheel [deg]", np.pi / 180),
        ("gyro_x,gyro_y,gyro_z,steering", np.pi / 180),
    ],
)
def test_turning_and_steering_are_read_where_they_are_there(head, factor):
    told = np.column_stack((10 * UP, 2 * UP, 30 + UP, 90 * UP))
    rows = [f"{t:.3f},0,0,9.81," + ",".join(f"{value:.6f}" for value in row) for t, row in zip(TIME, told, strict=True)]
    recording = parse_recording(written(f"time (s),acc x,acc y,acc z,{head}", rows))

    assert recording.turning == pytest.approx(told[:, :3] * factor, abs=1e-6)
    assert recording.steering == pytest.approx(told[:, 3] * factor, abs=1e-6)
    assert bool(recording.remarks) == ("(" not in head)


def test_turning_with_empty_cells_is_none_and_stops_nothing():
    rows = [f"{t:.3f},0,0,9.81,0.1,,0.1" for t in TIME]
    recording = parse_recording(written("time (s),acc x,acc y,acc z,gyro_x,gyro_y,gyro_z", rows))

    assert recording.turning is None
    assert len(recording.time) == len(TIME)
