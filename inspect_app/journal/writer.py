"""One writer thread. Whatever waits is written in one transaction and answered after the commit.

An event that cannot be worked out is answered so, and the others of its commit are written without it.
"""

from __future__ import annotations

import logging
import queue
import sqlite3
import threading
import time
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Future
from dataclasses import dataclass
from math import inf
from typing import Protocol

from inspect_app.journal.events import Answer, Incoming
from inspect_app.journal.store import flushed
from inspect_app.words import gettext as _

log = logging.getLogger("lampwalk.journal")

Note = Callable[[sqlite3.Connection], None]


class Apply(Protocol):
    """What turns events into rows. It is called inside the writer's transaction and must not commit."""

    def begin(self, db: sqlite3.Connection, events: Iterable[Incoming]) -> None:
        """Open a commit that is going to write these events."""

    def __call__(self, event: Incoming) -> Answer:
        """Write one event; after an exception the commit is over."""

    def undoable(self, event: Incoming) -> Answer:
        """Write one event; after an exception the commit goes on without it."""

    def end(self) -> None:
        """Write what is written once a commit."""

    def committed(self) -> None:
        """Hear that the commit is on the disk."""

    def undone(self) -> None:
        """Hear that the commit was undone."""

    @property
    def owes(self) -> float:
        """How long (s) what follows from the commits so far may wait; infinity when nothing does."""

    def following(self, db: sqlite3.Connection) -> Sequence[Incoming]:
        """Return what follows from the commits so far, to be written in one of its own."""


@dataclass(frozen=True)
class Batch:
    """Events of one request and where their answers go."""

    events: Sequence[Incoming]
    answers: Future[list[Answer]]
    note: Note | None = None
    settle: bool = False  # answer only when what follows is written as well


class Writer:
    """Owns the writing connection."""

    def __init__(self, db: sqlite3.Connection, apply: Apply):
        self._db = db
        self._apply = apply
        self._queue: queue.SimpleQueue[Batch | None] = queue.SimpleQueue()
        self._due = time.monotonic() + apply.owes  # by the monotonic clock; something may be left of an earlier server
        self._thread = threading.Thread(target=self._run, name="lampwalk-writer", daemon=True)
        self._thread.start()

    def submit(self, events: Sequence[Incoming], note: Note | None = None) -> list[Answer]:
        """Write events, and with them something that is no event; return the answers once all is on disk."""
        batch = Batch(events, Future(), note)
        self._queue.put(batch)
        return batch.answers.result()

    def settle(self) -> None:
        """Wait until all that was submitted is written, and what follows from it."""
        batch = Batch((), Future(), settle=True)
        self._queue.put(batch)
        batch.answers.result()

    def close(self) -> None:
        """Write what waits, then stop."""
        self._queue.put(None)
        self._thread.join()
        flushed(self._db)
        self._db.close()

    def _run(self) -> None:
        while True:
            try:
                first = self._queue.get(timeout=None if self._due == inf else max(0.0, self._due - time.monotonic()))
            except queue.Empty:
                self._follow()
                continue
            batches, stop = ([], True) if first is None else self._waiting(first)
            self._write(batches)
            if stop:
                self._follow()
                return

    def _waiting(self, first: Batch) -> tuple[list[Batch], bool]:
        batches = [first]
        while len(batches) < 200:
            try:
                batch = self._queue.get_nowait()
            except queue.Empty:
                break
            if batch is None:
                return batches, True
            batches.append(batch)
        return batches, False

    def _write(self, batches: list[Batch]) -> None:
        try:
            answers = self._committed(batches)
        except Exception as error:
            log.exception("a commit failed; nothing of %d batches was kept", len(batches))
            self._undo()
            for batch in batches:
                batch.answers.set_exception(error)
            return
        for batch, answer in zip(batches, answers, strict=True):
            if not batch.settle:
                batch.answers.set_result(answer)
        self._due = min(self._due, time.monotonic() + self._apply.owes)
        settling = [batch for batch in batches if batch.settle]
        if settling or self._due <= time.monotonic():
            self._follow()
        for batch in settling:
            batch.answers.set_result([])

    def _follow(self) -> None:
        """Write what follows from the commits. They were answered, so nobody waits; and nobody would hear of a fault."""
        self._due = inf
        try:
            events = self._apply.following(self._db)
            if events:
                self._commit([Batch(events, Future())], self._apply)
        except Exception:
            log.exception(
                "what follows from a commit was not written; it will be with the next one that touches the same"
            )
            self._undo()

    def _committed(self, batches: list[Batch]) -> list[list[Answer]]:
        try:
            return self._commit(batches, self._apply)
        except sqlite3.OperationalError:
            raise  # a full disk or a lost file concerns the whole commit
        except Exception:
            # Rare: some event cannot be worked out. All is undone and done again, each event in a savepoint of its own.
            self._undo()
            return self._commit(batches, self._guarded)

    def _commit(self, batches: list[Batch], write: Callable[[Incoming], Answer]) -> list[list[Answer]]:
        self._db.execute("BEGIN IMMEDIATE")
        self._apply.begin(self._db, [event for batch in batches for event in batch.events])
        answers = []
        for batch in batches:
            answers.append([write(event) for event in batch.events])
            if batch.note is not None:
                batch.note(self._db)
        self._apply.end()
        self._db.execute("COMMIT")
        self._apply.committed()
        return answers

    def _undo(self) -> None:
        self._apply.undone()
        if self._db.in_transaction:
            self._db.execute("ROLLBACK")

    def _guarded(self, event: Incoming) -> Answer:
        self._db.execute("SAVEPOINT event")
        try:
            answer = self._apply.undoable(event)
        except sqlite3.OperationalError:
            raise
        except Exception:
            # The one event is undone and told so; the others of the commit are not its hostages.
            log.exception("event %s (%s) could not be worked out", event.id, event.type)
            self._db.execute("ROLLBACK TO event")
            answer = Answer(
                id=event.id,
                outcome="error",
                code="fault",
                reason=_("The server could not work this out; it is kept on the tablet. Tell the manager."),
            )
        self._db.execute("RELEASE event")
        return answer
