"""Makes sheets outside the request: one after the other, each in both papers, stored before it is told of."""

from __future__ import annotations

import logging
import threading
from concurrent.futures import ThreadPoolExecutor
from functools import partial

from inspect_app.journal import Journal
from inspect_app.journal.queries import sheets
from inspect_app.photos import Store
from inspect_app.rooms.signoff.apart import tell
from inspect_app.rooms.signoff.shelf import Shelf
from inspect_app.sheet.data import SheetError
from inspect_app.sheet.pool import SheetPool
from inspect_app.words import N_
from inspect_app.words import gettext as _

log = logging.getLogger("lampwalk.press")

Key = tuple[str, str]
TRIES = 2
FAILED = N_("The sheet could not be made; the signing stands and nothing is lost. Make it again, or tell the manager.")


class Press:
    """Makes the sheets of signed units. Safe to use from any thread.

    A sheet that cannot be made stays "making" in its row, with the reason in `trouble`, until somebody asks for it
    again or the server starts anew.
    """

    def __init__(self, journal: Journal, photos: Store, pool: SheetPool | None = None):
        self._journal = journal
        self._photos = photos
        self._pool = pool or SheetPool()
        self.shelf = Shelf(journal.folder.sheets)
        self._lock = threading.Lock()
        self._busy: set[Key] = set()
        self._trouble: dict[Key, str] = {}
        self._closed = False
        self._thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="lampwalk-press")

    def submit(self, unit: str, revision: str) -> None:
        """Ask for the sheet of a signed revision; one that is being made already is not made twice."""
        with self._lock:
            if self._closed or (unit, revision) in self._busy:
                return
            self._busy.add((unit, revision))
            self._trouble.pop((unit, revision), None)
            self._thread.submit(self._run, unit, revision)

    def trouble(self, unit: str, revision: str) -> str | None:
        """Return why this sheet could not be made, in one sentence; None while nothing is wrong."""
        found = self._trouble.get((unit, revision))
        return None if found is None else _(found)  # kept as it was raised, said as the reader wants it

    def take_up(self) -> None:
        """Make the sheets that were signed for and not made when the server stopped."""
        self.shelf.sweep()
        for unit, revision in sheets.making(self._journal.read()):
            self.submit(unit, revision)

    def close(self) -> None:
        """Let the sheet being made finish; those behind it are taken up at the next start."""
        with self._lock:
            self._closed = True
        self._thread.shutdown(wait=True, cancel_futures=True)
        self._pool.close()

    def _run(self, unit: str, revision: str) -> None:
        try:
            self._try(unit, revision)
        except Exception as fault:  # whatever it is, it must not end the thread that makes the others
            log.exception("sheet %s of unit %s could not be made", revision, unit)
            self._trouble[(unit, revision)] = str(fault) if isinstance(fault, SheetError) else FAILED
        finally:
            with self._lock:
                self._busy.discard((unit, revision))

    def _try(self, unit: str, revision: str) -> None:
        for left in reversed(range(TRIES)):
            try:
                self._make(unit, revision)
                return
            except Exception as fault:
                if not left:
                    raise
                log.warning("sheet %s of unit %s is tried once more: %r", revision, unit, fault)

    def _make(self, unit: str, revision: str) -> None:
        row = sheets.sheet(self._journal.read(), unit, revision)
        if row is None or row["state"] == "issued":
            return
        told = partial(tell, self._journal.folder.path, unit, revision)
        pages = {paper: self._pool.submit(told, paper).result() for paper in ("a4", "letter")}
        stored = {paper: self.shelf.put(pdf) for paper, pdf in pages.items()}
        body = {"revision": revision, **stored, "bytes": len(pages[row["paper"]])}
        self._journal.record_server(f"unit:{unit}", "sheet_issued", body)
        log.info("sheet %s of unit %s is issued", revision, unit)
