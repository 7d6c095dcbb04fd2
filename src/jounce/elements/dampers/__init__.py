"""Dampers: force by speed, gas, energy, settings, tests on a bench."""
