"""Tests of the program; CONTRIBUTING.md says which folder proves what."""
