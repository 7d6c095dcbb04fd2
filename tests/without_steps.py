"""Change lists with nothing that ends or goes in steps, to see what a plan is before it is rounded."""

from __future__ import annotations

from jounce.car.file.quantity import Measured
from jounce.conventions.axes import ENDS
from jounce.job.document import JobDocument

__all__ = ["without_ends", "without_steps"]

_SLOTS = ("reach_inward", "reach_outward", "reach_fore", "reach_rear")
_STEPS = {
    "perch": {"pitch": Measured(4e-9)},
    "torsion_bar": {"splines_arm": None, "splines_anchor": None, "adjuster": None},
    "top_plate": {"step": None},
    "upper_joint": {"step": None},
    "caster_link": {"thread_pitch": None},
    "camber_link": {"thread_pitch": None},
    "shims": {"step": None},
    "trailing_links": {"thread_pitch": None},
    "watt_bracket": {"step": None},
    "shackle": {"step": None},
}
_ENDS = {
    "top_plate": dict.fromkeys(_SLOTS),
    "upper_joint": dict.fromkeys(_SLOTS),
    "caster_link": {"longer": None, "shorter": None},
    "camber_link": {"longer": None, "shorter": None},
    "toe_rod": {"longer": None, "shorter": None},
    "shims": {"thickest": None},
    "trailing_links": {"longer": None, "shorter": None},
}


def without_steps(job: JobDocument) -> JobDocument:
    """A change list whose parts go anywhere between their ends.

    Args:
        job: the change list
    """
    return _without(job, _STEPS)


def without_ends(job: JobDocument) -> JobDocument:
    """A change list whose parts go anywhere at all.

    Args:
        job: the change list
    """
    return _without(_without(job, _STEPS), _ENDS)


def _without(job: JobDocument, keys: dict[str, dict[str, object]]) -> JobDocument:
    changes = {}
    for end in ENDS:
        change = job.change.of(end)
        new = {
            part: fitted.model_copy(update=without)
            for part, without in keys.items()
            if (fitted := getattr(change, part, None)) is not None
        }
        changes[str(end)] = change.model_copy(update=new)
    return job.model_copy(update={"change": job.change.model_copy(update=changes)})
