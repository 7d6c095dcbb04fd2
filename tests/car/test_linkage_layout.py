"""An axle told as lists: how it is read, and what is said about lists that make no axle."""

from __future__ import annotations

import json
import re
import tomllib
from contextlib import suppress
from typing import Any

import pytest

from jounce.behaviour.axle.static import axle_sits, loaded
from jounce.car.axles.linkage_joints import LinkageJoint
from jounce.car.axles.linkage_sections import LinkageArrangement, LinkageAxle, LinkageBody
from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import measured_inputs, with_value
from jounce.car.file.reading import parse_car
from jounce.car.file.schema import car_schema
from jounce.car.file.section import Section, section_in
from jounce.car.mechanics.assembly import axle_model
from jounce.conventions.axes import End, Side
from jounce.conventions.errors import InputError
from tests.car.conftest import problems_in
from tests.linkage_cars import (
    A_FRAME,
    LEADING,
    MEAN_HELD,
    PAGE,
    PILLARS,
    TURNING_TUBE,
    car_text,
    car_with,
    completed,
    demo_text,
    page_axle,
    page_axles,
)

HALF_AXLE = 'half_axle = { carries = "wheel" }'
RADIUS_ROD = 'radius_rod = { rod = ["radius_rod_front on body", "radius_rod_rear on half_axle"] }'
CENTRE_BALL = 'centre_ball = { ball = "centre_ball", between = ["body", "half_axle"] }'
TORQUE_ROD = 'torque_rod = { rod = ["torque_rod_front on body", "torque_rod_rear on half_axle"] }'
SPRING = 'spring = ["spring_upper on body", "spring_lower on half_axle"]'
DAMPER = 'damper = ["damper_upper on body", "damper_lower on half_axle"]'


def demo_with(*pairs: tuple[str, str]) -> str:
    """The demo file with pieces of its text exchanged, each of which must be there exactly once."""
    text = demo_text()
    for old, new in pairs:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the demo"
        text = text.replace(old, new)
    return text


@pytest.fixture(scope="module")
def demo() -> CarDocument:
    return parse_car(demo_text(), "sorrel-21.toml")


@pytest.mark.parametrize("axle", [*page_axles(), PILLARS, TURNING_TUBE, MEAN_HELD], ids=lambda axle: axle[-60:-40])
def test_every_told_axle_is_read_and_carries_its_car(axle: str) -> None:
    car = car_with(completed(axle))
    end = "front" if "[front]" in axle else "rear"

    sits = axle_sits(loaded(axle_model(car, end))[0])  # type: ignore[arg-type]

    assert sits is not None


def test_the_page_shows_the_demo_car_s_own_axle() -> None:
    def plain(text: str) -> list[str]:
        return [line.partition(" #")[0].strip() for line in text.splitlines() if line.strip() and line[0] != "#"]

    kept = [line for line in plain(demo_text()) if "pivots_" not in line]
    start = kept.index("[rear]")
    shown = plain(page_axle("half_axle"))

    assert kept[start : start + len(shown)] == shown


@pytest.mark.parametrize("model", [LinkageBody, LinkageJoint, LinkageArrangement])
def test_the_page_has_every_key(model: type[Section]) -> None:
    tables = re.split(r"^## ", PAGE.read_text("utf-8"), flags=re.MULTILINE)
    tabulated = [set(re.findall(r"^\| `(\w+)` \|", table, re.MULTILINE)) for table in tables]

    assert set(model.model_fields) in tabulated


def test_every_field_says_what_it_is() -> None:
    def described(model: type[Section]) -> None:
        for name, field in model.model_fields.items():
            assert field.description, f"{model.__name__}.{name}"
            assert not field.description.endswith("."), f"{model.__name__}.{name}"
            if below := section_in(field):
                described(below)

    for model in (LinkageAxle, LinkageBody, LinkageJoint, LinkageAxle.SIDE_MODEL):
        described(model)


def test_points_of_the_right_side_mirror_those_of_the_left_unless_they_are_told(demo: CarDocument) -> None:
    told = demo_text() + "\n[rear.right.pivots]\ncentre_ball = [-2391, -60, 293]\n"
    rear = parse_car(told, "car.toml").axle(End.REAR)

    assert demo.axle(End.REAR).right.pivots.radius_rod_rear.y == -0.560
    assert rear.side(Side.RIGHT).pivots.centre_ball.y == -0.060
    assert rear.side(Side.LEFT).pivots.centre_ball.y == 0.062


def test_points_carry_their_bands_into_the_inputs(demo: CarDocument) -> None:
    inputs = {ref.path: ref for ref in measured_inputs(demo)}
    ref = inputs["rear.pivots.centre_ball.y"]
    moved = with_value(demo, ref, 0.070).axle(End.REAR)

    assert ref.plus_minus == 0.002
    assert (moved.side(Side.LEFT).pivots.centre_ball.y, moved.side(Side.RIGHT).pivots.centre_ball.y) == (0.070, -0.070)


def test_points_of_the_axle_as_a_whole_carry_their_bands_once() -> None:
    car = car_with(completed(page_axle(A_FRAME).replace("[rear]\n", '[rear]\npivots_plus_minus = "1 mm"\n')))
    refs = {ref.path: ref for ref in measured_inputs(car)}

    assert len(refs["rear.points.arm_ball.y"].targets) == 1


def test_every_joint_has_its_place_among_the_bushes() -> None:
    text = demo_text() + "\n[rear.bushes.radius_rod]\naxial = 2000\n"
    bushes = parse_car(text, "car.toml").axle(End.REAR).bushes

    assert set(type(bushes).model_fields) == {"centre_ball", "radius_rod", "torque_rod"}
    assert bushes.radius_rod.axial.value == 2e6
    assert bushes.centre_ball is None


RING = (("one", "other"), ("other", "one"))
PROBLEMS = [
    # names
    ((RADIUS_ROD, RADIUS_ROD.replace("rod_rear on", "rod_raer on")), "rear.joints.radius_rod", '"radius_rod_rear"?'),
    ((RADIUS_ROD, RADIUS_ROD.replace("on half_axle", "on half_axel")), "rear.joints.radius_rod", '"half_axle"?'),
    ((RADIUS_ROD, RADIUS_ROD.replace("on half_axle", "on left.half_axle")), "rear.joints.radius_rod", "name alone"),
    (
        (RADIUS_ROD, RADIUS_ROD.replace("{ rod", "{ shared = true, rod")),
        "rear.joints.radius_rod",
        'say "left.half_axle"',
    ),
    ((HALF_AXLE, f"{HALF_AXLE}\nrack = {{}}"), "rear.bodies.rack", "name is taken"),
    ((HALF_AXLE, f"{HALF_AXLE}\nCopy = {{}}"), "rear.bodies", "cannot be used"),
    ((HALF_AXLE, f"{HALF_AXLE}\ncopy = {{}}"), "rear.bodies", "cannot be used"),
    (("torque_rod = {", "roll_bar_link = {"), "rear.joints.roll_bar_link", "name is taken"),
    (("torque_rod = {", "damper = {"), "rear.joints.damper", 'the name "damper", as the axle itself'),
    (
        (HALF_AXLE, f"{HALF_AXLE}\n\n[rear.points]\ncentre_ball = [0, 0, 0]"),
        "rear.points.centre_ball",
        "of a side as well",
    ),
    ((SPRING, SPRING.replace("on body", "on bdoy")), "rear.arrangement.spring", '"body"?'),
    ((SPRING, SPRING.replace("on body", "on rack")), "rear.arrangement.spring", "Nothing hangs"),
    (('link_on = "half_axle"', 'link_on = "arm"'), "rear.roll_bar.link_on", '"half_axle"'),
    # forms
    ((RADIUS_ROD, "radius_rod = {}"), "rear.joints.radius_rod", "not said what this is"),
    ((RADIUS_ROD, RADIUS_ROD.replace(" on body", "")), "rear.joints.radius_rod.rod", '"point on body"'),
    (
        (RADIUS_ROD, 'radius_rod = { rod = ["radius_rod_front on body"] }'),
        "rear.joints.radius_rod.rod",
        "Two different",
    ),
    ((RADIUS_ROD, 'radius_rod = { rod = "radius_rod_front on body" }'), "rear.joints.radius_rod.rod", "This is a list"),
    ((RADIUS_ROD, RADIUS_ROD.replace("}", ', ball = "x" }')), "rear.joints.radius_rod", "says one thing"),
    ((RADIUS_ROD, RADIUS_ROD.replace("}", ', of = "body" }')), "rear.joints.radius_rod.of", 'beside "rod"'),
    ((RADIUS_ROD, RADIUS_ROD.replace("rod = [", "rodd = [")), "rear.joints.radius_rod.rodd", 'Did you mean "rod"?'),
    ((CENTRE_BALL, 'centre_ball = { ball = "centre_ball" }'), "rear.joints.centre_ball", '"ball" needs "between"'),
    (
        (CENTRE_BALL, CENTRE_BALL.replace("between =", "along = [0, 1, 0], between =")),
        "rear.joints.centre_ball.along",
        "beside",
    ),
    ((HALF_AXLE, HALF_AXLE.replace("wheel", "both wheels")), "rear.bodies.half_axle.carries", 'allowed: "wheel"'),
    ((HALF_AXLE, HALF_AXLE.replace("wheel", "wheels")), "rear.bodies.half_axle.carries", "not one of the choices"),
    ((HALF_AXLE, 'half_axle = { carries = "wheel", turns_on = "body" }'), "rear.bodies.half_axle", '"about"'),
    ((HALF_AXLE, 'half_axle = "free"'), "rear.bodies.half_axle", "section"),
    # structure
    ((HALF_AXLE, "half_axle = {}"), "rear.bodies", "wheel needs one body"),
    ((HALF_AXLE, f'{HALF_AXLE}\nother = {{ carries = "wheel" }}'), "rear.bodies", '"half_axle" and "other"'),
    ((HALF_AXLE, f"{HALF_AXLE}\nstray = {{}}"), "rear.bodies.stray", 'joins "stray" with the car'),
    (
        (HALF_AXLE, f"{HALF_AXLE}\nstray = {{ slides_on = 'drift', along = [1, 0, 0] }}\ndrift = {{}}"),
        "rear.bodies.stray",
        'joins "stray" with the car',
    ),
    (
        (
            HALF_AXLE,
            "\n".join((HALF_AXLE, *(f"{a} = {{ slides_on = '{b}', along = [1, 0, 0] }}" for a, b in RING))),
        ),
        "rear.bodies.one",
        "turns on itself",
    ),
    ((RADIUS_ROD, RADIUS_ROD.replace("on body", "on half_axle")), "rear.joints.radius_rod", 'are on "half_axle"'),
    ((SPRING + "\n", ""), "rear.arrangement", "not said where the spring sits"),
    ((SPRING, SPRING.replace("on half_axle", "on body")), "rear.arrangement.spring", "on one body"),
    (("[rear.spring]\nrate = 30\nfree_length = 310\nsolid_length = 110", ""), "rear.left", "one kind of main spring"),
    (("[rear.clearance]", "[rear.steering]\nrack_travel = 60\n\n[rear.clearance]"), "rear.steering", "Nothing is on"),
    ((RADIUS_ROD, RADIUS_ROD.replace("on body", "on relay_rod")), "rear.joints", "[steering_box]"),
    (
        ("[rear.clearance]", "[rear.bushes.radius_rodd]\naxial = 1\n\n[rear.clearance]"),
        "rear.bushes.radius_rodd",
        "no joint",
    ),
    # places
    (
        ("torque_rod_rear = [-2366, 548, 392]", "torque_rod_rear = [-2010, 430, 424]"),
        "rear.joints.torque_rod",
        "are the same point",
    ),
    (("open_length = 480", "open_length = 380"), "rear.damper", "outside what the damper can do"),
    (
        ("[rear.bodies]", "[rear.left.pivots]\nextra = [0, 1, 0]\n\n[rear.bodies]"),
        "rear.left.pivots.extra",
        "has no point",
    ),
    # freedoms
    (
        (TORQUE_ROD, ""),
        "rear.joints",
        '4 ways to move, and an axle has 2 (heave and roll); found "half_axle" can still',
    ),
]


@pytest.mark.parametrize(("change", "place", "text"), PROBLEMS)
def test_what_makes_no_axle_is_told_where_it_stands(change: tuple[str, str], place: str, text: str) -> None:
    found = problems_in(demo_with(change))

    assert place in found, found
    assert text in found[place]


def test_joints_that_hold_the_same_thing_are_named() -> None:
    points = "torque_rod_rear = [-2366, 548, 392]"
    found = problems_in(
        demo_with(
            (points, points + "\nextra_front = [-2000, 400, 350]\nextra_rear = [-2300, 500, 300]"),
            (TORQUE_ROD, TORQUE_ROD + '\nextra = { rod = ["extra_front on body", "extra_rear on half_axle"] }'),
        )
    )

    assert "leave 0 ways to move" in found["rear.joints"]
    assert '"extra"' in found["rear.joints"]
    assert "hold what others hold already" in found["rear.joints"]


def test_a_linkage_at_a_dead_point_is_told_so() -> None:
    """Both rods on one line: they hold the same thing, and leave the half-axle free to turn about its own."""
    found = problems_in(
        demo_with(
            ("torque_rod_front = [-2010, 430, 424]", "torque_rod_front = [-1760, 335, 292]"),
            ("torque_rod_rear = [-2366, 548, 392]", "torque_rod_rear = [-2160, 485, 260]"),
        )
    )

    assert found["rear.joints"].startswith("The joints are right in number, but as found")
    assert 'found "half_axle" can still move with both wheels held; ' in found["rear.joints"]
    assert '"radius_rod"' in found["rear.joints"]


def test_a_beam_on_four_rigid_links_and_a_rod_is_refused() -> None:
    links = page_axle(A_FRAME)
    start, end = links.index("[rear.bodies]"), links.index("[rear.arrangement]")
    bound = links[:start] + (
        "[rear.bodies]\nbeam = { shared = true, carries = 'both wheels' }\n\n[rear.joints]\n"
        "lower_rod = { rod = ['lower_rod_front on body', 'lower_rod_rear on beam'] }\n"
        "upper_rod = { rod = ['arm_pivot on body', 'spring_lower on beam'] }\n"
        "panhard = { shared = true, rod = ['arm_ball on body', 'left.damper_lower on beam'] }\n\n"
    )
    found = problems_in(car_text(completed(bound + links[end:])))

    assert "leave 1 way to move" in found["rear.joints"]


def test_a_torsion_bar_needs_a_body_that_turns() -> None:
    bar = "[rear.torsion_bar]\ndiameter = 22\nactive_length = 900\n"
    text = completed(LEADING).replace("[rear.spring]\nrate = 30\n", bar)

    assert car_with(text).axle(End.REAR).left.spring_sections == ("torsion_bar",)
    assert problems_in(car_text(text.replace('torsion_bar = "arm"', 'torsion_bar = "hub"'))) == {
        "rear.arrangement.torsion_bar": 'The torsion bar needs a body that turns; found "hub"; allowed: "arm"'
    }


@pytest.mark.parametrize("value", ["3", "[1]", "true", '"x"', "{}", "[{}]", "{ left = 3 }", "2026-03-02", "nan"])
def test_any_key_with_any_wrong_value_gives_problems_and_no_traceback(value: str) -> None:
    lines = car_text(completed(page_axle(A_FRAME))).splitlines()
    first = lines.index("[rear]")
    for number, line in enumerate(lines):
        key, equals, _ = line.partition(" = ")
        if equals and number > first:
            text = "\n".join([*lines[:number], f"{key} = {value}", *lines[number + 1 :]])
            with suppress(InputError):
                parse_car(text, "car")


def test_the_schema_takes_names_that_it_does_not_know() -> None:
    definitions = car_schema()["$defs"]
    axle: dict[str, Any] = definitions["axle linkage"]["properties"]
    written = tomllib.loads(page_axle("half_axle"))["rear"]

    assert set(written) <= set(axle)
    joints = definitions[axle["joints"]["$ref"].rpartition("/")[2]]
    joint = definitions[joints["additionalProperties"]["$ref"].rpartition("/")[2]]
    assert {"ball", "rod", "point"} <= set(joint["properties"])
    assert joint["additionalProperties"] is False
    assert json.dumps(car_schema())
