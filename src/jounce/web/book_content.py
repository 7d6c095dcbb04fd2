"""What a question reads from a file, from the shop's book instead: its shelf, part after part."""

from __future__ import annotations

from jounce.book import Book
from jounce.questions.question import Content, Sought

__all__ = ["from_book"]


def from_book(sought: Sought, book: Book) -> tuple[tuple[str, str], ...]:
    """Name and text of what the book has for it; nothing where it has none, or where the question asks for none.

    Args:
        sought: what the question asks for
        book: the shop's book
    """
    if not isinstance(sought, Content) or not sought.of_book:
        return ()
    text = "\n".join(entry.content for entry in book.entries(sought.of_book))
    return (("the shelf", text),) if text else ()
