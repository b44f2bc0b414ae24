"""From markers to jobs: the method's steps, one department after the other, markers of one part and method together."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

import uuid_utils.compat as uuids

from inspect_app.journal.events import Incoming
from inspect_app.journal.store import one
from inspect_app.journal.ways import Ground, ground
from inspect_app.journal.writing import Writing
from inspect_app.trade.catalogue import Method

Follow = tuple[tuple[str, dict[str, Any]], ...]
Key = tuple[str, str, int]  # part, method, attempt


def plan(w: Writing, event: Incoming, unit: sqlite3.Row) -> Follow:
    """Plan jobs for every open marker of the unit that has none yet; observations (S5) need none.

    A marker said to be no flaw, or that nobody could find, waits for an inspector's word instead.
    """
    rows = w.db.execute(
        "SELECT * FROM markers m"
        " WHERE unit = ? AND state IN ('open', 'in_rework') AND planned = 0 AND severity <> 'S5' AND no_flaw IS NULL"
        " AND NOT EXISTS (SELECT 1 FROM questions q WHERE q.marker = m.id AND q.state = 'open' AND q.cause = 'spot_not_found')",
        (unit["id"],),
    )
    return plan_markers(w, event, [dict(row) for row in rows])


def plan_markers(w: Writing, event: Incoming, markers: Iterable[dict[str, Any]]) -> Follow:
    """Plan jobs for these markers (as their rows are, or will be): one `job_planned` event, or nothing.

    Where a marker's method is barred and nobody has said why it is done all the same, the mildest open one is planned.
    """
    groups: dict[Key, list[dict[str, Any]]] = defaultdict(list)
    on = None
    for marker in markers:
        if marker.get("severity") == "S5":
            continue  # an observation needs no work, whatever it was before
        on = on or ground(w, event)
        planned = _otherwise(on, marker)
        groups[(planned["part"], planned["method"], planned["attempt"])].append(planned)
    if not groups:
        return ()
    catalogue = w.catalogue(None)
    bodies = [
        (_joined(w, event, key, group) or _chain(catalogue.methods[key[1]], key, group))
        | _switched(catalogue.methods[key[1]], group)
        for key, group in groups.items()
    ]
    return (("job_planned", {"chains": bodies}),)


def _otherwise(on: Ground, marker: dict[str, Any]) -> dict[str, Any]:
    """The marker with the method that is planned for it, and, when that is not its own, what bars its own."""
    found = None if marker.get("method_reason") else on.ways(marker)
    bars = () if found is None else found.opened.barred.get(marker["method"], ())
    if found is None or not bars or not found.opened.open:
        return marker
    return {**marker, "method": found.opened.open[0], "was": marker["method"], "barred": "; ".join(bars)}


def _switched(method: Method, group: list[dict[str, Any]]) -> dict[str, Any]:
    told = [{"marker": one_["id"], "was": one_["was"], "barred": one_["barred"]} for one_ in group if "was" in one_]
    return {"switched": told, "to": method.key, "to_department": method.chain[0].department} if told else {}


def _joined(w: Writing, event: Incoming, key: Key, group: list[dict[str, Any]]) -> dict[str, Any] | None:
    part, method, attempt = key
    steps = w.catalogue(None).methods[method].chain
    # A chain with a step put before it is another way to work: what joined would go through that step too.
    row = one(
        w.db,
        "SELECT chain FROM jobs WHERE unit = ? AND part = ? AND method = ? AND attempt = ? AND step = 1 AND state = 'ready' AND waiting_what IS NULL"
        " AND steps = ? AND NOT EXISTS (SELECT 1 FROM jobs o WHERE o.chain = jobs.chain AND o.method <> jobs.method)",
        (event.unit, part, method, attempt, len(steps)),
    )
    if row is None:
        return None
    spots = sum(marker["count"] for marker in group)
    return {
        "chain": row["chain"],
        "joins": True,
        "markers": _ids(group),
        "more_minutes": [spots_minutes(step, spots) for step in steps],
    }


def spots_minutes(step: Any, spots: int) -> int:
    """Minutes a step takes for this many spots, without its set-up."""
    return int(step.minutes_spot) * min(spots, 12)


def _chain(method: Method, key: Key, group: list[dict[str, Any]]) -> dict[str, Any]:
    part, _, attempt = key
    spots = sum(marker["count"] for marker in group)
    reasons = [marker["returned_for"] for marker in group if marker.get("returned_for")]
    minutes = [step.minutes_base + spots_minutes(step, spots) for step in method.chain]
    return new_chain(method, part, int(attempt), minutes, _ids(group), "; ".join(reasons))


def new_chain(
    method: Method, part: str, attempt: int, minutes: Sequence[int], markers: Sequence[str], reason: str
) -> dict[str, Any]:
    """Return a chain of jobs as it is laid down, one for each step of its method, with the minutes of each."""
    jobs = [
        {
            "id": str(uuids.uuid7()),
            "department": step.department,
            "step": number,
            "text": step.text,
            "minutes": planned,
        }
        for number, (step, planned) in enumerate(zip(method.chain, minutes, strict=True), start=1)
    ]
    return {
        "chain": str(uuids.uuid7()),
        "joins": False,
        "part": part,
        "method": method.key,
        "attempt": attempt,
        "film": method.film,
        "jobs": jobs,
        "markers": list(markers),
        "reason": reason or None,
    }


def _ids(group: list[dict[str, Any]]) -> list[str]:
    return [marker["id"] for marker in group]


def leave(w: Writing, marker: str) -> dict[str, list[str]]:
    """Jobs a marker leaves when it no longer needs work, and those of them that have no marker left."""
    rows = w.db.execute(
        "SELECT j.id, (SELECT count(*) FROM job_markers o WHERE o.job = j.id AND o.left_out = 0) AS markers FROM job_markers m"
        " JOIN jobs j ON j.id = m.job WHERE m.marker = ? AND m.left_out = 0 AND j.state IN ('ready', 'taken', 'waiting')",
        (marker,),
    ).fetchall()
    return {"jobs": [row["id"] for row in rows], "cancel": [row["id"] for row in rows if row["markers"] == 1]}


def awaits_word(w: Writing, marker: sqlite3.Row) -> bool:
    """Tell whether an inspector has to say first whether, or where, there is anything to work on."""
    sql = "SELECT 1 FROM questions WHERE marker = ? AND state = 'open' AND cause = 'spot_not_found'"
    return marker["no_flaw"] is not None or one(w.db, sql, (marker["id"],)) is not None


def begun(w: Writing, marker: str) -> bool:
    """Tell whether anyone has taken or done a job of the marker's present attempt."""
    row = one(
        w.db,
        "SELECT 1 FROM job_markers m JOIN jobs j ON j.id = m.job JOIN markers k ON k.id = m.marker"
        " WHERE m.marker = ? AND m.left_out = 0 AND j.attempt = k.attempt AND (j.state = 'taken' OR j.done_at IS NOT NULL) LIMIT 1",
        (marker,),
    )
    return row is not None
