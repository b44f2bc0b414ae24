"""What the rooms share: the open journal, the photos, the sheet press; and who is here."""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

from flask import current_app, g

from inspect_app.journal import Journal
from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import units
from inspect_app.journal.tickets import Ticket
from inspect_app.photos import Store
from inspect_app.words import gettext as _

if TYPE_CHECKING:
    from inspect_app.rooms.signoff.press import Press


class House:
    """Everything that lives as long as the application."""

    def __init__(self, *, journal: Journal, photos: Store):
        self.journal = journal
        self.photos = photos
        self._press: Press | None = None
        self._closed = False

    @property
    def press(self) -> Press:
        """Makes sheets outside the request; started when first asked for."""
        if self._press is None:
            from inspect_app.rooms.signoff.press import Press

            self._press = Press(self.journal, self.photos)
        return self._press

    def open(self) -> None:
        """Take up what a stop left: sheets that were signed for and not made."""
        self.press.take_up()

    def close(self) -> None:
        """Finish what runs, then close the journal."""
        if self._closed:
            return
        self._closed = True
        if self._press is not None:
            self._press.close()
        self.journal.close()


def house() -> House:
    """The house of the running application."""
    found: House = current_app.extensions["lampwalk"]
    return found


def journal() -> Journal:
    """The journal of the running application."""
    return house().journal


def reader() -> sqlite3.Connection:
    """A read-only connection for this thread."""
    return journal().read()


def ticket() -> Ticket:
    """The ticket of whoever is signed in; doors.py has made sure there is one."""
    found: Ticket | None = g.get("ticket")
    if found is None:
        raise Refusal("sign_in", _("Sign in to go on."), 401)
    return found


def unit_or_404(key: str) -> sqlite3.Row:
    """Read a unit, or refuse with 404."""
    row = units.unit(reader(), key)
    if row is None:
        raise Refusal("no_unit", _("There is no such unit; find it by its last six on the floor."), 404)
    return row
