"""A photograph as it comes in: opened, turned upright, and freed of place, maker and owner before anything is kept.

Of all that a telephone writes beside a picture only two numbers are taken: the focal length as on film, and how often the
picture was turned. What is kept is a new JPEG made from the picture's points alone.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from importlib.util import find_spec

import numpy as np

from jounce.conventions.errors import Impossible, InputError
from jounce.photographs.vision import Bytes, needed

_HAS_PILLOW = find_spec("PIL") is not None
_HAS_HEIF = find_spec("pi_heif") is not None
if _HAS_PILLOW:
    from PIL import Image, ImageOps, UnidentifiedImageError

    Image.MAX_IMAGE_PIXELS = None  # how large one may be is said below, before its points are read
if _HAS_HEIF:
    import pi_heif  # type: ignore[import-untyped]  # it brings no types

__all__ = ["Arrived", "arrived"]

MOST_BYTES = 40_000_000
"""Of a photograph's file."""
_MOST_PIXELS = 120_000_000
_ENOUGH_PIXELS = 30_000_000
"""A larger picture is brought to half its width: its lens and its points are no finer, and tiles are found worse in it."""
_FEWEST_PIXELS = 640 * 480
_QUALITY = 95
_ORIENTATION, _DETAILS, _AS_ON_FILM = 0x0112, 0x8769, 0xA405
_TURNS = {1: 0, 6: 1, 3: 2, 8: 3, 2: 0, 7: 1, 4: 2, 5: 3}
"""How often a picture is turned to the right to stand upright, by its orientation; one that is kept mirrored is unmirrored
first."""
_FULLEST = (8, 10, 12, 14, 16)  # bits of a point that a file with more than eight may mean
_READ = ("JPEG", "MPO", "PNG", "HEIF", "AVIF", "WEBP", "TIFF", "BMP")
"""No other form of picture is opened: some are programs."""
_HEIF = (b"ftypheic", b"ftypheix", b"ftyphevc", b"ftypmif1", b"ftypmsf1", b"ftypheim", b"ftypheis")
_SET_TO_JPEG = (
    "Or set the telephone to JPEG, in the settings of its camera under formats, where it may be called most compatible, "
    "and take the photographs again."
)
_FORMS = "JPEG, PNG or HEIC, as the telephone took it"


@dataclass(frozen=True, slots=True)
class Arrived:
    """A photograph without anything that tells of place or owner.

    Attributes:
        name: of its file, without folders
        kept: a new JPEG, upright, with nothing beside its points
        picture: grey, upright, shape (height, width) [-]
        as_on_film: focal length for a picture of 36 by 24 mm [mm]; None where it was not told
        turns: how often it was turned a quarter to the right to stand upright

    """

    name: str
    kept: bytes
    picture: Bytes
    as_on_film: float | None
    turns: int


def arrived(data: bytes, name: str) -> Arrived:
    """Open a photograph and take off everything but its points.

    Args:
        data: the file
        name: its name

    Raises:
        Impossible: the extra is not installed
        InputError: it is no picture, too small or too large
    """
    needed()
    short = name.replace("\\", "/").rpartition("/")[2] or "photograph"
    if len(data) > MOST_BYTES:
        raise InputError("This file is too large for a photograph", found=f"{len(data) / 1e6:.0f} MB",
                         allowed=f"up to {MOST_BYTES / 1e6:.0f} MB", todo="Send it as JPEG.", place=short)  # fmt: skip
    is_heic = data[4:12] in _HEIF
    if is_heic:
        if not _HAS_HEIF:
            raise Impossible(f"{short}: HEIC pictures need `pip install 'jounce[camera]'`. {_SET_TO_JPEG}")
        pi_heif.register_heif_opener()
    try:
        Image.init()
        with Image.open(io.BytesIO(data), formats=[one for one in _READ if one in Image.OPEN]) as opened:
            _check_size(opened.width, opened.height, short)
            noted = opened.getexif()
            turned = opened.info.get("original_orientation")  # a HEIC is turned upright as it is opened
            orientation = int(turned or noted.get(_ORIENTATION, 1) or 1)
            on_film = noted.get_ifd(_DETAILS).get(_AS_ON_FILM)
            upright = _halved(_of_eight_bits(ImageOps.exif_transpose(opened)))
    except InputError:
        raise
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError) as fault:
        known = not isinstance(fault, UnidentifiedImageError)
        todo = "It came in part or was damaged: send it again." if known else "Send the photograph itself."
        todo = f"Send it again. {_SET_TO_JPEG}" if is_heic else todo
        raise InputError("This is no picture that can be opened", allowed=_FORMS, todo=todo, place=short) from fault
    return _bare(upright, short, on_film, _TURNS.get(orientation, 0))


def _of_eight_bits(picture: Image.Image) -> Image.Image:
    """The picture with eight bits for each point and colour; the library cuts off what is brighter, it does not scale."""
    if not picture.mode.startswith("I"):
        return picture.convert("RGB")
    points = np.asarray(picture, dtype=np.float64)
    needed_bits = int(points.max()).bit_length()
    full = 2.0 ** next((bits for bits in _FULLEST if bits >= needed_bits), 32) - 1
    return Image.fromarray(np.round(points * (255 / full)).clip(0, 255).astype(np.uint8)).convert("RGB")


def _halved(picture: Image.Image) -> Image.Image:
    """A very large picture with each four points made one; any other as it is."""
    if picture.width * picture.height <= _ENOUGH_PIXELS:
        return picture
    even = (0, 0, picture.width // 2 * 2, picture.height // 2 * 2)
    return picture.reduce(2, even)


def _check_size(width: int, height: int, name: str) -> None:
    if width * height > _MOST_PIXELS:
        raise InputError(
            "This picture is too large", found=f"{width} x {height}", allowed="up to 120 million points", place=name
        )
    if width * height < _FEWEST_PIXELS:
        raise InputError(
            "This picture is too small to be measured in",
            found=f"{width} x {height}",
            allowed="640 x 480 or more",
            todo="Take the photograph itself, not the one a message made small.",
            place=name,
        )


def _bare(upright: Image.Image, name: str, on_film: object, turns: int) -> Arrived:
    """A picture with its points alone: no note, no profile, no preview comes along."""
    bare = Image.fromarray(np.asarray(upright))
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=_QUALITY, subsampling=0)
    focal = float(on_film) if isinstance(on_film, int | float) else 0.0
    return Arrived(
        name,
        out.getvalue(),
        np.asarray(bare.convert("L"), dtype=np.uint8),
        focal if 8 <= focal <= 400 else None,
        turns,
    )
