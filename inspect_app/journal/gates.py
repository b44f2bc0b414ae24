"""The gates before a unit ships: held or not, what blocks each, and who can lift it."""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from inspect_app.journal import coverage, gates_read
from inspect_app.journal.blocks import Block
from inspect_app.journal.queries import parts
from inspect_app.journal.writing import Versions
from inspect_app.trade.catalogue import Gate
from inspect_app.words import N_
from inspect_app.words import gettext as _

SILENT_MS = 120_000  # a tablet that has this unit open reports every few seconds while it is in reach


@dataclass(frozen=True, kw_only=True)
class GateState:
    """A gate of a unit as it stands."""

    key: str
    label: str
    question: str
    held: bool
    blocks: tuple[Block, ...]
    confirmed_by: str | None = None
    confirmed_at: int | None = None
    lifted_by: tuple[str, ...] = ()
    words: str = ""  # what was written down when it was confirmed
    why: str = ""  # a person's reason why it counts all the same; it stays private

    def to_json(self) -> dict[str, Any]:
        """Shape it for the event, the page and the sheet."""
        return {
            "key": self.key,
            "label": self.label,
            "held": self.held,
            "by": self.confirmed_by,
            "at": self.confirmed_at,
            "blocks": [block.text for block in self.blocks],
            "words": self.words,
        }


def states(
    db: sqlite3.Connection, versions: Versions, unit: sqlite3.Row, *, now: int, but_tablet: str | None = None
) -> list[GateState]:
    """Work out every gate that is on by default. `but_tablet` is the one asking: it need not report to itself."""
    catalogue = versions.catalogue(db, None)
    confirmed = {
        row["gate"]: row
        for row in db.execute(
            "SELECT * FROM gates WHERE unit = ? AND tablet = '' AND state IN ('confirmed', 'failed')", (unit["id"],)
        )
    }
    tracked = bool(parts.of_unit(db, unit["id"]))
    found: list[GateState] = []
    for gate in catalogue.gates.values():
        if not gate.by_default:
            continue
        # The rack answers for the parts of a unit as soon as one came off it, and readings for what was read; nobody's
        # word does any longer.
        measured = gates_read.by_readings(db, unit["id"], gate.key)
        row = None if measured or (gate.key == "parts" and tracked) else confirmed.get(gate.key)
        if measured:
            blocks = tuple(gates_read.unread(db, unit["id"], gate.key))
        else:
            blocks = tuple(_blocks(db, versions, unit, gate, row, now=now, but_tablet=but_tablet))
        found.append(
            GateState(
                key=gate.key,
                label=_(gate.label),
                question=_(gate.question),
                held=not blocks,
                blocks=blocks,
                lifted_by=tuple(gate.lifted_by),
                confirmed_by=row["person"] if row else None,
                confirmed_at=row["at"] if row else None,
                words=(row["words"] or "") if row else "",
                why=(row["note"] or "") if row else "",
            )
        )
    return found


def _blocks(
    db: sqlite3.Connection,
    versions: Versions,
    unit: sqlite3.Row,
    asked: Gate,
    row: sqlite3.Row | None,
    *,
    now: int,
    but_tablet: str | None,
) -> Iterable[Block]:
    gate, catalogue = asked.key, versions.catalogue(db, None)
    if gate == "glass":
        yield from gates_read.curing(db, unit["id"], catalogue, now)
    if gate == "marks":
        yield from _marks(db, unit)
        yield from _questions(db, unit)
        yield from _silent(db, unit, now, but_tablet)
    elif gate == "coverage":
        yield from _coverage(db, versions, unit)
    elif gate == "parts" and parts.of_unit(db, unit["id"]):
        yield from _parts(db, unit)
    elif gate == "release":
        if unit["state"] != "signed":
            yield Block(
                text=_("not signed yet"), about="release", key=unit["id"], lifted_by=_("an inspector, by signing")
            )
    elif row is None:
        yield Block(
            text=_("not confirmed by a named person"),
            about="gate",
            key=gate,
            lifted_by=_("whoever checks it, by name"),
        )
    else:
        yield from gates_read.checked(db, unit["id"], gate, row, catalogue)


WAITS = {
    "open": N_("%(tag)s needs rework: %(words)s"),
    "in_rework": N_("%(tag)s is in rework: %(words)s"),
    "reworked": N_("%(tag)s waits for its second look: %(words)s"),
}
LIFTS = {
    "open": N_("its department"),
    "unplanned": N_("its department, once the walk is finished"),
    "in_rework": N_("its department"),
    "reworked": N_("an inspector who did not work on it"),
}


def _marks(db: sqlite3.Connection, unit: sqlite3.Row) -> Iterable[Block]:
    rows = db.execute(
        "SELECT id, tag, words, state, planned FROM markers WHERE unit = ? AND state IN ('open', 'in_rework', 'reworked') AND severity <> 'S5' ORDER BY made_at",
        (unit["id"],),
    )
    for row in rows:
        yield Block(
            text=_(WAITS[row["state"]], tag=row["tag"], words=row["words"]),
            about="marker",
            key=row["id"],
            lifted_by=_(LIFTS["unplanned" if row["state"] == "open" and not row["planned"] else row["state"]]),
        )
    for row in db.execute(
        "SELECT c.id, m.tag FROM concessions c JOIN markers m ON m.id = c.marker WHERE c.unit = ? AND c.state = 'asked'",
        (unit["id"],),
    ):
        yield Block(
            text=_("the concession for %(tag)s is not answered", tag=row["tag"]),
            about="concession",
            key=row["id"],
            lifted_by=_("a manager"),
        )


def _questions(db: sqlite3.Connection, unit: sqlite3.Row) -> Iterable[Block]:
    for row in db.execute(
        "SELECT id, text FROM questions WHERE unit = ? AND state = 'open' ORDER BY asked_at", (unit["id"],)
    ):
        yield Block(
            text=_("a question is open: %(question)s", question=row["text"]),
            about="question",
            key=row["id"],
            lifted_by=_("an inspector or a manager, by answering"),
        )


def silent_tablets(db: sqlite3.Connection, unit: str, now: int, but_tablet: str | None) -> list[sqlite3.Row]:
    """Tablets that opened the unit and have not reported since that nothing is left unsent on them."""
    return db.execute(
        "SELECT s.tablet, s.opened_at, t.name, t.letters FROM seen_by s JOIN tablets t ON t.id = s.tablet"
        " WHERE s.unit = ? AND s.tablet <> ? AND (s.reported_at < s.opened_at OR (s.reported_at > 0 AND s.held = 1 AND s.reported_at < ?))"
        " AND NOT EXISTS (SELECT 1 FROM gates g WHERE g.unit = s.unit AND g.gate = 'marks' AND g.tablet = s.tablet AND g.at > s.opened_at"
        " AND g.state = 'confirmed')",
        (unit, but_tablet or "", now - SILENT_MS),
    ).fetchall()


def _silent(db: sqlite3.Connection, unit: sqlite3.Row, now: int, but_tablet: str | None) -> Iterable[Block]:
    for row in silent_tablets(db, unit["id"], now, but_tablet):
        name = row["name"] or _("tablet %(letters)s", letters=row["letters"])
        yield Block(
            text=_("%(tablet)s has had this unit open and has not reported since", tablet=name),
            about="tablet",
            key=row["tablet"],
            lifted_by=_("its outbox, or a manager or inspector with a reason"),
        )


def _parts(db: sqlite3.Connection, unit: sqlite3.Row) -> Iterable[Block]:
    for row in parts.of_unit(db, unit["id"]):
        if row["state"] not in ("refitted", "put_back"):
            yield Block(
                text=_("%(piece)s is off the van", piece=_(row["label"])),
                about="part",
                key=row["id"],
                lifted_by=_("refitting it, its label read"),
            )


def _coverage(db: sqlite3.Connection, versions: Versions, unit: sqlite3.Row) -> Iterable[Block]:
    for row in db.execute("SELECT id, purpose FROM walks WHERE unit = ? AND state = 'walking'", (unit["id"],)):
        yield Block(
            text=_("the walk '%(purpose)s' is not finished", purpose=row["purpose"]),
            about="walk",
            key=row["id"],
            lifted_by=_("the inspector who walks it"),
        )
    on_the_rack = parts.zones_off(db, unit["id"])  # the gate of parts tells of them
    for zone, why in coverage.absent(unit).items():
        if why == "off" and zone not in on_the_rack:
            label = versions.outline(db, unit["outline"]).zone(zone).label
            yield Block(
                text=_("%(zone)s is off the van", zone=_(label)), about="zone", key=zone, lifted_by=_("refitting it")
            )
    missing = Counter(zone for zone, _lap in coverage.missing_of_unit(db, versions, unit))
    outline = versions.outline(db, unit["outline"])
    for zone in sorted(missing):
        yield Block(
            text=_("%(zone)s has not been looked at since the last work", zone=_(outline.zone(zone).label)),
            about="zone",
            key=zone,
            lifted_by=_("an inspector"),
            unlooked=True,
        )
