"""The pages' scripts beside second methods: their pure functions, called once, by the engine that Chromium has too."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from numpy.polynomial.chebyshev import chebval
from playwright._impl._driver import compute_driver_executable
from scipy.spatial.transform import Rotation

from jounce.behaviour.road.attitude import attitude
from tests.house.places import ROOT

STATIC = ROOT / "src" / "jounce" / "web" / "static"
LEVERS = [
    {"key": "height", "low": -0.05, "high": 0.01, "power": 1, "moves": "height", "today": -0.03},
    {"key": "bar", "low": 0.018, "high": 0.026, "power": 4, "moves": "bar", "today": 0.022},
    {"key": "rubber", "low": 0.0, "high": 0.02, "power": 1, "moves": "rubber", "today": 0.0},
]
DEGREES = [[0, 0, 0], [1, 0, 0], [2, 1, 0], [4, 3, 0], [0, 2, 1]]
TERMS = [[3.0, 0.5, -0.25, 0.125, 0.75], [2.5, -1.0, 0.5, 0.25, 0.0]]
ADDED = [0.1, 0.2, 0.3, 0.4, 0.5]
FIGURES = [
    {"tables": [{"terms": TERMS[0], "added": {}}], "rubbers": False, "times": None},
    {"tables": [{"terms": one, "added": {"bar": ADDED}} for one in TERMS], "rubbers": True, "times": "bar"},
    {"tables": [], "rubbers": False, "times": None},
]
VALUES = [[-0.03, 0.022, 0.0], [-0.05, 0.026, 0.0], [0.004, 0.0191, 0.011]]
LIMITS = [[1, 2, 3], [None, 2, 3], [1, None, 3], [5, 2, 3]]
SAID = [["up by {0} of {1}", "3.5", "front"], ["front"], ["never said {0}", "v1.2"], ["{2}", 1]]
POSES = [[0.0, 0.0, 0.0], [-35.0, 12000.0, -43000.0], [120.0, -250000.0, 310000.0]]
POINT = [1234.0, -567.0, 890.0]
VIEW = [0.75, 0.42, 0.5, [100.0, 50.0], [400.0, 300.0]]

ASKED = """
globalThis.document = { getElementById: () => ({ dataset: { decimal: "," }, content: { children: [
    { dataset: { text: "up by {0} of {1}" }, textContent: "um {0} von {1} höher" },
] } }) };
const { told, judged } = await import("./live_table.js");
const { standing, stood, View } = await import("./picture_space.js");
const { in_words, learnt, number_told } = await import("./words.js");
const asked = JSON.parse(process.argv[2]);
learnt({ front: "vorn" });
const view = new View(...asked.view);
console.log(JSON.stringify({
    told: asked.values.map((values) => told(asked.tables, values)),
    judged: asked.limits.map(([value, least, most]) => judged({ code: "X", least, most }, value)),
    stood: asked.poses.map((pose) => stood(standing(pose), ...asked.point)),
    seen: asked.poses.map((pose) => [...view.of(standing(pose))]),
    at: view.at(...asked.point),
    said: asked.said.map((words) => in_words(...words)),
    numbers: [-0.04, -1.26, 2, 0.05].map((value) => number_told(value, 1)),
}));
"""


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    folder: Path = tmp_path_factory.mktemp("scripts")
    for script in STATIC.glob("*.js"):
        shutil.copy(script, folder)
    (folder / "package.json").write_text('{"type": "module"}', "utf-8")
    (folder / "asked.js").write_text(ASKED, "utf-8")
    tables = {"levers": LEVERS, "degrees": DEGREES, "figures": FIGURES}
    asked = {"tables": tables, "values": VALUES, "limits": LIMITS, "poses": POSES, "said": SAID}
    node, _ = compute_driver_executable()
    words = [node, str(folder / "asked.js"), json.dumps({**asked, "point": POINT, "view": VIEW})]
    return json.loads(subprocess.run(words, check=True, capture_output=True, text=True).stdout)  # noqa: S603


def shares(values):
    """Where levers stand between their ends, -1 to 1, by the power that is even for them."""
    ends = [[one[end] ** one["power"] for end in ("low", "high")] for one in LEVERS]
    powers = [value ** one["power"] for value, one in zip(values, LEVERS, strict=True)]
    return [2 * (p - low) / (high - low) - 1 for p, (low, high) in zip(powers, ends, strict=True)]


def test_a_table_of_the_hand_is_the_chebyshev_series_that_numpy_sums(answers):
    for values, told in zip(VALUES, answers["told"], strict=True):
        x = shares(values)
        products = [np.prod([chebval(x[k], np.eye(5)[d]) for k, d in enumerate(row)]) for row in DEGREES]
        sums = [float(np.dot(one, products)) for one in TERMS]

        assert told[0] == pytest.approx(sums[0], rel=1e-12)
        if values[2] == LEVERS[2]["today"]:
            assert told[1] == pytest.approx((min(sums) + chebval(x[1], ADDED)) * values[1], rel=1e-12)


def test_a_figure_of_rubber_waits_while_the_rubber_is_moved_and_one_without_tables_always(answers):
    assert answers["told"][2][1] is None
    assert [told[2] for told in answers["told"]] == [None, None, None]


def test_a_figure_is_judged_by_both_limits(answers):
    assert answers["judged"] == ["fails", "", "passes", "fails"]


def test_a_body_stands_over_the_road_as_the_calculation_has_it(answers):
    for (heave, pitch, roll), stood in zip(POSES, answers["stood"], strict=True):
        body = attitude(np.array([heave]), np.array([pitch / 1e6]), np.array([roll / 1e6]))

        assert stood == pytest.approx(body.turned(np.array([POINT]))[0] + np.array([0, 0, heave]), rel=1e-12)
        turned = Rotation.from_euler("YX", [pitch / 1e6, roll / 1e6]).apply(POINT)
        assert stood == pytest.approx(turned + np.array([0, 0, heave]), rel=1e-12)


def test_a_view_keeps_lengths_and_angles_and_sees_every_body_where_it_stands(answers):
    turn, tilt, size, middle, centre = VIEW
    seen_from = Rotation.from_euler("ZX", [-turn, tilt])  # about the upright, then about its own axis across
    right, near, up = seen_from.apply([[-1, 0, 0], [0, 1, 0], [0, 0, 1]])
    for stood, seen in zip(answers["stood"], answers["seen"], strict=True):
        matrix = np.reshape(seen, (3, 4))
        across, down, towards = matrix[:, :3] @ POINT + matrix[:, 3]

        assert matrix[:, :3] @ matrix[:, :3].T == pytest.approx(size**2 * np.eye(3), abs=1e-12)
        assert across == pytest.approx(size * (right @ stood - middle[0]) + centre[0], rel=1e-9)
        assert down == pytest.approx(centre[1] - size * (up @ stood - middle[1]), rel=1e-9)
        assert towards == pytest.approx(size * near @ stood, rel=1e-9)


def test_scripts_say_the_houses_words_with_its_decimal_sign(answers):
    assert answers["said"] == ["um 3,5 von front höher", "vorn", "never said v1.2", "{2}"]


def test_numbers_have_a_true_minus_and_nothing_is_never_below_nothing(answers):
    assert answers["numbers"] == ["0,0", "−1,3", "2,0", "0,1"]
