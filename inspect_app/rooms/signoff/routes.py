"""Pages of the sign-off: units to sign, one unit's gates and signature, what is done about them."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, jsonify, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal import Answer
from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import people, signoff
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import house, journal, reader, ticket, unit_or_404
from inspect_app.rooms.people import pins
from inspect_app.rooms.signoff import bodies, listing
from inspect_app.rooms.signoff.desk import Desk
from inspect_app.rooms.signoff.gate_words import TYPED
from inspect_app.trade import gate_values
from inspect_app.words import N_
from inspect_app.words import gettext as _

room = Blueprint("signoff", __name__, template_folder="templates")

ENTRIES = [{"href": "/sign-off", "label": N_("Units to sign")}, {"href": "/concessions", "label": N_("Concessions")}]


def desk(key: str) -> Desk:
    """One unit as this person finds it, or 404."""
    return Desk(house=house(), db=reader(), unit=unit_or_404(key), held=ticket())


@room.get("/sign-off")
def to_sign() -> ResponseReturnValue:
    """List what can be signed, what cannot yet and why, and what was signed lately."""
    return render_template("signoff/list.html", more_entries=ENTRIES, **listing.page(house(), reader(), ticket()))


@room.get("/sign-off/<key>")
def unit(key: str) -> ResponseReturnValue:
    """Show the gates of a unit, its rings, and the place to sign; afterwards its sheets."""
    card = {"href": f"/units/{key}", "label": N_("Card")}
    return render_template("signoff/unit.html", more_entries=[card, *ENTRIES], **desk(key).context())


@room.get("/sign-off/<key>/now")
def now(key: str) -> ResponseReturnValue:
    """Tell head, gates and sheets of a unit, for a page to see that something has changed."""
    return jsonify(desk(key).brief())


@room.post("/sign-off/<key>/sign")
@needs("inspector")
def sign(key: str) -> ResponseReturnValue:
    """Sign and close a unit, by PIN and strokes, against the head the signer saw."""
    unit_or_404(key)
    asked = bodies.read(bodies.Signed)
    strokes = bodies.ink(asked.strokes)
    pins.prove(journal(), people.person(reader(), ticket().person), asked.pin, request.remote_addr or "nowhere")
    private = {"strokes": strokes, **({"note": TYPED} if asked.typed else {})}
    answer = record(key, "unit_signed", {"expected_head": asked.expected_head}, private, frozenset({"pin"}))
    house().press.submit(key, (answer.resolved or {})["revision"])
    return jsonify(desk(key).brief())


@room.post("/sign-off/<key>/gates/<gate>")
@needs("inspector", "technician", "manager")
def confirm(key: str, gate: str) -> ResponseReturnValue:
    """Confirm a gate by name, take that back, or pass over a tablet that has not reported, with the reason."""
    unit_or_404(key)
    asked = bodies.read(bodies.Confirmed)
    body: dict[str, Any] = {"gate": gate, "withdrawn": asked.withdrawn}
    reason = asked.reason
    if asked.tablet:
        body["tablet"] = asked.tablet
    elif not asked.withdrawn and gate_values.asked(gate, book := house().journal.catalogue().rule_book.gate_values):
        try:
            body["values"] = gate_values.read(gate, asked.values or {}, book)
        except ValueError as fault:
            raise Refusal("values", str(fault)) from None
        if not desk(key).uncured(gate):
            reason = ""  # the page that asked for it was made before the cure had passed
    record(key, "gate_confirmed", body, {"reason": reason} if reason else None)
    return jsonify(desk(key).brief())


@room.post("/sign-off/<key>/questions/<question>")
@needs("inspector", "manager")
def answer_question(key: str, question: str) -> ResponseReturnValue:
    """Answer a question; it no longer blocks the signing."""
    unit_or_404(key)
    record(key, "question_answered", {"question": question, "answer": bodies.read(bodies.Answered).answer})
    return jsonify(desk(key).brief())


@room.post("/sign-off/<key>/reopen")
@needs("manager")
def reopen(key: str) -> ResponseReturnValue:
    """Open a signed unit again, with the reason; its sheet stays and the next signing makes the next revision."""
    unit_or_404(key)
    record(key, "unit_reopened", {"reason": bodies.read(bodies.Reason).reason})
    return jsonify(desk(key).brief())


def record(
    key: str,
    event: str,
    body: dict[str, Any],
    private: dict[str, Any] | None = None,
    proofs: frozenset[str] = frozenset(),
) -> Answer:
    """Record an event of a unit, done on a page of the server. Raises Refusal."""
    return journal().record(ticket(), f"unit:{key}", event, body, private=private, proofs=proofs)


@room.get("/concessions")
@needs("inspector", "manager")
def concessions() -> ResponseReturnValue:
    """List the concessions that wait for an answer, and those decided lately."""
    found = listing.concessions(house(), reader(), ticket())
    return render_template("signoff/concessions.html", more_entries=ENTRIES, **found)


@room.post("/concessions/<key>/agree")
@needs("inspector", "manager")
def agree(key: str) -> ResponseReturnValue:
    """Agree to a concession; an S2 waits for one more name."""
    asked = _concession(key)
    record(asked["unit"], "concession_agreed", {"concession": key})
    return jsonify(_told(key))


@room.post("/concessions/<key>/refuse")
@needs("manager")
def refuse(key: str) -> ResponseReturnValue:
    """Refuse a concession with the reason; its marker stays in the work."""
    asked = _concession(key)
    record(asked["unit"], "concession_refused", {"concession": key, "reason": bodies.read(bodies.Reason).reason})
    return jsonify(_told(key))


def _concession(key: str) -> dict[str, Any]:
    asked = signoff.concession(reader(), key)
    if asked is None:
        raise Refusal("no_concession", _("There is no such concession; reload the page."), 404)
    return asked


def _told(key: str) -> dict[str, Any]:
    asked = _concession(key)
    names = [one["person"] for one in asked["approvers"]]
    return {"concession": key, "state": asked["state"], "approvers": names, "needed": asked["needed"]}


from inspect_app.rooms.signoff import handing  # noqa: E402, F401  (its routes register themselves on the room)
