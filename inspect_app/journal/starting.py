"""Which catalogue the server publishes by itself when it starts."""

from __future__ import annotations

import sqlite3

from inspect_app.journal.queries import versions
from inspect_app.journal.store import one
from inspect_app.journal.writing import Versions
from inspect_app.trade import catalogue
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_change import carried_on


def starting_catalogue(db: sqlite3.Connection, known: Versions) -> Catalogue | None:
    """The catalogue that came with this program, where it is new to the plant and the plant has none of its own.

    A plant that has changed its catalogue keeps it. What history names and the new one leaves out is kept, retired.
    """
    ours = catalogue.builtin()
    if one(db, "SELECT 1 FROM catalogues WHERE current = 1") is None:
        return ours
    if versions.plants_own(db):
        return None
    whole = carried_on(known.catalogue(db, None), ours)
    return None if versions.has_catalogue(db, whole.hash) else whole
