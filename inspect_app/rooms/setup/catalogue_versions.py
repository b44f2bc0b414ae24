"""Which catalogues there were, who made them, what differs between two; and an earlier one put in force again."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from flask import redirect, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import versions
from inspect_app.journal.queries.versions import Published
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.setup.catalogue_forms import ChangeForm
from inspect_app.rooms.setup.catalogue_publish import publish
from inspect_app.rooms.setup.door import room
from inspect_app.trade.catalogue import Catalogue, builtin
from inspect_app.trade.catalogue_change import carried_on
from inspect_app.trade.catalogue_diff import Change, changes
from inspect_app.trade.catalogue_words import PARTS, RULES
from inspect_app.words import gettext as _

CALLED = {**PARTS, **RULES}
STARTING = "starting"
"""In the place of a number: the catalogue that came with this program, whether it was ever in force or not."""


@room.get("/setup/catalogue/versions")
@needs("manager")
def catalogue_versions() -> ResponseReturnValue:
    """List every version with who published it and why, each with the way to what changed."""
    found = versions.published(reader())
    return render_template(
        "setup/versions.html",
        versions=found,
        latest=found[0],
        lines=[(one, changed_words(found, one)) for one in found[:100]],
        starting_is_known=any(one.hash == builtin().hash for one in found),
    )


def changed_words(found: list[Published], one: Published) -> str:
    """What a version changed against the one before, in a few words."""
    before = next((other for other in found if other.number == one.number - 1), None)
    if before is None:
        return _("the first one")
    made = changes(journal().catalogue(before.hash), journal().catalogue(one.hash))
    labels = list(dict.fromkeys(change.label for change in made))
    if not labels:
        return _("no difference")
    named = ", ".join(labels[:3])
    return named if len(labels) <= 3 else _("%(named)s and %(n)s more", named=named, n=len(labels) - 3)


@room.get("/setup/catalogue/changes")
@needs("manager")
def compare_asked() -> ResponseReturnValue:
    """Lead from the two chosen versions to what differs between them."""
    old, new = request.args.get("from", ""), request.args.get("to", "")
    return redirect(f"/setup/catalogue/changes/{_number(old)}/{_number(new)}")


def _number(typed: str) -> str:
    return typed if typed == STARTING or (typed.isascii() and typed.isdecimal() and len(typed) < 8) else "0"


@room.get("/setup/catalogue/changes/<old>/<new>")
@needs("manager")
def compare(old: str, new: str) -> ResponseReturnValue:
    """Show what differs between two versions, value by value, in words."""
    found = versions.published(reader())
    before, after = _version(found, old), _version(found, new)
    return render_template(
        "setup/changes.html",
        versions=found,
        old=old,
        new=new,
        after=next((one for one in found if str(one.number) == new), None),
        before=next((one for one in found if str(one.number) == old), None),
        groups=grouped(changes(before, after)),
        latest=found[0],
        form=ChangeForm(data={"made_from": found[0].hash}),
    )


def _version(found: list[Published], number: str) -> Catalogue:
    if number == STARTING:
        return builtin()
    one = next((one for one in found if str(one.number) == number), None)
    if one is None:
        raise Refusal("no_version", _("There is no such version; choose two of the list."), 404)
    return journal().catalogue(one.hash)


def grouped(made: list[Change]) -> list[dict[str, Any]]:
    """Changes by part, and within a part by row."""
    parts = []
    for part, of_part in groupby(made, key=lambda one: one.part):
        rows = [{"label": rows[0].label, "changes": rows} for rows in _by_row(list(of_part))]
        parts.append({"part": part, "label": _(CALLED[part]) if part else _("Catalogue"), "rows": rows})
    return parts


def _by_row(made: list[Change]) -> list[list[Change]]:
    return [list(rows) for _key, rows in groupby(made, key=lambda one: (one.key, one.label))]


@room.post("/setup/catalogue/versions/<number>/again")
@needs("manager")
def version_again(number: str) -> ResponseReturnValue:
    """Put an earlier version in force again, as a new one. What came since and is in use is kept, retired."""
    wanted = _version(versions.published(reader()), number)
    tried = publish(carried_on(journal().catalogue(), wanted), ChangeForm(), lambda place: None)
    if not tried.kept:
        raise Refusal("not_again", tried.meanwhile or tried.faults[0], tried.status)
    return redirect("/setup/catalogue/versions")
