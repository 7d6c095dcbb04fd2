"""Printed sheets: the only room that draws figures and sets type.

- `blocks`: what a sheet is made of; `printing`, with `house.typ`: how blocks come onto paper
- `paperwork`: what a sheet is printed from: the case, how it looks, what is offered
- `catalogue`: all kinds of sheets, each in a module of its own
- `cautions`: which warnings a car, its parts and a sheet call for
- `figures`, `drive_figures`: vector pictures of an axle and its curves, of a corner and a bump
- `job_sheet`: the two pages that go with a job, in a narrower style of their own; `index_card`: the card on it
"""
