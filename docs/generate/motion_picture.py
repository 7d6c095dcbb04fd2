"""Picture of the motions' positive senses: travel, roll, steer, and how a beam axle moves."""

from __future__ import annotations

from generate.drawing import FAINT, INK, POSITIVE, Panel, box, on_circle, row_of_panels, turned

_SIZE = (240.0, 250.0)
_QUIET = "#52606d"


def motion_picture() -> str:
    """Wheel travel, roll of an axle, steer angle, axle shift and axle steer, all positive."""
    return row_of_panels(
        "Motions, each positive",
        "Wheel travel: the wheel moves up relative to the body. Roll: the right side goes down, so the right wheel is "
        "up relative to the body. Steer angle: to the left. Axle shift: the beam axle stands to the left; axle steer: "
        "it is turned to the left.",
        [_travel(), _roll(), _steer(), _beam_axle()],
    )


def _travel() -> Panel:
    panel = Panel("wheel travel +, bump", "left wheel, seen from behind", origin=(86, 46), size=_SIZE)
    panel.shape([(30, 46), (30, 120), (48, 150), (130, 150), (130, 46)])
    panel.text((80, 96), "body")
    panel.shape(box((0, 56), 26, 112), fill="none", colour=FAINT)
    panel.shape(box((0, 86), 26, 112), fill="#ffffff")
    panel.line([(-50, 56), (24, 56)], FAINT, 1.4, dashed=True)
    panel.dot((0, 86))
    panel.arrow((-36, 56), (-36, 86))
    panel.text((-20, 98), "travel +", POSITIVE, anchor="end")
    panel.text((-20, 38), "as found", _QUIET, anchor="end", size=12)
    return panel


def _roll() -> Panel:
    lean = -9.0
    panel = Panel("roll +, right side down", "seen from behind", origin=(120, 46), size=_SIZE)
    panel.line([(-104, 0), (104, 0)], FAINT, 1.6)
    centre = (0.0, 40.0)
    panel.shape(turned([(-58, 26), (-60, 62), (-44, 104), (44, 104), (60, 62), (58, 26)], centre, lean))
    panel.line(turned([(0, 18), (0, 140)], centre, lean), INK, 1.4, dashed=True)
    panel.line([(0, 18), (0, 150)], FAINT, 1.4, dashed=True)
    for y in (-74.0, 74.0):
        panel.shape(box((y, 25), 18, 50), fill="#ffffff")
    panel.arc(centre, 126, 118, 54)
    panel.text((0, 178), "roll +", POSITIVE)
    panel.arrow((100, 14), (100, 52))
    panel.text((98, 60), "up", POSITIVE)
    panel.arrow((-100, 52), (-100, 14))
    panel.text((-98, 60), "down", POSITIVE)
    panel.text((0, -20), "arrows: wheels relative to the body", _QUIET, size=12)
    return panel


def _steer() -> Panel:
    angle = 20.0
    centre = (0.0, 86.0)
    panel = Panel("steer angle +", "any wheel, seen from above", origin=(130, 20), size=_SIZE)
    panel.shape(turned(box(centre, 30, 120), centre, angle), fill="#ffffff")
    panel.line([(0, 8), (0, 190)], FAINT, 1.4, dashed=True)
    panel.line([on_circle(centre, 76, -90 + angle), on_circle(centre, 108, 90 + angle)], INK, 1.4, dashed=True)
    panel.arc(centre, 96, 90, 90 + angle)
    panel.text((-26, 198), "steer +", POSITIVE, anchor="end")
    panel.arrow((12, 160), (12, 194), _QUIET, 1.6)
    panel.text((20, 182), "forward", _QUIET, anchor="start", size=12)
    return panel


def _beam_axle() -> Panel:
    shift, angle = -22.0, 10.0
    panel = Panel("axle shift +, axle steer +", "beam axle, seen from above", origin=(130, 20), size=_SIZE)
    middle = (shift, 84.0)
    panel.line([(0, 8), (0, 190)], FAINT, 1.4, dashed=True)
    panel.line([(-92, 84), (92, 84)], FAINT, 1.4, dashed=True)
    panel.line(turned([(shift - 74, 84), (shift + 74, 84)], middle, angle), INK, 5)
    for y in (-80.0, 80.0):
        panel.shape(turned(box((shift + y, 84), 18, 54), middle, angle), fill="#ffffff")
    panel.dot(middle, POSITIVE)
    panel.arrow((0, 40), (shift, 40))
    panel.line([(shift, 34), middle], POSITIVE, 1.2)
    panel.text((8, 34), "shift +", POSITIVE, anchor="start")
    panel.arc((0, 84), 84, 0, 14)
    panel.text((60, 132), "axle steer +", POSITIVE)
    panel.text((6, 182), "centre plane", _QUIET, anchor="start", size=12)
    return panel
