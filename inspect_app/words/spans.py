"""Stretches of time in words, in the language now spoken."""

from __future__ import annotations

from inspect_app.words import gettext as _


def minutes_words(minutes: int) -> str:
    """ "25 min", "1 h", "6 h 30 min"."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return _("%(n)s min", n=rest)
    return _("%(hours)s h %(rest)s min", hours=hours, rest=rest) if rest else _("%(n)s h", n=hours)
