"""Lines over a photograph lie where the renderer's own lens, a division model, puts the same points."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from jounce.photographs.answer import photographed
from jounce.photographs.car_axes import car_axes
from jounce.photographs.overlay import Laid, in_photo, laid_over, small_picture
from jounce.photographs.survey import parse_survey
from tests.photographs.front import kept, shots, stands
from tests.photographs.scene import telephone
from tests.photographs.whole_car import true_place

POINTS = ("ball_joint", "strut_top", "tie_rod_inner", "arm_rear")  # two of them carry no tile
SIZE = (4000, 3000)


@pytest.fixture(scope="module")
def solved():
    survey = parse_survey(kept().text, "")
    found = photographed(tuple(shots()), survey, lambda _: None)
    return found, car_axes(found.net, survey, found.pivots)


def upright(place, number):
    """A place on the sensor as the picture shows it that was turned to the right so often."""
    u, v = place
    return (SIZE[1] - 1 - v, u) if number % 3 == 2 else (u, v)


@pytest.mark.parametrize("number", range(6))
def test_points_of_the_car_lie_where_they_truly_are_in_each_photograph(solved, number) -> None:
    """Pivots are good to half a millimetre here, a third of a per mille of the way to the camera: a pixel or two."""
    found, axes = solved
    stand = stands()[number]
    turns = 1 if number % 3 == 2 else 0
    true = np.array([true_place(point) for point in POINTS])
    laid = in_photo(found.net.state, number, SIZE, turns, axes.in_net(true))
    want = [upright(place, number) for place in telephone().pictured(stand.seen(true))]

    assert np.abs(laid - want).max() < 2.5


def test_the_axes_lead_there_and_back(solved) -> None:
    points = np.random.default_rng(1).normal(size=(5, 3))

    assert np.allclose(solved[1].of_net(solved[1].in_net(points)), points, atol=1e-12)


def test_what_lies_behind_the_camera_is_not_drawn(solved) -> None:
    state = solved[0].net.state
    behind = -state.turned[0].T @ (state.shift[0] + np.array([0, 0, 1.0]))

    assert np.isnan(in_photo(state, 0, SIZE, 0, behind[None])).all()


def test_tiles_are_outlined_in_a_picture_of_another_size_than_the_cameras(solved) -> None:
    """A half-size picture: each tile's outline is green halfway along its upper side, its stem the colour of rings."""
    state = solved[0].net.state
    out = io.BytesIO()
    Image.new("RGB", (2000, 1500), (120, 120, 120)).save(out, "JPEG")
    corners = state.corners(solved[0].net.views.sides)
    at = in_photo(state, 0, SIZE, 0, corners.mean(axis=1))
    place = int(np.argmin(np.linalg.norm(at - [2000, 1500], axis=1)))
    middle, out_of_it = state.tile_centre[place], 0.2 * state.tile_turned[place][:, 2]
    laid = Laid([], np.zeros((0, 3)), [], corners[[place]], np.stack([middle, middle - out_of_it])[None])
    picture = np.asarray(Image.open(io.BytesIO(laid_over(out.getvalue(), laid, state, 0, SIZE, 0))), dtype=int)
    (u, v), (a, b) = in_photo(state, 0, SIZE, 0, np.stack([corners[place, :2].mean(axis=0), middle - out_of_it / 2]))
    side, stem = (
        picture[round(y * 0.35) - 2 : round(y * 0.35) + 3, round(x * 0.35) - 2 : round(x * 0.35) + 3].reshape(-1, 3)
        for x, y in ((u, v), (a, b))
    )

    assert (side[:, 1] > side[:, 0] + 60).any()
    assert (stem[:, 0] > stem[:, 2] + 60).any()


@pytest.mark.parametrize("number", [1, 2])
def test_a_line_is_drawn_where_its_points_lie(solved, number) -> None:
    found, axes = solved
    turns = 1 if number % 3 == 2 else 0
    size = (SIZE[1], SIZE[0]) if turns else SIZE
    out = io.BytesIO()
    Image.new("RGB", size, (120, 120, 120)).save(out, "JPEG")
    line = axes.in_net(np.array([true_place("ball_joint"), true_place("arm_rear")]))
    ring = axes.in_net(true_place("strut_top"))
    drawn = laid_over(out.getvalue(), Laid([line], ring[None], ["60"]), found.net.state, number, SIZE, turns)
    picture = np.asarray(Image.open(io.BytesIO(drawn)).convert("RGB"), dtype=int)
    scale = picture.shape[1] / size[0]
    u, v = np.round(scale * in_photo(found.net.state, number, SIZE, turns, line.mean(axis=0)[None])[0]).astype(int)
    a, b = np.round(scale * in_photo(found.net.state, number, SIZE, turns, ring[None])[0]).astype(int)

    assert max(picture.shape) == 1400
    red, green, blue = picture[v, u]
    assert blue > green > red + 30, "the line"
    near = picture[b - 30 : b + 30, a - 30 : a + 30].reshape(-1, 3)
    assert (near[:, 0] > near[:, 2] + 80).sum() > 50, "the ring"
    assert np.abs(picture[5, 5] - 120).max() < 4, "the rest stays"
    assert max(Image.open(io.BytesIO(small_picture(out.getvalue()))).size) == 480
