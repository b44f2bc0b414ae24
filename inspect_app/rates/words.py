"""The sentence above a plot, fit to be read aloud in the morning meeting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from inspect_app.words import gettext as _
from inspect_app.words import ngettext
from inspect_app.words.figures import figure as decimal
from inspect_app.words.listed import all_of

if TYPE_CHECKING:
    from inspect_app.rates.table import Line


def figure(value: float) -> str:
    """Return a rate with as many places as it can bear: 0.06, 0.45, 6.2, 143."""
    if value >= 99.95:
        return f"{value:.0f}"
    if value >= 0.995 or value == 0:
        return decimal(f"{value:.1f}") if value else "0"
    return decimal(f"{value:.2f}" if value >= 0.01 else f"{value:.2g}")


def units(number: float) -> str:
    """Return "1 van", "22 vans"."""
    return ngettext("%(count)s van", "%(count)s vans", whole(number), count=decimal(f"{number:g}"))


def marks(count: int) -> str:
    """Return "1 mark", "2 marks"."""
    return ngettext("%(n)s mark", "%(n)s marks", count)


def whole(number: float) -> int:
    """Return the whole number by which a figure takes its plural; a part of one is said as many are."""
    return int(number) if number == int(number) else max(2, int(number) + 1)


def line_words(line: Line) -> str:
    """Return one line in words: "6.2 marks a van (5.1 to 7.5, 22 vans)"."""
    if line.rate is None or line.low is None or line.high is None:
        return f"{marks(line.count)}; {line.hidden}"
    if line.count == 0:
        return _("no marks on %(vans)s (up to %(high)s a van)", vans=units(line.n), high=figure(line.high))
    return ngettext(
        "%(rate)s mark a van (%(low)s to %(high)s, %(vans)s)",
        "%(rate)s marks a van (%(low)s to %(high)s, %(vans)s)",
        1 if figure(line.rate) == figure(1.0) else whole(line.rate + 1.0),
        rate=figure(line.rate),
        low=figure(line.low),
        high=figure(line.high),
        vans=units(line.n),
    )


def sentence(
    lines: Sequence[Line], *, labels: Mapping[str, str] | None = None, says: str = "%(name)s makes most: %(line)s."
) -> str:
    """Return what the plot of `lines` (highest rate first) says; `says` is the sentence of the highest.

    It names the highest, and whoever's interval reaches into that one's: an order that chance could turn round must not
    be read out as one.
    """
    shown = [line for line in lines if line.rate is not None]
    if not shown:
        return _nothing_to_say(lines)
    first, rest = shown[0], shown[1:]
    if first.count == 0:
        return _("Nothing was found: %(line)s.", line=line_words(first))
    name = _name(first, labels)
    text = _(says, name=f"{name[:1].upper()}{name[1:]}", line=line_words(first))
    near = [_name(line, labels) for line in rest if line.high is not None and line.high >= (first.low or 0.0)]
    return f"{text} {_too_near(near)}".rstrip()


def _nothing_to_say(lines: Sequence[Line]) -> str:
    if not lines:
        return _("Nothing has been counted in this period.")
    return _("There is no rate to show yet: %(why)s.", why=lines[0].hidden)


def _too_near(names: Sequence[str]) -> str:
    if not names:
        return ""
    return _("It is too near to %(names)s to tell them apart on these numbers.", names=all_of(names))


def _name(line: Line, labels: Mapping[str, str] | None) -> str:
    return (labels or {}).get(line.key, line.key)
