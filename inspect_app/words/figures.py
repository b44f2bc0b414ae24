"""Figures as they are written where the reader lives: with a point or with a comma.

Which way is a matter of the thread, as the language is: a request writes as whoever asked does (rooms/tongue.py), the
journal's writer and the sheet as the plant does. Nobody said how: with a point. Thousands are never set apart, so that
a figure of a sentence can be copied into a field.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from functools import lru_cache

from babel.core import Locale, UnknownLocaleError
from babel.numbers import get_decimal_symbol

_point: ContextVar[str] = ContextVar("point", default=".")


def figure(text: str) -> str:
    """The figure, written by a program with a point, as it is written here: "0.8" or "0,8"."""
    point = _point.get()
    return text if point == "." else text.replace(".", point)


def tenths(amount: int) -> str:
    """A whole number of tenths: 5 is "0.5", 20 is "2"."""
    sign, (whole, tenth) = "-" if amount < 0 else "", divmod(abs(amount), 10)
    return f"{sign}{whole}" if tenth == 0 else figure(f"{sign}{whole}.{tenth}")


@contextmanager
def writing(formats: str) -> Iterator[None]:
    """Write figures within as this locale of CLDR does ("de_DE"); "" or one there is not: with a point."""
    before = _point.set(_symbol(formats))
    try:
        yield
    finally:
        _point.reset(before)


def write_as(formats: str) -> None:
    """Write figures so from now on in this thread."""
    _point.set(_symbol(formats))


@lru_cache(maxsize=64)
def _symbol(formats: str) -> str:
    with suppress(UnknownLocaleError, ValueError):
        return str(get_decimal_symbol(Locale.parse(formats)))
    return "."
