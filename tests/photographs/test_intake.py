"""Photographs come in upright and without place, maker or owner."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, UnidentifiedImageError

from jounce.conventions.errors import Impossible, InputError
from jounce.photographs import intake, vision
from jounce.photographs.intake import arrived
from jounce.photographs.seen import on_sensor

HEIC = Path(__file__).with_name("on_edge_with_owner.heic")
OWNER, PLACE = b"A. Example", b"Somewhere Lane"


def file(orientation=1, form="JPEG", size=(800, 640)) -> bytes:
    """A picture whose upper left quarter, as the sensor read it, is white, with all that a telephone writes beside it."""
    points = np.zeros((size[1], size[0]), dtype=np.uint8)
    points[: size[1] // 2, : size[0] // 2] = 255
    noted = Image.Exif()
    noted[0x0112] = orientation
    noted[0x013B] = OWNER.decode()
    noted.get_ifd(0x8769).update({0xA405: 26, 0x9286: PLACE.decode()})
    noted.get_ifd(0x8825).update({1: "N", 2: (47.0, 22.0, 11.0), 3: "E", 4: (8.0, 32.0, 5.0)})
    out = io.BytesIO()
    Image.fromarray(points).convert("RGB").save(out, form, exif=noted)
    return out.getvalue()


@pytest.mark.parametrize("form", ["JPEG", "PNG"])
def test_no_place_and_no_owner_survives(form) -> None:
    data = file(form=form)
    kept = arrived(data, "DCIM/100/1.jpg")
    again = Image.open(io.BytesIO(kept.kept))

    assert OWNER in data
    assert len(Image.open(io.BytesIO(data)).getexif().get_ifd(0x8825)) == 4
    assert not again.getexif()
    assert set(again.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert OWNER not in kept.kept
    assert PLACE not in kept.kept
    assert kept.name == "1.jpg"


def test_the_focal_length_is_all_that_is_taken() -> None:
    assert arrived(file(), "a.jpg").as_on_film == 26


@pytest.mark.parametrize(
    ("orientation", "turns", "across"),
    [
        (1, 0, 199.5),
        (6, 1, 199.5),
        (3, 2, 199.5),
        (8, 3, 199.5),
        (2, 0, 599.5),
        (7, 1, 599.5),
        (4, 2, 599.5),
        (5, 3, 599.5),
    ],
)
def test_a_picture_stands_upright_and_finds_its_way_back_to_the_sensor(orientation, turns, across) -> None:
    """The middle of the white quarter comes back to where the sensor had it; that of a mirrored file unmirrored."""
    one = arrived(file(orientation), "a.jpg")
    bright = np.argwhere(one.picture > 128)
    middle = bright.mean(axis=0)[::-1]
    height, width = one.picture.shape

    assert one.turns == turns
    assert (width, height) == ((640, 800) if turns % 2 else (800, 640))
    assert on_sensor(middle, (width, height), turns) == pytest.approx([across, 159.5], abs=0.6)


@pytest.mark.parametrize("bits", [10, 12, 16])
def test_a_grey_png_of_more_than_eight_bits_is_brought_to_eight_and_not_cut_off(bits) -> None:
    points = np.linspace(0, 2**bits - 1, 800 * 640).reshape(640, 800)
    out = io.BytesIO()
    Image.fromarray(points.astype(np.uint16)).save(out, "PNG")

    assert np.abs(arrived(out.getvalue(), "a.png").picture - points * 255 / (2**bits - 1)).max() < 1


def test_a_very_large_picture_is_kept_at_half_its_width() -> None:
    one = arrived(file(size=(8000, 6001)), "a.jpg")

    assert one.picture.shape == (3000, 4000)
    assert np.argwhere(one.picture > 128).max(axis=0) == pytest.approx([1499, 1999], abs=1)


def test_a_picture_of_more_points_than_can_be_read_says_how_large_it_is(recwarn) -> None:
    head = io.BytesIO()
    Image.new("1", (30_000, 9_000)).save(head, "PNG")
    with pytest.raises(InputError, match=r"too large; found 30000 x 9000"):
        arrived(head.getvalue(), "a.png")
    assert not recwarn.list


def test_a_form_that_is_a_program_is_not_opened() -> None:
    with pytest.raises(InputError, match="no picture that can be opened") as refused:
        arrived(b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 800 640\n%%EndComments\nshowpage\n", "a.eps")

    assert isinstance(refused.value.__cause__, UnidentifiedImageError)


def test_a_photograph_that_came_in_part_is_to_be_sent_again() -> None:
    whole = file()
    with pytest.raises(InputError, match="It came in part or was damaged: send it again"):
        arrived(whole[: len(whole) // 2], "a.jpg")


def test_a_heic_stands_upright_and_keeps_neither_place_nor_owner() -> None:
    """A file as a telephone on edge writes it, from an encoder of its own: nothing here could write one."""
    data = HEIC.read_bytes()
    one = arrived(data, "DCIM/1.heic")
    bright = np.argwhere(one.picture > 128).mean(axis=0)[::-1]

    assert all(what in data for what in (OWNER, PLACE, b"Maker Ltd", b"xmpmeta", b"Exif"))
    assert not any(what in one.kept for what in (OWNER, PLACE, b"Maker Ltd", b"xmpmeta", b"Exif", b"ftyp"))
    assert one.kept.startswith(b"\xff\xd8")
    assert (one.turns, one.as_on_film, one.picture.shape) == (1, 26, (800, 640))
    assert on_sensor(bright, (640, 800), 1) == pytest.approx([199.5, 159.5], abs=0.6)


def test_a_heic_that_cannot_be_read_says_how_to_set_the_telephone(monkeypatch) -> None:
    with pytest.raises(InputError, match=r"a\.heic: .*set the telephone to JPEG"):
        arrived(HEIC.read_bytes()[:900], "a.heic")
    monkeypatch.setattr(intake, "_HAS_HEIF", False)
    with pytest.raises(Impossible, match=r"a\.heic: .*pip install .*set the telephone to JPEG"):
        arrived(HEIC.read_bytes(), "a.heic")


@pytest.mark.parametrize("data", [b"", b"no picture at all", file()[:300], b"\x00\x00\x00\x18ftypheic" + bytes(50)])
def test_what_is_no_picture_is_refused_in_words(data) -> None:
    with pytest.raises(InputError, match=r"a\.jpg: This is no picture that can be opened"):
        arrived(data, "a.jpg")


def test_a_picture_that_a_message_made_small_is_refused() -> None:
    with pytest.raises(InputError, match="too small"):
        arrived(file(size=(400, 300)), "a.jpg")


def test_without_the_extra_it_is_told_what_to_install(monkeypatch) -> None:
    monkeypatch.setattr(vision, "_HAS_LIBRARY", False)
    with pytest.raises(Impossible, match=r"pip install 'jounce\[camera\]'"):
        intake.arrived(file(), "a.jpg")
