"""Compiled functions of the package search, in a room of their own: what is kept of them outlives other changes."""
