"""Checks look at both sides of the car, whichever is the worse one or the one that was measured."""

from __future__ import annotations

from dataclasses import replace

from jounce.checks import Verdict
from jounce.checks.driven import driven
from jounce.checks.laden import laden_checks
from jounce.checks.limits import USUAL
from tests.job.changed_jobs import worked

RUBBERS_STAY = (
    ("[change.front.bump_stop]\nfree_height = 52\ncurve = [[0, 0], [15, 400], [30, 1500], [40, 4000]]\n", ""),
    ("[change.rear.bump_stop]\nfree_height = 45\ncurve = [[0, 0], [20, 400], [35, 2000]]\n", ""),
)


def test_a_right_damper_that_closes_before_its_rubber_fails():
    far = worked(RUBBERS_STAY, (("[rear.bump_stop]", "[rear.right.bump_stop]\ngap = 200\n\n[rear.bump_stop]"),))
    rear = far.checks("TRV-05")[1]

    assert rear.verdict is Verdict.FAIL
    assert str(rear.sentence).startswith("right: bump: damper closed")


def test_a_hose_that_was_measured_on_the_right_alone_fails_where_it_is_too_short():
    tight = worked((), (("[rear.bump_stop]", "[rear.right.clearance]\nbrake_hose_droop = 20\n\n[rear.bump_stop]"),))
    rear = tight.checks("HOS-01")[1]

    assert rear.verdict is Verdict.FAIL
    assert rear.value is not None
    assert rear.value < 0.060


def test_a_hose_that_is_long_enough_on_the_right_leaves_the_left_one_to_be_measured():
    fine = worked((), (("[rear.bump_stop]", "[rear.right.clearance]\nbrake_hose_droop = 190\n\n[rear.bump_stop]"),))
    rear = fine.checks("HOS-01")[1]

    assert rear.verdict is Verdict.UNKNOWN
    assert "on the left too" in str(rear.sentence)
    assert rear.asks == "rear.clearance.brake_hose_droop"


def test_a_laden_arch_measured_on_the_right_alone_fails_where_the_tyre_meets_it():
    bare = ('[rear.clearance]\ntyre_to_arch = { value = 118, from = "feeler and rule" }\n', "")
    verdicts = []
    for room in (60, 190):
        right = ("[rear.bump_stop]", f"[rear.right.clearance]\ntyre_to_arch = {room}\n\n[rear.bump_stop]")
        rear = worked((), (bare, right)).checks("LDN-03")[1]
        verdicts.append((rear.verdict, "on the left too" in str(rear.sentence)))

    assert verdicts == [(Verdict.FAIL, False), (Verdict.UNKNOWN, True)]


def test_a_laden_car_that_finds_no_rest_fails():
    job = worked()
    drive = driven(job.planned, job.plan, USUAL["brisk"].value)
    fallen = replace(drive, laden=(replace(drive.laden[0], travel=None), *drive.laden[1:]))
    checks = [check for check in laden_checks(job.planned, fallen, USUAL) if check.code != "LDN-03"]

    assert len(checks) == 3
    for check in checks:
        assert check.verdict is Verdict.FAIL
        assert str(check.sentence).endswith("the car finds no rest.")
        assert check.todo
