"""How the entries of an axle told as lists are written, and what is wrong with one of them by itself."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from jounce.car.file.section import Section
from jounce.conventions.errors import InputError
from jounce.layouts.custom_axle import OnBody

__all__ = ["Form", "form_problems", "on_bodies", "on_body", "pair_problems", "phrase_problems"]

_PHRASE = re.compile(r"\s*([a-z][a-z0-9_.]*)\s+on\s+([a-z][a-z0-9_.]*)\s*")


@dataclass(frozen=True, slots=True)
class Form:
    """One way to write an entry: keys of which one each is needed, and keys that may be given besides."""

    needs: tuple[tuple[str, ...], ...] = ()
    may: tuple[str, ...] = ()

    @property
    def keys(self) -> set[str]:
        """All keys of this form."""
        return {*self.may, *(key for group in self.needs for key in group)}


def on_body(text: str) -> OnBody:
    """A point of a body from its phrase.

    Args:
        text: as ``"ball_joint on knuckle"``

    Raises:
        InputError: not such a phrase

    """
    found = _PHRASE.fullmatch(text)
    if found is None:
        raise InputError("This is not a point of a body", found=f'"{text}"', allowed='"point on body"')
    return OnBody(found[1], found[2])


def on_bodies(texts: tuple[str, ...]) -> tuple[OnBody, OnBody]:
    """Two points of bodies from their phrases.

    Args:
        texts: two phrases

    """
    first, second = texts
    return on_body(first), on_body(second)


def phrase_problems(section: Section, *keys: str) -> list[InputError]:
    """Keys of a section whose texts are not all points of bodies.

    Args:
        section: the entry
        keys: keys that hold one phrase or a list of them

    """
    problems = []
    for key in keys:
        written = getattr(section, key)
        for text in (written,) if isinstance(written, str) else written or ():
            try:
                on_body(text)
            except InputError as problem:
                problem.place = key
                problems.append(problem)
    return problems


def pair_problems(section: Section, *keys: str) -> list[InputError]:
    """Keys of a section whose lists have not exactly two entries, or the same one twice.

    Args:
        section: the entry
        keys: keys that hold lists

    """
    problems = []
    for key in keys:
        written = getattr(section, key)
        if written is not None and (len(written) != 2 or written[0] == written[1]):
            allowed = '["one", "other"]'
            problems.append(
                InputError("Two different ones are needed", found=str(list(written)), allowed=allowed, place=key)
            )
    return problems


def form_problems(section: Section, forms: Mapping[str, Form], nothing: str = "") -> list[InputError]:
    """What is missing, or too much, for the form that an entry has.

    Args:
        section: the entry
        forms: by the key that leads it, every form
        nothing: what to do where no form is given; "" where none need be

    """
    given = {name for form in forms.values() for name in form.keys if getattr(section, name) not in (None, False)}
    leads = [lead for lead in forms if getattr(section, lead) is not None]
    if len(leads) > 1:
        return [
            InputError("An entry says one thing", found=_quoted(*leads), todo="Write two entries, or one of the two.")
        ]
    if not leads and nothing:
        return [InputError("It is not said what this is", allowed=_quoted(*forms), todo=nothing)]
    form = forms[leads[0]] if leads else Form()
    problems = [
        InputError(f'"{lead}" needs {" or ".join(_quoted(key) for key in group)}', todo="Give exactly one.")
        if len(group) > 1
        else InputError(f'"{lead}" needs {_quoted(*group)}', todo="Add it.")
        for lead in leads
        for group in form.needs
        if len(given & set(group)) != 1
    ]
    extra = sorted(given - form.keys)
    if extra:
        with_what = f'beside "{leads[0]}"' if leads else "by itself"
        problems.append(InputError(f"{_quoted(*extra)} says nothing {with_what}", todo="Take it away.", place=extra[0]))
    return problems


def _quoted(*names: str) -> str:
    return ", ".join(f'"{name}"' for name in names)
