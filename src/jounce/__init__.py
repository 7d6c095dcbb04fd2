"""Suspension mechanics for a workshop: a car as measured, what a change does to it, and how to set it."""
