"""What programs are told: the jobs of the shop, every refusal in one form, the guard, and the document of it all."""

from __future__ import annotations

import http.client
import json
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from jounce.behaviour.axle.static import axle_sits, loaded
from jounce.behaviour.road.feel import feel
from jounce.behaviour.road.of_document import car_as_found
from jounce.car.file.reading import parse_car
from jounce.car.mechanics.assembly import axle_model
from jounce.shelf.book_entries import documents_of
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml
from jounce.web.api.openapi import openapi, statuses_of
from jounce.web.api.problems import PROBLEM, PROBLEM_STATUSES
from jounce.web.api.table import OPERATIONS
from jounce.web.security.guard import LARGEST
from jounce.web.security.passwords import hashed
from jounce.web.security.sessions import TRIES
from tests.workbench import Workbench, asked, demo_book, demo_text, serving

PASSWORD = "three long words"  # noqa: S105
TOML = {"content-type": "application/toml"}


@dataclass(frozen=True)
class AxleSpec:
    status: int
    headers: Mapping[str, str]
    content: bytes

    @property
    def json(self) -> Any:
        return json.loads(self.content)

    @property
    def problems(self) -> list[dict[str, Any]]:
        return self.json["problems"]


def ask(port: int, method: str, path: str, body: Any = None, headers: Mapping[str, str] | None = None) -> AxleSpec:
    """One request of a program: a text is sent as it is, anything else as JSON."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=240)
    given = dict(headers or {})
    content = body if isinstance(body, (bytes, type(None))) else body.encode() if isinstance(body, str) else None
    if body is not None and content is None:
        content = json.dumps(body).encode()
        given.setdefault("content-type", "application/json")
    try:
        connection.request(method, f"/api{path}", content, given)
        answer = connection.getresponse()
        return AxleSpec(answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read())
    finally:
        connection.close()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workbench]:
    """A workbench of one test's own, for what writes."""
    book, car, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


# ------------------------------------------------------------------------------------------------- the book


def test_entries_are_listed_read_added_and_saved_on_top_of_what_was_read(shop):
    cars = ask(shop.port, "GET", "/v1/entries?kind=car").json["entries"]
    car = ask(shop.port, "GET", f"/v1/entries/{shop.car}").json
    changed = {"number": 1, "content": car["content"].replace('"Brisk 14"', '"Brisk 14 S"'), "by": "R. Example"}
    saved = ask(shop.port, "PUT", f"/v1/entries/{shop.car}", changed | {"note": "the letter was missing"})
    added = ask(shop.port, "POST", "/v1/entries", {"kind": "customer", "name": "B. Example", "content": ""})
    versions = ask(shop.port, "GET", f"/v1/entries/{shop.car}/versions").json["versions"]

    assert {one["name"] for one in cars} == {"Brisk 14", "Sedge 13"}
    assert car["number"] == 1
    assert (saved.status, saved.json["number"], saved.json["name"]) == (200, 2, "Brisk 14 S")
    assert (added.status, added.json["name"]) == (201, "B. Example")
    assert shop.book.entry(shop.car).name == "Brisk 14 S"
    assert [(one["by"], one["note"], one["entry"]["number"]) for one in versions] == [
        ("tester", "", 1),
        ("R. Example", "the letter was missing", 2),
    ]


def test_who_comes_too_late_overwrites_nothing_and_is_told_what_is_newest(shop):
    content = shop.book.entry(shop.job).content
    first = ask(shop.port, "PUT", f"/v1/entries/{shop.job}", {"number": 1, "content": content, "by": "R. Example"})
    late = ask(shop.port, "PUT", f"/v1/entries/{shop.job}", {"number": 1, "content": content + "\n# mine\n"})
    out = ask(shop.port, "DELETE", f"/v1/entries/{shop.job}?number=1")

    assert first.status == 200
    assert (late.status, out.status) == (409, 409)
    assert (late.json["newest"]["by"], late.json["newest"]["entry"]["number"]) == ("R. Example", 2)
    assert "Nothing was overwritten" in late.problems[0]["message"]
    assert shop.book.entry(shop.job).content == content


def test_what_others_stand_under_stays(shop):
    told = ask(shop.port, "DELETE", f"/v1/entries/{shop.car}?number=1")

    assert told.status == 422
    assert not shop.book.entry(shop.car).removed


def test_what_was_taken_out_is_brought_back(shop):
    out = ask(shop.port, "DELETE", f"/v1/entries/{shop.job}?number=1&by=R.%20Example")
    left = ask(shop.port, "GET", "/v1/entries?kind=job").json["entries"]
    back = ask(shop.port, "POST", f"/v1/entries/{shop.job}/restore", {"version": 1, "number": 2})
    wrong = ask(shop.port, "POST", f"/v1/entries/{shop.job}/restore", {"version": 9, "number": 3})

    assert (out.json["removed"], left) == (True, [])
    assert (back.json["removed"], back.json["number"]) == (False, 3)
    assert shop.book.versions(shop.job)[1].by == "R. Example"
    assert (wrong.status, wrong.problems[0]["found"], wrong.problems[0]["allowed"]) == (422, "9", "1 to 3")


@pytest.mark.parametrize("kind", ["car", "job", "part", "shop", "rules"])
def test_a_wrong_document_is_not_kept(shop, kind):
    before = shop.book.entries()
    told = ask(shop.port, "POST", "/v1/entries", {"kind": kind, "content": "nonsense = ["})

    assert told.status == 422
    assert told.problems[0]["place"].startswith("body.content")
    assert shop.book.entries() == before


def test_a_part_is_one_part(shop):
    for content in ("", "# nothing\n", demo_text("shelf.toml")):
        told = ask(shop.port, "POST", "/v1/entries", {"kind": "part", "content": content})

        assert told.status == 422
        assert shop.book.entries("part") == []


# -------------------------------------------------------------------------------------------- documents


def test_a_car_is_checked_with_everything_that_is_wrong_and_its_line(workbench):
    text = demo_text("brisk-14.toml")
    sound = ask(workbench.port, "POST", "/v1/check/car", text, TOML).json
    wrong = text.replace('driven = "front"', 'driven = "frnt"').replace("[mass]", "[mass]\nheigth = 3")
    told = ask(workbench.port, "POST", "/v1/check/car", wrong, TOML).json
    lines = wrong.splitlines()

    assert (sound["sound"], sound["name"], sound["problems"]) == (True, "Brisk 14", [])
    assert not told["sound"]
    assert [lines[one["line"] - 1] for one in told["problems"]] == ["heigth = 3", 'driven = "frnt"']
    assert told["problems"][1]["found"] == "'frnt'"
    assert told["problems"][1]["allowed"] == "'front' or 'rear'"


def test_a_job_is_checked_against_its_car(workbench):
    text = demo_text("brisk-14-lower.toml")
    other = next(car for car in workbench.book.entries("car") if car.name == "Sedge 13")
    alone = ask(workbench.port, "POST", "/v1/check/job", text, TOML).json
    with_other = ask(workbench.port, "POST", f"/v1/check/job?car={other.id}", text, TOML).json

    assert alone["sound"]
    assert not with_other["sound"]
    assert with_other["problems"][0]["found"]


# -------------------------------------------------------------------------------------- the same numbers


def test_a_car_stands_as_the_core_says(workbench):
    told = ask(workbench.port, "GET", f"/v1/cars/{workbench.car}/standing").json
    document = parse_car(demo_text("brisk-14.toml"), "the car")
    sits = axle_sits(loaded(axle_model(document, "rear"))[0])

    assert told["rear"]["left"]["wheel_rate"]["value"] == sits.wheels["left"].wheel_rate
    assert told["rear"]["left"]["wheel_rate"]["plus_minus"] > 0
    assert told["rear"]["roll_stiffness"]["value"] == sits.roll_stiffness


def test_an_axle_is_moved_in_si(workbench):
    path = f"/v1/cars/{workbench.car}/travel?axle=front&motion=heave&from=-0.05&to=0.05&states=11&quantity=camber"
    told = ask(workbench.port, "GET", path).json
    job = ask(workbench.port, "GET", f"/v1/jobs/{workbench.job}/travel?axle=rear&state=planned&quantity=track").json

    assert [(one["name"], one["unit"], len(one["values"])) for one in told["columns"]] == [
        ("heave", "m", 11),
        ("left_camber", "rad", 11),
        ("right_camber", "rad", 11),
    ]
    assert told["columns"][0]["values"][0] == -0.05
    assert all(told["reached"])
    assert job["columns"][-1]["name"] == "track"


def test_a_corner_is_what_the_core_says_of_both_states(workbench):
    found = ask(workbench.port, "GET", f"/v1/cars/{workbench.car}/corner").json["tables"][0]
    both = ask(workbench.port, "GET", f"/v1/jobs/{workbench.job}/corner?across=5").json["tables"][0]
    told, _ = feel(car_as_found(parse_car(demo_text("brisk-14.toml"), "the car")))
    lifts = next(row for row in found["rows"] if row["name"] == "inside rear wheel lifts at")

    assert lifts["values"] == [told.left.rear_lift, told.right.rear_lift]
    assert lifts["unit"] == "m/s²"
    assert both["columns"] == ["found left", "found right", "planned left", "planned right"]


@pytest.mark.parametrize("question", ["brake?ahead=-3&ahead=-6", "ride?road=C&speed=22"])
def test_brakes_and_ride_answer_in_tables(workbench, question):
    told = ask(workbench.port, "GET", f"/v1/cars/{workbench.car}/{question}").json["tables"]

    assert all(len(row["values"]) == len(one["columns"]) and row["unit"] for one in told for row in one["rows"])


def test_a_job_worked_out_in_the_book_and_outside_is_the_same(workbench):
    texts = {"car": demo_text("brisk-14.toml"), "job": demo_text("brisk-14-lower.toml")}
    whole = ask(workbench.port, "POST", "/v1/work-out", texts).json
    parts: dict[str, Any] = {}
    for name in ("comparison", "settings", "checks", "knock-on"):
        parts |= ask(workbench.port, "GET", f"/v1/jobs/{workbench.job}/{name}").json
    rows = {row["key"]: row for row in whole["rows"]}

    assert whole == parts
    assert rows["front.left.wheel_rate"]["unit"] == "N/m"
    assert rows["front.left.wheel_rate"]["difference"] == pytest.approx(
        rows["front.left.wheel_rate"]["planned"] - rows["front.left.wheel_rate"]["found"]
    )
    assert whole["worst"] in {"FAIL", "unknown", "pass"}
    assert whole["knock_on"]


def test_parts_fit_and_cost_and_print(shop):
    filled = ask(shop.port, "POST", "/v1/parts", demo_text("shelf.toml"), TOML).json
    again = ask(shop.port, "POST", "/v1/parts", demo_text("shelf.toml"), TOML).json
    parts = ask(shop.port, "GET", f"/v1/parts?kind=torsion_bar&car={shop.car}").json["parts"]
    bar = next(part for part in parts if part["code"] == "TB-24")
    wished = {
        "packages": [{"name": "bars", "parts": [{"code": "TB-24"}]}],
        "work": [{"name": "alignment", "hours": 1.5}],
    }
    early = ask(shop.port, "POST", "/v1/quote", wished)
    ask(shop.port, "POST", "/v1/entries", {"kind": "shop", "content": demo_text("shop.toml")})
    package = ask(shop.port, "POST", "/v1/quote", wished).json["packages"][0]
    path = f"/v1/jobs/{shop.job}/sheet?kind=order&part=TB-24&work=alignment=1.5&units=inch"
    loose = ask(shop.port, "GET", path)  # on the old dampers these bars hang loose at full droop
    sheet = ask(shop.port, "GET", f"{path}&despite=to+show+what+they+cost")
    fit = ask(shop.port, "GET", f"/v1/parts/{bar['entry']}/fit?car={shop.car}").json

    assert filled["new"] > 100
    assert again == {"new": 0, "changed": 0, "same": filled["new"]}
    assert fit == bar["fit"]
    assert (bar["price"], bar["currency"]) == ("172", "EUR")
    assert early.status == loose.status == 422
    assert "lives depend" in loose.content.decode()
    assert package["lines"][0]["code"] == "TB-24"
    assert float(package["gross"]) == pytest.approx(float(package["net"]) + float(package["tax"]))
    assert (sheet.headers["content-type"], sheet.content[:5]) == ("application/pdf", b"%PDF-")


CODES, PLACES = ("TB-23.5", "TB-24", "TB-26", "DR-285-R", "IB-21", "IB-22"), ("front bars", "rear dampers", "inner bar")
GOALS = [{"metric": "front_frequency", "low": 1.4, "high": 1.6}, {"metric": "front_bump", "low": 0.03, "high": 0.2}]


def test_packages_are_searched_in_the_background_and_one_is_taken(shop):
    path = f"/v1/jobs/{shop.job}/search"
    wished = {"goals": GOALS, "budget": 600, "places": list(PLACES)}
    empty = ask(shop.port, "POST", path, wished)
    shelf = parse_toml(demo_text("shelf.toml"), "the shelf").good
    shop.book.fill("part", documents_of(Shelf(tuple(shelf.part(code) for code in CODES))))
    begun = ask(shop.port, "POST", path, wished)
    for _ in range(3000):  # the first search may compile the mechanics
        work = ask(shop.port, "GET", f"/v1/work/{begun.json['id']}").json
        if work["finished"]:
            break
        time.sleep(0.1)
    assert work["error"] == ""
    best = next(one for one in work["result"]["packages"] if "best" in one["called"])
    order = {"work": work["id"], "package": best["number"], "number": 1, "by": "R. Example"}
    taken = ask(shop.port, "POST", f"/v1/jobs/{shop.job}/take", order)
    late = ask(shop.port, "POST", f"/v1/jobs/{shop.job}/take", order)
    page = asked(shop.port, f"/jobs/{shop.job}/search").text

    assert empty.status == 422
    assert "shelf is empty" in empty.problems[0]["message"]
    assert begun.status == 202
    assert work["state"] == "done"
    assert all(one["price"] <= 600 for one in work["result"]["packages"])
    assert set(best["parts"]) <= set(PLACES)
    assert taken.json["content"] == shop.book.entry(shop.job).content != demo_text("brisk-14-lower.toml")
    assert best["parts"]["front bars"] in shop.book.versions(shop.job)[-1].note
    assert (taken.json["number"], late.status) == (2, 409)
    assert best["parts"]["front bars"] in page  # the page shows the same search


def test_a_search_is_stopped(shop):
    ask(shop.port, "POST", "/v1/parts", demo_text("shelf.toml"), TOML)
    begun = ask(shop.port, "POST", f"/v1/jobs/{shop.job}/search", {"goals": GOALS}).json
    other = ask(shop.port, "POST", f"/v1/jobs/{shop.job}/search", {"goals": GOALS[:1]})
    stopped = ask(shop.port, "POST", f"/v1/work/{begun['id']}/stop").json

    assert other.status == 422  # of one job one search goes on at a time
    assert stopped["state"] in {"stopping", "stopped"}
    assert ask(shop.port, "GET", "/v1/work/none").status == 404


# ---------------------------------------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("status", "method", "path", "body", "headers"),
    [
        (404, "GET", "/v1/nothing", None, {}),
        (404, "GET", "/v1/entries/none", None, {}),
        (404, "GET", "/v1/cars/%0A/corner", None, {}),
        (404, "GET", "/nothing%0Aat%0Aall", None, {}),
        (405, "PATCH", "/v1/entries", None, {}),
        (413, "POST", "/v1/check/car", "x" * (LARGEST + 1), TOML),
        (415, "POST", "/v1/entries", "kind = 'car'", TOML),
        (421, "GET", "/v1/entries", None, {"host": "elsewhere.example"}),
        (403, "POST", "/v1/entries", {}, {"origin": "http://elsewhere.example"}),
        (422, "POST", "/v1/entries", b"{", {"content-type": "application/json"}),
        (422, "POST", "/v1/entries", b'{"kind": NaN}', {"content-type": "application/json"}),
        (422, "POST", "/v1/entries", b"[" * 50_000, {"content-type": "application/json"}),
        (422, "POST", "/v1/entries", {"kind": "car", "content": "\0"}, {}),
        (422, "POST", "/v1/entries", {"kind": "car", "content": "", "colour": "red"}, {}),
        (422, "POST", "/v1/check/car", b"\xff\xfe", TOML),
        (422, "GET", "/v1/entries?kind=bicycle", None, {}),
        (422, "POST", "/v1/sign-in", {"password": "any"}, {}),
    ],
)
def test_every_refusal_has_one_form(workbench, status, method, path, body, headers):
    told = ask(workbench.port, method, path, body, headers)

    assert told.status == status
    assert told.headers["content-type"] == "application/json"
    assert told.problems
    for problem in told.problems:
        assert list(problem) == list(PROBLEM["properties"])
        assert problem["message"]
    if status == 405:
        assert set(told.headers["allow"].split(", ")) == {"GET", "HEAD", "POST"}


def test_all_that_is_wrong_with_a_question_is_told_at_once(workbench):
    told = ask(workbench.port, "GET", f"/v1/cars/{workbench.car}/travel?axle=middle&motion=heave&from=7&states=x&a=1")

    assert [(one["place"], one["found"]) for one in told.problems] == [
        ("query", "a"),
        ("axle", '"middle"'),
        ("from", "7 m or rad"),
        ("to", ""),
        ("states", '"x"'),
    ]


def test_a_job_of_no_car_says_what_to_do(shop):
    job = ask(shop.port, "POST", "/v1/entries", {"kind": "job", "content": demo_text("brisk-14-lower.toml")}).json
    told = ask(shop.port, "GET", f"/v1/jobs/{job['id']}/comparison")

    assert told.status == 422
    assert "belongs to no car" in told.problems[0]["message"]


# ------------------------------------------------------------------------------------------------ the guard


def test_beyond_this_machine_a_token_is_needed_and_ends(tmp_path):
    book, car, _ = demo_book(tmp_path / "shop.db")
    with serving(book, hashed(PASSWORD)) as port:
        shut = ask(port, "GET", f"/v1/entries/{car}")
        wrong = ask(port, "POST", "/v1/sign-in", {"password": "not this one"})
        token = ask(port, "POST", "/v1/sign-in", {"password": PASSWORD}).json["token"]
        mine = {"authorization": f"Bearer {token}"}
        opened = ask(port, "GET", f"/v1/entries/{car}", headers=mine)
        other = ask(port, "GET", f"/v1/entries/{car}", headers={"authorization": "Bearer of-another"})
        ask(port, "POST", "/v1/sign-out", headers=mine)
        ended = ask(port, "GET", f"/v1/entries/{car}", headers=mine)
    book.close()

    assert (shut.status, shut.headers["www-authenticate"]) == (401, "Bearer")
    assert "Brisk" not in shut.content.decode()
    assert wrong.status == 403
    assert (opened.status, opened.json["name"]) == (200, "Brisk 14")
    assert (other.status, ended.status) == (401, 401)


def test_passwords_are_tried_as_rarely_as_in_a_browser(tmp_path):
    book, _, _ = demo_book(tmp_path / "shop.db")
    with serving(book, hashed(PASSWORD)) as port:
        tries = [ask(port, "POST", "/v1/sign-in", {"password": f"guess {n}"}).status for n in range(TRIES)]
        told = ask(port, "POST", "/v1/sign-in", {"password": PASSWORD})
    book.close()

    assert tries == [403] * (TRIES - 1) + [429]
    assert told.status == 429
    assert "Wait" in told.problems[0]["todo"]


# ------------------------------------------------------------------------------------------- the document


def test_the_document_is_served_and_tells_of_every_operation(workbench):
    served = ask(workbench.port, "GET", "/openapi.json").json
    names = [one["operationId"] for path in served["paths"].values() for one in path.values()]

    assert served == json.loads(json.dumps(openapi()))
    assert served["openapi"] == "3.1.0"
    assert sorted(names) == sorted(operation.name for operation in OPERATIONS)
    assert len(set(names)) == len(names)
    assert all(status in PROBLEM_STATUSES for operation in OPERATIONS for status in statuses_of(operation))


def test_every_number_names_its_unit():
    def numbers(schema: Any, place: str) -> Iterator[tuple[str, Any]]:
        if isinstance(schema, dict):
            if schema.get("type") in ("number", ["number", "null"]):
                yield place, schema.get("x-unit")
            for name, below in schema.items():
                yield from numbers(below, f"{place}/{name}")
        elif isinstance(schema, list):
            for number, below in enumerate(schema):
                yield from numbers(below, f"{place}/{number}")

    found = list(numbers(openapi(), ""))

    assert len(found) > 50
    assert [place for place, unit in found if not unit] == []


def test_the_page_for_people_lists_every_operation_and_runs_no_script(workbench):
    told = ask(workbench.port, "GET", "/")
    text = told.content.decode()

    assert told.headers["content-type"].startswith("text/html")
    assert all(f'id="{operation.name}"' in text for operation in OPERATIONS)
    assert "<script" not in text
    assert "http" not in text.replace("<!doctype html>", "")
