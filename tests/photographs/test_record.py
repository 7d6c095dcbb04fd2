"""What was found in a photograph is the same after it was written down."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from jounce.conventions.errors import InputError
from jounce.photographs.record import record_of, recorded
from tests.photographs.front import shots


def test_a_record_gives_the_photograph_back() -> None:
    (photo,) = shots(1)
    corners = photo.corners.copy()
    corners[2, 1] = np.nan
    photo = replace(photo, corners=corners, as_on_film=None, turns=3, blur=float("nan"))
    again = recorded(record_of(photo), photo.name)

    assert np.allclose(again.corners, photo.corners, rtol=0, atol=0.5e-4, equal_nan=True)
    assert "NaN" not in record_of(photo), "no JSON"
    assert replace(again, corners=corners, blur=1.0) == replace(photo, corners=corners, blur=1.0)
    assert np.isnan(again.blur)


@pytest.mark.parametrize("text", ["", "[]", "{}", json.dumps({"numbers": [1], "corners": [[1]], "size": [3, 4]})])
def test_what_is_no_record_is_said(text) -> None:
    with pytest.raises(InputError, match=r"photograph 3: What was found in this photograph cannot be read"):
        recorded(text, "photograph 3")
