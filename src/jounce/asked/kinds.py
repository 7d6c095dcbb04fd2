"""The kinds of questions that are understood, each with the sentence by which it is offered."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["KINDS", "UNKNOWN"]

UNKNOWN = "unknown"
"""The kind of what is not the suspension's business, or is no question at all."""

KINDS: Mapping[str, str] = {
    "lower": "Setting it lower or higher: what is turned, what travel is left",
    "how-low": "How low it can go, and what ends it",
    "teeth": "Which teeth of the torsion bars give a height",
    "bar": "What torsion bars of another diameter give",
    "panhard": "Whether an adjustable Panhard rod is needed, and how far the axle moves sideways",
    "one-side": "Why a wheel stands further out, or rubs, on one side only",
    "part-for": "Which spring, bar or rod gives what is wanted",
    "wheel-lift": "When an inside wheel leaves the road",
    "anti-roll-bar": "What an anti-roll bar of another size gives",
    "seated": "Whether the springs stay in their seats at full droop",
    "keep-dampers": "Whether the dampers can stay",
    "damping": "How well it is damped, and what the dampers should do",
    "bump-steer": "Whether it steers by itself over bumps",
    "camber": "How much camber it has and how much is sensible",
    "adjusters": "What one turn, one tooth or one millimetre of an adjuster does",
    "stance": "Why it sits to one side, or pulls",
    "left-right": "Why left and right turns differ",
    "ride": "Whether it is comfortable",
    "wheels": "What other wheels, offsets or spacers change",
    "legal": "Whether it is allowed by the rules of this shop",
    "load": "How it stands with people, luggage or other masses",
    "settled": "Whether it has settled, and what to look at again",
    "rub": "Whether a tyre rubs",
    "coil-over": "Changing from torsion bars to coil-overs",
    "which-first": "What to do first",
    "price": "What it costs",
    "balance": "Whether front or rear slides first",
    "roll": "How much it leans in corners",
    "brake": "What braking and driving do",
    "weigh": "What each wheel weighs",
    "bounce": "What bouncing it by hand says",
    "next-reading": "What to measure next",
    "fit": "What readings in a garage say of it",
    "settle": "How it stands now: rates, frequencies, loads",
    "travel": "Angles and centres along the wheels' travel",
    "loads": "What joints, rods and springs carry",
    "comply": "What bushes give",
    "influence": "What an error of a measured point does",
    "side-effects": "What else changes with the height",
    "coil": "What a coil spring of given wire and turns is",
    "bottoming": "Whether it hits its bump rubbers",
    "scrapes": "How much ground clearance is left",
    "noise": "Noises, play and shaking",
    "alignment": "Which toe and caster it has",
    UNKNOWN: "Something else",
}
"""Sentence of each kind, by its word."""
