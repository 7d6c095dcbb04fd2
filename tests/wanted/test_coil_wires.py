"""Stress of coils' wires: by the energy of twisted wire, by the job's own check, and of a shelf's coils."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from jounce.behaviour.road.of_document import car_as_found
from jounce.car.file.reading import parse_car
from jounce.car.file.rewriting import rewritten
from jounce.case.case import Case
from jounce.elements.bars.materials import hot_formed_solid_stress_limit
from jounce.job.file import parse_job
from jounce.shelf.toml import parse_toml
from jounce.wanted.coil_wires import force_at_full_bump, turns_of_the_wire
from jounce.wanted.main_springs import longer_springs, stiffer_springs
from jounce.wanted.on_shelf import nearest
from jounce.wanted.seek import PartWish
from jounce.wanted.stood import stand
from jounce.wanted.work_car import WorkCar
from tests.wanted.demo_work import found, text_of

WIRE, MEAN, TURNS = 0.0118, 0.105, 6.5
STRESS, LIMIT = "stress of the wire at full bump or solid", "stress that such a wire may see"


@cache
def wound(**more: float) -> WorkCar:
    """A car whose rear coils are told by their wire."""
    sizes = {"rate": None, "wire": WIRE * 1e3, "mean_diameter": MEAN * 1e3, "active_turns": TURNS, **more}
    text = rewritten(text_of("burnet-17"), {f"rear.spring.{key}": value for key, value in sizes.items()})
    document = parse_car(text, "car")
    return WorkCar(document, car_as_found(document))


def lower(work: WorkCar):
    before = stand(work.car).lower("rear")
    return lambda stood: stood.lower("rear") - before


def told(part, answer) -> dict[str, float]:
    return {figure.name: figure.value for figure in part.also(answer.value, answer.stood)}


@pytest.mark.parametrize("down", [0.0, 0.02])
def test_stress_of_the_same_wire_is_that_of_the_energy_it_holds(down):
    """Wire in pure torsion holds ``tau² / (4 G)`` of each of its ``pi d²/4 · pi D n``: as much as ``F² / (2 k)``.

    Source: Shigley's Mechanical Engineering Design, 10th ed., 4-7 (strain energy of torsion).
    """
    work = wound()
    part = longer_springs(work, "rear", stand(work.car))
    answer = found(part, lower(work), down)
    force = force_at_full_bump(answer.stood, "rear")
    modulus = work.section("rear").left.spring.shear_modulus.value
    rate = modulus * WIRE**4 / (8 * MEAN**3 * TURNS)
    volume = math.pi * WIRE**2 / 4 * math.pi * MEAN * TURNS

    assert told(part, answer)[STRESS] == pytest.approx(
        math.sqrt(4 * modulus * force**2 / (2 * rate) / volume), rel=1e-9
    )
    assert told(part, answer)[LIMIT] == float(hot_formed_solid_stress_limit(WIRE))


def test_a_stiffer_coil_of_that_wire_has_fewer_turns_and_the_job_s_check_finds_its_stress():
    """The file with those turns and lengths read anew: the check of a job that changes nothing tells the same stress."""
    work = wound()
    part = stiffer_springs(work, "rear", stand(work.car))
    answer = found(part, lambda stood: stood.of_wheels("rear", "ride_frequency"), 1.9)
    figures = told(part, answer)
    turns = figures["turns that work, of the old ones' wire and width"]
    modulus = work.section("rear").left.spring.shear_modulus.value
    anew = wound(active_turns=turns)
    job = '[job]\nname = "x"\ncar = "x"\n'
    checks = [one for one in Case(anew.document, parse_job(job, "job")).checks if one.code == "SPR-04"]

    assert turns < TURNS
    assert modulus * WIRE**4 / (8 * MEAN**3 * turns) == pytest.approx(answer.value, rel=1e-12)
    assert turns_of_the_wire(work.section("rear").left.spring, answer.value)[0].value == turns
    rear = max(one.value for one in checks if "rear" in one.question)
    assert figures[STRESS] == pytest.approx(rear, rel=1e-4)


def test_a_coil_that_is_solid_before_full_bump_sees_no_more_than_its_solid_length():
    """Compressed to its solid length it carries ``k (L0 - Ls)``, whatever way the wheel had left."""
    work = wound()
    part = longer_springs(work, "rear", stand(work.car))
    free = found(part, lower(work), 0.0).value
    solid = wound(free_length=free * 1e3, solid_length=free * 1e3 - 40)
    part = longer_springs(solid, "rear", stand(solid.car))
    answer = found(part, lower(solid), 0.0)
    modulus = solid.section("rear").left.spring.shear_modulus.value
    rate = modulus * WIRE**4 / (8 * MEAN**3 * TURNS)
    short = answer.value - (free - 0.040)

    assert told(part, answer)[STRESS] == pytest.approx(8 * rate * short * MEAN / (math.pi * WIRE**3), rel=1e-6)


def test_coils_of_a_shelf_tell_their_own_stress():
    """Each as it is put in: its own wire, its own rate, at rest with it."""
    coils = "".join(
        f'[coil.C-{k}]\nname = "coil {k}"\nplace = "rear"\nfree_length = {free}\nwire = {wire}\nmean_diameter = 105\n'
        f'active_turns = 6.5\ntotal_turns = 8\nends = "closed"\n'
        for k, (free, wire) in enumerate(((330, 11.5), (350, 11.5)))
    )
    work = wound()
    part = longer_springs(work, "rear", stand(work.car))
    wish = PartWish("lower", "length", 0.02, lower(work), ("", ""))
    shelf = parse_toml(coils, "shelf").whole("shelf")
    fits = nearest(wish, part, shelf, None)

    assert fits
    for fit in fits:
        figures = {figure.name: figure.value for figure in fit.figures}
        force = force_at_full_bump(fit.stood, "rear")
        assert figures[STRESS] <= 8 * force * 0.105 / (math.pi * 0.0115**3) + 1
        assert figures[LIMIT] == float(hot_formed_solid_stress_limit(0.0115))
        assert np.isfinite(figures["rate of both springs"])


def test_wire_that_no_chart_has_says_so_by_none_and_unknown_wire_by_nothing():
    thin = wound(wire=9.0, active_turns=3.0)
    part = longer_springs(thin, "rear", stand(thin.car))
    answer = found(part, lower(thin), 0.0)
    assert told(part, answer)[LIMIT] is None

    bare = wound(wire=None, mean_diameter=None, active_turns=None, rate=25)
    part = longer_springs(bare, "rear", stand(bare.car))
    assert STRESS not in told(part, found(part, lower(bare), 0.0))
