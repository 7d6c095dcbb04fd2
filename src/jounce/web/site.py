"""The site: which address leads to which page, and how a request becomes a question to it."""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from importlib.resources import files

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp

from jounce.book import Book
from jounce.conventions.errors import JounceError
from jounce.web.api.mounted import api_of
from jounce.web.background import BackgroundJobs
from jounce.web.field_signs import fields_read
from jounce.web.language import MissingPhrases, spoken, unspoken
from jounce.web.pages import (
    asked,
    asked_kept,
    bay,
    beside,
    board,
    book,
    car,
    counter,
    customer,
    desk,
    frames,
    history,
    job,
    job_details,
    job_forms,
    job_numbers,
    lead_back,
    ledger,
    live,
    measure,
    new_car,
    nowhere,
    part,
    part_form,
    phone,
    photographs,
    photos,
    phrases,
    proof,
    questions,
    quote,
    readings,
    rounds,
    search,
    sheets,
    shelf,
    shop,
    sign_in,
    take_away,
    words,
    work,
)
from jounce.web.request import Handler, PageRequest, desk_of, page
from jounce.web.saving import Taken, taken_page
from jounce.web.script_words import script_words
from jounce.web.security.guard import SESSION, Guard, cookies_of
from jounce.web.security.sessions import Sessions
from jounce.web.sending import ONCE, Sent
from jounce.web.shop_settings import house_desk, house_phrases

__all__ = ["build_site"]

_PAGES: dict[str, Handler] = {
    "/": counter.show,
    "/answers": counter.take,
    "/book": book.show,
    "/board": board.show,
    "/customers": book.add_customer,
    "/customers/{entry}": customer.show,
    "/customers/{entry}/cars": customer.cars,
    "/cars/new": new_car.show,
    "/cars/from-demo": new_car.from_demo,
    "/cars/from-file": new_car.from_file,
    "/cars/{entry}": car.show,
    "/cars/{entry}/how-low": counter.show_low,
    "/cars/{entry}/measure": measure.show,
    "/cars/{entry}/readings": readings.show,
    "/cars/{entry}/photographs": photographs.show,
    "/cars/{entry}/photographs/tiles.pdf": photographs.tiles,
    "/cars/{entry}/photographs/{file}/small.jpg": photographs.small,
    "/cars/{entry}/photographs/{file}/lines.jpg": photographs.lines,
    "/cars/{entry}/measure/{step}": measure.show,
    "/cars/{entry}/sheets": sheets.of_car,
    "/cars/{entry}/sheet.pdf": sheets.print_car,
    "/cars/{entry}/beside": beside.show,
    "/cars/{entry}/beside/sheet.pdf": beside.print_now,
    "/cars/{entry}/ask": questions.of_car,
    "/cars/{entry}/ask/{question}": questions.of_car,
    "/cars/{entry}/curves.csv": car.curves_file,
    "/cars/{entry}/frames.json": frames.of_car,
    "/cars/{entry}/jobs": job_details.begin,
    "/entries/{entry}/words": words.show,
    "/entries/{entry}/history": history.show,
    "/entries/{entry}/restore": history.restore,
    "/entries/{entry}/undo": history.undo,
    "/jobs/{entry}": job.found,
    "/jobs/{entry}/found": job.found,
    "/jobs/{entry}/details": job_details.show,
    "/jobs/{entry}/state": board.state,
    "/jobs/{entry}/quote": quote.issue,
    "/jobs/{entry}/aim": job_forms.aim,
    "/jobs/{entry}/changes": job_forms.changes,
    "/jobs/{entry}/place": job_forms.place,
    "/jobs/{entry}/ask": questions.of_job,
    "/jobs/{entry}/ask/{question}": questions.of_job,
    "/jobs/{entry}/consequences": job.consequences,
    "/jobs/{entry}/why/{number}": job_numbers.why,
    "/jobs/{entry}/corner": job.corner,
    "/jobs/{entry}/comparison.csv": job.comparison_file,
    "/jobs/{entry}/curves.csv": job.curves_file,
    "/jobs/{entry}/frames.json": frames.of_job,
    "/jobs/{entry}/live": live.show,
    "/jobs/{entry}/live/tables.json": live.tables,
    "/jobs/{entry}/live/exact.json": live.exact,
    "/jobs/{entry}/search": search.show,
    "/jobs/{entry}/search/take": search.take,
    "/jobs/{entry}/fits": job.fits,
    "/jobs/{entry}/settings": job.settings,
    "/jobs/{entry}/bay": bay.show,
    "/jobs/{entry}/rounds": rounds.show,
    "/jobs/{entry}/sheets": sheets.show,
    "/jobs/{entry}/sheet.pdf": sheets.print_now,
    "/jobs/{entry}/take-away.html": take_away.show,
    "/files/{file}": sheets.kept_file,
    "/j": lead_back.typed,
    "/j/{code}": lead_back.show,
    "/J/{code}": lead_back.show,
    "/jobs/{entry}/proof": proof.show,
    "/asked": asked.show,
    "/asked/kept": asked_kept.show,
    "/ask": questions.of_part,
    "/ask/{question}": questions.of_part,
    "/shelf": shelf.show,
    "/shelf/new": part_form.choose,
    "/shelf/new/{kind}": part_form.new,
    "/shelf/{entry}": part.show,
    "/shelf/{entry}/change": part_form.change,
    "/shelf/{entry}/out": part_form.out,
    "/desk": desk.show,
    "/phone": phone.show,
    "/ledger": ledger.show,
    "/quotes/{entry}": quote.show,
    "/shop": shop.show,
    "/shop/rules": shop.keep_rules,
    "/shop/phrases": phrases.show,
    "/shop/phrases.toml": phrases.to_go_on,
    "/entries/{entry}/photos": photos.show,
    "/photos/{file}": photos.picture,
    "/photos/{file}/out": photos.out,
    "/photos/{file}/back": photos.back,
    "/long-work/{work}": work.show,
    "/long-work/{work}/state.json": work.told,
    "/long-work/{work}/stop": work.stop,
}
_STATIC = {
    "mark.svg": "image/svg+xml",
    "recorder.js": "text/javascript",
    "style.css": "text/css",
    "pages.js": "text/javascript",
    "words.js": "text/javascript",
    "bay.js": "text/javascript",
    "drafts.js": "text/javascript",
    "picture.js": "text/javascript",
    "picture_along.js": "text/javascript",
    "picture_car.js": "text/javascript",
    "picture_gif.js": "text/javascript",
    "picture_marks.js": "text/javascript",
    "picture_paint.js": "text/javascript",
    "picture_raster.js": "text/javascript",
    "picture_save.js": "text/javascript",
    "picture_show.js": "text/javascript",
    "picture_solid.js": "text/javascript",
    "picture_space.js": "text/javascript",
    "picture_svg.js": "text/javascript",
    "picture_touch.js": "text/javascript",
    "picture_words.js": "text/javascript",
    "charts.js": "text/javascript",
    "counter.js": "text/javascript",
    "live.js": "text/javascript",
    "live_axles.js": "text/javascript",
    "live_table.js": "text/javascript",
    "long_work.js": "text/javascript",
    "measure.js": "text/javascript",
    "photographs.js": "text/javascript",
}
_COMPRESSION = 4  # of 9: the highest takes six times as long for a tenth of the size
_MOST_FILES, _MOST_FIELDS = 4, 400
"""Of one form; a file beyond the first of its name gets a number."""


def build_site(book_: Book, sessions: Sessions | None = None) -> ASGIApp:
    """The whole workbench.

    Args:
        book_: the shop book that it works on
        sessions: who is signed in; None where it is open to this machine alone
    """
    works, heard, sent = BackgroundJobs(), MissingPhrases(), Sent()

    @asynccontextmanager
    async def lifetime(_: Starlette) -> AsyncIterator[None]:
        yield
        await run_in_threadpool(works.close)

    def route(address: str, handler: Handler) -> Route:
        return Route(
            address,
            _endpoint(book_, handler, works, heard, sent, guarded=sessions is not None),
            methods=["GET", "POST"],
        )

    pages = [route(address, handler) for address, handler in _PAGES.items()]
    if sessions is not None:
        pages += [route("/sign-in", sign_in.page_for(sessions)), route("/sign-out", sign_in.way_out(sessions))]
    known = [*pages, api_of(book_, sessions, works), Route("/static/{name}", _static)]
    site = Starlette(
        routes=[*known, route("/{address:path}", nowhere.show)],
        middleware=[Middleware(GZipMiddleware, minimum_size=1000, compresslevel=_COMPRESSION)],
        exception_handlers={404: _not_found, 500: _failed},
        lifespan=lifetime,
    )
    return Guard(site, sessions)


def _endpoint(
    book_: Book, handler: Handler, works: BackgroundJobs, heard: MissingPhrases, sent: Sent, *, guarded: bool
) -> Callable[[Request], Awaitable[Response]]:
    async def endpoint(request: Request) -> Response:
        desk_ = desk_of(cookies_of(request.headers), await run_in_threadpool(house_desk, book_))
        once = request.headers.get(ONCE, "") if request.method == "POST" else ""
        texts, contents = await _form(request)
        saved = sent.again(once) if once else None
        if saved is not None:
            return saved
        ask = PageRequest(
            book_.written_by(desk_.by),
            request.url.path,
            request.client.host if request.client else "",
            request.path_params,
            fields_read(request.query_params),
            fields_read(texts),
            contents,
            desk_,
            cookies_of(request.headers).get(SESSION, ""),
            guarded,
            works,
            heard,
            request.headers.get("host", ""),
            request.url.scheme == "https",
        )
        return sent.answer(once, await run_in_threadpool(_spoken_answer, handler, ask, request.method))

    return endpoint


def _spoken_answer(handler: Handler, ask: PageRequest, method: str) -> Response:
    """The answer in the house's words, where it is a page."""
    answer = _answer(handler, ask, method)
    if answer.media_type == "text/html":
        house, text = house_phrases(ask.book), bytes(answer.body).decode()
        said = spoken(text, house)
        if house is not None:
            ask.heard.add(unspoken(text, house))
            said = said.replace("</body>", f"{script_words(house)}\n</body>", 1)
        answer.body = said.encode()
        answer.headers["content-length"] = str(len(answer.body))
    return answer


def _answer(handler: Handler, ask: PageRequest, method: str) -> Response:
    try:
        try:
            return handler(ask)
        except Taken:  # in the very moment between reading and saving: put together with what is there now
            return handler(ask)
    except Taken as taken:
        return taken_page(ask, taken)
    except JounceError as error:
        return _refused(ask, error, method)


def _refused(ask: PageRequest, error: JounceError, method: str) -> Response:
    """What is wrong; of a job among its steps, so that each of them stays within reach."""
    if ask.address.startswith("/jobs/"):
        try:
            return job.blocked(ask, error)
        except JounceError:  # there is no such job
            pass
    return page(ask, "refused.html", 422, error=str(error), back=ask.address if method == "POST" else "/book")


async def _form(request: Request) -> tuple[dict[str, str], dict[str, bytes]]:
    if request.method != "POST":
        return {}, {}
    texts: dict[str, str] = {}
    contents: dict[str, bytes] = {}
    async with request.form(max_files=_MOST_FILES, max_fields=_MOST_FIELDS, max_part_size=2**20) as form:
        for name, value in form.multi_items():
            if isinstance(value, UploadFile):
                again = sum(key.split(" ")[0] == name for key in contents)
                contents[f"{name} {again + 1}" if again else name] = await value.read()
            else:
                texts[name] = value.replace("\r\n", "\n")
    return texts, contents


async def _static(request: Request) -> Response:
    """One of our own files; a name is looked up, never opened as a path."""
    name = request.path_params["name"]
    if name not in _STATIC:
        return PlainTextResponse("There is no such file.", 404)
    content = files("jounce.web").joinpath("static", name).read_bytes()
    return Response(content, media_type=_STATIC[name], headers={"cache-control": "no-cache"})


async def _not_found(request: Request, error: Exception) -> Response:  # noqa: ARG001
    return PlainTextResponse("There is no such page. The book is at /book.", 404)


async def _failed(request: Request, error: Exception) -> Response:  # noqa: ARG001  # the server logs it
    return PlainTextResponse(
        "This did not work, and it is our fault. Nothing was half-saved. Go back and try again.", 500
    )
