"""What everybody agrees on: axes, signs (as data), units at the door, errors.

This room imports nothing of the others, and it is the only one that knows a unit other than SI.
"""
