"""Amounts, places and parts in sentences; amounts and units come back as they were written."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.asked.amounts import AmountUnit, told_in
from jounce.asked.wording import spelled
from jounce.conventions.units import Kind, read

LENGTHS = {"mm": "mm", "millimetres": "mm", "mil": "mm", "cm": "cm", "Zentimeter": "cm", "inches": "in", "Zoll": "in"}
PLACES = {"front": ("front", "nose", "vorn"), "rear": ("rear", "back", "hinten")}


@given(number=st.decimals(1, 99, places=1), unit=st.sampled_from(sorted(LENGTHS)))
def test_lengths_come_back_as_the_units_at_the_door_read_them(number, unit):
    (found,) = told_in(f"take {number} {unit} out of it").of(AmountUnit.LENGTH)
    assert found == pytest.approx(read(f"{number} {LENGTHS[unit]}", Kind.LENGTH), rel=1e-12)


@given(number=st.integers(1, 60), unit=st.sampled_from(["N/mm", "lb/in", "kgf/mm"]))
def test_rates_come_back_as_the_units_at_the_door_read_them(number, unit):
    (found,) = told_in(f"springs of {number} {unit}").of(AmountUnit.RATE)
    assert found == pytest.approx(read(f"{number} {unit}", Kind.SPRING_RATE), rel=1e-6)


@given(
    front=st.integers(5, 90),
    rear=st.integers(5, 90),
    f=st.sampled_from(PLACES["front"]),
    r=st.sampled_from(PLACES["rear"]),
)
def test_each_axle_gets_its_own_amount(front, rear, f, r):
    for text in (f"{f} {front} mm lower, {r} {rear} mm lower", f"lower it {front} mm {f} and {rear} mm {r}"):
        found = told_in(text).lower
        assert found == pytest.approx({"front": front / 1000, "rear": rear / 1000})


@given(amount=st.integers(5, 99), decimal=st.booleans())
def test_a_comma_is_a_point(amount, decimal):
    text = f"{amount}{',5' if decimal else ''} mm tiefer"
    assert told_in(text).lower["front"] == pytest.approx((amount + 0.5 * decimal) / 1000)


@pytest.mark.parametrize(
    ("text", "lower"),
    [
        ("go fifty lower on fourteens", (50, 50)),
        ("-40/-20", (40, 20)),
        ("40/30 lower", (40, 30)),
        ("raise the back by 15 mm", (None, -15)),
        ("hinten 20 höher bitte", (None, -20)),
        ("an inch and a half down at the front", (38.1, None)),
        ("fünfundzwanzig Millimeter runter", (25, 25)),
        ("sits 8 mm low, what do I adjust", (-8, -8)),
        ("drop the nose a bit", (10, None)),
        ("front 40 rear 20 mm lower", (40, 20)),
        ("inch and a half lower all round", (38.1, 38.1)),
        ("eineinviertel Zoll runter", (31.75, 31.75)),
        ("a couple of inches off the nose", (50.8, None)),
        ("a 50er drop", (50, 50)),
        ("one point five inches lower, please", (38.1, 38.1)),
        ("zwei Komma fünf Zentimeter tiefer", (25, 25)),
        ("frnt doon twa inch", (50.8, None)),
        ("fuffzich tiefer", (50, 50)),
        ("vorn zwo Zentimeta tiafa", (20, None)),
        ("vorne tiferlegen um 35 milimeter", (35, None)),
        ("hinten 3 cm tiefer und vorne 2", (20, 30)),
        ("R -25, F -40", (40, 25)),
        ("VA 35 HA 25", (35, 25)),
    ],
)
def test_which_way_and_where(text, lower):
    found = told_in(text).lower
    assert found == pytest.approx({k: v / 1000 for k, v in zip(("front", "rear"), lower, strict=True) if v is not None})


@pytest.mark.parametrize(
    ("text", "unit", "values"),
    [
        ("will it rub on 195/45R15", AmountUnit.WHEEL, (15,)),
        ("fifty lower on fourteens", AmountUnit.WHEEL, (14,)),
        ("four people and 60 kg of luggage", AmountUnit.PEOPLE, (4,)),
        ("vier Leute und 60 kg Gepäck", AmountUnit.MASS, (60,)),
        ("I've got 500 quid", AmountUnit.MONEY, (500,)),
        ("für €300", AmountUnit.MONEY, (300,)),
        ("two teeth at the lever", AmountUnit.TEETH, (2,)),
        ("one turn of the tie rod", AmountUnit.TURNS, (1,)),
        ("1.6 Hz behind", AmountUnit.FREQUENCY, (1.6,)),
        ("zweieinhalb Grad Sturz", AmountUnit.ANGLE, (2.5,)),
        ("at 0.8 g", AmountUnit.LATERAL, (0.8,)),
        ("after 500 km", AmountUnit.WAY, (500,)),
    ],
)
def test_what_is_counted(text, unit, values):
    assert told_in(text).of(unit) == values


PARTS = {"half": 0.5, "1/2": 0.5, "quarter": 0.25, "3/4": 0.75, "three quarters": 0.75, "½": 0.5}
MEASURES = {"inch": ("in", 1.0), "turn": (None, 1.0), "Zoll": ("in", 1.0), "cm": ("cm", 1.0)}


@given(whole=st.integers(0, 3), part=st.sampled_from(sorted(PARTS)), measure=st.sampled_from(sorted(MEASURES)))
def test_parts_of_one_are_decimals(whole, part, measure):
    number = f"{whole} {part}" if "/" in part and whole else f"{whole}{part}" if part == "½" and whole else part
    if whole and number == part:
        number = f"{whole} and a {part}"
    symbol, _ = MEASURES[measure]
    unit = AmountUnit.TURNS if symbol is None else AmountUnit.LENGTH
    worth = (PARTS[part] + (whole if number != part else 0)) * (
        1 if symbol is None else read(f"1 {symbol}", Kind.LENGTH)
    )
    assert told_in(f"take {number} {measure} of it").of(unit) == (pytest.approx(worth),)


@given(low=st.integers(5, 40), more=st.integers(1, 40), word=st.sampled_from(["-", " to ", " bis ", " or "]))
def test_of_a_range_the_larger_end_is_taken_and_said(low, more, word):
    found = told_in(f"{low}{word}{low + more} mm lower")
    assert found.lower == pytest.approx({"front": (low + more) / 1000, "rear": (low + more) / 1000})
    assert found.ranges


@given(degrees=st.integers(0, 4), minutes=st.integers(1, 59), sign=st.sampled_from(["", "-"]))
def test_minutes_of_arc_are_parts_of_a_degree(degrees, minutes, sign):
    (found,) = told_in(f"camber of {sign}{degrees}°{minutes}'").of(AmountUnit.ANGLE)
    assert abs(found) == pytest.approx(degrees + minutes / 60, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "lower"),
    [
        ("drop it half an inch at the front", (12.7, None)),
        ("an inch and a quarter down", (31.75, 31.75)),
        ('3/4" lower rear', (None, 19.05)),
        ("lower it by 1.5 in", (38.1, 38.1)),
        ("six and a half cm lower", (65, 65)),
        ("anderthalb Zentimeter tiefer", (15, 15)),
        ("einen halben Zentimeter höher", (-5, -5)),
        ("vorn 40 hinten 30, schleift das?", (40, 30)),
        ("gap is 30 front and 20 rear, will it rub", (None, None)),
    ],
)
def test_heights_as_people_write_them(text, lower):
    found = {k: v / 1000 for k, v in zip(("front", "rear"), lower, strict=True) if v is not None}
    assert told_in(text).lower == (pytest.approx(found) if found else None)


@pytest.mark.parametrize(
    ("text", "unit", "values"),
    [
        ("removed the rear seats, 30 kg", AmountUnit.MASS, (-30,)),
        ("15 kg aus dem Kofferraum", AmountUnit.MASS, (-15,)),
        ("heavier engine, +45 kg", AmountUnit.MASS, (45,)),
        ("100 pounds in the boot", AmountUnit.MASS, (pytest.approx(45.359237),)),
        ("it cost 100 pounds", AmountUnit.MONEY, (100,)),
        ("5 adults aboard", AmountUnit.PEOPLE, (5,)),
        ("two kids in the back", AmountUnit.PASSENGERS, (2,)),
        ("20 Newton pro Millimeter", AmountUnit.RATE, (20_000,)),
    ],
)
def test_masses_people_and_rates(text, unit, values):
    assert told_in(text).of(unit) == values


@pytest.mark.parametrize(
    ("text", "bar", "roll_bar"),
    [
        ("stock bars are 19 mm, what do 24 mm give", 24, None),
        ("24er Drehstäbe und 40 tiefer", 24, None),
        ("what does a 20 mm rear arb do", None, 20),
        ("torsion bars", None, None),
        ("torsion bars .866 inch", 21.9964, None),
        ('7/8" sway bar', None, 22.225),
        ("Stabi 18 auf 22", None, 22),
    ],
)
def test_which_bars(text, bar, roll_bar):
    found = told_in(text)
    assert (found.bar, found.roll_bar) == tuple(
        None if one is None else pytest.approx(one / 1000) for one in (bar, roll_bar)
    )


def test_teeth_for_a_height_are_no_bar_of_that_diameter():
    found = told_in("how many splines do I have to move the front bars for 30 mm")
    assert (found.bar, found.lower) == (None, {"front": pytest.approx(0.030)})
    assert told_in("how many teeth for 24 mm bars").bar == pytest.approx(0.024)


def test_that_no_amount_is_said_is_known():
    assert told_in("will lowering wear my tyres").unsized
    assert not told_in("will lowering it 30 mm wear my tyres").unsized


def test_what_is_put_to_choose_and_what_shall_go():
    assert told_in("which first, bars or springs").either == ("torsion-bar", "spring")
    assert told_in("Dämpfer oder Federn zuerst").either == ("damper", "spring")
    assert "roll-bar" in told_in("can I run it without the anti roll bar").without
    assert told_in("keep the anti roll bar").without == ()


@given(st.text(max_size=500))
def test_no_text_breaks_it(text):
    told_in(text)
    assert len(spelled(text)) <= 4000


@pytest.mark.parametrize(
    ("text", "bar", "roll_bar"),
    [
        ("is a 22 mm rear anti-roll bar much stiffer than the 18", None, 22),
        ("Stabi hinten 20 mm statt 16", None, 20),
        ("statt 19 jetzt 22er Drehstäbe", 22, None),
        ("22 instead of 19 mm torsion bars", 22, None),
        ("swap the torsion bars for one-inch ones", 25.4, None),
        ("tbars of 21", 21, None),
        ("how much more from a 24 front anti-roll bar over the 20", None, 24),
    ],
)
def test_a_bar_that_is_there_is_not_the_one_that_is_wanted(text, bar, roll_bar):
    found = told_in(text)
    assert found.without == ()
    for told, wanted in ((found.bar, bar), (found.roll_bar, roll_bar)):
        assert told == (None if wanted is None else pytest.approx(wanted / 1000))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("half-inch spacers in front", {"spacer": 0.0127}),
        ("Spurplatten ein Zentimeter hinten", {"spacer": 0.010}),
        ("wheels 10 mm further out", {"further_out": 0.010}),
        ("ET35 auf ET25", {"offset": 0.025}),
        ("offset from 35 to 20", {"offset": 0.020}),
        ("statt ET 35 jetzt ET 15", {"offset": 0.015}),
    ],
)
def test_how_far_out_wheels_are_wanted(text, told):
    found = told_in(text)
    assert {
        name: value for name in ("offset", "spacer", "further_out") if (value := getattr(found, name)) is not None
    } == (pytest.approx(told))


@pytest.mark.parametrize(
    ("text", "unit", "count", "person"),
    [
        ("two 15 stone lads in the back", AmountUnit.PASSENGERS, 2, 95.25),
        ("drei Leute je 85 kg", AmountUnit.PEOPLE, 3, 85),
        ("a twelve stone passenger", AmountUnit.PASSENGERS, 1, 76.2),
        ("zu viert in den Urlaub", AmountUnit.PEOPLE, 4, None),
        ("we drive two-up", AmountUnit.PEOPLE, 2, None),
    ],
)
def test_who_rides_and_how_heavy(text, unit, count, person):
    found = told_in(text)
    assert found.of(unit) == (count,)
    assert not found.of(AmountUnit.MASS)
    assert found.person == (None if person is None else pytest.approx(person, abs=0.01))


@pytest.mark.parametrize(
    ("text", "kilograms"),
    [("12 stone of sand", 76.204), ("zwei Zentner Zement", 100), ("11 st 4 in the boot", 71.668)],
)
def test_masses_of_the_house(text, kilograms):
    assert told_in(text).of(AmountUnit.MASS) == pytest.approx((kilograms,), abs=0.001)


def test_a_height_that_is_not_wanted_is_none():
    assert not told_in("I don't want it lowered, just stiffer").unsized
    assert told_in("I want it lowered").unsized
