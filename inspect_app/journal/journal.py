"""The journal: opens a data folder, takes events in, hands out readers."""

from __future__ import annotations

import json
import logging
import secrets
import sqlite3
import time
from collections.abc import Callable, Collection, Iterable, Sequence
from contextlib import ExitStack, closing
from contextvars import copy_context
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import uuid_utils.compat as uuids

from inspect_app.journal import aside, chain, sought, store
from inspect_app.journal.append import Appender, server_event
from inspect_app.journal.bodies import ONLINE_ONLY
from inspect_app.journal.events import (
    PLANT,
    Answer,
    Envelope,
    Incoming,
    Refusal,
    canonical,
    read_body,
    read_envelope,
)
from inspect_app.journal.folder import Folder
from inspect_app.journal.notes import Statement
from inspect_app.journal.queries import people, versions
from inspect_app.journal.speech import Speech
from inspect_app.journal.starting import starting_catalogue
from inspect_app.journal.tickets import Ticket, TicketOffice, secret
from inspect_app.journal.writer import Note, Writer
from inspect_app.journal.writing import Versions
from inspect_app.trade import catalogue, outline
from inspect_app.words import gettext as _

__all__ = ["PLANT", "Journal", "now_ms"]
log = logging.getLogger("lampwalk.journal")
ON_A_WORD = frozenset({"too_late", "shut_out", "has_left"})  # what a manager may take all the same


def now_ms() -> int:
    """Milliseconds UTC."""
    return time.time_ns() // 1_000_000


class Journal:
    """One open data folder. Use as a context manager or call `close`.

    Without `lasting` an answer does not wait for the disk, only `close` does: for a plant that is made anew if the power
    fails meanwhile, never for one that people work in.
    """

    def __init__(self, path: Path | str, *, clock: Callable[[], int] = now_ms, lasting: bool = True):
        self.clock = clock
        self.folder = Folder(path)
        self.folder.own()
        with ExitStack() as undone:
            undone.callback(self.folder.release)
            writes = undone.enter_context(closing(store.connect(self.folder.database, lasting=lasting)))
            self.folder.database.chmod(0o600)
            store.bring_up(writes)
            self.versions = Versions({}, {})
            self.read = store.Readers(self.folder.database)
            self.tickets = TicketOffice(secret(self.folder.path, "tickets.key"))
            self.speech = Speech()
            sought.prepare(writes)
            self._appender = Appender(self.versions, clock, self.speech)
            self._appender.take_up(writes)
            self._writer = Writer(writes, self._appender)
            undone.pop_all()
        # A new one at every start: whatever was restored meanwhile, by whatever way, tablets then read everything anew.
        self.epoch = secrets.token_hex(8)
        self._anchored = ""
        self._shut: tuple[int, people.Outside] = (-1, people.Outside())
        self._publish_builtin()
        self.anchor()

    def __enter__(self) -> Journal:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Write what waits, close every connection, give the folder back."""
        self.read.close()
        self._writer.close()
        self.folder.release()

    # ------------------------------------------------------------------ reading

    def newest(self) -> int:
        """The running number of the newest event."""
        return int(store.value(self.read(), "SELECT coalesce(max(n), 0) FROM events"))

    def catalogue(self, key: str | None = None) -> catalogue.Catalogue:
        """A catalogue version; None is the current one."""
        return self.versions.catalogue(self.read(), key)

    def outline(self, key: str) -> outline.Outline:
        """An outline version."""
        return self.versions.outline(self.read(), key)

    # ------------------------------------------------------------------ writing

    def sync(
        self,
        raw_events: Sequence[Any],
        tokens: Iterable[str],
        *,
        tablet: str,
        note: Statement | None = None,
        vouched: Collection[str] = (),
    ) -> list[Answer]:
        """Take events from a tablet's outbox: one answer for each, in their order. A `note` is written with them.

        Events whose ids are `vouched` for by a manager may be late, of a tablet that was shut out, or done after their
        author had left.
        """
        received = self.clock()
        tickets = self._read_tickets(tokens)
        outside = self._outside()
        answers: dict[int, Answer] = {}
        good: list[tuple[int, Incoming]] = []
        with self.speech.spoken(self.read()):  # why something is refused is kept
            for index, raw in enumerate(raw_events):
                try:
                    good.append((index, self._incoming(raw, tickets, outside, received, vouched)))
                except Refusal as refusal:
                    before = self._taken_before(raw, tickets, received) if refusal.code in ON_A_WORD else None
                    if before is None:
                        answers[index] = self._keep_malformed(raw, refusal, tablet, received)
                    else:
                        good.append((index, before))
        if good or note:
            written = self._writer.submit([event for _, event in good], _noting(*note) if note else None)
            for (index, _), answer in zip(good, written, strict=True):
                answers[index] = answer
        self.anchor()
        return [answers[index] for index in range(len(raw_events))]

    def _outside(self) -> people.Outside:
        """Who and what stands outside, read anew once one more does, or was let in."""
        asked = self._appender.lettings  # before reading: a commit in between is then read with the next sync
        if self._shut[0] != asked:
            self._shut = asked, people.outside(self.read())
        return self._shut[1]

    def authors(self, tokens: Iterable[str]) -> dict[str, str]:
        """Whom each ticket proves: ticket id to person's id, for the tokens that are ours."""
        return {ticket.id: ticket.person for ticket in self._read_tickets(tokens).values()}

    def _read_tickets(self, tokens: Iterable[str]) -> dict[str, Ticket]:
        found: dict[str, Ticket] = {}
        for token in tokens:
            try:
                ticket = self.tickets.read(token)
            except Refusal as refusal:
                log.warning("a ticket was refused: %s", refusal.code)
                continue
            found[ticket.id] = ticket
        return found

    def _incoming(
        self, raw: Any, tickets: dict[str, Ticket], outside: people.Outside, received: int, vouched: Collection[str]
    ) -> Incoming:
        envelope = read_envelope(raw)
        if envelope.type in ONLINE_ONLY:
            raise Refusal(
                "online", _("This can only be done while the server is in reach; open the page and do it there."), 409
            )
        ticket = tickets.get(envelope.ticket)
        if ticket is None:
            raise Refusal("no_ticket", _("The sign-in this was done under is missing or forged; sign in again."), 401)
        trusted = envelope.id in vouched
        if ticket.tablet in outside.tablets and not trusted:
            raise Refusal("shut_out", _("The tablet this was done on was shut out; ask a manager to look at it."), 403)
        at = (
            min(envelope.at + envelope.offset, received)
            if envelope.at + envelope.offset <= received + 60_000
            else envelope.at + envelope.offset
        )
        left = outside.people.get(ticket.person)
        self.tickets.check(ticket, tablet=envelope.tablet, at=at, received_at=received, left=left, vouched=trusted)
        return _checked(envelope, ticket, at, received)

    def _taken_before(self, raw: Any, tickets: dict[str, Ticket], received: int) -> Incoming | None:
        """An event that would come too late, if it is in a chain already, as on a manager's word: it is answered as then."""
        try:
            event = self._incoming(raw, tickets, people.Outside(), received, (raw["id"],))
        except Refusal:  # it is wrong in another way as well
            return None
        sql = "SELECT 1 FROM events WHERE id = ? AND sent_hash = ?"
        return event if store.value(self.read(), sql, (event.id, event.sent_hash)) else None

    def keep_aside(self, raw_events: Sequence[Any], tokens: Iterable[str], *, tablet: str, refusal: Refusal) -> None:
        """Keep what a tablet sent that stands outside: outside the chain, with the reason, for a person to look at.

        Sent again it changes nothing, and one tablet fills no more than `aside.MOST` rows.
        """
        now, tickets = self.clock(), self._read_tickets(tokens)
        kept = [aside.kept(raw, tickets, tablet=tablet, now=now, refusal=refusal) for raw in raw_events]
        if kept:
            self._writer.submit((), _noting_all(kept))

    def _keep_malformed(self, raw: Any, refusal: Refusal, tablet: str, received: int) -> Answer:
        key, statement = aside.malformed(raw, tablet=tablet, now=received, refusal=refusal)
        self.note(*statement)
        log.warning("an event from tablet %s was refused: %s", tablet, refusal.code)
        return Answer(id=key, outcome="refused", code=refusal.code, reason=refusal.reason)

    def record(
        self,
        ticket: Ticket,
        stream: str,
        event_type: str,
        body: dict[str, Any],
        *,
        private: dict[str, Any] | None = None,
        proofs: frozenset[str] = frozenset(),
    ) -> Answer:
        """Record an event made on a page of the server by a signed-in person.

        Raises Refusal when it is refused.
        """
        received = self.clock()
        checked = read_body(event_type, body) if stream != PLANT else None
        key, text = str(uuids.uuid7()), canonical(body)
        event = Incoming(
            id=key,
            stream=stream,
            type=event_type,
            tablet=ticket.tablet,
            seq=0,
            ticket=ticket.id,
            person=ticket.person,
            roles=frozenset(ticket.roles),
            departments=frozenset(ticket.departments),
            at=received,
            offset=0,
            received_at=received,
            catalogue=None,
            outline=None,
            raw=body,
            text=text,
            body=checked,
            private=private,
            sent_hash=chain.digest(canonical([key, event_type]) + text),
            online=True,
            proofs=proofs,
        )
        return self._settled(event)

    def record_import(self, units: Sequence[dict[str, Any]], ticket: Ticket | None = None) -> list[Answer]:
        """Bring units in, all in one commit: one answer for each, in their order; a known one is refused, `known_unit`.

        Without a ticket the author is the server, in a manager's place: whoever may run commands on the data folder.
        """
        now = self.clock()
        events = [server_event(f"unit:{uuids.uuid7()}", "unit_arrived", body, now=now) for body in units]
        author: dict[str, Any] = {"roles": frozenset({"manager"})}
        if ticket is not None:
            author = {
                "person": ticket.person,
                "tablet": ticket.tablet,
                "ticket": ticket.id,
                "roles": frozenset(ticket.roles),
            }
        whole = [event._replace(body=read_body(event.type, event.raw), **author) for event in events]
        return self._writer.submit(whole) if whole else []

    def record_server(
        self, stream: str, event_type: str, body: dict[str, Any], *, private: dict[str, Any] | None = None
    ) -> Answer:
        """Record an event whose author is the server: a stored photo, an issued sheet, a published version."""
        event = server_event(stream, event_type, body, now=self.clock())
        if private:
            event = event._replace(private=private)
        return self._settled(event)

    def _settled(self, event: Incoming) -> Answer:
        answer = self._writer.submit([event._replace(asked_in=copy_context())])[0]
        if answer.outcome in ("refused", "error"):
            raise Refusal(
                answer.code or "refused", answer.reason or _("This is not possible now."), _status(answer.code)
            )
        return answer

    def note(self, sql: str, values: Sequence[Any]) -> None:
        """Write to the server's own notes (who has which unit open, failed sign-ins), which are not part of the history."""
        self._writer.submit((), _noting(sql, values))

    def settled(self) -> None:
        """Wait until what follows from the commits so far is written too: verdicts on what lies together."""
        self._writer.settle()

    # ------------------------------------------------------------------ upkeep

    def _publish_builtin(self) -> None:
        ours = starting_catalogue(self.read(), self.versions)
        if ours is not None:
            content = canonical(ours.to_json())
            self.record_server(PLANT, "catalogue_published", {"hash": ours.hash, "content": content})
        drawn = outline.builtin()
        if not versions.has_outline(self.read(), drawn.hash):
            self.record_server(PLANT, "outline_published", {"hash": drawn.hash, "content": drawn.to_svg()})

    def anchor(self) -> None:
        """Write the heads of all streams into the plant's chain, once a day."""
        day = datetime.fromtimestamp(self.clock() / 1000, UTC).date().isoformat()
        if day == self._anchored:
            return
        self._anchored = day
        last = store.value(self.read(), "SELECT body FROM events WHERE type = 'heads_anchored' ORDER BY n DESC LIMIT 1")
        if last is not None and json.loads(last)["day"] == day:
            return
        heads = {
            row["stream"]: row["head"]
            for row in self.read().execute("SELECT stream, head FROM streams WHERE stream <> 'plant'")
        }
        if heads:
            self.record_server(PLANT, "heads_anchored", {"day": day, "heads": heads})


def _noting(sql: str, values: Sequence[Any]) -> Note:
    def write(db: sqlite3.Connection) -> None:
        db.execute(sql, values)

    return write


def _noting_all(statements: Sequence[Statement]) -> Note:
    def write(db: sqlite3.Connection) -> None:
        for sql, values in statements:
            db.execute(sql, values)

    return write


def _checked(envelope: Envelope, ticket: Ticket, at: int, received: int) -> Incoming:
    text = canonical(envelope.body)
    return Incoming(
        id=envelope.id,
        stream=envelope.stream,
        type=envelope.type,
        tablet=envelope.tablet,
        seq=envelope.seq,
        ticket=ticket.id,
        person=ticket.person,
        roles=frozenset(ticket.roles),
        departments=frozenset(ticket.departments),
        at=at,
        offset=envelope.offset,
        received_at=received,
        catalogue=envelope.catalogue,
        outline=envelope.outline,
        raw=envelope.body,
        text=text,
        body=read_body(envelope.type, envelope.body),
        private=envelope.private.model_dump(exclude_none=True) if envelope.private else None,
        sent_hash=chain.digest(_header(envelope) + text),
    )


def _header(envelope: Envelope) -> str:
    """All that was sent but the body, in one way of writing it."""
    sent = envelope
    private = sent.private.model_dump(mode="json") if sent.private else None
    named = (sent.id, sent.stream, sent.type, sent.tablet, sent.seq, sent.ticket, sent.at, sent.offset)
    return canonical([*named, sent.catalogue, sent.outline, private])


def _status(code: str | None) -> int:
    if code in {"roles", "not_fixer", "in_department", "not_asker", "own_job", "other_photo"}:
        return 403
    if code is not None and code.startswith("no_"):
        return 404
    return 422 if code in {"malformed", "reason_given", "strokes", "customer", "lap", "off_the_van", "same"} else 409
