"""Tyres: vertical springs, lateral force by load and slip."""
