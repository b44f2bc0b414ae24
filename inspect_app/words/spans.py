"""Stretches of time in words, in the language now spoken."""

from __future__ import annotations

from inspect_app.words import gettext as _


def minutes_words(minutes: int) -> str:
    """ "25 min", "1 h", "6 h 30 min"."""
    hours, rest = divmod(minutes, 60)
    if hours <= 0:
        return _("%(n)s min", n=minutes)
    return _("%(hours)s h %(minutes)s min", hours=hours, minutes=rest) if rest else _("%(n)s h", n=hours)
