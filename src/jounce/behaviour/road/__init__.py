"""The whole car on its road: body, two axles, four tyres, and what acts on them.

In reading order: `road_car` (what the car is), `loading` (what happens to it), `axle_path` and `attitude` (where things
are), `forces` (what they do), `equilibrium` (where it rests), then what is asked of it: `corner`, `lift`, `modes` …
"""
