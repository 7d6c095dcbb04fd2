"""`jounce check` says where a remark stands, and that a car which cannot stand cannot be used."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from tests.workbench import demo_text

LIGHT = (
    ('front_left = "290 kg ± 1 kg"', "front_left = 200"),
    ('front_right = "284 kg ± 1 kg"', "front_right = 200"),
    ('rear_left = "183 kg ± 1 kg"', "rear_left = 70"),
    ('rear_right = "180 kg ± 1 kg"', "rear_right = 70"),
    ('unsprung_rear = { value = "27 kg"', 'unsprung_rear = { value = "95 kg"'),
)
"""What moves with a rear wheel is heavier than what its scale shows."""


@pytest.fixture
def checked(tmp_path: Path):
    def check(*pairs: tuple[str, str]) -> tuple[int, str, str]:
        text = demo_text("brisk-14.toml")
        for old, new in pairs:
            assert old in text
            text = text.replace(old, new)
        path = tmp_path / "car.toml"
        path.write_text(text, "utf-8")
        result = CliRunner().invoke(commands, ["check", str(path)])
        return result.exit_code, result.output, text

    return check


def test_a_remark_names_its_keys_and_their_lines(checked) -> None:
    code, said, text = checked(('rear_left = "340 mm ± 2 mm"', 'rear_left = "400 mm ± 2 mm"'))
    line = text.split("\n").index('rear_left = "400 mm ± 2 mm"') + 1

    assert code == 0
    assert f"unusual: heights.rear_left (line {line}), heights.rear_right (line {line + 1}): " in said
    assert "400.0 mm left and 341.0 mm right" in said


def test_a_spring_that_would_carry_nothing_is_refused(checked) -> None:
    code, said, _ = checked(*LIGHT)

    assert code == 2
    assert "unusual: mass.unsprung_rear (line " in said
    assert re.search(r"The scale under the rear left wheel showed 686 N, and .* would carry -\d+ N", said)
