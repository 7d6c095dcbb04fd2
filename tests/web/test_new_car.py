"""A car of one's own: begun as a copy of another one, all of it assumed, and measured step by step."""

from __future__ import annotations

import re
import tomllib
from itertools import cycle

import numpy as np
import pytest

from jounce.behaviour.axle.static import axle_sits
from jounce.behaviour.bands import bands
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import MeasuredPoint
from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.conventions.axes import ENDS, End
from jounce.conventions.units import to_display
from jounce.layouts.catalogue import LAYOUTS
from jounce.measuring.beginning import axles_like, begun_like
from jounce.measuring.copying import as_assumed
from jounce.measuring.known import Known, known_of, point_shown, progress_of, walked
from jounce.measuring.walk import steps_of
from jounce.measuring.writing import Given, changed_text
from tests.web.test_shop import asked_bytes, words_of
from tests.workbench import Workbench, asked, demo_text

LIKE_BRISK = {"front": "brisk-14.toml/front", "rear": "brisk-14.toml/rear"}
BRISK = begun_like(*(axles_like(end)[LIKE_BRISK[end]] for end in ENDS))


def begun(workbench: Workbench, name: str = "Grey one") -> str:
    """A new car's entry id."""
    answer = asked(workbench.port, "/cars/from-demo", {"name": name, "year": "1987", **LIKE_BRISK})
    assert answer.status == 303
    found = re.fullmatch(r"/cars/([^/]+)/measure/round\?saved=\1\.1", answer.headers["location"])
    assert found is not None
    return found[1]


def measured(text: str, given: dict[str, Given], units: str = "metric") -> CarDocument:
    document = parse_car(text, "car")
    return parse_car(changed_text(text, given, steps_of(document), units), "changed")


def one(text: str, band: str = "2", origin: str = "tape") -> Given:
    return Given((text,), band, origin)


DEMO = sorted({like.car for end in ENDS for like in axles_like(end).values()})


@pytest.mark.parametrize("name", DEMO)
def test_every_demo_car_can_be_a_beginning_of_which_nothing_counts_as_measured(name: str) -> None:
    document = parse_car(as_assumed(demo_text(name), {End.FRONT: "X 1", End.REAR: "X 1"}), name)
    before = parse_car(demo_text(name), name)
    progress = progress_of(document)

    assert sum(done for done, _ in progress.values()) == 0
    assert 60 < walked(document)[1] < 100
    for key, value in known_of(document).items():
        was = known_of(before).get(key)
        if isinstance(value, Known) and isinstance(was, Known) and not key.endswith("_plus_minus"):
            assert value.value == pytest.approx(was.value, rel=1e-9), key


def test_every_layout_can_be_chosen_behind_and_every_one_that_steers_in_front() -> None:
    chosen = {end: {getattr(like.document, like.at).layout for like in axles_like(end).values()} for end in ENDS}

    assert chosen[End.REAR] == {*LAYOUTS, "linkage"}
    assert chosen[End.FRONT] == {layout.name for layout in LAYOUTS.values() if layout.steered}


def test_any_front_axle_goes_with_any_rear_axle_and_the_car_stands() -> None:
    fronts, rears = (list(axles_like(end).values()) for end in ENDS)
    for front, rear in zip(cycle(fronts), rears, strict=False):
        document = parse_car(begun_like(front, rear), f"{front.key} {rear.key}")
        state = Case(document).found
        frequencies = [
            axle_sits(model, state.places[model.name]).wheels["left"].ride_frequency for model in state.models
        ]

        assert sum(done for done, _ in progress_of(document).values()) == 0
        assert 1.1 < frequencies[0] < 1.5, front.key  # of cars like these; common practice, no source
        assert 1.3 < frequencies[1] < 1.8, rear.key


def test_an_axle_moved_to_the_other_end_stays_as_it_is() -> None:
    like = axles_like(End.REAR)["comfrey-20.toml/front"]
    document = parse_car(begun_like(axles_like(End.FRONT)["brisk-14.toml/front"], like), "moved")
    was, now = like.document.front.left.pivots, document.rear.left.pivots

    for name in type(now).model_fields:
        if (point := getattr(now, name)) is not None:
            there, old = np.array(point.xyz), np.array(getattr(was, name).xyz)
            assert there - np.array(now.wheel_centre.xyz) == pytest.approx(old - np.array(was.wheel_centre.xyz)), name
    assert now.wheel_centre.x == pytest.approx(-2.38)  # as the rear wheels of the car that the front axle is of
    assert document.mass.rear_left.origin == document.mass.front_left.origin == "assumed, as Brisk 14"
    assert now.lower_ball.origin == "assumed, as Comfrey 20"


def test_a_new_car_tells_of_every_number_that_it_is_assumed(workbench: Workbench) -> None:
    car = begun(workbench)
    text = asked(workbench.port, f"/cars/{car}").text
    assert "0 of 69 numbers of the list were measured on this car" in text
    assert text.count("assumed, as Brisk 14") > 60
    written = tomllib.loads(workbench.book.entry(car).content)
    assert written["car"]["name"] == "Grey one"
    assert written["car"]["year"] == 1987
    assert {"interfaces", "limits"} & set(written) == set()
    assert "splines_arm" not in written["front"]["torsion_bar"]
    assert written["mass"]["front_left"] == {"value": "290 kg", "plus_minus": "14 kg", "from": "assumed, as Brisk 14"}


def test_the_beginning_is_refused_beside_the_field_and_keeps_what_was_typed(workbench: Workbench) -> None:
    answer = asked(workbench.port, "/cars/from-demo", {"name": "", "front": "comfrey-20.toml/front", "year": "soon"})
    assert answer.status == 422
    assert "Give the name under which the workshop will know it." in answer.text
    assert "A year is a number like 1987." in answer.text
    assert 'value="soon"' in answer.text
    assert "Choose the one that is laid out most like it." in answer.text
    assert re.findall(r'value="([^"]+)" required checked', answer.text) == ["comfrey-20.toml/front"]


def test_what_the_tape_says_goes_where_it_belongs(workbench: Workbench) -> None:
    car = begun(workbench)
    form = {
        "number": "1",
        "wheelbase": "2400",
        "wheelbase~band": "3",
        "wheelbase~from": "tape",
        "front.track": "1400",
        "front.wheel.loaded_radius": "270",
        "heights.rear_left": "13,5 in",
        "then": "scales",
    }
    answer = asked(workbench.port, f"/cars/{car}/measure/round", form)
    assert answer.headers["location"].startswith(f"/cars/{car}/measure/scales")
    document = parse_car(workbench.book.entry(car).content, "car")
    front, rear = document.front.left.pivots, document.rear.left.pivots

    assert (rear.wheel_centre.x, front.wheel_centre.y) == pytest.approx((-2.4, 0.7))
    assert front.wheel_centre.z == pytest.approx(0.270)
    assert document.front.left.wheel.loaded_radius.value == pytest.approx(0.270)
    assert document.heights.rear_left.value == pytest.approx(0.3429)
    assert document.heights.rear_left.origin == "tape"
    # The rear axle went as a whole, its points were told from its wheel centre.
    assert rear.arm_bush.x == pytest.approx(-1.965 - 0.020)
    assert document.rear.panhard.body_end.x == pytest.approx(-2.4 - 0.020)
    page = asked(workbench.port, f"/cars/{car}/measure/round").text
    assert "4 of 11 here, 4 of 69 in all" in page
    assert 'name="wheelbase" value="2400"' in page
    assert "assumed: 347 mm" in page


def test_a_refusal_stands_beside_the_field_and_nothing_is_lost_or_half_saved(workbench: Workbench) -> None:
    car = begun(workbench)
    form = {"number": "1", "mass.front_left": "3010", "mass.front_right": "three", "mass.rear_left": "190"}
    answer = asked(workbench.port, f"/cars/{car}/measure/scales", form)
    assert answer.status == 422
    assert 'value="three"' in answer.text
    assert 'value="190"' in answer.text
    found = dict(re.findall(r'<p class="wrong" id="([^"]+)-wrong">([^<]+)</p>', answer.text))
    assert "This is not a mass" in found["mass.front_right"]
    assert '<a href="#mass.front_right">scale, front right</a>' in answer.text
    assert workbench.book.entry(car).number == 1
    form["mass.front_right"] = "285"
    answer = asked(workbench.port, f"/cars/{car}/measure/scales", form)
    found = dict(re.findall(r'<p class="wrong" id="([^"]+)-wrong">([^<]+)</p>', answer.text))
    assert "60 to 700 kg" in found["mass.front_left"]
    assert workbench.book.entry(car).number == 1


def test_two_who_measure_the_same_car_do_not_overwrite_each_other(workbench: Workbench) -> None:
    car = begun(workbench)
    asked(workbench.port, f"/cars/{car}/measure/scales", {"number": "1", "mass.front_left": "301"})
    both = asked(workbench.port, f"/cars/{car}/measure/round", {"number": "1", "heights.front_left": "350"})
    assert both.status == 303  # fields of their own go together
    document = parse_car(workbench.book.entry(car).content, "car")
    assert (document.mass.front_left.value, document.heights.front_left.value) == pytest.approx((301.0, 0.35))

    late = asked(workbench.port, f"/cars/{car}/measure/scales", {"number": "1", "mass.front_left": "296"})
    assert late.status == 422  # one field, two readings: a person decides
    assert "301" in late.text
    assert "296" in late.text
    assert parse_car(workbench.book.entry(car).content, "car").mass.front_left.value == pytest.approx(301.0)


def test_a_form_sent_as_it_came_changes_nothing(workbench: Workbench) -> None:
    car = begun(workbench)
    asked(workbench.port, f"/cars/{car}/measure/scales", {"number": "1", "mass.front_left": "301 ± 2"})
    page = asked(workbench.port, f"/cars/{car}/measure/scales").text
    fields = dict(re.findall(r'<input id="[^"]+" name="([^"]+)" value="([^"]*)"', page))
    assert (fields["mass.front_left"], fields["mass.front_left~band"]) == ("301", "2")
    answer = asked(workbench.port, f"/cars/{car}/measure/scales", fields | {"number": "2"})
    assert answer.status == 303
    assert workbench.book.entry(car).number == 2


@pytest.mark.parametrize("units", ["metric", "inch", "kgf"])
def test_a_number_comes_back_as_it_was_typed_in_any_units(units: str) -> None:
    typed = {"metric": "22.5", "inch": "0.886", "kgf": "22.5"}[units]
    document = measured(BRISK, {"front.torsion_bar.diameter": one(typed, "0.01")}, units)
    found = known_of(document)["front.torsion_bar.diameter"]
    assert isinstance(found, Known)
    assert found.measured
    assert found.value == pytest.approx(float(typed) * (0.0254 if units == "inch" else 1e-3))


def test_a_pivot_of_the_rear_axle_counts_from_its_wheel_centre() -> None:
    document = measured(BRISK, {"rear.pivots.spring_upper": Given(("10", "507", "503"), "1.5", "tape")})
    point = document.rear.left.pivots.spring_upper
    assert (point.x, point.y, point.z) == pytest.approx((-2.370, 0.507, 0.503))
    assert point.plus_minus == pytest.approx(0.0015)
    assert document.rear.right.pivots.spring_upper.y == pytest.approx(-0.507)
    assert progress_of(document)["rear-pivots"] == (1, 8)


def test_the_lever_moves_the_arm_s_axis_as_it_lies() -> None:
    document = measured(BRISK, {"front.lever": one("350")})
    pivots = document.front.left.pivots
    assert pivots.wheel_centre.y - (pivots.arm_front.y + pivots.arm_rear.y) / 2 == pytest.approx(0.350)
    assert pivots.arm_front.z == pytest.approx(0.212)
    assert progress_of(document)["springs"][0] == 1


def test_an_axle_on_a_weighbridge_is_halved_and_less_sure() -> None:
    document = measured(
        BRISK, {"axle_load.front": one("590", "10", "scales"), "axle_load.rear": one("366", "10", "scales")}
    )
    assert document.mass.front_left.value == document.mass.front_right.value == 295.0
    assert document.mass.front_left.plus_minus == pytest.approx(0.02 * 590)


def test_a_coil_by_its_sizes_needs_no_assumed_rate() -> None:
    sizes = {"wire": one("11"), "outer_diameter": one("118"), "active_turns": one("5.5")}
    document = measured(BRISK, {f"rear.spring.{key}": value for key, value in sizes.items()})
    spring = document.rear.left.spring
    assert spring.rate is None
    # G d⁴ / (8 D³ n), steel of the file's own modulus
    expected = spring.shear_modulus.value * 0.011**4 / (8 * 0.107**3 * 5.5)
    assert float(spring.first_rate) == pytest.approx(expected)


def test_a_point_needs_all_of_its_coordinates(workbench: Workbench) -> None:
    car = begun(workbench)
    key = "front.pivots.ball_joint"
    form = {"number": "1", f"{key}~x": "5", f"{key}~y": "650", f"{key}~z": ""}
    answer = asked(workbench.port, f"/cars/{car}/measure/front-pivots", form)
    assert answer.status == 422
    assert "A point needs three coordinates" in answer.text
    assert 'value="650"' in answer.text


def test_a_measurement_can_be_taken_back(workbench: Workbench) -> None:
    car = begun(workbench)
    asked(workbench.port, f"/cars/{car}/measure/scales", {"number": "1", "mass.front_left": "301"})
    asked(workbench.port, f"/cars/{car}/measure/scales", {"number": "2", "mass.front_left": ""})
    mass = parse_car(workbench.book.entry(car).content, "car").mass.front_left
    assert (mass.value, mass.origin) == (301.0, "assumed: a measurement that was taken back")


def test_a_gap_leads_to_the_field_that_fills_it(workbench: Workbench) -> None:
    car = begun(workbench)
    text = asked(workbench.port, f"/cars/{car}").text
    address = f"/cars/{car}/measure/round#limits.ground_clearance"
    assert f'<a href="{address}">lowest point above the road, on level pads</a>' in text
    assert 'id="limits.ground_clearance"' in asked(workbench.port, f"/cars/{car}/measure/round").text


def test_the_bands_shrink_as_more_is_measured() -> None:
    before = parse_car(BRISK, "car")
    after = measured(BRISK, {"front.torsion_bar.diameter": one("21", "0.05"), "front.lever": one("345", "1")})
    wide, narrow = (bands(car)["front.left.wheel_rate"].plus_minus for car in (before, after))
    assert narrow < 0.7 * wide


def test_a_car_that_cannot_be_put_together_says_so_and_leads_back_to_its_numbers(workbench: Workbench) -> None:
    car = begun(workbench)
    key = "front.pivots.ball_joint"
    form = {"number": "1", f"{key}~x": "900", f"{key}~y": "600", f"{key}~z": "1500"}
    assert asked(workbench.port, f"/cars/{car}/measure/front-pivots", form).status == 303
    answer = asked(workbench.port, f"/cars/{car}")
    assert answer.status == 422
    assert "With these numbers the car cannot be put together." in answer.text
    assert f'href="/cars/{car}/measure"' in answer.text
    assert "Traceback" not in answer.text
    assert asked(workbench.port, f"/cars/{car}/measure/front-pivots").status == 200


def test_a_sheet_of_an_assumed_car_says_that_it_is_a_guess(workbench: Workbench) -> None:
    car = begun(workbench)
    text = words_of(asked_bytes(workbench.port, f"/cars/{car}/sheet.pdf?kind=answer"))
    assert "numbers of this car were not measured on it but taken over from another one" in text
    measured_car = words_of(asked_bytes(workbench.port, f"/cars/{workbench.car}/sheet.pdf?kind=answer"))
    assert "taken over from another one" not in measured_car


def test_a_car_that_was_put_in_can_be_taken_out_again_at_once(workbench: Workbench) -> None:
    answer = asked(workbench.port, "/cars/from-demo", {"name": "By mistake", **LIKE_BRISK})
    reached = asked(workbench.port, answer.headers["location"]).text
    car = re.findall(r"/cars/([^/]+)/", answer.headers["location"])[0]

    assert "By mistake was put in the book." in reached
    assert f'action="/entries/{car}/undo"' in reached
    asked(workbench.port, f"/entries/{car}/undo", {"number": "1"})
    assert workbench.book.entry(car).removed


@pytest.mark.sweep
@pytest.mark.parametrize(
    ("front", "rear"),
    list(zip(cycle(axles_like(End.FRONT)), axles_like(End.REAR), strict=False)),
    ids=lambda key: key.replace(".toml/", "-"),
)
def test_every_reading_of_the_walk_is_taken_on_every_layout(front: str, rear: str) -> None:
    text = begun_like(axles_like(End.FRONT)[front], axles_like(End.REAR)[rear])
    document = parse_car(text, "car")
    known = known_of(document)
    for step in steps_of(document):
        given, wanted = {}, {}
        for item in step.items:
            was = known.get(item.key)
            if item.kind is None or not isinstance(was, Known):
                continue
            wanted[item.key] = 1.003 * was.value
            given[item.key] = one(f"{to_display(wanted[item.key], item.kind):.6g}", "")
        for point in step.points:
            at = known[point.key]
            assert isinstance(at, MeasuredPoint)
            shown = point_shown(at, known[f"{step.axle}.pivots.wheel_centre"], "metric")
            given[point.key] = Given(tuple(f"{float(part) + 1:g}" for part in shown), "1", "tape")
        after = known_of(parse_car(changed_text(text, given, steps_of(document), "metric"), "changed"))

        for key, value in wanted.items():
            assert after[key].value == pytest.approx(value, rel=1e-4), key
            assert after[key].measured, key
        for point in step.points:
            assert after[point.key].origin.startswith("tape"), point.key
