"""The readings file: what it says, and what is refused with place and next step."""

from __future__ import annotations

import pytest

from jounce.car.file.inputs import all_inputs
from jounce.conventions.errors import InputError, InputProblems
from jounce.conventions.units import DEG, MM
from jounce.fit.kinds import KINDS
from jounce.fit.readings import ReadingPlace
from jounce.fit.readings_file import parse_readings
from jounce.fit.unknowns import unknowns
from tests.fit.simulated import document

SOUND = """
[measured]
by = "R. Example"

[plus_minus]
"front.torsion_bar.diameter" = "1.5 mm"
front.pivots = 6
rear.spring.rate = "15 %"

[[reading]]
what = "toe"
at = "front left"
bump = -40
value = "0.30 deg ± 0.1 deg"

[[reading]]
what = "toe"
at = "rear right"
value = "2 mm"
across = "365 mm"

[[reading]]
what = "sink"
at = "front"
load = "100 kg"
value = { value = "29 mm", plus_minus = "2 mm", from = "rule, up and down" }

[[reading]]
what = "height"
at = "rear left"
aboard = { boot = "40 kg" }
value = 333

[[reading]]
what = "length"
between = ["front.pivots.tie_rod_inner", "front.pivots.tie_rod_outer"]
value = "310 mm"
"""


def entry(**keys: str) -> str:
    return "[[reading]]\n" + "\n".join(f"{key} = {value}" for key, value in keys.items())


def test_a_file_is_read_as_it_is_written() -> None:
    file = parse_readings(SOUND, "read.toml")
    toe, across, sink, height, length = file.readings

    assert toe.at == ReadingPlace("toe", "front", "left", bump=-40 * MM)
    assert (toe.value, toe.plus_minus) == pytest.approx((0.3 * DEG, 0.1 * DEG))
    assert toe.deviation == pytest.approx(0.05 * DEG)
    assert across.value == pytest.approx(2 / 365, rel=1e-4)
    assert across.plus_minus == KINDS["toe"].usual
    assert (sink.at.load, sink.note) == (100.0, "rule, up and down")
    assert height.at.aboard == (("boot", 40.0),)
    assert length.at.points == ("front.pivots.tie_rod_inner", "front.pivots.tie_rod_outer")
    assert dict(file.wider) == {
        "front.torsion_bar.diameter": "1.5 mm",
        "front.pivots": 6,
        "rear.spring.rate": "15 %",
    }


def test_a_wider_plus_minus_stands_instead_of_the_file_s() -> None:
    file = parse_readings(SOUND, "read.toml")
    wide = {one.path: one for one in unknowns(document(), file.wider)}
    old = {one.path: one for one in all_inputs(document())}

    assert wide["front.torsion_bar.diameter"].plus_minus == pytest.approx(1.5 * MM)
    assert wide["front.pivots.ball_joint.z"].plus_minus == pytest.approx(6 * MM)
    assert wide["rear.pivots.arm_bush.z"].plus_minus == old["rear.pivots.arm_bush.z"].plus_minus
    assert wide["rear.spring.rate"].plus_minus == pytest.approx(0.15 * 17e3)


WRONG = {
    "no word of ours": (entry(what='"tow"', at='"front left"', value="1"), 'Did you mean "toe"'),
    "no wheel": (entry(what='"toe"', at='"front"', value="0.1"), "allowed: front left, front right"),
    "no axle": (entry(what='"sink"', at='"front left"', load="9", value="1"), "allowed: front, rear"),
    "no value": (entry(what='"toe"', at='"front left"'), '"value" is missing'),
    "no load": (entry(what='"sink"', at='"front"', value="1"), '"load" is missing'),
    "unknown key": (entry(what='"toe"', at='"front left"', value="1", bumb="4"), 'Did you mean "bump"'),
    "key of another kind": (entry(what='"scale"', at='"front left"', value="290", bump="4"), 'takes no "bump"'),
    "another unit": (entry(what='"toe"', at='"front left"', value='"3 kg"'), "kg"),
    "too much": (entry(what='"toe"', at='"front left"', value="70"), "out of range"),
    "one pivot": (entry(what='"length"', between='["front.pivots.arm_front"]', value="300"), "not two pivots"),
    "twice the same": (entry(what='"length"', between='["a.b", "a.b"]', value="300"), "Both pivots are one"),
    "nothing of it": (entry(what='"sink"', at='"front"', load="50", value="0"), "no share"),
    "no table": ("reading = 3", "no file of readings"),
    "another file": ("[car]\nname = 'x'", "found car"),
    "no text": (entry(what='"toe"', at="3", value="1"), "not a text"),
    "aboard": (entry(what='"height"', at='"front left"', aboard="3", value="340"), "no table"),
}


@pytest.mark.parametrize(("text", "told"), WRONG.values(), ids=WRONG)
def test_what_is_wrong_is_told_with_its_place(text: str, told: str) -> None:
    with pytest.raises(InputError) as refused:
        parse_readings(text, "read.toml")

    assert told in str(refused.value)
    assert "read.toml" in str(refused.value)


def test_all_that_is_wrong_is_told_at_once() -> None:
    with pytest.raises(InputProblems) as refused:
        parse_readings("\n".join(WRONG[name][0] for name in ("no wheel", "no value")), "read.toml")

    assert [problem.place for problem in refused.value.problems] == ["reading 1", "reading 2"]


@pytest.mark.parametrize(
    ("wider", "told"),
    [
        ({"front.torsion_bar.diametre": "1 mm"}, 'Did you mean "front.torsion_bar.diameter"'),
        ({"front.torsion_bar.diameter": "0 mm"}, "above zero"),
        ({"front.torsion_bar.diameter": "-5 %"}, "no share"),
        ({"front.torsion_bar.diameter": "x %"}, "no share"),
        ({"front.torsion_bar.diameter": "3 kg"}, "kg"),
    ],
)
def test_a_plus_minus_that_cannot_be_is_refused(wider: dict[str, object], told: str) -> None:
    with pytest.raises(InputError, match="plus_minus") as refused:
        unknowns(document(), wider)

    assert told in str(refused.value)
