"""Questions answered, gates confirmed, the unit signed, its sheet issued, the unit reopened."""

from __future__ import annotations

from typing import Any

from inspect_app.journal import gates, gates_read
from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.queries import setup
from inspect_app.journal.resolve import resolves
from inspect_app.journal.resolve.curing import moment
from inspect_app.journal.resolve.planning import plan, plan_markers
from inspect_app.journal.writing import Writing
from inspect_app.trade import gate_values
from inspect_app.trade.outline_model import part_label
from inspect_app.words import gettext as _
from inspect_app.words.listed import all_of, one_of


@resolves("question_answered")
def question_answered(w: Writing, event: Incoming) -> Resolved:
    """Settle a question; a marker that could not be found goes back to its department with the answer."""
    unit = w.unit(event)
    w.late(event, unit)
    question = w.part_of(event, "questions", event.body.question, "question")
    w.hold(event, "question", question["state"], reason=event.body.answer)
    if question["cause"] != "spot_not_found" or unit["state"] == "signed":
        return Resolved(values={"marker": question["marker"]})
    marker = w.marker(event, question["marker"])
    if marker["state"] not in ("open", "in_rework") or marker["planned"] or marker["no_flaw"]:
        return Resolved(values={"marker": question["marker"]})
    again = {**dict(marker), "returned_for": event.body.answer}
    return Resolved(values={"marker": marker["id"]}, follow=plan_markers(w, event, [again]))


@resolves("gate_confirmed")
def gate_confirmed(w: Writing, event: Incoming) -> Resolved:
    """Confirm a gate by name, or pass over a tablet that has not reported, with a reason."""
    unit = w.unit(event)
    w.late(event, unit)
    gate = w.catalogue(None).gates.get(event.body.gate)
    if gate is None:
        raise Refusal("no_gate", _("'%(key)s' is not a gate of this plant; reload the page.", key=event.body.gate))
    # Who confirms a gate is the catalogue's to say; whether to wait for a tablet is for whoever signs, or a manager.
    roles = ("inspector", "manager") if event.body.tablet else gate.lifted_by
    if not event.roles & set(roles):
        said = one_of(_(role) for role in roles)
        raise Refusal("roles", _("This gate is confirmed by %(roles)s.", roles=said), 403)
    if event.body.tablet and not (event.private or {}).get("reason"):
        raise Refusal("reason_given", _("Say why this tablet need not be waited for."))
    values = _written_down(event.body, w.catalogue(None).rule_book.gate_values)
    if values and not values["failed"]:
        values["words"] += _asked_of_the_cure(w, event)
    return Resolved(values=values)


def _asked_of_the_cure(w: Writing, event: Incoming) -> str:
    """Refuse a test that passes while a seal cures, unless somebody says why it counts; then say so in its words."""
    asked = gate_values.asked(event.body.gate, w.catalogue(None).rule_book.gate_values)
    wet = gates_read.uncured(w.db, event.unit, w.catalogue(None), event.at) if asked and asked.retest else []
    if not wet:
        return ""
    told = [_("%(part)s until %(until)s", part=_(part_label(one.part)), until=moment(w, one.until)) for one in wet]
    parts = all_of(told)
    if not (event.private or {}).get("reason"):
        raise Refusal(
            "curing",
            _(
                "A bond or seal is still curing: %(parts)s. Water let on before that proves nothing; test it then, or say why this test counts.",
                parts=parts,
            ),
            409,
        )
    return "; " + _("tested while a bond or seal was still curing: %(parts)s", parts=parts)


def _written_down(body: Any, book: gate_values.Book) -> dict[str, Any]:
    """What was written down at a gate that asks for values, in words, and whether it says that the gate does not hold."""
    if body.withdrawn or body.tablet or gate_values.asked(body.gate, book) is None:
        if body.values:
            raise Refusal("values", _("No values are written down here; reload the page."))
        return {}
    values = body.values or {}
    fault = gate_values.wrong(body.gate, values, book)
    if fault:
        raise Refusal("values", fault)
    said, failed = gate_values.words(body.gate, values, book), gate_values.failed(body.gate, values, book)
    return {"words": said, "failed": failed}


@resolves("unit_signed")
def unit_signed(w: Writing, event: Incoming) -> Resolved:
    """Sign: with PIN and strokes, against the head the signer saw, with every gate held."""
    unit = w.unit(event)
    head = w.moment.head(event.stream).hash
    states = gates.states(w.db, w.versions, unit, now=w.now, but_tablet=event.tablet)
    waiting = [gate for gate in states if not gate.held and gate.key != "release"]
    w.late(
        event,
        unit,
        pin_proved="pin" in event.proofs,
        head_as_seen=event.body.expected_head == head,
        gates_open=len(waiting),
    )
    if not (event.private or {}).get("strokes"):
        raise Refusal("strokes", _("The signature is missing; draw it in the box."))
    return Resolved(
        values={
            "revision": next_revision(unit["revision"]),
            "head": head,
            "paper": setup.paper(w.db),
            "gates": [gate.to_json() for gate in states],
        }
    )


def next_revision(revision: str | None) -> str:
    """Return the letter after this one: A, B … Z, AA."""
    if revision is None:
        return "A"
    if revision.endswith("Z"):
        return (next_revision(revision[:-1]) if revision[:-1] else "A") + "A"
    return revision[:-1] + chr(ord(revision[-1]) + 1)


@resolves("sheet_issued")
def sheet_issued(w: Writing, event: Incoming) -> Resolved:
    """Made by the server once the sheet is stored."""
    return Resolved()


@resolves("unit_reopened")
def unit_reopened(w: Writing, event: Incoming) -> Resolved:
    """Open a signed unit again; its sheet stays, its escapes become work."""
    unit = w.unit(event)
    w.late(event, unit)
    return Resolved(follow=plan(w, event, unit))
