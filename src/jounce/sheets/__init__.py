"""Printed sheets: the only room that draws figures and sets type.

- `figures`: vector pictures of an axle and its curves
- `index_card`: what is set at the splines of a job's torsion bars
- `job_sheet`: the two pages that go with a job
"""
