"""Asked in words on the workbench: the answer, its fields, and the way there from every page."""

from __future__ import annotations

import json
import re
from urllib.parse import urlencode

import pytest

from tests.web.test_shop import SHOP
from tests.workbench import Answer, Workbench, asked


def said(workbench: Workbench, **query: str) -> Answer:
    return asked(workbench.port, f"/asked?{urlencode(query)}")


def test_a_question_is_answered_of_the_car_that_was_on_the_page(workbench: Workbench) -> None:
    answer = said(workbench, q="how stiff is it now", kind="settle", of=f"/cars/{workbench.car}")

    assert answer.status == 200
    assert "front left wheel rate" in answer.text
    assert f'href="/cars/{workbench.car}/ask/settle"' in answer.text
    assert "To paste into a message" in answer.text


def test_what_was_understood_stands_in_fields_and_can_be_corrected(workbench: Workbench) -> None:
    answer = said(workbench, q="will it rub 30 mm lower at the front", of=workbench.car)

    assert re.search(r'name="front" value="30\.0 mm"', answer.text)
    assert re.search(r'name="rear" value=""', answer.text)
    again = said(
        workbench, q="will it rub 30 mm lower", of=workbench.car, corrected="1", kind="panhard", front="", rear="12"
    )
    assert "rear 12.0 mm lower than as found" in again.text
    assert "front 30" not in again.text


def test_the_picture_and_the_curve_of_what_was_asked_stand_in_the_answer(workbench: Workbench) -> None:
    still = said(workbench, q="will it rub 30 mm lower at the front", of=workbench.car, kind="rub").text
    (lower,) = re.findall(r"over the road front ([\d.]+) mm lower and rear ", still)
    assert float(lower) == pytest.approx(30.0, abs=2.2)  # as near as the teeth of its bars allow
    assert still.count("<circle") == 4  # two wheels as found, two as asked
    curve = said(
        workbench, q="does it steer over bumps 30 lower at the front", of=workbench.car, kind="bump-steer"
    ).text
    assert "front: toe, left" in curve
    assert "rear: toe, left" not in curve  # the front was asked of
    assert "as planned: " in curve
    scale = said(workbench, q="how low can it go", of=workbench.car, kind="how-low").text
    assert 'class="low-scale"' in scale
    for text in (still, curve, scale):
        assert "style=" not in text  # the page's policy knows no styles within


def test_what_is_not_understood_is_said_so_and_three_kinds_are_offered(workbench: Workbench) -> None:
    answer = said(workbench, q="rear", of=workbench.car)

    assert "No answer" in answer.text
    assert len(re.findall(r'<input type="hidden" name="kind" value="\w', answer.text)) == 3


def test_a_field_that_cannot_be_read_is_told_and_nothing_is_answered(workbench: Workbench) -> None:
    answer = said(workbench, q="lower it", of=workbench.car, corrected="1", kind="lower", front="much")

    assert answer.status == 422
    assert "front lower by" in answer.text
    assert "No answer" not in answer.text
    assert re.search(r'name="front" value="much"[^>]* aria-invalid="true"', answer.text)  # what was typed stays


def test_no_car_is_taken_for_granted(workbench: Workbench) -> None:
    answer = said(workbench, q="how stiff is it", of="/shelf")

    assert answer.status == 422
    assert answer.text.count("Choose a car or a job") == 1


def test_every_page_has_the_box(workbench: Workbench) -> None:
    for address in ("/", "/book", f"/cars/{workbench.car}", f"/jobs/{workbench.job}/found"):
        text = asked(workbench.port, address).text
        assert '<form method="post" action="/asked" role="search"' in text
        assert f'name="of" value="{address}"' in text


def test_programs_ask_in_words_too(workbench: Workbench) -> None:
    query = urlencode({"q": "how stiff is it now", "kind": "settle"})
    answer = json.loads(asked(workbench.port, f"/api/v1/cars/{workbench.car}/asked?{query}").text)

    assert answer["known"]
    assert answer["numbers"][0]["plus_minus"] > 0
    assert asked(workbench.port, f"/api/v1/cars/{workbench.car}/asked").status == 422


def sent(workbench: Workbench, **form: str) -> Answer:
    """A question typed into a form, and the answer to which that leads."""
    led = asked(workbench.port, "/asked", form)
    assert led.status == 303
    return asked(workbench.port, led.headers["location"])


def test_reading_an_answer_keeps_nothing(workbench: Workbench) -> None:
    workbench.book.clear_questions()
    for _ in range(2):
        assert "To paste into a message" in said(workbench, q="how stiff is it now", of=workbench.car).text
    query = urlencode({"q": "how stiff is it now"})
    assert asked(workbench.port, f"/api/v1/cars/{workbench.car}/asked?{query}").status == 200
    assert workbench.book.kept_questions() == []

    answer = sent(workbench, q="how stiff is it now", of=f"/cars/{workbench.car}/measure/round")
    assert "To paste into a message" in answer.text
    assert [one.text for one in workbench.book.kept_questions()] == ["how stiff is it now"]


def test_what_cannot_be_answered_is_not_kept_and_says_why(workbench: Workbench) -> None:
    workbench.book.clear_questions()
    assert "Choose a car or a job" in asked(workbench.port, sent_to(workbench, q="how stiff is it", of="/shelf")).text
    assert asked(workbench.port, sent_to(workbench, q=" ", of=workbench.car)).status == 200
    assert asked(workbench.port, sent_to(workbench, q="how stiff", kind="nonsense", of=workbench.car)).status == 422
    assert workbench.book.kept_questions() == []


def sent_to(workbench: Workbench, **form: str) -> str:
    """The address to which a form leads."""
    return str(asked(workbench.port, "/asked", form).headers["location"])


def test_what_was_asked_is_kept_without_names_and_once_a_day(workbench: Workbench) -> None:
    workbench.book.clear_questions()
    for _ in range(2):
        sent(workbench, q="A. Example of 0664 1234567 asks what it costs", kind="price", of=workbench.car)
    sent(workbench, q="zebra crossing bananas", of=workbench.car)

    kept = [(one.text, one.kind, one.how) for one in workbench.book.kept_questions()]
    assert kept == [
        ("zebra crossing bananas", "unknown", "not understood"),
        ("… of … asks what it costs", "price", "chosen"),
    ]
    text = asked(workbench.port, "/asked/kept").text
    assert re.search(r'<tr><th scope="row">What it costs</th><td></td><td></td><td>1</td>', text)
    assert "zebra crossing bananas" in text.partition("Not understood, or asked back")[2]
    assert "0664" not in text


def test_a_button_throws_it_away_and_a_switch_keeps_nothing(workbench: Workbench) -> None:
    sent(workbench, q="what does it cost", kind="price", of=workbench.car)
    assert workbench.book.kept_questions()
    assert asked(workbench.port, "/asked/kept", {"clear": "1"}).status == 303
    assert workbench.book.kept_questions() == []

    shop = SHOP | {"house.units": "metric", "house.questions_kept": "no"}
    assert asked(workbench.port, "/shop", shop).status == 303
    assert "questions are not kept" in sent(workbench, q="what does it cost", kind="price", of=workbench.car).text
    assert workbench.book.kept_questions() == []
