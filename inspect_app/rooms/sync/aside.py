"""What a shut-out tablet sends is not taken; it is kept aside, and a manager reads it on the tablet's page."""

from __future__ import annotations

import sqlite3

from flask import request

from inspect_app.journal.events import Refusal
from inspect_app.rooms import tablet as tablets
from inspect_app.rooms.house import journal, reader
from inspect_app.words import gettext as _

MOST_AT_ONCE = 500


def keep_aside(tablet: sqlite3.Row | None) -> None:
    """Keep the events of the request at hand; what is no list of events is not kept."""
    body = request.get_json(silent=True)
    events = body.get("events") if isinstance(body, dict) else None
    tokens = body.get("tickets") if isinstance(body, dict) else None
    if tablet is None or not isinstance(events, list) or not isinstance(tokens, list):
        return
    good = [token for token in tokens if isinstance(token, str)]
    with journal().speech.spoken(reader()):  # it is kept
        refusal = Refusal("shut_out", _(tablets.SHUT_OUT), 403)
    journal().keep_aside(events[:MOST_AT_ONCE], good, tablet=tablet["id"], refusal=refusal)
