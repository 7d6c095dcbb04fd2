"""Mechanisms without cars.

A mechanism is a tree of bodies, and *measures* taken on it: scalar functions of where the bodies are. A joint is a
measure that must keep its value, a drive is a measure that is given one, an element (spring, bar, tyre) is a measure
with an energy law, an output is a measure that is read. One exact first and second derivative serves them all.

- `tree`: bodies and the vectors (points, directions, segments) carried by them
- `measures`: what can be measured between vectors
- `mechanism`: bodies, joints and named measures compiled for batches of states
- `functions`: every kind's formulas, once, for one state as for many side by side (see `states`)
- `place`: where things are for given drives
- `balance`: where things come to rest under elements and weights, and what every joint carries
"""
