"""The forms of a job: what cannot be is told beside its field before it is saved, and no job is ever locked."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from dataclasses import replace
from math import asin, degrees
from pathlib import Path

import pytest

from jounce.book import Book, Entry
from jounce.car.file.reading import parse_car, read_toml
from jounce.job.file import parse_job
from jounce.measuring.writing import value_at
from jounce.web.case_cache import case_of
from tests.workbench import Answer, Workbench, asked, demo_book, demo_text, serving

STEPS = ("found", "aim", "changes", "consequences", "fits", "settings", "sheets", "proof", "search")
CAR = demo_text("brisk-14.toml")


def job_text(front: str, rear: str, more: str = "") -> str:
    wanted = f'[wanted.front]\nlower = "{front}"\n\n[wanted.rear]\nlower = "{rear}"\n'
    return f'[job]\nname = "Low"\ncar = "in the book"\n\n{wanted}{more}'


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Workbench]:
    book, car, _ = demo_book(tmp_path / "shop.db")
    job = book.add("job", "Low", job_text("20 mm", "20 mm"), car)
    with serving(book) as port:
        yield Workbench(port, car, job.id, book)
    book.close()


def post(bench: Workbench, step: str, **form: str) -> Answer:
    number = str(bench.book.entry(bench.job).number)
    return asked(
        bench.port, f"/jobs/{bench.job}/{step}", {"number": number} | {k.replace("_", "."): v for k, v in form.items()}
    )


def value_of(page: str, field: str) -> str:
    found = re.search(rf'<input id="{re.escape(field)}"[^>]*? value="([^"]*)"', page)
    assert found, field
    return html.unescape(found[1])


def wrong_of(page: str, field: str) -> str:
    found = re.search(rf'<p class="wrong" id="wrong-{re.escape(field)}">(.*?)</p>', page)
    return html.unescape(found[1]) if found else ""


def at_the_steps(page: str, job: str) -> bool:
    """Whether a page shows the way through all steps of the job."""
    return all(f'href="/jobs/{job}/{step}"' in page for step in STEPS[:-1])


def test_an_aim_out_of_reach_stays_on_the_form_with_how_far_each_end_goes(bench: Workbench) -> None:
    answer = post(bench, "aim", wanted_front_lower="80", wanted_rear_lower="60 mm")

    assert answer.status == 422
    assert at_the_steps(answer.text, bench.job)
    assert bench.book.entry(bench.job).number == 1
    assert value_of(answer.text, "wanted.front.lower") == "80"
    assert value_of(answer.text, "wanted.rear.lower") == "60 mm"
    most = {}
    for axle in ("front", "rear"):
        told = wrong_of(answer.text, f"wanted.{axle}.lower")
        number = re.match(rf"The {axle} goes (\d+) mm lower at the very most", told)
        assert number, told
        most[axle] = int(number[1])
    assert case_of(job_text(*(f"{n} mm" for n in most.values())), CAR).plan  # what is told can really be reached
    for front, rear in ((most["front"] + 2, most["rear"]), (most["front"], most["rear"] + 2)):
        assert post(bench, "aim", wanted_front_lower=str(front), wanted_rear_lower=str(rear)).status == 422
    assert post(bench, "aim", wanted_front_lower=str(most["front"]), wanted_rear_lower="20").status == 303


def test_an_aim_out_of_reach_leads_to_the_search_with_dampers_and_stops_ticked(bench: Workbench) -> None:
    refused = post(bench, "aim", wanted_rear_lower="60")
    assert 'name="anyway" value="search"' in refused.text
    kept = post(bench, "aim", wanted_rear_lower="60", anyway="search")

    assert kept.headers["location"].startswith(f"/jobs/{bench.job}/search?open=ends")
    page = asked(bench.port, kept.headers["location"]).text
    for place in ("front dampers", "front stops", "rear dampers", "rear stops"):
        assert f'name="place.{place}" value="1" checked' in page
    assert 'href="/jobs/' in page


def locked(book: Book, entry: Entry) -> Entry:
    """Saved as another version of the program, a file or the interface may have saved it."""
    return book.save(replace(entry, content=job_text("60 mm", "60 mm")), "from elsewhere")


def test_a_job_that_cannot_be_worked_out_opens_with_all_its_steps(bench: Workbench) -> None:
    locked(bench.book, bench.book.entry(bench.job))
    for step in STEPS:
        page = asked(bench.port, f"/jobs/{bench.job}/{step}")

        assert at_the_steps(page.text, bench.job), step
        if step in {"aim", "changes", "search"}:
            assert page.status == 200, step
        else:
            assert page.status == 422, step
            assert "cannot be lowered by 60.0 mm" in page.text
            assert f'href="/jobs/{bench.job}/aim?why=1"' in page.text
    why = asked(bench.port, f"/jobs/{bench.job}/aim?why=1").text
    assert "goes 58 mm lower at the very most" in wrong_of(why, "wanted.rear.lower")
    assert post(bench, "aim", wanted_front_lower="40", wanted_rear_lower="40").status == 303
    assert asked(bench.port, f"/jobs/{bench.job}/consequences").status == 200


def test_a_car_edited_under_its_job_locks_no_step(bench: Workbench) -> None:
    book = bench.book
    now = book.entry(bench.job)
    book.save(
        replace(now, content=now.content + '\n[change.front.bump_stop]\nfree_height = "900 mm"\n'), "from elsewhere"
    )
    for step in STEPS:
        page = asked(bench.port, f"/jobs/{bench.job}/{step}")

        assert page.status in {200, 422}
        assert at_the_steps(page.text, bench.job), step


def test_new_parts_that_cannot_be_are_told_beside_their_field(bench: Workbench) -> None:
    book = bench.book
    now = book.entry(bench.job)
    coil = '\n[change.rear.spring]\nrate = "25 N/mm"\nfree_length = "300 mm"\n'
    book.save(replace(now, content=now.content + coil))
    answer = post(bench, "changes", change_rear_spring_rate="much")

    assert answer.status == 422
    assert at_the_steps(answer.text, bench.job)
    assert value_of(answer.text, "change.rear.spring.rate") == "much"
    assert "much" in wrong_of(answer.text, "change.rear.spring.rate")
    assert book.entry(bench.job).number == 2


def test_what_is_wrong_with_a_job_is_told_among_its_steps(bench: Workbench) -> None:
    answer = post(bench, "sheets", kind="no such sheet")

    assert answer.status == 422
    assert at_the_steps(answer.text, bench.job)


ANN, BO = ({"Cookie": f"jounce_by={name}"} for name in ("Ann", "Bo"))


def test_two_people_on_different_steps_of_a_car_are_put_together(bench: Workbench) -> None:
    home = f"/cars/{bench.car}/measure"
    first = {
        "number": "1",
        "heights.front_left": "318",
        "heights.front_left~band": "2",
        "heights.front_left~from": "tape",
    }
    second = {"number": "1", "mass.front_left": "240", "mass.front_left~band": "1", "mass.front_left~from": "scales"}
    assert asked(bench.port, f"{home}/round", first, ANN).status == 303
    late = asked(bench.port, f"{home}/scales", second, BO)

    assert late.status == 303
    assert "put together with version 2 by Ann" in asked(bench.port, late.headers["location"]).text
    kept = bench.book.entry(bench.car).content
    assert '"318 mm"' in kept
    assert '"240 kg"' in kept


def test_two_values_of_one_reading_are_shown_beside_its_field(bench: Workbench) -> None:
    address = f"/cars/{bench.car}/measure/scales"
    mine = {"number": "1", "mass.front_left": "240", "mass.rear_left": "180"}
    asked(bench.port, address, {"number": "1", "mass.front_left": "250"}, ANN)
    late = asked(bench.port, address, mine, BO)

    assert late.status == 422
    told = re.search(r'<p class="wrong" id="mass.front_left-wrong">(.*?)</p>', late.text)
    assert told
    assert "Ann saved “250" in html.unescape(told[1])
    assert "(version 2)" in told[1]
    assert re.search(r'name="mass.front_left" value="240"', late.text)
    assert re.search(r'name="mass.rear_left" value="180"', late.text)
    assert bench.book.entry(bench.car).number == 2
    assert asked(bench.port, address, mine | {"number": "2"}, BO).status == 303
    kept = bench.book.entry(bench.car).content
    assert '"240 kg"' in kept
    assert '"180 kg"' in kept


def test_the_same_reading_sent_twice_is_saved_as_it_is(bench: Workbench) -> None:
    for number in ("1", "1"):
        answer = asked(bench.port, f"/jobs/{bench.job}/aim", {"number": number, "wanted.front.lower": "25"}, BO)
        assert answer.status == 303
    assert value_of(asked(bench.port, f"/jobs/{bench.job}/aim").text, "wanted.front.lower") == "25 mm"


def test_bad_readings_of_a_proof_come_back_with_all_that_was_typed(bench: Workbench) -> None:
    typed = {"front.left.height": "300", "front.right.height": "3o1", "rear.left.load": "200", "rear.left.toe": "x"}
    answer = asked(bench.port, f"/jobs/{bench.job}/proof", typed)

    assert answer.status == 422
    assert at_the_steps(answer.text, bench.job)
    for key, text in typed.items():
        assert value_of(answer.text, key) == text
        assert bool(wrong_of(answer.text, key)) == (text in {"3o1", "x"})
    assert bench.book.entries("measurement", bench.job) == []
    good = {key: text for key, text in typed.items() if text not in {"3o1", "x"}}
    for _ in range(2):  # the second time as after an answer that got lost
        assert asked(bench.port, f"/jobs/{bench.job}/proof", good).status == 303
    assert len(bench.book.entries("measurement", bench.job)) == 1


def test_a_form_that_a_script_sends_is_told_where_to_go_on_and_saved_once(bench: Workbench) -> None:
    form, word = {"name": "B. Example", "note": ""}, {"x-once": "1-2-3"}
    answers = [asked(bench.port, "/customers", form, word) for _ in range(2)]

    assert [one.status for one in answers] == [200, 200]
    assert answers[0].text == answers[1].text
    assert '"to":"/customers/' in answers[0].text
    assert [one.name for one in bench.book.entries("customer")].count("B. Example") == 1
    refused = asked(bench.port, "/customers", {"name": " ", "note": "12 Lane"}, {"x-once": "4"})
    assert refused.status == 422
    assert "12 Lane</textarea>" in refused.text


def test_parts_of_the_shelf_are_put_in_and_taken_out_by_hand(bench: Workbench) -> None:
    home = f"/jobs/{bench.job}/changes"
    asked(bench.port, "/shelf", {"text": demo_text("shelf.toml")})
    page = asked(bench.port, home).text
    choice = re.search(r'<select id="place.rear springs".*?</select>', page, re.DOTALL)
    assert choice
    codes = re.findall(r'<option value="([^"]+)"', choice[0])
    assert codes
    answer = asked(bench.port, home, {"number": "1", "places": "1", "place.rear springs": codes[0]})
    assert answer.status == 303, answer.text
    kept = parse_job(bench.book.entry(bench.job).content, "")

    assert kept.shelf.rear.spring == codes[0]
    assert kept.change.rear.spring is not None
    assert kept.wanted.front.lower == parse_job(job_text("20 mm", "20 mm"), "").wanted.front.lower
    page = asked(bench.port, home).text
    assert f'<option value="{codes[0]}" selected>' in page
    assert asked(bench.port, home, {"number": "2", "places": "1", "place.rear springs": ""}).status == 303
    gone = parse_job(bench.book.entry(bench.job).content, "")
    assert gone.change.rear.spring is None
    assert gone.shelf.rear.spring is None
    wrong = asked(bench.port, home, {"number": "3", "places": "1", "place.rear springs": "NO-SUCH"})
    assert wrong.status == 422
    assert "NO-SUCH" in wrong.text
    assert at_the_steps(wrong.text, bench.job)


def test_toe_is_typed_in_millimetres_over_a_diameter(bench: Workbench) -> None:
    angle = f"{degrees(asin(2 / 365)):.5f} deg"  # as a tape across the rim shows it
    assert post(bench, "aim", wanted_front_toe="2 mm over 365 mm").status == 303
    assert value_at(read_toml(bench.book.entry(bench.job).content, ""), "wanted.front.toe") == angle
    bare = post(bench, "aim", wanted_front_toe="2 mm")
    rim = parse_car(CAR, "").front.left.wheel.rim_diameter
    if rim is None:
        assert bare.status == 422
        assert "2 mm over 365 mm" in wrong_of(bare.text, "wanted.front.toe")
        assert value_of(bare.text, "wanted.front.toe") == "2 mm"
    else:
        assert bare.status == 303
    proved = {"front.left.toe": "1 ± 0.5 mm over 365 mm", "front.right.toe": "0.2"}
    assert asked(bench.port, f"/jobs/{bench.job}/proof", proved).status == 303
    readings = read_toml(bench.book.entries("measurement", bench.job)[0].content, "")
    assert readings["front.left.toe"] == f"{degrees(asin(1 / 365)):.5f} ± 0.0785 deg"
    measured = {"number": "1", "front.alignment.toe": "1 mm over 365 mm", "front.alignment.toe~band": ""}
    assert asked(bench.port, f"/cars/{bench.car}/measure/wheels", measured).status == 303
    toe = value_at(read_toml(bench.book.entry(bench.car).content, ""), "front.alignment.toe")
    assert toe["value"] == f"{degrees(asin(1 / 365)):.5f} deg"


def test_inches_on_a_form_are_round(bench: Workbench) -> None:
    page = asked(bench.port, f"/jobs/{bench.job}/aim", headers={"Cookie": "jounce_units=inch"}).text

    assert value_of(page, "wanted.front.lower") == "0.787 in"


def test_an_angle_typed_for_one_wheel_takes_the_place_of_that_of_both(bench: Workbench) -> None:
    def wanted(key: str) -> object:
        return value_at(read_toml(bench.book.entry(bench.job).content, ""), f"wanted.front.{key}")

    def typed(**form: str) -> int:
        number = str(bench.book.entry(bench.job).number)
        keys = {f"wanted.front.{key}": value for key, value in form.items()}
        return asked(bench.port, f"/jobs/{bench.job}/aim", {"number": number} | keys).status

    assert typed(camber="-1") == 303
    assert typed(left_camber="-1.4") == 303
    assert [wanted(key) for key in ("camber", "left_camber", "right_camber")] == [None, "-1.4 deg", "-1 deg"]
    assert typed(camber="-0.8") == 303
    assert [wanted(key) for key in ("camber", "left_camber", "right_camber")] == ["-0.8 deg", None, None]
    assert typed(left_toe="2 mm over 365 mm", right_toe="0") == 303
    assert wanted("toe") is None
    assert wanted("left_toe") == f"{degrees(asin(2 / 365)):.5f} deg"


def test_whose_drop_links_free_the_bars_is_chosen(bench: Workbench) -> None:
    """The front has a bar, the rear none: one choice, kept in the file, shown again, and taken back."""
    home = f"/jobs/{bench.job}/aim"

    def wanted() -> object:
        return value_at(read_toml(bench.book.entry(bench.job).content, ""), "wanted.front.free_bars")

    def chosen() -> list[str]:
        choice = re.search(r'<select id="wanted.front.free_bars".*?</select>', asked(bench.port, home).text, re.DOTALL)
        assert choice
        return re.findall(r'<option value="([^"]*)" selected>', choice[0])

    assert "wanted.rear.free_bars" not in asked(bench.port, home).text
    assert chosen() == [""]
    for word, kept in (("right", "right"), ("", None)):
        number = str(bench.book.entry(bench.job).number)
        assert asked(bench.port, home, {"number": number, "wanted.front.free_bars": word}).status == 303
        assert wanted() == kept
        assert chosen() == [word]
    refused = asked(bench.port, home, {"number": "3", "wanted.front.free_bars": "both"})
    assert refused.status == 422
    assert "none of the words" in wrong_of(refused.text, "wanted.front.free_bars")


def test_ends_of_a_drop_link_have_fields_and_a_bar_that_the_link_does_not_free_none(bench: Workbench) -> None:
    book = bench.book
    link = '\n[change.front.drop_link]\nshortest = "40 mm"\nlongest = "60 mm"\nthread_pitch = "1.5 mm"\n'
    now = book.entry(bench.job)
    book.save(replace(now, content=now.content + link))
    page = asked(bench.port, f"/jobs/{bench.job}/changes").text
    assert value_of(page, "change.front.drop_link.longest") == "60 mm"
    places = "arm_end = [45, 500, 250]\nbend = [250, 440, 238]\nbush = [250, 340, 238]\n"
    second = f"[change.front.roll_bar_2]\ndiameter = 15\n{places}"
    now = book.entry(bench.job)
    book.save(replace(now, content=now.content + second))
    assert "free_bars" not in asked(bench.port, f"/jobs/{bench.job}/aim").text


def test_a_height_wanted_of_each_side_stands_on_the_page_and_gives_way_to_both_alike(bench: Workbench) -> None:
    sides = '[wanted.front]\nleft_height = "345 mm"\nright_height = "341 mm"\n\n[wanted.rear]\nlower = "20 mm"\n'
    job = bench.book.add("job", "Low", f'[job]\nname = "Low"\ncar = "in the book"\n\n{sides}', bench.car)
    page = asked(bench.port, f"/jobs/{job.id}/aim").text

    assert value_of(page, "wanted.front.left_height") == "345 mm"
    assert "wanted.rear.height" not in page
    form = {"number": "1", "wanted.front.height": "343", "wanted.front.right_height": "341 mm"}
    assert asked(bench.port, f"/jobs/{job.id}/aim", form).status == 303
    wanted = read_toml(bench.book.entry(job.id).content, "")["wanted"]["front"]
    assert dict(wanted) == {"height": "343 mm"}


def test_a_part_told_by_its_length_has_no_fields_for_what_it_differs_by(bench: Workbench) -> None:
    car = bench.book.add("car", "Leaves", demo_text("bracken-16.toml"))
    for told, shown, hidden in (
        ("shortest = 65\nlongest = 105", ("shortest", "longest", "step"), ("longer", "shorter")),
        ("longer = 20", ("longer", "shorter", "step"), ("shortest", "longest")),
    ):
        job = bench.book.add("job", told, job_text("0 mm", "5 mm", f"\n[change.rear.shackle]\n{told}\n"), car.id)
        page = asked(bench.port, f"/jobs/{job.id}/changes").text
        assert all(f'id="change.rear.shackle.{key}"' in page for key in shown)
        assert not any(f'id="change.rear.shackle.{key}"' in page for key in hidden)


def test_a_job_that_cannot_be_planned_opens_by_its_own_address(bench: Workbench) -> None:
    job = bench.book.add("job", "Low", job_text("149 mm", "20 mm"), bench.car)

    assert "cannot be lowered by 149.0 mm" in asked(bench.port, f"/jobs/{job.id}").text
