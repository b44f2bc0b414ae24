"""What a resolver may ask while it works out an event: rows of now, the catalogue, the outline, the lifecycle."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from inspect_app.journal.events import Incoming, Refusal
from inspect_app.journal.moment import Moment
from inspect_app.journal.store import one, value
from inspect_app.trade import catalogue as trade_catalogue
from inspect_app.trade import lifecycle
from inspect_app.trade import outline as trade_outline
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.lifecycle import Decision
from inspect_app.trade.outline import Outline
from inspect_app.words import N_
from inspect_app.words import gettext as _

NOT_KNOWN = {
    "concession": N_("This server does not know the concession named; it may have been refused before."),
    "job": N_("This server does not know the job named; it may have been refused before."),
    "marker": N_("This server does not know the marker named; it may have been refused before."),
    "photo": N_("This server does not know the photo named; it may have been refused before."),
    "question": N_("This server does not know the question named; it may have been refused before."),
    "timer": N_("This server does not know the timer named; it may have been refused before."),
    "walk": N_("This server does not know the walk named; it may have been refused before."),
}


class Flag(Exception):
    """Keep the event, change no state, ask a person."""

    def __init__(self, sentence: str):
        super().__init__(sentence)
        self.sentence = sentence


@dataclass
class Versions:
    """Catalogue and outline versions by hash, loaded once."""

    catalogues: dict[str, Catalogue]
    outlines: dict[str, Outline]

    def catalogue(self, db: sqlite3.Connection, key: str | None) -> Catalogue:
        """Load a catalogue version; None means the current one."""
        if key is None:
            key = value(db, "SELECT hash FROM catalogues WHERE current = 1")
        if key in self.catalogues:
            return self.catalogues[key]
        row = one(db, "SELECT hash, content FROM catalogues WHERE hash = ?", (key,))
        if row is None:
            raise Refusal(
                "unknown_catalogue", _("This server does not know the catalogue version named; reload the page.")
            )
        ours = trade_catalogue.builtin()  # read and checked when it was made, as most plants' versions are it
        read = ours if key == ours.hash else trade_catalogue.from_json(json.loads(row["content"]))
        return self.catalogues.setdefault(str(row["hash"]), read)

    def outline(self, db: sqlite3.Connection, key: str) -> Outline:
        """Load an outline version; the one that comes with the product was read and checked when it was made."""
        if key == trade_outline.builtin().hash:
            return trade_outline.builtin()
        if key not in self.outlines:
            row = one(db, "SELECT content FROM outlines WHERE hash = ?", (key,))
            if row is None:
                raise Refusal(
                    "unknown_outline", _("This server does not know the outline version named; reload the page.")
                )
            self.outlines[key] = trade_outline.load(row["content"])
        return self.outlines[key]


@dataclass
class Writing:
    """The writer's view while one event is worked out."""

    moment: Moment
    versions: Versions
    now: int
    table: lifecycle.Lifecycle
    _said: tuple[Incoming, Mapping[str, Any]] | None = None

    @property
    def db(self) -> sqlite3.Connection:
        """The writing connection."""
        return self.moment.db

    def catalogue(self, key: str | None) -> Catalogue:
        """A catalogue version; None means the current one."""
        held = self.moment.plant.catalogues
        if key not in held:
            held[key] = self.versions.catalogue(self.db, key)
        return held[key]

    def unit(self, event: Incoming) -> sqlite3.Row:
        """Read the unit of an event, but for its counts, or refuse."""
        row = self.moment.unit(event.unit)
        if row is None:
            raise Refusal("no_unit", _("This server does not know the unit; find it again on the floor."), 404)
        return row

    def counted(self, event: Incoming) -> sqlite3.Row:
        """Read the unit of an event with its counts brought up to now, or refuse."""
        self.unit(event)
        return self.moment.counted(event.unit)

    def part_of(self, event: Incoming, table: str, key: str, noun: str, columns: str = "*") -> sqlite3.Row:
        """Read a row that must belong to the event's unit, or refuse. `columns`, if named, have `unit` among them."""
        return self._own(event, one(self.db, f"SELECT {columns} FROM {table} WHERE id = ?", (key,)), noun)

    def _own(self, event: Incoming, row: sqlite3.Row | None, noun: str) -> sqlite3.Row:
        if row is None or row["unit"] != event.unit:
            raise Refusal(f"no_{noun}", _(NOT_KNOWN[noun]), 404)
        return row

    def walk(self, event: Incoming) -> sqlite3.Row:
        """Read the walk an event names, which must be of its unit, or refuse."""
        return self._own(event, self.moment.walk(event.body.walk), "walk")

    def marker(self, event: Incoming, key: str) -> sqlite3.Row:
        """Read a marker of the event's unit."""
        return self.part_of(event, "markers", key, "marker")

    def job(self, event: Incoming, key: str) -> sqlite3.Row:
        """Read a job of the event's unit."""
        return self.part_of(event, "jobs", key, "job")

    def facts(self, event: Incoming, **more: Any) -> Mapping[str, Any]:
        """Facts every guard may ask about the one who acts."""
        if self._said is None or self._said[0] is not event:
            reason = event.raw.get("reason") or (event.private or {}).get("reason")
            known = {"roles": event.roles, "departments": event.departments, "online": event.online, "reason": reason}
            self._said = event, known
        return {**self._said[1], **more} if more else self._said[1]

    def late(self, event: Incoming, unit: sqlite3.Row, **facts: Any) -> str | None:
        """Hold an event against its unit: None when in time, the sentence when it must be flagged; raises Refusal."""
        decision = self.table.decide("unit", event.type, unit["state"], self.facts(event, **facts))
        if decision.outcome == "refused":
            raise _refusal(decision)
        return decision.sentence if decision.outcome == "flagged" else None

    def hold(self, event: Incoming, entity: str, state: str, *, variant: str | None = None, **facts: Any) -> str:
        """Hold an event against the row of an entity and return the state after; raises Refusal or Flag."""
        name = f"{event.type}.{variant}" if variant else event.type
        decision = self.table.decide(entity, name, state, self.facts(event, **facts))
        if decision.outcome == "refused":
            raise _refusal(decision)
        if decision.outcome == "flagged" or decision.to is None:
            raise Flag(decision.sentence or _("This arrived too late."))
        return decision.to

    def asked(self, event: Incoming, sentence: str) -> bool:
        """Tell whether this person's tablet has an open question of the same kind, words and thing already."""
        sql = (
            "SELECT 1 FROM questions WHERE unit = ? AND state = 'open' AND cause = ? AND asked_by = ? AND text = ?"
            " AND marker IS ? AND job IS ?"
        )
        about = (event.raw.get("marker"), event.raw.get("job"))
        return one(self.db, sql, (event.unit, event.type, event.person, sentence, *about)) is not None

    def in_time(self, event: Incoming) -> sqlite3.Row:
        """Read the unit and raise Flag when the event comes after its signing."""
        unit = self.unit(event)
        sentence = self.late(event, unit)
        if sentence:
            raise Flag(sentence)
        return unit


def _refusal(decision: Decision) -> Refusal:
    status = 403 if decision.guard in {"roles", "not_fixer", "in_department", "not_asker", "own_job"} else 409
    return Refusal(decision.guard or "refused", decision.sentence or _("This is not possible now."), status)
