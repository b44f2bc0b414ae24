"""Which vans have more: by make, by the day of their first walk, by who walked it. Each with its n."""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, tzinfo
from typing import Any

from inspect_app.journal.queries import rates as query
from inspect_app.rates.table import Row, lines
from inspect_app.rooms.rates.places import Place
from inspect_app.words import gettext as _
from inspect_app.words import written


def of_vans(db: sqlite3.Connection, period: tuple[int, int], only: Mapping[str, str], zone: tzinfo) -> list[Place]:
    """Return the tables that tell vans apart; one that has a single line tells nothing and is left out.

    `period`: ms; `only` narrows to keys; `zone`: the plant's, in which a day begins.
    """
    rows = query.walked(db, *period, only)
    ended = {row["unit"]: datetime.fromtimestamp(row["ended"] / 1000, zone) for row in rows}
    days = {str(then.weekday()): written.weekday(then) for then in ended.values()}
    people = {row["person"]: row["name"] or _("somebody") for row in rows}
    seen = _("Who marks less has walked better vans or seen less; what the second look finds tells which.")
    found = [
        _place("make", rows, lambda row: str(row["make"]), {}, (_("By make"), _("Make"), "")),
        _place(
            "day",
            rows,
            lambda row: str(ended[row["unit"]].weekday()),
            days,
            (_("By the day the first walk ended"), _("Day"), ""),
        ),
        _place(
            "inspector",
            rows,
            lambda row: str(row["person"]),
            people,
            (_("By inspector of the first walk"), _("Inspector"), seen),
        ),
    ]
    return [one for one in found if len(one.lines) > 1]


def _place(
    by: str, rows: Sequence[Any], key: Callable[[Any], str], labels: Mapping[str, str], words: tuple[str, str, str]
) -> Place:
    n, marks = Counter(key(row) for row in rows), Counter[str]()
    for row in rows:
        marks[key(row)] += row["flaws"]
    title, head, note = words
    return Place(
        by=by,
        title=title,
        head=head,
        of=_("Vans"),
        each=_("A van"),
        lines=lines([Row(key=one, count=marks[one], exposure=number) for one, number in n.items()]),
        labels=labels,
        notes=[note] if note else [],
    )
