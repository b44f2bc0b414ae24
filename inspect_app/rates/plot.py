"""A plot of rates with their intervals, as a small SVG of our own.

It carries no style attributes and no style sheet, only classes and `currentColor`, so that it obeys a strict content
security policy and takes its colours from the page, dark or light. The classes: rate-plot, rate-grid, rate-tick,
rate-label, rate-figure, rate-soft, rate-range, rate-end, rate-dot, rate-hidden, rate-row. The presentation attributes
are what shows where a style sheet says nothing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

from inspect_app.rates.scale import Scale, round_scale
from inspect_app.rates.table import Line
from inspect_app.rates.words import figure, line_words, units
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure as decimal

_LETTER = 7.3  # px, about the mean width of a letter at 14 px in a system typeface
_NARROW = 520
_AXIS = 30
_ENDS = 164  # px, room for "11.0 to 12.6, 1070 vans" behind the rate, and a gap
_ENDS_ALONE = 118  # px, room for "0.0036 to 0.80" and a gap
_FIGURE = 42  # px, room for the rate itself, and a gap


@dataclass(frozen=True, kw_only=True)
class Layout:
    """Where things go, in px. Wide: label, bar and figures side by side. Narrow: label and figures above the bar."""

    width: float
    left: float
    right: float
    row: float
    bar: float
    text: float
    ends: float
    top: float = 8.0

    @property
    def narrow(self) -> bool:
        """Return whether label and figures stand above the bar."""
        return self.width < _NARROW

    @property
    def span(self) -> float:
        """Return the length of the number line."""
        return self.right - self.left


@dataclass(frozen=True, kw_only=True)
class Words:
    """How the plot names things: its title and the labels of the keys."""

    title: str
    labels: Mapping[str, str]

    def label(self, line: Line) -> str:
        """Return the label of the line's key."""
        return self.labels.get(line.key, line.key)

    def whole(self, line: Line) -> str:
        """Return the line in words, its label first."""
        return f"{self.label(line)}: {line_words(line)}"


def interval_plot(lines: Sequence[Line], words: Words, *, ident: str, width: int = 720) -> str:
    """Return an `<svg>` of one row a line: a bar from low to high, a dot at the rate, the figures beside it.

    `ident` makes the ids unique on the page; `width` (px) below 520 gives the layout for a telephone. Text is escaped.
    """
    together = _together(lines)
    layout = _layout(lines, words, width, _ENDS if together is None else _ENDS_ALONE)
    scale = round_scale(max((line.high or 0.0 for line in lines), default=0.0), 4 if layout.narrow else 6)
    height = layout.top + layout.row * len(lines) + _AXIS
    rows = "".join(_row(line, words, layout, scale, at, alike=together is not None) for at, line in enumerate(lines))
    name = escape(ident)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="rate-plot" role="img" viewBox="0 0 {width} {height:g}" '
        f'aria-labelledby="{name}-t {name}-d" fill="currentColor" font-size="14">'
        f'<title id="{name}-t">{escape(words.title)}</title>'
        f'<desc id="{name}-d">{escape(described(lines, words))}</desc>'
        f"{_grid(layout, scale, len(lines))}{_ticks(layout, scale, height - 7, together)}{rows}</svg>"
    )


def described(lines: Sequence[Line], words: Words) -> str:
    """Return the whole plot in words, for who cannot see it."""
    return ". ".join(words.whole(line) for line in lines) + "." if lines else _("Nothing was counted.")


def _together(lines: Sequence[Line]) -> float | None:
    """The vans that all rates of a plot are of; None where they differ. Said once, not on each row."""
    found = {line.n for line in lines if line.rate is not None}
    return found.pop() if len(found) == 1 and len(lines) > 1 else None


def _layout(lines: Sequence[Line], words: Words, width: int, ends: float) -> Layout:
    if width < _NARROW:
        return Layout(width=width, left=10, right=width - 12, row=50, bar=34, text=17, ends=ends)
    longest = max((len(words.label(line)) for line in lines), default=0)
    left = min(max(longest * _LETTER + 22, 90), width * 0.34)
    return Layout(width=width, left=left, right=width - 214, row=34, bar=17, text=22, ends=ends)


def _grid(layout: Layout, scale: Scale, count: int) -> str:
    """Wide: lines from top to bottom. Narrow: only beside the bars, or they would run through the words above them."""
    top = layout.top
    spans = [(top, top + layout.row * count)]
    if layout.narrow:
        middles = [top + layout.row * at + layout.bar for at in range(count)]
        spans = [(middle - 9, middle + 9) for middle in middles]
    return "".join(
        _line("rate-grid", (x, x), span, f'stroke-opacity="{0.45 if x == layout.left else 0.16}"')
        for x in (scale.at(tick, layout.left, layout.span) for tick in scale.ticks)
        for span in spans
    )


def _ticks(layout: Layout, scale: Scale, y: float, together: float | None) -> str:
    parts = [
        _text("rate-tick", scale.at(tick, layout.left, layout.span), y, "middle", decimal(f"{tick:g}"), soft=True)
        for tick in scale.ticks
    ]
    if not layout.narrow:
        said = _("marks a van") if together is None else _("marks a van, %(vans)s", vans=units(together))
        parts.append(_text("rate-tick", layout.right + 22, y, "start", said, soft=True))
    return "".join(parts)


def _row(line: Line, words: Words, layout: Layout, scale: Scale, at: int, *, alike: bool) -> str:
    top = layout.top + layout.row * at
    free = layout.right - layout.ends - _FIGURE - layout.left if layout.narrow else layout.left - 14
    room = int(free / _LETTER)
    x, anchor = (layout.left, "start") if layout.narrow else (layout.left - 12, "end")
    label = _text("rate-label", x, top + layout.text, anchor, _short(words.label(line), room))
    figures = _figures(line, layout, top + layout.text, alike=alike)
    bar = _bar(line, layout, scale, top + layout.bar)
    return f'<g class="rate-row"><title>{escape(words.whole(line))}</title>{label}{figures}{bar}</g>'


def _figures(line: Line, layout: Layout, y: float, *, alike: bool) -> str:
    """The rate ends where the range begins, so that the figures of all rows stand in columns."""
    ends_x = layout.right if layout.narrow else layout.right + 60
    anchor = "end" if layout.narrow else "start"
    if line.rate is None or line.low is None or line.high is None:
        x = layout.right if layout.narrow else layout.right + 22
        return _text("rate-hidden", x, y, anchor, line.hidden or "", soft=True)
    reach = {"low": figure(line.low), "high": figure(line.high)}
    ends = (
        _("%(low)s to %(high)s", **reach) if alike else _("%(low)s to %(high)s, %(vans)s", **reach, vans=units(line.n))
    )
    rate_x = ends_x - layout.ends if layout.narrow else ends_x - 8
    rate = _text("rate-figure", rate_x, y, "end", figure(line.rate))
    return rate + _text("rate-soft", ends_x, y, anchor, ends, soft=True)


def _bar(line: Line, layout: Layout, scale: Scale, y: float) -> str:
    """The range is a soft thick stroke with firm ends: how far it reaches matters as much as the dot."""
    if line.rate is None or line.low is None or line.high is None:
        return ""
    low, dot, high = (scale.at(value, layout.left, layout.span) for value in (line.low, line.rate, line.high))
    ends = "".join(_line("rate-end", (x, x), (y - 6, y + 6), 'stroke-width="1.5"') for x in (low, high))
    reach = _line("rate-range", (low, high), (y, y), 'stroke-width="8" stroke-opacity="0.28"')
    return f'{reach}{ends}<circle class="rate-dot" cx="{dot:.1f}" cy="{y:g}" r="5"/>'


def _line(name: str, across: tuple[float, float], down: tuple[float, float], more: str) -> str:
    place = f'x1="{across[0]:.1f}" x2="{across[1]:.1f}" y1="{down[0]:g}" y2="{down[1]:g}"'
    return f'<line class="{name}" {place} stroke="currentColor" {more}/>'


def _text(name: str, x: float, y: float, anchor: str, text: str, *, soft: bool = False) -> str:
    look = ' font-size="12" fill-opacity="0.78"' if soft else ' font-weight="600"' if name == "rate-figure" else ""
    return f'<text class="{name}" x="{x:.1f}" y="{y:g}" text-anchor="{anchor}"{look}>{escape(text)}</text>'


def _short(text: str, letters: int) -> str:
    return text if len(text) <= letters else text[: max(letters - 1, 1)].rstrip() + "…"
