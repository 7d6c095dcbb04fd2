"""How good predictions were: what was promised beside what was found, counted, tested for chance, told as a correction."""
