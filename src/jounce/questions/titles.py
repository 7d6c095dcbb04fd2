"""Titles of all questions, by their words; each question stands in the file of its word."""

from __future__ import annotations

__all__ = ["OF_CARS", "OF_JOBS", "OF_PARTS", "TITLES"]

OF_CARS = {
    "settle": "How it stands: loads, rates, frequencies, stress",
    "travel": "An axle along a motion, or in a list of states",
    "corner": "What cornering does",
    "brake": "What braking and driving do",
    "ride": "How it rides, and which dampers suit",
    "weigh": "On the scales",
    "bounce": "What bouncing it says of springs, damping and friction",
    "circle": "What driving it round a circle says of roll and steering",
    "fit": "What readings in a garage say of it, and how sure all is then",
    "next-reading": "Which reading to take next",
    "index": "Which teeth of a torsion bar give a height",
    "effects": "What one step of every adjuster does",
    "part-for": "Which part gives what is wanted",
    "influence": "What moves a result of an axle",
    "comply": "What an axle on its bushes gives under forces at its wheels",
    "loads": "What every joint, rod and spring of an axle carries",
}
"""Of a car, or of a job's car as found and as planned."""
OF_JOBS = {"side-effects": "What else moves"}
"""Of a job alone."""
OF_PARTS = {
    "bar": "What a torsion bar gives",
    "coil": "What a coil spring is and does",
    "damper": "What dampers do, side by side",
    "anti-roll-bar": "What an anti-roll bar gives",
}
"""Of a part, without a car."""
TITLES = OF_CARS | OF_JOBS | OF_PARTS
