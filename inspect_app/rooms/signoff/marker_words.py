"""One marker in the words of a sheet or a page."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from inspect_app.sheet import data as said
from inspect_app.sheet.times import Clock
from inspect_app.trade import limits
from inspect_app.trade.catalogue import Catalogue
from inspect_app.words import N_, ngettext
from inspect_app.words import gettext as _
from inspect_app.words.figures import tenths
from inspect_app.words.listed import all_of

if TYPE_CHECKING:
    from inspect_app.rooms.signoff.sheet_data import Telling

PUT_RIGHT = "put_right_here"
CLOSED = {
    "accepted": N_("accepted within its limit by %(by)s"),
    "no_flaw": N_("found to be no flaw by %(by)s"),
    "withdrawn": N_("withdrawn by %(by)s"),
}


def kind_label(catalogue: Catalogue, key: str) -> str:
    """The name of a kind; its key where this version no longer has it."""
    kind = catalogue.kinds.get(key)
    return _(kind.label) if kind else key.replace("_", " ")


def size_text(catalogue: Catalogue, row: sqlite3.Row | dict[str, Any]) -> str:
    """How large, how many, seen how: "0.8 mm · 3 of them · only in raking light"."""
    kind = catalogue.kinds.get(row["kind"])
    told = []
    if row["gap"] is not None:
        told.append(_("gap %(gap)s mm", gap=tenths(row["gap"])))
    if row["size"] is not None and kind is not None:
        told.append(limits.size_words(kind, row["size"]))
    if row["count"] > 1:
        told.append(ngettext("%(n)s of them", "%(n)s of them", row["count"]))
    if row["raking"]:
        told.append(_("only in raking light"))
    return " · ".join(told)


@dataclass
class MarkerWords:
    """Says markers and the work on them."""

    telling: Telling

    def marker(self, row: sqlite3.Row, work: tuple[said.Work, ...], shots: tuple[said.Photo, ...]) -> said.Marker:
        """One marker with all that was done about it."""
        telling, catalogue = self.telling, self.telling.catalogue
        cleared = row["state"] == "cleared"
        return said.Marker(
            tag=row["tag"],
            kind=kind_label(catalogue, row["kind"]),
            view=row["view"],
            state=row["state"],
            severity=row["severity"],
            x=row["x"],
            y=row["y"],
            x2=row["x2"],
            y2=row["y2"],
            zone=_(telling.outline.zone(row["zone"]).label),
            surface_class=row["class"],
            words=row["words"],
            size=size_text(catalogue, row),
            limit=row["limit_text"],
            verdict=row["verdict"],
            origin=self.department(row["origin"]),
            basis=row["origin_basis"],
            found_at=self.station(row["found_at"]),
            made_by=telling.name(row["made_by"]),
            made_at=row["made_at"],
            worked=work,
            cleared_by=telling.name(row["decided_by"]) if cleared else "",
            cleared_at=row["decided_at"] if cleared else None,
            closing="" if cleared else self.closing(row),
            note=row["note"] or "",
            returns=row["returns"],
            escape=bool(row["escape"]),
            photos=shots,
        )

    def work(self, row: sqlite3.Row) -> said.Work:
        """One turn of work."""
        method = self.telling.catalogue.methods.get(row["method"])
        spot = _("put right on the spot")
        label = spot if row["method"] == PUT_RIGHT else _(method.label) if method else row["method"]
        return said.Work(
            who=self.telling.name(row["person"]),
            at=row["at"],
            minutes=row["minutes"],
            method=label,
            department=self.department(row["department"]),
        )

    def department(self, key: str) -> str:
        """The name of a department."""
        found = self.telling.catalogue.departments.get(key)
        return _(found.label) if found else key

    def station(self, key: str | None) -> str:
        """The name of a station of the line; "" for none."""
        found = self.telling.catalogue.stations.get(key or "")
        return _(found.label) if found else key or ""

    def closing(self, row: sqlite3.Row) -> str:
        """What closed a marker, if not a second look."""
        if row["state"] == "conceded":
            return self.conceded(row)
        if row["state"] not in CLOSED:
            return ""
        by, tag = self.by(row), self.telling.tags.get(row["joined_to"], "?")
        told = _("joined to %(tag)s by %(by)s", tag=tag, by=by) if row["joined_to"] else _(CLOSED[row["state"]], by=by)
        why = self.telling.found.reasons.get(row["id"], "") if row["state"] == "withdrawn" else ""
        return f"{told}: {why}" if why else told

    def conceded(self, row: sqlite3.Row) -> str:
        """Who agreed to let it be."""
        for asked in self.telling.found.concessions:
            if asked["marker"] == row["id"] and asked["state"] == "agreed":
                names = [self.telling.name(one["person"]) for one in json.loads(asked["approvers"])]
                return _("conceded, agreed by %(names)s", names=all_of(names))
        return _("conceded by %(by)s", by=self.by(row))

    def by(self, row: sqlite3.Row) -> str:
        """Who decided, and when."""
        return f"{self.telling.name(row['decided_by'])} · {Clock(self.telling.timezone).at(row['decided_at'])}"
