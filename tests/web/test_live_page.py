"""The page under the hand: tables begun by a button, the exact case, a new version; what cannot be is said."""

from __future__ import annotations

import json
import time

import pytest

from jounce.case.case import Case
from jounce.job.file import parse_job
from jounce.live.levers import levers_of
from jounce.web.case_cache import case_of
from jounce.web.pages import live
from tests.workbench import Workbench, asked, demo_text


@pytest.fixture
def one_lever(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tables of the front height alone, so that they are there in seconds."""
    monkeypatch.setattr(live, "levers_of", lambda *given: levers_of(*given)[:1])


def worked_out(workbench: Workbench) -> dict:
    home = f"/jobs/{workbench.job}/live"
    assert asked(workbench.port, home, {"begin": "1"}).status == 303
    until = time.monotonic() + 300
    while not (found := json.loads(asked(workbench.port, f"{home}/tables.json").text))["levers"]:
        assert time.monotonic() < until, asked(workbench.port, home).text
        time.sleep(0.5)
    return found


@pytest.mark.usefixtures("one_lever")
def test_levers_exact_case_and_new_version(workbench: Workbench) -> None:
    home = f"/jobs/{workbench.job}/live"
    assert json.loads(asked(workbench.port, f"{home}/tables.json").text)["levers"] == []
    told = worked_out(workbench)

    (lever,) = told["levers"]
    assert (lever["key"], lever["unit"], lever["size"]) == ("front.height", "mm", 1e-3)
    rate = next(one for one in told["figures"] if one["label"] == "front wheel rate")
    assert len(rate["tables"][0]["terms"]) == len(told["degrees"]) == 5
    text = asked(workbench.port, home).text
    assert 'data-lever="front.height"' in text
    assert "no length by 0.1 mm" in text

    value = lever["today"] - 0.006
    anew = Case(
        case_of("", demo_text("brisk-14.toml")).car,
        parse_job(demo_text("brisk-14-lower.toml").replace("lower = 35", f"lower = {value * 1e3}", 1), "anew"),
    )
    assert anew.every_check  # as the page will
    exact = json.loads(asked(workbench.port, f"{home}/exact.json?front.height={value}").text)
    wheels = anew.plan.planned.axles["front"].wheels.values()
    assert exact["figures"]["front wheel rate"] == f"{sum(one.wheel_rate for one in wheels) / 2000:.2f} N/mm"
    assert exact["verdict"]

    beyond = asked(workbench.port, f"{home}/exact.json?front.height=1.5")
    assert beyond.status == 422
    assert "A lever stands where it cannot" in beyond.text
    assert asked(workbench.port, f"{home}/exact.json?front.height=nan").status == 422

    before = workbench.book.entry(workbench.job)
    kept = asked(workbench.port, home, {"keep": "1", "number": str(before.number), "front.height": str(value)})
    assert kept.status == 303
    after = workbench.book.entry(workbench.job)
    assert after.number == before.number + 1
    assert parse_job(after.content, "kept").wanted.front.lower.value == pytest.approx(value)  # type: ignore[union-attr]
    assert json.loads(asked(workbench.port, f"{home}/tables.json").text)["levers"] == []  # they were another version's


def test_programs_move_the_same_levers(workbench: Workbench) -> None:
    """The operation tells in SI what the page tells as text; a lever that is not there is refused."""
    api = f"/api/v1/jobs/{workbench.job}"
    levers = {one["key"]: one for one in json.loads(asked(workbench.port, f"{api}/levers").text)["levers"]}
    value = levers["front.height"]["today"] - 0.004
    told = json.loads(asked(workbench.port, f"{api}/moved?move=front.height={value}&move=front.damping=1.25").text)
    figures = {one["key"]: one for one in told["figures"]}
    before = json.loads(asked(workbench.port, f"{api}/moved").text)
    was = {one["key"]: one for one in before["figures"]}

    assert levers["front.damping"]["unit"] == "1"
    assert figures["front.left.lower"]["value"] < was["front.left.lower"]["value"] - 0.002
    assert figures["front.damping"]["value"] == pytest.approx(1.25 * was["front.damping"]["value"], rel=0.02)
    assert figures["front.damping"]["check"] == "DMP-01"
    assert {one["code"] for one in told["checks"]} >= {"DMP-01", "TRV-01", "PLT-01"}
    assert parse_job(told["job"], "moved").wanted.front.lower.value == pytest.approx(value)  # type: ignore[union-attr]
    refused = asked(workbench.port, f"{api}/moved?move=front.wing=1")
    assert refused.status == 422
    assert "There is no such lever" in refused.text
    assert asked(workbench.port, f"{api}/moved?move=front.height=nan").status == 422
