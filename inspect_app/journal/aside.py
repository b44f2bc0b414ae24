"""What a tablet sent and nobody takes: kept in `refused`, outside every chain, as whole as it came, for a person to look at."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspect_app.journal import chain
from inspect_app.journal.events import Refusal, canonical, printable
from inspect_app.journal.notes import Statement
from inspect_app.journal.tickets import Ticket

MOST = 2_000  # entries of one tablet: two busy shifts, and no way to fill the disk
LONGEST = 20_000  # letters of one entry
INSERT = (
    "INSERT OR IGNORE INTO refused (id, sent_hash, stream, type, tablet, person, at, received_at, code, reason, body)"
    " SELECT ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ? WHERE (SELECT count(*) FROM refused WHERE tablet = ? AND code = ?) < ?"
)


def kept(raw: Any, tickets: Mapping[str, Ticket], *, tablet: str, now: int, refusal: Refusal) -> Statement:
    """Shape one entry for the store. The person is named only where a ticket of ours for this tablet proves them."""
    sent = raw if isinstance(raw, dict) else {}
    whole = canonical(raw)
    digest = chain.digest(whole)
    ticket = tickets.get(sent["ticket"]) if isinstance(sent.get("ticket"), str) else None
    person = ticket.person if ticket is not None and ticket.tablet == tablet else None
    values = (
        short(sent, "id", 64) or digest[:36], digest, short(sent, "stream", 80), short(sent, "type", 80), tablet, person,
        _moment(sent), now, refusal.code, refusal.reason, printable(whole)[:LONGEST], tablet, refusal.code, MOST,
    )  # fmt: skip
    return INSERT, values


def malformed(raw: Any, *, tablet: str, now: int, refusal: Refusal) -> tuple[str, Statement]:
    """Shape an entry that cannot be read, or fits no sign-in: the id it is answered by, and what is kept of it."""
    sent, text = raw if isinstance(raw, dict) else {}, canonical(raw)
    known, digest = sent.get("id"), chain.digest(text)
    key = known if isinstance(known, str) and len(known) <= 64 and known.isascii() else digest[:36]
    values = (
        key, digest, None, short(sent, "type", 80), tablet, None, None, now, refusal.code, refusal.reason,
        text[:LONGEST], tablet, refusal.code, MOST,
    )  # fmt: skip
    return key, (INSERT, values)


def _moment(sent: Mapping[str, Any]) -> int | None:
    """When it was done, by the tablet's clock as corrected; None when that is no time."""
    at, offset = sent.get("at"), sent.get("offset", 0)
    good = isinstance(at, int) and isinstance(offset, int) and 0 <= at + offset < 2**53
    return at + offset if good else None


def short(sent: Mapping[str, Any], key: str, most: int) -> str | None:
    """A text of an entry, cut and made printable; None when there is none."""
    found = sent.get(key)
    return printable(found)[:most] if isinstance(found, str) and found else None
