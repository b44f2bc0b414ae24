"""A plant to measure on: the application's data folder with the tests' cast, and tablets that are signed in."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from flask import Flask

from inspect_app import create_app
from inspect_app.journal import Journal
from inspect_app.rooms.people.pins import hash_pin
from sample_units.hands import Hands, admit
from tests.conftest import PIN, Plant


@dataclass(frozen=True, kw_only=True)
class Tablet:
    """What a browser that is signed in sends along."""

    tablet: str
    token: str
    cookie: str
    hands: Hands

    def headers(self) -> dict[str, str]:
        """Headers of a JSON write."""
        return {"Cookie": self.cookie, "X-Lampwalk": "1", "Content-Type": "application/json", "Accept-Encoding": "gzip"}


class Site:
    """An open application with its cast; the folder can be served once this is closed."""

    def __init__(self, app: Flask):
        self.app = app
        self.journal: Journal = app.extensions["lampwalk"].journal

    @cached_property
    def plant(self) -> Plant:
        """The tests' cast, hired when first asked for."""
        return Plant(self.journal, hash_pin(PIN))

    def tablet(self, key: str) -> Tablet:
        """A further tablet, signed in as one of the cast without the slow check of a PIN."""
        known: Hands = getattr(self.plant, key)
        hands = Hands(self.journal, known.person, admit(self.journal), known.roles, known.departments)
        token = self.journal.tickets.write(hands.ticket)
        return Tablet(tablet=hands.tablet, token=token, cookie=self._cookie(token), hands=hands)

    def _cookie(self, token: str) -> str:
        sessions: Any = self.app.session_interface
        sealed = sessions.get_signing_serializer(self.app).dumps({"_permanent": True, "token": token})
        return f"{self.app.config['SESSION_COOKIE_NAME']}={sealed}"


@contextmanager
def site(folder: Path) -> Iterator[Site]:
    """Open a data folder, empty or not, for as long as it takes to fill it."""
    app = create_app(folder)
    try:
        yield Site(app)
    finally:
        app.extensions["lampwalk"].close()
