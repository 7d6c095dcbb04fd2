"""A customer: telephone, mail, address and note, cars, jobs with their states, and quotes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from starlette.responses import Response

from jounce.book import Entry
from jounce.conventions.errors import InputError
from jounce.office.board import board, today
from jounce.quote.customer import Customer, customer_text, parse_customer
from jounce.web.request import PageRequest, find, onward, page
from jounce.web.saving import keep, number_of, onward_saved

__all__ = ["FIELDS", "LINES", "add", "cars", "read_fields", "show"]

FIELDS = (
    ("name", "Name", 200),
    ("telephone", "Telephone", 60),
    ("email", "Mail", 200),
    ("address", "Address", 1000),
    ("note", "Anything else", 10000),
)
"""Fields of the form: name, label, most characters."""
LINES = ("address", "note")
"""Fields of more than one line."""


def show(ask: PageRequest) -> Response:
    """The customer, or what was typed with what is wrong."""
    customer = find(ask, "customer")
    if not ask.form:
        return _page(ask, customer, _shown(customer))
    name, noted = read_fields(ask.form)
    text = customer_text(noted, customer.content)
    home = f"/customers/{customer.id}"
    if (name, text) == (customer.name, customer.content):
        return onward(home)
    if not name:
        return _page(ask, customer, {**_shown(customer), **ask.form}, "A customer needs a name.")
    return onward_saved(home, keep(ask, replace(customer, name=name), text))


def add(ask: PageRequest) -> tuple[Entry | None, str]:
    """Put a customer in that was typed; what is wrong where that cannot be.

    Args:
        ask: the request with its form
    """
    name, noted = read_fields(ask.form)
    try:
        return ask.book.add("customer", name, customer_text(noted)), ""
    except InputError as error:
        return None, str(error)


def cars(ask: PageRequest) -> Response:
    """Note a car of the book as this customer's, or as nobody's."""
    customer = find(ask, "customer")
    home = f"/customers/{customer.id}"
    wanted = ask.form.get("car", "")
    if not wanted:
        return onward(home)
    car = ask.book.entry(wanted)
    if car.kind != "car":
        raise InputError("This is no car", found=car.kind, todo="Choose a car of the list.")
    if "out" in ask.form:
        if car.belongs_to != customer.id:
            return onward(home)
        return onward_saved(home, ask.book.save(replace(car, belongs_to=None), f"no longer of {customer.name}"))
    if car.belongs_to == customer.id:
        return onward(home)
    return onward_saved(home, ask.book.save(replace(car, belongs_to=customer.id), f"of {customer.name}"))


def read_fields(form: Mapping[str, str]) -> tuple[str, Customer]:
    """Name and notes as they were typed.

    Args:
        form: the fields
    """
    given = {key: form.get(key, "")[:most] for key, _, most in FIELDS}
    typed = {
        key: "\n".join(line.rstrip() for line in text.strip().splitlines()) if key in LINES else " ".join(text.split())
        for key, text in given.items()
    }
    return typed.pop("name"), Customer(**typed)


def _shown(customer: Entry) -> dict[str, str]:
    return {"name": customer.name, **parse_customer(customer.content).model_dump()}


def _page(ask: PageRequest, customer: Entry, values: Mapping[str, str], wrong: str = "") -> Response:
    own = ask.book.entries("car", customer.id)
    others = [car for car in ask.book.entries("car") if car.belongs_to != customer.id]
    jobs = [one for one in board(ask.book) if one.owner is not None and one.owner.id == customer.id]
    return page(
        ask,
        "customer.html",
        422 if wrong else 200,
        customer=customer,
        number=number_of(ask, customer),
        fields=FIELDS,
        lines=LINES,
        values=values,
        noted=parse_customer(customer.content),
        wrong=wrong,
        cars=own,
        others=sorted(others, key=lambda car: (car.belongs_to is not None, car.name)),
        jobs=jobs,
        today=today(),
    )
