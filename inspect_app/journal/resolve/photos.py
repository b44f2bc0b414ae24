"""Photos: announced by a tablet, stored by the server, removed with a reason."""

from __future__ import annotations

from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.resolve import resolves
from inspect_app.journal.resolve.markers import is_escape
from inspect_app.journal.store import one
from inspect_app.journal.writing import Writing
from inspect_app.words import gettext as _


@resolves("photo_added")
def photo_added(w: Writing, event: Incoming) -> Resolved:
    """Announce a photo; until its picture arrives it is awaited. After the signing it is kept too, and asked about."""
    late = w.late(event, w.unit(event))
    if one(w.db, "SELECT 1 FROM photos WHERE id = ?", (event.body.photo,)):
        raise Refusal("photo_exists", _("A photo with this id was announced before."), 409)
    escape = False
    if event.body.marker:
        marker = w.part_of(event, "markers", event.body.marker, "marker", 'unit, state, "escape", received_at')
        w.hold(event, "marker", marker["state"])
        escape = is_escape(w, marker)
    for table, key, noun in (("jobs", event.body.job, "job"), ("concessions", event.body.concession, "concession")):
        if key:
            w.part_of(event, table, key, noun, "unit")
    if late:  # a picture that the server does not hear of would stay on its tablet until somebody threw it away
        asks = not escape and not w.asked(event, late)
        return Resolved(
            outcome="flagged", reason=late, values={"marker": event.body.marker, "kept": True, "asks": asks}
        )
    return Resolved()


@resolves("photo_stored", "photo_refused")
def photo_settled(w: Writing, event: Incoming) -> Resolved:
    """Made by the server once the picture has been cleaned and stored, or could not be."""
    return Resolved()


@resolves("photo_marked")
def photo_marked(w: Writing, event: Incoming) -> Resolved:
    """Draw arrows and rings on a photo in place of those there were, by whoever took it or an inspector."""
    w.in_time(event)
    photo = w.part_of(event, "photos", event.body.photo, "photo")
    if photo["state"] == "removed":
        raise Refusal("photo_removed", _("This photo was taken out of the record, so nothing is drawn on it."), 409)
    if photo["person"] != event.person and "inspector" not in event.roles:
        raise Refusal("other_photo", _("This photo was taken by someone else; an inspector can draw on it."), 403)
    return Resolved()


@resolves("photo_removed")
def photo_removed(w: Writing, event: Incoming) -> Resolved:
    """Take a photo out of the record, by whoever took it or an inspector; the event stays."""
    w.in_time(event)
    photo = w.part_of(event, "photos", event.body.photo, "photo")
    if photo["person"] != event.person and "inspector" not in event.roles:
        raise Refusal("other_photo", _("This photo was taken by someone else; an inspector can remove it."), 403)
    return Resolved()
