"""Pages that change one row of the catalogue, part by part. Nothing is deleted."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from flask import redirect, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import setup
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.setup.catalogue_forms import ChangeForm, DepartmentForm, GateForm, OptionForm, RowForm
from inspect_app.rooms.setup.catalogue_kind_form import KindForm, with_kind
from inspect_app.rooms.setup.catalogue_line_forms import FIRST, CautionForm, StationForm
from inspect_app.rooms.setup.catalogue_method_form import MethodForm
from inspect_app.rooms.setup.catalogue_publish import Tried, publish
from inspect_app.rooms.setup.door import room
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_change import RETIRABLE, own_origin, placed, retired, with_row
from inspect_app.words import N_
from inspect_app.words import gettext as _

FORMS: dict[str, type[RowForm]] = {
    "departments": DepartmentForm,
    "kinds": KindForm,
    "methods": MethodForm,
    "gates": GateForm,
    "options": OptionForm,
    "stations": StationForm,
    "cautions": CautionForm,
}
NEW = {
    "departments": N_("A new department"),
    "kinds": N_("A new kind"),
    "methods": N_("A new method"),
    "gates": N_("A new gate"),
    "options": N_("A new build option"),
    "stations": N_("A new station"),
    "cautions": N_("A new caution"),
}


def _known(part: str, parts: Collection[str]) -> None:
    if part not in parts:
        said = _("No page changes the part '%(part)s' of the catalogue; choose another one.", part=part[:20])
        raise Refusal("no_part", said, 404)


def row_of(catalogue: Catalogue, part: str, key: str) -> Any:
    """A row, or 404."""
    _known(part, FORMS)
    row = getattr(catalogue, part).get(key)
    if row is None:
        raise Refusal("no_row", _("The catalogue has nothing by this name; choose it from its list."), 404)
    return row


def form_for(catalogue: Catalogue, part: str, row: Any) -> RowForm:
    """The form of a row, filled with it or with what was sent."""
    more = {"outline": journal().outline(setup.current_outline(reader()))} if part == "options" else {}
    return FORMS[part](catalogue, row, made_from=catalogue.hash, **more)


@room.route("/setup/catalogue/<part>/new", methods=["GET", "POST"])
@needs("manager")
def new_row(part: str) -> ResponseReturnValue:
    """Add a row."""
    _known(part, NEW)
    return _change(part, None)


@room.route("/setup/catalogue/<part>/<key>", methods=["GET", "POST"])
@needs("manager")
def change_row(part: str, key: str) -> ResponseReturnValue:
    """Show a row and change it."""
    return _change(part, row_of(journal().catalogue(), part, key))


def _change(part: str, row: Any) -> ResponseReturnValue:
    catalogue, tried = journal().catalogue(), Tried()
    form = form_for(catalogue, part, row)
    looks = bool(request.form.get("look"))
    if form.validate_on_submit() and not looks:
        made = form.row()
        if row is not None:
            made = own_origin(row, made)
        edited = _edited(catalogue, part, made, form)
        tried = publish(edited, form, form.of)
        if tried.kept:
            return redirect(f"/setup/catalogue/{part}/{made.key}" if row is None else f"/setup/catalogue/{part}")
    status = tried.status if form.is_submitted() and not looks else 200
    page = render_template(
        "setup/row.html",
        part=part,
        row=row,
        form=form,
        tried=tried,
        heading=_(row.label) if row else _(NEW[part]),
        catalogue=catalogue,
        used=used(catalogue, part, row) if row else [],
        drawn=drawn(part, form),
    )
    return page, status


def _edited(catalogue: Catalogue, part: str, made: Any, form: RowForm) -> Catalogue:
    if part == "kinds":
        whole: Catalogue = with_kind(catalogue, made)
        return whole
    whole = with_row(catalogue, part, made)
    if isinstance(form, StationForm):
        return placed(whole, part, made.key, None if form.after.data == FIRST else form.after.data)
    return whole


def drawn(part: str, form: RowForm) -> Any:
    """What a form's choice looks like: of an option the zones, on the outline in force."""
    from inspect_app.rooms.setup.drawn_zones import without

    return without(form.outline, form.brings.data or (), form.takes.data or ()) if part == "options" else None


def used(catalogue: Catalogue, part: str, row: Any) -> list[str]:
    """What stands in the way of retiring a row, or goes on with it: each a sentence."""
    said = []
    if part == "departments":
        jobs = setup.open_jobs(reader(), "department", row.key)
        if jobs:
            said.append(_("%(n)s jobs are with this department now; they stay there until they are done.", n=jobs))
    if part == "methods":
        jobs = setup.open_jobs(reader(), "method", row.key)
        if jobs:
            said.append(_("%(n)s jobs go by this method now; they go on by it.", n=jobs))
    return said


@room.post("/setup/catalogue/<part>/<key>/retired")
@needs("manager")
def retire_row(part: str, key: str) -> ResponseReturnValue:
    """Offer a row nowhere any more; its label stays in the history."""
    return _retire(part, key, True)


@room.post("/setup/catalogue/<part>/<key>/back")
@needs("manager")
def bring_row_back(part: str, key: str) -> ResponseReturnValue:
    """Offer a retired row again."""
    return _retire(part, key, False)


def _retire(part: str, key: str, away: bool) -> ResponseReturnValue:
    _known(part, RETIRABLE)
    catalogue = journal().catalogue()
    row = row_of(catalogue, part, key)
    form = ChangeForm()
    if row.retired == away:
        return redirect(f"/setup/catalogue/{part}/{key}")
    tried = publish(retired(catalogue, part, key, away), form, lambda place: None)
    if tried.kept:
        return redirect(f"/setup/catalogue/{part}")
    said = tried.meanwhile or tried.faults[0]
    raise Refusal("in_use", said, tried.status)
