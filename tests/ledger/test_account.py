"""The account of promises: inside, misses, score, correction, and a drift that is told with its day."""

from __future__ import annotations

import datetime
from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate, stats

from jounce.conventions.units import DEG, MM, Kind
from jounce.ledger.account import account_of, correction, corrections, grouped
from jounce.ledger.drift import drift_of
from jounce.ledger.learned import own_band, widened_band
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
    def some(held, missed):
        offsets = [0.0] * held + [9 * MM] * missed
        return [outcome(off, job=str(k)) for k, off in enumerate(offsets)]

    assert not account_of(some(14, 6)).alarm
    account = account_of(some(13, 7))
    assert account.alarm
    assert (account.inside, account.count, account.jobs) == (13, 20, 20)
    assert any(line.startswith("ALARM, height: only 13 of 20") for line in ledger_sentences(some(13, 7)))
    assert not account_of(some(0, 4)).alarm, "not before the fifth"


def test_what_one_axle_of_one_job_misses_together_counts_once():
    """Three of five cars missed on both sides: by the ten numbers an alarm, by the five axles what chance may do."""
    outcomes = [
        outcome(9 * MM if k < 2 else 0.0, job=str(k), key=f"front.{side}.{what}")
        for k in range(5)
        for side in ("left", "right")
        for what in ("height", "camber")
    ]
    account = account_of(outcomes)

    assert (account.inside, account.count, account.independent) == (12, 20, 5)
    assert account.too_few == pytest.approx(stats.binom.cdf(3, 5, 0.9))
    assert not account.alarm


def shops(count, jobs, tape=1.0, drift=0.0):
    """Ledgers of a shop: front and rear height of each job, left and right with one error, tape ± 1 mm as typed."""
    draws = np.random.default_rng(8)
    for _ in range(count):
        told = []
        for k in range(jobs):
            for axle in ("front", "rear"):
                shared = 3 * MM / _Z90 * draws.standard_normal()
                for side in ("left", "right"):
                    off = shared + tape * 0.5 * MM * draws.standard_normal()
                    off += drift if axle == "front" and k >= jobs / 2 else 0.0
                    one = outcome(off, job=str(k), day=12 * k, key=f"{axle}.{side}.height")
                    told.append(replace(one, plus_minus=1 * MM))
        yield told


def drifting(told):
    return {name for name, group in grouped(told, lambda one: one.place).items() if drift_of(group) is not None}


def test_a_shop_whose_front_heights_come_out_4_mm_low_is_told_so_and_sound_ones_are_not():
    assert sum(drifting(told) == {"front height"} for told in shops(50, 30, drift=-4 * MM)) >= 46
    sound = list(shops(50, 20))
    assert sum(bool(drifting(told)) for told in sound) <= 1
    assert sum(account_of(told).alarm for told in sound) <= 1


def test_a_tape_that_is_worse_than_its_plus_minus_is_no_drift_and_bands_learn_it():
    """The tape errs by six times its ±: no day is told, and with what was learned nine of ten are inside again."""
    held, before, told_of_drift = 0, 0, 0
    ledgers = list(shops(50, 20, tape=6.0))
    for told, after in zip(ledgers, [*ledgers[1:], ledgers[0]], strict=True):
        told_of_drift += bool(drifting(told))
        factor = corrections(told)["height"]
        for one in after:
            band = widened_band(one.promised.band, factor, Kind.LENGTH)
            before += one.inside
            held += replace(one, promised=replace(one.promised, band=band)).inside
    of = 50 * 20 * 4

    assert told_of_drift <= 3
    assert before / of < 0.65
    assert 0.85 < held / of < 0.93


def test_a_widened_band_is_told_back_to_what_it_was():
    for factor in (0.8, 1.0, 1.7):
        for kind in (Kind.LENGTH, Kind.ANGLE, Kind.ROLL_STIFFNESS):
            wide = widened_band(2 * MM, factor, kind)
            assert own_band(wide, factor, kind) == pytest.approx(2 * MM)
    assert widened_band(2 * MM, 1.5, Kind.ROLL_STIFFNESS) == pytest.approx(3 * MM), "no reading of it is usual"
    assert widened_band(0.0, 1.5, Kind.LENGTH) == 0, "what no ± reaches has no band"


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
