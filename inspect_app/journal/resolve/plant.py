"""Events of the plant itself. They are made by the server's own pages, which have checked them."""

from __future__ import annotations

import sqlite3

from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.queries.outlines import model_key
from inspect_app.journal.queries.people import next_letters
from inspect_app.journal.resolve import resolves
from inspect_app.journal.store import one
from inspect_app.journal.writing import Writing
from inspect_app.words import N_
from inspect_app.words import gettext as _

SHUT_OUT_ALREADY = N_("Tablet %(letters)s is shut out already; nothing was changed.")
LET_IN_ALREADY = N_("Tablet %(letters)s is let in already; nothing was changed.")


@resolves("person_added", "person_changed")
def person(w: Writing, event: Incoming) -> Resolved:
    """Keep names apart, since one signs in by picking one's name; keep one manager at least."""
    body = event.raw
    name = (event.private or {})["name"]
    same = one(w.db, "SELECT id FROM people WHERE name = ? AND id <> ? AND state = 'active'", (name, body["person"]))
    if same is not None and body["state"] == "active":
        raise Refusal("same_name", _("There is a %(name)s already; add a letter or a second name.", name=name), 409)
    if not ("manager" in body["roles"] and body["state"] == "active"):
        _another_manager(w, body["person"])
    return Resolved()


def _another_manager(w: Writing, person: str) -> None:
    row = one(w.db, "SELECT roles FROM people WHERE id = ? AND state = 'active'", (person,))
    if row is None or '"manager"' not in row["roles"]:
        return
    others = one(
        w.db, "SELECT 1 FROM people WHERE id <> ? AND state = 'active' AND roles LIKE '%\"manager\"%'", (person,)
    )
    if others is None:
        raise Refusal("last_manager", _("This is the only manager; make another person a manager first."), 409)


@resolves("person_preferred")
def person_preferred(w: Writing, event: Incoming) -> Resolved:
    """Take how someone reads and writes from themselves alone; the page has checked that there are such a language and way."""
    if event.raw["person"] != event.person:
        raise Refusal("not_yours", _("Everyone chooses a language for themselves; sign in by your own name."), 403)
    return Resolved()


@resolves("tablet_admitted")
def tablet_admitted(w: Writing, event: Incoming) -> Resolved:
    """Give the tablet its letters, the first part of every tag made on it."""
    return Resolved(values={"letters": next_letters(w.db)})


@resolves("tablet_shut_out", "tablet_let_in")
def tablet_barred(w: Writing, event: Incoming) -> Resolved:
    """Shut a tablet out or let it in again; not the one in hand, or the manager would stand outside with it."""
    body = event.raw
    row = one(w.db, "SELECT letters, state FROM tablets WHERE id = ?", (body["tablet"],))
    if row is None:
        raise Refusal("no_tablet", _("This server does not know the tablet; reload the page."), 404)
    if body["tablet"] == event.tablet:
        raise Refusal("own_tablet", _("You are on this tablet; shut it out from another one."), 409)
    if (row["state"] == "shut_out") == (event.type == "tablet_shut_out"):
        shut = event.type == "tablet_shut_out"
        raise Refusal("done_already", _(SHUT_OUT_ALREADY if shut else LET_IN_ALREADY, letters=row["letters"]), 409)
    return Resolved()


@resolves("tablet_named")
def tablet_named(w: Writing, event: Incoming) -> Resolved:
    """Call a tablet what the shop calls it; two of one name would be mixed up."""
    body = event.raw
    if one(w.db, "SELECT 1 FROM tablets WHERE id = ?", (body["tablet"],)) is None:
        raise Refusal("no_tablet", _("This server does not know the tablet; reload the page."), 404)
    same = one(w.db, "SELECT letters FROM tablets WHERE name = ? AND id <> ?", (body["name"], body["tablet"]))
    if body["name"] and same is not None:
        raise Refusal(
            "same_name",
            _(
                "Tablet %(letters)s is called %(name)s already; choose another name.",
                letters=same["letters"],
                name=body["name"],
            ),
            409,
        )
    return Resolved()


@resolves("outbox_brought")
def outbox_brought(w: Writing, event: Incoming) -> Resolved:
    """Take a manager's word for entries that came too late, or from a tablet that was shut out: with a reason."""
    if "manager" not in event.roles:
        raise Refusal("roles", _("Only a manager brings an outbox file in."), 403)
    reason = (event.private or {}).get("reason", "")
    if event.raw["vouched"] and not reason.strip():
        raise Refusal("reason_given", _("A reason is missing; say in a few words why these entries are taken."), 422)
    return Resolved()


@resolves("outline_retired")
def outline_retired(w: Writing, event: Incoming) -> Resolved:
    """Retire an outline or bring it back; the current one stays, for every model without one of its own needs it."""
    row = _outline(w, event.raw["outline"])
    if event.raw["retired"] and row["current"]:
        raise Refusal(
            "current", _("Units of every model without an outline of its own are drawn on this; it stays."), 409
        )
    return Resolved()


@resolves("outline_assigned")
def outline_assigned(w: Writing, event: Incoming) -> Resolved:
    """Draw new units of a make and model on an outline that is in use; None is the current one again."""
    if event.raw["outline"] is not None and _outline(w, event.raw["outline"])["retired"]:
        raise Refusal("retired", _("This outline is retired; bring it back first, or choose another."), 409)
    return Resolved(values={"key": model_key(event.raw["make"], event.raw["model"])})


def _outline(w: Writing, key: str) -> sqlite3.Row:
    row = one(w.db, "SELECT current, retired FROM outlines WHERE hash = ?", (key,))
    if row is None:
        raise Refusal("no_outline", _("This server does not know the outline; reload the page."), 404)
    return row


@resolves("ticket_issued", "outline_published", "setting_changed", "heads_anchored")
def as_made(w: Writing, event: Incoming) -> Resolved:
    """Nothing to work out."""
    return Resolved()
