"""Rows of what lies together on a part, and the verdicts of the markers in it."""

from __future__ import annotations

import json
import sqlite3

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.store import put

GONE = "UPDATE clusters SET gone = 1, n = ? WHERE unit = ? AND part = ? AND gone = 0"
ALONE = (
    "UPDATE markers SET verdict = alone_verdict, limit_text = alone_limit, alone_verdict = NULL, alone_limit = NULL, n = ?"
    " WHERE unit = ? AND part = ? AND alone_verdict IS NOT NULL"
)
TOGETHER = (
    "UPDATE markers SET alone_verdict = coalesce(alone_verdict, verdict), alone_limit = coalesce(alone_limit, limit_text),"
    " verdict = 'over', limit_text = ?, n = ? WHERE id = ?"
)


@projects("part_judged")
def part_judged(db: sqlite3.Connection, event: Stored) -> None:
    """Replace what was found on the part; a marker of a cluster is over, and one of none has its own verdict back."""
    part = event.body["part"]
    db.execute(GONE, (event.n, event.unit, part))
    db.execute(ALONE, (event.n, event.unit, part))
    for place, found in enumerate(event.body["findings"]):
        row = {**found, **{name: json.dumps(found[name]) for name in ("markers", "place")}}
        put(
            db,
            "clusters",
            {**row, "id": f"{event.id}:{place}", "unit": event.unit, "part": part, "gone": 0, "n": event.n},
        )
        if found["outcome"] == "over":
            db.executemany(TOGETHER, [(found["text"], event.n, marker) for marker in found["markers"]])
