"""The sentence above a plot, fit to be read aloud in the morning meeting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from inspect_app.rates.table import Line


def figure(value: float) -> str:
    """Return a rate with as many places as it can bear: 0.06, 0.45, 6.2, 143."""
    if value >= 99.95:
        return f"{value:.0f}"
    if value >= 0.995 or value == 0:
        return f"{value:.1f}" if value else "0"
    return f"{value:.2f}" if value >= 0.01 else f"{value:.2g}"


def units(number: float, noun: str = "van") -> str:
    """Return "1 van", "22 vans"."""
    return f"{number:g} {noun if number == 1 else noun + 's'}"


def line_words(line: Line, *, noun: str = "van", flaw: str = "flaw") -> str:
    """Return one line in words: "6.2 flaws a van (5.1 to 7.5, 22 vans)"."""
    if line.rate is None or line.low is None or line.high is None:
        return f"{units(line.count, flaw)}; {line.hidden}"
    if line.count == 0:
        return f"no {flaw}s on {units(line.n, noun)} (up to {figure(line.high)} a {noun})"
    plural = "" if figure(line.rate) == "1.0" else "s"
    ends = f"{figure(line.low)} to {figure(line.high)}, {units(line.n, noun)}"
    return f"{figure(line.rate)} {flaw}{plural} a {noun} ({ends})"


def sentence(
    lines: Sequence[Line],
    *,
    labels: Mapping[str, str] | None = None,
    noun: str = "van",
    flaw: str = "flaw",
    verb: str = "makes most",
) -> str:
    """Return what the plot of `lines` (highest rate first) says; `verb` is what the highest does.

    It names the highest, and whoever's interval reaches into that one's: an order that chance could turn round must not
    be read out as one.
    """
    shown = [line for line in lines if line.rate is not None]
    if not shown:
        return _nothing_to_say(lines)
    first, rest = shown[0], shown[1:]
    if first.count == 0:
        return f"Nothing was found: {line_words(first, noun=noun, flaw=flaw)}."
    name = _name(first, labels)
    text = f"{name[:1].upper()}{name[1:]} {verb}: {line_words(first, noun=noun, flaw=flaw)}."
    near = [_name(line, labels) for line in rest if line.high is not None and line.high >= (first.low or 0.0)]
    return f"{text} {_too_near(near)}".rstrip()


def _nothing_to_say(lines: Sequence[Line]) -> str:
    if not lines:
        return "Nothing has been counted in this period."
    return f"There is no rate to show yet: {lines[0].hidden}."


def _too_near(names: Sequence[str]) -> str:
    if not names:
        return ""
    listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    return f"It is too near to {listed} to tell them apart on these numbers."


def _name(line: Line, labels: Mapping[str, str] | None) -> str:
    return (labels or {}).get(line.key, line.key)
