"""The pages without a browser: each one answers, what is saved is saved, what is wrong is said."""

from __future__ import annotations

import json
import math
import re
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.road.attitude import attitude
from jounce.job.comparison import ComparedRow
from jounce.web.case_cache import case_of
from jounce.web.site import _PAGES
from tests.workbench import Answer, Workbench, asked, demo_book, demo_text, serving

STEPS = ("found", "aim", "changes", "consequences", "fits", "settings", "sheets", "proof")


def upload(port: int, path: str, content: bytes) -> Answer:
    head = b'--cut\r\nContent-Disposition: form-data; name="file"; filename="../../x.toml"\r\n\r\n'
    body = head + content + b"\r\n--cut--\r\n"
    return asked(port, path, headers={"Content-Type": "multipart/form-data; boundary=cut"}, body=body)


def test_every_page_answers(workbench: Workbench) -> None:
    for address in _PAGES:
        if re.search(r"\{(file|work|kind|code|number)\}", address) or address.startswith("/shelf/{entry}"):
            continue
        if address.startswith("/quotes/"):  # no job has one here
            continue
        owner = workbench.book.entry(workbench.car).belongs_to or ""
        entry = {"cars": workbench.car, "customers": owner}.get(address.split("/")[1], workbench.job)
        question = "bar" if address.startswith("/ask") else "brake"
        answer = asked(workbench.port, address.replace("{entry}", entry).replace("{question}", question))

        assert answer.status in {200, 303}, address
        if answer.headers.get("content-type", "").startswith("text/html"):
            assert '<html lang="en">' in answer.text
            assert answer.text.count("<h1") == 1, address


def test_nothing_on_a_page_comes_from_elsewhere_or_stands_in_the_page_as_a_script(workbench: Workbench) -> None:
    for path in ("/", f"/cars/{workbench.car}", f"/jobs/{workbench.job}/consequences", "/static/style.css"):
        text = asked(workbench.port, path).text

        assert re.findall(r"(?:src|href|url)\s*[=(]\s*[\"']?(?:https?:)?//", text) == []
        assert re.findall(r"<script(?![^>]*src)|\son\w+=|\sstyle=", text) == []


def test_consequences_say_what_was_worked_out(workbench: Workbench) -> None:
    case = case_of(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml"))
    text = asked(workbench.port, f"/jobs/{workbench.job}/consequences").text

    row: ComparedRow = case.row("front.left.ride_frequency")
    other = case.row("front.right.ride_frequency")
    planned, found = (
        sum(both) / 2 for both in ((row.planned or 0, other.planned or 0), (row.found or 0, other.found or 0))
    )
    assert f"It rides at {planned:.2f} Hz in front instead of {found:.2f} Hz" in text
    lower = sum(
        (case.row(f"rear.{s}.height").found or 0) - (case.row(f"rear.{s}.height").planned or 0)
        for s in ("left", "right")
    )
    assert f"{lower / 2 * 1e3:.1f} mm lower behind" in text
    load = case.row("front.left.load")
    assert load.found is not None  # a shop reads what its scales tell: kg, not N
    shown = re.search(r">wheel load <span class=\"unit\">kg</span></th>\s*<td>([\d.]+)", text)
    assert shown is not None
    assert float(shown[1]) == pytest.approx(load.found / 9.80665, abs=0.06)
    car = asked(workbench.port, f"/cars/{workbench.car}").text
    assert re.search(r"load <span class=\"unit\">kg</span></th>\s*<td[^>]*>" + re.escape(shown[1]), car)


def test_other_units_are_a_matter_of_the_desk(workbench: Workbench) -> None:
    cookie = asked(workbench.port, "/desk", {"by": "Ann Öst", "units": "inch", "paper": "a4"})
    assert cookie.status == 303
    text = asked(workbench.port, f"/jobs/{workbench.job}/found", headers={"Cookie": "jounce_units=inch"}).text

    assert "lbf/in" in text
    assert "N/mm" not in text


def test_frames_are_the_linkage_where_the_car_stands_and_where_it_goes(workbench: Workbench) -> None:
    data = json.loads(asked(workbench.port, f"/jobs/{workbench.job}/frames.json").text)
    found, planned = (state["axles"][0] for state in data["states"])

    assert [state["title"] for state in data["states"]] == ["as found", "as planned"]
    middle = len(found["motions"]["travel"]["frames"]) // 2
    ball = next(i for i, name in enumerate(found["names"]) if name == "front left ball joint")
    at_rest = found["motions"]["travel"]["frames"][middle]
    assert at_rest[3 * ball : 3 * ball + 3] == [50, 6480, 1900]  # the demo car's ball joint in tenths of a millimetre
    wheel = 3 * len(found["names"]) + 2  # height of the left wheel's centre
    rises = [frame[wheel] for frame in found["motions"]["travel"]["frames"]]
    assert rises[-1] - rises[0] == pytest.approx(1200, abs=1)
    case = case_of(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml"))
    height = case.row("front.left.height")
    wheel = 3 * len(planned["names"]) + 2  # the planned car has one bar more
    lift = planned["motions"]["travel"]["frames"][middle][wheel] - at_rest[3 * len(found["names"]) + 2]
    assert lift == pytest.approx(((height.found or 0) - (height.planned or 0)) * 1e4, abs=1)
    read = [quantity["name"] for quantity in data["read"]].index("camber left")
    assert planned["motions"]["travel"]["read"][middle][read] == pytest.approx(-1.0, abs=5e-3)


def test_a_picture_that_was_looked_at_before_follows_each_new_version_and_other_units(tmp_path: Path) -> None:
    book, car, job = demo_book(tmp_path / "shop.db")

    def looked_at(**cookies: str) -> tuple[dict[str, list[int]], float]:
        """Each place as found and how low the planned car stands [tenths of a millimetre]; a tenth in the unit shown."""
        headers = {"Cookie": "; ".join(f"{name}={value}" for name, value in cookies.items())}
        data = json.loads(asked(port, f"/jobs/{job}/frames.json", headers=headers).text)
        axle, sunk = data["states"][0]["axles"][0], data["states"][1]["sunk"]
        frame = axle["motions"]["travel"]["frames"][len(axle["motions"]["travel"]["frames"]) // 2]
        places = {name: frame[3 * k : 3 * k + 3] for k, name in enumerate(axle["names"])}
        return places | {"sunk": [sunk]}, data["perTenth"]

    with serving(book) as port:
        first, factor = looked_at()
        again, _ = looked_at()
        _, inches = looked_at(jounce_units="inch")
        book.save(replace(book.entry(job), content=book.entry(job).content.replace("lower = 35", "lower = 25")))
        higher, _ = looked_at()
        text = book.entry(car).content.replace("ball_joint = [5, 648, 190]", "ball_joint = [5, 650, 190]")
        book.save(replace(book.entry(car), content=text))
        moved, _ = looked_at()
    book.close()

    assert again == first
    assert factor / inches == pytest.approx(25.4)  # NIST SP 811, B.8: an inch is 25.4 mm
    assert first["sunk"][0] - higher["sunk"][0] == pytest.approx(100, abs=20)  # whole teeth and turns leave 2 mm
    ball = "front left ball joint"
    assert (first[ball][1], higher[ball][1], moved[ball][1]) == (6480, 6480, 6500)


def test_frames_of_a_corner_keep_the_cars_weight_and_its_wheels_on_the_road(workbench: Workbench) -> None:
    begin = json.loads(asked(workbench.port, f"/jobs/{workbench.job}/frames.json").text)
    told = json.loads(asked(workbench.port, f"/jobs/{workbench.job}/frames.json?motion=corner").text)
    rows = [quantity["name"] for quantity in begin["read"]]
    left, right = rows.index("load left"), rows.index("load right")
    start = begin["motions"]["corner"]["start"]
    for number, state in enumerate(told["states"]):
        axles, (heave, pitch, roll) = state["axles"], state["poses"][start + 12]
        upright = np.array(attitude(np.zeros(1), np.array([pitch / 1e6]), np.array([roll / 1e6])).rotation[0, 2])
        weights = [sum(axle["read"][k][side] for axle in axles for side in (left, right)) for k in (start, start + 12)]
        assert weights[1] == pytest.approx(weights[0], abs=0.01)
        for axle, drawn in zip(axles, begin["states"][number]["axles"], strict=True):
            frame, count = axle["frames"][start + 12], len(drawn["names"])
            for side, radius in enumerate(drawn["radius"]):
                centre, axis = (np.array(frame[3 * count + 6 * side + k :][:3]) for k in (0, 3))
                lowest = upright @ centre + heave - radius * (1 - (upright @ axis / 1e4) ** 2) ** 0.5
                assert abs(lowest) < 150  # 15 mm: tyres give more or less than as found


def test_a_motion_that_does_not_exist_is_refused(workbench: Workbench) -> None:
    answer = asked(workbench.port, f"/jobs/{workbench.job}/frames.json?motion=loop")

    assert answer.status == 422
    assert "no such motion" in answer.text


def test_a_number_typed_over_is_saved_and_the_rest_of_the_file_stays(tmp_path: Path) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        page = asked(port, f"/jobs/{job}/aim").text
        assert 'value="35 mm"' in page
        assert 'value="23.5 ± 0.05 mm"' in asked(port, f"/jobs/{job}/changes").text
        form = {
            "number": "1",
            "wanted.front.lower": "30",
            "wanted.rear.lower": "35 mm",
            "wanted.front.camber": "-1 deg",
        }
        answer = asked(port, f"/jobs/{job}/aim", form | {"then": "https://elsewhere.example"})
        assert answer.headers["location"] == f"/jobs/{job}/aim?saved={job}.2"
        kept = book.entry(job)
        assert kept.number == 2
        assert tomllib.loads(kept.content)["wanted"]["front"]["lower"] == "30 mm"
        assert kept.content.splitlines()[0] == demo_text("brisk-14-lower.toml").splitlines()[0]
        assert 'from = "bar maker\'s letter"' in kept.content
        wrong = asked(port, f"/jobs/{job}/aim", {"number": "2", "wanted.front.lower": "3000"})
        assert wrong.status == 422
        assert "−150 to 150" in wrong.text
        assert book.entry(job).number == 2
    book.close()


def test_the_later_save_sees_the_earlier_one_and_a_version_comes_back(tmp_path: Path) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        first = {"Cookie": "jounce_by=Ann"}
        asked(port, f"/jobs/{job}/aim", {"number": "1", "wanted.front.lower": "30"}, first)
        late = asked(port, f"/jobs/{job}/aim", {"number": "1", "wanted.rear.lower": "25"}, {"Cookie": "jounce_by=Bo"})
        assert late.status == 303
        assert "put together with version 2 by Ann" in asked(port, late.headers["location"]).text
        both = tomllib.loads(book.entry(job).content)["wanted"]
        assert (both["front"]["lower"], both["rear"]["lower"]) == ("30 mm", "25 mm")
        assert [version.by for version in book.versions(job)] == ["tester", "Ann", "Bo"]
        late = asked(port, f"/entries/{job}/restore", {"version": "1", "number": "2"})
        assert late.status == 409
        assert book.entry(job).number == 3
        asked(port, f"/entries/{job}/restore", {"version": "1", "number": "3"})
        assert book.entry(job).content == demo_text("brisk-14-lower.toml")
        assert book.entry(job).number == 4
    book.close()


def test_a_car_begins_as_a_copy_with_what_tape_and_scales_said(workbench: Workbench) -> None:
    form = {
        "name": "Grey one <b>",
        "front": "brisk-14.toml/front",
        "rear": "brisk-14.toml/rear",
    }
    answer = asked(workbench.port, "/cars/from-demo", form)
    car = workbench.book.entry(answer.headers["location"].split("/")[2])
    for step, reading in (("scales", {"mass.front_left": "301 ± 2"}), ("round", {"heights.rear_left": "13.5 in"})):
        car = workbench.book.entry(car.id)
        asked(workbench.port, f"/cars/{car.id}/measure/{step}", {"number": str(car.number), **reading})
    car = workbench.book.entry(car.id)
    written = tomllib.loads(car.content)

    assert written["mass"]["front_left"] == {"value": "301 ± 2 kg", "from": "scales"}
    assert written["heights"]["rear_left"]["value"] == "13.5 in"
    assert "year" not in written["car"]
    text = asked(workbench.port, f"/cars/{car.id}").text
    assert "Grey one &lt;b&gt;" in text
    assert "<b>" not in text


def test_files_are_read_for_their_content_and_never_by_their_name(workbench: Workbench) -> None:
    answer = upload(workbench.port, "/cars/from-file", demo_text("comfrey-20.toml").encode())
    assert workbench.book.entry(answer.headers["location"].rpartition("/")[2].partition("?")[0]).name == "Comfrey 20"
    for content in (b"\xff\xfe", b"[car]\nname = 3", b"not toml", b""):
        assert upload(workbench.port, "/cars/from-file", content).status == 422


def test_text_that_is_wrong_comes_back_whole(workbench: Workbench) -> None:
    number = workbench.book.entry(workbench.job).number
    text = demo_text("brisk-14-lower.toml").replace("diameter = 19", 'diameter = "19 kg"')
    answer = asked(workbench.port, f"/entries/{workbench.job}/words", {"content": text, "number": "1"})

    assert answer.status == 422
    assert "change.rear.inner_bar.diameter" in answer.text
    assert "19 kg" in answer.text
    assert workbench.book.entry(workbench.job).number == number


def test_readings_are_put_beside_what_was_predicted(workbench: Workbench) -> None:
    case = case_of(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml"))
    height, toe = case.row("front.left.height"), case.row("front.left.toe")
    assert height.planned is not None
    assert toe.planned is not None
    form = {
        "front.left.height": f"{height.planned * 1e3 + 5.2:.2f} ± 2",
        "front.right.height": f"{(case.row('front.right.height').planned or 0) * 1e3:.1f}",
        "front.left.load": "291",
        "front.left.toe": f"{math.degrees(toe.planned):.2f} ± 0.05",
    }
    asked(workbench.port, f"/jobs/{workbench.job}/proof", form)
    text = asked(workbench.port, f"/jobs/{workbench.job}/proof").text

    rows = {m[0]: m[1] for m in re.findall(r'<th scope="row">([^<]+?) <span.*?</th>(.*?)</tr>', text, re.DOTALL)}
    room = math.hypot(2 * 1.645 / 2, height.planned_band * 1e3)
    assert f"<strong>no</strong>: outside ± {room:.1f}, both bands together" in rows["front left: wheel centre to arch"]
    assert "<td>0.0</td><td>yes: inside ±" in rows["front right: wheel centre to arch"].replace("+0.0", "0.0").replace(
        "−0.0", "0.0"
    )
    load = (case.row("front.left.load").planned or 0) / 9.80665
    assert f"<td>{load:.1f} " in rows["front left: scale"]
    assert "yes: inside ±" in rows["front left: toe"]
    assert asked(workbench.port, f"/jobs/{workbench.job}/proof", {"front.left.height": "much"}).status == 422


def test_the_shelf_is_filled_once_and_chosen_from(workbench: Workbench) -> None:
    shelf = demo_text("shelf.toml").encode()
    assert upload(workbench.port, "/shelf", shelf).status == 303
    upload(workbench.port, "/shelf", shelf)
    parts = workbench.book.entries("part")

    assert len(parts) == len({part.name for part in parts}) > 100
    assert {part.number for part in parts} == {1}
    every = asked(workbench.port, f"/shelf?kind=coil&car={workbench.car}&all=1").text.count("<li><details>")
    fitting = asked(workbench.port, f"/shelf?kind=coil&car={workbench.car}").text.count("<li><details>")
    assert 0 < fitting < every


def test_a_sheet_is_kept_as_it_was_handed_over(workbench: Workbench) -> None:
    asked(workbench.port, f"/jobs/{workbench.job}/sheets", {"number": "1"})
    kept = workbench.book.attachments(workbench.job)

    assert [file.media_type for file in kept] == ["application/pdf"]
    assert asked(workbench.port, f"/files/{kept[0].id}").text.startswith("%PDF")
    other = workbench.book.attach(workbench.job, "page.html", "text/html", b"<script>1</script>")
    answer = asked(workbench.port, f"/files/{other.id}")
    assert answer.headers["content-disposition"] == "attachment"
    assert answer.headers["content-type"] == "application/octet-stream"


@pytest.mark.parametrize(
    "path", ["/cars/none", "/jobs/none/aim", "/entries/none/history", "/files/none", "/jobs/none/frames.json"]
)
def test_what_is_not_there_is_said(workbench: Workbench, path: str) -> None:
    answer = asked(workbench.port, path)

    assert answer.status == 422
    assert "The book has no such" in answer.text
