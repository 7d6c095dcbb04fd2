"""Listening: the socket, and who may come in."""

from __future__ import annotations

import socket
from collections.abc import Callable

import uvicorn

from jounce.book import Book
from jounce.conventions.errors import InputError
from jounce.web.made_ready import make_ready
from jounce.web.reached import is_local, reached_at
from jounce.web.security.certificate import Certificate
from jounce.web.security.connections import Patient
from jounce.web.security.sessions import Sessions
from jounce.web.site import build_site

__all__ = ["is_local", "listen", "reached_at", "serve", "server_of"]


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens.

    Args:
        host: name or number
        port: 0 for any that is free

    Raises:
        InputError: it is taken, or is not this machine's
    """
    try:
        family = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0][0]
        return socket.create_server((host, port), family=family)
    except OSError as error:
        raise InputError(
            f"The workbench cannot listen there ({error.strerror or error})",
            found=f"{host}, port {port}",
            todo="Choose another --port, or end the program that uses it.",
        ) from None


def server_of(book: Book, kept: str | None, certificate: Certificate | None = None) -> uvicorn.Server:
    """A server that is not running yet.

    Args:
        book: the shop book
        kept: hash of the password; None where only this machine may come in
        certificate: under which it answers over https; None where it answers over http
    """
    site = build_site(book, None if kept is None else Sessions(kept))
    return uvicorn.Server(
        uvicorn.Config(
            site,
            log_level="warning",
            access_log=False,
            server_header=False,
            date_header=False,
            proxy_headers=False,
            ws="none",
            lifespan="on",
            timeout_graceful_shutdown=3,
            http=Patient,
            h11_max_incomplete_event_size=2**16,
            ssl_certfile=None if certificate is None else certificate.file,
            ssl_keyfile=None if certificate is None else str(certificate.key),
        )
    )


def serve(
    book: Book,
    at: tuple[str, int],
    kept: str | None,
    told: Callable[[str], None],
    certificate: Certificate | None = None,
) -> None:
    """Serve the workbench until it is stopped.

    Args:
        book: the shop book
        at: where it listens, and the port, 0 for any that is free
        kept: hash of the password, needed beyond this machine
        told: hears the address, once the cars' pages are ready
        certificate: under which it answers over https; None where it answers over http

    Raises:
        InputError: no password where one is needed, or it cannot listen there
    """
    host, port = at
    if kept is None and not is_local(host):
        raise InputError(
            "Listening beyond this machine needs a password",
            found=host,
            todo="Give --password-file FILE; a new file is made and the password asked for.",
        )
    opened = listen(host, port)
    make_ready(book)
    for name in reached_at(host):
        told(f"http{'' if certificate is None else 's'}://{name}:{opened.getsockname()[1]}/")
    server_of(book, kept, certificate).run(sockets=[opened])
