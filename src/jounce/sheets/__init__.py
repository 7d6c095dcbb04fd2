"""Printed sheets: the only room that draws figures and sets type.

- `figures`: vector pictures of an axle and its curves
- `job_sheet`: the two pages that go with a job
"""
