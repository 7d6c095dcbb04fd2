"""A customer as the shop notes one: telephone, mail, address, and whatever else is worth knowing."""

from __future__ import annotations

from pydantic import Field

from jounce.car.file.reading import parse_document
from jounce.car.file.rewriting import rewritten
from jounce.car.file.section import Section
from jounce.conventions.errors import InputError

__all__ = ["Customer", "customer_text", "parse_customer"]


class Customer(Section):
    """What is noted of a customer besides the name."""

    telephone: str = Field(default="", max_length=60, description="telephone number")
    email: str = Field(default="", max_length=200, description="mail address")
    address: str = Field(default="", max_length=1000, description="postal address, on as many lines as it has")
    note: str = Field(default="", max_length=10000, description="anything else")

    @property
    def dialled(self) -> str:
        """The telephone number as a telephone dials it: digits alone, with the + before them; empty where there is none."""
        digits = "".join(sign for sign in self.telephone if sign.isascii() and sign.isdigit())
        return f"+{digits}" if digits and self.telephone.strip().startswith("+") else digits


class _CustomerFile(Section):
    customer: Customer


def parse_customer(text: str) -> Customer:
    """A customer by the document in the book; text that is no such document is a note.

    Args:
        text: the document
    """
    try:
        return parse_document(text, "the customer", _CustomerFile).customer
    except InputError:  # written before there were fields, or by hand
        return Customer(note=text[:10000])


def customer_text(customer: Customer, before: str = "") -> str:
    """The document of a customer.

    Args:
        customer: what is noted
        before: the document as it was; its comments stay where it was one of fields
    """
    try:
        parse_document(before, "the customer", _CustomerFile)
    except InputError:
        before = "[customer]\n"
    values = {f"customer.{name}": text or None for name, text in customer.model_dump().items()}
    return rewritten(before, values)
