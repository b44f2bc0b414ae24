"""The label of the part in hand, held against the van it is to go to: a part of another van is stopped."""

from __future__ import annotations

import sqlite3

from inspect_app.journal.events import Incoming, Refusal
from inspect_app.journal.queries import parts as query
from inspect_app.journal.store import one
from inspect_app.journal.writing import Writing
from inspect_app.words import gettext as _
from inspect_app.words.listed import one_of

MIX_UP = "mix_up"
"""The code of the refusal that a page answers by stopping whoever holds the part, and by counting the mix-up."""
LENGTH = 6


def hold_label(w: Writing, event: Incoming, row: sqlite3.Row, unit: sqlite3.Row) -> None:
    """Pass when the label read is that of this part's van.

    Raises Refusal: `mix_up` for another van's, `which_van` where two vans share their last six and nobody said which,
    `other_part` for another part's code, `six` for what is no last six or that of no van here.
    """
    _read, vans = mixed_up_with(w, event, row, unit)
    if vans:
        other = one_of(query.van_words(one) for one in query.vans(w.db, vans))
        raise Refusal(
            MIX_UP,
            _(
                "This label is that of %(other)s. The part that is open here belongs to %(own)s.",
                other=other,
                own=query.van_words(query.van(w.db, event.unit)),
            ),
            409,
        )


def mixed_up_with(w: Writing, event: Incoming, row: sqlite3.Row, unit: sqlite3.Row) -> tuple[str, list[str]]:
    """Return the last six that were read and the ids of the other vans they name; no van when the label is this part's own.

    Raises Refusal as `hold_label` does, but for `mix_up`.
    """
    if event.body.label is not None:
        return _by_code(w, event, row)
    typed = query.typed_six(event.body.six or "")
    if len(typed) != LENGTH:
        raise Refusal(
            "six",
            _(
                "Type the six characters on the label, and no others (got '%(typed)s').",
                typed=(event.body.six or "")[:20],
            ),
        )
    named = query.ending_in(w.db, typed)
    if typed == unit["last_six"]:
        return typed, _by_choice(event, [found for found in named if found["state"] == "open"])
    if not named:
        raise Refusal("six", _("No van here ends in %(six)s; read the label once more.", six=typed))
    return typed, [found["id"] for found in named]


def _by_code(w: Writing, event: Incoming, row: sqlite3.Row) -> tuple[str, list[str]]:
    other = one(
        w.db, "SELECT p.*, u.last_six FROM parts p JOIN units u ON u.id = p.unit WHERE p.id = ?", (event.body.label,)
    )
    if other is None:
        raise Refusal("no_label", _("This code is no label of a part of this plant; read the part's own."))
    if other["unit"] != event.unit:
        return str(other["last_six"]), [str(other["unit"])]
    if other["id"] != row["id"]:
        raise Refusal(
            "other_part",
            _(
                "This is the label of another part of the same van: %(other)s. Open that one, or read the label of %(own)s.",
                other=_(other["label"]),
                own=_(row["label"]),
            ),
        )
    return str(other["last_six"]), []


def _by_choice(event: Incoming, named: list[sqlite3.Row]) -> list[str]:
    """Where two open vans share their last six, only colour and full number tell them apart."""
    if len(named) < 2:
        return []
    if event.body.van not in {found["id"] for found in named}:
        raise Refusal(
            "which_van",
            _(
                "%(n)s vans here end in these six; say by colour and full number which of them the part wears.",
                n=len(named),
            ),
        )
    return [] if event.body.van == event.unit else [event.body.van]
