"""Dates, times and numbers as people write them.

Like the language, the way of writing is a matter of the thread: a request writes as the person who asked wants it
(rooms/tongue.py). Nobody chose: the house's own form, 2026-11-25 14:05 and 0.8. Chosen: a locale of the Unicode CLDR,
as Babel knows it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date, datetime

from babel.core import Locale
from babel.dates import format_date, format_skeleton, format_time, get_datetime_format
from babel.numbers import format_decimal

from inspect_app.words import figures

_chosen: ContextVar[Locale | None] = ContextVar("chosen", default=None)


def write_as(locale: Locale | None) -> None:
    """Write in this way from now on in this thread; None is the house's own."""
    _chosen.set(locale)
    figures.write_as(str(locale or ""))


@contextmanager
def writing_as(locale: Locale | None) -> Iterator[None]:
    """Write in one way within."""
    before = _chosen.set(locale)
    try:
        with figures.writing(str(locale or "")):
            yield
    finally:
        _chosen.reset(before)


def moment(then: datetime) -> str:
    """Date and time by the clock of `then`: 2026-11-25 14:05, or 25 Nov 2026, 14:05."""
    locale = _chosen.get()
    if locale is None:
        return f"{then:%Y-%m-%d %H:%M}"
    joined = str(get_datetime_format("medium", locale=locale))  # "{1}, {0}": the date and the time in their order
    return joined.replace("'", "").format(clock(then), format_date(then, "medium", locale=locale))


def day(then: date) -> str:
    """A date: 2026-11-25, or 25 Nov 2026."""
    locale = _chosen.get()
    return f"{then:%Y-%m-%d}" if locale is None else format_date(then, "medium", locale=locale)


def clock(then: datetime) -> str:
    """A time of day: 14:05, or 2:05 PM."""
    locale = _chosen.get()
    if locale is None:
        return f"{then:%H:%M}"
    return format_time(then, "short", locale=locale)


def weekday(then: date) -> str:
    """A day of the week: Wed."""
    locale = _chosen.get()
    return f"{then:%a}" if locale is None else format_date(then, "ccc", locale=locale)


def weekday_and_day(then: date) -> str:
    """A day of this year with its weekday: Wed 5 Nov."""
    locale = _chosen.get()
    if locale is None:
        return f"{then:%a} {then.day} {then:%b}"
    return format_skeleton("MMMEd", then, locale=locale)


def day_and_month(then: date, *, year: bool = False) -> str:
    """A day of the year: 5 Nov; with its year: 5 Nov 2026."""
    locale = _chosen.get()
    if locale is None:
        return f"{then.day} {then:%b}" + (f" {then.year}" if year else "")
    return format_date(then, "medium", locale=locale) if year else format_skeleton("MMMd", then, locale=locale)


def number(value: float, digits: int | None = None) -> str:
    """A number: 0.8, or 0,8. `digits` after the sign, always so many; None as many as it has, six at most.

    Thousands are never set apart, so that a figure of a sentence can be copied into a field.
    """
    locale = _chosen.get()
    if locale is None:
        return f"{value:g}" if digits is None else f"{value:.{digits}f}"
    pattern = "0.######" if digits is None else "0." + "0" * digits if digits else "0"
    return format_decimal(value, format=pattern, locale=locale)


def sample(locale: Locale | None, then: datetime, value: float) -> str:
    """What a way of writing looks like, for choosing one: "0.8 · 28 Nov 2026, 14:05"."""
    with writing_as(locale):
        return f"{number(value)} · {moment(then)}"
