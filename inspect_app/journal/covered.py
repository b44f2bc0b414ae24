"""Which jobs a refinish of their part would paint over now: the rows of now, held against the rules of open methods."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable

from inspect_app.journal.queries.floor import under_paint
from inspect_app.journal.ways import Ground, Row
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline import Outline
from inspect_app.trade.repair_cover import RENEWING, spared


def covered(db: sqlite3.Connection, catalogue: Catalogue, outline: Callable[[str], Outline]) -> list[str]:
    """Return the jobs that wait for the paint of their part; `outline` gives one by its hash.

    What a new film may not go over yet, as bare metal, is not among them: then every method that renews is barred.
    """
    grounds: dict[str, Ground] = {}
    found: dict[str, bool] = {}
    for marker in under_paint(db, spared(catalogue.rule_book.selectors)):
        unit, job = marker["unit"], marker["job"]
        if unit not in grounds:
            grounds[unit] = Ground(db, unit, catalogue, outline(marker["drawn"]))
        found[job] = found.get(job, True) and _goes_under(grounds[unit], marker)
    return [job for job, under in found.items() if under]


def _goes_under(on: Ground, marker: Row) -> bool:
    ways = on.ways(marker)
    return ways is not None and any(method in RENEWING for method in ways.opened.open)
