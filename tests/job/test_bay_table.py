"""The table for the bay says the same as the plan: every number of a setting, its sign and the sense of its turn."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.job.bay_table import bay_rows
from jounce.job.file import parse_job
from jounce.job.wording import settings_of
from tests.workbench import demo_text

WRITTEN = Path(__file__).parents[1] / "written_cars"
CARS = ("brisk-14", "comfrey-20", "yarrow-12", "tansy-11", "mugwort-23", "sedge-13")


def case(name):
    return Case(parse_car(demo_text(f"{name}.toml"), name), parse_job(demo_text(f"{name}-lower.toml"), name))


def plain(text):
    return text.replace("−", "-")


@pytest.mark.parametrize("name", CARS)
def test_every_setting_that_is_told_in_words_stands_in_the_table(name):
    """Numbers of the sentences (turns, lengths, teeth) are found in the cells of their axle."""
    one = case(name)
    rows = bay_rows(one.car, one.plan, "metric", one.planned.bands)
    for sentence in settings_of(one.plan, "metric", one.planned.bands):
        axle = "rear" if re.match(r"(left |right )?rear|Panhard", sentence) else "front"
        cells = " ".join(plain(f"{c.big} {c.words}") for row in rows if row.axle == axle for c in row.cells.values())
        for turns in re.findall(r"(\d*[¼½¾]|\d+) turns? \(", sentence):
            assert turns in cells, sentence
        for teeth in re.findall(r"(\d+) (?:tooth|teeth)", sentence):
            assert re.search(rf"[+-]{teeth} (tooth|teeth)", cells), sentence
        for length in re.findall(r"([\d.]+) ± [\d.]+ mm (?:above|below)", sentence)[:1]:
            assert length in cells or "ring right down" in sentence, sentence


@pytest.mark.parametrize("name", CARS)
def test_signs_and_sketches_say_the_same_as_the_plan(name):
    one = case(name)
    rows = {(row.axle, row.what): row.cells for row in bay_rows(one.car, one.plan, "metric")}
    for axle, settings in one.plan.settings.items():
        for side, bar in settings.bars.items():
            for what, count in (
                ("torsion bar: arm on its bar", bar.index.arm_teeth),
                ("torsion bar: bar in its anchor, with its arm", bar.index.anchor_teeth),
            ):
                cell = rows[axle, what][side]
                assert int(plain(cell.big)) == count
                assert bool(cell.turn) == bool(count)
                assert not count or cell.turn in cell.words
                assert not count or ("winds up" in cell.words) == (count > 0)


def test_left_and_right_bars_are_turned_against_each_other_for_the_same_effect():
    """A mirror image turns the other way round."""
    one = case("brisk-14")
    cells = next(row.cells for row in bay_rows(one.car, one.plan, "metric") if "anchor" in row.what)

    assert {cells["left"].turn, cells["right"].turn} == {"clockwise", "anticlockwise"}


def test_readings_prove_what_was_set():
    one = case("brisk-14")
    reads = [row for row in bay_rows(one.car, one.plan, "metric", one.planned.bands) if row.reads]
    height = next(row for row in reads if row.what == "height on its wheels" and row.axle == "front").cells["left"].big

    assert [row.what for row in reads if row.axle == "front"][:2] == [
        "arm hanging free, not yet loaded",
        "height on its wheels",
    ]
    assert float(height.partition(" ")[0]) == pytest.approx(one.row("front.left.height").planned * 1e3, abs=0.06)


def test_a_shim_is_as_thick_and_as_sure_in_the_table_as_in_the_sentences():
    """Its ± is the angle's across the flange, never the angle taken for a length; a hand needs the edge, not a sign."""
    written = [(WRITTEN / f"burdock{part}.toml").read_text("utf-8") for part in ("", "-job")]
    one = Case(parse_car(written[0], "car"), parse_job(written[1], "job"))
    sentences = " ".join(settings_of(one.plan, "metric", one.planned.bands))
    rows = [row for row in bay_rows(one.car, one.plan, "metric", one.planned.bands) if "shim" in row.what]

    assert [row.what for row in rows] == ["shim under the hub, for camber", "shim under the hub, for toe"]
    for cell in (cell for row in rows for cell in row.cells.values()):
        assert re.fullmatch(r"[\d.]+ ± 0\.\d\d mm", cell.big)
        assert f"{cell.big} {cell.words.removesuffix(' of the flange')} of its flange" in sentences
