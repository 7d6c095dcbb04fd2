"""One file for each step, in order."""
