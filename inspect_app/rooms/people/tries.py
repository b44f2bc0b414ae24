"""Wrong tries of anything secret: counted, then slowed, for each person and for each address."""

from __future__ import annotations

from inspect_app.journal import Journal, notes
from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import people
from inspect_app.words import gettext as _
from inspect_app.words import ngettext

LONGEST_MS = 15 * 60_000
FORGET_MS = 60 * 60_000


def not_locked(journal: Journal, who: str, free: int, sentence: str) -> None:
    """Refuse while too many tries were wrong; `free` may be before the waiting begins, which doubles each time.

    `sentence` has a place for how long is `left`.
    """
    failed, last_at = people.failed_tries(journal.read(), who)
    over = failed - free
    if over < 0:
        return
    left = last_at + min(LONGEST_MS, 5_000 * 2**over) - journal.clock()
    if left > 0:
        raise Refusal("locked", _(sentence, left=in_words(left)), 403)


def count(journal: Journal, who: str) -> None:
    """Count one wrong try."""
    now = journal.clock()
    journal.note(*notes.try_counted(who, now=now, forgotten_before=now - FORGET_MS))


def forget(journal: Journal, who: str) -> None:
    """Forget the wrong tries, after a right one."""
    journal.note(*notes.tries_forgotten(who))


def in_words(ms: int) -> str:
    """Say how long to wait."""
    seconds = -(-ms // 1000)
    if seconds < 90:
        return ngettext("%(n)s second", "%(n)s seconds", seconds)
    return ngettext("%(n)s minute", "%(n)s minutes", -(-seconds // 60))
