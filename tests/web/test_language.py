"""Pages in the house's words."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

import numpy as np

from jounce.web.charts.chart import Chart, ChartAxis, ChartLine, drawn
from jounce.web.language import phrase_file, program_phrases, spoken, unspoken
from jounce.words.phrases import Phrases, language_phrases, parse_phrases
from tests.workbench import asked, demo_book, serving

HOUSE = Phrases(
    language="fr",
    decimal=",",
    phrases={"Keep": "Sichern", "{0} of {1} parts": "{0} von {1} Teilen & mehr", "The book": "<Buch>"},
)


def test_texts_and_names_are_spoken_and_what_was_typed_is_not() -> None:
    page = '<html lang="en"><p title="Keep">\n 12 of 3.5 parts </p><textarea>Keep</textarea><input value="Keep"><b>Keep</b>'

    assert spoken(page, HOUSE) == (
        '<html lang="fr"><p title="Sichern">\n 12 von 3,5 Teilen &amp; mehr </p><textarea>Keep</textarea>'
        '<input value="Keep"><b>Sichern</b>'
    )


def test_no_line_of_a_page_ends_between_a_number_and_its_unit() -> None:
    page = "<p>12.5 mm ± 0.5 mm of 3 parts</p><code>3 mm</code><option>4 mm</option>"

    assert spoken(page, HOUSE) == (
        '<p>12,5\u00a0mm ±\u00a00,5\u00a0mm of 3 parts</p><code>3 mm</code><option value="4 mm">4\u00a0mm</option>'
    )
    assert spoken("<p>12.5 mm</p>", None) == "<p>12.5 mm</p>"


def test_no_words_of_the_house_become_markup() -> None:
    assert spoken("<h1>The book</h1>", HOUSE) == "<h1>&lt;Buch&gt;</h1>"
    assert spoken('<p title="The book">x</p>', HOUSE) == '<p title="&lt;Buch&gt;">x</p>'


def test_what_has_no_words_yet_is_told_once() -> None:
    assert unspoken("<p>Keep</p><p>Go 1</p><b>Go 2</b><i>3 mm</i>", HOUSE) == {"Go {0}", "{0} mm"}


def test_the_texts_of_all_templates_are_known_beforehand() -> None:
    phrases = program_phrases()

    assert "The book" in phrases
    assert "Find a job, a car or a customer" in phrases
    assert not any("{%" in phrase or "{{" in phrase for phrase in phrases)
    assert len(phrases) > 150


def test_the_file_to_go_on_with_keeps_what_is_said_and_lists_the_rest() -> None:
    text = phrase_file(HOUSE, (*program_phrases(), 'Say "{0}"'))
    house = parse_phrases(text, "phrases.toml")

    assert house.said("12 of 3.5 parts") == "12 von 3,5 Teilen & mehr"
    assert house.phrases['Say "{0}"'] == ""
    assert house.phrases["Find a job, a car or a customer"] == ""


def test_a_book_speaks_the_words_of_its_house(tmp_path: Path) -> None:
    book, car, _ = demo_book(tmp_path / "shop.db")
    phrases = '"The book" = "Das Buch"\n"ride frequency, with tyre" = "Eigenfrequenz"\n'
    file = f'language = "fr"\ndecimal = ","\n[phrases]\n{phrases}'
    with serving(book) as port:
        wrong = asked(port, "/shop/phrases", {"phrases": "language = 3", "number": "0"})
        kept = asked(port, "/shop/phrases", {"phrases": file, "number": "0"})
        home, own = asked(port, "/book").text, asked(port, f"/cars/{car}").text
        rest = asked(port, "/shop/phrases.toml").text
    book.close()

    assert wrong.status == 422
    assert kept.status == 303
    assert '<html lang="fr">' in home
    assert "<h1>Das Buch</h1>" in home
    assert "Eigenfrequenz" in own
    assert "1,2" in own
    assert '"The book" = "Das Buch"' in rest
    assert '"Find a job, a car or a customer" = ""' in rest


def test_a_text_without_a_line_is_said_sentence_by_sentence() -> None:
    house = Phrases(
        language="fr",
        decimal=",",
        phrases={"Go {0}.": "Geh {0}.", "Is it {a}?": "Ist es {a}?", "low": "tief", "front": "vorn", "Both. Now": "X"},
    )

    assert house.said("Is it low? Go 1.5. Go 2.5.") == "Ist es tief? Geh 1,5. Geh 2,5."
    assert house.said("front: Go 3.") == "vorn: Geh 3."
    assert house.said("Both. Now") == "X"
    assert house.said("Go 1. Stay") == "Geh 1. Stay"
    assert house.missing("Go 1. Stay 2; front; now") == {"Stay {0}", "now"}
    assert house.missing("Go {0}. Is it low? Go {1}.") == set()


def test_a_chart_is_spoken_with_what_its_script_is_given() -> None:
    axis = ChartAxis("roll", "deg", 2, "+ right side down")
    chart = Chart(axis, axis, np.array([0.0, 1.0]), [ChartLine("as found", np.array([0.5, 1.5]), 0)])
    lines = {"roll": "Wanken", "as found": "Fund", "+ right side down": "+ rechts tiefer", "deg": "Grad"}
    house = Phrases(language="de", decimal=",", phrases=lines)
    page = spoken(str(drawn(chart)), house)
    told = json.loads(unescape(re.findall(r'data-chart="([^"]*)"', page)[0]))

    assert told["title"] == {"name": "Wanken", "unit": "Grad", "decimals": 2, "sign": "+ rechts tiefer"}
    assert told["lines"][0] == {"name": "Fund", "look": 0, "y": [0.5, 1.5]}
    assert "<tspan>Wanken</tspan>, <tspan>Grad</tspan>, <tspan>+ rechts tiefer</tspan>" in page
    assert not [word for word in ("roll", "found", "deg") if word in re.sub(r"<[a-z]+ class[^>]*>", "", page)]


def test_a_choice_is_called_in_the_house_s_words_and_sent_in_the_program_s() -> None:
    """Else a form in German would send what no page knows: tiles could not be named, wheels not be chosen."""
    german = language_phrases("de")
    page = '<option value="">not named</option><option>wheel load</option><option selected>5 &lt; 6</option>'

    assert spoken(page, german) == (
        '<option value="">ohne Namen</option><option value="wheel load">Radlast</option>'
        '<option selected value="5 &lt; 6">5 &lt; 6</option>'
    )


def test_days_of_a_german_page_are_german_and_those_of_its_fields_are_not(tmp_path: Path) -> None:
    book, car, job = demo_book(tmp_path / "shop.db")
    book.add("phrases", "phrases", 'language = "de"\ndecimal = ","\n')
    moved = {"state": "waiting", "since": "2026-03-01", "due": "2026-04-02", "note": "the left bar"}
    with serving(book) as port:
        assert asked(port, f"/jobs/{job}/state", moved).status == 303
        pages = [asked(port, address).text for address in (f"/jobs/{job}/state", f"/entries/{car}/history", "/board")]
    book.close()
    texts = [re.sub(r"<(pre|code|script|textarea)\b.*?</\1>|<[^>]*>", " ", page, flags=re.DOTALL) for page in pages]

    assert "seit 01.03.2026, zugesagt für 02.04.2026: the left bar" in " ".join(texts[0].split())
    assert 'type="date" value="2026-03-01"' in pages[0]
    assert all(re.search(r"\d\d\.\d\d\.20\d\d", text) for text in texts)
    assert not any(re.search(r"\d{4}-\d\d-\d\d", text) for text in texts)
