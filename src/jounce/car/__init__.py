"""The car document: what was measured, how well, and where it comes from.

- `file`: reading a file with all its problems told at once: `quantity` (measured numbers and points), `ranges` (limits that
  make sense), `mirror` (one side written, two sides read), `inputs` (every number, for error propagation), `schema`
- `parts`: springs, dampers, bars, wheels and the rest as sections of the file
- `axles`: the sections of a file for every layout
- `mechanics`: what the file says, put together as mechanisms and springs
"""
