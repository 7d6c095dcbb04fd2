"""Picture of a left wheel's angles and offsets, each drawn with its positive sign."""

from __future__ import annotations

from math import cos, radians, sin, tan

from generate.drawing import FAINT, INK, POSITIVE, Panel, box, on_circle, row_of_panels, turned

_RADIUS = 66.0
_SIZE = (240.0, 250.0)
_QUIET = "#52606d"


def wheel_picture() -> str:
    """Camber, toe, caster with trail, kingpin inclination with scrub radius, of a left wheel, all positive."""
    return row_of_panels(
        "Angles and offsets of a left wheel, each positive",
        "Camber: the top leans outward. Toe: the front points inward. Caster: the steering axis leans rearward at the "
        "top; the trail is positive when the contact point lies behind the place where that axis meets the ground. "
        "Kingpin inclination: the axis leans inward at the top; the scrub radius is positive when the axis meets the "
        "ground inboard of the contact point.",
        [_camber(), _toe(), _caster(), _kingpin()],
    )


def _camber() -> Panel:
    lean = 12.0
    panel = Panel("camber +", "left wheel, seen from behind", origin=(110, 46), size=_SIZE)
    _ground(panel)
    foot = (0.0, 0.0)
    panel.shape(turned(box((0, _RADIUS), 30, 2 * _RADIUS), foot, lean), fill="#ffffff")
    panel.line([foot, (0, 172)], FAINT, 1.4, dashed=True)
    panel.line([foot, on_circle(foot, 176, 90 + lean)], INK, 1.4, dashed=True)
    panel.arc(foot, 160, 90, 90 + lean)
    panel.text((-56, 178), "camber +", POSITIVE)
    _inward(panel, 30, 100)
    return panel


def _toe() -> Panel:
    angle = 14.0
    centre = (0.0, 80.0)
    panel = Panel("toe +, toe-in", "left wheel, seen from above", origin=(104, 20), size=_SIZE)
    panel.shape(turned(box(centre, 30, 2 * _RADIUS), centre, -angle), fill="#ffffff")
    panel.line([(0, 4), (0, 190)], FAINT, 1.4, dashed=True)
    panel.line([on_circle(centre, 76, -90 - angle), on_circle(centre, 114, 90 - angle)], INK, 1.4, dashed=True)
    panel.arc(centre, 100, 90, 90 - angle)
    panel.text((34, 194), "toe +", POSITIVE, anchor="start")
    panel.text((-18, 186), "forward", _QUIET, anchor="end", size=12)
    panel.arrow((-10, 168), (-10, 200), _QUIET, 1.6)
    _inward(panel, 34, 60)
    return panel


def _caster() -> Panel:
    angle, trail = 16.0, 26.0
    panel = Panel("caster +, trail +", "left wheel, seen from the left", origin=(116, 46), size=_SIZE)
    _ground(panel)
    panel.circle((0, _RADIUS), _RADIUS, fill="#ffffff")
    foot = (-trail, 0.0)
    top = (foot[0] + 172 * sin(radians(angle)), 172 * cos(radians(angle)))
    panel.line([foot, top], INK, 2.2)
    panel.line([foot, (foot[0], 176)], FAINT, 1.4, dashed=True)
    panel.arc(foot, 154, 90, 90 - angle)
    panel.text((foot[0] + 12, 184), "caster +", POSITIVE)
    panel.dot((0, 0))
    panel.dot(foot)
    panel.arrow((foot[0], -14), (0, -14))
    panel.text((6, -20), "trail +", POSITIVE, anchor="start")
    panel.arrow((-70, 26), (-104, 26), _QUIET, 1.6)
    panel.text((-88, 34), "forward", _QUIET, size=12)
    return panel


def _kingpin() -> Panel:
    angle, scrub = 13.0, 24.0
    panel = Panel("kingpin +, scrub radius +", "left wheel, seen from behind", origin=(92, 46), size=_SIZE)
    _ground(panel)
    panel.shape(box((0, _RADIUS), 30, 2 * _RADIUS), fill="#ffffff")
    foot = (scrub, 0.0)
    panel.line([foot, (foot[0] + 172 * tan(radians(angle)), 172)], INK, 2.2)
    panel.line([foot, (foot[0], 176)], FAINT, 1.4, dashed=True)
    panel.arc(foot, 156, 90, 90 - angle)
    panel.text((foot[0] + 20, 184), "kingpin inclination +", POSITIVE)
    panel.dot((0, 0))
    panel.dot(foot)
    panel.arrow((0, -14), (foot[0], -14))
    panel.text((foot[0] + 6, -20), "scrub radius +", POSITIVE, anchor="start")
    _inward(panel, 76, 70)
    return panel


def _ground(panel: Panel) -> None:
    panel.line([(-86, 0), (120, 0)], FAINT, 1.6)


def _inward(panel: Panel, start: float, height: float) -> None:
    panel.arrow((start, height), (start + 34, height), _QUIET, 1.6)
    panel.text((start + 17, height + 8), "centre plane", _QUIET, anchor="start" if start < 40 else "middle", size=12)
