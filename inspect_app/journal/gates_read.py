"""What blocks a gate that goes by what was read or written down: water and glass after work on a seal, and readings."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass

from inspect_app.journal.blocks import Block
from inspect_app.journal.queries import readings, setup
from inspect_app.trade import gate_values
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline_model import part_label
from inspect_app.words import gettext as _
from inspect_app.words import ngettext

READ = {"film": ("film", "adhesion"), "colour": ("colour",), "gaps": ("gap",)}
"""What is read at a gate, by its key. As soon as one of it was read, or is asked for, readings answer for the gate."""
DECIDED = ("conceded", "accepted")
MINUTE = 60_000


def on_seals(catalogue: Catalogue) -> set[str]:
    """Methods whose work undoes looks at seals beyond the spot: after them water is let on the van again."""
    return {
        method.key
        for method in catalogue.methods.values()
        if "seal" in method.voids.laps and method.voids.scope != "zone"
    }


def _seal_work(db: sqlite3.Connection, unit: str, catalogue: Catalogue, since: int) -> list[sqlite3.Row]:
    sql = (
        "SELECT w.at, w.method, w.n, m.part, m.tag FROM work w JOIN markers m ON m.id = w.marker"
        " WHERE w.unit = ? AND w.at > ? ORDER BY w.at DESC"
    )
    methods = on_seals(catalogue)
    return [row for row in db.execute(sql, (unit, since)) if row["method"] in methods]


def checked(db: sqlite3.Connection, unit: str, gate: str, row: sqlite3.Row, catalogue: Catalogue) -> Iterator[Block]:
    """Blocks of a gate that was confirmed: its values say no, or a seal was worked on since."""
    asked = gate_values.asked(gate, catalogue.rule_book.gate_values)
    if row["state"] == "failed":
        yield Block(
            text=_("it did not hold: %(words)s", words=row["words"]),
            about="check",
            key=gate,
            lifted_by=_("whoever checks it again, by name"),
        )
    elif asked is not None and asked.retest:
        for work in _seal_work(db, unit, catalogue, row["at"])[:1]:
            method = catalogue.methods[work["method"]].label
            yield Block(
                text=_(
                    "work on a seal came after it (%(tag)s, %(method)s); it has to be tested again",
                    tag=work["tag"],
                    method=_(method),
                ),
                about="retest",
                key=gate,
                lifted_by=_("whoever tests it again, by name"),
            )
            return
        # What was known when it was confirmed was asked then; work that came from a tablet afterwards was not.
        for one in [one for one in uncured(db, unit, catalogue, row["at"]) if one.n > row["n"]][:1]:
            yield Block(
                text=ngettext(
                    "%(part)s had %(n)s minute of its cure left when it was tested; it has to be tested again",
                    "%(part)s had %(n)s minutes of its cure left when it was tested; it has to be tested again",
                    one.left(row["at"]),
                    part=_(part_label(one.part)),
                ),
                about="retest",
                key=gate,
                lifted_by=_("whoever tests it again, by name"),
            )


@dataclass(frozen=True, kw_only=True)
class Uncured:
    """A part with a bond or seal whose cure has not passed: until when (ms), and the count of the event of the work."""

    part: str
    until: int
    n: int

    def left(self, at: int) -> int:
        """Minutes of the cure that are left at a time, begun ones too."""
        return -(-(self.until - at) // MINUTE)


def uncured(db: sqlite3.Connection, unit: str, catalogue: Catalogue, at: int) -> list[Uncured]:
    """Bonds and seals laid before a time whose cure had not passed then, the last to cure of each part."""
    found: dict[str, Uncured] = {}
    for work in _seal_work(db, unit, catalogue, 0):
        until = work["at"] + catalogue.methods[work["method"]].wait_minutes * MINUTE
        last = found.get(work["part"])
        if work["at"] <= at < until and (last is None or last.until < until):
            found[work["part"]] = Uncured(part=work["part"], until=until, n=work["n"])
    return list(found.values())


def curing(db: sqlite3.Connection, unit: str, catalogue: Catalogue, now: int) -> Iterator[Block]:
    """Bonds and seals whose cure has not passed yet, one block each part."""
    for one in uncured(db, unit, catalogue, now):
        yield Block(
            text=ngettext(
                "%(part)s: what holds it cures for %(n)s minute more",
                "%(part)s: what holds it cures for %(n)s minutes more",
                one.left(now),
                part=_(part_label(one.part)),
            ),
            about="cure",
            key=one.part,
            lifted_by=_("time"),
        )


def by_readings(db: sqlite3.Connection, unit: str, gate: str) -> bool:
    """Whether readings answer for a gate: one was taken, or the plant asks for some."""
    return gate in READ and (setup.readings_asked(db, gate) > 0 or bool(_latest(db, unit, gate)))


def _latest(db: sqlite3.Connection, unit: str, gate: str) -> list[sqlite3.Row]:
    return [row for row in readings.latest(readings.of_unit(db, unit)) if row["what"] in READ[gate]]


def unread(db: sqlite3.Connection, unit: str, gate: str) -> Iterator[Block]:
    """Readings that did not pass, each until it is read again or its marker is conceded; and how many are missing."""
    latest = _latest(db, unit, gate)
    for row in latest:
        if row["outcome"] == "over" and not _settled(db, row):
            text = f"{row['label']}: {row['text']}" if row["label"] else str(row["text"])
            yield Block(text=text, about="reading", key=row["id"], lifted_by=_("whoever reads it again"))
    first = READ[gate][0]
    missing = setup.readings_asked(db, gate) - sum(
        row["what"] == first and row["outcome"] != "unmeasured" for row in latest
    )
    if missing > 0:
        yield Block(
            text=ngettext("%(n)s reading is missing", "%(n)s readings are missing", missing),
            about="readings",
            key=first,
            lifted_by=_("whoever reads them"),
        )


def _settled(db: sqlite3.Connection, row: sqlite3.Row) -> bool:
    marker = readings.marker(db, row["marker"]) if row["led_to"] == "opened" else None
    return marker is not None and marker["state"] in DECIDED
