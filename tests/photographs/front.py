"""The front of a demo car, seen from in front with large tiles: a few small photographs tell pivots of both sides."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image

from jounce.photographs.seen import SeenPhoto
from jounce.photographs.survey_text import KeptSurvey
from tests.photographs.rendering import Stuck, Weather, facing, looking, photograph
from tests.photographs.scene import BITS, telephone
from tests.photographs.shop import pictured
from tests.photographs.whole_car import SIGNS, true_place

POINTS = ("wheel_centre", "arm_front", "strut_top")
FLOOR = (10, 11, 12, 13, 14, 15)
RULE = (4, 9)
BEHIND, OVER = 0.05, 0.008
CONTROL, PIVOT = 0.1, 0.075
TELEPHONE = telephone()
_MAKE, _TURNED, _DETAILS, _ON_FILM, _PLACE = 0x010F, 0x0112, 0x8769, 0xA405, 0x8825


def stuck():
    """Six tiles over the bumper, six on the floor before it, and one on each pivot, all looking forward."""
    told = []
    for number in range(4, 10):
        out = (1, 0.25 * (number - 6.5), 0.1)
        told.append(Stuck(number, CONTROL, facing(out), np.array([0.45, 0.24 * (number - 6.5), 0.55])))
    for number in FLOOR:
        place = np.array([0.75 + 0.25 * (number % 2), 0.24 * (number - 12.5), OVER])
        told.append(Stuck(number, CONTROL, facing((0, 0, 1), (-1, 0, 0)), place))
    for number, (side, point) in enumerate([(side, point) for side in SIGNS for point in POINTS], start=60):
        out = facing(SIGNS[side] * [1, 0.3, 0.2])
        told.append(Stuck(number, PIVOT, out, true_place(point) * SIGNS[side] + BEHIND * out[:, 2]))
    return told


def kept():
    """What was stuck where, as it is kept; tiles are larger than those of the sheets."""
    told = stuck()
    centre = {one.number: one.centre for one in told}
    rule = 1e3 * float(np.linalg.norm(centre[RULE[0]] - centre[RULE[1]]))
    named = [(side, point) for side in SIGNS for point in POINTS]
    return KeptSurvey(
        ({"between": list(RULE), "distance": f"{rule:.3f} mm ± 0.3 mm"},),
        tuple(
            {"tile": number, "point": f"front.pivots.{point}", "side": side, "behind": f"{1e3 * BEHIND:g} mm ± 0.6 mm"}
            for number, (side, point) in enumerate(named, start=60)
        ),
        (),
        {"tiles": list(FLOOR), "over": f"{1e3 * OVER:g} mm"},
        {str(one.number): f"{1e3 * one.side:g} mm" for one in told},
    )


def stands(photos=6):
    """Cameras in a bow before the car, at two heights; every third one on edge."""
    told = []
    for number in range(photos):
        turn = np.radians(-42 + 84 * number / max(photos - 1, 1))
        place = np.array([0.3 + 1.75 * np.cos(turn), 1.75 * np.sin(turn), (0.45, 1.15)[number % 2]])
        told.append(looking(place, (0.35, 0, 0.28), np.pi / 2 if number % 3 == 2 else 0.0))
    return told


def shots(photos=6, lens=TELEPHONE, noise=0.05, seed=1):
    """What such photographs show, not rendered: true corners and a little noise."""
    rng = np.random.default_rng(seed)
    tiles, told = stuck(), []
    for number, stand in enumerate(stands(photos)):
        seen = {one.number: pictured(one, stand, lens) for one in tiles}
        seen = {one: where + noise * rng.normal(size=(4, 2)) for one, where in seen.items() if where is not None}
        told.append(
            SeenPhoto(
                f"photograph {number + 1}",
                tuple(seen),
                np.array([*seen.values()]),
                (4000, 3000),
                26.0,
                1 if number % 3 == 2 else 0,
                1.0,
            )
        )
    return told


def files(photos=6, seed=1):
    """The photographs, 1600 x 1200, with what a telephone writes beside them: maker, place, lens, how it was held."""
    rng = np.random.default_rng(seed)
    lens, tiles, told = telephone(1600), stuck(), []
    for number, stand in enumerate(stands(photos)):
        plain = photograph(lens, stand, tiles, BITS, rng, Weather())
        with Image.open(io.BytesIO(plain)) as picture:
            notes = picture.getexif()
            notes[_MAKE] = "Example Telephones"
            notes[_TURNED] = 6 if number % 3 == 2 else 1
            notes.get_ifd(_DETAILS)[_ON_FILM] = 26
            notes.get_ifd(_PLACE)[1] = "N"
            out = io.BytesIO()
            picture.save(out, "JPEG", quality=92, exif=notes)
        told.append(out.getvalue())
    return told
