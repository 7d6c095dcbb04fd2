"""The height at which parts fit that do not fit as low as was wished: the same parts, let down less far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from jounce.car.file.rewriting import rewritten
from jounce.case.case import Case
from jounce.conventions.units import MM
from jounce.job.file import parse_job
from jounce.search.goals import Goal
from jounce.search.tasks import Run
from jounce.wanted.counter.job import job_name
from jounce.wanted.counter.tried import Tried, missed_by, work_out
from jounce.wanted.counter.wish import CounterWish

__all__ = ["eased"]

_LESS = ((4, 10), (17, 25))
"""By how much less low the parts are tried first [mm]: near the wish, since far above it they fail for other reasons."""
_ROUNDS = 2
"""Each leaves a third of what lies between a height that fits and the next that does not."""


def eased(
    one: Tried, wish: CounterWish, base: Case, goals: tuple[Goal, ...], run: Run
) -> tuple[Tried, CounterWish] | None:
    """The lowest height, to about a millimetre, at which the parts of a package fail no check.

    They are tried a little less low than wished, then further; between the first that fit and the next that do not the
    edge is closed in on.

    Args:
        one: parts that fail a check where they were wished
        wish: what is asked for
        base: the car and the shop's rules
        goals: what the wish means on the car
        run: who works, and says when to stop

    Returns:
        The same parts less low, and the wish that they answer; None where they fit at no height looked at
    """
    car = run.workers.put(base)

    def looked(heights: Sequence[int]) -> dict[int, Tried]:
        """The parts at some heights, each [mm] lower than as found."""
        texts = [_at_height(one.text, replace(wish, lower=height * MM)) for height in heights]
        tasks = ((work_out, (car, parse_job(text, "the job"))) for text in texts)
        done: dict[int, Tried] = {}
        for k, (worked, case) in run.results(tasks, len(texts)):
            score, fineness = missed_by(worked, goals)
            done[heights[k]] = replace(one, text=texts[k], worked=worked, case=case, score=score, fineness=fineness)
        return done

    wished = round(wish.lower / MM)
    every: dict[int, Tried] = {}
    for less in _LESS:
        every |= looked([wished - by for by in less if wished - by > 0])
        if run.stop() or any(tried.fits for tried in every.values()):
            break
    for _ in range(_ROUNDS):
        low = max((height for height, tried in every.items() if tried.fits), default=None)
        if low is None or run.stop():
            break
        high = min((height for height in every if height > low), default=wished)
        every |= looked(sorted({low + round((high - low) * share) for share in (1 / 3, 2 / 3)} - {low, high}))
    fits = max((height for height, tried in every.items() if tried.fits), default=None)
    return None if fits is None else (every[fits], replace(wish, lower=fits * MM))


def _at_height(text: str, wish: CounterWish) -> str:
    heights = {f"wanted.{axle}.lower": f"{wish.lower / MM:g} mm" for axle in ("front", "rear")}
    return rewritten(text, {"job.name": job_name(wish), **heights})
