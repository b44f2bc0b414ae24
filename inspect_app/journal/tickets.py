"""Signed tickets: who signed in, in which roles, on which tablet, until when. An event names its ticket; the ticket proves its author."""

from __future__ import annotations

import os
import secrets
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from itsdangerous import BadData, URLSafeSerializer

from inspect_app.journal.events import Refusal
from inspect_app.words import gettext as _

SHIFT_MS = 14 * 3_600_000
LATE_MS = 14 * 24 * 3_600_000
ESTIMATE_MS = 5_000  # how far off the server's time a tablet is that has just heard from it
SLACK_MS = 5 * 60_000  # clocks are corrected by an estimate, never exactly


@dataclass(frozen=True, kw_only=True)
class Ticket:
    """One sign-in. Times in ms UTC."""

    id: str
    person: str
    tablet: str
    roles: tuple[str, ...]
    departments: tuple[str, ...]
    issued_at: int
    until: int


def secret(folder: Path, name: str) -> str:
    """Read a secret of the data folder, making it (mode 0600) when it is not there yet."""
    path = folder / name
    if not path.exists():
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "w") as file:
            file.write(secrets.token_hex(32))
    return path.read_text().strip()


class TicketOffice:
    """Writes and reads the signed text of tickets."""

    def __init__(self, key: str):
        self._serializer = URLSafeSerializer(key, salt="lampwalk-ticket")
        self.read = lru_cache(maxsize=4096)(self._read)

    def write(self, ticket: Ticket) -> str:
        """Sign a ticket."""
        return str(self._serializer.dumps(vars(ticket)))

    def _read(self, token: str) -> Ticket:
        try:
            raw = self._serializer.loads(token)
            return Ticket(**{**raw, "roles": tuple(raw["roles"]), "departments": tuple(raw["departments"])})
        except (BadData, TypeError, KeyError, UnicodeError):
            raise Refusal("forged_ticket", _("This sign-in was not made by this server; sign in again."), 401) from None

    def check(
        self, ticket: Ticket, *, tablet: str, at: int, received_at: int, left: int | None = None, vouched: bool = False
    ) -> None:
        """Hold an event's tablet and times (ms) against its ticket, and against when its author left; `vouched`, it may
        be as late as it is.

        Raises Refusal when they do not fit; the reason says what to do.
        """
        if ticket.tablet != tablet:
            raise Refusal("other_tablet", _("This sign-in belongs to another tablet; sign in on this one."))
        if not ticket.issued_at - SLACK_MS <= at <= ticket.until + SLACK_MS:
            raise Refusal(
                "outside_shift",
                _("This was done outside the shift of its sign-in; check the tablet's clock and sign in again."),
            )
        if left is not None and at > left + ESTIMATE_MS and not vouched:
            raise Refusal(
                "has_left",
                _("This was done after its author had left; save it as a file, and a manager can bring it in."),
                403,
            )
        if received_at - at > LATE_MS and not vouched:
            raise Refusal(
                "too_late",
                _(
                    "This arrived more than 14 days after it was done; save it as a file, and a manager can bring it in."
                ),
            )
        if at > received_at + SLACK_MS:
            raise Refusal("future", _("This is dated in the future; set the tablet's clock and do it again."))
