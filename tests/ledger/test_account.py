"""The account of promises: inside, misses, score, correction, and a drift that is told with its day."""

from __future__ import annotations

import datetime

import numpy as np
import pytest
from scipy import integrate, stats

from jounce.conventions.units import DEG, MM, Kind
from jounce.ledger.account import account_of, correction, corrections
from jounce.ledger.drift import drift_of
from jounce.ledger.outcome import Outcome, PromisedNumber
from jounce.ledger.score import BEST, interval_score
from jounce.questions.ledger import ledger_sentences, ledger_tables

DAY = datetime.date(2026, 1, 5)
_Z90 = stats.norm.ppf(0.95)


def outcome(off, *, job="a", key="front.left.height", band=3 * MM, day=0, kind=Kind.LENGTH, widened=1.0):
    promised = PromisedNumber(key, kind, 0.3, band, widened, "strut-coil")
    return Outcome(job, promised, 0.3 + off, 2 * MM, DAY + datetime.timedelta(days=day))


def test_a_found_value_has_a_plus_minus_of_its_own():
    one = outcome(3.0 * MM)
    deviation = np.hypot(3 * MM / _Z90, 1 * MM)

    assert one.deviation == pytest.approx(deviation)
    assert one.apart == pytest.approx(3 * MM / deviation)
    assert one.inside
    assert not outcome(_Z90 * deviation * 1.001).inside
    assert outcome(_Z90 * deviation * 0.999).inside
    assert (one.place, one.quantity, one.season) == ("front height", "height", "January to March")


def test_the_score_of_right_bands_is_the_recipe_s_and_any_other_band_scores_worse():
    def mean(times):
        half = times * _Z90
        return integrate.quad(lambda x: interval_score(x, half) * stats.norm.pdf(x), -12, 12, points=[-half, half])[0]

    assert mean(1) == pytest.approx(BEST, abs=5e-5)
    assert 4 * stats.norm.pdf(_Z90) / 0.1 == pytest.approx(BEST, abs=5e-5)
    for times in (0.5, 0.8, 1.25, 2):
        half = times * _Z90
        in_closed_form = 2 * half + 40 * (stats.norm.pdf(half) - half * stats.norm.sf(half))
        assert mean(times) == pytest.approx(in_closed_form, abs=1e-6)
        assert mean(times) > BEST


def test_the_correction_begins_at_one_and_learns():
    assert correction([]) == 1
    assert correction([1.0] * 50) == pytest.approx(1)
    assert correction([2.0] * 12) == pytest.approx(np.sqrt((8 + 48) / 20))


def test_bands_too_narrow_by_1_6_are_mended_by_what_is_learned():
    """By simulation: cover of the next band after 10 and after 40 checks, and of bands that were right."""
    draws = np.random.default_rng(11)

    def cover(times, checks):
        z = times * draws.standard_normal((20_000, checks))
        factor = np.sqrt((8 + (z**2).sum(1)) / (8 + checks))
        return np.mean(np.abs(times * draws.standard_normal(20_000)) <= _Z90 * factor)

    assert cover(1.6, 10) == pytest.approx(0.82, abs=0.01)
    assert cover(1.6, 40) == pytest.approx(0.875, abs=0.01)
    assert cover(1.0, 10) == pytest.approx(0.89, abs=0.01)


def test_it_learns_from_the_bands_as_they_were_before_it_widened_them():
    plain, widened = outcome(5 * MM), outcome(5 * MM, band=6 * MM, widened=2.0)

    assert widened.apart < plain.apart
    assert widened.apart_before == pytest.approx(plain.apart)
    assert corrections([widened]) == pytest.approx(corrections([plain]))


def test_fourteen_of_twenty_is_no_alarm_and_thirteen_is_one():
    held, missed = outcome(0.0), outcome(9 * MM)

    assert not account_of([held] * 14 + [missed] * 6).alarm
    account = account_of([held] * 13 + [missed] * 7)
    assert account.alarm
    assert (account.inside, account.count, account.jobs) == (13, 20, 1)
    assert any(line.startswith("ALARM, height: only 13 of 20") for line in ledger_sentences([held] * 13 + [missed] * 7))
    assert not account_of([missed] * 4).alarm, "not before the fifth"


def made(offsets, **given):
    draws = np.random.default_rng(3)
    return [
        outcome(off + 0.5 * MM * draws.standard_normal(), job=str(k), day=20 * k, key=f"front.{side}.height", **given)
        for k, off in enumerate(offsets)
        for side in ("left", "right")
    ]


def test_a_drift_is_told_with_its_day_and_its_question():
    outcomes = made([0.0] * 6 + [-8 * MM] * 5)
    drift = drift_of(outcomes)

    assert drift is not None
    assert drift.since == DAY + datetime.timedelta(days=120)
    assert drift.after == pytest.approx(-8 * MM, abs=0.7 * MM)
    assert (drift.place, drift.jobs) == ("front height", 5)
    (line,) = [one for one in ledger_sentences(outcomes) if "since" in one]
    assert "arch" in line
    assert "2026-05-05" in line


def test_what_chance_does_is_no_drift():
    """Bands that are right: a drift is told in fewer than one of fifty ledgers of thirty jobs."""
    draws = np.random.default_rng(5)
    deviation = outcome(0.0).deviation
    told = sum(
        drift_of([outcome(deviation * draws.standard_normal(), job=str(k), day=k) for k in range(30)]) is not None
        for _ in range(300)
    )
    assert told <= 6


def test_an_empty_ledger_says_how_it_is_filled():
    (table,) = ledger_tables([], 16)

    assert table.rows[0].values == ("16", "0")
    assert "Proof" in table.remarks[0]


def test_tables_stand_by_quantity_axle_layout_and_season():
    outcomes = [*made([0.0] * 6), outcome(0.0, key="rear.left.camber", kind=Kind.ANGLE, band=0.2 * DEG, day=100)]
    titles = {table.question: [row.name for row in table.rows] for table in ledger_tables(outcomes, 40)}

    assert titles["The ledger by quantity"] == ["height", "camber"]
    assert titles["The ledger by axle and quantity"] == ["front height", "rear camber"]
    assert titles["The ledger by layout"] == ["strut-coil"]
    assert titles["The ledger by season"] == ["January to March", "April to June"]
