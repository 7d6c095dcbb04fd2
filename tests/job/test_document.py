"""A job file is read strictly, with all its problems at once, and its parts go into the car on both sides."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.car.file.inputs import measured_inputs
from jounce.conventions.axes import SIDES, Side
from jounce.conventions.errors import InputError, InputProblems
from jounce.job.apply import planned_document, wishes_of
from jounce.job.document import JobDocument
from jounce.job.file import read_job

DEMO = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml")))
CAR = DEMO.with_name("brisk-14.toml")
PAGE = Path(__file__).parents[2] / "docs" / "job-file.md"
HEAD = '[job]\nname = "one"\ncar = "car.toml"\n'
MM = 1e-3


@pytest.fixture
def read(tmp_path):
    """Read a job from its text, for the demo car with pieces of its text exchanged."""

    def read_text(text, *pairs):
        car = CAR.read_text("utf-8")
        for old, new in pairs:
            assert car.count(old) == 1, old
            car = car.replace(old, new)
        (tmp_path / "car.toml").write_text(car, "utf-8")
        (tmp_path / "job.toml").write_text(HEAD + text, "utf-8")
        return read_job(tmp_path / "job.toml")

    return read_text


def planned(read, text, *pairs):
    job, car = read(text, *pairs)
    return car, planned_document(car, job)


def problems(read, text, *pairs):
    with pytest.raises(InputProblems) as caught:
        read(text, *pairs)
    return {problem.place: str(problem) for problem in caught.value.problems}


def test_example_of_the_page_is_the_demo_job():
    example = re.search(r"```toml\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL)[1]

    assert tomllib.loads(example) == tomllib.loads(DEMO.read_text("utf-8"))


def sections(model, path=()):
    for name, field in model.model_fields.items():
        below = getattr(field.annotation, "model_fields", None)
        if below is None or (path[:1] == ("change",) and len(path) == 2):
            yield (*path, name)
        else:
            yield from sections(field.annotation, (*path, name))


@pytest.mark.parametrize("key", sorted({path[-1] for path in sections(JobDocument)}))
def test_every_key_is_on_the_page(key):
    assert f"`{key}`" in PAGE.read_text("utf-8").partition("## All sections and keys")[2]


def test_all_problems_at_once_with_line_and_nearest_key(read):
    text = "[wanted.front]\nlowr = 35\n[change.front.damper]\nclosed_length = 500\nopen_length = 400\n[change.raer]\n"
    found = problems(read, text)

    assert list(found) == [
        "wanted.front.lowr (line 5)",
        "change.front.damper.open_length (line 8)",
        "change.raer (line 9)",
    ]
    assert 'Did you mean "lower"?' in found["wanted.front.lowr (line 5)"]
    assert 'Did you mean "rear"?' in found["change.raer (line 9)"]


@pytest.mark.parametrize(
    "keys",
    [
        "lower = 20\nheight = 300",
        "left_height = 300",
        "lower = 20\nright_height = 310",
        "height = 300\nleft_height = 300",
    ],
)
def test_a_wanted_height_is_said_in_one_way(read, keys):
    assert "The wanted height is not clear" in problems(read, f"[wanted.rear]\n{keys}\n")["wanted.rear (line 4)"]


@pytest.mark.parametrize(
    ("keys", "left", "right"),
    [
        ("lower = '35 mm'", 35, 35),
        ("height = 310", 35, 37),
        ("left_height = 310\nright_height = 320", 35, 27),
        ("", 0, 0),
    ],
)
def test_wishes_count_from_the_heights_as_found(read, keys, left, right):
    """The demo car stands at 345 mm and 347 mm in front."""
    job, car = read(f"[wanted.front]\n{keys}\n")
    lower = wishes_of(car, job).lower

    assert lower["front", "left"] == pytest.approx(left * MM)
    assert lower["front", "right"] == pytest.approx(right * MM)
    assert lower["rear", "left"] == 0


def test_cross_weight_stays_as_found_unless_it_is_wanted(read):
    job, car = read("")

    assert wishes_of(car, job).cross_share == car.mass.cross_share
    assert wishes_of(car, read('[wanted]\ncross_weight = "50.5 %"\n')[0]).cross_share == pytest.approx(0.505)


def test_toe_as_a_length_needs_a_diameter(read):
    """asin(1 / 400) is 0.1432 degrees."""
    job, _ = read('[wanted.front]\ntoe = "1 mm"\ntoe_diameter = 400\n')

    assert job.wanted.front.toe.value == pytest.approx(0.0025, rel=1e-5)
    assert "toe_diameter" in problems(read, '[wanted.front]\ntoe = "1 mm"\n')["wanted.front.toe (line 5)"]


def test_a_beam_axle_takes_no_caster(read):
    with pytest.raises(InputProblems) as raised:
        planned(read, "[wanted.rear]\ncaster = 1\n")
    (problem,) = raised.value.problems
    assert problem.place == "wanted.rear.caster (line 5)"
    assert "Nothing on this car's rear axle sets its caster" in str(problem)


BAR = "diameter = 16\narm_end = [45, 500, 250]\nbend = [250, 440, 238]\nbush = [250, 340, 238]\n"


def test_parts_are_exchanged_on_both_sides_and_the_rest_stays(read):
    text = (
        "[change.front.torsion_bar]\ndiameter = '24 ± 0.05 mm'\nactive_length = 900\n[change.rear.spring]\nrate = 27\n"
    )
    car, new = planned(read, text)

    for side in SIDES:
        assert new.front.side(side).torsion_bar.diameter.value == pytest.approx(24 * MM)
        assert new.front.side(side).torsion_bar.splines_arm is None  # a whole new bar keeps nothing of the old one
        assert new.rear.side(side).spring.rate.value == pytest.approx(27_000)
        assert new.front.side(side).damper == car.front.side(side).damper
        assert new.rear.side(side).pivots == car.rear.side(side).pivots
    assert car.front.left.torsion_bar.diameter.value == pytest.approx(21 * MM)


def test_points_of_new_bars_are_mirrored_and_the_link_is_shared(read):
    _, new = planned(read, f"[change.front.roll_bar_2]\n{BAR}")
    left, right = (new.front.side(side).roll_bar_2 for side in SIDES)

    assert (left.bush.y, right.bush.y) == pytest.approx((0.34, -0.34))
    assert (left.link_end, right.link_end) == tuple(new.front.side(side).roll_bar.link_end for side in SIDES)
    assert left.link_on == "arm"
    assert left.youngs_modulus.value == pytest.approx(206e9)


def test_a_rear_bar_hangs_its_links_on_the_body(read):
    points = "arm_end = [-2180, 420, 270]\nbend = [-2330, 420, 262]\n"
    points += "bush = [-2330, 330, 262]\nlink_end = [-2180, 420, 470]\n"
    _, new = planned(read, f"[change.rear.roll_bar]\ndiameter = 16\n{points}")

    assert new.rear.left.roll_bar.link_on == "body"
    assert new.rear.right.roll_bar.link_end.y == pytest.approx(-0.42)


def test_a_point_of_the_right_is_refused(read):
    text = f"[change.front.roll_bar_2]\n{BAR}".replace("340, 238", "-340, 238")

    assert "other side of the car" in problems(read, text)["change.front.roll_bar_2.bush (line 8)"]


def test_a_damper_may_be_too_short_for_where_the_car_stood(read):
    _, new = planned(read, "[change.front.damper]\nclosed_length = 280\nopen_length = 420\n")
    pivots = new.front.left.pivots

    assert pivots.strut_top.distance(pivots.strut_foot) > new.front.left.damper.open_length.value


@pytest.mark.parametrize(
    ("offset", "moved"), [("offset = 20", 15), ("offset = 45", -10), ("tyre_rate = 200", 0)], ids=["out", "in", "tyre"]
)
def test_a_smaller_offset_moves_the_wheel_outward(read, offset, moved):
    old = (
        "[front.torsion_bar]",
        "[front.left.wheel]\noffset = 35\n[front.right.wheel]\noffset = 35\n[front.torsion_bar]",
    )
    car, new = planned(read, f"[change.front.wheel]\n{offset}\n", old)

    for side in SIDES:
        before, after = (document.front.side(side).pivots.wheel_centre for document in (car, new))
        assert (after.y - before.y) * side.outward == pytest.approx(moved * MM)
        assert new.front.side(side).wheel.loaded_radius == car.front.side(side).wheel.loaded_radius


def test_without_the_old_offset_the_wheel_stays(read):
    car, new = planned(read, "[change.front.wheel]\noffset = 20\n")

    assert new.front.left.pivots == car.front.left.pivots
    assert new.front.left.wheel.offset.value == pytest.approx(20 * MM)


def test_adjustable_rod_keeps_its_joints(read):
    car, new = planned(read, "[change.rear.panhard]\nshortest = 850\nlongest = 870\nthread_pitch = 1.5\n")

    assert new.rear.panhard.length == car.rear.panhard.length
    assert new.rear.panhard.longest.value == pytest.approx(0.87)
    wrong = problems(read, "[change.rear.panhard]\nshortest = 870\nlongest = 820\nthread_pitch = 1.5\n")
    assert "not above its shortest" in wrong["change.rear.panhard.longest (line 6)"]


STOP = "[change.front.bump_stop]\nfree_height = 50\ncurve = [[0, 0], [15, 400]]\n"


def test_a_stop_by_its_height_needs_the_length_of_the_damper_it_will_sit_on(read):
    no_length = ("closed_length = 370\n", "")

    assert read(STOP)  # on the car's own damper
    assert "change.front.bump_stop.free_height (line 5)" in problems(read, STOP, no_length)
    assert read(STOP + "[change.front.damper]\nclosed_length = 330\n", no_length)
    assert "change.front.damper (line 7)" in problems(read, STOP + "[change.front.damper]\nopen_length = 500\n")


def without_bar():
    text = CAR.read_text("utf-8")
    start = text.index("[front.roll_bar]")
    return (text[start : text.index("[front", start + 1)], "")


def test_a_second_bar_needs_a_link(read):
    text = f"[change.front.roll_bar_2]\n{BAR}"
    place = "change.front.roll_bar_2 (line 4)"

    assert "no link to share" in problems(read, text, without_bar())[place]
    _, new = planned(read, text + 'link_end = [45, 500, 200]\nlink_on = "strut"\n', without_bar())
    assert new.front.right.roll_bar_2.link_end.y == pytest.approx(-0.5)
    assert new.front.right.roll_bar is None


def test_new_parts_are_one_input_for_both_sides_even_where_the_old_ones_differed(read):
    uneven = ("[front.steering]", "[front.right.torsion_bar]\ndiameter = '20.8 ± 0.1 mm'\n[front.steering]")
    text = "[change.front.torsion_bar]\ndiameter = '24 ± 0.05 mm'\nactive_length = 900\n"
    car, new = planned(read, text + f"[change.front.roll_bar_2]\n{BAR}", uneven)

    assert {ref.path for ref in measured_inputs(car)} >= {"front.right.torsion_bar.diameter"}
    bars = [ref for ref in measured_inputs(new) if "torsion_bar" in ref.path]
    assert [(ref.path, len(ref.targets)) for ref in bars] == [("front.torsion_bar.diameter", 2)]
    links = [ref for ref in measured_inputs(new) if ref.path.endswith("link_end.z")]
    assert [(ref.path, len(ref.targets)) for ref in links] == [("front.roll_bar.link_end.z", 4)]


def test_a_missing_car_file_is_told_with_the_line_that_names_it(tmp_path):
    (tmp_path / "job.toml").write_text(HEAD, "utf-8")
    with pytest.raises(InputError, match=r"job\.toml, job\.car \(line 3\), .*car\.toml: There is no such file"):
        read_job(tmp_path / "job.toml")


def test_sides_of_the_car_keep_what_the_job_does_not_name(read):
    uneven = ("[front.steering]", "[front.right.damper]\nclosed_length = 372\n[front.steering]")
    _, new = planned(read, "[change.front.torsion_bar]\ndiameter = 24\nactive_length = 900\n", uneven)

    assert new.front.side(Side.RIGHT).damper.closed_length.value == pytest.approx(372 * MM)
    assert new.front.place_of(Side.RIGHT, "damper", "closed_length") == ("right", "damper", "closed_length")
