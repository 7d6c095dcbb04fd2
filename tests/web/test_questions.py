"""Every question of the catalogue through every door: the command, the page and the interface tell the same numbers."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlencode

import pytest
from typer.testing import CliRunner

from jounce.book import open_book
from jounce.case.case import case_of_file
from jounce.cli.app import commands
from jounce.conventions.errors import InputError
from jounce.conventions.units import read, unit_of
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Asked, Number
from jounce.questions.titles import OF_CARS, OF_PARTS
from tests.doors import (
    each_answer_once,  # noqa: F401  # a fixture
    shown,
    through_all_doors,
)
from tests.reference.bounced_car import Corner, as_csv, recorded
from tests.workbench import Workbench, asked, demo_text, serving

pytestmark = pytest.mark.usefixtures("each_answer_once")
CARS = ("brisk-14", "sorrel-21")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("files")
    for name in (*CARS, "brisk-14-lower"):
        (path / f"{name}.toml").write_text(demo_text(f"{name}.toml"), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def opened(folder: Path) -> Iterator[tuple[Workbench, str]]:
    book = open_book(folder / "shop.db", "tester", make=True)
    car = book.add("car", "Brisk 14", demo_text("brisk-14.toml"))
    other = book.add("car", "Sorrel 21", demo_text("sorrel-21.toml"))
    job = book.add("job", "Lower", demo_text("brisk-14-lower.toml"), car.id)
    with serving(book) as port:
        yield Workbench(port, car.id, job.id, book), other.id


@pytest.mark.sweep(8)
@pytest.mark.parametrize("of", ["job", "other car"])
@pytest.mark.parametrize("word", OF_CARS)
def test_command_page_and_interface_tell_the_same(
    word: str, of: str, folder: Path, opened: tuple[Workbench, str]
) -> None:
    bench, other = opened
    file, place = ("brisk-14-lower", f"jobs/{bench.job}") if of == "job" else ("sorrel-21", f"cars/{other}")
    path = folder / f"{file}.toml"
    question = QUESTIONS[word]
    asked_of = Asked(question.as_first(), "metric", case_of_file(path))

    through_all_doors(bench, word, asked_of, [str(path)], f"/{place}/ask/{word}")


def test_what_else_moves_is_asked_of_a_job(folder: Path, opened: tuple[Workbench, str]) -> None:
    bench, other = opened
    path = folder / "brisk-14-lower.toml"

    through_all_doors(
        bench,
        "side-effects",
        Asked({}, "metric", case_of_file(path)),
        [str(path)],
        f"/jobs/{bench.job}/ask/side-effects",
    )
    assert asked(bench.port, f"/cars/{other}/ask/side-effects").status == 422
    refused = CliRunner().invoke(commands, ["side-effects", str(folder / "sorrel-21.toml")])
    assert isinstance(refused.exception, InputError)


PARTS = {
    "bar": {"length": "900", "diameter": ["24", "21"], "lever": "290", "sprung": "256"},
    "coil": {"rate": ["19", "22"], "motion_ratio": "0.8", "sprung_mass": "220"},
    "damper": {"curve": ["0.052 60 110; 0.13 130 250"], "motion_ratio": "0.95", "sprung": "256", "wheel_rate": "18"},
    "anti-roll-bar": {"lever": "250", "bush_to_middle": "400", "diameter": ["19", "22"], "travel": "20"},
}


@pytest.mark.parametrize("word", OF_PARTS)
def test_a_part_is_asked_through_all_doors(word: str, opened: tuple[Workbench, str]) -> None:
    bench, _ = opened
    typed, question, kinds = PARTS[word], QUESTIONS[word], {}
    for ask in question.asks:
        if isinstance(ask, Number):
            kinds[ask.name] = ask.kind
    given: dict[str, object] = {}
    for name, text in typed.items():
        texts = [text] if isinstance(text, str) else text
        given[name] = tuple(
            read(one, kinds[name], unit_of(kinds[name]).symbol) if name in kinds else one for one in texts
        )
    options = [
        part
        for name, text in typed.items()
        for one in ([text] if isinstance(text, str) else text)
        for part in (f"--{name.replace('_', '-')}", one)
    ]
    shown_in = {name: text if isinstance(text, str) else "; ".join(text) for name, text in typed.items()}
    if word == "damper":  # semicolons part the rows of one curve; another one is not typed here
        shown_in["curve"] = "0.052 60 110"
        given["curve"] = ("0.052 60 110",)
        options[1] = "0.052 60 110"
    sent = urlencode(
        {name: list(value) if isinstance(value, tuple) else value for name, value in given.items()}, doseq=True
    )

    through_all_doors(
        bench, word, Asked(question.filled(given)), options, f"/ask/{word}", "?" + urlencode(shown_in), "?" + sent
    )


def test_what_is_typed_is_taken_and_what_cannot_be_stands_at_its_field(opened: tuple[Workbench, str]) -> None:
    bench, _ = opened
    one = asked(bench.port, f"/cars/{bench.car}/ask/brake?ahead=-0.45+g")
    wrong = asked(bench.port, f"/cars/{bench.car}/ask/brake?ahead=-0.45+g;fast")

    assert one.status == 200
    assert "−0.45 g" in one.text.replace("-", "−")
    assert "−0.80 g" not in one.text.replace("-", "−")
    assert wrong.status == 422
    assert 'value="-0.45 g;fast"' in wrong.text
    assert 'aria-invalid="true"' in wrong.text
    assert "<h3>" not in wrong.text


def test_a_question_that_does_not_exist_is_said_and_the_list_names_all(opened: tuple[Workbench, str]) -> None:
    bench, _ = opened
    listed = asked(bench.port, f"/jobs/{bench.job}/ask").text

    assert all(title in listed for title in OF_CARS.values())
    assert asked(bench.port, f"/cars/{bench.car}/ask/weather").status in {404, 422}


def bench_of(points: int) -> str:
    """A bench test far longer than an address takes."""
    speeds = [1.1 * sense * k / points for k in range(1, points) for sense in (1, -1)]
    rows = "\n".join(f"{v:.5f};{900 * v + (40 if v > 0 else -40):.3f}" for v in speeds)
    return f"speed [m/s];force [N]\n{rows}\n"


def posted(port: int, path: str, fields: dict[str, str], file: tuple[str, str] | None = None) -> tuple[int, str, str]:
    """A form as a browser sends it: status, kind of content, text."""
    parts = [f'name="{name}"\r\n\r\n{value}' for name, value in fields.items()]
    if file is not None:
        parts.append(f'name="{file[0]}"; filename="test.csv"\r\nContent-Type: text/csv\r\n\r\n{file[1]}')
    body = "".join(f"--edge\r\nContent-Disposition: form-data; {part}\r\n" for part in parts) + "--edge--\r\n"
    headers = {"Content-Type": "multipart/form-data; boundary=edge"}
    answer = asked(port, path, headers=headers, body=body.encode())
    return answer.status, answer.headers["content-type"], answer.text


def test_a_file_of_any_usual_length_is_read_whole(opened: tuple[Workbench, str]) -> None:
    """A test of a thousand points, by its file and by its pasted text: what the question says of the whole of it."""
    bench, _ = opened
    text = bench_of(500)
    question = QUESTIONS["damper"]
    told = question.answer(Asked(question.filled({"bench": (("test.csv", text),)}), "metric"))
    status, _, page = posted(bench.port, "/ask/damper", {"bench": "", "speeds": ""}, ("bench-file", text))
    again = posted(bench.port, "/ask/damper", {"bench": text})
    rows = posted(bench.port, "/ask/damper", {"bench": text, "rows": "1"})

    assert len(text) > 4000
    assert (status, again[0], rows[0]) == (200, 200, 200)
    assert all(remark in html.unescape(page) for table in told for remark in table.remarks)
    assert re.search(r"<td>\s*985", page)  # 900 N of each m/s and 40 N, at the fastest speed asked for, 1.05 m/s
    assert text.splitlines()[-1] in page  # it stands in the field, to be sent again
    assert rows[1].startswith("text/csv")


def test_what_an_address_cannot_take_is_refused_not_cut(opened: tuple[Workbench, str]) -> None:
    bench, _ = opened
    answer = asked(bench.port, f"/ask/damper?{urlencode({'bench': bench_of(200)})}")

    assert answer.status == 422
    assert "Send the form instead" in answer.text


def test_a_file_that_is_no_text_is_told_at_its_field(opened: tuple[Workbench, str]) -> None:
    bench, _ = opened
    body = (
        b'--e\r\nContent-Disposition: form-data; name="bench-file"; filename="a.csv"\r\n\r\n\xff\xfe\x00\r\n--e--\r\n'
    )
    answer = asked(bench.port, "/ask/damper", headers={"Content-Type": "multipart/form-data; boundary=e"}, body=body)

    assert answer.status == 422
    assert "not text in UTF-8" in answer.text


def test_a_bounced_car_through_every_door(opened: tuple[Workbench, str], tmp_path: Path) -> None:
    """The recording is far longer than an address: the page and the interface take it in what is sent."""
    bench, _ = opened
    text = as_csv(*recorded(Corner(1.3, 0.25, 30.0, 248.0), 2, pushes=4))
    file = tmp_path / "bounced.csv"
    file.write_text(text, "utf-8")
    car = tmp_path / "brisk-14.toml"
    car.write_text(demo_text("brisk-14.toml"), "utf-8")
    question = QUESTIONS["bounce"]
    given, case = {"recording": (("bounced.csv", text),)}, case_of_file(car)
    (told,) = question.answer(Asked(question.filled(given), "metric", case))
    place = f"/cars/{bench.car}/ask/bounce"
    command = CliRunner().invoke(commands, ["bounce", str(car), "--recording", str(file), "--json", "-"])
    status, _, page = posted(bench.port, place, {"axle": "front"}, ("recording-file", text))
    body = json.dumps({"recording": text}).encode()
    served = asked(bench.port, f"/api/v1{place}", headers={"Content-Type": "application/json"}, body=body)

    assert (command.exit_code, status, served.status) == (0, 200, 200), (command.output, served.text)
    rows = {row.name: row.values for row in told.rows}
    assert rows["frequency, springs alone"][0] == pytest.approx(1.3, rel=0.03)
    assert json.loads(command.output) == json.loads(
        json.dumps(question.told(Asked(question.filled(given), "metric", case)))
    )
    for other in json.loads(served.text)["tables"]:
        assert [row["values"][0] for row in other["rows"]] == pytest.approx([row.values[0] for row in told.rows])
    for row in told.rows[:3]:
        assert shown(row.values[0], row) in page


def test_a_fitted_car_through_every_door(opened: tuple[Workbench, str], tmp_path: Path) -> None:
    """What a garage read, by command, page and interface: one answer."""
    bench, _ = opened
    text = '[[reading]]\nwhat = "toe"\nat = "front left"\nbump = -40\nvalue = "0.25 deg ± 0.08 deg"\n'
    file, car = tmp_path / "read.toml", tmp_path / "brisk-14.toml"
    file.write_text(text, "utf-8")
    car.write_text(demo_text("brisk-14.toml"), "utf-8")
    place = f"/cars/{bench.car}/ask/fit"
    command = CliRunner().invoke(commands, ["fit", str(car), "--readings", str(file), "--json", "-"])
    status, _, page = posted(bench.port, place, {}, ("readings-file", text))
    body = json.dumps({"readings": text}).encode()
    served = asked(bench.port, f"/api/v1{place}", headers={"Content-Type": "application/json"}, body=body)
    refused, _, told = posted(bench.port, place, {}, ("readings-file", text.replace("toe", "tow")))

    assert (command.exit_code, status, served.status, refused) == (0, 200, 200, 422), (command.output, served.text)
    tables = json.loads(command.output)
    for one, other in zip(tables, json.loads(served.text)["tables"], strict=True):
        assert [row["values"][0] for row in one["rows"]] == pytest.approx([row["values"][0] for row in other["rows"]])
    assert "front bump steer" in page
    assert "Did you mean" in html.unescape(told)
