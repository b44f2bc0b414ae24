"""PINs: hashed with argon2, slowed and then locked after wrong tries, for each person and for each address."""

from __future__ import annotations

import logging
import re
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import VerificationError

from inspect_app.journal import Journal
from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import people
from inspect_app.rooms.people import tries
from inspect_app.words import N_
from inspect_app.words import gettext as _

log = logging.getLogger("lampwalk.doors")

FREE_TRIES = {"person": 3, "address": 12}  # an address may be a shared tablet with a queue before it


@cache
def hasher() -> PasswordHasher:
    """The argon2id hasher with its library's own recommended cost."""
    return PasswordHasher()


def hash_pin(pin: str) -> str:
    """Hash a PIN.

    Raises Refusal when it is not 4 to 8 digits.
    """
    if not re.fullmatch(r"\d{4,8}", pin):
        raise Refusal("pin_shape", _("'PIN' must be 4 to 8 digits."))
    if len(set(pin)) == 1 or pin in "0123456789876543210":
        raise Refusal("pin_weak", _("This PIN is guessed at once; use digits that are not all alike and not in a row."))
    return hasher().hash(pin)


def prove(journal: Journal, person: people.Person | None, pin: str, address: str) -> people.Person:
    """Check a PIN, or refuse: unknown or wrong (counted), too many tries (with the wait in words)."""
    watched = [("address", f"address:{address}")] + ([("person", f"person:{person.id}")] if person else [])
    for kind, who in watched:
        tries.not_locked(journal, who, FREE_TRIES[kind], N_("Too many wrong PINs; wait %(left)s and try again."))
    if person is not None and person.active and _fits(person.pin_hash, pin):
        for _kind, who in watched:
            tries.forget(journal, who)
        return person
    for _kind, who in watched:
        tries.count(journal, who)
    log.warning("a wrong PIN for %s from %s", person.id if person else "nobody", address)
    raise Refusal("wrong_pin", _("That is not the PIN of this name; try again."), 403)


def _fits(pin_hash: str, pin: str) -> bool:
    try:
        return hasher().verify(pin_hash, pin)
    except (VerificationError, UnicodeError):  # the second: halves of letters, which no PIN has
        return False
