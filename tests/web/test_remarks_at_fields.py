"""What contradicts is told at the fields that were filled in, and the car's page leads there."""

from __future__ import annotations

import re

from tests.workbench import Workbench, asked, demo_text

ARCHES = ('front_left = "345 mm ± 2 mm"', 'front_left = "440 mm ± 2 mm"')
LIGHT = (
    ('front_left = "290 kg ± 1 kg"', "front_left = 200"),
    ('front_right = "284 kg ± 1 kg"', "front_right = 200"),
    ('rear_left = "183 kg ± 1 kg"', "rear_left = 70"),
    ('rear_right = "180 kg ± 1 kg"', "rear_right = 70"),
    ('unsprung_rear = { value = "27 kg"', 'unsprung_rear = { value = "95 kg"'),
)
"""What moves with a rear wheel is heavier than what its scale shows."""


def car_with(workbench: Workbench, *pairs: tuple[str, str]) -> str:
    text = demo_text("brisk-14.toml")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return workbench.book.add("car", "Remarked", text).id


def field(page: str, key: str) -> str:
    """One entry of the list of a step."""
    return re.search(rf'<li id="{re.escape(key)}".*?</li>', page, re.DOTALL)[0]


def test_arches_that_contradict_each_other_are_remarked_at_both_fields(workbench: Workbench) -> None:
    car = car_with(workbench, ARCHES)
    page = asked(workbench.port, f"/cars/{car}/measure/round").text

    for key in ("heights.front_left", "heights.front_right"):
        assert "440.0 mm left and 347.0 mm right contradict" in field(page, key)
    assert "contradict" not in field(page, "heights.rear_left")


def test_a_radius_that_contradicts_the_hubs_height_stands_at_the_radius_alone(workbench: Workbench) -> None:
    car = car_with(workbench, ('tyre = "165/70 R13"\nloaded_radius = 265', 'tyre = "165/70 R13"\nloaded_radius = 275'))
    page = asked(workbench.port, f"/cars/{car}/measure/round").text

    assert "275.0 mm and the height 265.0 mm" in field(page, "front.wheel.loaded_radius")
    assert "275.0 mm and the height 265.0 mm" not in field(page, "front.track")


def test_what_all_pivots_make_together_stands_over_them(workbench: Workbench) -> None:
    car = car_with(workbench, ("strut_top = [-28, 530, 790]", "strut_top = [60, 530, 790]"))

    assert (
        "caster" in asked(workbench.port, f"/cars/{car}/measure/front-pivots").text.partition('<form method="post"')[0]
    )
    assert f'href="/cars/{car}/measure/front-pivots"' in asked(workbench.port, f"/cars/{car}").text


def test_the_cars_page_leads_to_the_fields(workbench: Workbench) -> None:
    car = car_with(workbench, ARCHES)
    page = asked(workbench.port, f"/cars/{car}").text

    for key in ("heights.front_left", "heights.front_right"):
        assert f'href="/cars/{car}/measure/round#{key}"' in page


def test_a_car_that_cannot_stand_tells_which_number_looks_wrong(workbench: Workbench) -> None:
    car = car_with(workbench, *LIGHT)
    answer = asked(workbench.port, f"/cars/{car}")

    assert answer.status == 422
    assert "a standing car" in answer.text
    assert f'href="/cars/{car}/measure/scales#mass.unsprung_rear"' in answer.text
    page = asked(workbench.port, f"/cars/{car}/measure/scales").text
    assert "usual range 15 to 60 kg" in field(page, "mass.unsprung_rear")


def test_a_sound_car_is_not_remarked_upon(workbench: Workbench) -> None:
    for step in ("round", "scales", "rear-pivots"):
        assert 'class="remarked"' not in asked(workbench.port, f"/cars/{workbench.car}/measure/{step}").text
