"""One workbench for all tests of a module."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.workbench import Workbench, demo_book, serving


@pytest.fixture(scope="module")
def workbench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    book, car, job = demo_book(tmp_path_factory.mktemp("book") / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()
