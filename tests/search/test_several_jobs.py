"""Several jobs in one go: each a whole search by one worker, told in the order asked, as if it had been searched alone."""

from __future__ import annotations

import json
import tempfile
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands

DEMO = Path(str(files("jounce.demo")))
JOBS = (DEMO / "brisk-14-lower.toml", Path(tempfile.mkdtemp()) / "van.toml", DEMO / "bracken-16-lower.toml")
"""The second, a van 70 mm lower behind, cannot be."""
VAN = (
    (DEMO / "fescue-10-lower.toml").read_text("utf-8").replace("[wanted.rear]\nlower = 20", "[wanted.rear]\nlower = 70")
)
JOBS[1].write_text(VAN.replace('"fescue-10.toml"', f'"{(DEMO / "fescue-10.toml").as_posix()}"'), "utf-8")
PLACES = [word for name in ("front bars", "rear dampers", "inner bar") for word in ("--place", name)]


def run(*words):
    return CliRunner().invoke(commands, ["search", *map(str, words), "--shelf", str(DEMO / "shelf.toml"), *PLACES])


@cache
def alone(job):
    return json.loads(run(job, "--json", "-").stdout)


def told(*more):
    """Three jobs, of which the second cannot be: its exit code, and what is told of each."""
    done = run(*JOBS, "--json", "-", *more)
    return done.exit_code, json.loads(done.stdout)["jobs"]


def as_if_alone(code, jobs):
    assert code == 1  # for the one that cannot be
    assert [Path(one["job"]) for one in jobs] == list(JOBS)
    assert "No choice of rear parts keeps the limits" in jobs[1]["problem"]
    for one in (jobs[0], jobs[2]):
        assert {name: value for name, value in one.items() if name != "job"} == alone(Path(one["job"]))
        assert one["packages"]


@pytest.mark.validation_long
@pytest.mark.usefixtures("in_processes")
def test_processes_of_this_machine_search_whole_jobs():
    as_if_alone(*told())


@pytest.mark.validation_long
@pytest.mark.parametrize("processes", [False, True])
def test_workers_of_a_scheduler_search_whole_jobs(processes):
    """Over the scheduler's own connections in both cases; processes take half a minute to start."""
    distributed = pytest.importorskip("distributed")
    own = {"n_workers": 2, "threads_per_worker": 1, "protocol": "tcp://", "dashboard_address": ":0"}
    with distributed.LocalCluster(processes=processes, **own) as cluster:
        as_if_alone(*told("--cluster", cluster.scheduler_address))


def test_each_job_is_told_under_its_name():
    done = run(JOBS[0], JOBS[1], "--why", "IB-22")

    assert done.exit_code == 1
    first, second = (done.stdout.index(job.name) for job in JOBS[:2])
    assert first < done.stdout.index("Three packages") < second
    assert "IB-22:" in done.stdout


def test_packages_of_several_jobs_are_not_written_together(tmp_path):
    done = run(JOBS[0], JOBS[1], "--write", f"best={tmp_path / 'best.toml'}")

    assert done.exit_code != 0
    assert not list(tmp_path.iterdir())


def test_an_address_where_no_scheduler_is_says_so(monkeypatch):
    monkeypatch.setattr("jounce.search.on_cluster.ANSWERS_WITHIN", "1s")
    done = run(JOBS[0], "--cluster", "tcp://127.0.0.1:9")

    assert done.exit_code != 0
    assert "No scheduler answers" in str(done.exception or done.output)
