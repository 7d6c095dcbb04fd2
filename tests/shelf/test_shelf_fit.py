"""What fits: each dimension by itself, at and beyond its bound, and what nobody has measured stays unknown."""

from __future__ import annotations

import pytest

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured
from jounce.car.file.reading import parse_car, read_car
from jounce.car.parts.interfaces import Interfaces
from jounce.conventions.axes import End
from jounce.shelf.fit import FitVerdict, companions, fit, pair_why_not, why_not
from jounce.shelf.fit.comparison import DimensionComparison
from jounce.shelf.fit.reason import Reason
from tests.shelf.shelf_parts import CAR_FILE, demo_car, demo_shelf, part


def car(*pairs: tuple[str, str]) -> CarDocument:
    """The demo car with pieces of its file exchanged."""
    text = CAR_FILE.read_text("utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return parse_car(text, "car")


def bare_car() -> CarDocument:
    """The demo car of which no interface was measured."""
    return parse_car(CAR_FILE.read_text("utf-8").partition("[interfaces.front]")[0], "car")


def told(reasons: tuple[Reason, ...] | list[Reason]) -> dict[str, FitVerdict]:
    """Verdict by the name of the dimension."""
    return {reason.dimension: reason.verdict for reason in reasons}


NO, OPEN = FitVerdict.DOES_NOT_FIT, FitVerdict.UNKNOWN

# One line for each dimension: a part of the demo shelf that fits, its key, a value that does not fit, the dimension.
DIMENSIONS = [
    ("TB-22", "splines_arm = 40", "splines_arm = 42", "splines at the arm"),
    ("TB-22", "splines_anchor = 44", "splines_anchor = 43", "splines at the anchor"),
    ("TB-22", "spline_diameter_arm", 27.5, "spline diameter at the arm"),
    ("TB-22", "spline_diameter_anchor", 28, "spline diameter at the anchor"),
    ("TB-22", "overall_length", 990, "length of the bar"),
    ("C-25-245", "inner_diameter", 95, "inside diameter at the lower end"),
    ("C-25-245", "inner_diameter", 99, "inside diameter at the upper end"),
    ("P-97", "seat_diameter", 99, "seat of the perch"),
    ("DF-330", "body_diameter", 52, "body of the strut"),
    ("DF-330", "upper_size = 14", "upper_size = 12", "bolt of the upper end"),
    ("DR-285", "lower_size = 12", "lower_size = 10", "bolt of the lower end"),
    ("DR-285", "body_diameter", 51, "room for the body"),
    ("TP-18", "studs = 3", "studs = 4", "number of studs"),
    ("TP-18", "stud_circle", 142, "circle of the studs"),
    ("TP-18", "rod_bore", 16, "bore for the damper's stud"),
    ("PR-845", "bolt = 12", "bolt = 14", "bolts of the rod"),
    ("PR-845", "shortest", 855, "shortest length"),
    ("PR-845", "longest", 835, "longest length"),
    ("AF-20", "span", 990, "distance between the links"),
    ("AF-20", "link_bolt = 10", "link_bolt = 12", "bolt of the links"),
    ("AF-20", "bush_bore", 15, "bush in the bracket, smallest"),
    ("AF-20", "bush_bore", 25, "bush in the bracket, largest"),
    ("AR-18", "tube_clamp", 62, "clamps on the tube"),
    ("IB-18", "largest_diameter", 28, "passage through the tube"),
    ("IB-18", "overall_length", 1150, "length of the bar"),
    ("IB-18", "splines = 30", "splines = 32", "splines of the bar"),
    ("L-40-60", "bolt_bar = 10", "bolt_bar = 12", "bolt at the bar"),
    ("L-40-60", "bolt_car = 10", "bolt_car = 12", "bolt at arm, strut or body"),
    ("BU-RA-H", "outer_diameter = 45.1", "outer_diameter = 46", "housing of the bush"),
    ("BU-RA-H", "bore = 14", "bore = 12", "bolt through the bush"),
    ("BJ-20", "bolt = 10", "bolt = 12", "bolts of the ball joint"),
    ("BJ-20", "bolt_spacing", 58, "distance between the bolts"),
    ("TR-16", "stud = 12", "stud = 14", "stud of the tie rod"),
    ("SP-10", "seat_diameter", 101, "seat of the spacer"),
    ("W-13-5", "bolts = 4", "bolts = 5", "number of wheel bolts"),
    ("W-13-5", "bolt_circle = 100", "bolt_circle = 101", "circle of the wheel bolts"),
    ("W-13-5", "centre_bore = 56", "centre_bore = 58", "bore over the hub"),
    ("W-13-5", "rim_diameter", 305, "rim over the brake"),
    ("W-13-5", "tyre_width = 165", "tyre_width = 215", "room for the tyre"),
]


@pytest.mark.parametrize(("code", "key", "value", "dimension"), DIMENSIONS, ids=str)
def test_one_dimension_decides(code: str, key: str, value: float | str, dimension: str) -> None:
    """A part that fits, with this one number changed, does not fit, by this dimension alone (or its other end)."""
    good = demo_shelf().part(code)
    name = key.split(" ", maxsplit=1)[0]
    written = value if isinstance(value, (int, float)) else float(value.split("= ")[1])
    changed = type(good).model_validate(
        {**good.values, name: int(written) if isinstance(getattr(good, name), int) else written}
    )
    wrong = told(why_not(changed, demo_car()))

    assert why_not(good, demo_car()) == ()
    assert wrong[dimension] is NO
    assert fit(changed, demo_car()).verdict is NO
    assert len(wrong) <= 2, wrong


LEAF_CAR = CAR_FILE.with_name("bracken-16.toml")
ON_LEAVES = [
    ("LS-22-93", "width", 0.047, "width of the leaves"),
    ("LS-22-93", "length", 1.135, "length of the leaf"),
    ("LS-22-93", "front_half", 0.537, "front half of the leaf"),
    ("LS-22-93", "centre_bolt", 0.017, "head of the centre bolt"),
    ("LS-22-93", "front_bolt", 0.014, "bolt of the front eye"),
    ("LS-22-93", "rear_bolt", 0.014, "bolt of the rear eye"),
    ("LS-22-93", "eye_width", 0.047, "width of the rear eye"),
    ("SK-85", "bolt", 0.010, "bolts of the shackle"),
    ("SK-85", "width", 0.052, "width between the plates"),
    ("BL-25", "width", 0.060, "width of the leaves"),
    ("BL-25", "centre_bolt", 0.012, "head of the centre bolt"),
]


@pytest.mark.parametrize(("code", "key", "value", "dimension"), ON_LEAVES, ids=str)
def test_one_dimension_decides_on_leaves(code: str, key: str, value: float, dimension: str) -> None:
    good, on_leaves = demo_shelf().part(code), read_car(LEAF_CAR)
    changed = good.model_copy(update={key: Measured(value)})
    bare = on_leaves.model_copy(update={"interfaces": Interfaces()})

    assert why_not(good, on_leaves) == ()
    assert told(why_not(changed, on_leaves)) == {dimension: NO}
    assert told(why_not(good, bare))[dimension] is OPEN
    assert fit(good, demo_car()).verdict is NO  # it has coils


def test_a_shackle_of_any_length_fits_where_the_length_of_those_in_the_car_is_known() -> None:
    car, shackle = read_car(LEAF_CAR), demo_shelf().part("SK-65-105")
    rear = car.interfaces.rear.model_copy(update={"shackle_length": None})
    unknown = car.model_copy(update={"interfaces": car.interfaces.model_copy(update={"rear": rear})})

    assert why_not(shackle, car) == ()
    assert told(why_not(shackle, unknown)) == {"length against those in the car": OPEN}
    assert "interfaces.rear.shackle_length" in why_not(shackle, unknown)[0].todo


def test_a_leaf_and_a_shackle_of_other_bolts_fit_with_one_another() -> None:
    car, thick = read_car(LEAF_CAR), demo_shelf().part("SK-105-14")
    leaf = demo_shelf().part("LS-22-93").model_copy(update={"rear_bolt": Measured(0.014)})

    assert told(why_not(leaf, car)) == {"bolt of the rear eye": NO}
    assert told(why_not(leaf, car, beside=(demo_shelf().part("SK-85"),))) == {"bolt of the rear eye of LS-22-93": NO}
    assert why_not(leaf, car, beside=(thick,)) == ()
    assert told(why_not(demo_shelf().part("SP-10"), car)) == {"place at the axle": NO}


@pytest.mark.parametrize("code", sorted({code for code, *_ in DIMENSIONS}))
def test_what_the_car_does_not_say_is_unknown_and_says_what_to_measure(code: str) -> None:
    one = demo_shelf().part(code)
    reasons = why_not(one, bare_car())

    assert fit(one, bare_car()).verdict is OPEN
    assert {reason.verdict for reason in reasons} == {OPEN}
    assert all("Measure interfaces." in reason.todo for reason in reasons)


def test_splines_of_the_bar_in_the_car_stand_in() -> None:
    bar = demo_shelf().part("TB-22")

    assert "splines at the arm" not in told(why_not(bar, bare_car()))
    assert told(why_not(demo_shelf().part("TB-21-36"), bare_car()))["splines at the arm"] is NO


def test_what_the_part_does_not_say_is_unknown() -> None:
    bar = part("torsion_bar", 'place = "front"\ndiameter = 22\nsplines_arm = 40\n')
    reasons = why_not(bar, demo_car())

    assert set(told(reasons).values()) == {OPEN}
    assert "Measure splines_anchor of X." in [reason.todo for reason in reasons]


def test_one_misfit_settles_it_whatever_is_unknown() -> None:
    bar = part("torsion_bar", 'place = "front"\nsplines_arm = 36\n')

    assert fit(bar, demo_car()).verdict is NO
    assert set(told(why_not(bar, demo_car())).values()) == {NO, OPEN}


@pytest.mark.parametrize(
    ("inner", "verdict"),
    [
        (96, None),
        (98, None),
        (95.99, NO),
        (98.01, NO),
        ("97 ± 0.9 mm", None),
        ("97.9 ± 0.3 mm", OPEN),
        ("99 ± 0.9", NO),
    ],
)
def test_a_coil_sits_on_its_collar_with_up_to_two_millimetres(inner: float | str, verdict: FitVerdict | None) -> None:
    exact = car(("{ value = 96, plus_minus = 0.3", "{ value = 96, plus_minus = 0"))
    written = f'"{inner}"' if isinstance(inner, str) else inner
    reasons = told(why_not(part("coil", f"rate = 25\ninner_diameter = {written}\n"), exact))

    assert reasons.get("inside diameter at the lower end") is verdict


def test_the_band_of_the_car_counts_as_well() -> None:
    close = part("coil", "rate = 25\ninner_diameter = 97.9\n")

    assert (
        fit(close, car(('plus_minus = 0.3, from = "calliper, spring out"', "plus_minus = 0"))).verdict
        is FitVerdict.FITS
    )
    (reason, *_) = why_not(close, demo_car())
    assert "interfaces.rear.spring_seat" in reason.todo


def test_a_reason_names_the_dimension_what_is_there_and_what_is_needed() -> None:
    reason = why_not(demo_shelf().part("TB-26"), demo_car())[0]

    assert reason.sentence() == "spline diameter at the arm: has 31 mm ± 0.05 mm, needs 26.8 mm to 27.2 mm."
    assert (
        reason.sentence("inch") == "spline diameter at the arm: has 1.2205 in ± 0.002 in, needs 1.0551 in to 1.0709 in."
    )


@pytest.mark.parametrize(
    ("code", "end", "words"),
    [
        ("C-25-262", End.FRONT, "meant for the rear axle"),
        ("C61-25-200", End.FRONT, "needs an axle with coil springs"),
        ("TB-22", End.REAR, "meant for the front axle"),
    ],
)
def test_an_axle_without_a_place_for_it(code: str, end: End, words: str) -> None:
    (reason,) = why_not(demo_shelf().part(code), demo_car(), end)

    assert reason.verdict is NO
    assert words in reason.sentence()


@pytest.mark.parametrize(
    ("kind", "text", "words"),
    [
        ("panhard", 'place = "front"\n', "a Panhard rod"),
        ("top_plate", "", "an axle on struts"),
        ("ball_joint_spacer", "", "an axle on struts"),
        ("tie_rod_spacer", "", "an axle with tie rods"),
        ("inner_bar", 'place = "front"\n', "an arm that turns"),
        ("roll_bar", "diameter = 18\n", "carried by the body"),
        ("roll_bar", 'place = "front"\nrole = "on-tube"\n', "a beam axle"),
        ("torsion_bar", "", "torsion bars"),
        ("helper", 'place = "front"\n', "coil springs"),
    ],
)
def test_places_that_the_demo_car_does_not_have(kind: str, text: str, words: str) -> None:
    (reason,) = why_not(part(kind, text), demo_car())

    assert words in reason.sentence()


def test_a_second_bar_needs_a_first_one() -> None:
    text = CAR_FILE.read_text("utf-8")
    start = text.index("[front.roll_bar]")
    without = parse_car(text[:start] + text[text.index("[front.clearance]") :], "car")
    second, first = demo_shelf().part("A2-15"), demo_shelf().part("AF-20")

    assert fit(second, demo_car()).verdict is FitVerdict.FITS
    assert "first anti-roll bar" in why_not(second, without)[0].sentence()
    assert fit(second, without, beside=[first]).verdict is FitVerdict.FITS


def test_a_strut_is_for_struts_and_a_plain_damper_for_others() -> None:
    strut = type(demo_shelf().part("DF-330")).model_validate({**demo_shelf().part("DF-330").values, "place": "rear"})

    assert told(why_not(strut, demo_car()))["form of the damper"] is NO


def test_a_sleeve_on_the_damper_is_of_no_use_where_the_coil_stands_on_its_own_seat() -> None:
    assert told(why_not(demo_shelf().part("P-D46.5"), demo_car())) == {"what carries the spring": NO}


def test_of_two_axles_the_better_one_is_told() -> None:
    wide = demo_shelf().part("W-14-6")

    assert fit(wide, demo_car()).end is End.FRONT
    assert told(why_not(wide, demo_car(), End.REAR)) == {"room for the tyre": NO}
    assert fit(demo_shelf().part("C61-25-200"), demo_car()).end is End.REAR


# ------------------------------------------------------------------------------------------------------- two parts

PAIRS = [
    ("C61-25-200", "P-61", []),
    ("C61-25-200", "P-97", ["inside diameter on the lower seat of P-97"]),
    ("C-25-262", "P-61-L", ["inside diameter on the lower seat of P-61-L"]),
    ("C-25-262", "P-61", ["inside diameter on the lower seat of P-61", "inside diameter on the upper seat of P-61"]),
    ("C-TAPER-25", "P-61-L", []),
    ("H61-3-70", "P-61", []),
    ("H97-2.5-90", "P-61", ["inside diameter on the seat of P-61"]),
    ("H61-3-70", "C61-25-200", []),
    ("H65-2-60", "C61-25-200", ["inside diameter against C61-25-200"]),
    ("P-D46.5", "DR-285", []),
    ("P-D51.5", "DR-285", ["sleeve over the body of DR-285"]),
    ("P-97", "DR-285", []),
    ("TP-18", "DF-330", []),
    ("TP-10-12", "DF-330", ["bore for the stud of DF-330"]),
    ("TP-10-12", "DF-300-A", []),
    ("TP-18", "DR-285-E", ["upper end of DR-285-E", "bore for the stud of DR-285-E"]),
    ("BS-F45", "DF-330", []),
    ("BS-R45", "DF-330", ["bore over the rod of DF-330"]),
    ("A2-15", "AF-20", []),
    ("A2-18", "AF-20", ["bolt of the links shared with AF-20"]),
    ("A2-15", "AF-20-W", ["distance of the links shared with AF-20-W"]),
    ("AF-20", "AF-24", []),
    ("L-40-60", "AF-20", []),
    ("L-40-60-12", "AF-20", ["bolt in AF-20"]),
    ("BU-AF-20", "AF-20", []),
    ("BU-AF-22", "AF-20", ["bore round AF-20"]),
    ("TB-22", "W-13-5", []),
]


@pytest.mark.parametrize(("one", "other", "dimensions"), PAIRS, ids=str)
def test_two_parts_fit_one_another_or_not_in_either_order(one: str, other: str, dimensions: list[str]) -> None:
    first, second = demo_shelf().part(one), demo_shelf().part(other)

    assert told(pair_why_not(first, second)) == dict.fromkeys(dimensions, NO)
    assert pair_why_not(second, first) == pair_why_not(first, second)


def test_a_part_that_replaces_what_another_touches_is_taken_into_account() -> None:
    coil, kit, lower_only = (demo_shelf().part(code) for code in ("C61-25-200", "P-61", "P-61-L"))

    assert fit(coil, demo_car()).verdict is NO
    assert why_not(coil, demo_car(), beside=[kit]) == ()
    assert told(why_not(coil, demo_car(), beside=[lower_only])) == {"inside diameter at the upper end": NO}


def test_partners_are_found_on_the_shelf() -> None:
    found = {
        code: [other.code for other in companions(demo_shelf().part(code), demo_car(), end, demo_shelf().parts)]
        for code, end in (("C61-25-200", End.REAR), ("DF-300-A", End.FRONT), ("C101-25-262", End.REAR))
    }

    assert found == {"C61-25-200": ["P-61"], "DF-300-A": ["TP-10-12"], "C101-25-262": []}


def test_words_and_counts_have_no_band() -> None:
    assert DimensionComparison("x", "eye", "a", "eye", "b").reason() is None
    assert DimensionComparison("x", 40, "a", 41, "b").reason().verdict is NO
    assert DimensionComparison("x", 40, "a", None, "b").reason().todo == "Measure b."
