"""Tests of the command line itself."""
