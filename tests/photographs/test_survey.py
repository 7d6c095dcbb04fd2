"""What was stuck where is read whole, and all that is wrong with it is told."""

from __future__ import annotations

import pytest

from jounce.conventions.errors import InputError, InputProblems
from jounce.photographs.survey import MARK, KnownHeight, PointerStand, parse_survey

WHOLE = """
[[ruler]]
between = [0, 5]
distance = "1000 mm ± 0.6 mm"

[[pivot]]
tile = 60
point = "front.pivots.ball_joint"
behind = "28 mm ± 0.6 mm"

[[pivot]]
tile = 61
point = "front.pivots.ball_joint"
side = "right"
behind = "28 mm"

[[pointer]]
photos = ["21.jpg", "22.jpg"]
point = "mark"

[[pointer]]
photos = ["23.jpg", "24.jpg", "25.jpg"]
point = "front.pivots.arm_front"
side = "right"
within = "1 mm"

[[height]]
tile = 20
over = "290 mm ± 2 mm"

[[check]]
between = ["left front.pivots.ball_joint", "right front.pivots.ball_joint"]
distance = "1296 mm"

[floor]
tiles = [10, 11, 12]
over = "3 mm"

[tiles]
12 = "80 mm"
"""


def test_everything_is_read() -> None:
    told = parse_survey(WHOLE, "tiles.toml")

    assert told.rulers[0].tiles == (0, 5)
    assert (told.rulers[0].length, told.rulers[0].deviation) == pytest.approx((1.0, 0.3e-3))
    assert [(one.tile, one.side) for one in told.pivots] == [(60, "left"), (61, "right")]
    assert (told.pivots[0].behind, told.pivots[0].deviation) == pytest.approx((0.028, 0.3e-3))
    assert told.pivots[1].deviation > 0
    assert told.checks[0].length == pytest.approx(1.296)
    assert told.pointer == (
        PointerStand(("21.jpg", "22.jpg"), MARK, "left", 0.1e-3),
        PointerStand(("23.jpg", "24.jpg", "25.jpg"), "front.pivots.arm_front", "right", 0.5e-3),
    )
    assert told.pointer[1].pictures == "23.jpg, 24.jpg and 25.jpg"
    assert told.heights == (KnownHeight(20, 0.29, 1e-3),)
    assert told.named[2] == "right front.pivots.arm_front"
    assert (told.floor, told.over) == ((10, 11, 12), pytest.approx(0.003))
    assert (told.side(12), told.side(11), told.side(60)) == pytest.approx((0.08, 0.06, 0.04))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("[floor]", "[flor]", 'Unknown key; found "flor"'),
        ("between = [0, 5]", "between = [0, 0]", "ruler 1, between: A distance is between two"),
        ("tile = 60", "tile = 600", "pivot 1, tile: There is no tile of this number"),
        ("tile = 61", "tile = 60", "Tile 60 is on two pivots"),
        ('side = "right"', 'side = "up"', "pivot 2, side: This is no side"),
        ('side = "right"', 'side = "left"', "has two tiles"),
        ('behind = "28 mm"', 'behind = "28 kg"', "pivot 2, behind"),
        ('behind = "28 mm"\n', "", 'pivot 2: "behind" is missing'),
        ('"1296 mm"', '"1296 mm"\nby = "me"', 'check 1: Unknown key; found "by"'),
        ('"left front.pivots.ball_joint"', '"left front.pivots.ball"', "check 1, between: This pivot has no tile"),
        ("tiles = [10, 11, 12]", 'tiles = "10"', "floor, tiles: This is no list of tiles"),
        ('12 = "80 mm"', 'twelve = "80 mm"', "tiles.twelve: This is no number of a tile"),
        ('photos = ["21.jpg", "22.jpg"]', 'photos = "21.jpg"', "pointer 1, photos: These are no names of photographs"),
        (
            'photos = ["21.jpg", "22.jpg"]',
            'photos = ["21.jpg"]',
            "pointer 1, photos: One photograph tells poorly how far off",
        ),
        ('photos = ["21.jpg", "22.jpg"]', 'photos = ["21.jpg", "24.jpg"]', "24.jpg shows the pointer in two places"),
        ('point = "mark"', 'point = "marks"', "pointer 1, point: This is nothing that a pointer touches"),
        ('"front.pivots.arm_front"', '"front.pivots.ball_joint"', "has a tile and is touched by the pointer"),
        ('within = "1 mm"', 'within = "20 mm"', "pointer 2, within"),
        ("tile = 20", "tile = 100", "height 1, tile: This tile is on the pointer's board"),
        ("tile = 20", "tile = 11", "The height of tile 11 is told twice"),
        ('over = "290 mm ± 2 mm"', "", 'height 1: "over" is missing'),
        ("[[ruler]]", "[ruler]", "Entries are written [[ruler]]"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(old, new, said) -> None:
    assert old in WHOLE
    with pytest.raises((InputError, InputProblems)) as told:
        parse_survey(WHOLE.replace(old, new), "tiles.toml")

    assert str(told.value).startswith("tiles.toml: ")
    assert said in str(told.value)
