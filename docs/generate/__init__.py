"""Writes the parts of the pages that are printed from the program and its tests; run it by ``make docs``."""
