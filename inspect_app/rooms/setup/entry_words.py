"""One entry of a tablet's outbox in words, for a manager to judge. Forged ones are read as well."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from inspect_app.journal.events import printable
from inspect_app.journal.queries import people, tablets
from inspect_app.journal.queries.versions import current_catalogue, has_outline
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.json_in import as_sent
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline import Outline
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure
from inspect_app.words.spans import minutes_words

CALLED = {
    "walk_started": N_("Walk begun"),
    "walk_finished": N_("Walk finished"),
    "zone_looked": N_("Zone looked at"),
    "look_undone": N_("Look undone"),
    "marker_made": N_("Marker"),
    "marker_amended": N_("Change of a marker"),
    "marker_withdrawn": N_("Withdrawal"),
    "marker_joined": N_("Joining of doubles"),
    "marker_accepted": N_("Acceptance"),
    "marker_cleared": N_("Clearance"),
    "marker_sent_back": N_("Sent back"),
    "put_right_here": N_("Put right here"),
    "no_flaw_proposed": N_("No flaw proposed"),
    "no_flaw_decided": N_("No flaw decided"),
    "origin_revised": N_("Department of origin"),
    "photo_added": N_("Photo"),
    "photo_marked": N_("Drawn on a photo"),
    "photo_removed": N_("Photo removed"),
    "marks_released": N_("Marks released to rework"),
    "job_taken": N_("Job taken"),
    "job_handed_back": N_("Job handed back"),
    "job_rerouted": N_("Job sent to another department"),
    "step_inserted": N_("Step added"),
    "spot_not_found": N_("Spot not found"),
    "timer_started": N_("Safety timer started"),
    "timer_ended": N_("Safety timer ended"),
    "waiting_for": N_("Waiting for a part"),
    "work_done": N_("Step done"),
    "concession_asked": N_("Concession asked for"),
    "zones_absent": N_("Zones not on the van"),
}


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What is told of one entry: what it is, of which van, by whom and when (ms UTC), as far as it can be told."""

    title: str
    six: str = ""
    detail: str = ""
    by: str = ""
    at: int | None = None


class Teller:
    """Tells entries; reads catalogue, outline and names once."""

    def __init__(self) -> None:
        self._db: sqlite3.Connection = reader()
        self._names = people.names(self._db)
        self._catalogue: Catalogue = journal().catalogue(current_catalogue(self._db))

    def kept(self, row: Mapping[str, Any] | sqlite3.Row) -> Entry:
        """Tell a row of what was refused; its body is the whole entry, or the body of the event alone."""
        whole = as_sent(row["body"])
        sent = whole if isinstance(whole.get("body"), dict) else {"body": whole}
        told = {**sent, "stream": row["stream"] or sent.get("stream"), "type": row["type"] or sent.get("type")}
        return self.sent(told, person=row["person"], at=row["at"])

    def sent(self, event: Mapping[str, Any], *, person: str | None, at: int | None = None) -> Entry:
        """Tell an event as a tablet sends it. `person` is the author as far as it is proved."""
        kind, body = _text(event.get("type")), event.get("body")
        body = body if isinstance(body, dict) else {}
        unit = _text(event.get("stream")).removeprefix("unit:")
        private = event.get("private")
        note = _text(private.get("note") or private.get("reason")) if isinstance(private, dict) else ""
        return Entry(
            title=_called(kind),
            six=tablets.last_six(self._db, unit) or "",
            detail=", ".join(filter(None, [*self._about(body, _text(event.get("outline"))), note])),
            by=self._names.get(person or "", ""),
            at=at if at is not None else _moment(event),
        )

    def _about(self, body: Mapping[str, Any], outline: str) -> list[str]:
        catalogue = self._catalogue
        found = [
            _text(body.get("tag")) or tablets.tag(self._db, _text(body.get("marker"))) or "",
            _label(catalogue.kinds, body.get("kind")),
            self._zone(_text(body.get("zone")), outline) or self._spot(body, outline),
            self._job(_text(body.get("job"))),
            _label(catalogue.departments, body.get("department") or body.get("origin")),
        ]
        if isinstance(body.get("size"), int) and body["size"]:
            found.append(_("%(n)s mm", n=figure(f"{body['size'] / 10:g}")))
        if isinstance(body.get("minutes"), int):
            found.append(minutes_words(body["minutes"]))
        keys = [_(word) for word in (_text(body.get(key)) for key in ("purpose", "how")) if word]
        return [*found, *keys, *(_text(body.get(key)) for key in ("reason", "what"))]

    def _zone(self, key: str, outline: str) -> str:
        if not key or not outline or not has_outline(self._db, outline):
            return key
        drawn: Outline = journal().outline(outline)
        try:
            return _(drawn.zone(key).label)
        except KeyError:
            return key

    def _spot(self, body: Mapping[str, Any], outline: str) -> str:
        """The zone a spot lies in, or the view alone."""
        view, x, y = _text(body.get("view")), body.get("x"), body.get("y")
        if not (isinstance(x, int) and isinstance(y, int) and abs(x) + abs(y) < 10**6):
            return view
        if not outline or not has_outline(self._db, outline):
            return view
        try:
            found = journal().outline(outline).locate(view, x, y)
        except KeyError:
            return view
        return _(found.label) if found else view

    def _job(self, key: str) -> str:
        row = tablets.job(self._db, key) if key else None
        return "" if row is None else _label(self._catalogue.methods, row["method"])


def _called(kind: str) -> str:
    if kind in CALLED:
        return _(CALLED[kind])
    return kind.replace("_", " ").capitalize()[:60] or _("Something that cannot be read")


def _label(rows: Mapping[str, Any], key: object) -> str:
    found = rows.get(_text(key))
    return _(str(found.label)) if found is not None else _text(key).replace("_", " ")


def _text(value: object) -> str:
    """A text of an entry, cut; whatever is no text is left out."""
    return printable(value)[:200] if isinstance(value, str) else ""


def _moment(event: Mapping[str, Any]) -> int | None:
    at, offset = event.get("at"), event.get("offset", 0)
    good = isinstance(at, int) and isinstance(offset, int) and 0 <= at + offset < 4_000_000_000_000
    return at + offset if good else None
