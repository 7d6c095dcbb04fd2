"""Pivots from photographs in the browser: what is kept of a photograph, what is named, the work itself."""
