"""Where a search can find nothing it says so at once, or names the places that would have to be looked at too."""

from __future__ import annotations

import re
import time

import pytest

from jounce.conventions.errors import Impossible
from jounce.job.file import parse_job
from jounce.search.build import search_space
from jounce.search.goals import usual_goals
from jounce.search.result import SearchWishes
from jounce.search.run import search
from jounce.search.slots import SLOTS, USUAL_PLACES, slot_named
from tests.search.test_search_truth import Case, car, shelf, text_of


def job(lower):
    return parse_job(text_of(Case(lower, lower)), "job")


def test_a_search_without_a_choice_names_the_place_that_gives_one():
    slots = [slot_named(name) for name in ("front bars", "rear springs", "rear perches", "rear dampers")]
    space = search_space(car(), job(40), shelf(), slots)
    with pytest.raises(Impossible, match="No choice of front parts keeps the limits") as told:
        search(space, SearchWishes(usual_goals()))
    names = re.findall(r'--also "([^"]+)"', str(told.value))

    assert names
    assert len(names) <= 2
    wider = search_space(car(), job(40), shelf(), [*slots, *map(slot_named, names)])
    assert search(wider, SearchWishes(usual_goals(), kept=2, proofs=0)).found.looked > 0


def test_a_search_of_too_many_choices_says_so_at_once():
    before = time.process_time()
    with pytest.raises(Impossible, match=r"There are [\d,]+ choices of rear parts, more than .* leave .* as ") as told:
        search_space(car(), job(35), shelf(), SLOTS)

    assert time.process_time() - before < 10
    leave = re.findall(r'"([^"]+)"', str(told.value))
    assert leave
    assert not set(leave) & set(USUAL_PLACES)


@pytest.mark.endurance
@pytest.mark.parametrize("lower", [20, 30, 40, 50])
def test_the_usual_places_have_packages_from_20_to_50_mm_lower(lower):
    space = search_space(car(), job(lower), shelf(), [slot_named(name) for name in USUAL_PLACES])
    result = search(space, SearchWishes(usual_goals()))
    assert len(result.told())
    assert result.unproved() == 0
