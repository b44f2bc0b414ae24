"""From a changed catalogue to the one in force: checked, recorded by name, never over somebody else's change."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from flask import flash

from inspect_app.journal.events import PLANT, Refusal, canonical
from inspect_app.journal.queries import versions
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_check import Fault, located
from inspect_app.words import gettext as _


@dataclass(frozen=True, kw_only=True)
class Tried:
    """How a change went. `faults` are those that stand beside no field; `meanwhile` that somebody was quicker."""

    kept: bool = False
    faults: tuple[str, ...] = ()
    meanwhile: str = ""

    @property
    def status(self) -> int:
        """What the page is answered with when nothing was kept."""
        return 409 if self.meanwhile else 422


@dataclass
class Beside:
    """Sets faults beside the fields they are about; what has no field is kept for the top of the form."""

    form: Any
    field_of: Callable[[tuple[str | int, ...]], Any]
    rest: list[str] = field(default_factory=list)

    def put(self, faults: list[Fault]) -> None:
        """Place each fault."""
        for fault in faults:
            said = f"{fault.sentence[:1].upper()}{fault.sentence[1:]}."
            found = self.field_of(fault.place)
            if found is None:
                self.rest.append(said)
            else:
                found.errors = [*found.errors, said]


def publish(edited: Catalogue, form: Any, field_of: Callable[[tuple[str | int, ...]], Any]) -> Tried:
    """Record a changed catalogue when it holds; else say why beside the fields. Nothing typed is lost either way."""
    beside = Beside(form, field_of)
    beside.put(located(edited))
    if form.errors or beside.rest:
        return Tried(faults=tuple(beside.rest))
    try:
        record(edited, made_from=sent(form.made_from), why=form.why.data or "")
    except Refusal as refusal:
        if refusal.code == "changed_meanwhile":
            return Tried(meanwhile=taken_over(form))
        if refusal.code != "same":
            return Tried(faults=(refusal.reason,))
        flash(_("Nothing was changed."), "good")
    else:
        flash(_("Kept as a new version of the catalogue. It holds from now on; what was judged before stays."), "good")
    return Tried(kept=True)


def sent(field: Any) -> str:
    """What was sent for a field, and not what it would have shown."""
    return str((field.raw_data or [""])[0])


def record(edited: Catalogue, *, made_from: str, why: str) -> None:
    """Record a catalogue under the name of whoever is signed in; raises Refusal."""
    body = {"hash": edited.hash, "content": canonical(edited.to_json()), "from": made_from}
    journal().record(ticket(), PLANT, "catalogue_published", body, private={"reason": why} if why else None)


def taken_over(form: Any) -> str:
    """Say that somebody was quicker, and let the form be kept against what they made."""
    newest = versions.published(reader())[0]
    form.made_from.data = newest.hash
    form.made_from.raw_data = [newest.hash]
    who = newest.name or _("The server")
    return _(
        "%(who)s changed the catalogue while you were at this page. Nothing of yours was kept yet: "
        "look at what changed, then press Keep again.",
        who=who,
    )
