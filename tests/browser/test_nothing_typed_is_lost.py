"""What is typed on a phone survives: reloads, the way back, a dead network, a dead server, a bad entry, a dead browser."""

from __future__ import annotations

import random
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from playwright.sync_api import Error as BrowserError
from playwright.sync_api import TimeoutError as Late

from jounce.book import Book, open_book
from jounce.car.file.reading import read_toml
from jounce.measuring.afterwards import ASKED
from jounce.measuring.writing import value_at
from tests.browser.conftest import Opened
from tests.workbench import demo_book

CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
FEW, SOME, MANY = 7, 20, 200
"""Interruptions: each kind once, as a gate takes them; about three times; hundreds."""


@dataclass
class Server:
    """A server of its own process on a fixed port, that may be killed."""

    book: Path
    port: int = 0
    process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        if not self.port:
            with socket.socket() as free:
                free.bind(("127.0.0.1", 0))
                self.port = free.getsockname()[1]
        command = [sys.executable, "-m", "jounce", "serve", str(self.book), "--port", str(self.port), "--by", "tester"]
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL)  # noqa: S603
        until = time.monotonic() + 60
        while time.monotonic() < until:
            try:
                socket.create_connection(("127.0.0.1", self.port), 1).close()
            except OSError:
                time.sleep(0.05)
            else:
                return
        raise AssertionError("the server does not start")

    def kill(self) -> None:
        assert self.process is not None
        self.process.kill()
        self.process.wait()


@dataclass
class Shop:
    """The workbench with its book, one phone, and all that was typed into it."""

    server: Server
    book: Book
    car: str
    job: str
    page: Page
    chance: random.Random
    typed: dict[str, str] = field(default_factory=dict)

    def open(self, path: str) -> None:
        """Go there; again where what was sent before was still on its way, as a person does who sees another page."""
        address = f"http://127.0.0.1:{self.server.port}{path}"
        for tries_left in (4, 3, 2, 1, 0):
            try:
                self.page.goto(address)
            except BrowserError as error:
                if "ERR_ABORTED" not in error.message or not tries_left:
                    raise
                time.sleep(0.2)
            else:
                return


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    book, _, _ = demo_book(tmp_path / "shop.db")
    book.close()
    one = Server(tmp_path / "shop.db")
    one.start()
    yield one
    one.kill()


def shop_of(server: Server, page: Page, seed: int) -> Shop:
    book = open_book(server.book, "tester")
    car = next(one for one in book.entries("car") if one.name == "Brisk 14")
    return Shop(server, book, car.id, book.entries("job")[0].id, page, random.Random(seed))  # noqa: S311


# ------------------------------------------------------------------------------------------------------ the forms


@dataclass(frozen=True)
class Form:
    """A form: where it is, its fields with what may be typed, its button, and how the book tells a reading of it."""

    path: Callable[[Shop], str]
    fields: dict[str, tuple[int, int]]
    button: str
    kept: Callable[[Shop, str], str]


def _of_car(shop: Shop, key: str) -> str:
    told = value_at(read_toml(shop.book.entry(shop.car).content, ""), key)
    return str(told["value"] if isinstance(told, dict) else told)


def _of_proof(shop: Shop, key: str) -> str:
    readings = shop.book.entries("measurement", shop.job)
    newest = max(readings, key=lambda one: shop.book.versions(one.id)[0].at)
    return str(read_toml(newest.content, "").get(key, ""))


def _of_job(shop: Shop, key: str) -> str:
    return str(value_at(read_toml(shop.book.entry(shop.job).content, ""), key))


FORMS = (
    Form(
        lambda shop: f"/cars/{shop.car}/measure/round",
        {f"heights.{corner}": (305, 345) for corner in CORNERS}
        | {"limits.ground_clearance": (100, 180), "limits.lamp_height": (550, 700)},
        "Save and to the list",
        _of_car,
    ),
    Form(
        lambda shop: f"/cars/{shop.car}/measure/scales",
        {f"mass.{corner}": (270, 295) if "front" in corner else (172, 200) for corner in CORNERS},
        "Save and to the list",
        _of_car,
    ),
    Form(
        lambda shop: f"/jobs/{shop.job}/proof",
        {key: (260, 330) for key, _, _ in ASKED if key.endswith("height")}
        | {key: (150, 300) for key, _, _ in ASKED if key.endswith("load")},
        "Save",
        _of_proof,
    ),
    Form(
        lambda shop: f"/jobs/{shop.job}/aim",
        {"wanted.front.lower": (5, 40), "wanted.rear.lower": (5, 40)},
        "Save",
        _of_job,
    ),
)


def fill(shop: Shop, names: list[str], form: Form) -> None:
    """Type readings; nothing but the fields themselves is told that it happens."""
    for name in names:
        reading = shop.page.locator(f'input[name="{name}"]')
        reading.evaluate("one => { const folded = one.closest('details'); if (folded) folded.open = true }")
        reading.fill(shop.typed[name])
    assert set(names) <= set(form.fields)


def back_at(shop: Shop, form: Form) -> None:
    """Come to the form again and take what is offered; everything typed must stand there, or in the book."""
    shop.open(form.path(shop))
    take_what_is_offered(shop.page)


def take_what_is_offered(page: Page) -> None:
    page.wait_for_function("document.readyState === 'complete'")
    offer = page.locator(".draft .put-back")
    if offer.count():
        offer.first.click()


def reading(shop: Shop, name: str, form: Form) -> str:
    """What stands in a field.

    The form may have left the page for the next one after all: what was sent before a kill is sent again by the old page,
    and where its answer comes while the person goes back, the browser may follow it last. A person goes back again.
    """
    field = shop.page.locator(f'input[name="{name}"]')
    for _ in range(3):
        try:
            return field.input_value(timeout=30_000)
        except Late:
            shown = shop.page.url.removeprefix(f"http://127.0.0.1:{shop.server.port}")
            assert shown != form.path(shop), f"{name} is no field of {shown}: {shop.page.content()[:500]}"
            back_at(shop, form)
    return field.input_value()


def all_there(shop: Shop, names: list[str], form: Form) -> bool:
    """Whether each reading stands on the page as typed; one that was saved already may stand in the page's own words."""
    for name in names:
        now = reading(shop, name, form)
        if now.partition(" ")[0] != shop.typed[name] and not saved(shop, [name], form):
            return False
    return True


def saved(shop: Shop, names: list[str], form: Form) -> bool:
    try:
        return all(form.kept(shop, name).partition(" ")[0] == shop.typed[name] for name in names)
    except ValueError:  # no reading at all yet
        return False


def press(shop: Shop, form: Form) -> None:
    shop.page.get_by_role("button", name=form.button, exact=True).click()


def finish(shop: Shop, names: list[str], form: Form) -> None:
    """Press the button once; then the book has every reading, and the browser keeps none as a draft any more."""
    with shop.page.expect_navigation():
        press(shop, form)
    assert saved(shop, names, form), f"{names} are not in the book: {shop.page.locator('main').inner_text()[:500]}"
    assert shop.page.evaluate("Object.keys(localStorage).filter((key) => key.startsWith('jounce draft'))") == []


# ----------------------------------------------------------------------------------------------- the interruptions


def reloaded(shop: Shop, _: Form) -> None:
    shop.page.reload()
    take_what_is_offered(shop.page)


def left_and_back(shop: Shop, _: Form) -> None:
    shop.open("/desk")
    shop.page.go_back()
    take_what_is_offered(shop.page)


def closed(shop: Shop, form: Form) -> None:
    old = shop.page
    shop.page = old.context.new_page()
    shop.page.set_default_timeout(120_000)  # a server that was killed works everything out anew
    old.close()
    back_at(shop, form)


def network_cut(shop: Shop, form: Form) -> None:
    shop.page.context.set_offline(offline=True)
    press(shop, form)
    expect(shop.page.get_by_role("alert")).to_contain_text("does not answer")
    shop.page.context.set_offline(offline=False)
    if shop.chance.random() < 0.5:
        back_at(shop, form)


def server_killed(shop: Shop, form: Form) -> None:
    shop.server.kill()
    if shop.chance.random() < 0.5:
        press(shop, form)
        expect(shop.page.get_by_role("alert")).to_contain_text("does not answer")
    shop.server.start()
    if shop.chance.random() < 0.5:
        back_at(shop, form)


def server_killed_in_the_middle(shop: Shop, form: Form) -> None:
    press(shop, form)
    time.sleep(shop.chance.random() * 0.15)
    shop.server.kill()
    time.sleep(0.1)
    shop.server.start()
    back_at(shop, form)


def bad_entry(shop: Shop, form: Form) -> None:
    name = shop.chance.choice([name for name in form.fields if name not in shop.typed] or list(form.fields))
    right = shop.typed.get(name) or str(shop.chance.randint(*form.fields[name]))
    shop.typed[name] = "3x3"
    fill(shop, [name], form)
    shop.typed[name] = right
    press(shop, form)
    expect(shop.page.locator(".wrong").first).to_be_visible()
    if shop.chance.random() < 0.3:
        back_at(shop, form)
    fill(shop, [name], form)


INTERRUPTIONS = (reloaded, left_and_back, closed, network_cut, server_killed, server_killed_in_the_middle, bad_entry)


@pytest.mark.parametrize(
    "times",
    [
        pytest.param(FEW, id="few"),
        pytest.param(SOME, marks=pytest.mark.validation_long, id="some"),
        pytest.param(MANY, marks=pytest.mark.endurance, id="many"),
    ],
)
def test_no_reading_is_lost_by_an_interruption(opened: Opened, server: Server, times: int) -> None:
    shop = shop_of(server, opened("phone"), seed=times)
    shop.page.set_default_timeout(120_000)  # a server that was killed works everything out anew
    interrupted: dict[str, int] = {}
    for turn in range(times):
        form = shop.chance.choices(FORMS, weights=(4, 3, 4, 1))[0]
        interruption = INTERRUPTIONS[turn % len(INTERRUPTIONS)]
        shop.typed = {}
        shop.open(form.path(shop))
        assert shop.page.locator(".draft").count() == 0, "something is offered that was saved"
        names = shop.chance.sample(list(form.fields), min(len(form.fields), shop.chance.randint(2, 5)))
        for name in names:
            shop.typed[name] = str(shop.chance.randint(*form.fields[name]))
        before = shop.chance.randint(1, len(names))
        fill(shop, names[:before], form)
        interruption(shop, form)
        assert all_there(shop, names[:before], form), f"{interruption.__name__} lost a reading (turn {turn})"
        if form is FORMS[2] and saved(shop, names[:before], form):
            fill(shop, names, form)  # a set of readings that was saved is whole: the others are a set of their own
        fill(shop, names[before:], form)
        finish(shop, names, form)
        interrupted[interruption.__name__] = interrupted.get(interruption.__name__, 0) + 1
    assert sum(interrupted.values()) == times
    shop.book.close()


@pytest.mark.validation_long
def test_a_browser_that_dies_offers_the_readings_when_it_lives_again(
    chromium: Browser, server: Server, tmp_path: Path
) -> None:
    kind = chromium.browser_type
    options = {
        "executable_path": "/usr/bin/chromium",
        "args": ["--no-sandbox"],
        "viewport": {"width": 390, "height": 800},
    }
    phone = kind.launch_persistent_context(str(tmp_path / "phone"), **options)  # type: ignore[arg-type]
    shop = shop_of(server, phone.new_page(), 1)
    address = f"http://127.0.0.1:{server.port}/cars/{shop.car}/measure/round"
    shop.page.goto(address)
    shop.page.locator('input[name="heights.front_left"]').fill("333")
    time.sleep(8)  # a browser writes what it keeps on its disk after some seconds
    session = phone.new_cdp_session(shop.page)
    with pytest.raises(Exception, match=r"closed|crash"):
        session.send("Browser.crash")
    again = kind.launch_persistent_context(str(tmp_path / "phone"), **options)  # type: ignore[arg-type]
    page = again.new_page()
    page.goto(f"http://127.0.0.1:{server.port}/")
    page.locator("#drafts-elsewhere a").click()
    expect(page.locator(".draft")).to_contain_text("333")
    page.locator(".draft .put-back").click()
    expect(page.locator('input[name="heights.front_left"]')).to_have_value("333")
    again.close()
    shop.book.close()
