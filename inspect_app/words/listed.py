"""Lists in words, in the language now spoken: "A, B and C", "a or b"."""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce

from inspect_app.words import gettext as _


def all_of(names: Iterable[str]) -> str:
    """Return "A", "A and B", "A, B and C"; "" for none."""
    *most, last = [*names] or [""]
    return _("%(most)s and %(last)s", most=_with_commas(most), last=last) if most else last


def one_of(names: Iterable[str]) -> str:
    """Return "a", "a or b", "a or b or c"; "" for none."""
    first, *rest = [*names] or [""]
    return reduce(lambda said, name: _("%(most)s or %(last)s", most=said, last=name), rest, first)


def _with_commas(names: Iterable[str]) -> str:
    return reduce(lambda said, name: _("%(some)s, %(next)s", some=said, next=name), names)
