"""A package is handed on: search, a job file with its parts and codes, checks, quote and order list."""

from __future__ import annotations

import json
import tempfile
from decimal import Decimal
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from jounce.checks import Verdict, run_checks
from jounce.cli.app import commands
from jounce.conventions.errors import InputError, InputProblems
from jounce.job.apply import planned_document, wishes_of
from jounce.job.file import parse_job, read_job
from jounce.job.plan import make_plan
from jounce.quote.orders import grouped, order_lines
from jounce.quote.parts_named import parts_of_shelf
from jounce.quote.quote import priced
from jounce.quote.shop import read_shop
from jounce.search.slots import SLOTS, job_of, slot_named, without
from jounce.search.to_job import from_folder, job_text
from jounce.shelf.file import read_shelf

DEMO = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml"))).parent
BARE = (DEMO / "brisk-14-lower.toml").read_text("utf-8").partition("# Codes of these parts")[0]
"""The demo job without codes."""
JOB = Path(tempfile.mkdtemp()) / "bare.toml"
JOB.write_text(BARE.replace('"brisk-14.toml"', f'"{(DEMO / "brisk-14.toml").as_posix()}"'), "utf-8")
FEW = ("front bars", "rear dampers", "inner bar")


@cache
def shelf():
    return read_shelf(DEMO / "shelf.toml")


def packaged(**codes):
    """The demo job with parts of the shelf by slot; every place of the search is looked at."""
    job, document = read_job(JOB)
    package = {name.replace("_", " "): shelf().part(code) for name, code in codes.items()}
    return job_of(without(job, [slot_named(name) for name in package]), package, document)


def run(*words):
    return CliRunner().invoke(commands, [str(word) for word in words])


def test_search_write_job_and_quote_agree_to_the_cent(tmp_path):
    out, told = tmp_path / "better.toml", tmp_path / "found.json"
    places = [word for name in FEW for word in ("--place", name)]
    done = run("search", JOB, "--shelf", DEMO / "shelf.toml", *places, "--write", f"better={out}", "--json", told)
    assert done.exit_code == 0, done.output
    better = next(one for one in json.loads(told.read_text("utf-8"))["packages"] if "better" in one["called"])

    job, document = read_job(out)
    parts = parts_of_shelf(job, shelf())
    quote = priced("better", parts, [], read_shop(DEMO / "shop.toml").quote)
    planned = planned_document(document, job)
    checks = run_checks(job, planned, make_plan(document, planned, wishes_of(document, job)))

    assert better["worked_out"]
    assert [check.code for check in checks if check.verdict is Verdict.FAIL] == []
    assert sorted(part.code for part, _ in parts) == sorted(better["parts"].values())
    assert sum((line.total for line in quote.part_lines), Decimal(0)) == pytest.approx(Decimal(str(better["price"])))
    assert float(quote.hours) == pytest.approx(better["labour_hours"])
    assert {line.supplier for line in order_lines(parts)} <= {part.supplier for part in shelf().parts}
    assert sum(len(own) for own in grouped(order_lines(parts)).values()) == len(parts)


def test_a_sheet_takes_the_parts_that_the_job_names(tmp_path):
    from pypdf import PdfReader

    job_file = tmp_path / "job.toml"
    text = job_text(JOB.read_text("utf-8"), packaged(front_bars="TB-24", rear_springs="C-25-245"))
    job_file.write_text(from_folder(text, DEMO, tmp_path), "utf-8")
    common = (job_file, "--shelf", DEMO / "shelf.toml", "--shop", DEMO / "shop.toml")
    pages = {}
    for kind in ("quote", "order"):
        done = run("sheet", kind, *common, "--out", tmp_path / f"{kind}.pdf")
        assert done.exit_code == 0, done.output
        pages[kind] = " ".join(page.extract_text() for page in PdfReader(tmp_path / f"{kind}.pdf").pages)

    for words in ("TB-24", "C-25-245", "fit torsion bars 24 mm, pair", "172.00"):
        assert words in pages["quote"]
    assert "Hartmere Spring Trade" in pages["order"]
    assert "TB-24" in pages["order"]

    bare = tmp_path / "bare.toml"
    bare.write_text(from_folder(BARE, DEMO, tmp_path), "utf-8")
    refused = run("sheet", "quote", bare, *common[1:], "--out", tmp_path / "no.pdf")
    assert isinstance(refused.exception, InputError)
    assert "no codes under [shelf]" in str(refused.exception)


def test_comments_and_all_that_is_not_exchanged_stay():
    text = JOB.read_text("utf-8")
    marked = text.replace("lower = 35\ncamber", "lower = 35 # as the customer asked\ncamber").replace(
        "[change.rear.panhard]", "# the rod was there\n[change.rear.panhard]"
    )
    new = job_text(marked, packaged(front_bars="TB-24", rear_springs="C-25-245"))

    assert "lower = 35 # as the customer asked" in new
    assert "# the rod was there\n[change.rear.panhard]" in new
    assert new.startswith(text.splitlines()[0])
    assert 'torsion_bar = "TB-24"' in new
    written = parse_job(new, "")
    assert written.change.front.torsion_bar.diameter.value == pytest.approx(0.024)
    assert written.change.front.damper == parse_job(text, "").change.front.damper
    assert written.shelf.rear.spring == "C-25-245"


def test_a_place_that_is_left_as_it_is_loses_its_part_and_its_code():
    text = job_text(JOB.read_text("utf-8"), packaged(second_front_roll_bar="A2-16"))
    job, document = parse_job(text, ""), read_job(JOB)[1]
    cleared = job_of(without(job, SLOTS), {}, document)
    new = job_text(text, cleared)

    assert job.shelf.front.roll_bar_2 == "A2-16"
    assert "roll_bar_2" not in new
    assert "A2-16" not in new
    assert parse_job(new, "").change.front.roll_bar_2 is None


@pytest.mark.parametrize(
    "codes",
    [
        {"front_roll_bar": "AF-20"},
        {"rear_springs": "C-25-245", "rear_perches": "P-97", "rear_helpers": "H97-1.5-60"},
        {"rear_roll_bar": "AR-16"},
        {"top_plates": "TP-18", "Panhard_rod": "PR-845"},
        {"front_stops": "BS-F52", "rear_stops": "BS-R45"},
    ],
)
def test_every_kind_of_part_is_written_so_that_it_reads_back_the_same(codes):
    job = packaged(**codes)
    written = parse_job(job_text(JOB.read_text("utf-8"), job), "")

    assert written.change == job.change
    assert {code for _, _, code in written.shelf.named()} == set(codes.values())
    assert {part.code for part, _ in parts_of_shelf(written, shelf())} == set(codes.values())


def test_a_curve_stays_what_it_is_when_the_part_is_fitted():
    """Rows are read in the default unit of a file; those of a part are in SI already."""
    curved = [part for part in shelf().parts if getattr(part, "curve", None) and part.mechanics is not None]

    assert {part.KIND for part in curved} >= {"bump_stop", "damper"}
    for part in curved:
        assert np.allclose(part.mechanics.curve, part.curve, rtol=1e-12, atol=0), part.code


def test_lots_are_counted_from_the_pieces_that_are_needed():
    text = job_text(JOB.read_text("utf-8"), packaged(front_bars="TB-24", inner_bar="IB-22"))
    job = parse_job(text + '\n[shelf]\nalso = ["S-BOLT-PR=2", "TB-24"]\n', "")
    lots = {part.code: count for part, count in parts_of_shelf(job, shelf())}

    assert lots == {"TB-24": 2, "IB-22": 1, "S-BOLT-PR": 2}  # a pair for the axle, and one more


def test_another_part_than_the_one_that_was_worked_out_is_not_sold():
    job = parse_job(BARE + '\n[shelf.front]\ntorsion_bar = "TB-24"\ndamper = "XX-1"\n', "")
    with pytest.raises(InputProblems) as caught:
        parts_of_shelf(job, shelf())

    told = str(caught.value)
    assert "diameter differs; found 24.0 mm on the shelf, 23.5 mm in the job" in told
    assert "shelf.front.damper: No part has this code" in told


def test_a_code_without_a_part_in_the_change_list_is_refused_with_its_line():
    text = BARE + '\n[shelf.front]\nwheel = "W-13-5"\n'
    with pytest.raises(InputProblems, match=r"shelf.front.wheel \(line \d+\): This code has no part"):
        parse_job(text, "job.toml")


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ("finest=x.toml", "not clear which package"),
        ("better", "not clear which package"),
        pytest.param(f"good={JOB}", "a file of this name already", id="a file that is there"),
        ("good=/no/such/folder/x.toml", "no such folder"),
    ],
)
def test_what_cannot_be_written_is_said_before_the_work(word, told):
    done = run("search", JOB, "--shelf", DEMO / "shelf.toml", "--write", word)

    assert isinstance(done.exception, InputError)
    assert told in str(done.exception)
