"""The car document: what was measured, how well, and where it comes from.

- `quantity`: measured numbers and points
- `ranges`: the kinds of numbers with the limits that make sense for them
- `parts`, `pivots`, `strut_torsion_bar`, `beam_panhard`, `document`: the sections of a car file
- `mirror`: one side written, two sides read
- `file`: reading a file with all its problems told at once
- `inputs`: every number that carries a band, for error propagation
- `schema`, `reference`: the form of a car file, for editors and for the manual
"""
