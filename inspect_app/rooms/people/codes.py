"""One-time codes that admit a tablet. They live ten minutes and in memory alone: a restart makes them void."""

from __future__ import annotations

import secrets
import threading
import uuid
from dataclasses import dataclass

from flask import Flask, current_app

# None is taken for another when read from a screen: no 0 O Q D, no 1 I L, no 2 Z, no 5 S, no 8 B, no U V.
ALPHABET = "ACEFGHJKMNPRTWXY34679"
LENGTH = 8  # 21 letters, 8 places: 3.8e10 codes, against a dozen free tries an address and ten minutes
VALID_MS = 10 * 60_000
MOST = 50  # codes that can wait at one time
KEY = "lampwalk.codes"


@dataclass(frozen=True, kw_only=True)
class Code:
    """A code that a manager (`by`, a person's id; None: whoever runs the server) made; `until` in ms UTC."""

    key: str
    text: str
    name: str
    by: str | None
    until: int

    @property
    def spaced(self) -> str:
        """The code in two groups, to be read aloud."""
        return f"{self.text[:4]} {self.text[4:]}"


class Codes:
    """The codes that wait to be used."""

    def __init__(self) -> None:
        self._waiting: dict[str, Code] = {}
        self._lock = threading.Lock()

    def make(self, *, name: str, by: str | None, now: int) -> Code:
        """Make a code for a tablet of this name, which may be empty."""
        text = "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
        made = Code(key=uuid.uuid4().hex, text=text, name=name, by=by, until=now + VALID_MS)
        with self._lock:
            self._drop_old(now)
            while len(self._waiting) >= MOST:
                self._waiting.pop(next(iter(self._waiting)))
            self._waiting[made.key] = made
        return made

    def by_key(self, key: str, now: int) -> Code | None:
        """A code that still waits, for the page that shows it."""
        with self._lock:
            self._drop_old(now)
            return self._waiting.get(key)

    def spend(self, typed: str, now: int) -> Code | None:
        """Take a code as typed, with or without blanks, in either case; a second time it is gone."""
        wanted = "".join(letter for letter in typed.upper() if letter.isalnum()).encode()
        with self._lock:
            self._drop_old(now)
            for code in self._waiting.values():
                if secrets.compare_digest(code.text.encode(), wanted):
                    return self._waiting.pop(code.key)
        return None

    def _drop_old(self, now: int) -> None:
        for key in [key for key, code in self._waiting.items() if code.until < now]:
            del self._waiting[key]


def codes(app: Flask | None = None) -> Codes:
    """The codes of the running application."""
    found: Codes = (app or current_app).extensions.setdefault(KEY, Codes())
    return found
