"""Tests of the house itself: what is written about the program must be true of the program."""
