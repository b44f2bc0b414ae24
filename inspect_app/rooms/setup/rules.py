"""The rules of the catalogue beside its limits: to read, to change part by part, to take over from the program."""

from __future__ import annotations

from itertools import groupby

from flask import redirect, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import versions
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.setup.catalogue_forms import ChangeForm
from inspect_app.rooms.setup.catalogue_publish import Tried, publish
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.setup.rules_base import RulesForm
from inspect_app.rooms.setup.rules_forms import FORMS
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_change import carried_on
from inspect_app.trade.catalogue_words import RULES
from inspect_app.trade.rule_words import rule_lines
from inspect_app.trade.rules import PARTS, as_program, own_parts
from inspect_app.words import N_
from inspect_app.words import gettext as _

FAMILIES = {"offers": "selectors", "bars": "selectors"}
"""Parts of the page that are one part of the rules."""
LEADS = {
    "clusters": N_("More flaws of acceptable size than this, so near together or on one part, reject all of them."),
    "offers": N_("Which methods come into question for a kind, the mildest first."),
    "bars": N_("What takes a method away, and why. Whoever does the work may choose otherwise, with a reason."),
    "budgets": N_("How much clear may be polished off one spot over all attempts, and how much must stay."),
    "readings": N_("What readings are held against. How many are asked of each van stands under Plant."),
    "part_stages": N_("What a part goes through off the van, which waits keep it, and what must not take too long."),
    "gate_values": N_("What is written down where a gate is confirmed."),
}


@room.get("/setup/catalogue/rules")
@needs("manager")
def rules() -> ResponseReturnValue:
    """Show all rules of the catalogue in force, each with where it comes from."""
    found = journal().catalogue()
    lines = [(part, line) for (part, _key), line in rule_lines(found).items()]
    groups = [
        {
            "part": part,
            "label": _(RULES[part]),
            "lead": _(LEADS[part]),
            "lines": [line for _part, line in some],
            "family": FAMILIES.get(part, part),
        }
        for part, some in groupby(lines, key=lambda one: one[0])
    ]
    newest = versions.published(reader())[0]
    return render_template(
        "setup/rules.html", groups=groups, own=own_parts(found), version=newest, form=ChangeForm(made_from=newest.hash)
    )


@room.post("/setup/catalogue/rules/<part>/program")
@needs("manager")
def rules_of_program(part: str) -> ResponseReturnValue:
    """Take over one part of the rules as it comes with this program, as a new version; the other parts stay."""
    if part not in PARTS:
        raise Refusal("no_part", _("There is no such part of the rules; choose one on the page of the rules."), 404)
    found = journal().catalogue()
    tried = publish(carried_on(found, as_program(found, part)), ChangeForm(), lambda place: None)
    if not tried.kept:
        raise Refusal("not_taken", tried.meanwhile or tried.faults[0], tried.status)
    return redirect("/setup/catalogue/rules")


@room.route("/setup/catalogue/rules/<part>", methods=["GET", "POST"])
@needs("manager")
def change_rules(part: str) -> ResponseReturnValue:
    """Show one part of the rules and change it; what was judged before stays."""
    if part not in FORMS:
        raise Refusal("no_part", _("There is no such part of the rules; choose one on the page of the rules."), 404)
    catalogue, tried = journal().catalogue(), Tried()
    form = FORMS[part].made_for(catalogue)
    if form.validate_on_submit():
        tried = _kept(form)
        if tried.kept:
            return redirect("/setup/catalogue/rules")
    page = render_template(
        "setup/rules_form.html", form=form, part=part, heading=_(RULES[part]), lead=_(LEADS[part]), tried=tried
    )
    return page, tried.status if request.method == "POST" else 200


def _kept(form: RulesForm) -> Tried:
    edited: Catalogue = form.edited()
    return publish(edited, form, form.of)
