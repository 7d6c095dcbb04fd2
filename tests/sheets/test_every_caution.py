"""Every caution is there, in its place: what the trade is warned of is not lost by a slip in editing."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest

from jounce.job.wording import cautions_of
from jounce.sheets import cautions as every
from tests.sheets.cases import car_case, job_case

SHEETS = Path(every.__file__).parent

# Topic, words that carry the warning, and who is told: the demo job, its car as found, a car on coils alone, one on leaves.
# Energy,
# stands, heat and cuts, hoses, lamps, approval, torques, bushes and captive springs: common practice, no source.
EXPECTED = (
    ("energy", "throws lever, anchor and adjuster", ""),
    ("energy", "throws its arm when it is let go", "job car"),
    ("energy", "A loaded leaf throws axle, shackle and eye", "leaves"),
    ("energy", "let a beam axle down evenly", "job car leaves"),
    ("energy", "none with open hooks; hoses and cables", "coils"),
    ("energy", "Gas-filled dampers are under pressure", "job car coils leaves"),
    ("energy", "must be held captive; do not drive", ""),
    ("support", "Never under a car that stands on jacks", "job car coils leaves"),
    ("support", "nobody is beside or under the car", "job car coils leaves"),
    ("steel", "No grips, hammer marks, welding, bending, drilling or heat", "job car coils leaves"),
    ("steel", "Torsion bars are handed", "job car"),
    ("steel", "never weld them; threads engaged", "job"),
    ("structure", "Welding and structural work by someone licensed", "job"),
    ("handling", "The rear takes more of the roll than before", "job"),
    ("handling", "Where a bump rubber is met in a corner", "job"),
    ("handling", "steering in bump is a danger on the road", "job car coils leaves"),
    ("brakes", "load-sensing brake valve", "job car coils leaves"),
    ("brakes", "Brake hoses, wheel-speed and handbrake cables", "job car coils leaves"),
    ("driveline", "Drive shafts: angle and plunge", "job car coils leaves"),
    ("driveline", "Exhaust, fuel pipe and sump clear", "job car coils leaves"),
    ("law", "Headlamps are aimed last", "job car coils leaves"),
    ("law", "Changes may need approval", "job car coils leaves"),
    ("law", "Torque figures, thread locking", "job car coils leaves"),
    ("law", "Bonded rubber bushes are tightened", "job car coils leaves"),
    ("tool", "replace no inspection and no road test", "job car coils leaves"),
)
TOPICS = {
    "alignment": ["handling support law tool"],
    "answer_card": ["law tool"],
    "baseline": ["support tool"],
    "corner_weights": ["support energy tool"],
    "hand_over": ["handling energy steel structure brakes driveline law tool"],
    "job_card": ["energy support steel", "structure brakes driveline law", "energy support steel"],
    "proof": ["law tool"],
    "quote_sheet": ["law tool"],
    "re_check": ["support handling brakes law tool"],
    "set_up": ["law tool"],
    "side_by_side": ["law tool"],
    "travel_proof": ["support energy brakes driveline law tool"],
}
ON_EVERY_JOB = (
    "stands rated for it",
    "hold stored energy",
    "must stay captive",
    "rubber bushes with the car at ride height",
    "hoses, cables and drive shafts",
    "load-sensing brake valve; aim the lamps",
    "someone licensed",
    "approval by the authority",
    "do not replace an inspection or a road test",
)


@cache
def cases():
    return {
        "job": job_case(),
        "car": car_case(),
        "coils": car_case("mallow-18.toml"),
        "leaves": car_case("bracken-16.toml"),
    }


def test_there_are_no_other_cautions():
    assert len(every._ALL) == len(EXPECTED)


@pytest.mark.parametrize("expected", EXPECTED, ids=lambda expected: expected[1])
def test_a_caution_is_told_to_whom_it_concerns(expected):
    topic, words, told_to = expected
    (caution,) = [one for one in every._ALL if words in one.text]

    assert caution.topic == topic
    assert " ".join(name for name, case in cases().items() if caution.applies(case)) == told_to
    for name, case in cases().items():
        assert (caution.text in every.cautions(case, (topic,))) == (name in told_to.split())


def test_each_sheet_has_the_cautions_of_its_work():
    found = {}
    for path in sorted(SHEETS.glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "cautions":
                topics = " ".join(getattr(every, name.id) for name in node.args[1].elts)
                found.setdefault(path.stem, []).append((node.lineno, topics))
    assert {name: [topics for _, topics in sorted(rows)] for name, rows in found.items()} == TOPICS


@pytest.mark.parametrize("words", ON_EVERY_JOB)
def test_screen_and_job_sheet_carry_each_caution(words):
    assert words in " ".join(cautions_of(job_case().case.plan))
