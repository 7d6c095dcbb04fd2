"""What a sentence names is put on the car for the length of the question, and on nothing that is kept."""

import pytest

from jounce.asked.amounts import told_in
from jounce.asked.answer import answered
from jounce.asked.passing import passing_case, understood_as
from jounce.car.file.reading import parse_car, read_car
from jounce.case.case import Case, case_of_file
from jounce.conventions.errors import InputError
from jounce.wanted.counter.how_low import checks_of_room, held_at
from tests.asked.demo import DEMO


@pytest.fixture(scope="module")
def car():
    return Case(read_car(DEMO / "brisk-14.toml"))


@pytest.fixture(scope="module")
def job():
    return case_of_file(DEMO / "brisk-14-lower.toml")


def change_of(case, kind, text):
    return passing_case(case, kind, told_in(text)).change_list.change


def test_a_rear_bar_is_the_one_inside_the_beam_and_its_other_sizes_stay(car, job):
    for case in (car, job):
        change = change_of(case, "anti-roll-bar", "what does a 20 mm rear arb do")
        assert change.rear.inner_bar.diameter.value == pytest.approx(0.020)
        assert change.rear.inner_bar.active_length.value == pytest.approx(1.100)
    assert job.change_list.change.rear.inner_bar.diameter.value == pytest.approx(0.019)


def test_a_front_bar_keeps_its_shape(car):
    bar = change_of(car, "anti-roll-bar", "22 mm anti-roll bar at the front").front.roll_bar
    had = car.car.front.left.roll_bar
    assert bar.diameter.value == pytest.approx(0.022)
    assert (bar.arm_end, bar.bush, bar.link_on) == (had.arm_end, had.bush, had.link_on)


def test_it_is_asked_which_axle_where_both_have_a_bar(car):
    with pytest.raises(InputError, match="which anti-roll bar"):
        change_of(car, "anti-roll-bar", "what does a 20 mm anti-roll bar do")


def test_people_and_luggage_ride_where_the_car_has_places_for_them(car):
    text = "does it bottom with three people and 60 kg in the boot"
    aboard = dict(change_of(car, "bottoming", text).mass)
    assert {name: one.mass.value for name, one in aboard.items()} == {
        "aboard_passenger": pytest.approx(75),
        "aboard_rear_seat": pytest.approx(75),
        "aboard_boot": pytest.approx(60),
    }
    assert aboard["aboard_boot"].at.x == pytest.approx(car.car.places["boot"].at.x)
    assert "60.0 kg at boot" in understood_as(car, "bottoming", told_in(text), "metric")
    assert not dict(change_of(car, "price", text).mass)


def test_other_tyres_are_put_on_the_axles_that_are_named(car, job):
    for case in (car, job):
        change = change_of(case, "rub", "195/50 R15 at the rear, 40 lower")
        assert change.front.wheel is None
        assert change.rear.wheel.tyre == "195/50 R15"
        # the tables print 577 and 562 mm for the two sizes
        larger = change.rear.wheel.loaded_radius.value - car.car.rear.left.wheel.loaded_radius.value
        assert larger == pytest.approx((0.577 - 0.562) / 2)


def test_smaller_tyres_bring_the_body_down_and_the_arch_away(car):
    """By hand: 155/65 R13 is 532 mm outside, 15 mm less radius; the wheels stay where they are on the body."""
    case = passing_case(car, "scrapes", told_in("155/65 R13"))
    room = {one.code: one.value for one in checks_of_room(case, held_at(case, {}))}
    assert room["GND-01"] == pytest.approx(car.car.limits.ground_clearance.value - 0.015, abs=1e-6)
    for axle in ("front", "rear"):
        now, was = (getattr(one, axle).left.clearance.tyre_to_arch.value for one in (case.with_parts, car.car))
        assert now == pytest.approx(was + 0.015)


def test_the_room_at_full_lock_takes_half_of_what_the_tyre_is_wider(car):
    """By hand, held as found: 165/70 R13 is 170 mm wide, 175/70 R13 is 177 mm and 14 mm larger outside."""
    left = {}
    for size in ("165/70 R13", "175/70 R13"):
        case = passing_case(car, "rub", told_in(size))
        left[size] = next(one.value for one in checks_of_room(case, held_at(case, {})) if one.code == "WHL-01")
    assert left["165/70 R13"] == pytest.approx(0.017, abs=1e-6)
    steer = left["165/70 R13"] - left["175/70 R13"]
    assert 0.0035 < steer <= 0.0035 + 0.007 + 1e-6  # the width's half, and at most what the radius grew


def test_another_offset_needs_that_of_the_wheels_that_are_there(car):
    with pytest.raises(InputError, match=r"front\.wheel\.offset"):
        change_of(car, "wheels", "what do wheels of ET 20 change")


def test_a_spacer_moves_the_wheel_out_by_its_thickness_whatever_the_offset_is(car):
    case = passing_case(car, "rub", told_in("schleift es mit 15er Distanzscheiben hinten"))
    now, was = (one.rear.left.pivots.wheel_centre.y for one in (case.with_parts, car.car))
    assert now - was == pytest.approx(0.015)
    assert case.change_list.change.front.wheel is None


def test_a_bar_that_is_taken_off_carries_nothing(car):
    for text in ("can I take the front anti roll bar off", "kann ich den Stabi vorn ausbauen"):
        case = passing_case(car, "anti-roll-bar", told_in(text))
        assert case.row("front.roll_stiffness").planned < 0.9 * case.row("front.roll_stiffness").found
        assert case.row("rear.roll_stiffness").planned == pytest.approx(case.row("rear.roll_stiffness").found, rel=0.01)
        assert "front anti-roll bar off" in understood_as(car, "anti-roll-bar", told_in(text), "metric")


@pytest.fixture(scope="module")
def with_offsets():
    text = (DEMO / "brisk-14.toml").read_text("utf-8")
    for axle in ("front", "rear"):
        text = text.replace(f"[{axle}.wheel]\n", f"[{axle}.wheel]\noffset = 35\n")
    return Case(parse_car(text, "brisk-14"))


def test_a_spacer_takes_its_thickness_off_the_offset(with_offsets):
    change = change_of(with_offsets, "wheels", "what do 20 mm spacers do")
    assert [axle.wheel.offset.value for axle in (change.front, change.rear)] == pytest.approx([0.015, 0.015])
    change = change_of(with_offsets, "wheels", "rear wheels of ET 20")
    assert (change.front.wheel, change.rear.wheel.offset.value) == (None, pytest.approx(0.020))


@pytest.mark.validation_slow
def test_spacers_widen_the_track_by_both_and_the_scrub_radius_by_one(with_offsets):
    told = {one.label: one for one in answered("what do 20 mm spacers do", with_offsets, kind="wheels").numbers}
    # of a beam, whose wheels do not tip as the springs give a little more; of an upright, whose axis stays
    wider, out = told["rear track at the ground"], told["front left scrub radius"]
    assert wider.value - wider.found == pytest.approx(0.040, abs=0.0002)
    assert out.value - out.found == pytest.approx(0.020, abs=0.0002)


@pytest.mark.parametrize(
    ("text", "offset", "spacer", "lower"),
    [
        ("7J ET20", 20, None, None),
        ("offset from 38 to 25", 25, None, None),
        ("ET von 38 auf 25", 25, None, None),
        ("15 mm spacers and 40 lower", None, 15, 40),
        ("Spurplatten 10 mm hinten", None, 10, None),
        ("springs of 20 N/mm", None, None, None),
    ],
)
def test_offsets_and_spacers(text, offset, spacer, lower):
    found = told_in(text)
    told = (found.offset, found.spacer, (found.lower or {}).get("front"))
    assert told == tuple(None if one is None else pytest.approx(one / 1000) for one in (offset, spacer, lower))
