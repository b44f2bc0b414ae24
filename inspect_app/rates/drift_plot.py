"""A plot of readings over weeks with the line through them, a small SVG of our own: only classes and `currentColor`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from math import ceil, floor

from inspect_app.rates.drift import Drift, Reading
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure as decimal

WIDTH, HEIGHT = 440, 250
LEFT, RIGHT, TOP, BOTTOM = 62, 428, 14, 212  # px, the field of the readings
MOST_STEPS = 5


@dataclass(frozen=True, kw_only=True)
class Days:
    """What stands under the plot: day labels with their week, the first and the last among them."""

    title: str
    said: str
    labels: Sequence[tuple[float, str]]


def drift_plot(readings: Sequence[Reading], line: Drift, days: Days, *, ident: str) -> str:
    """Return an `<svg>`: a dot for each reading (mm upwards, weeks to the right) and the line through them.

    `ident` makes the ids unique on the page. Text is escaped.
    """
    ticks = steps(min(one.mm for one in readings), max(one.mm for one in readings))
    first, last = days.labels[0][0], days.labels[-1][0]

    def x(week: float) -> float:
        return LEFT + (RIGHT - LEFT) * (week - first) / ((last - first) or 1)

    def y(mm: float) -> float:
        return BOTTOM - (BOTTOM - TOP) * (mm - ticks[0]) / (ticks[-1] - ticks[0])

    grid = "".join(
        f'<line class="rate-grid" x1="{LEFT}" x2="{RIGHT}" y1="{y(mm):.1f}" y2="{y(mm):.1f}" '
        f'stroke="currentColor" stroke-opacity="0.16"/>{_text(LEFT - 8, y(mm) + 5, "end", _mm(mm))}'
        for mm in ticks
    )
    last_label = len(days.labels) - 1
    under = "".join(
        _text(x(week), HEIGHT - 12, "start" if at == 0 else "end" if at == last_label else "middle", label)
        for at, (week, label) in enumerate(days.labels)
    )
    dots = "".join(
        f'<circle class="rate-reading" cx="{x(one.week):.1f}" cy="{y(one.mm):.1f}" r="3" fill-opacity="0.45"/>'
        for one in readings
    )
    (week1, mm1), (week2, mm2) = line.first, line.last
    drawn = (
        f'<line class="rate-drift" x1="{x(week1):.1f}" y1="{y(mm1):.1f}" x2="{x(week2):.1f}" y2="{y(mm2):.1f}" '
        'stroke="currentColor" stroke-width="2.5"/>'
    )
    name = escape(ident)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="rate-plot" role="img" viewBox="0 0 {WIDTH} {HEIGHT}" '
        f'aria-labelledby="{name}-t {name}-d" fill="currentColor" font-size="14">'
        f'<title id="{name}-t">{escape(days.title)}</title><desc id="{name}-d">{escape(days.said)}</desc>'
        f"{grid}{under}{dots}{drawn}</svg>"
    )


def steps(low: float, high: float) -> list[float]:
    """Return round values (mm) from one at or under `low` to one at or over `high`, six at most."""
    step = next(one for one in (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 1000) if (high - low) / one <= MOST_STEPS - 1)
    first = floor(low / step + 1e-9)
    last = max(ceil(high / step - 1e-9), first + 1)
    return [round(at * step, 6) for at in range(first, last + 1)]


def _mm(value: float) -> str:
    return _("%(n)s mm", n=decimal(f"{value:g}"))


def _text(x: float, y: float, anchor: str, text: str) -> str:
    return f'<text class="rate-tick" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(text)}</text>'
