"""What a workshop does with a car: a change list, its consequences, settings and checks.

- `document`, `file`, `apply`: the job file, and the car with its parts exchanged
- `index_marks`: teeth and bolt turns of a torsion bar; `index_task`, `index_heights`, `index_plan`: what each of them gives
- `loads`: corner loads at wanted heights and cross weight
- `settings`: every adjuster of the planned car
- `plan`: as found, as planned, and the difference
- `checks`: does it fit, does it last, can it be set
"""
