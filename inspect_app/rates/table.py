"""From counts to the lines of a rates table: rate, interval, n, and how much of it is only assumed."""

from collections.abc import Iterable
from dataclasses import dataclass

from inspect_app.rates.poisson import garwood
from inspect_app.rates.words import units
from inspect_app.words import gettext as _

LEAST_UNITS = 5  # common practice, no source: below it a rate says more about the one van than about the work


@dataclass(frozen=True, kw_only=True)
class Row:
    """What was counted for one key (a department, a kind, a surface class).

    `exposure` is the number of units looked at; `assumed_count` of the `count` flaws have their key from the catalogue
    only, no person has judged it.
    """

    key: str
    count: int
    exposure: float
    assumed_count: int = 0


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of the table. `rate`, `low`, `high` are flaws a unit, None where `hidden` says why no rate is shown.

    `assumed` is the share (0 to 1) of the flaws whose key nobody judged, None when there are no flaws.
    """

    key: str
    count: int
    n: float
    rate: float | None
    low: float | None
    high: float | None
    assumed: float | None
    hidden: str | None


def lines(rows: Iterable[Row], *, confidence: float = 0.95, least: float = LEAST_UNITS) -> tuple[Line, ...]:
    """Return a line for each row, the highest rate first, those without a rate last, both then by key.

    Raises ValueError for a row that cannot be: a negative count, more assumed than counted.
    """
    made = [line(row, confidence=confidence, least=least) for row in rows]
    return tuple(sorted(made, key=lambda one: (one.rate is None, -(one.rate or 0.0), one.key)))


def line(row: Row, *, confidence: float = 0.95, least: float = LEAST_UNITS) -> Line:
    """Return the line of one row."""
    if not 0 <= row.assumed_count <= row.count:
        raise ValueError(f"'assumed_count' must be 0 to {row.count} (got {row.assumed_count}) for {row.key!r}")
    assumed = row.assumed_count / row.count if row.count else None
    hidden = why_hidden(row.exposure, least=least)
    if hidden is not None:
        return Line(
            key=row.key, count=row.count, n=row.exposure, rate=None, low=None, high=None, assumed=assumed, hidden=hidden
        )
    ends = garwood(row.count, row.exposure, confidence)
    return Line(
        key=row.key,
        count=row.count,
        n=row.exposure,
        rate=row.count / row.exposure,
        low=ends.low,
        high=ends.high,
        assumed=assumed,
        hidden=None,
    )


def why_hidden(exposure: float, *, least: float = LEAST_UNITS) -> str | None:
    """Return why no rate is shown for so few units, or None when there are enough."""
    if exposure >= least:
        return None
    if exposure <= 0:
        return _("no vans yet")
    return _("only %(vans)s, a rate needs %(least)s", vans=units(exposure), least=f"{least:g}")
