"""Places of layouts that stand at the other end than usual: struts behind, a beam in front."""

from __future__ import annotations

import copy
import tomllib
from importlib.resources import files

import tomlkit

from jounce.car.file.quantity import Measured
from jounce.car.file.reading import parse_car
from jounce.job.document import RackHeight
from jounce.job.part_words import part_lines
from jounce.search.build import search_space
from jounce.search.slots import Choosy, slot_named, slots_of
from jounce.shelf.file import read_shelf
from jounce.shelf.shelf import Shelf
from tests.odd_cars import AT_ODDS, odd_case

DEMO = files("jounce.demo")


def test_struts_behind_take_the_cheapest_plates_that_reach_and_are_theirs():
    """Rear camber asks for 9 mm inward; plates of the front and plates that end at 8 mm are none."""
    case = odd_case(AT_ODDS)
    stock = read_shelf(str(DEMO.joinpath("shelf.toml")))
    front, stop = stock.part("TP-10"), stock.part("BS-F35")
    reach = front.reach_inward
    own = [
        front.model_copy(update={"code": code, "place": "rear", "price": price, "reach_inward": type(reach)(way)})
        for code, price, way in (("TP-R8", 90, 0.008), ("TP-R14", 210, 0.014), ("TP-R12", 180, 0.012))
    ]
    shelf = Shelf((front.model_copy(update={"price": 50, "reach_inward": type(reach)(0.02)}), stop, *own))
    slots = [slot_named(name) for name in ("rear top plates", "front stops")]
    space = search_space(case.car, case.change_list, shelf, slots, Choosy(unsure=True))
    needed = [wheel.inward_needed for wheel in space.stand.axles["rear"].wheels.values()]
    assert 0.007 < max(needed) < 0.011
    assert "the cheapest that fits the dampers and reaches" in space.picked.told["rear top plates"]
    choices = [option.parts for group in space.axles[1].choices for option in group]
    assert [parts["rear top plates"].code for parts in choices if parts] == ["TP-R12"]
    job = space.job({"rear top plates": own[2]})
    assert job.change.rear.top_plate.reach_inward.value == 0.012
    assert job.shelf.rear.top_plate == "TP-R12"


def test_a_beam_in_front_has_the_places_that_one_behind_has():
    car = tomllib.loads(DEMO.joinpath("yarrow-12.toml").read_text("utf-8"))
    other = tomllib.loads(DEMO.joinpath("tansy-11.toml").read_text("utf-8"))
    beam = copy.deepcopy(car["rear"])
    ahead = -beam["pivots"]["wheel_centre"][0]
    for points in (beam["pivots"], beam["panhard"]):
        for name, at in points.items():
            if isinstance(at, list):
                points[name] = [at[0] + ahead, *at[1:]]
    both = {key: car[key] for key in ("car", "mass", "heights")} | {"front": beam, "rear": other["rear"]}
    places = {slot.name for slot in slots_of(parse_car(tomlkit.dumps(both), "beam.toml")) if slot.end == "front"}

    assert {"front Panhard rod", "front inner bar", "front roll bar on the tube"} <= places
    assert "front roll bar" not in places


def test_a_set_of_shims_of_which_none_goes_in_leaves_the_rack_where_it_was():
    job = odd_case(AT_ODDS).change_list
    front = job.change.front.model_copy(update={"rack": RackHeight(higher=Measured(0.0), shim=Measured(0.0015))})
    none = job.model_copy(update={"change": job.change.model_copy(update={"front": front})})

    assert part_lines(none, "metric")["front", "rack"] == "front rack as high as found, shims of 1.5 mm"
