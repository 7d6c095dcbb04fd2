"""The product for a notebook: cars and jobs as objects, their results as frozen arrays with names and units.

`jounce` itself shows every name of this room; `car` reads and asks a car, `plan` the car of a job, `results` holds what
comes out, `drives` and `states_file` say where an axle is put.
"""

from jounce.library.answers import Answers, ask
from jounce.library.car import Car, Job, read_car, read_job
from jounce.library.plan import Plan
from jounce.library.results import Results, Standing, Travel

__all__ = ["Answers", "Car", "Job", "Plan", "Results", "Standing", "Travel", "ask", "read_car", "read_job"]
