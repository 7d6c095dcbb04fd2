"""`jounce serve`: the workbench in the browser."""

from __future__ import annotations

import getpass
from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer

from jounce.book import open_book
from jounce.conventions.errors import InputError
from jounce.web.security.certificate import certificate_of
from jounce.web.security.passwords import hashed, read_hash, write_hash
from jounce.web.serving import is_local
from jounce.web.serving import serve as served


def serve(
    where: Annotated[str, typer.Argument(help="the book: a file, or a PostgreSQL address", metavar="BOOK")],
    port: Annotated[int, typer.Option(help="port; 0 for any that is free", min=0, max=65535)] = 8470,
    host: Annotated[str, typer.Option(help="where to listen; beyond this machine a password is needed")] = "127.0.0.1",
    password_file: Annotated[
        Path | None, typer.Option("--password-file", help="file of the password's hash; a new one is made")
    ] = None,
    certificate: Annotated[
        Path | None, typer.Option("--certificate", help="certificate (PEM), to answer over https", metavar="FILE")
    ] = None,
    key: Annotated[Path | None, typer.Option("--key", help="its key (PEM)", metavar="FILE")] = None,
    by: Annotated[str, typer.Option("--by", help="who writes; your login name when left out")] = "",
) -> None:
    """Open the workbench on a shop book, for a browser on this machine or in the shop."""
    if password_file is None and not is_local(host):  # said before the book is touched
        raise InputError(
            "Listening beyond this machine needs a password",
            found=host,
            todo="Give --password-file FILE; a new file is made and the password asked for.",
        )
    vouched = certificate_of(certificate, key)
    kept = None if password_file is None else _kept(password_file)
    opened = open_book(where, by or getpass.getuser())
    typer.echo("Making the workbench ready. What was never compiled takes two to three minutes, once.", err=True)
    try:
        with suppress(KeyboardInterrupt):  # the way in which it is meant to end
            served(
                opened,
                (host, port),
                kept,
                lambda address: typer.echo(f"The workbench is at {address} (end it with Ctrl+C)"),
                vouched,
            )
    finally:
        opened.close()


def _kept(path: Path) -> str:
    """The hash of the file, or of a password that is asked for and kept there."""
    if path.exists():
        return read_hash(path)
    kept = hashed(typer.prompt("New password", hide_input=True, confirmation_prompt=True))
    write_hash(path, kept)
    return kept
