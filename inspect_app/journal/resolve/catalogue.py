"""A catalogue published by a person: checked once more by the writer, so that no two managers write over each other."""

from __future__ import annotations

import json

from inspect_app.journal.events import SERVER, Incoming, Refusal, Resolved
from inspect_app.journal.queries import versions
from inspect_app.journal.resolve import resolves
from inspect_app.journal.writing import Writing
from inspect_app.trade import catalogue as catalogues
from inspect_app.trade.catalogue_change import left_out
from inspect_app.words import gettext as _


@resolves("catalogue_published")
def catalogue_published(w: Writing, event: Incoming) -> Resolved:
    """Take a whole catalogue that was made from the one in force; what the server publishes itself is its own.

    The body has `hash`, `content` (canonical JSON), and of a person `from`: the hash of the version it was made from.
    """
    if event.person == SERVER:
        return Resolved()
    if "manager" not in event.roles:
        raise Refusal("roles", _("Only a manager changes the catalogue."), 403)
    body, current = event.raw, versions.current_catalogue(w.db)
    if body.get("from") != current:
        raise Refusal("changed_meanwhile", _("The catalogue was changed meanwhile; see what is new in it first."), 409)
    made = _read(body["content"])
    if made.hash != body["hash"]:
        raise Refusal("malformed", _("The catalogue does not have the hash it is named by; publish it again."))
    if made.hash == current:
        raise Refusal("same", _("This is the catalogue in force already; nothing was changed."), 409)
    gone = left_out(w.catalogue(None), made)
    if gone:
        part, keys = next(iter(gone.items()))
        said = _("%(part)s: '%(key)s' is missing, and history names it; retire it instead.", part=part, key=keys[0])
        raise Refusal("left_out", said)
    found = catalogues.check(made)
    if found:
        raise Refusal("faulty", found[0])
    return Resolved(values={"from": current})


def _read(content: str) -> catalogues.Catalogue:
    try:
        return catalogues.from_json(json.loads(content))
    except (catalogues.CatalogueError, ValueError) as fault:
        raise Refusal("malformed", str(fault)) from None
