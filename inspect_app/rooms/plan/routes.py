"""Pages of plans: which units want one, the plan of one unit, and its acceptance."""

from __future__ import annotations

from flask import Blueprint, flash, redirect, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import plans
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket, unit_or_404
from inspect_app.rooms.plan.asked import Asked
from inspect_app.rooms.plan.told import page
from inspect_app.rooms.shown import zone
from inspect_app.rooms.units.words import due_words
from inspect_app.words import gettext as _

room = Blueprint("plan", __name__, template_folder="templates")
PLANNERS = ("technician", "manager")


@room.get("/plans")
@needs(*PLANNERS)
def units() -> ResponseReturnValue:
    """List the units on which something is to be put right, with when their plan was accepted."""
    now = journal().clock()
    lines = [{"unit": row, "due": due_words(row["due"], now, zone())} for row in plans.to_plan(reader())]
    return render_template("plan/list.html", lines=lines)


@room.get("/units/<key>/plan")
@needs(*PLANNERS)
def unit(key: str) -> ResponseReturnValue:
    """Show the cheapest plan of a unit with what each choice costs; `?count=money` counts in money."""
    held = unit_or_404(key)
    return render_template("plan/unit.html", **page(held, Asked(counted=request.args.get("count", ""))))


@room.post("/units/<key>/plan")
@needs(*PLANNERS)
def accept(key: str) -> ResponseReturnValue:
    """Make the plan anew with the choices that were sent, or accept the one that was shown."""
    held = unit_or_404(key)
    asked = Asked.sent(request.form)
    shown = page(held, asked)
    if not asked.accepts or asked.changed or asked.faults:
        if asked.accepts and asked.changed:
            flash(_("The sums are made anew with your choices; accept the plan when it is as you want it."), "good")
        return render_template("plan/unit.html", **shown), 422 if asked.faults else 200
    body = {"basis": request.form.get("basis", ""), "counted": asked.counted, "otherwise": asked.otherwise}
    try:
        journal().record(ticket(), f"unit:{key}", "plan_accepted", body)
    except Refusal as refusal:
        if refusal.code not in ("stale", "otherwise", "nothing", "walked"):
            raise
        flash(refusal.reason, "wrong")
        return render_template("plan/unit.html", **page(held, asked)), refusal.status
    flash(_("The plan is accepted; its jobs are with their departments."), "good")
    return redirect(f"/units/{key}/plan")
