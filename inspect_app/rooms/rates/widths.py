"""Whether a gap drifts: the measured gaps of each make and joint over the weeks, and a line through them."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from markupsafe import Markup

from inspect_app.journal.queries import rates as query
from inspect_app.rates.drift import Drift, Reading, drift
from inspect_app.trade.outline import Outline
from inspect_app.words import gettext as _
from inspect_app.words import midway, written
from inspect_app.words.figures import figure

WEEK = 7 * 24 * 3_600_000  # ms


@dataclass(frozen=True, kw_only=True)
class Joint:
    """One line: a make, a joint by its key and in words, and the line through its gaps."""

    make: str
    key: str
    joint: str
    line: Drift

    @property
    def figures(self) -> tuple[str, str, str, str]:
        """Mean, mm a week, and the two ends of its interval."""
        line = self.line
        return _mm(line.mean), _signed(line.slope), _signed(line.low), _signed(line.high)


@dataclass(frozen=True, kw_only=True)
class Widths:
    """The block: its sentence, the plot of its first line, all lines."""

    sentence: str
    plot: Markup
    lines: Sequence[Joint]


def widths(
    db: sqlite3.Connection, period: tuple[int, int], only: Mapping[str, str], outline: Outline, zone: tzinfo
) -> Widths | None:
    """Return the block, the surest drift first; None where no make and joint has gaps enough.

    `period`: ms; `only` narrows to keys; `outline`: names the joints; `zone`: the plant's, for the days under the plot.
    """
    found: dict[tuple[str, str], list[Reading]] = defaultdict(list)
    for row in query.gaps(db, *period, only):
        week = (row["made_at"] - period[0]) / WEEK
        found[row["make"], row["joint"]].append(Reading(week=week, mm=row["gap"] / 10))
    told = [
        (Joint(make=make, key=joint, joint=_named(outline, joint), line=line), readings)
        for (make, joint), readings in found.items()
        if (line := drift(readings)) is not None
    ]
    if not told:
        return None
    told.sort(key=lambda one: (not one[0].line.is_seen, -abs(one[0].line.slope), one[0].make, one[0].joint))
    first, readings = told[0]
    return Widths(
        sentence=_sentence(first),
        plot=_plot(first, readings, period[0], zone),
        lines=[one for one, _readings in told],
    )


def _named(outline: Outline, key: str) -> str:
    """A joint in words, with the view it is on; one that this outline does not have, by its id."""
    try:
        joint = outline.joint(key)
    except KeyError:
        return key
    view = next(one for one in outline.views if one.id == joint.view)
    return _("%(joint)s, %(view)s", joint=_(joint.label), view=midway(_(view.label)))


def _sentence(first: Joint) -> str:
    if not first.line.is_seen:
        return _("No gap is seen to drift.")
    by = {"make": first.make, "joint": first.joint, "n": first.line.n, "mm": figure(f"{abs(first.line.slope):.2f}")}
    if first.line.slope > 0:
        return _("%(make)s: the gap %(joint)s grows by %(mm)s mm a week (%(n)s gaps).", **by)
    return _("%(make)s: the gap %(joint)s shrinks by %(mm)s mm a week (%(n)s gaps).", **by)


def _plot(first: Joint, readings: Sequence[Reading], start: int, zone: tzinfo) -> Markup:
    from inspect_app.rates.drift_plot import Days, drift_plot

    ends = first.line.first[0], first.line.last[0]
    weeks = (ends[0], sum(ends) / 2, ends[1])
    labels = [
        (week, written.day_and_month(datetime.fromtimestamp((start + week * WEEK) / 1000, zone))) for week in weeks
    ]
    title = _("%(make)s: %(joint)s", make=first.make, joint=first.joint)
    days = Days(title=title, said=_sentence(first), labels=labels)
    return Markup(drift_plot(readings, first.line, days, ident="plot-widths"))  # noqa: S704


def _mm(value: float) -> str:
    return figure(f"{value:.1f}")


def _signed(value: float) -> str:
    """mm a week with its sign; nought has none."""
    text = f"{value:+.2f}"
    return figure("0.00" if float(text) == 0 else text.replace("-", "−"))
