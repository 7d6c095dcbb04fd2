"""Which teeth of a torsion bar give which height."""
