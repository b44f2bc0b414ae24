"""From a checked event to the chain: told apart from what is known, worked out, hashed, stored, projected."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable
from typing import Any

import uuid_utils.compat as uuids

from inspect_app.journal import chain, project
from inspect_app.journal.events import PLANT, SERVER, Answer, Incoming, Refusal, Resolved, Stored, canonical
from inspect_app.journal.judging import Owed, judge
from inspect_app.journal.moment import Head, Moment, Remembered
from inspect_app.journal.resolve import RESOLVERS
from inspect_app.journal.speech import Speech
from inspect_app.journal.store import one, put
from inspect_app.journal.tally import Tally
from inspect_app.journal.writing import Flag, Versions, Writing
from inspect_app.trade import lifecycle
from inspect_app.words import gettext as _

LETTINGS = ("tablet_shut_out", "tablet_let_in", "person_changed")
INSERT = f"INSERT INTO events ({', '.join(chain.COVERED)}, hash) VALUES ({', '.join('?' * len(chain.COVERED))}, ?)"


class Appender:
    """Applies events one by one between the beginning and the end of a commit."""

    def __init__(self, versions: Versions, clock: Callable[[], int], speech: Speech):
        self._versions = versions
        self._speech = speech
        self._clock = clock
        self._table = lifecycle.builtin()
        self._plant = Remembered()
        self._tally: Tally | None = None
        self._moment: Moment
        self._writing: Writing
        self._owed = Owed()
        self._let: bool = False  # whether the commit at hand shuts a tablet or a person out, or lets one in
        self.lettings = 0
        """How many commits may have shut a tablet or a person out, or let one in."""

    def take_up(self, db: sqlite3.Connection) -> None:
        """Owe what a server that was killed had not judged yet."""
        self._owed.take_up(db)

    def begin(self, db: sqlite3.Connection, events: Iterable[Incoming]) -> None:
        """Open a commit that is going to write these events."""
        self._speech.begin(db)
        self._tally = self._tally or Tally(db)
        self._tally.begin()
        self._moment = Moment(db, self._tally, self._plant)
        self._writing = Writing(moment=self._moment, versions=self._versions, now=0, table=self._table)
        self._let = False
        self._moment.look_up(events)

    def end(self) -> None:
        """Write what is written once a commit."""
        self._moment.settle()
        self._owed.note(self._moment.db)

    def committed(self) -> None:
        """Tell those who read that the commit is there."""
        self.lettings += self._let

    def undone(self) -> None:
        """Forget what was remembered beyond the commit: it was undone."""
        self._plant.forget()
        self._tally = None
        self._owed.undone()

    @property
    def owes(self) -> float:
        """How long (s) verdicts on what lies together may wait: not beyond the end of a walk."""
        return self._owed.patience

    def following(self, db: sqlite3.Connection) -> list[Incoming]:
        """Return verdicts on what lies together now, where a commit has moved markers."""
        if not self._owed:
            return []
        self._speech.begin(db)
        found = judge(db, self._versions, self._owed.paid())
        return [server_event(f"unit:{unit}", "part_judged", body, now=self._clock()) for unit, body in found]

    def __call__(self, event: Incoming) -> Answer:
        """Answer one event. When something is raised, nothing of the commit can go on: it has to begin anew."""
        return self._answer(event)

    def undoable(self, event: Incoming) -> Answer:
        """Answer one event. Whatever is raised, the moment stands as before it, as the caller's savepoint does."""
        mark = self._moment.mark(event.stream)
        try:
            return self._answer(event)
        except BaseException:
            self._moment.back_to(mark)
            raise

    def _answer(self, event: Incoming) -> Answer:
        db = self._moment.db
        known = self._known(db, event) if event.id in self._moment.known else None
        if known is not None:
            return known
        self._moment.known.add(event.id)
        try:
            resolved = self._resolve(event)
        except Refusal as refusal:
            answer = refuse(db, event, refusal)
            return answer if event.asked_in is None else answer._replace(reason=self._to_reader(event, refusal))
        stored = self._store(db, event, resolved)
        self._project(db, stored)
        for event_type, body in resolved.follow:
            self._answer(self._following(event, event_type, body))
        return Answer(
            id=event.id, outcome=resolved.outcome, reason=resolved.reason, n=stored.n, resolved=resolved.values
        )

    def _project(self, db: sqlite3.Connection, stored: Stored) -> None:
        project.copy(db, stored)
        self._moment.written(stored)
        self._owed.written(stored)
        self._speech.written(stored)
        self._let = self._let or stored.type in LETTINGS
        if stored.stream != PLANT and self._moment.needs_count(stored):
            self._moment.count_later(stored.unit, stored.n)

    def _resolve(self, event: Incoming) -> Resolved:
        writing = self._writing
        writing.now = self._clock()
        try:
            return RESOLVERS[event.type](writing, event)
        except Flag as flag:
            if (
                event.online
            ):  # whoever is at a page of the server is told at once; there is nothing to keep and ask about
                raise Refusal("late", flag.sentence, 409) from None
            values = {"marker": getattr(event.body, "marker", None), "asks": not writing.asked(event, flag.sentence)}
            return Resolved(outcome="flagged", reason=flag.sentence, values=values)

    def _to_reader(self, event: Incoming, refusal: Refusal) -> str:
        """Say why to whoever waits at a page, in their language: judged once more, since judging writes nothing."""
        try:
            event.asked_in.run(self._resolve, event)  # type: ignore[union-attr]
        except Refusal as said:
            return said.reason if said.code == refusal.code else refusal.reason
        return refusal.reason

    def _known(self, db: sqlite3.Connection, event: Incoming) -> Answer | None:
        row = one(db, "SELECT n, sent_hash, outcome, reason, resolved FROM events WHERE id = ?", (event.id,))
        if row is not None and row["sent_hash"] == event.sent_hash:
            return Answer(
                id=event.id,
                outcome=row["outcome"],
                reason=row["reason"],
                n=row["n"],
                resolved=json.loads(row["resolved"]),
            )
        if row is not None:
            return refuse(
                db,
                event,
                Refusal(
                    "id_reused",
                    _("Another event with this id and other words was accepted before; nothing was changed."),
                ),
            )
        past = one(db, "SELECT code, reason FROM refused WHERE id = ? AND sent_hash = ?", (event.id, event.sent_hash))
        return (
            None if past is None else Answer(id=event.id, outcome="refused", code=past["code"], reason=past["reason"])
        )

    def _store(self, db: sqlite3.Connection, event: Incoming, resolved: Resolved) -> Stored:
        before = self._moment.head(event.stream)
        seq, prev = before.seq + 1, before.hash
        private = canonical(event.private) if event.private else None
        salt, private_hash = chain.seal_private(private) if private else (None, None)
        covered = (
            event.id,
            event.stream,
            seq,
            event.type,
            event.tablet,
            event.seq,
            event.ticket,
            event.person,
            event.at,
            event.offset,
            event.received_at,
            event.catalogue,
            event.outline,
            event.text,
            canonical(resolved.values),
            resolved.outcome,
            resolved.reason,
            event.sent_hash,
            private_hash,
            prev,
        )
        hashed = chain.covered_hash(covered)
        n = db.execute(INSERT, (*covered, hashed)).lastrowid or 0
        if private:
            put(db, "private", {"event": event.id, "salt": salt, "content": private})
        self._moment.grown(event.stream, Head(seq, hashed))
        # By place, in the order of Stored: by name it takes twice as long.
        return Stored(
            n, event.id, event.stream, event.type, event.tablet, event.ticket, event.person, event.at, event.received_at,
            event.raw, resolved.values, resolved.outcome, resolved.reason, event.private or {},
        )  # fmt: skip

    def _following(self, cause: Incoming, event_type: str, body: dict[str, Any]) -> Incoming:
        return server_event(cause.stream, event_type, body, now=cause.received_at, cause=cause)


def server_event(
    stream: str, event_type: str, body: dict[str, Any], *, now: int, cause: Incoming | None = None
) -> Incoming:
    """Make an event whose author is the server itself."""
    key, text = str(uuids.uuid7()), canonical(body)
    return Incoming(
        id=key,
        stream=stream,
        type=event_type,
        tablet=SERVER,
        seq=0,
        ticket=SERVER,
        person=SERVER,
        roles=frozenset(),
        departments=frozenset(),
        at=now,
        offset=0,
        received_at=now,
        catalogue=cause.catalogue if cause else None,
        outline=cause.outline if cause else None,
        raw=body,
        text=text,
        body=None,
        private=None,
        sent_hash=chain.digest(canonical([key, event_type]) + text),
        online=True,
    )


def refuse(db: sqlite3.Connection, event: Incoming, refusal: Refusal) -> Answer:
    """Keep a refused event outside the chain, with its reason."""
    db.execute(
        "INSERT OR IGNORE INTO refused (id, sent_hash, stream, type, tablet, person, at, received_at, code, reason, body)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            event.id,
            event.sent_hash,
            event.stream,
            event.type,
            event.tablet,
            event.person,
            event.at,
            event.received_at,
            refusal.code,
            refusal.reason,
            event.text[:20_000],
        ),
    )
    return Answer(id=event.id, outcome="refused", code=refusal.code, reason=refusal.reason)
