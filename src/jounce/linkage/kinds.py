"""Kinds of measures, as the numbers by which compiled functions tell them apart."""

COORDINATE_SUM = 0
DISTANCE = 1
COMPONENT = 2
MEAN_COMPONENT = 3
BEARING = 4
TYRE_POINT = 5

MOST_PAIRS = 4
"""Most dot products that any kind is made of [-]."""
MOST_CONSTANTS = 2
"""Most numbers that any kind needs besides [-]."""
