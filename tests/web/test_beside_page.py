"""Jobs of a car beside each other on a page: the numbers of each job, what is wrong with the ticks, sheet and rows."""

from __future__ import annotations

import csv
import html
import io
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import Kind, show
from tests.case.jobs_beside import JOB, SOFTER, TOO_LOW, job_on
from tests.web.test_shop import asked_bytes, words_of
from tests.workbench import Workbench, asked, demo_book, demo_text, serving

JOB_NAME = "Road and club days, 35 mm lower"
WEAK = JOB.replace("stress_limit = { value = 900", "stress_limit = { value = 500")


@dataclass(frozen=True)
class Shop:
    """A workbench whose demo car has several jobs: ids by what they are."""

    bench: Workbench
    jobs: dict[str, str]

    def address(self, *names: str, more: str = "") -> str:
        ticks = "&".join(f"job-{self.jobs[name]}=1" for name in names)
        return f"/cars/{self.bench.car}/beside?{ticks}{more}"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    book, car, job = demo_book(tmp_path_factory.mktemp("book") / "shop.db")
    jobs = {"first": job}
    for name, text in (("softer", SOFTER), ("too low", TOO_LOW), ("weak", WEAK), ("again", JOB)):
        jobs[name] = book.add("job", name, text, car).id
    sedge = next(one for one in book.entries("car") if one.name == "Sedge 13")
    jobs["other car"] = book.add("job", "other", JOB, sedge.id).id
    with serving(book) as port:
        yield Shop(Workbench(port, car, job, book), jobs)
    book.close()


def cells(text: str, place: str, label: str) -> list[str]:
    """A line of the table, without its marks and its ±."""
    part = text.partition(f">{place}</th>")[2]
    line = re.search(rf"<tr><th scope=\"row\">{re.escape(label)}.*?</tr>", part, re.DOTALL)
    assert line is not None, (place, label)
    return [re.sub(r"<span.*?</span>", "", one).strip() for one in re.findall(r"<td>(.*?)</td>", line[0], re.DOTALL)]


def test_the_car_leads_there_and_the_jobs_are_offered(shop: Shop) -> None:
    car = asked(shop.bench.port, f"/cars/{shop.bench.car}").text
    text = asked(shop.bench.port, f"/cars/{shop.bench.car}/beside").text

    assert f'href="/cars/{shop.bench.car}/beside"' in car
    for name, entry in shop.jobs.items():
        assert (f'name="job-{entry}"' in text) == (name != "other car")
    assert "The table" not in text


def test_each_column_is_its_own_job_in_the_order_of_the_list(shop: Shop) -> None:
    answer = asked(shop.bench.port, shop.address("softer", "first"))
    text = answer.text
    row, soft = (job_on(job).row("rear.left.ride_frequency") for job in (JOB, SOFTER))
    load = job_on(SOFTER).row("rear.left.load").planned or 0.0

    assert answer.status == 200
    told = cells(text, "rear left", "ride frequency, with tyre")
    assert told == [show(x or 0.0, row.kind).split()[0] for x in (row.found, row.planned, soft.planned)]
    assert cells(text, "rear left", "wheel load")[2] == show(load / GRAVITY, Kind.MASS).split()[0]
    assert cells(text, "fits, lasts, costs", "checks that fail") == ["–", "0", "1"]
    assert "B fails LDN-01" in text
    assert re.search(r'class="letter">A</span> <a [^>]*>Road and club days', text)
    assert f'data-frames="/jobs/{shop.jobs["first"]}/frames.json"' in text


def test_another_job_is_chosen_for_the_picture(shop: Shop) -> None:
    text = asked(shop.bench.port, shop.address("first", "softer", more="&shown=B")).text

    assert f'data-frames="/jobs/{shop.jobs["softer"]}/frames.json"' in text
    assert text.count('aria-current="true"') == 1


def test_a_job_beside_the_same_one_shows_no_difference(shop: Shop) -> None:
    text = asked(shop.bench.port, shop.address("first", "again")).text

    assert "The jobs differ in none of these numbers." in text
    for line in re.findall(r"<tr><th scope=\"row\">.*?</tr>", text, re.DOTALL):
        one, other = (re.sub(r"<[^>]*>", "", cell) for cell in re.findall(r"<td>(.*?)</td>", line, re.DOTALL)[-2:])
        assert one == other


def test_a_job_that_cannot_be_is_told_in_words_and_has_no_picture(shop: Shop) -> None:
    answer = asked(shop.bench.port, shop.address("first", "too low", "softer"))
    alone = asked(shop.bench.port, shop.address("first", "softer")).text
    told = cells(answer.text, "rear left", "wheel rate, both together")

    assert answer.status == 200
    assert "cannot be. wanted.front: The front cannot be lowered by 149.0 mm" in html.unescape(answer.text)
    assert "cannot be" in cells(answer.text, "fits, lasts, costs", "the plan")
    assert [one for one in told if one != "–"] == cells(alone, "rear left", "wheel rate, both together")
    assert len(re.findall(r"shown=[A-D]#picture", answer.text)) == 2


@pytest.mark.parametrize(
    ("names", "says"),
    [(["first"], "2 to 4 jobs"), (["first", "softer", "too low", "weak", "again"], "2 to 4 jobs; wait")],
)
def test_too_few_and_too_many_are_told_beside_the_ticks(shop: Shop, names: list[str], says: str) -> None:
    answer = asked(shop.bench.port, shop.address(*names))

    assert answer.status == 422
    assert says.partition(";")[0] in answer.text
    assert answer.text.count("checked>") == len(names)


def test_a_job_of_another_car_is_refused(shop: Shop) -> None:
    answer = asked(shop.bench.port, shop.address("first", "other car"))

    assert answer.status == 422
    assert "This is no job of this car" in answer.text


def test_a_job_whose_text_is_wrong_is_named(shop: Shop) -> None:
    wrong = shop.bench.book.add("job", "half a job", JOB.replace("value = 25,", "value = -25,"), shop.bench.car)
    answer = asked(shop.bench.port, f"{shop.address('first')}&job-{wrong.id}=1")
    shop.bench.book.remove(wrong)

    assert answer.status == 422
    assert "half a job" in answer.text.partition('role="alert"')[2].partition("</div>")[0]


def test_rows_for_a_spreadsheet(shop: Shop) -> None:
    answer = asked(shop.bench.port, shop.address("first", "softer", more="&rows=1"))
    rows = [row for row in csv.DictReader(io.StringIO(answer.text)) if row["quantity"].startswith("front share")]

    assert answer.headers["content-type"].startswith("text/csv")
    assert [row["column"] for row in rows] == ["as found", "A", "B"]
    assert float(rows[2]["value"]) == pytest.approx(100 * (job_on(SOFTER).row("front_share").planned or 0.0), rel=1e-8)


def test_the_sheet_is_printed_with_its_versions_and_kept(shop: Shop) -> None:
    path = shop.address("first", "softer")
    printed = asked(shop.bench.port, path, {"print": "1"})
    kept = asked(shop.bench.port, path, {"keep": "1"})
    told = words_of(asked_bytes(shop.bench.port, printed.headers["location"], {}))
    names = [file.name for file in shop.bench.book.attachments(shop.bench.car)]

    assert (printed.status, kept.status) == (303, 303)
    assert "version 1 of the car; jobs: A version 1, B version 1" in told
    assert "Softer behind" in told
    assert names == ["Side by side, Road and club days, 35 mm lower and softer, version 1 of the car.pdf"]
    assert "Side by side" in asked(shop.bench.port, kept.headers["location"].partition("#")[0]).text


def test_what_lives_depend_on_is_printed_with_a_reason_only(shop: Shop) -> None:
    path = shop.address("first", "weak")
    page = asked(shop.bench.port, path).text
    bare, short = (
        asked(shop.bench.port, path, {"print": "1"}),
        asked(shop.bench.port, path, {"print": "1", "despite": "x"}),
    )
    reason = "to show why they are not fitted"
    printed = asked(shop.bench.port, path, {"print": "1", "despite": reason})
    told = words_of(asked_bytes(shop.bench.port, printed.headers["location"], {}))

    assert 'id="despite"' in page
    assert (bare.status, short.status) == (422, 422)
    assert "lives depend" in bare.text
    assert 'value="x"' in short.text
    assert reason in told


def test_what_the_jobs_cost_is_told_where_shop_and_shelf_can(tmp_path) -> None:
    book, car, job = demo_book(tmp_path / "shop.db")
    other = book.add("job", "softer", SOFTER, car)
    path = f"/cars/{car}/beside?job-{job}=1&job-{other.id}=1"
    with serving(book) as port:
        before = asked(port, path).text
        book.add("shop", "Demo Workshop", demo_text("shop.toml"))
        head = b'--cut\r\nContent-Disposition: form-data; name="file"; filename="s.toml"\r\n\r\n'
        body = head + demo_text("shelf.toml").encode() + b"\r\n--cut--\r\n"
        asked(port, "/shelf", headers={"Content-Type": "multipart/form-data; boundary=cut"}, body=body)
        after = asked(port, path).text
        told = json.loads(asked(port, f"/api/v1/cars/{car}/beside?job={job}&job={other.id}").text)
    book.close()

    assert "to pay" not in before
    shown = cells(after, "fits, lasts, costs", "to pay, EUR")[1]
    assert re.fullmatch(r"from \d+\.\d\d", shown)
    assert told["jobs"][0]["price"] == {"gross": shown.removeprefix("from "), "currency": "EUR", "at_least": True}


def test_programs_are_told_the_numbers_of_each_job(shop: Shop) -> None:
    chosen = ("softer", "too low", "first")
    path = f"/api/v1/cars/{shop.bench.car}/beside?{'&'.join(f'job={shop.jobs[name]}' for name in chosen)}"
    told = json.loads(asked(shop.bench.port, path).text)
    alone = json.loads(asked(shop.bench.port, f"/api/v1/jobs/{shop.jobs['softer']}/comparison").text)
    checks = json.loads(asked(shop.bench.port, f"/api/v1/jobs/{shop.jobs['softer']}/checks").text)

    assert [one["name"] for one in told["jobs"]] == ["Softer behind", "Lower than it goes", JOB_NAME]
    assert [one["worst"] for one in told["jobs"]] == ["FAIL", None, "unknown"]
    assert told["jobs"][0]["checks"] == checks["checks"]
    for row, own in zip(told["rows"], alone["rows"], strict=True):
        assert (row["key"], row["unit"]) == (own["key"], own["unit"])
        assert (row["found"], row["planned"][0], row["planned"][1]) == (own["found"], own["planned"], None)


def test_programs_get_the_sheet_and_are_refused_what_pages_refuse(shop: Shop) -> None:
    home = f"/api/v1/cars/{shop.bench.car}/beside"
    first, weak, other = (f"job={shop.jobs[name]}" for name in ("first", "weak", "other car"))
    sheet = asked_bytes(shop.bench.port, f"{home}/sheet?{first}&job={shop.jobs['softer']}&units=inch&paper=us-letter")
    five = asked(shop.bench.port, f"{home}?{'&'.join([first] * 5)}")
    refused = {
        "lives depend": asked(shop.bench.port, f"{home}/sheet?{first}&{weak}"),
        "no job of this car": asked(shop.bench.port, f"{home}?{first}&{other}"),
        "2 parts or more": asked(shop.bench.port, f"{home}?{first}"),
    }

    assert "lbf/in" in words_of(sheet)
    assert {answer.status for answer in (*refused.values(), five)} == {422}
    assert [words for words, answer in refused.items() if words not in answer.text] == []
    assert "up to 4 parts" in five.text


def test_all_jobs_and_the_car_as_found_are_lines_of_one_chart(shop: Shop) -> None:
    """Each line is its own car's: the numbers where it stands are those of the table."""
    text = asked(shop.bench.port, shop.address("first", "softer")).text
    charts = [json.loads(html.unescape(one)) for one in re.findall(r'data-chart="([^"]*)"', text)]
    rates = next(one for one in charts if one["title"]["name"] == "rear: wheel rate, left")
    middle = rates["x"].index(0.0)

    assert [line["name"] for line in rates["lines"]] == ["as found", "A", "B"]
    assert [line["look"] for line in rates["lines"]] == [0, 1, 2]
    told = [float(cell) for cell in cells(text, "rear left", "wheel rate, both together")]
    assert [line["y"][middle] for line in rates["lines"]] == pytest.approx(told, abs=0.006)
