"""Points near a tyre, low points, hoses and joints on the walk round a car: typed in fields, kept, changed, taken out."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from jounce.car.file.reading import parse_car, read_toml
from jounce.measuring.known import known_of, progress_of, walked
from jounce.measuring.named_points import NAMED, named_items
from jounce.measuring.walk import steps_of
from jounce.measuring.writing import Given, changed_text
from tests.workbench import Answer, Workbench, asked, demo_book, demo_text, serving

OWN = demo_text("comfrey-20.toml")
NONE = demo_text("brisk-14.toml")


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Workbench]:
    book, car, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def post(bench: Workbench, step: str, **form: str) -> Answer:
    number = str(bench.book.entry(bench.car).number)
    return asked(bench.port, f"/cars/{bench.car}/measure/{step}", {"number": number} | form)


def document(bench: Workbench):
    return parse_car(bench.book.entry(bench.car).content, "")


def with_readings(text: str, readings: dict[str, str], units: str = "metric") -> str:
    given = {
        key: Given((value,), "3" if units == "metric" and value else "", "tape") for key, value in readings.items()
    }
    return changed_text(text, given, steps_of(parse_car(text, "")), units)


def test_every_named_thing_of_a_demo_car_is_known_with_where_it_came_from():
    car = parse_car(OWN, "")
    known = known_of(car)

    rail = car.near["chassis_rail"].at
    assert [known[f"near.chassis_rail.{part}"].value for part in ("back", "left", "up")] == [-rail.x, rail.y, rail.z]
    assert known["near.chassis_rail.up"].origin == "tape, wheel off"
    assert known["hose.front.wheel_up"].value == car.hose["front"].wheel_end.z
    assert known["joint.lower_ball_joint.max_angle"].value == car.joint["lower_ball_joint"].max_angle.value
    keys = {item.key for kind in NAMED for item in named_items(car, (kind,))}
    assert {key for key in known if key.split(".")[0] in NAMED} <= keys


def test_all_of_a_car_typed_anew_is_the_same_car():
    """Its own readings through the fields of another car that has none of them: the same points, in mm and in inches."""
    car = parse_car(OWN, "")
    readings, words = {}, {}
    for kind in NAMED:
        for name, one in getattr(car, kind).items():
            words |= {f"{kind}.{name}.{key}": getattr(one, key) for key, *_ in NAMED[kind].words}
    readings = {key: one.value for key, one in known_of(car).items() if key.split(".")[0] in NAMED}
    for units, factor in (("metric", 1e3), ("inch", 1e3 / 25.4)):
        text = OWN
        for kind in NAMED:
            for name in getattr(car, kind):
                text = re.sub(rf"\[{kind}\.{name}\]\n(?:[a-z_]+ = .*\n)+", "", text)
        bare = parse_car(text, "")
        assert not any(getattr(bare, kind) for kind in NAMED)
        typed = {
            key: str(value * (57.29577951308232 if key.endswith("max_angle") else factor))
            for key, value in readings.items()
        }
        given = {key: Given((value,), "", "tape") for key, value in (typed | words).items()}
        again = parse_car(changed_text(text, given, steps_of(car), units), "")
        for kind in NAMED:
            for name, one in getattr(car, kind).items():
                other = getattr(again, kind)[name]
                for key in NAMED[kind].points:
                    assert getattr(other, key).distance(getattr(one, key)) < 2e-5
                for key, *_ in NAMED[kind].words:
                    assert getattr(other, key) == getattr(one, key)
        assert again.hose["front"].length.value == pytest.approx(car.hose["front"].length.value, abs=1e-6)


def test_a_point_is_typed_in_fields_and_its_check_answers(bench: Workbench) -> None:
    page = asked(bench.port, f"/cars/{bench.car}/measure/clear").text
    assert 'name="near.front_arch.up"' in page
    place = {"near.front_arch.back": "60", "near.front_arch.left": "655", "near.front_arch.up": "570"}
    assert post(bench, "clear", **place, **{"near.front_arch.wheel": "front"}).status == 303
    point = document(bench).near["front_arch"]

    assert (point.wheel, point.on) == ("front", "body")
    assert point.at.xyz == pytest.approx([-0.06, 0.655, 0.57])
    assert (point.at.plus_minus, point.at.origin) == (pytest.approx(0.003), "tape")
    page = asked(bench.port, f"/cars/{bench.car}/measure/clear").text
    assert re.search(r'name="near.front_arch.left" value="655"', page)
    assert '<option selected value="front">front</option>' in page
    assert "front arch" in html.unescape(asked(bench.port, f"/jobs/{bench.job}/fits").text)
    moved = place | {"near.front_arch.up": "580", "near.front_arch.wheel": "front", "near.front_arch.on": "body"}
    assert post(bench, "clear", **moved).status == 303
    assert document(bench).near["front_arch"].at.xyz == pytest.approx([-0.06, 0.655, 0.58])


def test_what_is_missing_is_told_at_its_field_and_nothing_is_lost(bench: Workbench) -> None:
    before = bench.book.entry(bench.car).content
    answer = post(bench, "clear", **{"low.sump.back": "20", "low.sump.up": "160"})

    assert answer.status == 422
    assert re.search(r'id="low.sump.left-wrong">[^<]*needs all of its numbers', answer.text)
    assert 'name="low.sump.up" value="160"' in answer.text
    hose = {
        f"hose.front_hose.{end}_{part}": n
        for end in ("body", "wheel")
        for part, n in zip(("back", "left", "up"), ("0", "500", "400"), strict=True)
    }
    unsaid = post(bench, "hoses", **hose, **{"hose.front_hose.length": "300"})
    assert unsaid.status == 422
    assert "It is not told of which axle" in unsaid.text
    joint = post(bench, "hoses", **{"joint.lower_joint.max_angle": "25", "joint.lower_joint.axle": "front"})
    assert joint.status == 422
    assert "which joint or rod" in joint.text
    assert bench.book.entry(bench.car).content == before


def test_one_that_is_emptied_is_taken_out():
    text = with_readings(OWN, {f"low.sump.{part}": "" for part in ("back", "left", "up")})
    assert "sump" not in parse_car(text, "").low
    assert "link_bracket" in parse_car(text, "").low
    one = with_readings(OWN, {"low.sump.up": "150"})
    assert parse_car(one, "").low["sump"].at.xyz == pytest.approx([0.12, 0.04, 0.15])
    assert read_toml(one, "")["near"] == read_toml(OWN, "")["near"]


def test_a_car_with_points_of_its_own_is_offered_one_more_of_each():
    car = parse_car(OWN, "")
    names = {item.key.split(".")[1] for item in named_items(car, ("near",))}

    assert names == {*car.near, "near_1"}
    assert {item.key.split(".")[1] for item in named_items(parse_car(NONE, ""), ("near",))} == set(NAMED["near"].usual)


def test_such_steps_are_for_single_answers_only():
    car = parse_car(NONE, "")

    assert progress_of(car)["clear"][0] == 0
    assert {step.word for step in steps_of(car) if step.optional} == {"checks", "clear", "hoses", "aboard"}
    assert walked(car)[1] == sum(
        n for word, (_, n) in progress_of(car).items() if word not in {"checks", "clear", "hoses", "aboard"}
    )
