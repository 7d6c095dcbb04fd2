"""What people call the ends of a car: words by axle, for every pattern that looks for one."""

from __future__ import annotations

import re

__all__ = ["AXLE_WORDS", "NAMED_AXLE"]

AXLE_WORDS = {
    "front": r"front|nose|bonnet|vorn|vorne|vorderachse|vorder\w*|nase|vordere[rn]?|va",
    "rear": r"rear|back(?! to\b| up\b| in\b)|tail|bum|behind|arse|boot|hinten|hinterachse|heck|hinter\w*|ha",
}
"""Words for each axle, as alternatives of a pattern."""
NAMED_AXLE = {axle: re.compile(rf"\b(?:{words})\b") for axle, words in AXLE_WORDS.items()}
"""What finds an axle in a sentence."""
