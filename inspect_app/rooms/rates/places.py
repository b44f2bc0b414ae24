"""Where marks are: by the station they were found at, by booth and sprayer, by part. Each with its n."""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from inspect_app.journal.queries import rates as query
from inspect_app.rates.table import LEAST_UNITS, Line, Row, lines
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.stations import furthest, stands_at
from inspect_app.words import gettext as _
from inspect_app.words import ngettext

MOST = 12  # parts in sight; a van has some fifty


@dataclass(frozen=True, kw_only=True)
class Place:
    """One table: what its lines tell apart, what its marks are divided by, and what stands outside it."""

    by: str
    title: str
    head: str
    of: str
    each: str
    lines: Sequence[Line]
    labels: Mapping[str, str]
    notes: Sequence[str]


def places(
    db: sqlite3.Connection,
    period: tuple[int, int],
    only: Mapping[str, str],
    catalogue: Catalogue,
    parts: Mapping[str, str],
    most: int | None = MOST,
) -> list[Place]:
    """Return the tables that have a line.

    `period`: ms; `only` narrows to keys; `parts`: labels by id; `most`: how many parts are told one by one.

    Marks on a part are divided by the parts that were painted, not by vans; those of a station by the vans that stood
    there when their first walk ended. What was not noted is said under its table, and in no line.
    """
    rows = [row for row in query.placed(db, *period) if all(row[by] == key for by, key in only.items())]
    vans = query.units(db, *period)
    paintings = query.paintings(db, *period)
    found = [
        _stations(rows, query.passed(db, *period), vans, catalogue),
        _painted("booth", rows, paintings, _("By booth, for each painted part"), _("Booth")),
        _painted("sprayer", rows, paintings, _("By sprayer, for each painted part"), _("Sprayer")),
        _parts(rows, vans, parts, most),
    ]
    return [one for one in found if one.lines]


def _sum(rows: Iterable[Any], by: str) -> Counter[str | None]:
    number: Counter[str | None] = Counter()
    for row in rows:
        number[row[by]] += row["flaws"]
    return number


def _lines(marks: Mapping[str | None, int], n: Mapping[str, int]) -> tuple[Line, ...]:
    return lines([Row(key=key, count=marks.get(key, 0), exposure=number) for key, number in n.items()])


def _stations(rows: Sequence[Any], passed: Mapping[str, set[str]], vans: int, catalogue: Catalogue) -> Place:
    at = Counter(stands_at(catalogue, furthest(catalogue, *of)) for of in passed.values())
    n = {key: number for key, number in at.items() if key is not None}
    marks = _sum(rows, "found_at")
    outside = sum(number for key, number in marks.items() if key not in n)
    return Place(
        by="station",
        title=_("By the station they were found at"),
        head=_("Station"),
        of=_("Vans there"),
        each=_("A van"),
        lines=_lines(marks, n),
        labels={key: _(one.label) for key, one in catalogue.stations.items()},
        notes=[one for one in (_unknown(vans - sum(n.values())), _elsewhere(outside)) if one],
    )


def _unknown(vans: int) -> str:
    said = ngettext("%(n)s van had passed no station.", "%(n)s vans had passed no station.", vans)
    return said if vans else ""


def _elsewhere(marks: int) -> str:
    said = ngettext(
        "%(n)s mark more was found where no van stood at the end of its walk.",
        "%(n)s marks more were found where no van stood at the end of its walk.",
        marks,
    )
    return said if marks else ""


def _painted(by: str, rows: Sequence[Any], paintings: Sequence[Any], title: str, head: str) -> Place:
    n: Counter[str] = Counter()
    labels = {row[by]: row["name" if by == "sprayer" else by] for row in paintings if row[by] is not None}
    for row in paintings:
        if row[by] is not None:
            n[row[by]] += row["parts"]
    on_painted = [row for row in rows if row["booth"] is not None]
    outside = sum(row["flaws"] for row in rows) - sum(row["flaws"] for row in on_painted if row[by] is not None)
    said = ngettext(
        "%(n)s mark is on a part of which this was not noted.",
        "%(n)s marks are on parts of which this was not noted.",
        outside,
    )
    return Place(
        by=by,
        title=title,
        head=head,
        of=_("Parts"),
        each=_("A part"),
        lines=_lines(_sum(on_painted, by), n),
        labels=labels,
        notes=[said] if outside else [],
    )


def _parts(rows: Sequence[Any], vans: int, labels: Mapping[str, str], most: int | None) -> Place:
    marks = _sum(rows, "part")
    made = _lines(marks, {key: vans for key in marks if key is not None})
    rest = () if most is None else made[most:]
    said = ngettext(
        "%(n)s part more has marks: %(marks)s.",
        "%(n)s parts more have marks: %(marks)s.",
        len(rest),
        marks=sum(one.count for one in rest),
    )
    return Place(
        by="part",
        title=_("By part"),
        head=_("Part"),
        of=_("Vans"),
        each=_("A van"),
        lines=made[:most],
        labels=labels,
        notes=[said] if rest else [],
    )  # fmt: skip


def too_few(least: float = LEAST_UNITS) -> str:
    """Why a line has no rate."""
    wanted = f"{least:g}"
    return _("too few: a rate needs %(least)s", least=wanted)
