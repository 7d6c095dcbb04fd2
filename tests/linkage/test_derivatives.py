"""Gradients, rates and second derivatives beside differences of values, in random poses."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.linkage.measures import Component, Distance
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.tree import Direction, Point, Segment
from tests.linkage.linkages import AXLES, Z, chain, mixed_second, random_poses

MECHANISMS = {**AXLES, "chain": chain()}
STATES = 7
STEP = {1: 2e-4, 2: 1e-3}
"""Of differences for first and second derivatives, small beside the shortest distance in any pose [m or rad]."""
by_mechanism = pytest.mark.parametrize("mechanism", MECHANISMS.values(), ids=MECHANISMS)


def everything(mechanism):
    return mechanism.taken(tuple(mechanism.measures))


def directions(mechanism, count, seed=5):
    return np.random.default_rng(seed).normal(size=(count, STATES, mechanism.tree.size))


def difference(function, order=1):
    """Central difference of eighth order at zero (Fornberg, Math. Comp. 51 (1988) 699, table 1; from memory)."""
    h = STEP[order]
    if order == 1:
        weights = {1: 4 / 5, 2: -1 / 5, 3: 4 / 105, 4: -1 / 280}
        return sum(w * (function(k * h) - function(-k * h)) for k, w in weights.items()) / h
    weights = {1: 8 / 5, 2: -1 / 5, 3: 8 / 315, 4: -1 / 560}
    sides = sum(w * (function(k * h) + function(-k * h)) for k, w in weights.items())
    return (sides - 205 / 72 * function(0.0)) / h**2


@by_mechanism
def test_gradient_is_the_difference_of_values(mechanism):
    measured, pose = everything(mechanism), random_poses(mechanism, STATES, 1)
    gradient = measured.linearised(pose).gradient
    for j in range(mechanism.tree.size):
        unit = np.zeros((STATES, mechanism.tree.size))
        unit[:, j] = 1.0
        slope = difference(lambda h, unit=unit: measured.values(mechanism.moved(pose, h * unit)))

        assert gradient[:, :, j] == pytest.approx(slope, abs=1e-10)


@by_mechanism
def test_rates_along_motions_are_gradient_times_velocity(mechanism):
    measured, pose = everything(mechanism), random_poses(mechanism, STATES, 2)
    velocity = directions(mechanism, 3).transpose(1, 0, 2)
    line = measured.linearised(pose)
    value, rate = measured.rates(pose, velocity)

    assert value == pytest.approx(line.value, abs=1e-15)
    assert rate == pytest.approx(np.einsum("nmq,nkq->nkm", line.gradient, velocity), abs=1e-12)


@by_mechanism
def test_second_derivative_along_an_accelerated_path_is_the_difference_of_values(mechanism):
    measured, pose = everything(mechanism), random_poses(mechanism, STATES, 3)
    velocity, acceleration = 0.3 * directions(mechanism, 2)

    def at(s):
        return measured.values(mechanism.moved(pose, s * velocity + 0.5 * s * s * acceleration))

    value, rate = measured.rates(pose, velocity[:, None])
    second = mixed_second(measured, pose, velocity, velocity, acceleration)

    assert value == pytest.approx(at(0.0), abs=1e-15)
    assert rate[:, 0] == pytest.approx(difference(at), abs=1e-10)
    assert second == pytest.approx(difference(at, order=2), abs=1e-8)


@by_mechanism
def test_mixed_second_derivative_is_half_of_what_the_sum_has_beyond_its_parts(mechanism):
    """By polarisation: f_ab = (f_(a+b)(a+b) - f_aa - f_bb) / 2, with the acceleration in the mixed one alone."""
    measured, pose = everything(mechanism), random_poses(mechanism, STATES, 4)
    a, b, acceleration = 0.3 * directions(mechanism, 3)

    def along(s, one, two):
        move = s * (one * a + two * b) + one * two * s * s * acceleration
        return measured.values(mechanism.moved(pose, move))

    whole, left, right = (
        difference(lambda s, m=m: along(s, *m), order=2) for m in ((1.0, 1.0), (1.0, 0.0), (0.0, 1.0))
    )

    assert mixed_second(measured, pose, a, b, acceleration) == pytest.approx(0.5 * (whole - left - right), abs=2e-8)


@by_mechanism
def test_hessian_of_a_weighted_sum_is_the_difference_of_its_values(mechanism):
    measured, pose = everything(mechanism), random_poses(mechanism, STATES, 5)
    weight = np.random.default_rng(6).normal(size=(STATES, len(measured.names)))
    hessian = measured.linearised(pose).hessian(weight)
    for a, b in zip(0.3 * directions(mechanism, 5, 7), 0.3 * directions(mechanism, 5, 8), strict=True):
        bend = np.sum(weight * mixed_second(measured, pose, a, b, np.zeros_like(a)), axis=1)

        assert np.einsum("ni,nij,nj->n", a, hessian, b) == pytest.approx(bend, abs=1e-11)

        path = difference(lambda s, a=a: measured.values(mechanism.moved(pose, s * a)), order=2)

        assert np.einsum("ni,nij,nj->n", a, hessian, a) == pytest.approx(np.sum(weight * path, axis=1), abs=1e-7)
    assert hessian == pytest.approx(hessian.transpose(0, 2, 1), abs=1e-13)


@by_mechanism
def test_what_a_row_is_said_not_to_depend_on_does_not_change_it(mechanism):
    measured = everything(mechanism)
    gradient = np.abs(measured.linearised(random_poses(mechanism, 40, 9)).gradient).max(axis=0)
    for name, row, depends in zip(measured.names, gradient, measured.depends, strict=True):
        assert set(np.flatnonzero(row > 1e-12).tolist()) <= depends, name


def test_a_row_is_not_said_to_depend_on_what_all_its_vectors_share():
    bodies = chain().tree.bodies[1:]
    on_free, free = (Point(body, np.array([0.3, 0.7, 0.2])) for body in ("on_free", "free"))
    rod, upright = Distance(on_free, free), Component(Segment(on_free, free), Direction("free", Z))
    mechanism = Mechanism(bodies, {}, {"rod": rod, "upright": upright})

    assert everything(mechanism).depends == ({mechanism.tree.coordinate("on_free")},) * 2


def test_an_angle_beyond_a_quarter_turn_and_a_large_one_turn_as_the_exact_rotation():
    mechanism = chain()
    rotation_vectors = np.array([[1e-3, 0.0, 0.0], [0.2, -0.3, 0.1], [0.3, 0.35, 0.0], [2.0, -1.0, 0.5]])
    increment = np.zeros((4, mechanism.tree.size))
    first = mechanism.tree.coordinate("free") + 3
    increment[:, first : first + 3] = rotation_vectors
    turned = mechanism.moved(mechanism.tree.reference_pose(4), increment).rotation[:, mechanism.tree.index["free"]]
    for vector, matrix in zip(rotation_vectors, turned, strict=True):
        x, y, z = vector
        k = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
        angle = np.linalg.norm(vector)
        exact = np.eye(3) + np.sin(angle) / angle * k + 2 * np.sin(angle / 2) ** 2 / angle**2 * k @ k

        assert matrix == pytest.approx(exact, abs=1e-15)
