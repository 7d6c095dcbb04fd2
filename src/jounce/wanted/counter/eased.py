"""The height at which parts fit that do not fit as low as was wished: the same parts, let down less far."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jounce.car.file.rewriting import rewritten
from jounce.case.case import Case
from jounce.conventions.units import MM
from jounce.job.file import parse_job
from jounce.search.goals import Goal
from jounce.search.pairs import fineness_of, score_of
from jounce.search.tasks import Run
from jounce.wanted.counter.job import job_name
from jounce.wanted.counter.tried import Tried, work_out
from jounce.wanted.counter.wish import CounterWish

__all__ = ["eased"]

_ROUNDS = 3
"""Each leaves a third of the heights: a wish of 30 mm is known to the millimetre after three."""


def eased(
    one: Tried, wish: CounterWish, base: Case, goals: tuple[Goal, ...], run: Run
) -> tuple[Tried, CounterWish] | None:
    """The lowest height, to about a millimetre, at which the parts of a package fail no check.

    What fails as low as wished is taken to fail further down too, which travel, rubbers, arches and the road all do.

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
    low, high = 0, round(wish.lower / MM)
    best: tuple[Tried, CounterWish] | None = None
    for _ in range(_ROUNDS):
        heights = sorted({low + round((high - low) * share) for share in (1 / 3, 2 / 3)} - {low, high})
        if not heights or run.stop():
            break
        wishes = [replace(wish, lower=height * MM) for height in heights]
        texts = [_at_height(one.text, other) for other in wishes]
        tasks = ((work_out, (car, parse_job(text, "the job"))) for text in texts)
        done: dict[int, Tried] = {}
        for k, (worked, case) in run.results(tasks, len(texts)):
            metrics = {name: np.array([value]) for name, value in worked.numbers.items()}
            score, fine = ((float(of(metrics, goals)[0]) if metrics else np.inf) for of in (score_of, fineness_of))
            done[k] = replace(one, text=texts[k], worked=worked, case=case, score=score, fineness=fine)
        for k in sorted(done):
            if done[k].fits:
                low, best = heights[k], (done[k], wishes[k])
            else:
                high = heights[k]
                break
    return best


def _at_height(text: str, wish: CounterWish) -> str:
    heights = {f"wanted.{axle}.lower": f"{wish.lower / MM:g} mm" for axle in ("front", "rear")}
    return rewritten(text, {"job.name": job_name(wish), **heights})
