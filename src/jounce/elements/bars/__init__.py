"""Torsion bars, anti-roll bars, rods: stiffness, stress, materials."""
