"""The timed linkages in the general multibody library, no body or joint more than they need."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from tests.verification.multibody import Multibody

Points = Mapping[str, np.ndarray]


def strut_multibody(sides: Mapping[str, Points]) -> Multibody:
    """Strut corners on a rack; drives are the sides (wheel travel) and ``rack``."""
    model = Multibody()
    model.body("rack", np.zeros(3))
    model.slide("ground", "rack", np.zeros(3), (0.0, 1.0, 0.0))
    model.drive("rack", "rack", "y")
    for side, p in sides.items():
        arm, knuckle = f"{side}.arm", f"{side}.knuckle"
        model.body(arm, 0.5 * (p["arm_front"] + p["arm_rear"]))
        model.hinge("ground", arm, p["arm_front"], p["arm_front"] - p["arm_rear"])
        model.body(knuckle, p["wheel_centre"])
        model.ball(arm, knuckle, p["ball_joint"])
        model.on_line(knuckle, p["strut_foot"], "ground", p["strut_top"], p["strut_top"] - p["strut_foot"])
        model.rod("rack", p["tie_rod_inner"], knuckle, p["tie_rod_outer"])
        model.drive(side, knuckle, "z")
    model.system.Assemble()
    return model


def beam_multibody(sides: Mapping[str, Points], rod: Points) -> Multibody:
    """The beam axle whose right arm turns on the tube; drives are ``left`` and ``right``."""
    model = Multibody()
    body_of = {"left": "tube", "right": "carrier"}
    for side, body in body_of.items():
        model.body(body, sides[side]["wheel_centre"])
    line = sides["left"]["tube_end"] - sides["right"]["tube_end"]
    model.hinge("tube", "carrier", sides["right"]["tube_end"], line)
    for side, body in body_of.items():
        eye = sides[side]["arm_bush"]
        model.on_line("ground", eye, body, eye, (0.0, 1.0, 0.0))
        model.drive(side, body, "z")
    model.rod("ground", rod["body_end"], "tube", rod["axle_end"])
    model.system.Assemble()
    return model
