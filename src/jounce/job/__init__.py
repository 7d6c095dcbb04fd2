"""What a workshop does with a car: a change list, its consequences, settings and checks.

- `document`, `file`, `apply`: the job file, and the car with its parts exchanged
- `index`: teeth and bolt turns of a torsion bar, and what each of them gives
- `loads`: corner loads at wanted heights and cross weight
- `settings`: every adjuster of the planned car; `springs_together`: its springs set for all heights and the cross weight
- `plan`: as found, as planned; `comparison`: the difference, row by row
"""
