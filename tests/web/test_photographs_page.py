"""Photographs under a car: looked at as they come, tiles named, pivots worked out, seen over a photograph, taken over."""

from __future__ import annotations

import datetime
import io
import re
import threading
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace

import pytest
from PIL import Image

from jounce.book import Entry
from jounce.car.file.inputs import all_inputs
from jounce.car.file.reading import parse_car
from jounce.conventions.errors import Impossible
from jounce.photographs import vision
from jounce.photographs.intake import MOST_BYTES
from jounce.photographs.record import record_of
from jounce.photographs.seen import SeenPhoto
from jounce.web.background import TaskControl
from jounce.web.photographing.kept import KeptPhoto, begun, kept_photos, photographs_of
from jounce.web.photographing.work import placed
from jounce.web.security.guard import _most
from tests.photographs.front import BEHIND, POINTS, files, kept, shots
from tests.photographs.test_intake import HEIC
from tests.web.test_pages import upload
from tests.workbench import Answer, Workbench, asked, demo_book, serving


@pytest.fixture(scope="module")
def one_file() -> bytes:
    return files(1)[0]


@pytest.fixture
def shop(tmp_path) -> Iterator[Workbench]:
    book, car, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def address(shop: Workbench) -> str:
    return f"/cars/{shop.car}/photographs"


def put(shop: Workbench, photos: Sequence[SeenPhoto]) -> Entry:
    """Photographs as they are kept, without their files having been looked at."""
    entry = begun(shop.book, shop.book.entry(shop.car))
    for photo in photos:
        wide, high = photo.size[::-1] if photo.turns % 2 else photo.size
        out = io.BytesIO()
        Image.new("RGB", (wide, high), (110, 115, 120)).save(out, "JPEG", quality=30)
        made = shop.book.attach(entry.id, "photograph of tiles", "image/jpeg", out.getvalue())
        shop.book.attach(entry.id, made.id, "application/json", record_of(photo).encode())
    return entry


def named() -> dict[str, str]:
    """The form of what was stuck where; its tiles are as large as the sheets have them."""
    survey = kept()
    words = {"wheel_centre": "wheel centre", "arm_front": "arm front", "strut_top": "strut top"}
    form = {"names": "1", "floor": "10, 11 12 13 14 15", "over": "8"}
    for k, (side, point) in enumerate((side, point) for side in ("left", "right") for point in POINTS):
        form |= {f"pivot.tile.{k}": str(60 + k), f"pivot.pivot.{k}": f"front {side} {words[point]}"}
        form |= {f"pivot.behind.{k}": f"{1e3 * BEHIND:g}", f"pivot.band.{k}": "0.6"}
    rule = str(survey.rulers[0]["distance"]).partition(" ")[0]
    return form | {"ruler.a.0": "4", "ruler.b.0": "9", "ruler.length.0": rule, "ruler.band.0": "0.3"}


def larger(shop: Workbench, entry: Entry) -> None:
    """Write down that the tiles were printed larger than the sheets have them."""
    saved = shop.book.entry(entry.id)
    sizes = "\n".join(f'{key} = "{value}"' for key, value in kept().tiles.items())
    shop.book.save(replace(saved, content=f"{saved.content}\n[tiles]\n{sizes}\n"), "larger tiles")


def solved(shop: Workbench) -> Answer:
    """The page as soon as the work has ended."""
    until = time.monotonic() + 120
    while "data-work" in (answer := asked(shop.port, address(shop))).text:
        assert time.monotonic() < until, "the work does not end"
        time.sleep(0.1)
    return answer


def test_a_photograph_is_looked_at_and_kept_without_place_and_owner(shop: Workbench, one_file: bytes) -> None:
    assert b"Example Telephones" in one_file
    assert upload(shop.port, address(shop), one_file).status == 303
    text = asked(shop.port, address(shop)).text
    entry = photographs_of(shop.book, shop.book.entry(shop.car))
    assert entry is not None
    (photo,) = kept_photos(shop.book, entry)
    stored = b"".join(shop.book.content_of(one.id) for one in shop.book.attachments(entry.id))

    assert re.search(r"Photograph 1</strong></span>\s*<span>\d+ tiles, sharp", text)
    assert 'aria-label="fit for use"' in text
    assert len(photo.seen.numbers) >= 4
    assert photo.seen.as_on_film == 26
    assert b"Example Telephones" not in stored
    assert b"Exif" not in stored
    small = asked(shop.port, f"{address(shop)}/{photo.id}/small.jpg")
    assert small.headers["content-type"] == "image/jpeg"
    again = upload(shop.port, address(shop), one_file)
    assert again.status == 422
    assert "This photograph is here already; found photograph 1" in again.text
    assert asked(shop.port, address(shop), {"out": photo.id}).status == 303
    assert kept_photos(shop.book, entry) == ()
    assert upload(shop.port, address(shop), one_file).status == 303
    assert [one.seen.name for one in kept_photos(shop.book, entry)] == ["photograph 2"], "a number is given once"


def test_a_heic_is_kept_as_a_bare_picture(shop: Workbench) -> None:
    data = HEIC.read_bytes()
    assert upload(shop.port, address(shop), data).status == 303
    entry = photographs_of(shop.book, shop.book.entry(shop.car))
    assert entry is not None
    stored = b"".join(shop.book.content_of(one.id) for one in shop.book.attachments(entry.id))

    for told in (b"A. Example", b"Somewhere Lane", b"Maker Ltd", b"Exif"):
        assert told in data
        assert told not in stored
    assert "0 tiles found" in asked(shop.port, address(shop)).text


def test_what_is_no_photograph_is_said_and_nothing_is_kept(shop: Workbench) -> None:
    answer = upload(shop.port, address(shop), b"<svg onload='1'>")

    assert answer.status == 422
    assert "This is no picture that can be opened" in answer.text
    assert photographs_of(shop.book, shop.book.entry(shop.car)) is None
    assert asked(shop.port, address(shop), {"solve": "1"}).status == 422
    assert asked(shop.port, address(shop), {"take": "1"}).status == 422
    assert asked(shop.port, address(shop), {"out": "x"}).status == 422


def test_several_may_come_in_one_form_each_as_large_as_a_telephone_makes_it(workbench: Workbench) -> None:
    head = b'--cut\r\nContent-Disposition: form-data; name="file"; filename="x"\r\n\r\n'
    body = b"\r\n".join([head + b"one", head + b"two", b"--cut--\r\n"])
    answer = asked(
        workbench.port, address(workbench), None, {"Content-Type": "multipart/form-data; boundary=cut"}, body
    )

    assert answer.text.count("This is no picture that can be opened") == 2
    assert _most({"path": address(workbench)}) > MOST_BYTES
    assert _most({"path": "/cars/1"}) < MOST_BYTES


def test_names_are_kept_and_shown_again(shop: Workbench) -> None:
    put(shop, shots(3))
    before = asked(shop.port, address(shop)).text
    assert [int(one) for one in re.findall(r"<legend>Tile (\d+)", before)] == [60, 61, 62, 63, 64, 65], (
        "seen, not named"
    )
    assert "Names: which tile sits at which pivot" in before
    assert asked(shop.port, address(shop), named()).status == 303
    entry = photographs_of(shop.book, shop.book.entry(shop.car))
    assert entry is not None
    text = asked(shop.port, address(shop)).text

    assert 'behind = "50 mm ± 0.6 mm"' in entry.content
    assert text.count("<option selected>front left wheel centre") == 1
    assert 'value="50 mm"' in text
    assert "Names: which" not in text
    assert "9 more photographs" in text
    assert text.count('class="cover"') == 6
    assert asked(shop.port, address(shop), named()).status == 303
    assert shop.book.entry(entry.id).number == entry.number, "nothing new is no new version"


def test_stands_of_the_pointer_and_heights_are_kept_shown_again_and_stay_where_a_form_has_none(shop: Workbench) -> None:
    seen = shots(3)
    put(shop, [replace(seen[0], numbers=(100, 101), corners=seen[0].corners[:2]), *seen[1:]])
    before = asked(shop.port, address(shop)).text
    more = {"height.tile.0": "20", "height.over.0": "290", "height.band.0": "1"}
    more |= {"stand.photos.0": "1 3", "stand.point.0": "its punch mark", "stand.within.0": "0.3"}
    more |= {"stand.photos.1": "4,5", "stand.point.1": "front right ball joint"}
    assert asked(shop.port, address(shop), named() | more).status == 303
    entry = photographs_of(shop.book, shop.book.entry(shop.car))
    assert entry is not None
    text = asked(shop.port, address(shop)).text

    assert "In these photographs the pointer is seen and not named: 1." in before
    assert "seen and not named" not in text
    assert 'photos = ["photograph 1", "photograph 3"]\npoint = "mark"\nwithin = "0.3 mm"' in entry.content
    assert 'point = "front.pivots.ball_joint"\nside = "right"' in entry.content
    assert '[[height]]\ntile = 20\nover = "290 mm ± 1 mm"' in entry.content
    assert "Stand 1: swing 1: tip in its punch mark" in text
    assert 'value="4, 5"' in text
    assert asked(shop.port, address(shop), named()).status == 303
    assert shop.book.entry(entry.id).content == entry.content, "a form without these fields takes none out"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"pivot.behind.0": ""}, "is missing"),
        ({"pivot.behind.0": "2 m"}, "behind"),
        ({"pivot.tile.0": "x"}, "This is no number of a tile"),
        ({"pivot.tile.0": "61"}, "Tile 61 is on two pivots"),
        ({"pivot.pivot.0": "front left nothing"}, "Say at which pivot this tile sits"),
        ({"ruler.b.0": "4"}, "A distance is between two"),
        ({"floor": "10 120"}, "There is no tile of this number"),
        ({"height.tile.0": "20", "height.over.0": ""}, "is missing"),
        ({"height.tile.0": "10", "height.over.0": "290"}, "The height of tile 10 is told twice"),
        ({"stand.photos.0": "1 2", "stand.point.0": ""}, "Say what the pointer&#39;s tip touches"),
        ({"stand.photos.0": "1", "stand.point.0": "its punch mark"}, "One photograph tells poorly"),
        ({"stand.photos.0": "1.jpg 2", "stand.point.0": "the ground"}, "This is no number of a photograph"),
        (
            {"stand.photos.0": "1 2", "stand.point.0": "front left wheel centre"},
            "has a tile and is touched by the pointer",
        ),
        ({"check.a.0": "front left wheel centre", "check.b.0": "", "check.length.0": "900"}, "between two pivots"),
    ],
)
def test_a_wrong_name_is_said_and_stays_typed(workbench: Workbench, change: dict[str, str], said: str) -> None:
    answer = asked(workbench.port, address(workbench), named() | change)

    assert answer.status == 422
    assert said in answer.text.replace("&#34;", '"')
    assert 'value="0.6"' in answer.text
    assert photographs_of(workbench.book, workbench.book.entry(workbench.car)) is None


def test_pivots_are_worked_out_seen_over_a_photograph_and_taken_over(shop: Workbench) -> None:
    entry = put(shop, shots())
    asked(shop.port, address(shop), named())
    larger(shop, entry)
    assert asked(shop.port, address(shop), {"solve": "1"}).status == 303
    text = solved(shop).text

    assert "6 of 6 photographs used, 18 tiles placed" in text
    assert "The scale rests on a single known length that nothing checks" in text
    assert text.count('aria-label="as it should be"') == len(POINTS), "the demo car has been measured well"
    over = re.findall(r'src="(/cars/[^"]+/lines\.jpg)"', text)
    assert len(over) == 1
    assert text.count('aria-label="Over photograph') == 6
    lines = asked(shop.port, over[0])
    assert (lines.status, lines.headers["content-type"]) == (200, "image/jpeg")
    assert asked(shop.port, address(shop), {"take": "1"}).status == 303
    car = shop.book.entry(shop.car)
    after = {one.path: one for one in all_inputs(parse_car(car.content, ""))}["front.pivots.arm_front.y"]

    assert car.number == 2
    assert after.value == pytest.approx(0.345, abs=0.7e-3)
    assert re.match(r"photographs, \d{4}-\d\d-\d\d, 6 of them; before \[110, 345, 212\] ± 1.5 mm: tape", after.origin)
    out = next(one.id for one in kept_photos(shop.book, entry))
    asked(shop.port, address(shop), {"out": out})
    assert "were changed since" in asked(shop.port, address(shop)).text
    late = asked(shop.port, address(shop), {"take": "1"})  # a page that was open before still has the button
    assert (late.status, shop.book.entry(shop.car).number) == (422, 2)
    assert "Work them out again" in late.text


def test_too_few_photographs_come_to_no_result_in_words(shop: Workbench) -> None:
    put(shop, shots(2))
    asked(shop.port, address(shop), named())
    asked(shop.port, address(shop), {"solve": "1"})
    text = solved(shop).text

    assert "The set of pivots came to no result." in text
    assert "Walk round and take more" in text


def test_what_the_axes_lack_is_told_with_the_result(shop: Workbench) -> None:
    entry = put(shop, shots())
    asked(shop.port, address(shop), named() | {"floor": ""})
    larger(shop, entry)
    asked(shop.port, address(shop), {"solve": "1"})
    text = solved(shop).text

    assert "the ground: three tiles or more on the floor" in text
    assert "Take over into the car" not in text
    assert "lines.jpg" not in text


def test_work_that_is_stopped_ends_with_its_first_step() -> None:
    asked_to_stop = threading.Event()
    asked_to_stop.set()
    photos = [KeptPhoto(one.name, datetime.datetime.now(datetime.UTC), one) for one in shots(3)]
    with pytest.raises(Impossible, match="stopped before the pivots were placed"):
        placed(photos, kept().text, TaskControl(lambda _, __: None, asked_to_stop))


def test_without_the_extra_the_page_says_what_to_install(
    workbench: Workbench, monkeypatch: pytest.MonkeyPatch, one_file: bytes
) -> None:
    monkeypatch.setattr(vision, "_HAS_LIBRARY", False)
    page = asked(workbench.port, address(workbench))

    assert page.status == 200
    assert "pip install &#39;jounce[camera]&#39;" in page.text
    assert 'type="file"' not in page.text
    assert "pip install" in upload(workbench.port, address(workbench), one_file).text


def test_the_tiles_come_as_pdf(workbench: Workbench) -> None:
    answer = asked(workbench.port, f"{address(workbench)}/tiles.pdf")

    assert answer.headers["content-type"] == "application/pdf"
