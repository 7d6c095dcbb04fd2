"""Picture of the car's axes: from the left, from behind, from above."""

from __future__ import annotations

from generate.drawing import FAINT, X_AXIS, Y_AXIS, Z_AXIS, Panel, box, row_of_panels

_AXIS = 62.0  # drawn length of an axis
_RADIUS = 24.0
_WHEELBASE = 150.0
_HALF_TRACK = 62.0


def axes_picture() -> str:
    """Three views of a car with the origin and the senses of x, y and z."""
    return row_of_panels(
        "Axes of the car",
        "From the left, from behind and from above: x points forward, y to the left, z up. The origin lies on the "
        "centre plane, on the ground, under the front wheel centres of the car as it was measured.",
        [_from_the_left(), _from_behind(), _from_above()],
    )


def _from_the_left() -> Panel:
    panel = Panel("side view", "seen from the left", origin=(98, 60))
    body = [(-42, 22), (-40, 52), (18, 66), (60, 104), (140, 104), (176, 62), (182, 22)]
    panel.shape(body)
    for x in (0.0, _WHEELBASE):
        panel.circle((x, _RADIUS), _RADIUS, fill="#ffffff")
    _ground(panel, -92, 214)
    panel.arrow((0, 0), (-_AXIS - 16, 0), X_AXIS)
    panel.text((-_AXIS - 22, -20), "x forward", X_AXIS, anchor="start")
    panel.arrow((0, 0), (0, 120), Z_AXIS)
    panel.text((0, 128), "z up", Z_AXIS)
    panel.towards_viewer((0, 0), Y_AXIS)
    panel.text((12, -20), "y, towards you", Y_AXIS, anchor="start")
    return panel


def _from_behind() -> Panel:
    panel = Panel("rear view", "seen from behind", origin=(160, 60))
    body = [(-66, 24), (-68, 62), (-50, 106), (50, 106), (68, 62), (66, 24)]
    panel.shape(body)
    for y in (-_HALF_TRACK, _HALF_TRACK):
        panel.shape(box((y, _RADIUS), 18, 2 * _RADIUS), fill="#ffffff")
    _ground(panel, -126, 126)
    panel.line([(0, 0), (0, 150)], FAINT, 1.4, dashed=True)
    panel.text((0, 166), "centre plane", "#52606d", size=12)
    panel.arrow((0, 0), (-110, 0), Y_AXIS)
    panel.text((-104, -18), "y left", Y_AXIS)
    panel.arrow((0, 0), (0, 136), Z_AXIS)
    panel.text((8, 140), "z up", Z_AXIS, anchor="start")
    panel.away_from_viewer((0, 0), X_AXIS)
    panel.text((12, -20), "x, away from you", X_AXIS, anchor="start")
    return panel


def _from_above() -> Panel:
    panel = Panel("plan", "seen from above", origin=(160, 180))
    body = [(-58, -178), (-58, 14), (-40, 42), (40, 42), (58, 14), (58, -178)]
    panel.shape(body)
    for x in (0.0, -130.0):
        for y in (-_HALF_TRACK, _HALF_TRACK):
            panel.shape(box((y, x), 16, 46), fill="#ffffff")
    panel.line([(0, -178), (0, 44)], FAINT, 1.4, dashed=True)
    panel.arrow((0, 0), (0, 60), X_AXIS)
    panel.text((8, 54), "x forward", X_AXIS, anchor="start")
    panel.arrow((0, 0), (-100, 0), Y_AXIS)
    panel.text((-104, 12), "y left", Y_AXIS)
    panel.towards_viewer((0, 0), Z_AXIS)
    panel.text((0, -26), "z, towards you", Z_AXIS, size=12)
    return panel


def _ground(panel: Panel, left: float, right: float) -> None:
    panel.line([(left, 0), (right, 0)], FAINT, 1.6)
