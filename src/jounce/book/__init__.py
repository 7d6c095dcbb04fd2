"""The shop book: cars, customers, jobs, parts, measurements, sheets - kept for years, every change with when and by whom.

The only room that knows SQL. `opening` opens or makes a book, `book` saves and finds entries, `exchange` writes them
out as plain files and reads them back, `backup` copies a whole book while it is in use.
"""

from jounce.book.book import Book
from jounce.book.entries import KINDS, Attachment, Entry, EntryKind, PrintedSheet, Touched, Version
from jounce.book.opening import open_book

__all__ = ["KINDS", "Attachment", "Book", "Entry", "EntryKind", "PrintedSheet", "Touched", "Version", "open_book"]
