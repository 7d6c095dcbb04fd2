"""What a photograph showed, written down beside it, so that nobody has to look for its tiles again."""

from __future__ import annotations

import json

import numpy as np

from jounce.conventions.errors import InputError
from jounce.photographs.seen import SeenPhoto

__all__ = ["record_of", "recorded"]

_DECIMALS = 4  # of a pixel


def record_of(photo: SeenPhoto) -> str:
    """What a photograph shows, as JSON; a corner that is covered is null.

    Args:
        photo: what it shows
    """
    corners = [
        [None if not np.isfinite(corner).all() else np.round(corner, _DECIMALS).tolist() for corner in tile]
        for tile in photo.corners
    ]
    return json.dumps(
        {
            "numbers": photo.numbers,
            "corners": corners,
            "size": photo.size,
            "as_on_film": photo.as_on_film,
            "turns": photo.turns,
            "blur": photo.blur if np.isfinite(photo.blur) else None,
        }
    )


def recorded(text: str, name: str) -> SeenPhoto:
    """A photograph as `record_of` wrote it down.

    Args:
        text: JSON
        name: of the photograph

    Raises:
        InputError: the record is not of this form
    """
    try:
        told = json.loads(text)
        corners = [[[np.nan, np.nan] if one is None else one for one in tile] for tile in told["corners"]]
        width, height = (int(one) for one in told["size"])
        return SeenPhoto(
            name,
            tuple(int(one) for one in told["numbers"]),
            np.array(corners, dtype=np.float64).reshape(-1, 4, 2),
            (width, height),
            None if told["as_on_film"] is None else float(told["as_on_film"]),
            int(told["turns"]),
            float("nan") if told["blur"] is None else float(told["blur"]),
        )
    except (ValueError, TypeError, KeyError) as fault:
        raise InputError(
            "What was found in this photograph cannot be read", todo="Take it out and send it again.", place=name
        ) from fault
